//! Chain drive: turns a pump or a take-off from the engine without slip, as long as it is there.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Teeth of the driving wheel over the driven [1].
    ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Share of turns lost in jumped teeth [1].
    jumped: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
}

/// What to do when whatever it drove stands still.
const GONE: &str = "Slow to idle, out of gear, and see what it drove: if a water pump, stop before she is hot, as soon as stopping does \
    not put her in danger. Do not reach into the guard.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "chain-drive",
    title: "Chain drive",
    called: &["chain", "roller-chain"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (52.0, 28.0),
        strokes: &[
            Stroke::Outline("M14 0H42A10 10 0 0 1 42 20L14 28A14 14 0 0 1 14 0Z"),
            Stroke::Dashed("M14 3H42A7 7 0 0 1 42 17L14 25A11 11 0 0 1 14 3Z"),
        ],
        ways: &[],
        link: way((0.0, 14.0), (52.0, 14.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[Unknown {
        name: "speed",
        quantity: Quantity::RotationalSpeed,
        start: 150.0,
        size: 10.0,
        bounds: (-1.0, 3_000.0),
    }],
    links: &[Link::DriverSpeed],
    laws: both::<ChainDrive>(),
    causes: &[
        Cause {
            name: "broken",
            title: "chain broken or off",
            moves: &[Move { on: Whose::Own, parameter: "jumped", by: By::Towards(1.0) }],
            severity: Severity::Whole,
            says: &[says("missing", 0.9), says("clattered and went quiet", 0.5)],
            misreads: None,
            rate: "chain-broken",
            remedy: "fit a new chain and find out why it went",
        },
        Cause {
            name: "stretched",
            title: "chain stretched: slack, and riding up its teeth",
            moves: &[Move { on: Whose::Own, parameter: "jumped", by: By::Towards(0.1) }],
            severity: Severity::MostlySlight,
            says: &[says("slaps its guard", 0.6), says("slack", 0.75), says("teeth hooked", 0.4)],
            misreads: None,
            rate: "chain-stretched",
            remedy: "renew chain and wheels together",
        },
        spoken(&Spoken {
            name: "dry",
            title: "chain dry of oil",
            says: &[says("red dust", 0.6), says("rattles", 0.5)],
            rate: "chain-dry",
            remedy: "oil it as its maker says",
        }),
    ],
    words: &[
        Word { danger: Some(GONE), ..said("missing", 0.005, 0.05, "belt-gone") },
        said("clattered and went quiet", 0.005, 0.2, "chain-noise"),
        said("slaps its guard", 0.04, 0.25, "chain-noise"),
        said("rattles", 0.06, 0.3, "chain-noise"),
        said("slack", 0.05, 0.3, "chain"),
        said("teeth hooked", 0.02, 0.35, "chain"),
        said("red dust", 0.05, 0.3, "chain"),
    ],
    checks: &[
        Check {
            name: "look",
            title: "Look through the guard by torch: is it there, does the driven wheel turn?",
            minutes: 2.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "From outside the guard: a chain takes hand and sleeve and does not slip.",
            finds: &[Find { cause: "broken", power: "valve-status-seen" }],
        },
        Check {
            name: "press",
            title: "Guard off: press the slack run, pull a link off its wheel, look at teeth and oil",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("rule, spanner"),
            caution: "Key out and start isolated, decompressed if she can be: a turn by hand crushes a finger in a chain.",
            finds: &[
                Find { cause: "stretched", power: "belt-deflection" },
                Find { cause: "dry", power: "visual-general" },
                Find { cause: "broken", power: "valve-status-seen" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct ChainDrive;

impl Law for ChainDrive {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - at.links[0] * p.ratio * (-p.jumped + 1.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_turns_by_its_teeth_until_it_breaks() {
        // 19 teeth on 38: half the turns, [Khurmi14] sec. 13.1.
        let mut bench = Bench::of(&KIND).with("ratio", 19.0 / 38.0);
        bench.site.links[0] = 150.0;
        near(bench.inner("speed"), 75.0, 1e-12, "teeth over teeth");
        assert!(bench.with("jumped", 1.0).inner("speed").abs() < 1e-9);
    }
}
