//! Hand start: decompression, crank and flywheel; what is looked at when she will not turn or will not fire.

use crate::kind::*;
use crate::laws::{Silent, both};

/// Said at every step that puts a hand on the crank.
const KICKS: &str = "She kicks back: thumb on the same side of the crank as the fingers, pull up and never push down, nobody within its \
    swing, pitch or gear at nothing; decompress before you let go.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "hand-start",
    title: "Hand start",
    called: &["crank", "starting-handle", "hand-crank"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (44.0, 36.0),
        strokes: &[
            Stroke::Outline("M26 18A9 9 0 1 1 44 18A9 9 0 1 1 26 18Z"),
            Stroke::Line("M35 18H16V32H2"),
            Stroke::Solid("M0 29H8V35H0Z"),
        ],
        ways: &[],
        link: outward((44.0, 18.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[
        spoken(&Spoken {
            name: "not_decompressed",
            title: "decompression does not lift its valves: lever bent, lash lost or linkage off",
            says: &[says("too heavy to swing", 0.8), says("compression felt with the lever lifted", 0.8)],
            rate: "hand-start-decompression",
            remedy: "set the decompression to its lash",
        }),
        spoken(&Spoken {
            name: "stays_lifted",
            title: "decompression stays lifted: she spins and does not fire",
            says: &[says("swings light and does not fire", 0.8), says("breathes at the valves when spun", 0.5)],
            rate: "hand-start-stays-lifted",
            remedy: "free the decompression and set it to its lash",
        }),
        spoken(&Spoken {
            name: "crank_slips",
            title: "dog or chain of the crank worn: it slips or does not let go",
            says: &[says("crank slips off", 0.7), says("crank stays in when she fires", 0.4)],
            rate: "hand-start-dog-worn",
            remedy: "renew dog and pin before it is used again",
        }),
        spoken(&Spoken {
            name: "thick_oil",
            title: "oil too thick in the cold: she cannot be swung fast enough",
            says: &[says("too heavy to swing", 0.5), says("swings slowly when cold", 0.85)],
            rate: "hand-start-cold-oil",
            remedy: "warm sump and intake; thinner oil in winter",
        }),
    ],
    words: &[
        Word { danger: Some(KICKS), ..said("too heavy to swing", 0.05, 0.15, "swing") },
        said("compression felt with the lever lifted", 0.03, 0.25, "swing"),
        said("swings light and does not fire", 0.03, 0.2, "swing"),
        said("breathes at the valves when spun", 0.03, 0.4, "swing"),
        Word { danger: Some(KICKS), ..said("crank slips off", 0.02, 0.15, "crank") },
        Word { danger: Some(KICKS), ..said("crank stays in when she fires", 0.005, 0.1, "crank") },
        said("swings slowly when cold", 0.08, 0.2, "swing"),
    ],
    checks: &[
        Check {
            name: "bar_over",
            title: "Fuel off, decompressed: bar her over two turns, then one cylinder at a time under compression",
            minutes: 10.0,
            state: State::StoppedCold,
            tool: Some("bar or crank"),
            caution: KICKS,
            finds: &[
                Find { cause: "not_decompressed", power: "valve-status-seen" },
                Find { cause: "stays_lifted", power: "valve-status-seen" },
                Find { cause: "thick_oil", power: "visual-general" },
                Find { cause: "starting-air-valve/leaks_back", power: "visual-general" },
            ],
        },
        Check {
            name: "look_at_the_dog",
            title: "Look at dog, pin and bearing of the crank",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("torch"),
            caution: "Crank out and put away when you have looked: one left in is thrown when she starts.",
            finds: &[Find { cause: "crank_slips", power: "visual-general" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};
