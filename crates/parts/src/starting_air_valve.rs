//! Starting air valve: lets air into a cylinder that stands past its top, and must not let fire back.

use crate::kind::*;
use crate::laws::{Silent, both};

/// Said before air is let in.
const BEFORE_AIR: &str = "Barred over first, bar out, pitch or gear at nothing, everybody clear of flywheel and shaft; a pipe at a starting \
    valve that is hot to the hand has fire behind it: no air into it.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "starting-air-valve",
    title: "Starting air valve",
    called: &["air-start", "air-starting-valve"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Air,
    symbol: Symbol {
        size: (40.0, 28.0),
        strokes: &[
            Stroke::Outline("M0 4L20 14L0 24Z"),
            Stroke::Outline("M40 4L20 14L40 24Z"),
            Stroke::Line("M20 14V0M14 0H26"),
        ],
        ways: &[],
        link: way((0.0, 14.0), (40.0, 14.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[
        spoken(&Spoken {
            name: "sticks",
            title: "starting air valve sticks: no air where it should come",
            says: &[says("no kick from the air", 0.75), says("stiff by hand", 0.5)],
            rate: "starting-air-valve-sticks",
            remedy: "take it out, clean and grind it in",
        }),
        spoken(&Spoken {
            name: "leaks_back",
            title: "starting air valve leaks: fire comes back into its pipe",
            says: &[
                says("its pipe is hot while she runs", 0.8),
                says("air blows from the exhaust and she does not turn", 0.3),
            ],
            rate: "starting-air-valve-leaks",
            remedy: "renew or grind in the valve before air is let into that pipe again",
        }),
        spoken(&Spoken {
            name: "mistimed",
            title: "distributor of the starting air out of time, or she stands between two valves",
            says: &[says("rocks and stops", 0.7), says("air blows from the exhaust and she does not turn", 0.5)],
            rate: "starting-air-mistimed",
            remedy: "bar her to a starting place; set the distributor by its marks",
        }),
    ],
    words: &[
        said("no kick from the air", 0.03, 0.15, "air-start"),
        said("stiff by hand", 0.04, 0.3, "air-start"),
        Word { danger: Some(BEFORE_AIR), ..said("its pipe is hot while she runs", 0.01, 0.3, "air-start-hot") },
        said("air blows from the exhaust and she does not turn", 0.02, 0.2, "air-start"),
        said("rocks and stops", 0.03, 0.2, "air-start"),
    ],
    checks: &[
        Check {
            name: "feel_the_pipe",
            title: "Feel the pipe at each starting valve while she runs: all of one warmth?",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer, tape"),
            caution: "Back of the hand or thermometer: the exhaust is beside it, and a pipe with fire behind it burns at a touch.",
            finds: &[Find { cause: "leaks_back", power: "ir-painted" }],
        },
        Check {
            name: "bar_and_try",
            title: "Bar her to a starting place and try a short breath of air",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("bar"),
            caution: BEFORE_AIR,
            finds: &[
                Find { cause: "mistimed", power: "valve-status-seen" },
                Find { cause: "sticks", power: "visual-general" },
            ],
        },
        Check {
            name: "valve_out",
            title: "Air let off: take the valve out and look at seat, stem and spring",
            minutes: 60.0,
            state: State::StoppedCold,
            tool: Some("spanners, grinding paste"),
            caution: "Receiver shut and its pipe vented and left open: read nothing on the gauge before a nut is slacked.",
            finds: &[
                Find { cause: "sticks", power: "exchanger-end-cap" },
                Find { cause: "leaks_back", power: "exchanger-end-cap" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};
