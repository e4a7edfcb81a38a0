//! Charge-air cooler: what the turbocharger has warmed gives its heat to raw water or coolant before the engine takes it.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::heat_transfer::counterflow_heat;
use physics::number::Number;
use physics::smooth::{magnitude, positive_part, signed_square};
use physics::turbocharger::AIR_HEAT;

crate::parameters! {
    /// Conductance of the clean wall at rated flows [W/K].
    clean_conductance: ThermalConductance, 5.0..=100_000.0, 170.0 * power ^ 1.0, within 1.4, "from memory";
    /// Resistance of what has grown on the wall [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 3e-4 * power ^ -1.0, within 2.5 each, "from memory";
    /// Air flow at which its drop is given [kg/s].
    rated_air_flow: MassFlow, 1e-3..=20.0, 0.096 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the air at that flow and a boost of one atmosphere [Pa].
    rated_air_drop: PressureDifference, 50.0..=50_000.0, 4_000.0, within 1.8, "from memory";
    /// Flow of the water side at which its drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0 * coolant 2.6, exact, "common practice, no source";
    /// Drop of the water side at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=200_000.0, 6_000.0, within 1.8, "common practice, no source";
}

/// Flow below which drops and films turn linear [share of rated flow].
const REST: f64 = 0.02;
/// Rounding of a flow's magnitude at rest [share of rated flow].
const STILL: f64 = 1e-5;
/// Share of the clean wall's resistance that is the film of the air: thin gas, however finned. From memory.
const AIR_SIDE: f64 = 0.85;

/// Charge that leaves it.
const CHARGE: Probe = Probe::Unknown(1);

/// Boost from which the margins ask how cool the charge is [Pa].
const LOADED: f64 = 30_000.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "charge-air-cooler",
    title: "Charge-air cooler",
    called: &["cooler", "charge-cooler", "intercooler", "aftercooler"],
    places: &[
        along(Circuit::RawWater, Station::ChargeCooler, Role::IfTold),
        along(Circuit::FreshWater, Station::ChargeCooler, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::Air,
    symbol: Symbol {
        size: (48.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 0H48V40H0Z"),
            Stroke::Line("M0 20H12L18 10L30 30L36 20H48"),
            Stroke::Line("M24 40V32M24 8V0"),
        ],
        ways: &[way((0.0, 20.0), (48.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("water", &[Circuit::RawWater, Circuit::FreshWater], "in", "out").that("cools the charge air in")
    ],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "boost", quantity: Quantity::GaugePressure, start: 3e4, size: 1e4, bounds: (-9e4, 1e6) },
        Unknown {
            name: "charge_temperature",
            quantity: Quantity::Temperature,
            start: 330.0,
            size: 10.0,
            bounds: (200.0, 1_400.0),
        },
        Unknown { name: "full_boost", quantity: Quantity::GaugePressure, start: 9e4, size: 1e4, bounds: (-9e4, 1e6) },
        Unknown {
            name: "full_temperature",
            quantity: Quantity::Temperature,
            start: 350.0,
            size: 10.0,
            bounds: (200.0, 1_400.0),
        },
    ],
    links: &[
        Link::Charge("air_flow"),
        Link::Charge("boost"),
        Link::Charge("charge_temperature"),
        Link::Charge("full_boost"),
        Link::Charge("full_temperature"),
    ],
    laws: both::<ChargeAirCooler>(),
    causes: &[
        Cause {
            name: "fouled",
            title: "charge-air cooler fouled: oil and soot on the air side, scale on the water side",
            moves: &[
                Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(60.0) },
                Move { on: Whose::Own, parameter: "rated_air_drop", by: By::Factor(6.0) },
            ],
            severity: Severity::MostlySlight,
            says: &[],
            misreads: None,
            rate: "charge-air-cooler-fouled",
            remedy: "clean the charge-air cooler on both sides",
        },
        Cause {
            name: "leaks",
            title: "charge-air cooler leaks water into the charge air",
            moves: &[],
            severity: Severity::Whole,
            says: &[
                says("water at the drain", 0.6),
                says_of("diesel", "smoke white", 0.5),
                says_of("diesel", "starts badly", 0.2),
            ],
            misreads: None,
            rate: "charge-air-cooler-leaks",
            remedy: "plug or renew the tubes; bar the engine over by hand before it is started",
        },
    ],
    words: &[
        Word {
            name: "hot to the hand",
            of: Of::Change { probe: CHARGE, midpoint: 15.0, spread: 7.0, when: When::High },
            false_said: 0.05,
            miss: 0.3,
            group: "charge-heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "water at the drain",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.2,
            group: "charge-water",
            danger: Some(
                "Stop when the ship is safe. Bar the engine over by hand with the stop pulled before the starter is \
                 touched: water on a piston bends the rod.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "air_in_and_out",
            title: "Take the air pipe before and after the cooler at full load, and set it against the water",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Aim at paint or tape; the pipe before it burns.",
            finds: &[Find { cause: "fouled", power: "ir-painted" }],
        },
        Check {
            name: "open_the_drain",
            title: "Open the drain of the air side",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("spanner, cup"),
            caution: "A little dew is usual; taste nothing that may be coolant.",
            finds: &[Find { cause: "leaks", power: "visual-general" }],
        },
        Check {
            name: "off_and_look",
            title: "Take the cooler off and look through it on both sides",
            minutes: 120.0,
            state: State::StoppedAndShut,
            tool: Some("spanners, gaskets"),
            caution: "Seacock shut if its cold side is sea water; blank the engine's inlet.",
            finds: &[Find { cause: "fouled", power: "visual-general" }],
        },
        Check {
            name: "pressure_test",
            title: "Pressurise the water side and watch the air side",
            minutes: 60.0,
            state: State::StoppedCold,
            tool: Some("hand pump, plugs"),
            caution: "Water, not air; plugs tied so that none can fly.",
            finds: &[Find { cause: "leaks", power: "cooler-pressure-test" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[
        RAW_RISE,
        NO_SCALE,
        Margin {
            name: "charge",
            asks: "Is the charge cool enough?",
            of: |at| (at.unknowns[0] > LOADED).then_some(at.unknowns[1]),
            quantity: Quantity::Temperature,
            least: f64::NEG_INFINITY,
            most: 338.15,
            remedy: "a larger cooler, or colder water through it",
            source: "common practice, no source",
        },
    ],
};

/// Its laws.
struct ChargeAirCooler;

impl Law for ChargeAirCooler {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let share = at.flow[0] / p.rated_flow;
        at.drop(say, 0, p.rated_drop * signed_square(share, REST));
        let water = at.inlet_temperature[0];
        let capacity = at.contents[0].heat_capacity(water);
        let moving = magnitude(share, REST).powf(-0.8) * (1.0 - AIR_SIDE);
        // Heat given by `air` [kg/s] that comes in at `warm` [K], and its drop at that boost.
        let cooled = |air: N, warm: N, boost: N| {
            let of_rated = air / p.rated_air_flow;
            let films = moving + magnitude(of_rated, REST).powf(-0.8) * AIR_SIDE;
            let conductance = (films / p.clean_conductance + p.fouling_resistance).recip();
            let air_rate = magnitude(of_rated, STILL) * p.rated_air_flow * AIR_HEAT;
            let water_rate = magnitude(share, STILL) * p.rated_flow * capacity;
            let heat = counterflow_heat(conductance, water_rate, air_rate, warm - water);
            let dense = positive_part(boost / at.point.atmosphere + 1.0, 0.1) * 0.5;
            (heat, warm - heat / air_rate, boost - p.rated_air_drop * signed_square(of_rated, REST) / dense)
        };
        let (heat, cold, boost) = cooled(at.links[0], at.point.charge_temperature(at.links[2]), at.links[1]);
        let (_, full_cold, full_boost) =
            cooled(p.rated_air_flow, at.point.charge_temperature(at.links[4]), at.links[3]);
        say.heat[0] = heat;
        say.unknown[0] = at.unknowns[0] - boost;
        say.unknown[1] = at.unknowns[1] - cold;
        say.unknown[2] = at.unknowns[2] - full_boost;
        say.unknown[3] = at.unknowns[3] - full_cold;
        say.storage[0] = p.rated_flow * capacity * 8.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn what_the_air_loses_the_water_gains() {
        let mut bench = Bench::of(&KIND).with("fouling_resistance", 0.0);
        bench.site.flow[0] = bench.figure("rated_flow");
        bench.site.inlet_temperature[0] = 303.15;
        let air = bench.figure("rated_air_flow");
        bench.site.links[..5].copy_from_slice(&[air, 1e5, 413.15, 1e5, 413.15]);
        let cold = bench.inner("charge_temperature");
        near(bench.say().heat[0], air * 1005.0 * (413.15 - cold), 1e-6, "the first law");
        // Water is plenty: effectiveness is nearly 1 − e^−NTU, [Incropera6] eq. 11.35a.
        let units = bench.figure("clean_conductance") / (air * 1005.0);
        near((413.15 - cold) / 110.0, 1.0 - (-units).exp(), 0.02, "[Incropera6] eq. 11.35a");
    }
}
