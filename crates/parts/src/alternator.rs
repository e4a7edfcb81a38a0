//! Alternator with its regulator: charges, and on many engines gives the speed gauge its signal.
//!
//! Its terminal stands at the end of its output line: what that line's breaker and lugs do is in its `output`.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::electrical::{alternator_in_heat, alternator_share, held_voltage};
use physics::number::Number;
use physics::smooth::{positive_part, smooth_min, step};

mod knowledge;

crate::parameters! {
    /// Alternator turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.5..=6.0, 2.4, exact, "common practice, no source";
    /// Voltage the regulator holds at 25 °C [V].
    regulated: Voltage, 5.0..=60.0, 14.2 * volts ^ 1.0, plus 0.25, "[Trade] 2.7 charging voltage";
    /// Share of 5 mV a kelvin and cell by which its regulator follows the warmth of its space [1]; 0 if it does not.
    compensation: Ratio, 0.0..=1.5, 0.3, exact, "common practice, no source";
    /// Current it gives cold, at 6000 turns a minute of its own shaft [A].
    rated_current: Current, 5.0..=600.0, 70.0 * power ^ 0.3 * volts ^ -0.5, within 1.5, "common practice, no source";
    /// Share of that which its hot windings give all day at 25 °C [1].
    continuous: Ratio, 0.3..=1.0, 0.75, within 1.1, "[Trade] 2.7 hot derate";
    /// Alternator speed at which it starts to charge [rad/s].
    cut_in: RotationalSpeed, 20.0..=400.0, 110.0, within 1.3, "from memory";
    /// Share of its output that reaches the batteries [1].
    output: Ratio, 0.0..=1.5, 1.0, exact, "common practice, no source";
    /// Share of its field that is there: without it no charge, and no signal for a speed gauge [1].
    excitation: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Turns of what drives it for each engine turn, that a speed gauge fed from it is set for [1].
    tach_ratio: Ratio, 0.2..=10.0, 1.0, exact, "common practice, no source";
}

/// Width of the cut-in, for a speed gauge [rad/s].
const CUT_IN_WIDTH: f64 = 25.0;
/// Width of the corners of its output [A].
const CORNER: f64 = 0.3;
/// What its diodes let back [A/V], from memory.
const LEAK: f64 = 1e-4;
/// Field below which a speed gauge loses its signal, and how fast [1] (from memory).
const SIGNAL: (f64, f64) = (0.15, 0.05);

/// The kind.
pub const KIND: Kind = Kind {
    name: "alternator",
    title: "Alternator",
    called: &["generator"],
    places: &[along(Circuit::Charging, Station::Source, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z")],
        ways: &[outward((36.0, 18.0))],
        link: inward((0.0, 18.0)),
        letters: "G",
        ..Symbol::BLANK
    },
    passages: &[way_through("current", &[Circuit::Charging], End::Ground, End::Port("out")).that("is made by")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "voltage", quantity: Quantity::Voltage, start: 14.0, size: 0.5, bounds: (0.0, 60.0) },
        Unknown {
            name: "signal",
            quantity: Quantity::RotationalSpeed,
            start: 150.0,
            size: 10.0,
            bounds: (-5.0, 1500.0),
        },
    ],
    links: &[Link::DriverSpeed, Link::All("space_temperature")],
    laws: both::<Alternator>(),
    causes: &[
        Cause {
            name: "failed",
            title: "alternator does not charge",
            moves: &[Move { on: Whose::Own, parameter: "excitation", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("burnt smell", 0.15), says("growls", 0.15), says("batteries flat by morning", 0.35)],
            misreads: None,
            rate: "alternator-failed",
            remedy: "repair or renew the alternator",
        },
        Cause {
            name: "diode_failed",
            title: "diode of the alternator open, leaking or shorted",
            moves: &[Move { on: Whose::Own, parameter: "output", by: By::Factor(0.4) }],
            severity: Severity::Even,
            says: &[
                says("whines", 0.35),
                says("charge lamp glows", 0.45),
                says("warm at rest", 0.35),
                says("batteries flat by morning", 0.4),
            ],
            misreads: None,
            rate: "alternator-diode-failed",
            remedy: "repair or renew the alternator",
        },
        Cause {
            name: "rectifier_shorted",
            title: "rectifier of the alternator dead short",
            moves: &[Move { on: Whose::Own, parameter: "excitation", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[
                says("burnt smell", 0.5),
                says("hot", 0.5),
                says("warm at rest", 0.5),
                says("batteries flat by morning", 0.5),
                says_of("belt", "squeals", 0.3),
            ],
            misreads: None,
            rate: "alternator-rectifier-shorted",
            remedy: "repair or renew the alternator",
        },
        Cause {
            name: "regulator_high",
            title: "regulator no longer limits the voltage",
            moves: &[Move { on: Whose::Own, parameter: "regulated", by: By::Factor(1.3) }],
            severity: Severity::MostlyBad,
            says: &[
                says("batteries gas or smell", 0.5),
                says("lamps bright or blowing", 0.4),
                says("cables hot", 0.3),
                says("hot", 0.4),
            ],
            misreads: None,
            rate: "alternator-regulator-failed-high",
            remedy: "renew the regulator",
        },
        Cause {
            name: "exciter_contact_poor",
            title: "exciter contact poor: charges late or now and then",
            moves: &[Move { on: Whose::Own, parameter: "cut_in", by: By::Factor(3.0) }],
            severity: Severity::Even,
            says: &[
                says("charges only when revved", 0.75),
                says("does not charge", 0.3),
                says("batteries flat by morning", 0.25),
            ],
            misreads: None,
            rate: "alternator-exciter-connection-poor",
            remedy: "clean and tighten the exciter contact",
        },
        Cause {
            name: "output_breaker_open",
            title: "breaker or fuse in the output line open",
            moves: &[Move { on: Whose::Own, parameter: "output", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("batteries flat by morning", 0.35)],
            misreads: None,
            rate: "alternator-output-breaker-open",
            remedy: "find why it opened, then close it",
        },
        Cause {
            name: "output_wire_corroded",
            title: "output cable or lug corroded",
            moves: &[Move { on: Whose::Own, parameter: "output", by: By::Lost }],
            severity: Severity::Even,
            says: &[says("cables hot", 0.4), says("batteries flat by morning", 0.35)],
            misreads: None,
            rate: "alternator-output-wire-corroded",
            remedy: "renew the output cable",
        },
        // The belt is lost with it, and what else that belt turns.
        Cause {
            name: "mount_broken",
            title: "mount or arm of the alternator broken, belt lost",
            moves: &[
                Move { on: Whose::Kind("belt"), parameter: "slip", by: By::Towards(1.0) },
                Move { on: Whose::Own, parameter: "output", by: By::Towards(0.0) },
            ],
            severity: Severity::Whole,
            says: &[
                says("sits askew", 0.8),
                says_of("belt", "missing", 0.7),
                says_of("belt", "slack", 0.3),
                says_of("belt", "squeals", 0.3),
                says_of("belt", "dust", 0.3),
            ],
            misreads: None,
            rate: "alternator-mount-broken",
            remedy: "repair the mount and fit a belt",
        },
        Cause {
            name: "seized",
            title: "alternator seized: the belt burns on its pulley",
            moves: &[
                Move { on: Whose::Kind("belt"), parameter: "slip", by: By::Towards(1.0) },
                Move { on: Whose::Own, parameter: "output", by: By::Lost },
            ],
            severity: Severity::MostlyBad,
            says: &[
                says("growls", 0.5),
                says("hot", 0.4),
                says_of("belt", "squeals", 0.7),
                says_of("belt", "hot", 0.6),
                says_of("belt", "dust", 0.5),
                says_of("diesel", "smell of hot rubber", 0.6),
            ],
            misreads: None,
            rate: "alternator-seized",
            remedy: "renew the alternator, or run a shorter belt past it",
        },
    ],
    words: knowledge::WORDS,
    checks: knowledge::CHECKS,
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Alternator;

impl Law for Alternator {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let speed = at.links[0] * p.drive_ratio;
        let most = p.rated_current
            * p.continuous
            * p.output
            * p.excitation
            * alternator_share(speed, p.cut_in)
            * alternator_in_heat(at.room(1));
        let held = held_voltage(p.regulated, p.compensation, at.room(1));
        // As much as holds the voltage, but no more than it can and nothing backwards; in volts along a source that
        // would fall to nothing at its rated current.
        let inner = p.regulated / p.rated_current;
        let asked = at.flow[0] + (held - at.outlet_pressure[0]) / inner;
        let given = smooth_min(positive_part(asked, CORNER), most, CORNER) - at.outlet_pressure[0] * LEAK;
        say.gap[0] = (given - at.flow[0]) * inner;
        say.unknown[0] = at.unknowns[0] - at.outlet_pressure[0];
        // A speed gauge fed from it shows the engine's speed by the ratio it is set for, and nothing without a field.
        let heard = step(speed - p.cut_in * 0.7, CUT_IN_WIDTH) * step(p.excitation - SIGNAL.0, SIGNAL.1);
        say.unknown[1] = at.unknowns[1] - at.links[0] / p.tach_ratio * heard;
    }
}

#[cfg(test)]
mod tests {
    use crate::bench::Bench;

    /// What it gives at a speed of its driver, held down to a voltage [A].
    fn gives(bench: &Bench, speed: f64, voltage: f64) -> f64 {
        let mut bench = bench.clone();
        bench.site.links[0] = speed;
        bench.site.point.speed = speed;
        bench.site.outlet_pressure[0] = voltage;
        // Its own current is part of its law: what it gives is where the two agree.
        (0..2000).fold(0.0, |flow, _| {
            bench.site.flow[0] = flow;
            flow + 0.02 * bench.say().gap[0]
        })
    }

    #[test]
    fn it_gives_what_it_can_below_its_voltage_and_little_above() {
        let bench = Bench::of(&super::KIND);
        let cruise = gives(&bench, 178.0, 13.0);
        // [Trade] 2.7: 70 to 80 % of its rating hot, here of 70 A at four thousand turns of its own.
        assert!((0.65 * 70.0..0.8 * 70.0).contains(&cruise), "{cruise}");
        assert!(gives(&bench, 178.0, 14.8).abs() < 0.5 && gives(&bench, 0.0, 12.5).abs() < 0.1);
        assert!(gives(&bench.clone().with("excitation", 0.0), 178.0, 13.0).abs() < 0.5);
    }
}
