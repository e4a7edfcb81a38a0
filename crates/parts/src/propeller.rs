//! Propeller, shaft and hull: what the engine works against, and what holds it in line.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::smooth_min;

pub(crate) mod checks;
pub(crate) mod line;

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

/// Boat speed over power at the same shaft speed, in calm water at displacement speed: the cube root.
const PITCH_TO_SPEED: f64 = 1.0 / 3.0;

/// Ways it fails.
const CAUSES: [Cause; 14] = joined(LOADED, joined::<_, 1, 8, 9>([line::LOST], line::CAUSES));

/// What makes it harder to turn.
const LOADED: [Cause; 5] = joined(
    [Cause {
        name: "over_pitched",
        title: "propeller too steep or too large for the engine",
        moves: &[Move { on: Whose::Own, parameter: "pitch", by: By::Factor(1.7) }],
        severity: Severity::Even,
        // Years of lugging leave carbon on valves and rings.
        says: &[says_of("diesel", "starts badly", 0.1)],
        misreads: None,
        rate: "propeller-over-pitched",
        remedy: "have pitch or diameter cut to suit",
    }],
    line::LOADS,
);

/// The kind.
pub const KIND: Kind = Kind {
    name: "propeller",
    title: "Propeller, shaft and hull",
    called: &["prop", "screw"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (40.0, 44.0),
        strokes: &[
            Stroke::Line("M0 22H30"),
            Stroke::Outline("M30 22C20 14 22 0 30 0C38 0 40 14 30 22C20 30 22 44 30 44C38 44 40 30 30 22Z"),
            Stroke::Solid("M26 22A4 4 0 1 1 34 22A4 4 0 1 1 26 22Z"),
        ],
        ways: &[],
        link: inward((0.0, 22.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "demand", quantity: Quantity::Ratio, start: 1.0, size: 0.1, bounds: (-0.1, 20.0) },
        Unknown { name: "boat_speed", quantity: Quantity::Velocity, start: 3.5, size: 0.5, bounds: (-1.0, 40.0) },
    ],
    links: &[Link::Engine("speed")],
    laws: both::<Propeller>(),
    causes: &CAUSES,
    words: &line::WORDS,
    checks: &checks::CHECKS,
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Propeller;

impl Law for Propeller {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - p.hull_growth * p.propeller_growth * p.pitch;
        // Growth costs more speed than it takes power at the same turns; in neutral she does not move.
        let drag = p.hull_growth * p.hull_growth * p.propeller_growth;
        say.unknown[1] = at.unknowns[1]
            - p.rated_boat_speed * at.links[0] / p.rated_speed
                * drag.powf(-0.5)
                * p.pitch.powf(PITCH_TO_SPEED)
                * smooth_min(at.point.load * 4.0, N::constant(1.0), 0.05);
    }
}
