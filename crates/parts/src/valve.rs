//! Valve: a seacock or any valve with a position, from shut to open.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::signed_square;

crate::parameters! {
    /// Flow at which the open drop is given [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 0.95 * power ^ 1.0, exact, "common practice, no source";
    /// Pressure drop wide open at that flow [Pa].
    rated_drop: PressureDifference, 10.0..=50_000.0, 800.0, within 2.0, "common practice, no source";
    /// Free area as a share of wide open; 0 is shut [1].
    opening: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Leak area of a shut valve, squared [1]: keeps a shut branch solvable without dividing by the opening.
const LEAK: f64 = 1e-9;

/// The kind.
pub const KIND: Kind = Kind {
    name: "valve",
    title: "Valve",
    called: &["seacock", "sea-valve", "ball-valve", "gate-valve", "cock", "fuel-cock", "fuel-valve"],
    places: &[
        along(Circuit::RawWater, Station::Valve, Role::IfTold),
        along(Circuit::Fuel, Station::Valve, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 22.0),
        strokes: &[Stroke::Outline("M0 0V22L36 0V22Z")],
        ways: &[way((0.0, 11.0), (36.0, 11.0))],
        position: Some("opening"),
        ..Symbol::BLANK
    },
    passages: &[passage(
        "water",
        &[Circuit::RawWater, Circuit::FreshWater, Circuit::Oil, Circuit::GearOil, Circuit::Fuel, Circuit::Bilge],
        "in",
        "out",
    )
    .that("goes through")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Valve>(),
    causes: &[
        Cause {
            name: "left_shut",
            title: "valve left shut",
            moves: &[Move { on: Whose::Own, parameter: "opening", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[
                says("handle across the pipe", 0.9),
                says_of("strainer", "bowl empty", 0.3),
                says_of("fuel-separator", "bowl stays empty", 0.4),
                says_of("raw-pump", "hot to the touch", 0.4),
                says_of("diesel", "smell of hot rubber", 0.35),
            ],
            misreads: None,
            rate: "seacock-closed",
            remedy: "open the valve",
        },
        Cause {
            name: "part_shut",
            title: "valve part shut",
            moves: &[Move { on: Whose::Own, parameter: "opening", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("handle across the pipe", 0.6)],
            misreads: None,
            rate: "seacock-part-closed",
            remedy: "open the valve fully",
        },
        // Said of what it does not do: where it stands, open or shut, is as it was.
        Cause {
            name: "seized",
            title: "valve seized or its stem broken",
            moves: &[],
            severity: Severity::Whole,
            says: &[
                says("will not turn", 0.9),
                says("handle turns without end", 0.15),
                says("weeps at the stem", 0.15),
            ],
            misreads: None,
            rate: "seacock-seized",
            remedy: "free or renew the valve",
        },
    ],
    words: &[
        Word {
            name: "handle across the pipe",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.15,
            group: "valve",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "will not turn",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.05,
            group: "valve",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "handle turns without end",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.1,
            group: "valve",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "weeps at the stem",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.3,
            group: "valve-leak",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_at_handle",
            title: "Look at the handle and at the mark of the open position",
            minutes: 1.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Look only: turned the wrong way under way it starves the pump within seconds.",
            finds: &[
                Find { cause: "left_shut", power: "valve-status-seen" },
                Find { cause: "part_shut", power: "visual-general" },
            ],
        },
        Check {
            name: "work_it",
            title: "Shut and open it fully, counting the turns against what they should be",
            minutes: 5.0,
            state: State::Stopped,
            tool: None,
            caution: "No lever longer than the handle: an old stem breaks and may let the sea in. Leave it \
                      fully open.",
            finds: &[
                Find { cause: "seized", power: "valve-status-seen" },
                Find { cause: "part_shut", power: "valve-status-seen" },
                Find { cause: "left_shut", power: "valve-status-seen" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Valve;

impl Law for Valve {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Multiplied through by the opening: no pole when it is shut.
        let through = p.opening * p.opening + LEAK;
        let drop = at.inlet_pressure[0] - at.outlet_pressure[0];
        say.gap[0] = through * drop - p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST);
    }
}
