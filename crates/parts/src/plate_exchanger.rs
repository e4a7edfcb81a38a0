//! Plate exchanger: coolant and raw water between thin corrugated plates; small, close, and soon clogged.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::tubular::MOST_SHUT;
use crate::tubular::{Tubular, two_liquids};
use physics::number::Number;

crate::parameters! {
    /// Conductance of the clean plates at rated flows [W/K].
    clean_conductance: ThermalConductance, 5.0..=100_000.0, 1_300.0 * power ^ 1.0, within 1.4, "[Trade] 2.1 and 2.2 heat and rises";
    /// Resistance of what has grown on the plates [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 6e-5 * power ^ -1.0, within 2.5 each, "from memory";
    /// Flow of the raw side at which its drop is given [kg/s].
    rated_cold_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the raw side at that flow [Pa].
    rated_cold_drop: PressureDifference, 50.0..=300_000.0, 25_000.0, within 1.8, "common practice, no source";
    /// Flow of the coolant side at which its drop is given [kg/s].
    rated_hot_flow: MassFlow, 0.005..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the coolant side at that flow [Pa].
    rated_hot_drop: PressureDifference, 50.0..=300_000.0, 18_000.0, within 1.8, "common practice, no source";
}

/// Exponent of flow in the films between corrugated plates [1]. Source: [Martin1996].
const POWER: f64 = 2.0 / 3.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "plate-exchanger",
    title: "Plate exchanger",
    called: &["cooler", "plate-cooler", "plate-heat-exchanger", "brazed-exchanger"],
    places: &[
        along(Circuit::RawWater, Station::Cooler, Role::IfTold),
        along(Circuit::FreshWater, Station::Cooler, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (40.0, 40.0),
        strokes: &[Stroke::Outline("M0 0H40V40H0Z"), Stroke::Line("M8 0V40M16 0V40M24 0V40M32 0V40M0 40L40 0")],
        ways: &[way((0.0, 20.0), (40.0, 20.0)), way((30.0, 40.0), (10.0, 40.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("raw", &[Circuit::RawWater], "raw_in", "raw_out").that("takes the heat of the coolant in"),
        passage("coolant", &[Circuit::FreshWater], "coolant_in", "coolant_out")
            .that("gives its heat to the raw water in"),
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<PlateExchanger>(),
    causes: &[
        Cause {
            name: "clogged",
            title: "narrow raw-water channels of the plate exchanger clogged",
            moves: &[
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Blocked },
                Move { on: Whose::Own, parameter: "clean_conductance", by: By::Factor(0.4) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "plate-exchanger-clogged",
            remedy: "back-flush the raw side, or open and clean the plates",
        },
        Cause {
            name: "scaled",
            title: "plates scaled or slimed on the raw side",
            moves: &[
                Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(40.0) },
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Factor(4.0) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "heat-exchanger-scaled",
            remedy: "circulate descaler through the raw side",
        },
        Cause {
            name: "pieces_lodged",
            title: "old vane pieces or shells at the inlet of the plate exchanger",
            moves: &[Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Choked(MOST_SHUT) }],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "impeller-vanes-lodged",
            remedy: "clear the inlet and fit a strainer before it",
        },
        Cause {
            name: "gasket_leaks",
            title: "gasket or edge of the plate exchanger leaks to the outside",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.1) }],
            severity: Severity::MostlySlight,
            says: &[says("weeps between the plates", 0.7), says("salt crust", 0.5)],
            misreads: None,
            rate: "plate-exchanger-gasket-leaks",
            remedy: "tighten the pack to its mark, or renew the gaskets",
        },
        Cause {
            name: "plate_holed",
            title: "a plate corroded or cracked through: coolant and sea water meet",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.12) }],
            severity: Severity::MostlySlight,
            says: &[
                says_of("header-tank", "salty", 0.45),
                says_of("header-tank", "brown", 0.2),
                says_of("header-tank", "level rising", 0.15),
                says_of("header-tank", "overflowing", 0.15),
            ],
            misreads: None,
            rate: "plate-exchanger-hole",
            remedy: "renew the plate or the whole pack",
        },
    ],
    words: &[
        Word {
            name: "hoses equally hot",
            of: Of::About { probe: Probe::Rise(1), midpoint: 0.0, spread: HAND },
            false_said: 0.04,
            miss: 0.35,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "raw side scalding",
            of: Of::Value { probe: Probe::OutletTemperature(0), midpoint: 333.0, spread: 6.0, when: When::High },
            false_said: 0.02,
            miss: 0.4,
            group: "raw rise",
            danger: None,
            source: "from memory",
        },
        said("weeps between the plates", 0.03, 0.25, "leak"),
        said("salt crust", 0.08, 0.3, "leak"),
    ],
    checks: &[
        Check {
            name: "look_for_weeps",
            title: "Look along the edges of the plates for drips and salt",
            minutes: 3.0,
            state: State::Stopped,
            tool: Some("torch"),
            caution: "It is as hot as the engine: look, do not lean.",
            finds: &[Find { cause: "gasket_leaks", power: "round-walk" }],
        },
        Check {
            name: "pressure_in_and_out",
            title: "Read the raw-water pressure before and after it at a known speed and compare with the log",
            minutes: 3.0,
            state: State::Running,
            tool: Some("pressure gauge at taps"),
            caution: "Clear of belts; a tap left open empties the suction.",
            finds: &[
                Find { cause: "clogged", power: "vacuum-and-pressure" },
                Find { cause: "pieces_lodged", power: "vacuum-and-pressure" },
            ],
        },
        Check {
            name: "raw_rise",
            title: "Take the raw water in and out at a known speed and compare the rise with the log",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer, two taped spots"),
            caution: "Tape the spots first: bare steel reads tens of degrees low. Mind the belts.",
            finds: &[
                Find { cause: "clogged", power: "raw-rise" },
                Find { cause: "pieces_lodged", power: "raw-rise" },
                Find { cause: "scaled", power: "raw-rise" },
            ],
        },
        Check {
            name: "back_flush",
            title: "Flush the raw side backwards with fresh water into a bucket: what comes out?",
            minutes: 30.0,
            state: State::StoppedAndShut,
            tool: Some("hose, bucket, two tails"),
            caution: "Seacock shut and tagged first; no more pressure than the pump makes.",
            finds: &[
                Find { cause: "clogged", power: "exchanger-end-cap" },
                Find { cause: "pieces_lodged", power: "exchanger-end-cap" },
            ],
        },
        Check {
            name: "pressure_test",
            title: "Blank off both sides and pressurise each to 1 bar",
            minutes: 90.0,
            state: State::StoppedCold,
            tool: Some("plugs, hand pump, gauge"),
            caution: "Fill with water, not air, before pumping: a plug let go by air flies.",
            finds: &[
                Find { cause: "plate_holed", power: "cooler-pressure-test" },
                Find { cause: "gasket_leaks", power: "cooler-pressure-test" },
            ],
        },
        Check {
            name: "plates_apart",
            title: "Take the pack apart, or the inlet tail off a brazed one, and look into the channels",
            minutes: 180.0,
            state: State::StoppedCold,
            tool: Some("spanners, rule for the pack's length, gaskets"),
            caution: "Measure the pack before the bolts are slackened; edges cut, wear gloves. Seacock shut.",
            finds: &[
                Find { cause: "scaled", power: "exchanger-end-cap" },
                Find { cause: "clogged", power: "exchanger-end-cap" },
                Find { cause: "plate_holed", power: "visual-engine-parts" },
            ],
        },
    ],
    walls: &[
        wall("the plates", "coolant", Beyond::Way("raw"), &["plate_holed"]),
        wall("the gaskets", "coolant", Beyond::Space, &["gasket_leaks"]),
    ],
    limits: &[],
    margins: &[RAW_RISE, NO_SCALE],
};

/// Its laws.
struct PlateExchanger;

impl Law for PlateExchanger {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let plates = Tubular {
            clean_conductance: p.clean_conductance,
            fouling_resistance: p.fouling_resistance,
            rated_flow: [p.rated_cold_flow, p.rated_hot_flow],
            rated_drop: [p.rated_cold_drop, p.rated_hot_drop],
        };
        two_liquids(at, say, &plates, POWER);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD, near};

    /// Heat over the greatest possible, both sides at a share of rated flow [1].
    fn effectiveness(mut bench: Bench, share: f64) -> f64 {
        let over = 60.0;
        bench.site.inlet_temperature[1] = MILD + over;
        bench.site.flow[0] = share * bench.figure("rated_cold_flow");
        bench.site.flow[1] = share * bench.figure("rated_hot_flow");
        let rate =
            |k: usize| bench.site.flow[k] * bench.site.contents[k].heat_capacity(bench.site.inlet_temperature[k]);
        bench.say().heat[0] / (rate(0).min(rate(1)) * over)
    }

    #[test]
    fn it_reaches_the_effectiveness_that_a_library_computes() {
        // Check value hx.eff.counter (ht 1.2.0): 1.5 transfer units at a ratio of capacity rates of 0.6 give 0.6727.
        let bench = Bench::of(&KIND).with("fouling_resistance", 0.0);
        let cold = bench.site.contents[0].heat_capacity(MILD);
        let hot = bench.site.contents[1].heat_capacity(MILD + 60.0);
        let small = bench.figure("rated_cold_flow") * cold;
        let bench = bench.with("rated_hot_flow", small / 0.6 / hot).with("clean_conductance", 1.5 * small);
        near(effectiveness(bench.clone(), 1.0), 0.6726995773, 0.001, "hx.eff.counter");
        // [Martin1996]: at half the flows the conductance is down by two to the two thirds, so transfer units are up by the
        // cube root of two.
        let units = 1.5 * 2f64.powf(1.0 / 3.0);
        let rest = (-units * 0.4_f64).exp();
        near(effectiveness(bench, 0.5), (1.0 - rest) / (1.0 - 0.6 * rest), 0.002, "[Martin1996]");
    }
}
