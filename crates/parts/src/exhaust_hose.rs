//! Exhaust hose or pipe: gas, and the water in it.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::dry_exhaust::SOOTY;
use physics::flow::pipe_drop;
use physics::gas;
use physics::number::Number;
use physics::wet_exhaust::wetter;

crate::parameters! {
    /// Length [m].
    length: Length, 0.1..=60.0, 3.0, within 2.0, "common practice, no source";
    /// Bore [m].
    bore: Length, 0.02..=1.0, 0.09 * power ^ 0.5, within 1.12, "[Trade] 2.5 sizes";
    /// Loss of bends in velocity heads [1].
    bends: Ratio, 0.0..=100.0, 2.0, within 1.8, "common practice, no source";
    /// Bends' loss over clear: 1 when clear [1].
    restriction: Ratio, 1.0..=1e6, 1.0, exact, "common practice, no source";
}

/// What to do when the hose is too hot.
const HOSE_TOO_HOT: &str = "The hose will burn through: idle at once and look for water at the outlet. None: stop as soon as the ship is safe. \
    If she must keep way, lowest speed, hands and an extinguisher by the hose.";
/// What to do when gas or exhaust water comes into the vessel.
const GAS_ABOARD: &str = "Exhaust gas kills unnoticed: everybody out of closed cabins, open up, bilge pump on. \
    Stop the engine when the ship is safe.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "exhaust-hose",
    title: "Exhaust hose or pipe",
    called: &["exhaust-pipe"],
    places: &[along(Circuit::Exhaust, Station::Pipe, Role::Usual)],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (44.0, 20.0),
        strokes: &[Stroke::Outline("M0 0H44V20H0Z"), Stroke::Line("M6 20L14 0M18 20L26 0M30 20L38 0")],
        ways: &[way((0.0, 10.0), (44.0, 10.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("gas", &[Circuit::Exhaust], "in", "out").that("runs along")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Injected],
    laws: both::<ExhaustHose>(),
    causes: &[
        Cause {
            name: "scaled",
            title: "exhaust pipe closed by rust scale or carbon",
            moves: &[Move { on: Whose::Own, parameter: "restriction", by: By::Choked(0.75) }],
            severity: Severity::NearlyShut,
            says: &[says_of("outlet", "soot on the water", 0.4)],
            misreads: None,
            rate: "exhaust-pipe-scaled",
            remedy: "clear or renew the pipe",
        },
        Cause {
            name: "failed",
            title: "exhaust hose softened, delaminated or burnt",
            moves: &[
                Move { on: Whose::Own, parameter: "restriction", by: By::Choked(0.75) },
                Move { on: Whose::Flooded("bilge"), parameter: "inflow", by: By::Add(0.5) },
            ],
            severity: Severity::MostlySlight,
            says: &[says("leaks", 0.5), says("scorched", 0.4), says_of("diesel", "smell of exhaust", 0.3)],
            misreads: None,
            rate: "exhaust-hose-failed",
            remedy: "renew the hose",
        },
        Cause {
            name: "gas_leak",
            title: "exhaust gas leaks into the engine space and is breathed in again",
            moves: &[Move { on: Whose::Kind("diesel"), parameter: "volumetric_efficiency", by: By::Factor(0.75) }],
            severity: Severity::MostlySlight,
            says: &[says("leaks", 0.6), says_of("diesel", "smell of exhaust", 0.5)],
            misreads: None,
            rate: "exhaust-leak-into-engine-space",
            remedy: "make the exhaust tight",
        },
    ],
    words: &[
        Word {
            name: "scorched",
            of: Of::Value { probe: Probe::InletTemperature(0), midpoint: 400.0, spread: 25.0, when: When::High },
            false_said: 0.01,
            miss: 0.2,
            group: "exhaust-heat",
            danger: Some(HOSE_TOO_HOT),
            source: "[Trade] 2.5 hose rating about 120 °C; spread from memory",
        },
        Word {
            name: "hot to the touch",
            of: Of::Value { probe: Probe::InletTemperature(0), midpoint: 338.0, spread: 8.0, when: When::High },
            false_said: 0.03,
            miss: 0.1,
            group: "exhaust-heat",
            danger: Some(HOSE_TOO_HOT),
            source: "from memory",
        },
        Word {
            name: "leaks",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "exhaust-leak",
            danger: Some(GAS_ABOARD),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "feel",
            title: "Hold the back of the hand near the hose after the elbow, then touch it briefly",
            minutes: 1.0,
            state: State::Running,
            tool: None,
            caution: "Never touch the dry pipe before the elbow; sleeves away from belts.",
            finds: &[
                Find { cause: "elbow/water_ports_blocked", power: "feel-hoses" },
                Find { cause: "elbow/perforated_inside", power: "feel-hoses" },
            ],
        },
        Check {
            name: "squeeze",
            title: "Squeeze the hose along its length and look at both ends and all clamps",
            minutes: 10.0,
            state: State::StoppedCold,
            tool: Some("torch, mirror"),
            caution: "Let it cool first.",
            finds: &[Find { cause: "failed", power: "hose-squeeze" }, Find { cause: "gas_leak", power: "round-walk" }],
        },
        Check {
            name: "look_for_soot",
            title: "Look along the exhaust for soot, steam and damp while a helper holds some load",
            minutes: 5.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Hatches open; headache or dizziness means out, at once.",
            finds: &[
                Find { cause: "gas_leak", power: "round-walk" },
                Find { cause: "failed", power: "round-walk" },
                Find { cause: "silencer/leaks", power: "round-walk" },
                Find { cause: "elbow/riser_joint_leaks", power: "round-walk" },
            ],
        },
        // A pipe off and looked through: the power of an opened end cap comes nearest.
        Check {
            name: "look_through",
            title: "Take the pipe or hose off, look and push a brush through it",
            minutes: 60.0,
            state: State::StoppedCold,
            tool: Some("spanners, light, brush"),
            caution: "Seacock shut; plug the end that leads to the sea.",
            finds: &[
                Find { cause: "scaled", power: "exchanger-end-cap" },
                Find { cause: "failed", power: "exchanger-end-cap" },
            ],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::InletTemperature(0),
        value: 348.15,
        when: When::High,
        running_only: true,
        act: HOSE_TOO_HOT,
        source: "[Trade] 2.5",
    }],
    margins: &[],
};

/// Its laws.
struct ExhaustHose;

impl Law for ExhaustHose {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let density = gas::density(at.fuel_air_ratio(0), at.inlet_temperature[0], at.inlet_pressure[0]);
        let viscosity = at.contents[0].viscosity(at.inlet_temperature[0]);
        let loss = p.bends * p.restriction;
        let dry = pipe_drop(at.flow[0], p.length, p.bore, N::constant(SOOTY), loss, density, viscosity);
        at.drop(say, 0, dry * wetter(at.flow[0], at.links[0]));
        say.storage[0] = p.length * p.bore * 6_000.0;
    }
}
