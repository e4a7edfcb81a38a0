//! What several kinds of gauge share: ways to lie, words, checks.

use crate::kind::*;

/// What a check finds.
pub const fn find(cause: &'static str, power: &'static str) -> Find {
    Find { cause, power }
}

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

/// Needle at the low stop.
pub const WIRE_OPEN: Cause = Cause {
    name: "wire_open",
    title: "wire to the gauge open",
    misreads: Some(Misreads::LowStop),
    rate: "gauge-wire-open",
    remedy: "mend the wire",
    ..DIES
};
/// Needle at the high stop.
pub const WIRE_GROUNDED: Cause = Cause {
    name: "wire_grounded",
    title: "wire to the gauge chafed through to ground",
    says: &[says("jumps when wires are touched", 0.4), DISAGREE, INFRARED],
    misreads: Some(Misreads::HighStop),
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
    misreads: Some(Misreads::Low),
    rate: "temp-sender-reads-low",
    remedy: "renew the sender",
    ..DISAGREES
};
/// Open or shorted inside.
pub const SENDER_DEAD: Cause = Cause {
    name: "sender_dead",
    title: "sender dead",
    misreads: Some(Misreads::LowStop),
    rate: "temp-sender-dead",
    remedy: "renew the sender",
    ..DIES
};
/// The dial itself.
pub const HEAD_FAULTY: Cause = Cause {
    name: "head_faulty",
    title: "instrument itself or its supply faulty",
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
    misreads: Some(Misreads::Low),
    rate: "sender-ground-poor",
    remedy: "clean the ground",
    ..WANDERS
};
/// Another family of sender.
pub const WRONG_RANGE: Cause = Cause {
    name: "wrong_range",
    title: "sender does not match the instrument",
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

/// A word that only causes explain.
const fn word(name: &'static str, false_said: f64, group: &'static str) -> Word {
    Word { name, of: Of::Cause, false_said, miss: 0.2, group, danger: None, source: "from memory" }
}

/// What is said of any gauge; of infrared only where a temperature is read.
pub const WORDS: &[Word] = &[
    word("needle wanders", 0.04, "gauge-needle"),
    word("dead", 0.01, "gauge-needle"),
    word("jumps when wires are touched", 0.01, "gauge-needle"),
    word("other gauge disagrees", 0.06, "gauge-second"),
    // That infrared agrees is no word: no fault makes it likelier. Told as not, or as a clean check, it weighs.
    word("infrared disagrees", 0.06, "gauge-infrared"),
];

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
    finds: &[find("ground_poor", "jumper-ground"), find("plug/corroded", "jumper-ground")],
};
