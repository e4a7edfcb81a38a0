//! Senders that have a name of their own, so that two gauges or more may read one; what they do without one is in `gauge`.
//!
//! Two dials on one sender agree whatever it sends: they prove nothing about each other.

use crate::gauge::shared::*;
use crate::kind::*;
use crate::laws::{Silent, both};

/// Sends a temperature.
pub const TEMPERATURE: Kind = sender(
    "temperature-sender",
    "Temperature sender",
    &[READS_HIGH, READS_LOW, MISPLACED, SENDER_DEAD, SENDER_WIRE_OPEN, WRONG_RANGE, TWO_STATIONS],
    WORDS_OF_SLOW_SENDER,
    &[
        Check {
            name: "second_gauge",
            title: "Read the same place with a thermometer or a sender of its own",
            finds: &[
                find("reads_high", "second-gauge"),
                find("reads_low", "second-gauge"),
                find("misplaced", "second-gauge"),
                find("sender_dead", "second-gauge"),
                find("wrong_range", "second-gauge"),
                find("two_stations", "second-gauge"),
            ],
            ..SECOND_GAUGE
        },
        WIRE_OFF,
        RESISTANCE_OF_SENDER,
        Check {
            name: "boiling_water",
            title: "Take the sender out and measure its resistance cold and in boiling water against its table",
            minutes: 30.0,
            state: State::StoppedCold,
            tool: Some("spanner, pan, hand meter"),
            caution: "Cap off first and engine cold, or hot coolant follows the sender.",
            finds: &[
                find("reads_high", "boiling-water"),
                find("reads_low", "boiling-water"),
                find("sender_dead", "boiling-water"),
                find("wrong_range", "boiling-water"),
            ],
        },
    ],
);

/// Sends a pressure.
pub const PRESSURE: Kind = sender(
    "pressure-sender",
    "Pressure sender",
    &[PRESSURE_SENDER, SENDER_DEAD, SENDER_WIRE_OPEN, LINE_PLUGGED, WRONG_RANGE, TWO_STATIONS],
    WORDS_OF_SLOW,
    &[
        Check {
            name: "mechanical_gauge",
            title: "Screw a mechanical gauge into the tapping and read it running",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("mechanical gauge, adapter, spanner"),
            caution: "Hot oil under pressure, or the sea behind it: fit it stopped, a seacock shut first where there is one; stand clear at the start, stop at the first weep.",
            finds: &[
                find("sender_faulty", "mechanical-oil-gauge"),
                find("sender_dead", "mechanical-oil-gauge"),
                find("wrong_range", "mechanical-oil-gauge"),
                find("two_stations", "mechanical-oil-gauge"),
            ],
        },
        LINE_OFF,
        WIRE_OFF,
        RESISTANCE_OF_SENDER,
    ],
);

/// Sends a level.
pub const LEVEL: Kind = sender(
    "level-sender",
    "Level sender",
    &[FLOAT_STUCK, TANK_SHAPE, WRONG_RANGE, TWO_STATIONS],
    WORDS_OF_FLOAT,
    &[
        Check {
            name: "dip",
            title: "Dip the tank and compare",
            minutes: 5.0,
            state: State::Running,
            tool: Some("dip stick, cloth"),
            caution: "No flame; average over a few rolls.",
            finds: &[
                find("stuck", "dipstick"),
                find("shape", "dipstick"),
                find("wrong_range", "dipstick"),
                find("two_stations", "dipstick"),
            ],
        },
        Check {
            finds: &[
                find("stuck", "sender-resistance"),
                find("wrong_range", "sender-resistance"),
                find("two_stations", "sender-resistance"),
            ],
            ..RESISTANCE
        },
    ],
);

/// Sends pulses of a toothed wheel.
pub const PICKUP: Kind = sender(
    "speed-pickup",
    "Magnetic speed pick-up",
    &[SIGNAL_LOST],
    WORDS_OF_SENDER,
    &[
        Check {
            name: "open_and_look",
            title: "Take the pick-up out, wipe its tip, look at the teeth and set the gap anew",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner, feeler gauge"),
            caution: "Key out: nobody may turn the engine with the hole open.",
            finds: &[find("signal_lost", "visual-general")],
        },
        Check {
            name: "wiggle",
            title: "Move the plugs and wires of the signal while a helper watches the needle",
            finds: &[find("signal_lost", "wiggle")],
            ..WIGGLE
        },
    ],
);

/// What needs the sender's own faults only.
const WIRE_OFF: Check = Check {
    finds: &[find("sender_dead", "sender-to-ground"), find("wire_open", "sender-to-ground")],
    ..WIRE_TO_GROUND
};
const RESISTANCE_OF_SENDER: Check = Check {
    finds: &[
        find("sender_dead", "sender-resistance"),
        find("wrong_range", "sender-resistance"),
        find("two_stations", "sender-resistance"),
    ],
    ..RESISTANCE
};

/// A sender: no flow through it, only ways to lie, of every gauge that reads it.
const fn sender(
    name: &'static str,
    title: &'static str,
    causes: &'static [Cause],
    words: &'static [Word],
    checks: &'static [Check],
) -> Kind {
    Kind {
        name,
        title,
        called: &[],
        places: &[],
        variant_of: None,
        circuit: Circuit::Gauges,
        symbol: Symbol {
            size: (24.0, 24.0),
            strokes: &[Stroke::Outline("M0 12A12 12 0 1 1 24 12A12 12 0 1 1 0 12Z"), Stroke::Line("M12 4V20M7 9H17")],
            ways: &[],
            ..Symbol::BLANK
        },
        passages: &[],
        parameters: &[],
        unknowns: &[],
        links: &[],
        laws: both::<Silent>(),
        causes,
        words,
        checks,
        walls: &[],
        limits: &[],
        margins: &[],
    }
}
