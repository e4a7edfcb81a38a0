//! What every cooler of two liquids does: a wall, and films that follow the flows.

use crate::kind::{Stroke, Symbol, way};
use crate::laws::{Say, Site};
use physics::heat_transfer::counterflow_heat;
use physics::number::Number;
use physics::smooth::{magnitude, signed_square};

/// Flow below which drop and film turn linear [share of rated flow].
const REST: f64 = 0.02;

/// Rounding of a flow's magnitude at rest [share of rated flow].
const STILL: f64 = 1e-5;

/// Of the diameter that the tubes of a plate have together, what pieces or lime can shut: a twentieth of the area stays
/// free, and a pump goes on pressing water through it (from memory).
pub(crate) const MOST_SHUT: f64 = 0.78;

/// A cooler of another liquid by water, which runs straight through: the arrow is the heat that leaves.
pub(crate) const COOLER: Symbol = Symbol {
    size: (48.0, 40.0),
    strokes: &[
        Stroke::Outline("M0 20L24 0L48 20L24 40Z"),
        Stroke::Line("M14 40V31.7M34 40V31.7M24 28V11M20 17L24 10L28 17"),
    ],
    ways: &[way((0.0, 20.0), (48.0, 20.0)), way((14.0, 40.0), (34.0, 40.0))],
    ..Symbol::BLANK
};

/// Figures of such a cooler; index 0 is the cold side, 1 the hot.
pub(crate) struct Tubular<N> {
    pub clean_conductance: N,
    pub fouling_resistance: N,
    pub rated_flow: [N; 2],
    pub rated_drop: [N; 2],
}

/// Says drops and heat of a tube cooler.
///
/// # Source
/// Counterflow effectiveness, [Incropera6] ch. 11; films with flow to the power 0.8, [Incropera6] eq. 8.60,
/// the clean wall's resistance shared evenly by the two sides.
pub(crate) fn tubular<N: Number>(at: &Site<N>, say: &mut Say<N>, cooler: &Tubular<N>) {
    two_liquids(at, say, cooler, 0.8);
}

/// The same with films that grow with flow to another `power`.
pub(crate) fn two_liquids<N: Number>(at: &Site<N>, say: &mut Say<N>, cooler: &Tubular<N>, power: f64) {
    let mut rate = [N::constant(0.0); 2];
    let mut resistance = cooler.fouling_resistance;
    for k in 0..2 {
        let share = at.flow[k] / cooler.rated_flow[k];
        at.drop(say, k, cooler.rated_drop[k] * signed_square(share, REST));
        let moving = (share * share + REST * REST).sqrt();
        let capacity = at.contents[k].heat_capacity(at.inlet_temperature[k]);
        // The flow there really is: a floor worth less than a node's own loss, or still liquid would be cooled by none.
        rate[k] = magnitude(share, STILL) * cooler.rated_flow[k] * capacity;
        resistance += moving.powf(-power) * 0.5 / cooler.clean_conductance;
        // Liquid of about four seconds at rated flow, and as much again in metal.
        say.storage[k] = cooler.rated_flow[k] * capacity * 8.0;
    }
    let heat =
        counterflow_heat(resistance.recip(), rate[0], rate[1], at.inlet_temperature[1] - at.inlet_temperature[0]);
    say.heat[0] = heat;
    say.heat[1] = -heat;
}
