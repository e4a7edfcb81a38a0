//! Valve clearances: the positions of the crank that set them all, and what was found says.

mod clearances;
mod cover;
mod order;
mod sketch;

use super::asked;
use crate::ask::Ask;
use crate::given::Given;
use crate::job::{Group, Job, Refused};
use crate::worked::{Table, Worked};
use measure::quantity::Quantity::{Angle, Length, Ratio, TemperatureDifference};
use order::{Engine, Valve};
use std::f64::consts::{PI, TAU};

const DEGREE: f64 = PI / 180.0;

const fn cam(key: &'static str, says: &'static str, usual: &'static str) -> Ask {
    Ask::one(key, says, Angle, (-20.0 * DEGREE, 100.0 * DEGREE)).usual(usual, "from memory").only("strokes", &["four"])
}

const fn two_stroke(key: &'static str, says: &'static str) -> Ask {
    Ask::one(key, says, Angle, (-20.0 * DEGREE, 100.0 * DEGREE)).may().only("strokes", &["two"])
}

const fn clearance(key: &'static str, says: &'static str) -> Ask {
    Ask::one(key, says, Length, (0.0, 0.005)).may().like("0.30 mm")
}

const fn clearances(key: &'static str, says: &'static str) -> Ask {
    Ask::many(key, says, Length, (0.0, 0.01)).may().like("0.30, 0.28, 0.35, 0.30 mm")
}

const fn warms(key: &'static str, says: &'static str, usual: &'static str) -> Ask {
    Ask::one(key, says, TemperatureDifference, (0.0, 700.0)).usual(usual, "from memory")
}

pub const JOB: Job = Job {
    word: "valve-lash",
    title: "Valve clearances",
    about: "The fewest positions of the crank that set every valve, which valves at each, and what the clearances say.",
    group: Group::Adjust,
    kinds: &["diesel"],
    task: Some("lash"),
    asks: &[
        Ask::text("firing-order", "Firing order, as in the manual", "1-5-3-6-2-4"),
        Ask::one("cylinders", "Number of cylinders", Ratio, (1.0, 24.0)).may().of_plant(&[("diesel", "cylinders")]),
        Ask::choice("strokes", "Strokes of a cycle", &[("four", "four-stroke"), ("two", "two-stroke with exhaust valves")])
            .usual("four", "common practice, no source"),
        Ask::choice("layout", "How the cylinders stand", &[("line", "in one line"), ("vee", "in two banks")])
            .usual("line", "common practice, no source"),
        Ask::one("bank-angle", "Angle between the banks", Angle, (0.0, PI)).may().like("90 °").only("layout", &["vee"]),
        Ask::many(
            "firing-intervals",
            "Crank angle from each firing to the next, in firing order, where they are not even; the few that come again will do",
            Angle,
            (0.0, 2.0 * TAU),
        )
        .may()
        .like("90, 150 °"),
        cam("inlet-opens", "Inlet opens, before the top", "10 °"),
        cam("inlet-closes", "Inlet closes, after the bottom", "40 °"),
        cam("exhaust-opens", "Exhaust opens, before the bottom", "45 °"),
        cam("exhaust-closes", "Exhaust closes, after the top", "10 °"),
        two_stroke("two-stroke-exhaust-opens", "Exhaust valves open, before the bottom; left out, 85°"),
        two_stroke("two-stroke-exhaust-closes", "Exhaust valves close, after the bottom; left out, 60°"),
        Ask::one("margin", "How far of the crank a valve is to be shut, either way, before it is set", Angle, (0.0, PI))
            .usual("30 °", "common practice, no source"),
        asked::FLYWHEEL_DIAMETER.may(),
        Ask::choice("engine-is", "The engine while it is measured", &[("cold", "cold"), ("hot", "warm and just stopped")])
            .usual("cold", "common practice, no source"),
        clearance("wanted-inlet", "The maker's inlet clearance, cold"),
        clearance("wanted-exhaust", "The maker's exhaust clearance, cold"),
        clearance("hot-inlet", "The maker's inlet clearance, hot"),
        clearance("hot-exhaust", "The maker's exhaust clearance, hot"),
        Ask::one("clearance-within", "How far off a clearance may be and is let be", Length, (0.0, 0.001))
            .usual("0.03 mm", "common practice, no source"),
        clearances("found-inlet", "Inlet clearances found, in the order of the cylinders' numbers"),
        clearances("found-exhaust", "Exhaust clearances found, in the order of the cylinders' numbers"),
        clearances("left-inlet", "Inlet clearances left"),
        clearances("left-exhaust", "Exhaust clearances left"),
        Ask::one("screw-pitch", "Pitch of the adjusting screw's thread", Length, (0.2e-3, 0.005)).may().like("1.0 mm"),
        Ask::one("rocker-ratio", "Lift of the valve over lift of the pushrod; 1 where the screw stands at the valve", Ratio, (0.5, 3.0))
            .usual("1.4", "from memory")
            .like("1.4"),
        Ask::one("valve-length", "Length of a valve, seat to stem end, to estimate hot from cold", Length, (0.03, 0.6))
            .may()
            .like("135 mm"),
        Ask::one("pushrod-length", "Length of a pushrod, to estimate hot from cold", Length, (0.0, 1.5)).may().like("280 mm"),
        Ask::choice("block-of", "What block and head are of", &[("iron", "cast iron"), ("aluminium", "aluminium")])
            .usual("iron", "common practice, no source"),
        warms("inlet-valve-warms", "How much warmer an inlet valve is than cold, engine warm and just stopped", "70 K"),
        warms("exhaust-valve-warms", "How much warmer an exhaust valve is than cold, engine warm and just stopped", "110 K"),
        warms("block-warms", "How much warmer block, head and pushrods are than cold", "60 K"),
    ],
    work,
};

fn work(given: &Given) -> Result<Worked, Refused> {
    let engine = Engine::of(given)?;
    let cover = cover::fewest(&engine);
    let rim = given.maybe("flywheel-diameter").map(|diameter| diameter / 2.0);
    let mut worked = Worked::default();
    let count = engine.order.len();
    let valves = count * engine.open.len();
    worked.says = match cover.len() {
        1 => format!("One position sets all {valves} valves: the top of cylinder {}, firing.", engine.order[cover[0]]),
        all => format!(
            "{} positions set all {valves} valves, the tops of {} firing, {} of turning between the first and the last.",
            number(all),
            cylinders(cover.iter().map(|place| engine.order[*place])),
            degrees(turning(&engine, &cover))
        ),
    };
    worked.result("positions", "Positions that set all valves", cover.len() as f64, Ratio, "");
    worked.result("turning", "Turning from the first of them to the last", turning(&engine, &cover), Angle, "°");
    if engine.even() {
        worked.result("interval", "Crank angle from firing to firing", engine.cycle / count as f64, Angle, "°");
        worked.working(
            "interval = cycle / cylinders",
            format!("{} / {count} = {}", degrees(engine.cycle), degrees(engine.cycle / count as f64)),
            "geometry",
        );
    }
    if let Some(rim) = rim {
        worked.result("rim", "The same turning along the rim", rim * turning(&engine, &cover), Length, "mm");
    }
    steps(&engine, &cover, rim, &mut worked);
    tables(&engine, &cover, &mut worked);
    for (valve, from, to) in &engine.open {
        worked.working(
            "may be set where not within the margin of the time it is open",
            format!(
                "{} open {} to {} after the firing top, margin {}",
                valve.word(),
                degrees(*from),
                degrees(*to),
                degrees(engine.margin)
            ),
            "geometry of the cam",
        );
    }
    flags(given, &engine, &mut worked);
    clearances::judge(given, &engine, &mut worked)?;
    worked.sketch = Some(sketch::draw(&engine, &cover, rim));
    Ok(worked)
}

/// Turning from the first position of a sequence to its last.
fn turning(engine: &Engine, cover: &[usize]) -> f64 {
    let ends = cover.first().zip(cover.last());
    ends.map_or(0.0, |(first, last)| (engine.fires[*last] - engine.fires[*first]).rem_euclid(engine.cycle))
}

/// "inlet 1, 2, 4; exhaust 1, 3, 5".
fn which(valves: &[(usize, Valve)]) -> String {
    let of = |valve: Valve| {
        let all: Vec<String> =
            valves.iter().filter(|(_, one)| *one == valve).map(|(cylinder, _)| cylinder.to_string()).collect();
        (!all.is_empty()).then(|| format!("{} {}", valve.word(), all.join(", ")))
    };
    [of(Valve::Inlet), of(Valve::Exhaust)].into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn steps(engine: &Engine, cover: &[usize], rim: Option<f64>, worked: &mut Worked) {
    worked.step_with_care(
        "Stop her so that she cannot start: pull the stop, shut the fuel, take the key or the start battery off. Rocker covers off.",
        "Key in the pocket: she is turned by hand with fingers among the rockers, and a hot or tight engine can kick.",
    );
    worked.step("Measure every valve before any is set, at the positions below, and write it down.");
    let mut done: Vec<(usize, Valve)> = Vec::new();
    for (turn, place) in cover.iter().enumerate() {
        let (cylinder, crank) = (engine.order[*place], engine.fires[*place]);
        let set: Vec<_> = engine.settable(crank).into_iter().filter(|valve| !done.contains(valve)).collect();
        let how = match engine.rocks(crank) {
            Some(other) => format!(
                "cylinder {cylinder} stands at its firing top: the valves of cylinder {other} rock, exhaust just shutting and inlet just opening"
            ),
            None if engine.open.len() == 2 => {
                format!("cylinder {cylinder} stands at its firing top: both its valves shut, both rockers loose")
            }
            None => format!("cylinder {cylinder} stands at its top: its exhaust valves shut"),
        };
        let turned = turn.checked_sub(1).map(|before| (crank - engine.fires[cover[before]]).rem_euclid(engine.cycle));
        let go = match turned {
            None => "Turn her own way until".to_string(),
            Some(by) => {
                let along = rim.map_or_else(String::new, |rim| format!(", {:.0} mm along the rim", rim * by * 1e3));
                format!("Turn her on by {}{along}, until", degrees(by))
            }
        };
        worked.step(format!("{go} {how}. Set {}.", which(&set)));
        done.extend(set);
    }
    worked.step("Tighten each lock nut and measure again: the nut draws the screw. Turn her twice round by hand before she is started.");
}

fn tables(engine: &Engine, cover: &[usize], worked: &mut Worked) {
    let numbers = |valves: &[(usize, Valve)], sort: Valve| {
        let of = valves.iter().filter(|(_, valve)| *valve == sort).map(|(cylinder, _)| cylinder.to_string());
        of.collect::<Vec<_>>().join(", ")
    };
    let row = |crank: f64, first: Vec<String>| {
        let valves = engine.settable(crank);
        let rocks = engine.rocks(crank).map_or_else(|| "none".into(), |rocks| rocks.to_string());
        let cells = [numbers(&valves, Valve::Inlet), numbers(&valves, Valve::Exhaust), rocks];
        first.into_iter().chain(cells).collect::<Vec<_>>()
    };
    let each = engine.order.iter().zip(&engine.fires).enumerate().map(|(place, (cylinder, crank))| {
        let mark = if cover.contains(&place) { "yes" } else { "" };
        row(*crank, vec![cylinder.to_string(), degrees(*crank), mark.to_string()])
    });
    worked.tables.push(Table {
        title: "Every firing top: what may be set there".into(),
        heads: ["at the top of", "turned", "in the sequence", "inlet", "exhaust", "rocks"].map(String::from).to_vec(),
        rows: each.collect(),
    });
    let open = engine.order.iter().zip(&engine.fires).flat_map(|(cylinder, fires)| {
        engine.open.iter().map(move |(valve, from, to)| (*cylinder, *valve, fires + f64::midpoint(*from, *to)))
    });
    let mut open: Vec<_> = open.collect();
    open.sort_by_key(|(cylinder, valve, _)| (*cylinder, *valve == Valve::Exhaust));
    worked.tables.push(Table {
        title: "One valve at a time: when this one stands fully open, these may be set".into(),
        heads: ["fully open", "inlet", "exhaust"].map(String::from).to_vec(),
        rows: open
            .into_iter()
            .map(|(cylinder, valve, crank)| {
                let valves = engine.settable(crank);
                let name = format!("{cylinder} {}", valve.word());
                vec![name, numbers(&valves, Valve::Inlet), numbers(&valves, Valve::Exhaust)]
            })
            .collect(),
    });
    let companions = engine.companions();
    if !companions.is_empty() {
        worked.tables.push(Table {
            title: "Companions: both at the top together, one fires while the other's valves rock".into(),
            heads: ["one", "other"].map(String::from).to_vec(),
            rows: companions.iter().map(|(one, other)| vec![one.to_string(), other.to_string()]).collect(),
        });
    }
}

fn flags(given: &Given, engine: &Engine, worked: &mut Worked) {
    let step = engine.cycle / engine.order.len() as f64;
    if given.word("layout") == "vee" && given.list("firing-intervals").is_empty() {
        let uneven = given.maybe("bank-angle").filter(|bank| {
            let over = bank.rem_euclid(step);
            over.min(step - over) > DEGREE
        });
        worked.flags.push(match uneven {
            Some(bank) => format!(
                "Banks of {} with two rods on each crankpin do not fire every {}: look the intervals up and tell them, or every \
                 position here is off. With split crankpins they may be even.",
                degrees(bank),
                degrees(step)
            ),
            None => "Even intervals are taken for both banks; a vee whose manual gives others must be told.".into(),
        });
    }
    if given.word("strokes") == "two" && given.maybe("two-stroke-exhaust-opens").is_none() {
        worked.flags.push(
            "When the exhaust valves open is not told: 85° before to 60° after the bottom is taken, from memory."
                .into(),
        );
    }
    if !engine.even() {
        worked.flags.push(
            "The cylinders do not fire evenly: trust the valves that rock and the marks, not the step between.".into(),
        );
    }
    if engine.order.len() > 1 && engine.companions().is_empty() && engine.open.len() == 2 {
        worked.flags.push(
            "No two cylinders reach the top together, so no other cylinder's valves rock at a firing top: find the top by its mark \
             with both rockers of that cylinder loose."
                .into(),
        );
    }
    if given.maybe("cylinders").is_some_and(|count| count.round() as usize != engine.order.len()) {
        worked
            .flags
            .push("The number of cylinders is only the usual one for such an engine; the firing order counts.".into());
    }
}

fn cylinders(all: impl Iterator<Item = usize>) -> String {
    let all: Vec<String> = all.map(|cylinder| cylinder.to_string()).collect();
    match all.split_last() {
        Some((last, before)) if !before.is_empty() => format!("cylinders {} and {last}", before.join(", ")),
        _ => format!("cylinder {}", all.join("")),
    }
}

fn number(count: usize) -> String {
    const WORDS: [&str; 7] = ["No", "One", "Two", "Three", "Four", "Five", "Six"];
    WORDS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_string())
}

/// Whole degrees where they are whole.
fn degrees(angle: f64) -> String {
    let degrees = angle.to_degrees();
    if (degrees - degrees.round()).abs() < 0.05 { format!("{:.0}°", degrees + 0.0) } else { format!("{degrees:.1}°") }
}
