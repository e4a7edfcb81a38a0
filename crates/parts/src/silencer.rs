//! Silencer: water-lift or dry.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::signed_square;
use physics::wet_exhaust::lifted;

crate::parameters! {
    /// Gas flow at which the drop is given [kg/s].
    rated_gas_flow: MassFlow, 1e-3..=20.0, 0.09 * power ^ 1.0, exact, "common practice, no source";
    /// Drop at that flow and 350 K [Pa].
    rated_drop: PressureDifference, 50.0..=20_000.0, 1_200.0, within 1.8, "from memory";
    /// Height the gas lifts the water [m]; 0 in a dry silencer.
    lift: Length, 0.0..=3.0, 0.35, within 1.8, "common practice, no source";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Temperature the drop is given at [K].
const RATED_TEMPERATURE: f64 = 350.0;

/// What to do when gas or exhaust water comes into the vessel.
const GAS_ABOARD: &str = "Exhaust gas kills unnoticed: everybody out of closed cabins, open up, bilge pump on. \
    Stop the engine when the ship is safe.";
/// What to do when the silencer softens.
const MELTING: &str = "Too little water in the exhaust: idle at once, look at the outlet, watch for fire and for water in the bilge. \
    Stop when the ship is safe; if she cannot stop, lowest speed.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "silencer",
    title: "Silencer",
    called: &["muffler", "waterlock", "water-lift", "lift-silencer"],
    places: &[along(Circuit::Exhaust, Station::Silencer, Role::Usual)],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (64.0, 36.0),
        strokes: &[Stroke::Outline("M0 0H64V36H0Z"), Stroke::Line("M22 0V24M42 36V12")],
        ways: &[way((0.0, 18.0), (64.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("gas", &[Circuit::Exhaust], "in", "out").that("is lifted and hushed in")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Injected],
    laws: both::<Silencer>(),
    causes: &[
        Cause {
            name: "blocked",
            title: "silencer blocked: baffle loose, scale, melted pieces",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Choked(0.75) }],
            severity: Severity::NearlyShut,
            says: &[says_of("outlet", "soot on the water", 0.4)],
            misreads: None,
            // No rate of its own is known: a pipe that scales shut is the nearest, and rare too.
            rate: "exhaust-pipe-scaled",
            remedy: "clear or renew the silencer",
        },
        Cause {
            name: "leaks",
            title: "silencer leaks",
            moves: &[],
            severity: Severity::Whole,
            says: &[says("leaks", 0.8), says_of("diesel", "smell of exhaust", 0.3)],
            misreads: None,
            rate: "muffler-leaks",
            remedy: "mend or renew the silencer",
        },
    ],
    words: &[
        Word {
            name: "leaks",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "exhaust-leak",
            danger: Some(GAS_ABOARD),
            source: "from memory",
        },
        Word {
            name: "melted",
            of: Of::Value { probe: Probe::InletTemperature(0), midpoint: 410.0, spread: 25.0, when: When::High },
            false_said: 0.01,
            miss: 0.2,
            group: "exhaust-heat",
            danger: Some(MELTING),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_round",
            title: "Look all round the silencer and its clamps, feel for damp and soot",
            minutes: 5.0,
            state: State::Running,
            tool: Some("torch, mirror"),
            caution: "Hatches open; a dry silencer burns.",
            finds: &[Find { cause: "leaks", power: "round-walk" }],
        },
        Check {
            name: "tap_either_side",
            title: "Read the gas pressure before and after the silencer at full load",
            minutes: 20.0,
            state: State::Running,
            tool: Some("taps, gauge or water column"),
            caution: "Hot water spits from the taps.",
            finds: &[Find { cause: "blocked", power: "back-pressure" }],
        },
        // A silencer emptied and looked into: the power of an opened end cap comes nearest.
        Check {
            name: "hose_off_and_look",
            title: "Take the hoses off the silencer, empty it and look inside",
            minutes: 45.0,
            state: State::StoppedCold,
            tool: Some("screwdriver, light, bucket"),
            caution: "Seacock shut; the water in it runs into the bilge.",
            finds: &[
                Find { cause: "blocked", power: "exchanger-end-cap" },
                Find { cause: "leaks", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Silencer;

impl Law for Silencer {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let own = p.rated_drop * signed_square(at.flow[0] / p.rated_gas_flow, REST) * at.inlet_temperature[0]
            / RATED_TEMPERATURE;
        at.drop(say, 0, own + lifted(p.lift, at.links[0], p.rated_gas_flow));
        say.storage[0] = p.rated_gas_flow * 50_000.0;
    }
}
