//! A ground that several senders share: the block, a ground strap, a bus of them.

use crate::kind::*;
use crate::laws::{Silent, both};

/// The kind.
pub const KIND: Kind = Kind {
    name: "ground",
    title: "Shared ground",
    called: &["ground-strap", "common-ground"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Gauges,
    symbol: Symbol {
        size: (24.0, 24.0),
        strokes: &[Stroke::Line("M12 0V10M0 10H24M4 15H20M8 20H16")],
        ways: &[],
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[Cause {
        name: "poor",
        title: "shared ground poor: resistance in series with every sender on it",
        moves: &[],
        severity: Severity::MostlySlight,
        says: &[says("loose or green", 0.5), says("gauges move with a load switched on", 0.5)],
        misreads: Some(Misreads::Resistance),
        rate: "sender-ground-poor",
        remedy: "clean and tighten the ground",
    }],
    words: &[
        said("loose or green", 0.1, 0.2, "ground"),
        said("gauges move with a load switched on", 0.05, 0.2, "ground-load"),
    ],
    checks: &[
        Check {
            name: "ground_jumper",
            title: "Run a jumper from there to battery minus: do the gauges move together?",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("jumper wire"),
            caution: "Minus only; keep the clip off the plus post.",
            finds: &[find("poor", "jumper-ground")],
        },
        Check {
            name: "volt_drop",
            title: "Measure the voltage from there to battery minus with the instruments on: it should be a tenth of a volt at most",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("hand meter"),
            caution: "Keep spanners and the probes off the plus post.",
            finds: &[find("poor", "volt-drop")],
        },
        Check {
            name: "wiggle",
            title: "Key on: move strap and terminals while a helper watches the gauges",
            minutes: 5.0,
            state: State::Stopped,
            tool: None,
            caution: "If it must be done running: sleeves and hair away from belts.",
            finds: &[find("poor", "wiggle")],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};
