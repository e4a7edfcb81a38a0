//! What several instruments are fed from: key switch, fuse, the wire to the panel.

use crate::kind::*;
use crate::laws::{Silent, both};

/// The kind.
pub const KIND: Kind = Kind {
    name: "instrument-supply",
    title: "Supply of the instruments",
    called: &["panel-supply", "instrument-feed"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Gauges,
    symbol: Symbol {
        size: (36.0, 24.0),
        strokes: &[Stroke::Outline("M0 0H36V24H0Z"), Stroke::Line("M6 12H30M12 7V17M24 9V15")],
        ways: &[],
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[
        Cause {
            name: "lost",
            title: "supply of the instruments lost: fuse, key switch or wire",
            moves: &[],
            severity: Severity::Whole,
            says: &[says("all dead at once", 0.85)],
            misreads: Some(Misreads::NoSupply),
            rate: "instrument-supply-lost",
            remedy: "find and mend the break, then renew the fuse",
        },
        Cause {
            name: "low",
            title: "voltage at the instruments low: a poor contact on the way, or a weak regulator for them",
            moves: &[],
            severity: Severity::MostlySlight,
            says: &[says("needles dip with a load switched on", 0.5)],
            misreads: Some(Misreads::Undervoltage),
            rate: "instrument-supply-low",
            remedy: "clean the contacts of the supply or renew its regulator",
        },
    ],
    words: &[
        said("all dead at once", 0.003, 0.1, "supply"),
        said("needles dip with a load switched on", 0.05, 0.2, "supply-load"),
    ],
    checks: &[
        Check {
            name: "volt_drop",
            title: "Key on: measure the voltage at an instrument's terminals and at the battery, and compare",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("hand meter"),
            caution: "Keep the probes apart behind the panel: the supply is before the fuse of nothing else.",
            finds: &[find("lost", "volt-drop"), find("low", "volt-drop")],
        },
        Check {
            name: "fuse",
            title: "Look at the fuse of the instruments, and turn it in its holder",
            minutes: 3.0,
            state: State::Stopped,
            tool: Some("torch, fuse of the same rating"),
            caution: "A fuse that blows again has a reason: never a larger one.",
            finds: &[find("lost", "visual-general")],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};
