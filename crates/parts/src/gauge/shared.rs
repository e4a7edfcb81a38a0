//! What several kinds of gauge share: ways to lie, words, checks.

use crate::kind::*;

/// A fault that leaves the needle dead; what differs is filled in where it is used.
pub const DIES: Cause = Cause {
    name: "",
    title: "",
    moves: &[],
    severity: Severity::Whole,
    says: &[says("dead", 0.7), says("jumps when wires are touched", 0.4), DISAGREE, INFRARED],
    misreads: None,
    rate: "",
    remedy: "",
};
/// A fault that makes the needle unsteady.
pub const WANDERS: Cause = Cause {
    says: &[says("needle wanders", 0.4), says("jumps when wires are touched", 0.3), DISAGREE, INFRARED],
    ..DIES
};
/// A fault that leaves the needle steady and wrong.
pub const DISAGREES: Cause = Cause { says: &[DISAGREE, INFRARED], ..DIES };
const DISAGREE: Says = says("other gauge disagrees", 0.8);
const INFRARED: Says = says("infrared disagrees", 0.8);
const LATE: Says = says("comes late", 0.5);

/// Needle at the stop that no current gives.
pub const WIRE_OPEN: Cause = Cause {
    name: "wire_open",
    title: "wire to the gauge open",
    misreads: Some(Misreads::Open),
    rate: "gauge-wire-open",
    remedy: "mend the wire",
    ..DIES
};
/// The same where several instruments part from one wire: its end at the sender, hot, oily and shaken.
pub const SENDER_WIRE_OPEN: Cause = Cause {
    name: "wire_open",
    title: "wire open at the sender",
    misreads: Some(Misreads::Open),
    rate: "sender-wire-open",
    remedy: "mend the wire end",
    ..DIES
};
/// Needle at the stop that no resistance gives.
pub const WIRE_GROUNDED: Cause = Cause {
    name: "wire_grounded",
    title: "wire to the gauge chafed through to ground",
    says: &[says("jumps when wires are touched", 0.4), DISAGREE, INFRARED],
    misreads: Some(Misreads::Grounded),
    rate: "gauge-wire-shorted",
    remedy: "mend the wire",
    ..DIES
};
/// Of temperature senders.
pub const READS_HIGH: Cause = Cause {
    name: "reads_high",
    title: "temperature sender reads high",
    severity: Severity::Even,
    misreads: Some(Misreads::High),
    rate: "temp-sender-reads-high",
    remedy: "renew the sender",
    ..DISAGREES
};
/// Of temperature senders.
pub const READS_LOW: Cause = Cause {
    name: "reads_low",
    title: "temperature sender reads low: scaled or badly seated",
    severity: Severity::Even,
    says: &[DISAGREE, INFRARED, LATE],
    misreads: Some(Misreads::Low),
    rate: "temp-sender-reads-low",
    remedy: "renew the sender",
    ..DISAGREES
};
/// In a dead corner, in a pocket without paste, or behind what shuts it off: it sees too little of what it reads.
pub const MISPLACED: Cause = Cause {
    name: "misplaced",
    title: "temperature sender sits where too little of the flow reaches it",
    severity: Severity::Even,
    says: &[DISAGREE, INFRARED, LATE],
    misreads: Some(Misreads::Low),
    rate: "sender-misplaced",
    remedy: "move the sender into the flow",
    ..DIES
};
/// Open or shorted inside.
pub const SENDER_DEAD: Cause = Cause {
    name: "sender_dead",
    title: "sender dead",
    misreads: Some(Misreads::Open),
    rate: "temp-sender-dead",
    remedy: "renew the sender",
    ..DIES
};
/// The dial itself.
pub const HEAD_FAULTY: Cause = Cause {
    name: "head_faulty",
    title: "instrument itself stuck or off, or its supply faulty",
    severity: Severity::Even,
    says: &[says("needle wanders", 0.2), says("dead", 0.3), DISAGREE, INFRARED],
    misreads: Some(Misreads::Either),
    rate: "gauge-head-faulty",
    remedy: "renew the instrument or mend its supply",
    ..DIES
};
/// Resistance in the ground path, thread tape.
pub const GROUND_POOR: Cause = Cause {
    name: "ground_poor",
    title: "sender poorly grounded",
    severity: Severity::MostlySlight,
    misreads: Some(Misreads::Resistance),
    rate: "sender-ground-poor",
    remedy: "clean the ground",
    ..WANDERS
};
/// Another family of sender.
pub const WRONG_RANGE: Cause = Cause {
    name: "wrong_range",
    title: "sender does not match the instrument, in family, range or unit",
    severity: Severity::Even,
    misreads: Some(Misreads::Either),
    rate: "sender-wrong-range",
    remedy: "fit the matching sender",
    ..DISAGREES
};
/// Half or double the resistance that the dials want.
pub const TWO_STATIONS: Cause = Cause {
    name: "two_stations",
    title: "sender made for another number of instruments",
    severity: Severity::MostlyBad,
    misreads: Some(Misreads::High),
    rate: "sender-dual-station-mismatch",
    remedy: "fit the matching sender",
    ..DISAGREES
};

/// Of pressure senders.
pub const PRESSURE_SENDER: Cause = Cause {
    name: "sender_faulty",
    title: "pressure sender reads wrong",
    severity: Severity::Even,
    misreads: Some(Misreads::Either),
    rate: "oil-pressure-sensor-faulty",
    remedy: "renew the sender",
    ..WANDERS
};
/// Between tapping and pressure sender.
pub const LINE_PLUGGED: Cause = Cause {
    name: "line_plugged",
    title: "line or snubber to the pressure sender plugged",
    severity: Severity::MostlyBad,
    says: &[says("other gauge disagrees", 0.8), says("comes late", 0.6)],
    misreads: Some(Misreads::Low),
    rate: "pressure-line-plugged",
    remedy: "clear the pressure line",
    ..DISAGREES
};
/// Of what counts pulses.
pub const SIGNAL_LOST: Cause = Cause {
    name: "signal_lost",
    title: "signal to the speed gauge lost",
    misreads: Some(Misreads::LowStop),
    rate: "tach-signal-lost",
    remedy: "mend the signal wire or pickup",
    ..DIES
};
/// Of level senders.
pub const FLOAT_STUCK: Cause = Cause {
    name: "stuck",
    title: "float of the level sender stuck or its track worn",
    severity: Severity::Even,
    misreads: Some(Misreads::Either),
    rate: "level-sender-stuck",
    remedy: "free or renew the level sender",
    ..WANDERS
};
/// Of level senders in tanks that are no box.
pub const TANK_SHAPE: Cause = Cause {
    name: "shape",
    title: "level scale does not fit the tank's shape",
    severity: Severity::Even,
    misreads: Some(Misreads::High),
    rate: "level-gauge-nonlinear-tank",
    remedy: "make a table of the tank",
    ..DISAGREES
};

/// A word that only causes explain.
const fn word(name: &'static str, false_said: f64, group: &'static str) -> Word {
    Word { name, of: Of::Cause, false_said, miss: 0.2, group, danger: None, source: "from memory" }
}

const WANDERING: Word = word("needle wanders", 0.04, "gauge-needle");
const DEAD: Word = word("dead", 0.01, "gauge-needle");
const JUMPING: Word = word("jumps when wires are touched", 0.01, "gauge-needle");
const OTHER: Word = word("other gauge disagrees", 0.06, "gauge-second");
// That infrared agrees is no word: no fault makes it likelier. Told as not, or as a clean check, it weighs.
const BY_INFRARED: Word = word("infrared disagrees", 0.06, "gauge-infrared");
const COMES_LATE: Word = word("comes late", 0.03, "gauge-late");

/// What is said of any gauge; of infrared only where a temperature is read.
pub const WORDS: &[Word] = &[WANDERING, DEAD, JUMPING, OTHER, BY_INFRARED];
/// And of one whose sender can be slow.
pub const WORDS_OF_SLOW: &[Word] = &[WANDERING, DEAD, JUMPING, OTHER, BY_INFRARED, COMES_LATE];
/// Of a sender by itself: the needle is its gauges'.
pub const WORDS_OF_SENDER: &[Word] = &[DEAD, JUMPING, OTHER, BY_INFRARED];
/// Of one that can be slow.
pub const WORDS_OF_SLOW_SENDER: &[Word] = &[DEAD, JUMPING, OTHER, BY_INFRARED, COMES_LATE];
/// Of a float.
pub const WORDS_OF_FLOAT: &[Word] = &[WANDERING, JUMPING, OTHER, BY_INFRARED];

/// A second sender, not a second dial.
pub const SECOND_GAUGE: Check = Check {
    name: "second_gauge",
    title: "Read the same thing with a second gauge at the sender",
    minutes: 3.0,
    state: State::Running,
    tool: Some("second gauge or thermometer"),
    caution: "A second dial on the same sender proves nothing; sleeves away from belts.",
    finds: &[
        find("wire_open", "second-gauge"),
        find("wire_grounded", "second-gauge"),
        find("head_faulty", "second-gauge"),
        find("ground_poor", "second-gauge"),
        find("wrong_range", "second-gauge"),
        find("two_stations", "second-gauge"),
    ],
};
/// What taking the wire off tells where the sender has no fault of its own.
pub const WIRE_AND_HEAD: &[Find] = &[
    find("wire_open", "sender-to-ground"),
    find("wire_grounded", "sender-to-ground"),
    find("head_faulty", "sender-to-ground"),
];
/// Splits sender from wire and dial.
pub const WIRE_TO_GROUND: Check = Check {
    name: "wire_to_ground",
    title: "Key on: take the wire off the sender, hold it clear, then to the block: does the needle go from stop to stop?",
    minutes: 5.0,
    state: State::Stopped,
    tool: Some("spanner, jumper wire"),
    caution: "A touch, no longer: some instruments burn out; never near a battery or with fuel vapour about.",
    finds: &[
        find("wire_open", "sender-to-ground"),
        find("wire_grounded", "sender-to-ground"),
        find("sender_dead", "sender-to-ground"),
        find("head_faulty", "sender-to-ground"),
    ],
};
/// Splits sender from all the rest without trusting an instrument.
pub const RESISTANCE: Check = Check {
    name: "resistance",
    title: "Wire off the sender: measure it to ground with a meter and hold it against its table",
    minutes: 5.0,
    state: State::Stopped,
    tool: Some("hand meter, the sender's table"),
    caution: "Key off and wire off, or the meter reads the instrument too.",
    finds: &[
        find("sender_dead", "sender-resistance"),
        find("ground_poor", "sender-resistance"),
        find("wrong_range", "sender-resistance"),
        find("two_stations", "sender-resistance"),
    ],
};
/// Splits the instrument from its chain.
pub const SWAP: Check = Check {
    name: "swap",
    title: "Put the sender's wire on a like instrument, or swap two: does the fault go with the instrument?",
    minutes: 15.0,
    state: State::Stopped,
    tool: Some("spanner, jumper wire"),
    caution: "Battery switch off while the wires are off; only instruments of one family.",
    finds: &[find("head_faulty", "swap-instruments")],
};
/// Finds what shuts a pressure sender off.
pub const LINE_OFF: Check = Check {
    name: "line_off",
    title: "Take the line and its snubber off and blow them through",
    minutes: 15.0,
    state: State::Stopped,
    tool: Some("spanner, rag, wire"),
    caution: "Hot oil runs out, or the sea comes in: seacock shut first where there is one; never crank with the tapping open.",
    finds: &[find("line_plugged", "visual-general")],
};
/// Finds poor contacts.
pub const WIGGLE: Check = Check {
    name: "wiggle",
    title: "Key on: move plugs and wires one by one while a helper watches the needle",
    minutes: 10.0,
    state: State::Stopped,
    tool: None,
    caution: "If it must be done running: sleeves and hair away from belts.",
    finds: &[
        find("wire_open", "wiggle"),
        find("wire_grounded", "wiggle"),
        find("ground_poor", "wiggle"),
        find("plug/corroded", "wiggle"),
        find("ground/poor", "wiggle"),
    ],
};
/// Finds poor grounds.
pub const GROUND_JUMPER: Check = Check {
    name: "ground_jumper",
    title: "Run a jumper from the sender's body to battery minus: does the reading move?",
    minutes: 5.0,
    state: State::Stopped,
    tool: Some("jumper wire"),
    caution: "Minus only; keep the clip off the plus post.",
    finds: &[
        find("ground_poor", "jumper-ground"),
        find("plug/corroded", "jumper-ground"),
        find("ground/poor", "jumper-ground"),
    ],
};
