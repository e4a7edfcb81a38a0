//! Cabin heater: a branch of the engine's coolant through a matrix that a fan blows cabin air over.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::heat_transfer::{Arrangement, exchanged_heat};
use physics::number::Number;
use physics::smooth::{magnitude, signed_square};

crate::parameters! {
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.005..=5.0, 0.13, within 1.6, "common practice, no source";
    /// Drop of matrix and hoses at that flow, valve open [Pa].
    rated_drop: PressureDifference, 100.0..=200_000.0, 9_000.0, within 1.8, "common practice, no source";
    /// Free area of its valve as a share of open; 0 is shut [1].
    opening: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Share of its pipes that no air blocks [1].
    filled: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Conductance from coolant to air, fan at full speed [W/K].
    conductance: ThermalConductance, 1.0..=5_000.0, 110.0, within 1.6, "from memory";
    /// Capacity rate of the air that the fan moves [W/K].
    air: ThermalConductance, 1.0..=10_000.0, 150.0, within 1.6, "from memory";
    /// Share of the air the fan still moves; little with the fan off [1].
    fan: Ratio, 0.02..=1.5, 1.0, exact, "common practice, no source";
    /// Temperature of the cabin [K].
    cabin: Temperature, 250.0..=320.0, 291.15, plus 8.0, "common practice, no source";
}

/// Flow below which the drop turns linear, and below which it counts as still [share of rated flow].
const REST: f64 = 0.02;
const STILL: f64 = 1e-5;
/// Leak area of a shut valve, squared [1].
const LEAK: f64 = 1e-8;

/// The kind.
pub const KIND: Kind = Kind {
    name: "cabin-heater",
    title: "Cabin heater",
    called: &["heater", "heater-matrix"],
    places: &[Place::Beside {
        circuit: Circuit::FreshWater,
        passage: "coolant",
        after: Some(Station::Engine),
        before: Some(Station::Pump),
        usual: false,
    }],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (40.0, 32.0),
        strokes: &[
            Stroke::Outline("M0 0H40V32H0Z"),
            Stroke::Line("M0 16H6L11 6L19 26L27 6L34 16H40"),
            Stroke::Dashed("M6 28H34"),
        ],
        ways: &[way((0.0, 16.0), (40.0, 16.0))],
        position: Some("opening"),
        ..Symbol::BLANK
    },
    passages: &[passage("coolant", &[Circuit::FreshWater], "in", "out").that("warms the cabin in")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<CabinHeater>(),
    causes: &[
        Cause {
            name: "shut",
            title: "valve of the cabin heater shut",
            moves: &[Move { on: Whose::Own, parameter: "opening", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("blows cold", 0.8), says("its valve is shut", 0.85)],
            misreads: None,
            rate: "cabin-heater-shut",
            remedy: "open the valve of the heater",
        },
        Cause {
            name: "air_locked",
            title: "cabin heater air-locked",
            moves: &[Move { on: Whose::Own, parameter: "filled", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("blows cold", 0.8), says("gurgles", 0.4), says("air at the bleed", 0.75)],
            misreads: None,
            rate: "cabin-heater-air-locked",
            remedy: "bleed the heater at its highest point and top up",
        },
        Cause {
            name: "clogged",
            title: "matrix of the cabin heater clogged with sludge",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
            severity: Severity::Even,
            says: &[says("blows cold", 0.5)],
            misreads: None,
            rate: "cabin-heater-clogged",
            remedy: "flush the matrix backwards",
        },
        Cause {
            name: "leaks",
            title: "matrix or a hose of the cabin heater leaks",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.15) }],
            severity: Severity::MostlySlight,
            says: &[
                says("sweet smell in the cabin", 0.5),
                says("windows fog greasily", 0.3),
                says("wet under it", 0.6),
            ],
            misreads: None,
            rate: "cabin-heater-leaks",
            remedy: "shut the heater off at the engine, then renew matrix or hose",
        },
        Cause {
            name: "fan_dead",
            title: "fan of the cabin heater dead, or its flap shut",
            moves: &[Move { on: Whose::Own, parameter: "fan", by: By::Towards(0.1) }],
            severity: Severity::Whole,
            says: &[says("no air comes", 0.85)],
            misreads: None,
            rate: "cabin-heater-fan-dead",
            remedy: "mend the fan or open the flap",
        },
    ],
    words: &[
        Word {
            name: "return hose cold",
            of: Of::Found { probe: Probe::OutletTemperature(0), midpoint: 311.0, spread: 5.0, when: When::Low },
            false_said: 0.04,
            miss: 0.35,
            group: "heat",
            danger: None,
            source: "from memory",
        },
        said("blows cold", 0.02, 0.2, "heat"),
        said("its valve is shut", 0.01, 0.1, "valve"),
        said("gurgles", 0.05, 0.4, "air"),
        said("air at the bleed", 0.04, 0.15, "air"),
        said("windows fog greasily", 0.02, 0.4, "leak"),
        said("wet under it", 0.03, 0.3, "leak"),
        said("no air comes", 0.01, 0.1, "fan"),
        Word {
            name: "sweet smell in the cabin",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.35,
            group: "leak",
            danger: Some(
                "Shut the heater's valves at the engine and air the cabin: hot coolant sprays, and the engine loses it.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "feel_both_hoses",
            title: "Feel its two hoses with the engine warm and the fan on: hot in, and how hot out?",
            minutes: 2.0,
            state: State::Running,
            tool: None,
            caution: "A quick touch: the hose to it is as hot as the engine.",
            finds: &[
                Find { cause: "shut", power: "feel-hoses" },
                Find { cause: "air_locked", power: "feel-hoses" },
                Find { cause: "clogged", power: "feel-hoses" },
                Find { cause: "fan_dead", power: "feel-hoses" },
            ],
        },
        Check {
            name: "look_at_the_valve",
            title: "Look how its valve stands, and whether the fan turns",
            minutes: 1.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Fingers out of the fan.",
            finds: &[
                Find { cause: "shut", power: "valve-status-seen" },
                Find { cause: "fan_dead", power: "valve-status-seen" },
            ],
        },
        Check {
            name: "bleed",
            title: "Bleed it at its highest point until coolant runs without air",
            minutes: 10.0,
            state: State::StoppedCold,
            tool: Some("screwdriver, rag"),
            caution: "From cold only: it spits boiling coolant into the cabin.",
            finds: &[Find { cause: "air_locked", power: "visual-general" }],
        },
        Check {
            name: "look_under_it",
            title: "Look and smell under matrix and hoses, and for a film on the glass",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("torch, paper towel"),
            caution: "Coolant is poisonous: wipe it up, and keep children and animals off it.",
            finds: &[Find { cause: "leaks", power: "round-walk" }],
        },
    ],
    walls: &[wall("the matrix", "coolant", Beyond::Space, &["leaks"])],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct CabinHeater;

impl Law for CabinHeater {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let open = p.opening * p.filled;
        let drop = at.inlet_pressure[0] - at.outlet_pressure[0];
        let share = at.flow[0] / p.rated_flow;
        say.gap[0] = (open * open + LEAK) * drop - p.rated_drop * signed_square(share, REST);
        let rate = magnitude(share, STILL) * p.rated_flow * at.contents[0].heat_capacity(at.inlet_temperature[0]);
        let over = at.inlet_temperature[0] - p.cabin;
        // Films of air thin with its flow, about as its root; half of the whole resistance and more is theirs.
        let conductance = p.conductance * p.fan.sqrt();
        say.heat[0] = -exchanged_heat(Arrangement::CrossUnmixed, conductance, rate, p.air * p.fan, over);
        say.storage[0] = p.rated_flow * 30_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_heats_by_the_effectiveness_that_a_library_computes() {
        // Check value hx.eff.cross.unmixed (ht 1.2.0): 1.5 transfer units, ratio of capacity rates 0.6.
        let mut bench = Bench::of(&KIND).with("air", 150.0).with("conductance", 225.0);
        bench.site.inlet_temperature[0] = bench.figure("cabin") + 60.0;
        bench.site.flow[0] = 250.0 / bench.site.contents[0].heat_capacity(bench.site.inlet_temperature[0]);
        near(-bench.say().heat[0], 0.6384050436 * 150.0 * 60.0, 0.002, "hx.eff.cross.unmixed");
    }

    #[test]
    fn shut_or_full_of_air_it_takes_no_flow() {
        let bench = Bench::of(&KIND);
        let (rated, drop) = (bench.figure("rated_flow"), bench.figure("rated_drop"));
        near(bench.flow_at(0, drop), rated, 0.005, "its own figure");
        for spoilt in ["opening", "filled"] {
            assert!(bench.clone().with(spoilt, 0.0).flow_at(0, drop).abs() < 0.01 * rated, "{spoilt}");
        }
    }
}
