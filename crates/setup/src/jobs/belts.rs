//! A belt round any number of pulleys: its way and length, what it carries, how tight it is to be, and where the tensioner goes.

mod layout;
mod lengths;
mod sketch;
mod tension;

use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Kept, Table, Worked};
use layout::Layout;
use measure::quantity::Quantity::{
    Angle, Current, Force, Frequency, Length, Mass, Power, Ratio, RotationalSpeed, Velocity, Voltage,
};
use std::f64::consts::PI;

const DEGREE: f64 = PI / 180.0;

pub const JOB: Job = Job {
    word: "belts",
    title: "Belt drive",
    about: "Length, wrap, speeds, tension and deflection of a belt round any number of pulleys, and where its tensioner goes.",
    group: Group::Adjust,
    kinds: &["belt", "belt-tensioner"],
    task: Some("tension"),
    asks: &[
        Ask::many(
            "pulley-diameter",
            "Pitch diameter of each pulley, the driving one first, in the order in which the belt comes to them",
            Length,
            (0.01, 3.0),
        )
        .like("180, 75 mm")
        .about(0.5e-3),
        Ask::text("pulley-names", "Names of the pulleys in that order", "crank, pump, alternator").may(),
        Ask::one("centres", "Two pulleys: distance between their centres", Length, (0.02, 5.0))
            .may()
            .like("290 mm")
            .about(1e-3),
        Ask::many(
            "pulley-x",
            "More pulleys: how far each centre lies to the right of the first, seen from the belt's end",
            Length,
            (-5.0, 5.0),
        )
        .may()
        .like("0, 180, 300 mm")
        .about(1e-3),
        Ask::many("pulley-y", "More pulleys: how far each centre lies above the first", Length, (-5.0, 5.0))
            .may()
            .like("0, 240, 60 mm")
            .about(1e-3),
        Ask::text(
            "pulley-side",
            "Whether each runs inside the belt or on its back (outside); left out, all inside",
            "inside, outside, inside",
        )
        .may(),
        Ask::choice(
            "driver-turns",
            "How the driving pulley turns, seen so",
            &[("clockwise", "clockwise"), ("anticlockwise", "anticlockwise")],
        )
        .may(),
        Ask::choice(
            "belt-kind",
            "The belt",
            &[("vee", "V-belt"), ("ribbed", "ribbed V-belt"), ("flat", "flat"), ("toothed", "toothed")],
        )
        .usual("vee", "common practice, no source"),
        Ask::one("belts", "Like belts side by side", Ratio, (1.0, 12.0))
            .usual("1", "common practice, no source")
            .like("1"),
        Ask::one("belt-width", "Width of a belt, a V-belt at its back", Length, (0.004, 0.3)).may().like("13 mm"),
        Ask::one("ribs", "Ribs of a ribbed belt", Ratio, (1.0, 30.0)).may().like("6").only("belt-kind", &["ribbed"]),
        Ask::one("belt-mass", "What one belt weighs; left out, reckoned from its section", Mass, (0.005, 30.0))
            .may()
            .like("0.12 kg"),
        Ask::one("tooth-pitch", "From tooth to tooth", Length, (0.001, 0.03))
            .may()
            .like("9.525 mm")
            .only("belt-kind", &["toothed"]),
        Ask::one("driver-speed", "Speed of the driving pulley", RotationalSpeed, (1.0, 1500.0))
            .may()
            .of_plant(&[("diesel", "rated_speed")])
            .like("1500 rpm"),
        Ask::many("pulley-power", "Power that each pulley takes, the driving one and idlers 0", Power, (0.0, 1e6))
            .may()
            .like("0, 0.4, 2.8 kW"),
        Ask::one("alternator-place", "Which pulley in that order is the alternator's", Ratio, (2.0, 16.0))
            .may()
            .like("2"),
        Ask::one("alternator-current", "The most the alternator gives", Current, (1.0, 1000.0)).may().like("120 A"),
        Ask::one("alternator-voltage", "At this voltage", Voltage, (5.0, 150.0)).may().like("28.4 V"),
        Ask::one("alternator-efficiency", "Share of its shaft's power that comes out as current", Ratio, (0.2, 0.98))
            .usual("0.55", "from memory: 0.5 to 0.6")
            .like("0.55"),
        Ask::one("friction", "Friction of the belt on its pulleys", Ratio, (0.05, 1.0))
            .usual("0.3", "[Khurmi14] sec. 11.14 rubber on iron")
            .like("0.3")
            .only("belt-kind", &["vee", "ribbed", "flat"]),
        Ask::one(
            "groove",
            "Whole angle of the grooves; left out, 38° of V-belts, 40° of ribs",
            Angle,
            (20.0 * DEGREE, 60.0 * DEGREE),
        )
        .may()
        .like("38 °")
        .only("belt-kind", &["vee", "ribbed"]),
        Ask::one(
            "slip-margin",
            "How many times over no pulley is to slip; left out, 3 in grooves and 1.3 on a flat face",
            Ratio,
            (1.0, 10.0),
        )
        .may()
        .like("3")
        .only("belt-kind", &["vee", "ribbed", "flat"]),
        Ask::one("tension-set", "Tension of one belt at rest as it is set, by gauge", Force, (1.0, 20_000.0))
            .may()
            .like("300 N"),
        Ask::one(
            "frequency-set",
            "Frequency at which the longest span hums when plucked at rest",
            Frequency,
            (2.0, 1000.0),
        )
        .may()
        .like("60 Hz"),
        Ask::one("tensioner", "Which pulley in that order is moved to tighten the belt", Ratio, (1.0, 16.0))
            .may()
            .like("2"),
        Ask::one(
            "tensioner-moves",
            "The way it moves, from the right round by the top; left out, away from the first",
            Angle,
            (-2.0 * PI, 2.0 * PI),
        )
        .may()
        .like("90 °"),
        Ask::one("belt-length", "Pitch length of the belt to be fitted", Length, (0.1, 20.0)).may().like("1320 mm"),
        Ask::one(
            "ratio-known",
            "Driving diameter over the last driven one's, as the vessel's text tells it",
            Ratio,
            (0.05, 20.0),
        )
        .may()
        .of_plant(&[("belt", "ratio")]),
        Ask::one("deflection-found", "How far the longest span gave before the work", Length, (0.0, 0.2))
            .may()
            .like("6 mm"),
        Ask::one("deflection-left", "How far it gives after the work", Length, (0.0, 0.2)).may().like("4.5 mm"),
    ],
    work,
};

fn work(given: &Given) -> Result<Worked, Refused> {
    let layout = Layout::of(given)?;
    let mut worked = Worked::default();
    geometry(given, &layout, &mut worked);
    tension::answer(given, &layout, &mut worked)?;
    lengths::answer(given, &layout, &mut worked)?;
    flags(given, &layout, &mut worked);
    steps(&mut worked);
    let (found, left) = (given.maybe("deflection-found"), given.maybe("deflection-left"));
    if found.is_some() || left.is_some() {
        worked.kept.push(Kept { name: "deflection".into(), found, left, quantity: Length, unit: "mm" });
    }
    worked.sketch = Some(sketch::draw(&layout));
    Ok(worked)
}

fn geometry(given: &Given, layout: &Layout, worked: &mut Worked) {
    let (round, longest) = (&layout.round, layout.longest());
    worked.says = format!("The belt is {} long on its pitch line.", mm(round.length));
    worked.result("length", "Pitch length of the belt", round.length, Length, "mm");
    for (place, name) in layout.names.iter().enumerate() {
        worked.result(format!("wrap-{}", place + 1), format!("Lies round {name}"), round.wraps[place], Angle, "°");
    }
    let span = round.spans[longest].length;
    worked.result("span", format!("Longest span, {}", layout.span_name(longest)), span, Length, "mm");
    worked.result("deflection", "It gives in the middle, a 64th of it", span / 64.0, Length, "mm");
    worked.working("deflection = span / 64", format!("{} / 64 = {:.1} mm", mm(span), span / 64.0 * 1e3), "[Trade] 2.7");
    worked.working(
        "length = spans + Σ wrap · radius",
        format!(
            "{} + {} = {}",
            mm(round.spans.iter().map(|span| span.length).sum()),
            mm(round.wraps.iter().zip(&layout.pulleys).map(|(wrap, pulley)| wrap * pulley.radius).sum()),
            mm(round.length)
        ),
        "geometry: common tangents",
    );
    if let [one, other] = &layout.pulleys[..] {
        worked.working(
            "wrap = π − 2 asin((D − d) / 2C)",
            format!(
                "D − d = {}, C = {}: {:.1}° on the smaller",
                mm(2.0 * (one.radius - other.radius).abs()),
                mm((one.at.0 - other.at.0).hypot(one.at.1 - other.at.1)),
                round.wraps.iter().copied().fold(f64::INFINITY, f64::min).to_degrees()
            ),
            "[Khurmi14] sec. 11.15",
        );
    }
    let speed = given.maybe("driver-speed");
    if let Some(speed) = speed {
        worked.result("belt-speed", "Speed of the belt", speed * layout.pulleys[0].radius, Velocity, "m/s");
    }
    let rows = layout.pulleys.iter().enumerate().map(|(place, pulley)| {
        let ratio = layout.pulleys[0].radius / pulley.radius;
        let turns = if round.turns[place] > 0.0 { "anticlockwise" } else { "clockwise" };
        let rpm = speed.map_or_else(String::new, |speed| format!("{:.0} rpm", speed * ratio * 60.0 / (2.0 * PI)));
        let side = if pulley.outside { "outside" } else { "inside" };
        vec![
            layout.names[place].clone(),
            mm(2.0 * pulley.radius),
            side.into(),
            format!("{:.0}°", round.wraps[place].to_degrees()),
            format!("{ratio:.3}"),
            rpm,
            turns.into(),
        ]
    });
    worked.tables.push(Table {
        title: "Pulleys; speeds without slip".into(),
        heads: ["pulley", "diameter", "side", "wrap", "ratio", "speed", "turns"].map(String::from).to_vec(),
        rows: rows.collect(),
    });
}

/// Wrap under which a pulley that works is told of [rad]. Source: [Trade] 2.7.
const LEAST_WRAP: f64 = 120.0 * DEGREE;
/// Speed over which belts and iron pulleys are not run without asking [m/s]; from memory.
const FASTEST: f64 = 30.0;

fn flags(given: &Given, layout: &Layout, worked: &mut Worked) {
    if given.word("belt-kind") != "toothed" {
        for (place, name) in layout.names.iter().enumerate() {
            let works = place == 0 || layout.powers[place] > 0.0 || layout.powers.iter().all(|power| *power == 0.0);
            if works && !layout.pulleys[place].outside && layout.round.wraps[place] < LEAST_WRAP {
                worked.flags.push(format!(
                    "The belt lies only {:.0}° round {name}; a pulley that works wants 120° ([Trade] 2.7).",
                    layout.round.wraps[place].to_degrees()
                ));
            }
        }
    }
    if worked.value("belt-speed").is_some_and(|speed| speed > FASTEST) {
        worked.flags.push("Over 30 m/s iron pulleys and belts are asked about first (from memory).".into());
    }
    if layout.turned_round {
        worked
            .flags
            .push("The pulleys were told against the way the belt runs; they are worked the other way round.".into());
    }
    let typical =
        given.told("ratio-known").is_some_and(|told| matches!(told.from, crate::given::From::Figure(_, "typical")));
    let driven = layout.pulleys.iter().rposition(|pulley| !pulley.outside).unwrap_or(0);
    let ratio = layout.pulleys[0].radius / layout.pulleys[driven].radius;
    if let Some(known) = given.maybe("ratio-known").filter(|known| !typical && (known / ratio - 1.0).abs() > 0.05) {
        worked.flags.push(format!(
            "The vessel's text has a ratio of {known:.2}, these pulleys give {ratio:.2} at {}: one of them is wrong.",
            layout.names[driven]
        ));
    }
    let span = layout.round.spans[layout.longest()].length;
    for (key, when) in [("deflection-found", "was"), ("deflection-left", "is left")] {
        if let Some(given) = given.maybe(key).filter(|given| *given > 1.5 * span / 64.0 || *given < 0.5 * span / 64.0) {
            let word = if given > span / 64.0 { "slack" } else { "tight" };
            worked
                .flags
                .push(format!("The belt {when} {word}, if it was pressed with the force told here: {}.", mm(given)));
        }
    }
}

fn steps(worked: &mut Worked) {
    worked.step_with_care(
        "Stop her, take the key or the start battery off.",
        "Key in the pocket while hands are at the belt; nothing that hangs near belts, and never lever a belt over a pulley.",
    );
    worked.step("Lay a straight edge over the pulleys: all in one plane, and the belt without cracks, glaze or dust.");
    let force = worked
        .value("deflection-force")
        .map_or_else(|| "the force its maker tells".to_string(), |force| format!("{force:.0} N"));
    let span = worked.value("deflection").unwrap_or(0.0);
    worked.step(format!("Press the middle of the longest span with {force}: it gives {:.1} mm.", span * 1e3));
    worked.step("A new belt is set a third tighter, run ten minutes, set again; and once more after ten hours.");
}

/// Tenths of a millimetre under ten centimetres, whole ones over.
fn mm(length: f64) -> String {
    if length.abs() < 0.1 { format!("{:.1} mm", length * 1e3) } else { format!("{:.0} mm", length * 1e3) }
}
