//! Vented loop: carries the raw water over the waterline so that it cannot siphon into the engine.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::signed_square;

crate::parameters! {
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 0.92 * power ^ 1.0, exact, "common practice, no source";
    /// Drop at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=50_000.0, 1_500.0, within 2.0, "common practice, no source";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;

/// The kind.
pub const KIND: Kind = Kind {
    name: "vented-loop",
    title: "Vented loop (siphon break)",
    called: &["anti-siphon-valve", "siphon-break"],
    places: &[along(Circuit::RawWater, Station::Loop, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (24.0, 32.0),
        strokes: &[Stroke::Line("M0 30V19A12 12 0 0 1 24 19V30"), Stroke::Outline("M7 0H17L12 7Z")],
        ways: &[way((0.0, 30.0), (24.0, 30.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::RawWater, Circuit::Bilge], "in", "out").that("goes over the top of")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<VentedLoop>(),
    causes: &[
        // Nothing shows while the engine runs; it is told by what is found after standing.
        Cause {
            name: "vent_failed",
            title: "vent of the loop stuck shut, clogged or never fitted: the sea siphons in after \
                      stopping",
            moves: &[],
            severity: Severity::Whole,
            says: &[
                says("no vent fitted", 0.15),
                says("drips", 0.25),
                says("salt crust", 0.3),
                // The rate counts engines that flooded by it.
                says_of("diesel", "sea water in the cylinders", 0.7),
                says_of("diesel", "starts badly", 0.2),
                says_of("sump", "level rising", 0.2),
                says_of("sump", "milky", 0.2),
            ],
            misreads: None,
            rate: "siphon-break-failed",
            remedy: "clean or renew the vent",
        },
    ],
    words: &[
        Word {
            name: "no vent fitted",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.4,
            group: "vent",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "drips",
            of: Of::Cause,
            false_said: 0.08,
            miss: 0.25,
            group: "vent",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "salt crust",
            of: Of::Cause,
            false_said: 0.1,
            miss: 0.3,
            group: "vent",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "vent_off",
            title: "Take the vent off and blow through it: free one way, tight the other?",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner, fresh water"),
            caution: "Seacock shut while the loop is open if its top can go under when she rolls.",
            finds: &[Find { cause: "vent_failed", power: "visual-general" }],
        },
        Check {
            name: "watch_after_stopping",
            title: "Stop, and listen for air drawn in at the vent; then see whether water still runs to \
                      the exhaust",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("torch"),
            caution: "Shut the seacock at once if water keeps running; do not crank an engine that may \
                      hold water.",
            finds: &[Find { cause: "vent_failed", power: "round-walk" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct VentedLoop;

impl Law for VentedLoop {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        at.drop(say, 0, p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST));
    }
}
