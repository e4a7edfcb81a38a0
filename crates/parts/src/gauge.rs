//! Gauges: sender, wire, ground and instrument; one kind for each thing read, each with its own ways to lie.

use crate::kind::*;
use crate::laws::{Silent, both};
use shared::*;

pub(crate) mod shared;

/// Reads a temperature.
pub const TEMPERATURE: Kind = gauge(
    "temperature-gauge",
    "Temperature gauge",
    "T",
    &[
        WIRE_OPEN,
        WIRE_GROUNDED,
        READS_HIGH,
        READS_LOW,
        MISPLACED,
        SENDER_DEAD,
        HEAD_FAULTY,
        GROUND_POOR,
        WRONG_RANGE,
        TWO_STATIONS,
    ],
    WORDS_OF_SLOW,
    &[
        Check {
            finds: &[
                find("reads_high", "second-gauge"),
                find("reads_low", "second-gauge"),
                find("misplaced", "second-gauge"),
                find("sender_dead", "second-gauge"),
                find("wire_open", "second-gauge"),
                find("wire_grounded", "second-gauge"),
                find("head_faulty", "second-gauge"),
                find("ground_poor", "second-gauge"),
                find("wrong_range", "second-gauge"),
                find("two_stations", "second-gauge"),
            ],
            ..SECOND_GAUGE
        },
        Check {
            name: "infrared",
            title: "Tape or paint a spot at the sender and read it with an infrared thermometer",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer, tape"),
            caution: "Bare metal reads far too low: aim at the tape; sleeves away from belts.",
            finds: &[
                find("reads_high", "ir-painted"),
                find("reads_low", "ir-painted"),
                find("misplaced", "ir-painted"),
                find("sender_dead", "ir-painted"),
                find("wire_open", "ir-painted"),
                find("wire_grounded", "ir-painted"),
                find("head_faulty", "ir-painted"),
                find("ground_poor", "ir-painted"),
                find("wrong_range", "ir-painted"),
                find("two_stations", "ir-painted"),
            ],
        },
        WIRE_TO_GROUND,
        Check {
            name: "boiling_water",
            title: "Take the sender out and read its gauge with the sender in boiling water",
            minutes: 30.0,
            state: State::StoppedCold,
            tool: Some("spanner, pan, jumper wire"),
            caution: "Cap off first and engine cold, or hot coolant follows the sender; ground its body with the jumper.",
            finds: &[
                find("reads_high", "boiling-water"),
                find("reads_low", "boiling-water"),
                find("sender_dead", "boiling-water"),
                find("wrong_range", "boiling-water"),
            ],
        },
        WIGGLE,
        GROUND_JUMPER,
        RESISTANCE,
        SWAP,
    ],
);

/// Reads a pressure.
pub const PRESSURE: Kind = gauge(
    "pressure-gauge",
    "Pressure gauge",
    "P",
    &[
        WIRE_OPEN,
        WIRE_GROUNDED,
        PRESSURE_SENDER,
        // A dead pressure sender is open or shorted inside like a temperature sender: its rate is taken.
        SENDER_DEAD,
        LINE_PLUGGED,
        HEAD_FAULTY,
        GROUND_POOR,
        WRONG_RANGE,
        TWO_STATIONS,
    ],
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
                find("wire_open", "mechanical-oil-gauge"),
                find("wire_grounded", "mechanical-oil-gauge"),
                find("head_faulty", "mechanical-oil-gauge"),
                find("ground_poor", "mechanical-oil-gauge"),
                find("wrong_range", "mechanical-oil-gauge"),
                find("two_stations", "mechanical-oil-gauge"),
            ],
        },
        LINE_OFF,
        WIRE_TO_GROUND,
        WIGGLE,
        GROUND_JUMPER,
        RESISTANCE,
        SWAP,
    ],
);

/// Reads engine speed.
pub const SPEED: Kind = gauge(
    "speed-gauge",
    "Speed gauge",
    "S",
    &[
        SIGNAL_LOST,
        Cause {
            name: "scale_wrong",
            title: "speed gauge not set to its pulley or pickup",
            severity: Severity::Even,
            misreads: Some(Misreads::Either),
            rate: "tach-scale-wrong",
            remedy: "set the scale of the speed gauge",
            ..DISAGREES
        },
        HEAD_FAULTY,
    ],
    WORDS,
    &[
        Check {
            name: "second_gauge",
            title: "Read the shaft pulley with an optical tachometer",
            minutes: 3.0,
            state: State::Running,
            tool: Some("optical tachometer, reflecting tape"),
            caution: "Tape on with the engine stopped; sleeves and hair away from the pulley.",
            finds: &[
                find("signal_lost", "second-gauge"),
                find("scale_wrong", "second-gauge"),
                find("head_faulty", "second-gauge"),
            ],
        },
        Check {
            name: "wiggle",
            title: "Move the plugs and wires of the signal while a helper watches the needle",
            finds: &[find("signal_lost", "wiggle")],
            ..WIGGLE
        },
    ],
);

/// Reads a level.
pub const LEVEL: Kind = gauge(
    "level-gauge",
    "Level gauge",
    "L",
    &[WIRE_OPEN, WIRE_GROUNDED, FLOAT_STUCK, TANK_SHAPE, HEAD_FAULTY, GROUND_POOR, WRONG_RANGE, TWO_STATIONS],
    WORDS,
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
                find("wire_open", "dipstick"),
                find("wire_grounded", "dipstick"),
                find("head_faulty", "dipstick"),
                find("wrong_range", "dipstick"),
                find("two_stations", "dipstick"),
            ],
        },
        Check { finds: WIRE_AND_HEAD, ..WIRE_TO_GROUND },
        WIGGLE,
        GROUND_JUMPER,
        Check {
            finds: &[
                find("ground_poor", "sender-resistance"),
                find("wrong_range", "sender-resistance"),
                find("two_stations", "sender-resistance"),
            ],
            ..RESISTANCE
        },
        SWAP,
    ],
);

/// Reads a flow.
pub const FLOW: Kind = gauge(
    "flow-gauge",
    "Flow gauge",
    "F",
    &[
        Cause {
            name: "fouled",
            title: "wheel or vane of the flow sensor fouled",
            severity: Severity::Even,
            misreads: Some(Misreads::Low),
            rate: "flow-sensor-fouled",
            remedy: "clean the flow sensor",
            ..WANDERS
        },
        WIRE_OPEN,
        HEAD_FAULTY,
    ],
    WORDS,
    &[
        Check {
            name: "bucket",
            title: "Made fast alongside: time the outlet into a bucket and compare",
            minutes: 10.0,
            state: State::Idling,
            tool: Some("bucket, watch, helper"),
            caution: "Never under way, never leaning over the stern.",
            finds: &[find("fouled", "bucket"), find("wire_open", "bucket"), find("head_faulty", "bucket")],
        },
        Check {
            name: "open_and_look",
            title: "Take the flow sensor out, look at its wheel and blow at it",
            minutes: 15.0,
            state: State::StoppedAndShut,
            tool: Some("spanner"),
            caution: "Seacock shut before the sensor comes out.",
            finds: &[find("fouled", "visual-general")],
        },
        Check { finds: &[find("wire_open", "wiggle")], ..WIGGLE },
    ],
);

/// Reads a voltage.
pub const VOLTAGE: Kind = gauge(
    "voltage-gauge",
    "Voltage gauge",
    "E",
    &[WIRE_OPEN, GROUND_POOR, HEAD_FAULTY],
    WORDS,
    &[
        Check {
            name: "second_gauge",
            title: "Read the voltage at the battery posts with a hand meter",
            minutes: 3.0,
            state: State::Running,
            tool: Some("hand meter"),
            caution: "Keep spanners off the posts.",
            finds: &[
                find("wire_open", "second-gauge"),
                find("ground_poor", "second-gauge"),
                find("head_faulty", "second-gauge"),
            ],
        },
        Check { finds: &[find("wire_open", "wiggle"), find("ground_poor", "wiggle")], ..WIGGLE },
    ],
);

/// Reads a current.
pub const CURRENT: Kind = gauge(
    "current-gauge",
    "Ammeter",
    "I",
    &[
        WIRE_OPEN,
        Cause {
            name: "shunt_bypassed",
            title: "loads or chargers tapped before the shunt",
            severity: Severity::Even,
            misreads: Some(Misreads::Either),
            rate: "ammeter-shunt-bypassed",
            remedy: "bring every cable to the far side of the shunt",
            ..DISAGREES
        },
        HEAD_FAULTY,
    ],
    WORDS,
    &[
        Check {
            name: "second_gauge",
            title: "Clamp a meter for direct current round the same cable",
            minutes: 3.0,
            state: State::Running,
            tool: Some("clamp meter"),
            caution: "Set it to zero beside the cable first; sleeves away from belts.",
            finds: &[
                find("wire_open", "second-gauge"),
                find("shunt_bypassed", "second-gauge"),
                find("head_faulty", "second-gauge"),
            ],
        },
        Check { finds: &[find("wire_open", "wiggle")], ..WIGGLE },
    ],
);

/// Reads anything else.
pub const KIND: Kind = gauge(
    "gauge",
    "Gauge",
    "X",
    &[WIRE_OPEN, WIRE_GROUNDED, HEAD_FAULTY, GROUND_POOR, WRONG_RANGE, TWO_STATIONS],
    WORDS,
    &[
        SECOND_GAUGE,
        Check { finds: WIRE_AND_HEAD, ..WIRE_TO_GROUND },
        WIGGLE,
        GROUND_JUMPER,
        Check {
            finds: &[
                find("ground_poor", "sender-resistance"),
                find("wrong_range", "sender-resistance"),
                find("two_stations", "sender-resistance"),
            ],
            ..RESISTANCE
        },
        SWAP,
    ],
);

/// A gauge: no flow through it, no laws, only ways to lie.
pub(crate) const fn gauge(
    name: &'static str,
    title: &'static str,
    letters: &'static str,
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
        symbol: Symbol::instrument(letters),
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
