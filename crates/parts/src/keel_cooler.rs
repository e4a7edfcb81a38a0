//! Keel cooler: tubes or a welded channel outside on the hull; coolant gives its heat to the sea that passes.

use crate::hull_cooler::{
    HOSES_EQUALLY_HOT, HOT_AFTER_HOURS, HOT_TO_THE_HAND, HullCooler, IN_AND_OUT, ONE_END_COLD, PROBE_INSIDE,
    THROTTLE_BACK, to_the_sea,
};
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::hull_cooler::ALONG_HULL;
use physics::number::Number;

crate::parameters! {
    /// Conductance to the sea, clean, at rated flow and boat speed [W/K].
    clean_conductance: ThermalConductance, 50.0..=200_000.0, 1_050.0 * power ^ 1.0, within 1.45, "[Trade] 2.2 keel cooler area for each kW";
    /// Resistance of what has grown on it [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 4e-5 * power ^ -1.0, within 2.5 each, "from memory";
    /// Boat speed at which that is given [m/s].
    rated_boat_speed: Velocity, 0.2..=25.0, 4.1, exact, "[Trade] 2.2 keel cooler area for each kW";
    /// Share of the clean resistance that is the film outside, at that speed [1].
    outside: Ratio, 0.05..=0.95, 0.62, within 1.15, "[Trade] 2.2 keel cooler area at four boat speeds";
    /// Film outside when she lies still, over that at rated boat speed [1].
    at_rest: Ratio, 0.02..=1.5, 0.27, within 1.4, "[Trade] 2.2 keel cooler area at four boat speeds";
    /// Share of the flow that goes straight from inlet to outlet [1].
    short_circuit: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=200_000.0, 12_000.0, within 1.8, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "keel-cooler",
    title: "Keel cooler",
    called: &["cooler", "grid-cooler"],
    places: &[along(Circuit::FreshWater, Station::Cooler, Role::IfTold)],
    variant_of: None,
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
    links: &[Link::BoatSpeed],
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
            title: "keel cooler too small for sustained load",
            moves: &[Move { on: Whose::Own, parameter: "clean_conductance", by: By::Factor(0.45) }],
            severity: Severity::Even,
            says: &[says("hot after hours", 0.5)],
            misreads: None,
            rate: "keel-tank-undersized",
            remedy: "add cooling area or run slower",
        },
        Cause {
            name: "short_circuit",
            title: "coolant runs straight from inlet to outlet inside the cooler",
            moves: &[Move { on: Whose::Own, parameter: "short_circuit", by: By::Towards(0.98) }],
            severity: Severity::MostlyBad,
            says: &[],
            misreads: None,
            rate: "keel-tank-internal-short-circuit",
            remedy: "fit the baffle",
        },
        Cause {
            name: "leaks",
            title: "keel cooler leaks coolant to the sea: corroded, chafed or hit",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.12) }],
            severity: Severity::MostlySlight,
            says: &[says("coolant lost without a trace", 0.5)],
            misreads: None,
            rate: "hull-cooler-leaks",
            remedy: "repair it hauled out; top up with water meanwhile and watch the level",
        },
    ],
    words: &[
        HOSES_EQUALLY_HOT,
        ONE_END_COLD,
        HOT_TO_THE_HAND,
        HOT_AFTER_HOURS,
        said("coolant lost without a trace", 0.04, 0.25, "loss"),
    ],
    checks: &[
        IN_AND_OUT,
        THROTTLE_BACK,
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
        PROBE_INSIDE,
        Check {
            name: "pressure_test",
            title: "Shut it off from the engine, fill it and hold pressure with a hand pump",
            minutes: 45.0,
            state: State::StoppedCold,
            tool: Some("hand pump, gauge, plugs"),
            caution: "Fill with water, not air; no more than the cap holds.",
            finds: &[Find { cause: "leaks", power: "cooler-pressure-test" }],
        },
        Check {
            name: "dive_and_look",
            title: "Dive and look at the cooler: growth, paint, plastic",
            minutes: 30.0,
            state: State::UnderWater,
            tool: Some("mask, scraper"),
            caution: "Key in your pocket, lookout on deck, no other craft moving close by.",
            finds: &[Find { cause: "fouled", power: "dive" }, Find { cause: "leaks", power: "visual-general" }],
        },
    ],
    walls: &[wall("the cooler's skin", "coolant", Beyond::Sea, &["leaks"])],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct KeelCooler;

impl Law for KeelCooler {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let cooler = HullCooler {
            clean_conductance: p.clean_conductance,
            fouling_resistance: p.fouling_resistance,
            outside: p.outside,
            at_rest: p.at_rest,
            rated_boat_speed: p.rated_boat_speed,
            power: ALONG_HULL,
            wetted: N::constant(1.0),
            short_circuit: p.short_circuit,
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

    /// [m/s]
    const KNOT: f64 = 0.514_444;

    /// Conductance at rated flow and a boat speed [W/K]; the coolant 45 K over the sea.
    fn conductance(bench: &Bench, boat_speed: f64) -> f64 {
        let mut bench = bench.clone().with("fouling_resistance", 0.0);
        bench.site.flow[0] = bench.figure("rated_flow");
        bench.site.inlet_temperature[0] = MILD + 45.0;
        bench.site.links[0] = boat_speed;
        let rate = bench.site.flow[0] * bench.site.contents[0].heat_capacity(MILD + 45.0);
        -rate * (1.0 - bench.say().heat[0] / (rate * -45.0)).ln()
    }

    #[test]
    fn the_faster_she_goes_the_less_area_it_needs_as_is_printed() {
        // [Trade] 2.2: 0.125 m²/kW lying still, 0.062 slow (4 kn, from memory), 0.050 below 8 kn (7), 0.042 above (10).
        let bench = Bench::of(&KIND);
        let seven = conductance(&bench, 7.0 * KNOT);
        for (knots, area) in [(0.0, 0.125), (4.0, 0.062), (10.0, 0.042)] {
            near(0.050 * seven / conductance(&bench, knots * KNOT), area, 0.12, "[Trade] 2.2");
        }
        near(conductance(&bench, 4.1), bench.figure("clean_conductance"), 0.01, "its own figure at rated boat speed");
    }
}
