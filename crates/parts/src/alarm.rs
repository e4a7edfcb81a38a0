//! Alarm switch and its lamp or bell.

use crate::kind::*;
use crate::laws::{Silent, both};

/// The kind.
pub const KIND: Kind = Kind {
    name: "alarm",
    title: "Alarm switch and lamp",
    called: &[],
    places: &[],
    variant_of: None,
    circuit: Circuit::Gauges,
    symbol: Symbol::instrument("A"),
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[SWITCH_DEAD, CRIES_WOLF, WIRE_OPEN, WIRE_GROUNDED],
    words: &[
        Word {
            name: "on",
            of: Of::Trip,
            false_said: 0.005,
            miss: 0.05,
            group: "alarm",
            danger: Some(ANSWER),
            source: "from memory",
        },
        Word {
            name: "flickers",
            of: Of::Trip,
            false_said: 0.01,
            miss: 0.4,
            group: "alarm",
            danger: Some(ANSWER),
            source: "from memory",
        },
        Word {
            name: "silent",
            of: Of::Cause,
            false_said: 0.3,
            miss: 0.05,
            group: "alarm",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "comes at random",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "alarm-pattern",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "key_on",
            title: "Key on, engine stopped: do lamp and buzzer come on?",
            minutes: 1.0,
            state: State::Stopped,
            tool: None,
            caution: "Proves lamp and buzzer, not the switch in the engine.",
            finds: &[
                Find { cause: "switch_dead", power: "key-on-lamps" },
                Find { cause: "wire_open", power: "key-on-lamps" },
            ],
        },
        Check {
            name: "wire_to_ground",
            title: "Key on: hold the switch's wire to the block, then clear of it: on, then off?",
            minutes: 3.0,
            state: State::Stopped,
            tool: Some("jumper wire"),
            caution: "For switches that close; one that opens answers the other way round.",
            finds: &[
                Find { cause: "wire_open", power: "sender-to-ground" },
                Find { cause: "wire_grounded", power: "sender-to-ground" },
            ],
        },
        Check {
            name: "boiling_water",
            title: "Temperature switch: heat it in a pan with a thermometer and a meter: does it close, and where?",
            minutes: 30.0,
            state: State::StoppedCold,
            tool: Some("spanner, pan, thermometer, meter"),
            caution: "Cap off first and engine cold, or hot coolant follows the switch.",
            finds: &[
                Find { cause: "switch_dead", power: "boiling-water" },
                Find { cause: "cries_wolf", power: "boiling-water" },
            ],
        },
        Check {
            name: "mechanical_gauge",
            title: "Pressure switch: put a mechanical gauge in its place and read it running",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("mechanical gauge, adapter, spanner"),
            caution: "Until it is read, believe the alarm: stop if the gauge shows no pressure within five seconds.",
            finds: &[
                Find { cause: "cries_wolf", power: "mechanical-oil-gauge" },
                Find { cause: "wire_grounded", power: "mechanical-oil-gauge" },
            ],
        },
        Check {
            name: "wiggle",
            title: "Move the plugs and wires of the alarm while a helper watches the lamp",
            minutes: 5.0,
            state: State::Stopped,
            tool: None,
            caution: "If it must be done running: sleeves and hair away from belts.",
            finds: &[
                Find { cause: "wire_open", power: "wiggle" },
                Find { cause: "wire_grounded", power: "wiggle" },
                Find { cause: "plug/corroded", power: "wiggle" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// One whose switch is closed by heat: it cries wolf as often as a temperature sender reads high, and not as a pressure switch
/// does, whose line plugs and whose diaphragm leaks.
pub const TEMPERATURE: Kind = Kind {
    name: "temperature-alarm",
    title: "Temperature switch and lamp",
    variant_of: Some("alarm"),
    causes: &[SWITCH_DEAD, Cause { rate: "temp-sender-reads-high", ..CRIES_WOLF }, WIRE_OPEN, WIRE_GROUNDED],
    ..KIND
};

const SWITCH_DEAD: Cause = Cause {
    name: "switch_dead",
    title: "alarm switch never closes",
    moves: &[],
    severity: Severity::Whole,
    says: &[says("silent", 0.8)],
    misreads: Some(Misreads::Silent),
    rate: "alarm-switch-dead",
    remedy: "renew the alarm switch",
};
const CRIES_WOLF: Cause = Cause {
    name: "cries_wolf",
    title: "alarm switch closes though nothing is wrong",
    moves: &[],
    severity: Severity::Whole,
    says: &[says("comes at random", 0.5)],
    misreads: Some(Misreads::CriesWolf),
    rate: "oil-pressure-sensor-faulty",
    remedy: "renew the alarm switch",
};
const WIRE_OPEN: Cause = Cause {
    name: "wire_open",
    title: "wire to the alarm switch open",
    moves: &[],
    severity: Severity::Whole,
    says: &[says("silent", 0.8)],
    misreads: Some(Misreads::Open),
    rate: "gauge-wire-open",
    remedy: "mend the wire",
};
const WIRE_GROUNDED: Cause = Cause {
    name: "wire_grounded",
    title: "wire to the alarm switch chafed through to ground",
    moves: &[],
    severity: Severity::Whole,
    says: &[says("comes at random", 0.4)],
    misreads: Some(Misreads::Grounded),
    rate: "gauge-wire-shorted",
    remedy: "mend the wire",
};

/// What to do when an alarm speaks.
const ANSWER: &str = "Believe it first: idle at once and read the gauge beside it. Oil pressure, and no gauge says otherwise: \
    stop as soon as the ship is safe. Temperature: out of gear at idle, look at the outlet. If she cannot stop, the least \
    speed that keeps her safe.";
