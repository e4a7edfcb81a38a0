//! Electrical load: all that draws current from a bank, taken together.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;

crate::parameters! {
    /// Power it draws at its nominal voltage [W].
    power: Power, 0.0..=20e3, 120.0 * power ^ 0.3, within 1.6, "common practice, no source";
    /// Nominal voltage it is made for [V].
    nominal: Voltage, 6.0..=48.0, 12.0 * volts ^ 1.0, exact, "common practice, no source";
    /// Share of it that draws the same power whatever the voltage, as what is fed through converters does [1].
    steady: Ratio, 0.0..=1.0, 0.5, exact, "common practice, no source";
    /// What flows to the hull beside it, at its nominal voltage [A].
    stray: Current, 0.0..=100.0, 0.0, exact, "common practice, no source";
}

/// Share of its nominal voltage below which nothing holds its power any more [1].
const LEAST: f64 = 0.1;

/// The kind.
pub const KIND: Kind = Kind {
    name: "load",
    title: "Electrical load",
    called: &["loads", "electrical-load", "house-load", "house-loads", "consumers"],
    places: &[along(Circuit::Charging, Station::Consumer, Role::Usual)],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"),
            Stroke::Line("M5.3 5.3L30.7 30.7M30.7 5.3L5.3 30.7"),
        ],
        ways: &[inward((0.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("current", &[Circuit::Charging], End::Port("in"), End::Ground).that("is used by")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Load>(),
    causes: &[
        Cause {
            name: "left_on",
            title: "more is switched on than is counted with",
            moves: &[Move { on: Whose::Own, parameter: "power", by: By::Factor(6.0) }],
            severity: Severity::Even,
            says: &[says("more on than usual", 0.5), says_of("alternator", "batteries flat by morning", 0.5)],
            misreads: None,
            rate: "load-left-on",
            remedy: "switch off what is not needed",
        },
        Cause {
            name: "stray_current",
            title: "current strays to the hull through wet or chafed insulation",
            moves: &[Move { on: Whose::Own, parameter: "stray", by: By::Towards(8.0) }],
            severity: Severity::MostlySlight,
            says: &[
                says("insulation lamp on", 0.4),
                says("anodes gone early", 0.3),
                says_of("alternator", "batteries flat by morning", 0.4),
            ],
            misreads: None,
            rate: "load-earth-fault",
            remedy: "find and mend the insulation",
        },
    ],
    words: &[
        said("more on than usual", 0.08, 0.3, "load"),
        said("insulation lamp on", 0.02, 0.3, "insulation"),
        said("anodes gone early", 0.05, 0.4, "anodes"),
    ],
    checks: &[
        Check {
            name: "one_by_one",
            title: "Switch off one circuit after the other and watch the current",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("clamp meter"),
            caution: "Not what keeps her afloat or seen: pumps, lights and alarms stay on.",
            finds: &[
                Find { cause: "left_on", power: "second-gauge" },
                Find { cause: "stray_current", power: "second-gauge" },
            ],
        },
        Check {
            name: "insulation",
            title: "Everything off and both poles free: measure from each pole to the hull",
            minutes: 20.0,
            state: State::StoppedCold,
            tool: Some("insulation tester"),
            caution: "Electronics unplugged first, or the tester's voltage kills them.",
            finds: &[Find { cause: "stray_current", power: "second-gauge" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Load;

impl Law for Load {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let share = (at.inlet_pressure[0] - at.outlet_pressure[0]) / p.nominal;
        // What holds its power draws more the lower the voltage, and nothing at none.
        let held = share * (1.0 + LEAST * LEAST) / (share * share + LEAST * LEAST);
        let drawn = (share * (-p.steady + 1.0) + held * p.steady) * p.power / p.nominal + share * p.stray;
        // In volts along what would draw a hundred watts.
        say.gap[0] = (drawn - at.flow[0]) * p.nominal * p.nominal / 100.0;
    }
}

#[cfg(test)]
mod tests {
    use crate::bench::{Bench, near};

    fn draws(steady: f64, voltage: f64) -> f64 {
        let mut bench = Bench::of(&super::KIND).with("steady", steady);
        bench.site.inlet_pressure[0] = voltage;
        bench.flow_at(0, voltage)
    }

    #[test]
    fn it_draws_its_power_at_its_voltage() {
        near(draws(0.0, 12.0), 10.0, 1e-9, "120 W over 12 V");
        near(draws(1.0, 12.0), 10.0, 1e-9, "120 W over 12 V");
        // Ohm's law, and power held.
        near(draws(0.0, 14.0) / draws(0.0, 12.0), 14.0 / 12.0, 1e-9, "a resistance");
        near(draws(1.0, 14.0) * 14.0, 120.0, 0.01, "a steady power");
        assert!(draws(1.0, 0.0).abs() < 1e-9);
    }
}
