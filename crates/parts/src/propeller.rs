//! Propeller and hull: what the engine works against.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use measure::quantity::Quantity;
use physics::smooth::smooth_min;

crate::parameters! {
    /// Speed through the water at rated engine speed, clean and calm [m/s].
    rated_boat_speed: Velocity, 0.5..=25.0, 4.1, within 1.1, "common practice, no source";
    /// Engine speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 20.0..=700.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
    /// Power at a given shaft speed over clean hull [1].
    hull_growth: Ratio, 0.8..=5.0, 1.03, within 1.05, "from memory";
    /// Power at a given shaft speed over clean propeller [1].
    propeller_growth: Ratio, 0.8..=5.0, 1.01, within 1.03, "from memory";
    /// Power at a given shaft speed over the right pitch [1].
    pitch: Ratio, 0.5..=3.0, 1.0, within 1.03, "from memory";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "propeller",
    title: "Propeller and hull",
    circuit: Circuit::Drive,
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "demand", quantity: Quantity::Ratio, start: 1.0, size: 0.1, bounds: (-0.1, 20.0) },
        Unknown { name: "boat_speed", quantity: Quantity::Velocity, start: 3.5, size: 0.5, bounds: (-1.0, 40.0) },
    ],
    links: &[Link::Engine("speed")],
    laws: both::<Propeller>(),
    causes: &[],
    words: &[],
    checks: &[],
    limits: &[],
};

/// Its laws.
struct Propeller;

impl Law for Propeller {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - p.hull_growth * p.propeller_growth * p.pitch;
        // Growth costs more speed than it takes power at the same turns; in neutral she does not move.
        let drag = p.hull_growth * p.hull_growth * p.propeller_growth;
        say.unknown[1] = at.unknowns[1] - p.rated_boat_speed * at.links[0] / p.rated_speed * drag.powf(-0.5) * smooth_min(at.point.load * 4.0, N::constant(1.0), 0.05);
    }
}
