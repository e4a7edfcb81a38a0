//! Air filter of an engine: what it takes from the pressure of the air that the engine draws in.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::signed_square;

crate::parameters! {
    /// Air flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 1e-3..=20.0, 0.085 * power ^ 1.0, within 1.3, "common practice, no source";
    /// Drop of the clean element at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=20_000.0, 1_000.0, within 1.7, "from memory";
    /// Resistance over clean [1].
    obstruction: Ratio, 1.0..=1e4, 1.0, exact, "common practice, no source";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Restriction at which an element is renewed [Pa]: 25 inches of water, 6.2 kPa; from memory.
const RENEW: f64 = 6_200.0;

/// What it takes.
const DROP: Probe = Probe::Unknown(0);

/// The kind.
pub const KIND: Kind = Kind {
    name: "air-filter",
    title: "Air filter",
    called: &["air-cleaner", "intake-filter", "intake-silencer"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Air,
    symbol: Symbol {
        size: (32.0, 32.0),
        strokes: &[Stroke::Outline("M0 0H32V32H0Z"), Stroke::Dashed("M16 0V32")],
        ways: &[],
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[Unknown {
        name: "intake_drop",
        quantity: Quantity::PressureDifference,
        start: 1_000.0,
        size: 500.0,
        bounds: (-1e4, 1e5),
    }],
    links: &[Link::Gas, Link::Engine("fuel_flow")],
    laws: both::<AirFilter>(),
    causes: &[
        Cause {
            name: "clogged",
            title: "air filter clogged",
            moves: &[Move { on: Whose::Own, parameter: "obstruction", by: By::Factor(25.0) }],
            severity: Severity::MostlySlight,
            says: &[says("element black", 0.6)],
            misreads: None,
            rate: "air-filter-clogged",
            remedy: "clean or renew the air filter",
        },
        Cause {
            name: "soaked",
            title: "air filter soaked with oil mist or sea spray",
            moves: &[Move { on: Whose::Own, parameter: "obstruction", by: By::Factor(15.0) }],
            severity: Severity::Even,
            says: &[says("element wet", 0.7), says_of("diesel", "breathes hard", 0.15)],
            misreads: None,
            rate: "air-filter-soaked",
            remedy: "renew the element, and lead spray or breather away from it",
        },
    ],
    words: &[
        Word {
            name: "indicator red",
            of: Of::Value { probe: DROP, midpoint: RENEW, spread: 800.0, when: When::High },
            false_said: 0.02,
            miss: 0.3,
            group: "air-restriction",
            danger: None,
            source: "from memory",
        },
        said("element black", 0.05, 0.2, "element"),
        said("element wet", 0.03, 0.2, "element"),
    ],
    checks: &[Check {
        name: "element_out",
        title: "Take the element out and hold a lamp behind it",
        minutes: 10.0,
        state: State::Stopped,
        tool: Some("spanner, torch"),
        caution: "Stopped, key in your pocket: a running inlet takes rags and fingertips. Nothing left in it afterwards.",
        finds: &[Find { cause: "clogged", power: "visual-general" }, Find { cause: "soaked", power: "visual-general" }],
    }],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "intake restriction",
        asks: "Does the air filter let the engine breathe?",
        of: |at| (at.links[0] > 0.0).then(|| at.unknowns[0]),
        quantity: Quantity::PressureDifference,
        least: f64::NEG_INFINITY,
        most: 3_700.0,
        remedy: "A larger air filter",
        source: "from memory",
    }],
};

/// Its laws.
struct AirFilter;

impl Law for AirFilter {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let air = at.links[0] - at.links[1];
        say.unknown[0] = at.unknowns[0] - p.rated_drop * p.obstruction * signed_square(air / p.rated_flow, REST);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn clean_it_takes_its_own_figure_and_four_times_that_at_twice_the_air() {
        let mut bench = Bench::of(&KIND);
        for (share, drop) in [(1.0, 1_000.0), (2.0, 4_000.0)] {
            bench.site.links[0] = share * bench.figure("rated_flow") * 1.04;
            bench.site.links[1] = share * bench.figure("rated_flow") * 0.04;
            near(bench.inner("intake_drop"), drop, 0.001, "square law");
        }
    }
}
