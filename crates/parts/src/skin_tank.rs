//! Skin tank: a flat tank with baffles against the inside of the hull plate, which is what cools.

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
    /// Share of its plate that air keeps dry inside [1].
    air_pocket: Ratio, 0.0..=0.95, 0.0, exact, "common practice, no source";
    /// Share of the flow that goes straight from inlet to outlet [1].
    short_circuit: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=200_000.0, 12_000.0, within 1.8, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "skin-tank",
    title: "Skin tank",
    called: &["cooler", "skin-cooler", "hull-tank"],
    places: &[along(Circuit::FreshWater, Station::Cooler, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (60.0, 36.0),
        strokes: &[Stroke::Outline("M0 0H60V36H0Z"), Stroke::Line("M0 33H60M15 0V24M30 12V33M45 0V24")],
        ways: &[way((0.0, 18.0), (60.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("coolant", &[Circuit::FreshWater], "in", "out")
        .that("gives its heat to the sea through the hull plate of")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::BoatSpeed],
    laws: both::<SkinTank>(),
    causes: &[
        Cause {
            name: "fouled",
            title: "hull plate of the skin tank overgrown or thick with paint, or rusted inside",
            moves: &[Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(35.0) }],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "keel-cooler-fouled-outside",
            remedy: "clean the cooler",
        },
        Cause {
            name: "undersized",
            title: "skin tank too small for sustained load",
            moves: &[Move { on: Whose::Own, parameter: "clean_conductance", by: By::Factor(0.45) }],
            severity: Severity::Even,
            says: &[says("hot after hours", 0.5)],
            misreads: None,
            rate: "keel-tank-undersized",
            remedy: "add cooling area or run slower",
        },
        Cause {
            name: "short_circuit",
            title: "coolant runs straight from inlet to outlet inside the skin tank: no baffles, or loose",
            moves: &[Move { on: Whose::Own, parameter: "short_circuit", by: By::Towards(0.98) }],
            severity: Severity::MostlyBad,
            says: &[],
            misreads: None,
            rate: "keel-tank-internal-short-circuit",
            remedy: "fit the baffle",
        },
        Cause {
            name: "air_pocket",
            title: "air under the top of the skin tank: part of its plate is dry",
            moves: &[Move { on: Whose::Own, parameter: "air_pocket", by: By::Towards(0.8) }],
            severity: Severity::Even,
            says: &[says("air at the bleed", 0.75), says("top of it cold", 0.4), says("gurgles", 0.3)],
            misreads: None,
            rate: "skin-tank-air-pocket",
            remedy: "bleed the top of the tank and top up",
        },
        Cause {
            name: "leaks",
            title: "skin tank leaks: its weld or the hull plate rusted through",
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
        said("air at the bleed", 0.05, 0.15, "air"),
        said("top of it cold", 0.05, 0.35, "air"),
        said("gurgles", 0.05, 0.4, "air"),
    ],
    checks: &[
        IN_AND_OUT,
        Check {
            name: "bleed_the_top",
            title: "Open the bleed at the highest corner until coolant runs without air",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("spanner, rag"),
            caution: "Let it cool below hand-hot first: it spits; top up afterwards, cap off only from cold.",
            finds: &[Find { cause: "air_pocket", power: "visual-general" }],
        },
        Check {
            name: "feel_the_plate",
            title: "Feel or scan the tank from top to bottom and from inlet to outlet: where is it cold?",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Aim at paint; stand clear of shaft and belts.",
            finds: &[
                Find { cause: "air_pocket", power: "ir-painted" },
                Find { cause: "short_circuit", power: "ir-painted" },
            ],
        },
        THROTTLE_BACK,
        Check {
            name: "measure_area",
            title: "Measure the cooled plate and set it against the power",
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
            title: "Dive and look at the plate: growth, paint, plastic",
            minutes: 30.0,
            state: State::UnderWater,
            tool: Some("mask, scraper"),
            caution: "Key in your pocket, lookout on deck, no other craft moving close by.",
            finds: &[Find { cause: "fouled", power: "dive" }, Find { cause: "leaks", power: "visual-general" }],
        },
    ],
    walls: &[
        wall("the hull plate", "coolant", Beyond::Sea, &["leaks"]),
        wall("the inner plates", "coolant", Beyond::Space, &["leaks"]),
    ],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct SkinTank;

impl Law for SkinTank {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let cooler = HullCooler {
            clean_conductance: p.clean_conductance,
            fouling_resistance: p.fouling_resistance,
            outside: p.outside,
            at_rest: p.at_rest,
            rated_boat_speed: p.rated_boat_speed,
            power: ALONG_HULL,
            wetted: -p.air_pocket + 1.0,
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

    /// Heat given off at a flow over rated and a temperature over the sea [W]; no way on.
    fn heat(bench: &Bench, share: f64, over: f64) -> f64 {
        let mut bench = bench.clone();
        bench.site.flow[0] = share * bench.figure("rated_flow");
        bench.site.inlet_temperature[0] = MILD + over;
        -bench.say().heat[0]
    }

    #[test]
    fn it_cools_what_its_area_is_printed_to_cool() {
        // [Trade] 2.2: painted steel, 0.062 m²/kW for a slow boat in a sea of 29.4 °C, so 3.7 m² for 60 kW. About as much heat
        // goes into the coolant as onto the shaft (same place); 4 kn is slow (from memory). Coolant 80 °C into the tank.
        let mut bench = Bench::of(&KIND);
        bench.site.point.sea = 302.55;
        bench.site.links[0] = 4.0 * 0.514_444;
        let heat = heat(&bench, 1.0, 353.15 - MILD);
        near(heat, 45_000.0, 0.35, "[Trade] 2.2: 0.25 to 0.3 of the fuel, 38 to 60 kW");
    }

    #[test]
    fn a_dry_top_and_a_short_way_both_cost_heat_and_show_apart() {
        let bench = Bench::of(&KIND);
        let sound = heat(&bench, 1.0, 50.0);
        // Half the plate, nearly half the heat; half the flow past the plate, much less of a loss.
        let dry = heat(&bench.clone().with("air_pocket", 0.5), 1.0, 50.0);
        let short = heat(&bench.clone().with("short_circuit", 0.5), 1.0, 50.0);
        assert!(dry < 0.6 * sound && short > dry && short < sound, "{sound} {dry} {short}");
    }
}
