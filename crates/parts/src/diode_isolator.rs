//! Diode isolator: charges two banks and lets neither feed the other.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::positive_part;

crate::parameters! {
    /// Voltage that a diode takes before it passes [V].
    threshold: Voltage, 0.0..=1.2, 0.65, plus 0.1, "from memory";
    /// Resistance of a diode and its lugs beyond that [Ω].
    contact: Resistance, 1e-4..=0.1, 2e-3, within 2.0, "from memory";
    /// Whether its first diode passes: 0 is burnt open [1].
    first: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Whether its second diode passes [1].
    second: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// Width of a diode's corner [V].
const CORNER: f64 = 0.02;
/// What a diode lets back, over what it passes [1].
const LEAK: f64 = 1e-7;

/// The kind.
pub const KIND: Kind = Kind {
    name: "diode-isolator",
    title: "Diode isolator",
    called: &["blocking-diode", "split-diode", "battery-isolator"],
    places: &[along(Circuit::Charging, Station::NonReturn, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (40.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 0H40V36H0Z"),
            Stroke::Line("M0 18H40M28 12V24M20 18V36M14 33H26"),
            Stroke::Solid("M22 12V24L28 18Z"),
            Stroke::Solid("M14 26H26L20 32Z"),
        ],
        ways: &[way((0.0, 18.0), (40.0, 18.0)), way((0.0, 18.0), (20.0, 36.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("first", &[Circuit::Charging], "in", "first_out").that("goes one way through"),
        passage("second", &[Circuit::Charging], "in", "second_out").that("goes one way through"),
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Isolator>(),
    causes: &[
        Cause {
            name: "first_open",
            title: "first diode burnt open: its bank gets no charge",
            moves: &[Move { on: Whose::Own, parameter: "first", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("discoloured by heat", 0.4)],
            misreads: None,
            rate: "isolator-diode-open",
            remedy: "renew the diode isolator",
        },
        Cause {
            name: "second_open",
            title: "second diode burnt open: its bank gets no charge",
            moves: &[Move { on: Whose::Own, parameter: "second", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("discoloured by heat", 0.4)],
            misreads: None,
            rate: "isolator-diode-open",
            remedy: "renew the diode isolator",
        },
    ],
    words: &[said("discoloured by heat", 0.03, 0.3, "isolator")],
    checks: &[Check {
        name: "voltages",
        title: "Measure the voltage before it and behind each diode, charging",
        minutes: 5.0,
        state: State::Running,
        tool: Some("voltmeter"),
        caution: "Its case may be hot and is live on some: probe, do not lean.",
        finds: &[
            Find { cause: "first_open", power: "second-gauge" },
            Find { cause: "second_open", power: "second-gauge" },
        ],
    }],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Isolator;

impl Law for Isolator {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        for (k, passes) in [p.first, p.second].into_iter().enumerate() {
            let over = at.inlet_pressure[k] - at.outlet_pressure[k];
            let beyond = positive_part(over - p.threshold, CORNER) - positive_part(-p.threshold, CORNER);
            say.gap[k] = beyond * passes + over * LEAK - at.flow[k] * p.contact;
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::bench::Bench;

    #[test]
    fn it_passes_one_way_for_what_a_diode_takes() {
        let bench = Bench::of(&super::KIND);
        // A silicon diode takes 0.6 to 0.9 V at full current, makers' sheets of isolators say; from memory.
        assert!(bench.flow_at(0, 0.6) < 15.0 && bench.flow_at(0, 0.9) > 60.0);
        assert!(bench.flow_at(0, -2.0).abs() < 0.2, "{}", bench.flow_at(0, -2.0));
        assert!(bench.clone().with("first", 0.0).flow_at(0, 1.0) < 0.01);
    }
}
