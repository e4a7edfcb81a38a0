//! Fuel cooler: fuel on its way back to the tank gives the pump's and the nozzles' heat to raw water or coolant.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::tubular::{COOLER, Tubular, tubular};
use physics::number::Number;

crate::parameters! {
    /// Conductance of the clean wall at rated flows [W/K].
    clean_conductance: ThermalConductance, 0.5..=5_000.0, 12.0 * power ^ 1.0, within 1.6, "from memory";
    /// Resistance of what has grown on the wall [K/W].
    fouling_resistance: FoulingResistance, 0.0..=10.0, 4.0e-3 * power ^ -1.0, within 2.5, "from memory";
    /// Flow of the water side at which its drop is given [kg/s].
    rated_cold_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0 * coolant 2.6, exact, "common practice, no source";
    /// Drop of the water side at that flow [Pa].
    rated_cold_drop: PressureDifference, 50.0..=200_000.0, 2_500.0, within 1.8, "common practice, no source";
    /// Fuel at which its drop is given [kg/s].
    rated_fuel_flow: MassFlow, 1e-4..=5.0, 0.012 * power ^ 1.0, exact, "[Trade] 2.4 return flow";
    /// Drop of the fuel side at that flow [Pa].
    rated_fuel_drop: PressureDifference, 20.0..=100_000.0, 1_500.0, within 2.0, "from memory";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "fuel-cooler",
    title: "Fuel cooler",
    called: &["return-cooler", "diesel-cooler"],
    places: &[
        along(Circuit::RawWater, Station::GearCooler, Role::IfTold),
        along(Circuit::FreshWater, Station::GearCooler, Role::IfTold),
        along(Circuit::Fuel, Station::Cooler, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        strokes: &[
            Stroke::Outline("M0 20L24 0L48 20L24 40Z"),
            Stroke::Line("M14 40V31.7M34 40V31.7M24 28V11M20 17L24 10L28 17M17 23H31"),
        ],
        ..COOLER
    },
    passages: &[
        passage("water", &[Circuit::RawWater, Circuit::FreshWater], "water_in", "water_out")
            .that("cools the returning fuel in"),
        passage("fuel", &[Circuit::Fuel], "fuel_in", "fuel_out").that("gives its heat to the water in"),
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<FuelCooler>(),
    causes: &[
        Cause {
            name: "perforated",
            title: "fuel cooler corroded through: fuel to the sea running, sea water to the tank at rest",
            moves: &[Move { on: Whose::Kind("fuel-tank"), parameter: "water", by: By::Towards(0.6) }],
            severity: Severity::MostlySlight,
            says: &[
                says("sheen overboard", 0.5),
                says_of("fuel-tank", "water in the bowl or sample", 0.6),
                says_of("diesel", "stops by itself", 0.2),
            ],
            misreads: None,
            rate: "fuel-cooler-perforated",
            remedy: "take it out of the return, renew it, and drain tank and bowls",
        },
        Cause {
            name: "fouled",
            title: "fuel cooler fouled on its water side",
            moves: &[
                Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(60.0) },
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Factor(6.0) },
            ],
            severity: Severity::Even,
            says: &[says("hot on both sides", 0.4)],
            misreads: None,
            rate: "fuel-cooler-fouled",
            remedy: "clean the fuel cooler",
        },
    ],
    words: &[said("sheen overboard", 0.02, 0.5, "fuel-leak"), said("hot on both sides", 0.04, 0.4, "fuel-heat")],
    checks: &[
        Check {
            name: "fuel_in_and_out",
            title: "Take the fuel's temperature into and out of the cooler, under load for an hour",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Keep the lamp's cord and yourself off what turns; no flame near warm fuel.",
            finds: &[Find { cause: "fouled", power: "ir-painted" }],
        },
        Check {
            name: "pressure_test",
            title: "Take the cooler off and pressurise it to 1 bar under water",
            minutes: 90.0,
            state: State::StoppedAndShut,
            tool: Some("plugs, hand pump, bucket"),
            caution: "Seacock shut and tagged first. Catch every drop of fuel, off hot metal; plugs tied so that none can fly.",
            finds: &[Find { cause: "perforated", power: "cooler-pressure-test" }],
        },
    ],
    walls: &[wall("the tubes", "fuel", Beyond::Way("water"), &["perforated"])],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct FuelCooler;

impl Law for FuelCooler {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        tubular(
            at,
            say,
            &Tubular {
                clean_conductance: p.clean_conductance,
                fouling_resistance: p.fouling_resistance,
                rated_flow: [p.rated_cold_flow, p.rated_fuel_flow],
                rated_drop: [p.rated_cold_drop, p.rated_fuel_drop],
            },
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_takes_most_of_what_the_return_brings() {
        let mut bench = Bench::of(&KIND);
        bench.site.contents = [
            physics::contents::Contents::OCEAN,
            physics::contents::Contents::Fuel,
            physics::contents::Contents::FreshWater,
        ];
        let flows = ["rated_cold_flow", "rated_fuel_flow"].map(|name| bench.figure(name));
        bench.site.flow[..2].copy_from_slice(&flows);
        bench.site.inlet_temperature[1] = crate::bench::MILD + 30.0;
        let say = bench.say();
        near(say.heat[0], -say.heat[1], 1e-12, "what one gives the other takes");
        // Sea that hardly warms: effectiveness 1 - exp(-NTU), [Incropera6] eq. 11.35a, by hand from its own figures.
        let rate = bench.figure("rated_fuel_flow") * bench.site.contents[1].heat_capacity(crate::bench::MILD + 30.0);
        let units = 1.0 / (1.0 / bench.figure("clean_conductance") + bench.figure("fouling_resistance")) / rate;
        near(say.heat[0], (1.0 - (-units).exp()) * rate * 30.0, 0.01, "effectiveness");
    }
}
