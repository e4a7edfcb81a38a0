//! Belt: turns a pump or an alternator from the engine.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use measure::quantity::Quantity;

crate::parameters! {
    /// Diameter of the driving pulley over the driven [1].
    ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Share of turns lost to slip [1].
    slip: Ratio, 0.0..=1.0, 0.015, within 1.8, "[Belts] creep and slip of a sound belt";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "belt",
    title: "Belt",
    circuit: Circuit::Charging,
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "speed", quantity: Quantity::RotationalSpeed, start: 150.0, size: 10.0, bounds: (-1.0, 3000.0) },
    ],
    links: &[Link::DriverSpeed],
    laws: both::<Belt>(),
    causes: &[],
    words: &[],
    checks: &[],
    limits: &[],
};

/// Its laws.
struct Belt;

impl Law for Belt {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - at.links[0] * p.ratio * (-p.slip + 1.0);
    }
}
