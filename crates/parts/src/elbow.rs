//! Mixing elbow: raw water is sprayed into the exhaust gas.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::constants::GRAVITY;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, step};
use physics::wet_exhaust::{WetMix, sprayed, wet_mix_gap};

crate::parameters! {
    /// Gas flow at which its drop is given [kg/s].
    rated_gas_flow: MassFlow, 1e-3..=20.0, 0.09 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the clean gas way at that flow and 700 K [Pa].
    rated_gas_drop: PressureDifference, 50.0..=50_000.0, 1_800.0, within 1.8, "from memory";
    /// Water flow at which its drop is given [kg/s].
    rated_water_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the clear water ports at that flow [Pa].
    rated_water_drop: PressureDifference, 50.0..=200_000.0, 8_000.0, within 1.8, "from memory";
    /// Height that water is lifted to the injection, or to a vented loop before it, from the intake; less what hoses are
    /// said to rise [m].
    lift: Length, -2.0..=5.0, 0.9, plus 0.3, "[Trade] 2.5: 200 mm or more over the waterline";
    /// Share of the gas that the spray reaches [1].
    wetting: Ratio, 0.05..=1.0, 0.975, within 1.02, "from memory";
}

/// Flow below which a drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Flow that a full column takes to spill over [share of rated flow]: standing water rises as far as the sea lifts it.
const SPILLS: f64 = 0.1;
/// Turns the enthalpy gap into a temperature [W/K].
const GAP_SCALE: f64 = 1_000.0;
/// Gas temperature the drop is given at [K].
const RATED_TEMPERATURE: f64 = 700.0;

/// What to do when the gas leaves the elbow hot.
const TOO_LITTLE_WATER: &str = "Idle at once, out of gear if you can; look for water at the outlet. None: stop as soon as the ship is safe. \
    If you cannot stop, keep to the least speed that holds her off.";
/// Said of the engine, not of the elbow.
const SEA_WATER_IN_CYLINDERS: Says = says_of("diesel", "sea water in the cylinders", 0.7);

/// The kind.
pub const KIND: Kind = Kind {
    name: "elbow",
    title: "Mixing elbow",
    called: &["mixing-elbow", "exhaust-elbow", "injection-elbow", "riser"],
    places: &[
        along(Circuit::RawWater, Station::Mixer, Role::Ends),
        along(Circuit::Exhaust, Station::Mixer, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (48.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 6H32L48 10V26L32 30H0Z"),
            Stroke::Line("M24 0V9M24 12L18 22M24 12V24M24 12L30 22"),
        ],
        ways: &[way((0.0, 18.0), (48.0, 18.0)), inward((24.0, 0.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("gas", &[Circuit::Exhaust], "in", "out").that("meets the water in"),
        way_through("water", &[Circuit::RawWater], End::Port("water_in"), End::Into("out"))
            .that("is sprayed into the exhaust in"),
    ],
    parameters: PARAMETERS,
    unknowns: &[Unknown {
        name: "mixed",
        quantity: Quantity::Temperature,
        start: 320.0,
        size: 10.0,
        bounds: (230.0, 1400.0),
    }],
    links: &[],
    laws: both::<Elbow>(),
    causes: &[
        Cause {
            name: "blocked",
            title: "mixing elbow closed by carbon",
            moves: &[Move { on: Whose::Own, parameter: "rated_gas_drop", by: By::Choked(0.84) }],
            severity: Severity::NearlyShut,
            says: &[says_of("outlet", "soot on the water", 0.4)],
            misreads: None,
            rate: "exhaust-elbow-blocked",
            remedy: "clean or renew the elbow",
        },
        Cause {
            name: "water_ports_blocked",
            title: "water ports of the mixing elbow blocked",
            moves: &[
                Move { on: Whose::Own, parameter: "rated_water_drop", by: By::Blocked },
                Move { on: Whose::Own, parameter: "wetting", by: By::Towards(0.5) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "exhaust-elbow-water-ports-blocked",
            remedy: "clear the water ports",
        },
        Cause {
            name: "perforated_inside",
            title: "inner wall of the mixing elbow holed, spray spoilt",
            moves: &[Move { on: Whose::Own, parameter: "wetting", by: By::Towards(0.35) }],
            severity: Severity::Even,
            says: &[says("rust at the joint", 0.3), says("weeps", 0.3)],
            misreads: None,
            rate: "exhaust-elbow-perforated-inside",
            remedy: "renew the elbow",
        },
        Cause {
            name: "riser_joint_leaks",
            title: "joint of riser and elbow passes water into the cylinders after stopping",
            moves: &[],
            severity: Severity::Whole,
            says: &[says("weeps", 0.4), says("rust at the joint", 0.5), SEA_WATER_IN_CYLINDERS],
            misreads: None,
            rate: "exhaust-riser-joint-leaks",
            remedy: "renew the gasket of the riser joint",
        },
    ],
    words: &[
        Word {
            name: "weeps",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.3,
            group: "elbow-joint",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "rust at the joint",
            of: Of::Cause,
            false_said: 0.1,
            miss: 0.3,
            group: "elbow-joint",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hot to the touch",
            of: Of::Value { probe: Probe::Unknown(0), midpoint: 335.0, spread: 8.0, when: When::High },
            false_said: 0.03,
            miss: 0.1,
            group: "exhaust-heat",
            danger: Some(TOO_LITTLE_WATER),
            source: "[Trade] 2.5 healthy elbow skin 38 to 50 °C; spread from memory",
        },
    ],
    checks: &[
        Check {
            name: "infrared",
            title: "Paint or tape a spot on the elbow after the spray and read it with an infrared thermometer",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer, tape"),
            caution: "Bare metal reads far too low: aim at the tape; keep clear of belts and the dry riser.",
            finds: &[
                Find { cause: "water_ports_blocked", power: "ir-painted" },
                Find { cause: "perforated_inside", power: "ir-painted" },
            ],
        },
        Check {
            name: "back_pressure",
            title: "Read the gas pressure before the elbow at full load",
            minutes: 10.0,
            state: State::Running,
            tool: Some("tap, gauge or water column"),
            caution: "The tap and its pipe are at exhaust heat; stand clear of the plug hole.",
            finds: &[
                Find { cause: "blocked", power: "back-pressure" },
                Find { cause: "exhaust-hose/scaled", power: "back-pressure" },
                Find { cause: "exhaust-hose/failed", power: "back-pressure" },
                Find { cause: "silencer/blocked", power: "back-pressure" },
                Find { cause: "outlet/blocked", power: "back-pressure" },
            ],
        },
        Check {
            name: "run_without",
            title: "Part the exhaust before the elbow and run for half a minute: does it rev freely?",
            minutes: 30.0,
            state: State::StoppedCold,
            tool: Some("spanners, helper at the stop control"),
            caution: "Hot gas enters the space: every hatch open, nobody in the cabin, fire extinguisher at hand.",
            finds: &[
                Find { cause: "blocked", power: "back-pressure" },
                Find { cause: "exhaust-hose/scaled", power: "back-pressure" },
                Find { cause: "silencer/blocked", power: "back-pressure" },
            ],
        },
        // Opened and looked into: the powers of an exchanger's end cap and of a trained eye come nearest.
        Check {
            name: "elbow_off",
            title: "Take the elbow off and look through it",
            minutes: 60.0,
            state: State::StoppedCold,
            tool: Some("spanners, gasket"),
            caution: "Seacock shut and elbow cold; old bolts shear: ease them, do not force them.",
            finds: &[
                Find { cause: "blocked", power: "exchanger-end-cap" },
                Find { cause: "water_ports_blocked", power: "exchanger-end-cap" },
                Find { cause: "perforated_inside", power: "visual-general" },
                Find { cause: "riser_joint_leaks", power: "visual-general" },
            ],
        },
        Check {
            name: "pressure_test",
            title: "Elbow off: close its water side and put it under 1 bar",
            minutes: 120.0,
            state: State::StoppedCold,
            tool: Some("plugs, hand pump, gauge"),
            caution: "Water, not air: a casting thinned by rust can burst.",
            finds: &[
                Find { cause: "perforated_inside", power: "cooler-pressure-test" },
                Find { cause: "riser_joint_leaks", power: "cooler-pressure-test" },
            ],
        },
    ],
    walls: &[wall("the inner wall", "gas", Beyond::Way("water"), &["perforated_inside"])],
    limits: &[],
    margins: &[Margin {
        name: "wet hose",
        asks: "Does the water cool the gas enough for the hose?",
        of: |at| Some(at.outlet_temperature[0]),
        quantity: Quantity::Temperature,
        least: f64::NEG_INFINITY,
        most: 347.15,
        remedy: "more water to the elbow, and evenly round the gas",
        source: "[Trade] 2.5 alarm",
    }],
};

/// Its laws.
struct Elbow;

impl Law for Elbow {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let (gas, water) = (at.flow[0], at.flow[1]);
        let hot = at.inlet_temperature[0];
        at.drop(say, 0, p.rated_gas_drop * signed_square(gas / p.rated_gas_flow, REST) * hot / RATED_TEMPERATURE);
        let column = p.lift * step(water / p.rated_water_flow, SPILLS);
        let weight = column * (at.contents[1].density(at.inlet_temperature[1]) * GRAVITY);
        at.drop(say, 1, p.rated_water_drop * signed_square(water / p.rated_water_flow, REST) + weight);
        let mixed = at.unknowns[0];
        let through = positive_part(gas, 1e-4);
        // What the spray misses goes on hot beside the mix.
        let wetted = through * p.wetting * sprayed(positive_part(water, 1e-4), through);
        let mix = WetMix {
            gas_flow: wetted,
            gas_temperature: hot,
            fuel_air_ratio: at.fuel_air_ratio(0),
            water_flow: positive_part(water, 1e-4),
            water_temperature: at.inlet_temperature[1],
            salinity: at.salinity(1),
            pressure: at.outlet_pressure[0],
            wetting: N::constant(1.0),
        };
        say.unknown[0] = wet_mix_gap(mixed, &mix) / GAP_SCALE;
        say.heat[0] = wetted * (at.contents[0].enthalpy(mixed) - at.contents[0].enthalpy(hot));
    }
}
