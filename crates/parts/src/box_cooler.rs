//! Box cooler: a bundle of tubes that hangs in a chest open to the sea; what passes it is her way, or warm water rising.

use crate::hull_cooler::{HOSES_EQUALLY_HOT, HOT_TO_THE_HAND, HullCooler, to_the_sea};
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::magnitude;

crate::parameters! {
    /// Conductance to the water in the chest, clean, at rated flow and boat speed [W/K].
    clean_conductance: ThermalConductance, 50.0..=200_000.0, 1_150.0 * power ^ 1.0, within 1.45, "[Trade] 2.2 keel cooler area for each kW";
    /// Resistance of what has grown on the tubes [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 5e-5 * power ^ -1.0, within 2.5 each, "from memory";
    /// Boat speed at which that is given [m/s].
    rated_boat_speed: Velocity, 0.2..=25.0, 4.1, exact, "common practice, no source";
    /// Share of the clean resistance that is the film outside, at that speed [1].
    outside: Ratio, 0.05..=0.95, 0.6, within 1.2, "from memory";
    /// Film outside when she lies still, over that at rated boat speed [1].
    at_rest: Ratio, 0.02..=1.5, 0.5, within 1.4, "from memory";
    /// Heat that the water through the slots of the chest carries off for each kelvin it warms, lying still [W/K].
    exchange: ThermalConductance, 10.0..=2e6, 13_000.0 * power ^ 1.0, within 2.0, "[Trade] 2.2 slots of a box cooler";
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=200_000.0, 15_000.0, within 1.8, "common practice, no source";
}

/// Exponent of boat speed in the film: flow across a bank of tubes, [Incropera6] ch. 7.
const POWER: f64 = 0.6;
/// How much more water her way drives through the slots at rated boat speed than warm water rising; from memory.
const DRIVEN: f64 = 4.0;
/// Boat speed below which her way no longer counts [share of rated].
const LYING: f64 = 0.01;

/// The kind.
pub const KIND: Kind = Kind {
    name: "box-cooler",
    title: "Box cooler",
    called: &["cooler", "sea-chest-cooler"],
    places: &[along(Circuit::FreshWater, Station::Cooler, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (60.0, 40.0),
        strokes: &[
            Stroke::Outline("M4 0H56V40H4Z"),
            Stroke::Dashed("M4 40H56"),
            Stroke::Line("M0 20H4M56 20H60M4 20H14V34H22V8H30V34H38V8H46V20H56"),
        ],
        ways: &[way((0.0, 20.0), (60.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("coolant", &[Circuit::FreshWater], "in", "out").that("gives its heat to the water of its chest in")
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::BoatSpeed],
    laws: both::<BoxCooler>(),
    causes: &[
        Cause {
            name: "grown",
            title: "tubes of the box cooler overgrown",
            moves: &[Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(35.0) }],
            severity: Severity::Even,
            says: &[says("growth in the chest", 0.5)],
            misreads: None,
            rate: "keel-cooler-fouled-outside",
            remedy: "draw the bundle and clean it, or flood the chest with fresh water for some days",
        },
        Cause {
            name: "slots_clogged",
            title: "slots of the box cooler's chest clogged by weed, growth, mud or ice",
            moves: &[Move { on: Whose::Own, parameter: "exchange", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("water in the chest warm", 0.6), says("growth in the chest", 0.3)],
            misreads: None,
            rate: "box-cooler-slots-clogged",
            remedy: "clear the slots above and below: a pole, a diver, or hauled out",
        },
        Cause {
            name: "leaks",
            title: "a tube of the box cooler leaks coolant to the sea",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.12) }],
            severity: Severity::MostlySlight,
            says: &[says("coolant lost without a trace", 0.5), says("anode gone", 0.4)],
            misreads: None,
            rate: "hull-cooler-leaks",
            remedy: "plug the tube at the plate, or renew the bundle",
        },
        // Costs nothing today; it is what the next leak comes from.
        Cause {
            name: "anode_gone",
            title: "anode of the box cooler used up, or its current off",
            moves: &[],
            severity: Severity::Whole,
            says: &[says("anode gone", 0.9)],
            misreads: None,
            rate: "anode-consumed",
            remedy: "renew the anode, and look at the tubes and the plating round them",
        },
    ],
    words: &[
        HOSES_EQUALLY_HOT,
        HOT_TO_THE_HAND,
        said("growth in the chest", 0.15, 0.2, "growth"),
        said("water in the chest warm", 0.04, 0.35, "chest"),
        said("coolant lost without a trace", 0.04, 0.25, "loss"),
        said("anode gone", 0.08, 0.1, "anode"),
    ],
    checks: &[
        Check {
            name: "in_and_out",
            title: "Take the coolant to and from the bundle and set it against the sea, under way and lying still",
            minutes: 10.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Aim at rubber or tape; stand clear of shaft and belts.",
            finds: &[
                Find { cause: "grown", power: "ir-painted" },
                Find { cause: "slots_clogged", power: "ir-painted" },
            ],
        },
        Check {
            name: "feel_the_chest",
            title: "Feel the plating of the chest low down and high up: is the water in it warm?",
            minutes: 3.0,
            state: State::Running,
            tool: None,
            caution: "Back of the hand: its lid is as hot as the engine.",
            finds: &[Find { cause: "slots_clogged", power: "ir-painted" }],
        },
        Check {
            name: "pressure_test",
            title: "Shut it off from the engine and hold pressure on it with a hand pump",
            minutes: 45.0,
            state: State::StoppedCold,
            tool: Some("hand pump, gauge, plugs"),
            caution: "Fill with water, not air; no more than the cap holds.",
            finds: &[Find { cause: "leaks", power: "cooler-pressure-test" }],
        },
        Check {
            name: "draw_the_bundle",
            title: "Draw the bundle out of its chest and look at tubes, anode and plating",
            minutes: 180.0,
            state: State::StoppedCold,
            tool: Some("spanners, tackle, gasket"),
            caution: "Only if its flange lies above the water with her trim as it is now: otherwise hauled out. Drain it first.",
            finds: &[
                Find { cause: "grown", power: "exchanger-end-cap" },
                Find { cause: "anode_gone", power: "visual-general" },
                Find { cause: "leaks", power: "visual-engine-parts" },
            ],
        },
        Check {
            name: "dive",
            title: "Dive and look at the slots, in at the tubes, and at the anode",
            minutes: 30.0,
            state: State::UnderWater,
            tool: Some("mask, scraper, torch"),
            caution: "Key in your pocket, lookout on deck, no other craft moving close by.",
            finds: &[
                Find { cause: "slots_clogged", power: "dive" },
                Find { cause: "grown", power: "dive" },
                Find { cause: "anode_gone", power: "dive" },
            ],
        },
    ],
    walls: &[wall("the tubes", "coolant", Beyond::Sea, &["leaks"])],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct BoxCooler;

impl Law for BoxCooler {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // The chest is as much warmer than the sea as its slots let through too little: one resistance more in the row.
        let way = magnitude(at.links[0] / p.rated_boat_speed, LYING);
        let renewed = p.exchange * (way * DRIVEN + 1.0) + 1e-3;
        let cooler = HullCooler {
            clean_conductance: p.clean_conductance,
            fouling_resistance: p.fouling_resistance + renewed.recip(),
            outside: p.outside,
            at_rest: p.at_rest,
            rated_boat_speed: p.rated_boat_speed,
            power: POWER,
            wetted: N::constant(1.0),
            short_circuit: N::constant(0.0),
            rated_flow: p.rated_flow,
            rated_drop: p.rated_drop,
        };
        to_the_sea(at, say, &cooler, at.links[0]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD, near};

    /// Conductance with her at a boat speed [W/K]; the coolant so far over the sea [K].
    fn conductance(bench: &Bench, boat_speed: f64, over: f64) -> f64 {
        let mut bench = bench.clone();
        bench.site.flow[0] = bench.figure("rated_flow");
        bench.site.inlet_temperature[0] = MILD + over;
        bench.site.links[0] = boat_speed;
        let rate = bench.site.flow[0] * bench.site.contents[0].heat_capacity(MILD + over);
        -rate * (1.0 - bench.say().heat[0] / (rate * -over)).ln()
    }

    #[test]
    fn slots_as_large_as_are_printed_carry_off_about_their_typical_heat() {
        // [Trade] 2.2: 6 dm² below and 80 % of that above for 100 kW. Water 4 K warmer over a metre of height drives it
        // through both against one and a half velocity heads each (sharp edge in, all lost out); expansion of sea water at
        // 15 °C 2.2e-4 /K, from memory.
        let (inlet, heat): (f64, f64) = (0.06, 100e3);
        let outlet = 0.8 * inlet;
        let (rho, cp, beta, height) = (1025.0, 3_990.0, 2.2e-4, 1.0);
        let mut warmer: f64 = 4.0;
        for _ in 0..50 {
            let driving = rho * beta * warmer * 9.81 * height;
            let losses = 1.5 * 0.5 * rho * (1.0 + (inlet / outlet).powi(2));
            let carried = rho * inlet * (driving / losses).sqrt() * cp;
            warmer = 0.5 * (warmer + heat / carried);
        }
        // About as much heat into the coolant as onto the shaft: 60 kW for the typical engine.
        near(Bench::of(&KIND).figure("exchange"), heat / warmer * 0.6, 0.5, "[Trade] 2.2 slots");
    }

    #[test]
    fn lying_still_it_cools_by_warm_water_rising() {
        let bench = Bench::of(&KIND).with("fouling_resistance", 0.0).with("outside", 0.95).with("exchange", 2e6);
        let still = |over: f64| conductance(&bench, 0.0, over);
        assert!(
            still(45.0) < 0.6 * conductance(&bench, 4.1, 45.0) && still(45.0) > 0.3 * conductance(&bench, 4.1, 45.0)
        );
        // [Incropera6] ch. 9: turbulent natural convection goes with the cube root of the difference.
        near(still(48.0) / still(6.0), 2.0, 0.1, "[Incropera6] ch. 9");
        let clogged = bench.clone().with("exchange", 100.0);
        assert!(conductance(&clogged, 0.0, 45.0) < 0.2 * still(45.0));
    }
}
