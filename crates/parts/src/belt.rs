//! Belt: turns a pump or an alternator from the engine.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Diameter of the driving pulley over the driven [1].
    ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Share of turns lost to slip [1].
    slip: Ratio, 0.0..=1.0, 0.015, within 1.8 each, "from memory";
}

/// What to do when whatever it drove stands still.
const GONE: &str = "Slow to idle, out of gear, and see what it drove: if a water pump, stop before she is hot, \
    as soon as stopping does not put her in danger.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "belt",
    title: "Belt",
    called: &[],
    places: &[],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (52.0, 28.0),
        strokes: &[
            Stroke::Outline("M14 0H42A10 10 0 0 1 42 20L14 28A14 14 0 0 1 14 0Z"),
            Stroke::Line("M5 14A9 9 0 1 1 23 14A9 9 0 1 1 5 14ZM37 10A5 5 0 1 1 47 10A5 5 0 1 1 37 10Z"),
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
        bounds: (-1.0, 3000.0),
    }],
    links: &[Link::DriverSpeed, Link::Turned("belt_slip")],
    laws: both::<Belt>(),
    causes: &[
        Cause {
            name: "lost",
            title: "belt broken or off",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Towards(1.0) }],
            severity: Severity::Whole,
            says: &[
                says("missing", 0.95),
                says("dust", 0.4),
                says("squeals", 0.15),
                says_of("diesel", "smell of hot rubber", 0.25),
            ],
            misreads: None,
            rate: "accessory-belt-lost",
            remedy: "fit a new belt and find out why it went",
        },
        Cause {
            name: "stripped",
            title: "belt stripped of its teeth: it runs, the pulley stands",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Towards(1.0) }],
            severity: Severity::Whole,
            says: &[
                says("driven pulley stands still", 0.6),
                says("dust", 0.6),
                says_of("diesel", "smell of hot rubber", 0.35),
            ],
            misreads: None,
            rate: "raw-pump-belt-failed",
            remedy: "fit a new belt and find out why it went",
        },
        Cause {
            name: "slack",
            title: "belt slack, stretched or glazed",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Towards(0.5) }],
            severity: Severity::MostlySlight,
            says: &[
                says("slack", 0.7),
                says("dust", 0.55),
                says("squeals", 0.5),
                says("hot", 0.35),
                says_of("diesel", "smell of hot rubber", 0.2),
            ],
            misreads: None,
            rate: "belt-slip-stretched",
            remedy: "tension or renew the belt",
        },
        Cause {
            name: "wrong_section",
            title: "section of the belt does not fit its pulleys",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Towards(0.4) }],
            severity: Severity::Even,
            says: &[
                says("squeals", 0.75),
                says("hot", 0.65),
                says("dust", 0.5),
                says("sits low or proud in a pulley", 0.4),
                says_of("diesel", "smell of hot rubber", 0.3),
            ],
            misreads: None,
            rate: "belt-slip-wrong-section",
            remedy: "fit a belt of the right section",
        },
    ],
    words: &[
        Word {
            name: "dust",
            of: Of::Cause,
            false_said: 0.07,
            miss: 0.25,
            group: "belt",
            danger: None,
            source: "from memory",
        },
        // A little at starting, cold and damp, is common.
        Word {
            name: "squeals",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.2,
            group: "belt-noise",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "slack",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.3,
            group: "belt",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hot",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.35,
            group: "belt",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "sits low or proud in a pulley",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.4,
            group: "belt",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "missing",
            of: Of::Cause,
            false_said: 0.005,
            miss: 0.05,
            group: "belt-gone",
            danger: Some(GONE),
            source: "from memory",
        },
        Word {
            name: "driven pulley stands still",
            of: Of::Cause,
            false_said: 0.005,
            miss: 0.15,
            group: "belt-gone",
            danger: Some(GONE),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look",
            title: "Look at belt and pulleys by torch: there, whole, all turning?",
            minutes: 2.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "From outside the guard; sleeves, hair and lanyards away.",
            finds: &[
                Find { cause: "lost", power: "valve-status-seen" },
                Find { cause: "stripped", power: "visual-general" },
            ],
        },
        Check {
            name: "press",
            title: "Press the longest span with a thumb and measure; look for glaze, cracks and dust",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("straight edge, rule"),
            caution: "Key out and start isolated before a hand goes near a belt.",
            finds: &[
                Find { cause: "slack", power: "belt-deflection" },
                Find { cause: "lost", power: "valve-status-seen" },
                Find { cause: "stripped", power: "visual-general" },
            ],
        },
        Check {
            name: "measure_section",
            title: "Measure belt and grooves: do width and angle match on every pulley?",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("caliper"),
            caution: "Key out and start isolated; a pulley may be hot enough to burn.",
            finds: &[Find { cause: "wrong_section", power: "visual-general" }],
        },
        Check {
            name: "pulley_speed",
            title: "Measure the speed of both pulleys and compare with their diameters",
            minutes: 5.0,
            state: State::Running,
            tool: Some("optical speed meter, reflective tape"),
            caution: "Stick the tape on with the engine stopped; stand out of the plane of the belt.",
            finds: &[
                Find { cause: "slack", power: "second-gauge" },
                Find { cause: "wrong_section", power: "second-gauge" },
                Find { cause: "stripped", power: "second-gauge" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Belt;

impl Law for Belt {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - at.links[0] * p.ratio * (-p.slip + 1.0) * (-at.links[1] + 1.0);
    }
}
