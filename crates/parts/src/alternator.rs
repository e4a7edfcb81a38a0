//! Alternator with its regulator: charges, and on many engines gives the speed gauge its signal.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use measure::quantity::Quantity;
use physics::smooth::step;

crate::parameters! {
    /// Alternator turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.5..=6.0, 2.4, exact, "common practice, no source";
    /// Voltage the regulator holds [V].
    regulated: Voltage, 5.0..=60.0, 14.2, plus 0.25, "[Trade] 2.7 charging voltage";
    /// Voltage of the batteries without charge [V].
    resting: Voltage, 5.0..=56.0, 12.5, plus 0.3, "[Trade] 2.7 rest voltage";
    /// Alternator speed at which it starts to charge [rad/s].
    cut_in: RotationalSpeed, 20.0..=400.0, 110.0, within 1.3, "from memory";
    /// Share of its output that reaches the batteries [1].
    output: Ratio, 0.0..=1.5, 1.0, exact, "common practice, no source";
}

/// Width of the cut-in [rad/s].
const CUT_IN_WIDTH: f64 = 25.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "alternator",
    title: "Alternator",
    circuit: Circuit::Charging,
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "voltage", quantity: Quantity::Voltage, start: 14.0, size: 0.5, bounds: (0.0, 60.0) },
        Unknown { name: "signal", quantity: Quantity::RotationalSpeed, start: 150.0, size: 10.0, bounds: (-5.0, 1500.0) },
    ],
    links: &[Link::DriverSpeed],
    laws: both::<Alternator>(),
    causes: &[],
    words: &[],
    checks: &[],
    limits: &[],
};

/// Its laws.
struct Alternator;

impl Law for Alternator {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let speed = at.links[0] * p.drive_ratio;
        let charging = step(speed - p.cut_in, CUT_IN_WIDTH) * p.output;
        say.unknown[0] = at.unknowns[0] - p.resting - (p.regulated - p.resting) * charging;
        // A speed gauge fed from it shows the driver's speed, and nothing once it no longer charges.
        say.unknown[1] = at.unknowns[1] - at.links[0] * step(speed - p.cut_in * 0.7, CUT_IN_WIDTH);
    }
}
