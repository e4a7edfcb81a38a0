//! One flow by itself: what its law loses at another flow, all else as it is. For drawing it up as others write networks.

use crate::layout::pressure;
use crate::steady::{Model, State};
use plant::plant::{FlowId, Terminal};

/// Steps of the search for the pressure at the far end; a law is smooth and nearly straight in it.
const STEPS: usize = 60;
/// Pressure that counts as found [Pa].
const FOUND: f64 = 1e-3;

impl Model {
    /// Pressure lost from end to end [Pa] when this much flows [kg/s], by the flow's own law, with temperatures and the
    /// other end as in `state`; `None` if no pressure drives so much, or neither end may move.
    pub fn lost_at(&self, state: &State, parameters: &[f64], flow: FlowId, mass_flow: f64) -> Option<f64> {
        let told = &self.plant.flows[flow.0];
        let free = |end| if let Terminal::Node(node) = end { Some(pressure(node)) } else { None };
        let (place, sign) = match (free(told.to), free(told.from)) {
            (Some(place), _) => (place, -1.0),
            (None, Some(place)) => (place, 1.0),
            (None, None) => return None,
        };
        let balance = self.balance(parameters, state.point);
        let mut x = state.x.clone();
        x[self.layout.flow(flow.0)] = mass_flow;
        let fixed = self.pressure_at(state, if sign < 0.0 { told.from } else { told.to });
        let mut gap = |at: f64| {
            x[place] = at;
            balance.say(told.part.0, &x).gap[told.passage]
        };
        let (mut before, mut at) = (state.x[place], state.x[place] + sign * 100.0);
        let mut gap_before = gap(before);
        for _ in 0..STEPS {
            let now = gap(at);
            if !now.is_finite() {
                return None;
            }
            if now.abs() < FOUND {
                return Some(sign * (at - fixed));
            }
            let slope = (now - gap_before) / (at - before);
            if !slope.is_finite() || slope == 0.0 {
                return None;
            }
            (before, gap_before) = (at, now);
            at -= now / slope;
        }
        None
    }
}
