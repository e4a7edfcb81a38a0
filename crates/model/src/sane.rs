//! Whether a solved state is one that a plant comes to, and a guess that leads there: equations may have others beside it.

use crate::layout::temperature;
use crate::steady::{Model, State};
use parts::kind::Circuit;
use parts::laws::Point;
use plant::plant::NodeId;

/// Oil hotter than this has run away: it cracks and cokes, and no bearing lives [K]; from memory.
const RAN_AWAY: f64 = 473.15;
/// A liquid this much colder than all around it is no state of a plant that nothing chills [K].
const COLDER: f64 = 2.0;
/// Oil in a cool guess, over the warmer of sea and air [K].
const AFTER_START: f64 = 20.0;

impl Model {
    /// Is no oil hotter than any engine survives, and no liquid colder than all that surrounds it?
    pub(crate) fn is_sane(&self, state: &State) -> bool {
        let coldest = state.point.sea.min(state.point.air) - COLDER;
        self.plant.nodes.iter().enumerate().all(|(id, node)| {
            let at = state.x[temperature(NodeId(id))];
            let ran_away = matches!(node.circuit, Circuit::Oil | Circuit::GearOil) && at > RAN_AWAY;
            node.circuit.is_gas() || (at > coldest && !ran_away)
        })
    }

    /// Is this one so, if that one is?
    pub(crate) fn is_as_sane(&self, state: &State, other: &State) -> bool {
        !self.is_sane(other) || self.is_sane(state)
    }

    /// Oil in a guess as cool as just after a start.
    pub(crate) fn cool_oil(&self, x: &mut [f64], point: &Point<f64>) {
        for (id, node) in self.plant.nodes.iter().enumerate() {
            if matches!(node.circuit, Circuit::Oil | Circuit::GearOil) {
                x[temperature(NodeId(id))] = point.sea.max(point.air) + AFTER_START;
            }
        }
    }
}
