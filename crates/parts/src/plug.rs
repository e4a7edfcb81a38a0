//! Harness plug or common ground that several gauges share.

use crate::kind::*;
use crate::laws::{Silent, both};

/// The kind.
pub const KIND: Kind = Kind {
    name: "plug",
    title: "Harness plug or common ground",
    called: &[],
    places: &[],
    variant_of: None,
    circuit: Circuit::Gauges,
    symbol: Symbol {
        size: (36.0, 24.0),
        strokes: &[Stroke::Outline("M0 0H22A12 12 0 0 1 22 24H0Z"), Stroke::Line("M6 7H16M6 17H16")],
        ways: &[],
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[Cause {
        name: "corroded",
        title: "shared plug or common ground corroded",
        moves: &[],
        severity: Severity::Even,
        says: &[says("green or loose", 0.5)],
        // Of every gauge that shares it, all at once.
        misreads: Some(Misreads::Either),
        rate: "harness-plug-corroded",
        remedy: "clean the plug or ground",
    }],
    words: &[Word {
        name: "green or loose",
        of: Of::Cause,
        false_said: 0.1,
        miss: 0.2,
        group: "plug",
        danger: None,
        source: "from memory",
    }],
    checks: &[
        Check {
            name: "wiggle",
            title: "Key on: move the plug while a helper watches the gauges",
            minutes: 5.0,
            state: State::Stopped,
            tool: None,
            caution: "If it must be done running: sleeves and hair away from belts.",
            finds: &[Find { cause: "corroded", power: "wiggle" }],
        },
        Check {
            name: "open_and_look",
            title: "Part the plug, look at its pins, clean and close it",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("contact cleaner, torch"),
            caution: "Battery switch off before the plug is parted.",
            finds: &[Find { cause: "corroded", power: "visual-general" }],
        },
        Check {
            name: "ground_jumper",
            title: "Run a jumper from the block to battery minus: do the gauges move together?",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("jumper wire"),
            caution: "Minus only; keep the clip off the plus post.",
            finds: &[Find { cause: "corroded", power: "jumper-ground" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};
