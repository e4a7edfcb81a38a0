//! The laws of every kind: finite at rest, in reverse and in odd states, with slopes that equal differences.

use parts::catalogue::{self, KINDS};
use parts::kind::{Circuit, Kind, Link, Passage, REFERENCE_POWER, REFERENCE_SPEED};
use parts::laws::{LINKS, PASSAGES, Point, Say, Site, UNKNOWNS};
use physics::contents::Contents;
use physics::coolant::Glycol;
use physics::number::{Dual, Number};

/// One input of a part's laws: where it stands, and how large a change of it matters.
#[derive(Clone, Debug)]
struct Input {
    name: String,
    value: f64,
    size: f64,
}

/// Inputs of each passage: flow, two pressures, two temperatures. In a list of inputs they come after the parameters and
/// before unknowns, links and operating point.
const OF_A_PASSAGE: usize = 5;

fn circuit(passage: &Passage) -> Circuit {
    passage.carries.first().copied().unwrap_or(Circuit::Drive)
}

fn contents(passage: &Passage) -> Contents {
    match circuit(passage) {
        Circuit::RawWater => Contents::OCEAN,
        Circuit::Oil | Circuit::GearOil => Contents::Oil { nu40_m2s: 1.05e-4, nu100_m2s: 1.15e-5, dilution: 0.0 },
        Circuit::Exhaust => Contents::Gas { fuel_air_ratio: 0.03 },
        Circuit::Air => Contents::AIR,
        Circuit::Fuel => Contents::Fuel,
        Circuit::Charging => Contents::Current,
        _ => Contents::Coolant { glycol: Glycol::Ethylene, volume_fraction: 0.5 },
    }
}

/// Flow of a passage at the reference rating, about [kg/s; A of current].
fn usual_flow(passage: &Passage) -> f64 {
    match circuit(passage) {
        Circuit::Exhaust | Circuit::Air => 0.09,
        Circuit::Fuel => 0.01,
        Circuit::Charging => 30.0,
        Circuit::Oil | Circuit::GearOil => 0.6,
        _ => 1.2,
    }
}

/// A gap of its law that matters [Pa; V of current].
fn gap_size(passage: &Passage) -> f64 {
    if circuit(passage).is_electric() { 0.1 } else { 1e3 }
}

/// Levels that the inputs of a state take.
#[derive(Copy, Clone)]
struct Levels {
    /// Flow as a share of the usual; passages after the first take the next in turn [1].
    flow: usize,
    pressure: usize,
    temperature: usize,
    speed: usize,
}

const FLOWS: [f64; 5] = [1.0, -0.01, 0.0, 0.013, -0.8];
/// Inlet and outlet [Pa].
const PRESSURES: [(f64, f64); 4] = [(1.03e5, 1.03e5), (5e4, 6e5), (6e5, 5e4), (2.1e5, 1.7e5)];
/// The same where current flows [V].
const VOLTAGES: [(f64, f64); 4] = [(12.6, 12.6), (0.0, 40.0), (40.0, 0.0), (14.3, 13.9)];
/// Inlet and outlet [K]; none stands on a seam of the fits of liquids.
const TEMPERATURES: [(f64, f64); 4] = [(289.3, 289.3), (260.4, 599.7), (599.7, 260.4), (351.3, 362.8)];
/// Shares of design pitch, astern among them [1].
const PITCHES: [f64; 4] = [1.0, 0.63, 0.04, -0.52];
/// [rad/s]
const SPEEDS: [f64; 5] = [0.0, 1.3, 61.0, 188.0, 400.0];

fn grid() -> impl Iterator<Item = Levels> {
    (0..FLOWS.len() * PRESSURES.len() * TEMPERATURES.len() * SPEEDS.len()).map(|k| Levels {
        flow: k % FLOWS.len(),
        pressure: k / FLOWS.len() % PRESSURES.len(),
        temperature: k / (FLOWS.len() * PRESSURES.len()) % TEMPERATURES.len(),
        speed: k / (FLOWS.len() * PRESSURES.len() * TEMPERATURES.len()),
    })
}

/// Start and size of an engine's inner quantity.
fn of_engine(name: &str) -> (f64, f64) {
    let diesel = catalogue::find("diesel").expect("there is an engine");
    let unknown = diesel.unknowns.iter().find(|u| u.name == name).expect("a link names an unknown of the engine");
    (unknown.start, unknown.size)
}

/// Start and size of what a turbocharger gives; with none there is nothing of it.
fn of_charge(name: &str, none: bool) -> (f64, f64) {
    let turbocharger = catalogue::find("turbocharger").expect("there is one");
    let unknown = turbocharger.unknowns.iter().find(|u| u.name == name).expect("a link names an unknown of it");
    (if none { 0.0 } else { unknown.start }, unknown.size)
}

/// Start and size of an inner quantity that any kind has by this name; with none there is nothing of it.
fn of_any(name: &str, none: bool) -> (f64, f64) {
    let all = KINDS.iter().flat_map(|kind| kind.unknowns);
    let unknown = all.clone().find(|u| u.name == name).expect("a link names an unknown of some kind");
    (if none { 0.0 } else { unknown.start }, unknown.size)
}

fn inputs(kind: &Kind, at: Levels) -> Vec<Input> {
    let mut list = Vec::new();
    let mut push = |name: String, value: f64, size: f64| list.push(Input { name, value, size });
    for p in kind.parameters {
        let value = p.typical.of(REFERENCE_POWER, REFERENCE_SPEED);
        push(p.name.into(), value, if value == 0.0 { 0.01 * (p.range.1 - p.range.0) } else { value.abs() });
    }
    for (k, passage) in kind.passages.iter().enumerate() {
        let flow = usual_flow(passage);
        let electric = circuit(passage).is_electric();
        let (from, to) = if electric { VOLTAGES } else { PRESSURES }[(at.pressure + k) % PRESSURES.len()];
        let matters = gap_size(passage) * 10.0;
        let (warm_in, warm_out) = TEMPERATURES[(at.temperature + 3 * k) % TEMPERATURES.len()];
        let pool = passage.is_pool();
        push(format!("flow of {}", passage.name), flow * FLOWS[(at.flow + 2 * k) % FLOWS.len()], flow);
        push(format!("inlet pressure of {}", passage.name), from, matters);
        push(format!("outlet pressure of {}", passage.name), if pool { from } else { to }, matters);
        push(format!("inlet temperature of {}", passage.name), warm_in, 10.0);
        push(format!("outlet temperature of {}", passage.name), if pool { warm_in } else { warm_out }, 10.0);
    }
    let speed = SPEEDS[at.speed];
    for (k, u) in kind.unknowns.iter().enumerate() {
        // At its start, at rest, and some way up, in turn.
        let value = [u.start, 0.0, u.start + 7.3 * u.size][(at.flow + at.pressure + at.speed + k) % 3];
        push(u.name.into(), value.clamp(u.bounds.0, u.bounds.1), u.size);
    }
    for link in kind.links {
        let odd = (at.flow + at.temperature) % 2 == 1;
        let (value, size) = match *link {
            Link::DriverSpeed => (speed, 10.0),
            Link::Engine(name) => (if odd { 0.0 } else { of_engine(name).0 }, of_engine(name).1),
            Link::Shaft("shaft_power") => (if odd { 0.0 } else { 40e3 }, 5e3),
            Link::Shaft(_) => (0.4 * speed, 5.0),
            Link::Drawn(_) => (if odd { 2e3 } else { 0.0 }, 500.0),
            Link::Turned("belt_slip") => (if odd { 0.3 } else { 0.0 }, 0.05),
            Link::Turned(_) => (if odd { 0.0 } else { 3e3 }, 500.0),
            Link::Fed => (if odd { 0.0 } else { 0.05 }, 0.01),
            Link::Demand => (if odd { 1.4 } else { 1.0 }, 0.1),
            Link::Delivery => (if odd { 0.3 } else { 1.0 }, 0.1),
            Link::BoatSpeed => (if odd { 0.0 } else { 3.6 }, 0.5),
            Link::Injected => (if odd { 0.0 } else { 0.9 }, 0.1),
            Link::Charge(name) => of_charge(name, odd),
            Link::Upstream(_) => (if odd { 0.07 } else { 0.0 }, 0.01),
            Link::Own(name) | Link::All(name) => of_any(name, odd),
            Link::Gas | Link::EveryGas => (if odd { 0.0 } else { 0.09 }, 0.02),
            Link::GasTemperature => (if odd { 0.0 } else { 650.0 }, 20.0),
        };
        push(format!("{link:?}"), value, size);
    }
    let load = if at.pressure == 0 { 0.0 } else { 1.0 };
    for (name, value, size) in [
        ("speed", speed, 10.0),
        ("load", load, 0.1),
        ("sea", 287.2, 5.0),
        ("air", 291.8, 5.0),
        ("atmosphere", 101_300.0, 1e3),
        ("pitch", PITCHES[(at.flow + at.speed) % PITCHES.len()], 0.1),
    ] {
        push(name.into(), value, size);
    }
    list
}

/// The site these values describe, in the order of [`inputs`].
fn site<'a, N: Number>(kind: &Kind, values: &'a [N]) -> Site<'a, N> {
    let (parameters, rest) = values.split_at(kind.parameters.len());
    let zero = N::constant(0.0);
    let of_passage = |which: usize, idle: f64| {
        std::array::from_fn(
            |k| if k < kind.passages.len() { rest[OF_A_PASSAGE * k + which] } else { N::constant(idle) },
        )
    };
    let rest_after = &rest[OF_A_PASSAGE * kind.passages.len()..];
    let (unknowns, after) = rest_after.split_at(kind.unknowns.len());
    let (links, point) = after.split_at(kind.links.len());
    let mut filled = [Contents::FreshWater; PASSAGES];
    for (to, passage) in filled.iter_mut().zip(kind.passages) {
        *to = contents(passage);
    }
    Site {
        parameters,
        flow: of_passage(0, 0.0),
        inlet_pressure: of_passage(1, 1e5),
        outlet_pressure: of_passage(2, 1e5),
        inlet_temperature: of_passage(3, 288.15),
        outlet_temperature: of_passage(4, 288.15),
        unknowns: std::array::from_fn::<N, UNKNOWNS, _>(|u| unknowns.get(u).copied().unwrap_or(zero)),
        links: std::array::from_fn::<N, LINKS, _>(|l| links.get(l).copied().unwrap_or(zero)),
        point: Point {
            speed: point[0],
            load: point[1],
            sea: point[2],
            air: point[3],
            atmosphere: point[4],
            pitch: point[5],
        },
        contents: filled,
    }
}

fn plain(kind: &Kind, values: &[f64]) -> Vec<f64> {
    let mut say = Say::nothing();
    kind.laws.plain(&site(kind, values), &mut say);
    told(kind, &say)
}

/// Everything that the model takes from what was said.
fn told<N: Number>(kind: &Kind, say: &Say<N>) -> Vec<N> {
    let passages = kind.passages.len();
    let of_passages = [say.gap, say.heat, say.leak];
    of_passages
        .iter()
        .flat_map(|list| list[..passages].to_vec())
        .chain(say.unknown[..kind.unknowns.len()].to_vec())
        .collect()
}

/// What the laws tell, by name, with the size of a gap that matters.
fn names(kind: &Kind) -> Vec<(String, f64)> {
    let passages =
        |what: &'static str, size: f64| kind.passages.iter().map(move |p| (format!("{what} of {}", p.name), size));
    kind.passages
        .iter()
        .map(|p| (format!("gap of {}", p.name), gap_size(p)))
        .chain(passages("heat", 1e3))
        .chain(passages("leak", 1e-3))
        .chain(kind.unknowns.iter().map(|u| (format!("law of {}", u.name), u.size)))
        .collect()
}

/// Values and slopes in every input: one row a thing told, one column an input.
fn sloped(kind: &Kind, inputs: &[Input]) -> (Vec<f64>, Vec<Vec<f64>>) {
    let mut values = Vec::new();
    let mut slopes: Vec<Vec<f64>> = Vec::new();
    for first in (0..inputs.len()).step_by(Dual::DIRECTIONS) {
        let seeded: Vec<Dual> =
            inputs.iter().enumerate().map(|(k, i)| Dual::variable(i.value, k.wrapping_sub(first))).collect();
        let mut say = Say::nothing();
        kind.laws.sloped(&site(kind, &seeded), &mut say);
        let told = told(kind, &say);
        slopes.resize(told.len(), Vec::new());
        values = told.iter().map(Dual::value).collect();
        let width = (inputs.len() - first).min(Dual::DIRECTIONS);
        for (row, value) in slopes.iter_mut().zip(&told) {
            row.extend((0..width).map(|d| value.slope(d)));
        }
    }
    (values, slopes)
}

/// Central difference at half the step and at the whole one, joined so that the error of third order goes.
fn difference(kind: &Kind, inputs: &[Input], k: usize, step: f64) -> Vec<f64> {
    let at = |by: f64| {
        let mut values: Vec<f64> = inputs.iter().map(|i| i.value).collect();
        values[k] += by;
        plain(kind, &values)
    };
    let central = |h: f64| -> Vec<f64> { at(h).iter().zip(at(-h)).map(|(a, b)| (a - b) / (2.0 * h)).collect() };
    central(step).iter().zip(central(0.5 * step)).map(|(whole, half)| half + (half - whole) / 3.0).collect()
}

#[test]
fn laws_and_their_slopes_are_finite_everywhere() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        let names = names(kind);
        for levels in grid() {
            let inputs = inputs(kind, levels);
            let values: Vec<f64> = inputs.iter().map(|i| i.value).collect();
            let simple = plain(kind, &values);
            let (told, slopes) = sloped(kind, &inputs);
            for (t, (name, _)) in names.iter().enumerate() {
                let same = (simple[t] - told[t]).abs() <= 1e-9 * simple[t].abs().max(1.0);
                if !simple[t].is_finite() || !same {
                    wrong.push(format!(
                        "{}: {name} is {} plain, {} with slopes at {values:?}",
                        kind.name, simple[t], told[t]
                    ));
                }
                for (slope, input) in slopes[t].iter().zip(&inputs).filter(|(slope, _)| !slope.is_finite()) {
                    wrong.push(format!("{}: slope of {name} in {} is {slope} at {values:?}", kind.name, input.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong, the first:\n{}", wrong.len(), wrong[..wrong.len().min(20)].join("\n"));
}

#[test]
fn exact_slopes_equal_differences() {
    let mut wrong = Vec::new();
    for kind in KINDS {
        let names = names(kind);
        for levels in grid() {
            let inputs = inputs(kind, levels);
            let (told, slopes) = sloped(kind, &inputs);
            for (k, input) in inputs.iter().enumerate() {
                let step = 1e-5 * input.size;
                let differences = difference(kind, &inputs, k, step);
                for (t, (name, size)) in names.iter().enumerate() {
                    let (slope, difference) = (slopes[t][k], differences[t]);
                    // Below a hundredth of what would matter a slope is as good as none; a difference of large numbers
                    // cannot be truer than their last digits.
                    let floor = 0.01 * size / input.size;
                    let round_off = 64.0 * f64::EPSILON * told[t].abs() / step;
                    if (slope - difference).abs() > 1e-4 * slope.abs().max(floor) + round_off {
                        wrong.push(format!(
                            "{}: {name} in {}: slope {slope:e}, difference {difference:e} (told {:e})",
                            kind.name, input.name, told[t]
                        ));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong, the first:\n{}", wrong.len(), wrong[..wrong.len().min(60)].join("\n"));
}
