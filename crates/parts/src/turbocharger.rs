//! Turbocharger: the gas that leaves drives the air that comes in; and the filter and pipes of that air.

use crate::dry_stack::GAS_ABOARD;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::constants::ATMOSPHERE;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, smooth_min};
use physics::turbocharger::{
    AIR_HEAT, compressor_work, expansion, pressure_before, pressure_ratio, swallowing, turbine_work,
};

crate::parameters! {
    /// Charge pressure over the atmosphere that a sound one gives at full load [Pa].
    rated_boost: GaugePressure, 10_000.0..=350_000.0, 90_000.0, within 1.3, "from memory";
    /// Gas flow at full load [kg/s].
    rated_gas_flow: MassFlow, 1e-3..=20.0, 0.1 * power ^ 1.0, within 1.15, "from memory";
    /// Gas temperature before the turbine at full load [K].
    rated_gas_temperature: Temperature, 600.0..=1_100.0, 850.0, within 1.06, "[Trade] 2.5 no more than 540 °C behind it";
    /// Efficiency of the compressor [1].
    compressor_efficiency: Ratio, 0.3..=0.85, 0.7, within 1.06, "[Heywood1988] ch. 6";
    /// Efficiency of the turbine with the bearings [1].
    turbine_efficiency: Ratio, 0.3..=0.85, 0.66, within 1.06, "[Heywood1988] ch. 6";
    /// Efficiency of the compressor left over clean [1].
    compressor_left: Ratio, 0.05..=1.1, 1.0, exact, "common practice, no source";
    /// Efficiency of the turbine left over sound [1].
    turbine_left: Ratio, 0.02..=1.1, 1.0, exact, "common practice, no source";
    /// Air that leaks from the charge at a boost of one atmosphere, as a share of what the engine takes [1].
    leak: Ratio, 0.0..=20.0, 0.0, exact, "common practice, no source";
    /// Suction of the clean air filter at full load [Pa].
    filter_drop: PressureDifference, 100.0..=20_000.0, 2_000.0, within 1.6, "common practice, no source";
    /// Resistance of the air filter over clean [1].
    filter_obstruction: Ratio, 1.0..=1e4, 1.0, exact, "common practice, no source";
}

/// Flow below which the drops turn linear [share of rated flow].
const REST: f64 = 0.02;
/// Share of rated flow under which gas and air are taken to stand [1].
const STILL: f64 = 2e-3;
/// Fuel burnt in a mass of air at full load [1], from memory.
const RATED_FUEL: f64 = 0.04;
/// Back pressure at full load [Pa]: [Trade] 2.5.
const RATED_BACK: f64 = 5_000.0;
/// Air drawn in when its figures are given [K].
const RATED_AIR: f64 = 298.15;
/// Share of the turbine's work that reaches the air [1]: the rest warms the oil, from memory.
const BEARINGS: f64 = 0.97;

/// Its boost.
const BOOST: Probe = Probe::Unknown(0);

/// The kind.
pub const KIND: Kind = Kind {
    name: "turbocharger",
    title: "Turbocharger",
    called: &["turbo"],
    places: &[along(Circuit::Exhaust, Station::Turbine, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        // The turbine below widens with the gas, the compressor above narrows with the air; a shaft between them.
        size: (40.0, 56.0),
        strokes: &[
            Stroke::Outline("M0 34L40 26V54L0 46Z"),
            Stroke::Outline("M4 0L36 6V14L4 20Z"),
            Stroke::Line("M20 17V30"),
        ],
        ways: &[way((0.0, 40.0), (40.0, 40.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("gas", &[Circuit::Exhaust], "in", "out").that("drives the turbine of")],
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
        Unknown { name: "air_flow", quantity: Quantity::MassFlow, start: 0.06, size: 0.02, bounds: (-1.0, 100.0) },
        Unknown { name: "full_boost", quantity: Quantity::GaugePressure, start: 9e4, size: 1e4, bounds: (-9e4, 1e6) },
        Unknown {
            name: "full_temperature",
            quantity: Quantity::Temperature,
            start: 400.0,
            size: 10.0,
            bounds: (200.0, 1_400.0),
        },
    ],
    links: &[
        Link::Engine("fuel_flow"),
        Link::All("space_temperature"),
        Link::All("space_depression"),
        Link::Own("intake_drop"),
    ],
    laws: both::<Turbocharger>(),
    causes: &[
        Cause {
            name: "failed",
            title: "turbocharger failed: bearing gone, wheels rub or have lost blades",
            moves: &[Move { on: Whose::Own, parameter: "turbine_left", by: By::Factor(0.05) }],
            severity: Severity::MostlyBad,
            says: &[says("grinds", 0.5), says_of("diesel", "smoke blue", 0.3), says("wheel loose", 0.5)],
            misreads: None,
            rate: "turbo-failed",
            remedy: "renew the turbocharger, and find what broke it: oil, or something drawn in",
        },
        Cause {
            name: "fouled",
            title: "compressor wheel fouled with oil and dust, or turbine with soot",
            moves: &[
                Move { on: Whose::Own, parameter: "compressor_left", by: By::Factor(0.75) },
                Move { on: Whose::Own, parameter: "turbine_left", by: By::Factor(0.85) },
            ],
            severity: Severity::MostlySlight,
            says: &[says("wheel dirty", 0.5)],
            misreads: None,
            rate: "turbo-fouled",
            remedy: "wash the wheels",
        },
        Cause {
            name: "charge_air_leaks",
            title: "charge-air pipe or hose leaks or is off",
            // Off, it leaves next to no boost.
            moves: &[Move { on: Whose::Own, parameter: "leak", by: By::Add(12.0) }],
            severity: Severity::MostlyBad,
            says: &[says_of("diesel", "whistles", 0.5)],
            misreads: None,
            rate: "charge-air-leak",
            remedy: "refit the charge-air pipe",
        },
        Cause {
            name: "filter_clogged",
            title: "air filter before the turbocharger clogged",
            moves: &[Move { on: Whose::Own, parameter: "filter_obstruction", by: By::Factor(12.0) }],
            severity: Severity::MostlySlight,
            says: &[says_of("diesel", "whistles", 0.1)],
            misreads: None,
            rate: "air-filter-clogged",
            remedy: "clean or renew the air filter",
        },
        Cause {
            name: "gasket_leaks",
            title: "gas leaks at the flange of the turbocharger: it is breathed in again, and the turbine has less",
            moves: &[Move { on: Whose::Own, parameter: "turbine_left", by: By::Factor(0.6) }],
            severity: Severity::MostlySlight,
            says: &[says("soot at the flange", 0.6), says_of("diesel", "smell of exhaust", 0.4)],
            misreads: None,
            rate: "exhaust-leak-into-engine-space",
            remedy: "renew the gasket",
        },
    ],
    words: &[
        Word {
            name: "grinds",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "turbo-sound",
            danger: Some(
                "Ease to idle and stop when the ship is safe: pieces and oil go into the engine. If it runs on by \
                 itself, shut the air off.",
            ),
            source: "from memory",
        },
        said("wheel loose", 0.03, 0.2, "wheel"),
        said("wheel dirty", 0.1, 0.2, "wheel"),
        Word {
            name: "soot at the flange",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.2,
            group: "exhaust-leak",
            danger: Some(GAS_ABOARD),
            source: "from memory",
        },
        Word {
            name: "boost low",
            of: Of::Share { probe: BOOST, midpoint: 0.85, spread: 0.07, when: When::Low },
            false_said: 0.04,
            miss: 0.2,
            group: "boost",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "follow_the_pipes",
            title: "Squeeze and follow the charge-air pipes and look at the gas flange",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("torch, spanner"),
            caution: "Let the turbine cool: it stays above 200 °C for half an hour.",
            finds: &[
                Find { cause: "charge_air_leaks", power: "round-walk" },
                Find { cause: "gasket_leaks", power: "round-walk" },
            ],
        },
        Check {
            name: "filter_off",
            title: "Take the air filter off, look at it, then turn and lift the compressor wheel by hand",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner, torch"),
            caution: "Stopped, key in your pocket: a running wheel takes fingers. Nothing left in the inlet afterwards.",
            finds: &[
                Find { cause: "filter_clogged", power: "visual-general" },
                Find { cause: "failed", power: "visual-general" },
                Find { cause: "fouled", power: "visual-engine-parts" },
            ],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::OutletTemperature(0),
        value: 813.15,
        when: When::High,
        running_only: true,
        act: "Ease back until the exhaust is under 540 °C: valves and turbine burn. Then look at boost, air filter and \
            what the propeller asks.",
        source: "[Trade] 2.5",
    }],
    margins: &[
        Margin {
            name: "gas behind it",
            asks: "Is the gas behind the turbine cool enough to go on for days?",
            of: |at| Some(at.outlet_temperature[0]),
            quantity: Quantity::Temperature,
            least: f64::NEG_INFINITY,
            most: 813.15,
            remedy: "less load (pitch, propeller), cooler charge, or a cleaner air way",
            source: "[Trade] 2.5 sustained",
        },
        Margin {
            name: "back pressure",
            asks: "Does the exhaust let the turbine breathe?",
            of: |at| Some(at.outlet_pressure[0] - at.point.atmosphere),
            quantity: Quantity::PressureDifference,
            least: f64::NEG_INFINITY,
            most: 4900.0,
            remedy: "a wider exhaust, fewer and rounder bends",
            source: "[Trade] 1.3 back pressure",
        },
    ],
};

/// Its laws.
struct Turbocharger;

/// What the power of the turbine makes of the air.
struct Charge<N> {
    boost: N,
    temperature: N,
    /// Work taken from each mass of gas [J/kg].
    work: N,
}

impl<N: Number> P<N> {
    /// What the turbine swallows: matched so that a sound one gives its rated boost at full load.
    fn matched(&self) -> N {
        let ratio = (self.rated_boost + ATMOSPHERE) / (-self.filter_drop + ATMOSPHERE);
        let work = compressor_work(ratio, N::constant(RATED_AIR), self.compressor_efficiency);
        let of_gas = work / ((1.0 + RATED_FUEL) * BEARINGS);
        let expanded = expansion(of_gas, self.rated_gas_temperature, self.turbine_efficiency);
        let before = expanded.recip() * (ATMOSPHERE + RATED_BACK);
        swallowing(self.rated_gas_flow, self.rated_gas_temperature, before, expanded)
    }

    /// The charge with this gas before the turbine: absolute pressure [Pa] before and behind, temperature [K], mass of gas
    /// for each mass of air the engine takes [1], air over what it is at full load [1].
    fn charge(&self, at: &Site<N>, (before, behind): (N, N), hot: N, gas_for_air: N, share: N, boost: N) -> Charge<N> {
        let drawn_in = at.drawn_in(1);
        let work = turbine_work(behind / before, hot, self.turbine_efficiency * self.turbine_left);
        let lost = self.leak * positive_part(boost / ATMOSPHERE, 0.01) + 1.0;
        let of_air = work * BEARINGS * gas_for_air / lost;
        let now = at.unknowns[2] / self.rated_gas_flow * (1.0 + RATED_FUEL);
        let before_it = (at.links[2] + at.links[3]) * share * share / (now * now + 0.02);
        let sucked = self.filter_drop * self.filter_obstruction * share * share * lost * lost + before_it;
        let inlet = positive_part(at.point.atmosphere - sucked, 1_000.0);
        let ratio = pressure_ratio(of_air, drawn_in, self.compressor_efficiency * self.compressor_left);
        Charge { boost: inlet * ratio - at.point.atmosphere, temperature: drawn_in + of_air / AIR_HEAT, work }
    }
}

impl Law for Turbocharger {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let swallows = p.matched();
        let rated = p.rated_gas_flow;
        let (hot, behind) = (at.inlet_temperature[0], at.outlet_pressure[0]);
        let (gas, air) = (at.flow[0] / rated, at.unknowns[2] / rated);
        // Pressures before and behind, each as the law reckons it, which holds them above nothing.
        let ends = |share: N, hot: N, behind: N| {
            let squared = |share: N| signed_square(share, REST) * rated * rated;
            let before = pressure_before(swallows, squared(share), hot, behind);
            (before, pressure_before(swallows, N::constant(0.0), hot, behind))
        };
        let (before, standing) = ends(gas, hot, behind);
        at.drop(say, 0, before - standing);

        say.unknown[2] = at.unknowns[2] - rated * positive_part(gas - at.links[0] / rated, STILL);
        let turning = |share: N| positive_part(share, STILL) + STILL;
        let of_rated = air * (1.0 + RATED_FUEL);
        let now = p.charge(at, (before, standing), hot, turning(gas) / turning(air), of_rated, at.unknowns[0]);
        say.unknown[0] = at.unknowns[0] - now.boost;
        say.unknown[1] = at.unknowns[1] - now.temperature;
        say.heat[0] = -(now.work * at.flow[0]);

        // At full load and rated speed, whatever it does now: the back pressure as the square of the gas.
        let back = (behind - at.point.atmosphere) / at.point.atmosphere / (gas * gas + 0.02);
        let full_behind = smooth_min(back, N::constant(1.0), 0.05) * at.point.atmosphere + at.point.atmosphere;
        let (one, full_hot) = (N::constant(1.0), p.rated_gas_temperature);
        let full_ends = ends(one, full_hot, full_behind);
        let full = p.charge(at, full_ends, full_hot, one * (1.0 + RATED_FUEL), one, at.unknowns[3]);
        say.unknown[3] = at.unknowns[3] - full.boost;
        say.unknown[4] = at.unknowns[4] - full.temperature;
        say.storage[0] = rated * 80_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};
    use physics::contents::Contents;

    /// Gas at full load on its way through, the bench's boost and air where its laws want them.
    fn full(bench: Bench) -> Bench {
        let mut bench = bench;
        let gas = bench.figure("rated_gas_flow");
        bench.site.contents[0] = Contents::Gas { fuel_air_ratio: 0.04 };
        bench.site.flow[0] = gas;
        bench.site.links[0] = gas * RATED_FUEL / (1.0 + RATED_FUEL);
        bench.site.inlet_temperature[0] = bench.figure("rated_gas_temperature");
        bench.site.outlet_pressure[0] = ATMOSPHERE + RATED_BACK;
        bench.site.point.air = RATED_AIR - 8.0;
        for _ in 0..100 {
            for (k, name) in ["boost", "charge_temperature", "air_flow"].into_iter().enumerate() {
                bench.site.unknowns[k] = bench.inner(name);
            }
        }
        bench
    }

    #[test]
    fn a_sound_one_gives_its_rated_boost_at_full_load() {
        let bench = full(Bench::of(&KIND));
        near(bench.site.unknowns[0], bench.figure("rated_boost"), 0.01, "what it is matched for");
        near(bench.inner("full_boost"), bench.figure("rated_boost"), 0.01, "and reckons for full load");
        // From 25 °C to 1.9 bar with 70 %: 25 + 298/0.7 (1.92^0.286 − 1) = 113 °C, by hand.
        near(bench.site.unknowns[1] - 273.15, 113.0, 0.05, "[Heywood1988] eq. 6.42");
    }

    #[test]
    fn what_the_gas_gives_the_air_takes() {
        let bench = full(Bench::of(&KIND));
        let air = bench.site.unknowns[2] * AIR_HEAT * (bench.site.unknowns[1] - RATED_AIR);
        near(-bench.say().heat[0] * BEARINGS, air, 0.01, "the first law");
    }

    #[test]
    fn failed_leaking_or_starved_it_gives_less() {
        let sound = full(Bench::of(&KIND)).site.unknowns[0];
        for (figure, value) in
            [("turbine_left", 0.05), ("compressor_left", 0.75), ("leak", 2.0), ("filter_obstruction", 10.0)]
        {
            let less = full(Bench::of(&KIND).with(figure, value)).site.unknowns[0];
            assert!(less < 0.93 * sound, "{figure}: {less} of {sound} Pa");
        }
    }
}
