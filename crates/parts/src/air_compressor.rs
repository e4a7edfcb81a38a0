//! Air compressor: fills the receiver for the next start.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Its turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.05..=10.0, 1.0, exact, "common practice, no source";
    /// Power it takes at rated speed while it fills [W].
    filling: Power, 10.0..=50_000.0, 1_500.0, within 1.5, "from memory";
    /// Speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 5.0..=700.0, 157.0, exact, "common practice, no source";
    /// Share of the time that it fills and does not just go round [1].
    duty: Ratio, 0.0..=1.0, 0.05, within 2.0, "common practice, no source";
    /// Share of its stroke that still pumps [1].
    valves: Ratio, 0.0..=1.1, 1.0, within 1.1, "common practice, no source";
}

/// What it takes with its valves held open, of what it takes filling [1]; from memory.
const IDLING: f64 = 0.12;

/// What to do with one that runs hot.
const HOT: &str =
    "Stop it or open its unloader: oil in hot air takes fire in the delivery pipe. Let it cool before it is touched.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "air-compressor",
    title: "Air compressor",
    called: &["starting-air-compressor", "compressor"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Air,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"), Stroke::Line("M4 8L35 14M4 28L35 22")],
        ways: &[],
        link: inward((0.0, 18.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "taken", quantity: Quantity::Power, start: 200.0, size: 200.0, bounds: (-1e5, 1e7) },
        Unknown { name: "filling_rate", quantity: Quantity::Ratio, start: 1.0, size: 0.1, bounds: (-0.5, 5.0) },
    ],
    links: &[Link::DriverSpeed],
    laws: both::<AirCompressor>(),
    causes: &[
        Cause {
            name: "valves_leak",
            title: "valves or ring of the air compressor leak",
            moves: &[Move { on: Whose::Own, parameter: "valves", by: By::Lost }],
            severity: Severity::Even,
            says: &[says("delivery pipe very hot", 0.5), says("blows back at its intake", 0.5)],
            misreads: None,
            rate: "air-compressor-valves",
            remedy: "clean or renew its valves",
        },
        spoken(&Spoken {
            name: "oil_low",
            title: "oil of the air compressor low",
            says: &[says("knocks", 0.5), says("oil low", 0.75)],
            rate: "air-compressor-oil-low",
            remedy: "fill it with the oil its maker names, and no other",
        }),
    ],
    words: &[
        Word {
            name: "fills slowly",
            of: Of::Share { probe: Probe::Unknown(1), midpoint: 0.7, spread: 0.1, when: When::Low },
            false_said: 0.04,
            miss: 0.2,
            group: "air",
            danger: None,
            source: "from memory",
        },
        Word { danger: Some(HOT), ..said("delivery pipe very hot", 0.03, 0.3, "air-heat") },
        said("blows back at its intake", 0.03, 0.35, "air"),
        said("knocks", 0.03, 0.25, "air-noise"),
        said("oil low", 0.05, 0.25, "air"),
    ],
    checks: &[
        Check {
            name: "time_a_filling",
            title: "Time how long it takes from one mark of the receiver's gauge to the next",
            minutes: 10.0,
            state: State::Running,
            tool: Some("watch"),
            caution: "Clear of belt and delivery pipe; safety valve known to lift before you rely on it.",
            finds: &[Find { cause: "valves_leak", power: "compare-log" }],
        },
        Check {
            name: "oil",
            title: "Look at its oil",
            minutes: 2.0,
            state: State::Stopped,
            tool: Some("cloth"),
            caution: "Its drive isolated: one that starts by itself takes the hand on its pulley.",
            finds: &[Find { cause: "oil_low", power: "dipstick" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct AirCompressor;

impl Law for AirCompressor {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let turns = at.links[0] * p.drive_ratio / p.rated_speed;
        let works = p.duty + (-p.duty + 1.0) * IDLING;
        say.unknown[0] = at.unknowns[0] - p.filling * turns * works;
        say.unknown[1] = at.unknowns[1] - turns * p.valves;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_takes_its_power_while_it_fills_and_little_else() {
        let mut bench = Bench::of(&KIND).with("duty", 1.0);
        bench.site.links[0] = bench.figure("rated_speed");
        near(bench.inner("taken"), bench.figure("filling"), 1e-9, "its own figure");
        near(bench.inner("filling_rate"), 1.0, 1e-9, "its own figure");
        assert!(bench.with("duty", 0.0).inner("taken") < 0.2 * 1_500.0);
    }
}
