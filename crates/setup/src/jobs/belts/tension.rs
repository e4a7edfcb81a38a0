//! What the belt pulls, how tight it is to be so that nothing slips, and what that does to the hubs.

use super::layout::Layout;
use super::mm;
use crate::given::Given;
use crate::job::Refused;
use crate::worked::{Table, Worked};
use measure::quantity::Quantity::{Force, Frequency, Power, Ratio};
use measure::unit::print_usual;
use physics::belt_path::{hub_load, least_slack, slip_margin};
use physics::drive::{span_frequency, tension_ratio, wedged_friction};

/// Rubber and cord [kg/m³]; from memory.
const RUBBER: f64 = 1_200.0;
/// Thickness of flat and toothed belts [m]; from memory.
const THICK: f64 = 4e-3;
/// Width of one rib, and section of it [m, m²]; common ribbed belts, from memory.
const RIB: f64 = 3.56e-3;
const RIB_SECTION: f64 = 13e-6;
/// Usual grooves [rad]: V-belts 38°, ribs 40°; from memory.
const VEE: f64 = 0.663225;
const RIBS: f64 = 0.698132;
/// How many times over a pulley is not to slip [1]: V-belts are set as tight as a tight side of five slack ones on half a turn, a third
/// of what their grooves would hold; flat ones nearer to what they hold. From memory.
const GROOVED: f64 = 3.0;
const FLAT: f64 = 1.3;
/// Least tension of the slack side of a toothed belt, over its pull [1]; from memory.
const TOOTHED: f64 = 0.2;
/// Pull that one V-belt 13 mm wide bears [N]: 110 A at 14 V through an alternator of 0.5 at 14 m/s, [Trade] 2.7.
const VEE_BEARS: f64 = 220.0;
const VEE_WIDE: f64 = 13e-3;
/// Pull that one rib bears [N]; from memory: six drive about 200 A at 14 V.
const RIB_BEARS: f64 = 60.0;

pub fn answer(given: &Given, layout: &Layout, worked: &mut Worked) -> Result<(), Refused> {
    let Some(speed) = given.maybe("driver-speed").map(|speed| speed * layout.pulleys[0].radius) else { return Ok(()) };
    let belts = given.value("belts")?.round();
    let power: f64 = layout.powers.iter().sum();
    let mass = mass(given, layout);
    let set = set(given, layout, mass)?;
    if power <= 0.0 && set.is_none() {
        worked.flags.push(
            "What the pulleys take is not told: tension is not worked. Tell pulley-power, or the alternator's current."
                .into(),
        );
        return Ok(());
    }
    let flung = mass * speed * speed;
    let grooved = |place: usize| !layout.pulleys[place].outside && ["vee", "ribbed"].contains(&given.word("belt-kind"));
    let margin = |place| given.maybe("slip-margin").unwrap_or(if grooved(place) { GROOVED } else { FLAT });
    let count = layout.pulleys.len();
    // Of one belt: what each span pulls over the first, slackest one.
    let pulls: Vec<f64> = layout.powers.iter().map(|power| power / speed / belts).collect();
    let pull: f64 = pulls.iter().sum();
    let over: Vec<f64> = (0..count).map(|place| pulls[..=place].iter().sum()).collect();
    let ratios: Vec<f64> =
        (0..count).map(|place| tension_ratio(friction(given, layout, place), layout.round.wraps[place])).collect();
    let toothed = given.word("belt-kind") == "toothed";
    let lengths: Vec<f64> = layout.round.spans.iter().map(|span| span.length).collect();
    let all: f64 = lengths.iter().sum();
    // A stopped belt is as long as a running one: its tension is the mean of the spans'.
    let above_slack = over.iter().zip(&lengths).map(|(over, length)| over * length).sum::<f64>() / all;
    let slack = match set {
        Some(set) => set - above_slack,
        None if toothed => flung + TOOTHED * pull,
        None => (0..count)
            .filter(|place| *place == 0 || pulls[*place] > 0.0)
            .map(|place| {
                let (pull, before) = if place == 0 { (pull, 0.0) } else { (pulls[place], over[place - 1]) };
                least_slack(pull, ratios[place], flung, margin(place)) - before
            })
            .fold(flung, f64::max),
    };
    let rest = slack + above_slack;
    let tensions: Vec<f64> = over.iter().map(|over| slack + over).collect();
    let share = if belts > 1.0 { format!("{pull:.0} N on each of {belts:.0} belts") } else { format!("{pull:.0} N") };
    let state = if set.is_some() { "At rest it is" } else { "At rest it should be" };
    worked.say(format!(
        "{} at {speed:.1} m/s is a pull of {share}. {state} {rest:.0} N tight.",
        print_usual(power, Power)
    ));
    worked.result("power", "Power that the belt carries", power, Power, "kW");
    worked.result("pull", "Pull of all belts, tight less slack side", pull * belts, Force, "N");
    worked.result("tight", "Tightest span of one belt, running", tensions[count - 1], Force, "N");
    worked.result("slack", "Slackest span of one belt, running", slack, Force, "N");
    worked.result("rest", "Tension of one belt at rest", rest, Force, "N");
    let longest = layout.longest();
    let hum = span_frequency(rest.max(0.0), mass, lengths[longest]);
    worked.result(
        "deflection-force",
        "Force on one belt that presses the longest span in by a 64th",
        rest / 16.0,
        Force,
        "N",
    );
    worked.result("frequency", "The longest span hums when plucked at rest", hum, Frequency, "Hz");
    worked.working(
        "pull = P / v",
        format!("{} / {speed:.2} m/s = {:.0} N", print_usual(power, Power), pull * belts),
        "[Khurmi14] sec. 11.13",
    );
    if !toothed {
        worked.working(
            "T₁ − m v² = e^(μ θ) (T₂ − m v²), μ / sin(half the groove) in a groove",
            format!(
                "m v² = {flung:.1} N; e^(μ θ) of each pulley: {}",
                ratios.iter().map(|ratio| format!("{ratio:.2}")).collect::<Vec<_>>().join(", ")
            ),
            "Euler-Eytelwein, [Khurmi14] sec. 11.14, 11.17 and 11.20",
        );
    }
    worked.working(
        "F = 4 T d / L, f = √(T / m) / 2 L",
        format!(
            "T = {rest:.0} N, d / L = 1/64, m = {mass:.3} kg/m, L = {}: {:.1} N, {hum:.0} Hz",
            mm(lengths[longest]),
            rest / 16.0
        ),
        "string, [Rao5] eq. 8.31; the belt's own stiffness adds some force",
    );
    let margins: Vec<Option<f64>> = (0..count)
        .map(|place| {
            let (pull, before) = if place == 0 { (pull, slack) } else { (pulls[place], tensions[place - 1]) };
            (!toothed && pull > 0.0).then(|| slip_margin(pull, ratios[place], flung, before))
        })
        .collect();
    let least = margins.iter().flatten().copied().reduce(f64::min);
    // Where it is not set the margin is what was asked for.
    if let Some(least) = least.filter(|_| set.is_some()) {
        worked.result(
            "margin",
            "Slip margin of the pulley that slips first: times over what it is asked",
            least,
            Ratio,
            "",
        );
    }
    table(layout, belts, rest, &tensions, &margins, worked);
    slips(layout, slack, &margins, worked);
    bears(given, belts, pull, worked);
    Ok(())
}

/// Hubs and spans.
fn table(layout: &Layout, belts: f64, rest: f64, tensions: &[f64], margins: &[Option<f64>], worked: &mut Worked) {
    let (spans, count) = (&layout.round.spans, layout.pulleys.len());
    let hub = |place: usize, of: &dyn Fn(usize) -> f64| {
        let before = (place + count - 1) % count;
        hub_load((of(before), &spans[before]), (of(place), &spans[place]))
    };
    for (place, name) in layout.names.iter().enumerate() {
        let (load, _) = hub(place, &|_| rest);
        worked.result(
            format!("hub-{}", place + 1),
            format!("Pull on the hub of {name} at rest, all belts"),
            load * belts,
            Force,
            "N",
        );
    }
    let rows = (0..count).map(|place| {
        let (running, way) = hub(place, &|span| tensions[span]);
        let margin = margins[place].map_or_else(|| "-".into(), |margin| format!("{margin:.2}"));
        let power = match layout.powers[place] {
            _ if place == 0 => "drives".to_string(),
            0.0 => "idles".to_string(),
            power => print_usual(power, Power),
        };
        vec![
            layout.names[place].clone(),
            power,
            margin,
            format!("{:.0} N", running * belts),
            format!("{:.0}°", way.to_degrees()),
        ]
    });
    worked.tables.push(Table {
        title: "Pulleys, running; the hub's pull from the right round by the top".into(),
        heads: ["pulley", "takes", "slip margin", "pull on the hub", "towards"].map(String::from).to_vec(),
        rows: rows.collect(),
    });
    let rows = (0..count).map(|place| {
        let length = spans[place].length;
        vec![layout.span_name(place), mm(length), mm(length / 64.0), format!("{:.0} N", tensions[place])]
    });
    worked.tables.push(Table {
        title: "Spans of one belt".into(),
        heads: ["span", "length", "gives, a 64th", "tension running"].map(String::from).to_vec(),
        rows: rows.collect(),
    });
}

fn slips(layout: &Layout, slack: f64, margins: &[Option<f64>], worked: &mut Worked) {
    if slack <= 0.0 {
        worked.flags.push("As it is set the slack side hangs loose at this power: tighten it.".into());
    }
    for (place, margin) in margins.iter().enumerate() {
        if let Some(margin) = margin.filter(|margin| *margin < 1.0 - 1e-9) {
            let held = (margin.max(0.0) * 100.0).round();
            worked.flags.push(format!(
                "The belt slips on {}: its friction holds {held:.0} % of what is asked. Tighter, more wrap, or a belt that carries more.",
                layout.names[place]
            ));
        }
    }
}

/// Whether the belts bear the pull.
fn bears(given: &Given, belts: f64, pull: f64, worked: &mut Worked) {
    let (one, what, source) = match given.word("belt-kind") {
        "vee" => {
            let wide = given.maybe("belt-width").unwrap_or(VEE_WIDE);
            let bears = VEE_BEARS * (wide / VEE_WIDE).powi(2);
            (
                bears,
                format!("one V-belt {} wide", mm(wide)),
                "[Trade] 2.7: 90 to 110 A at 14 V on 13 mm; by section for other widths",
            )
        }
        "ribbed" => {
            let ribs = given.maybe("ribs").unwrap_or(6.0).round();
            (RIB_BEARS * ribs, format!("a belt of {ribs:.0} ribs"), "from memory: six ribs for about 200 A at 14 V")
        }
        _ => return,
    };
    if pull > one {
        let wanted = (pull * belts / one).ceil();
        worked.flags.push(format!(
            "Too much for {what}: it bears about {one:.0} N and is asked for {pull:.0} N ({source}). {wanted:.0} side by side, a \
             wider or a ribbed belt, or larger pulleys."
        ));
    }
}

/// Friction between the belt and a pulley, wedged where it sits in a groove [1].
fn friction(given: &Given, layout: &Layout, place: usize) -> f64 {
    let friction = given.maybe("friction").unwrap_or(0.3);
    let usual = match given.word("belt-kind") {
        "vee" => VEE,
        "ribbed" => RIBS,
        _ => return friction,
    };
    if layout.pulleys[place].outside {
        friction
    } else {
        wedged_friction(friction, given.maybe("groove").unwrap_or(usual))
    }
}

/// Mass of one belt [kg/m]: weighed, or from its section.
fn mass(given: &Given, layout: &Layout) -> f64 {
    if let Some(mass) = given.maybe("belt-mass") {
        return mass / given.maybe("belt-length").unwrap_or(layout.round.length);
    }
    let width = given.maybe("belt-width");
    let section = match given.word("belt-kind") {
        // Eight parts high to thirteen wide, its flanks as the groove.
        "vee" => {
            let wide = width.unwrap_or(VEE_WIDE);
            let high = wide * 8.0 / 13.0;
            (wide - high * (VEE / 2.0).tan()) * high
        }
        "ribbed" => RIB_SECTION * given.maybe("ribs").or(width.map(|width| width / RIB)).unwrap_or(6.0),
        _ => width.unwrap_or(0.025) * THICK,
    };
    RUBBER * section
}

/// Tension at rest as it is set [N], by gauge or by ear.
fn set(given: &Given, layout: &Layout, mass: f64) -> Result<Option<f64>, Refused> {
    let length = layout.round.spans[layout.longest()].length;
    match (given.maybe("tension-set"), given.maybe("frequency-set")) {
        (Some(_), Some(_)) => {
            Err(Refused::together("tension-set and frequency-set tell one thing.", "Tell one of them."))
        }
        (Some(tension), None) => Ok(Some(tension)),
        (None, Some(frequency)) => Ok(Some(mass * (2.0 * length * frequency).powi(2))),
        (None, None) => Ok(None),
    }
}
