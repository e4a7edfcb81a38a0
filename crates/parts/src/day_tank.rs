//! Day tank: the fuel the engine draws on.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use measure::quantity::Quantity;

crate::parameters! {
    /// What it holds [m³].
    volume: Volume, 0.005..=10.0, 0.2 * power ^ 1.0, within 1.5, "[Trade] 2.4 a day's fuel";
    /// How full it is [1].
    level: Ratio, 0.0..=1.0, 0.6, plus 0.4, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "day-tank",
    title: "Day tank",
    circuit: Circuit::Fuel,
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "level", quantity: Quantity::Ratio, start: 0.5, size: 0.1, bounds: (-0.5, 1.5) },
    ],
    links: &[],
    laws: both::<DayTank>(),
    causes: &[],
    words: &[],
    checks: &[],
    limits: &[],
};

/// Its laws.
struct DayTank;

impl Law for DayTank {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - p.level;
    }
}
