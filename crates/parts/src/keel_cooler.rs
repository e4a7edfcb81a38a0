//! Keel cooler or skin tank: coolant gives its heat to the sea through the hull.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::{magnitude, signed_square};

crate::parameters! {
    /// Conductance to the sea, clean [W/K].
    clean_conductance: ThermalConductance, 50.0..=200_000.0, 1_050.0 * power ^ 1.0, within 1.45, "[Trade] 2.2 keel cooler area for each kW";
    /// Resistance of what has grown on it [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 4e-5 * power ^ -1.0, within 2.5, "from memory";
    /// Share of the flow that goes straight from inlet to outlet [1].
    short_circuit: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=200_000.0, 12_000.0, within 1.8, "common practice, no source";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Rounding of a flow's magnitude at rest [share of rated flow].
const STILL: f64 = 1e-5;

/// The kind.
pub const KIND: Kind = Kind {
    name: "keel-cooler",
    title: "Keel cooler or skin tank",
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (60.0, 36.0),
        strokes: &[Stroke::Outline("M0 0H60V36H0Z"), Stroke::Line("M0 18H10V8H20V28H30V8H40V28H50V18H60")],
        ways: &[way((0.0, 18.0), (60.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("coolant", &[Circuit::FreshWater], "in", "out").that("gives its heat to the sea in")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<KeelCooler>(),
    causes: &[
        Cause {
            name: "fouled",
            title: "keel cooler overgrown or painted outside, or scaled inside",
            moves: &[Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(35.0) }],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "keel-cooler-fouled-outside",
            remedy: "clean the cooler",
        },
        Cause {
            name: "undersized",
            title: "keel cooler or skin tank too small for sustained load",
            moves: &[Move { on: Whose::Own, parameter: "clean_conductance", by: By::Factor(0.45) }],
            severity: Severity::Even,
            says: &[says("hot after hours", 0.5)],
            misreads: None,
            rate: "keel-tank-undersized",
            remedy: "add cooling area or run slower",
        },
        Cause {
            name: "short_circuit",
            title: "coolant runs straight from inlet to outlet inside the skin tank",
            moves: &[Move { on: Whose::Own, parameter: "short_circuit", by: By::Towards(0.98) }],
            severity: Severity::MostlyBad,
            says: &[],
            misreads: None,
            rate: "keel-tank-internal-short-circuit",
            remedy: "fit the baffle",
        },
    ],
    words: &[
        Word {
            name: "hoses equally hot",
            of: Of::Found { probe: Probe::Rise(0), midpoint: -5.0, spread: 2.5, when: When::High },
            false_said: 0.04,
            miss: 0.35,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "one end cold",
            of: Of::Change { probe: Probe::OutletTemperature(0), midpoint: -15.0, spread: 6.0, when: When::Low },
            false_said: 0.04,
            miss: 0.4,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hot to the hand",
            of: Of::Found { probe: Probe::OutletTemperature(0), midpoint: 316.15, spread: 6.0, when: When::High },
            false_said: 0.1,
            miss: 0.4,
            group: "skin",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hot after hours",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.4,
            group: "pattern",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "in_and_out",
            title: "Take the coolant to and from the cooler and set it against the sea",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Aim at rubber or tape; stand clear of shaft and belts.",
            finds: &[
                Find { cause: "fouled", power: "ir-painted" },
                Find { cause: "short_circuit", power: "ir-painted" },
                Find { cause: "undersized", power: "ir-painted" },
            ],
        },
        Check {
            name: "throttle_back",
            title: "Ease 200 rpm and watch the needle for five minutes",
            minutes: 5.0,
            state: State::Running,
            tool: None,
            caution: "Keep enough way on to steer.",
            finds: &[
                Find { cause: "fouled", power: "throttle-back" },
                Find { cause: "undersized", power: "throttle-back" },
            ],
        },
        Check {
            name: "measure_area",
            title: "Measure the cooled plate or tube and set it against the power",
            minutes: 30.0,
            state: State::StoppedCold,
            tool: Some("tape, the drawing"),
            caution: "Take a second person: skin tanks sit in corners that are hard to get out of.",
            finds: &[
                Find { cause: "undersized", power: "visual-general" },
                Find { cause: "short_circuit", power: "visual-engine-parts" },
            ],
        },
        Check {
            name: "probe_inside",
            title: "Drain, open a connection and probe for the baffle",
            minutes: 90.0,
            state: State::StoppedCold,
            tool: Some("spanners, wire, bucket"),
            caution: "Cold, and catch the coolant: it is poisonous and slippery.",
            finds: &[Find { cause: "short_circuit", power: "visual-general" }],
        },
        Check {
            name: "dive_and_look",
            title: "Dive and look at the cooler: growth, paint, plastic",
            minutes: 30.0,
            state: State::UnderWater,
            tool: Some("mask, scraper"),
            caution: "Key in your pocket, lookout on deck, no other craft moving close by.",
            finds: &[Find { cause: "fouled", power: "dive" }],
        },
    ],
    walls: &[wall("the cooler's skin", "coolant", Beyond::Sea, &[])],
    limits: &[],
};

/// Its laws.
struct KeelCooler;

impl Law for KeelCooler {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let t = at.inlet_temperature[0];
        at.drop(say, 0, p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST));
        let conductance = (p.clean_conductance.recip() + p.fouling_resistance).recip();
        let rate = magnitude(at.flow[0] / p.rated_flow, STILL)
            * p.rated_flow
            * (-p.short_circuit + 1.0 + 1e-6)
            * at.contents[0].heat_capacity(t);
        let effectiveness = -(-(conductance / rate)).exp() + 1.0;
        say.heat[0] = rate * effectiveness * (at.point.sea - t);
        say.storage[0] = p.rated_flow * 60_000.0;
    }
}
