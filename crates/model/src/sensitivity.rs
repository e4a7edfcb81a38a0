//! Exact slopes of readings in every figure and in the operating point, by the adjoint: one transposed solve a reading.

use crate::balance::Balance;
use crate::layout::{pressure, temperature};
use crate::point;
use crate::steady::{Model, State};
use physics::number::Dual;
use plant::plant::{NodeId, Tap, Terminal};
use solver::Stuck;

/// How one reading moves.
#[derive(Clone, Debug)]
pub struct Slopes {
    /// With each parameter of the plant [reading's unit per parameter's unit].
    pub parameters: Vec<f64>,
    /// With each part of the operating point, in the order of [`point::to_array`].
    pub point: [f64; point::SIZE],
}

impl Model {
    /// Slopes of what these taps read in a solved state.
    ///
    /// # Errors
    /// [`Stuck`] if the equations cannot be factorised there.
    pub fn slopes(&mut self, parameters: &[f64], state: &State, taps: &[Tap]) -> Result<Vec<Slopes>, Stuck> {
        self.solver.leave();
        self.slopes_where_solved(parameters, state, taps)
    }

    /// The same in the state that was solved last, with the figures it was solved with: its factors may be at hand.
    ///
    /// # Errors
    /// [`Stuck`] if the equations cannot be factorised there.
    pub(crate) fn slopes_where_solved(
        &mut self,
        parameters: &[f64],
        state: &State,
        taps: &[Tap],
    ) -> Result<Vec<Slopes>, Stuck> {
        let (plant, layout) = (&self.plant, &self.layout);
        // What is on its way answers against what it stores; the state that it comes from is taken as it is.
        let march = state.held.as_ref().map(|held| (held.was.as_slice(), held.rates.as_slice()));
        let balance = Balance { plant, layout, parameters, point: state.point, march };
        self.solver.factor_where_solved(&balance, &state.x)?;
        let mut answers = Vec::with_capacity(taps.len());
        let mut costates = Vec::with_capacity(taps.len());
        for tap in taps {
            let mut costate = vec![0.0; layout.len()];
            let mut at = [0.0; point::SIZE];
            for (place, weight) in seeds(plant, layout, *tap, &mut at) {
                costate[place] += weight;
            }
            self.solver.adjoint(&mut costate);
            costates.push(costate);
            answers.push(Slopes { parameters: vec![0.0; layout.parameters], point: at });
        }
        for part in 0..plant.parts.len() {
            gather_part(&balance, part, &state.x, &costates, &mut answers);
        }
        gather_carried(&balance, &state.x, &costates, &mut answers);
        Ok(answers)
    }
}

/// Slope of a reading in the unknowns, and directly in the operating point.
fn seeds(
    plant: &plant::plant::Plant,
    layout: &crate::layout::Layout,
    tap: Tap,
    at: &mut [f64; point::SIZE],
) -> Vec<(usize, f64)> {
    match tap {
        Tap::Pressure(n) => {
            at[4] = -1.0;
            vec![(pressure(n), 1.0)]
        }
        Tap::Voltage(n) => vec![(pressure(n), 1.0)],
        Tap::Temperature(n) => vec![(temperature(n), 1.0)],
        Tap::Flow(f) => vec![(layout.flow(f.0), 1.0)],
        Tap::Meter(f) => vec![(layout.flow(f.0), 1.0 / crate::steady::metered(plant, f))],
        Tap::Unknown(part, u) => vec![(layout.seats[part.0].first_unknown + u, 1.0)],
        Tap::Drop(f) => {
            let flow = &plant.flows[f.0];
            let mut list = Vec::new();
            for (end, sign) in [(flow.from, 1.0), (flow.to, -1.0)] {
                match end {
                    Terminal::Node(n) | Terminal::Into(n) => list.push((pressure(n), sign)),
                    Terminal::Sea | Terminal::Air => at[4] += sign,
                    Terminal::Ground => {}
                }
            }
            list
        }
        Tap::Sea => {
            at[2] = 1.0;
            Vec::new()
        }
        Tap::Air => {
            at[3] = 1.0;
            Vec::new()
        }
    }
}

/// Minus costate times the slopes of a part's laws in its figures and the operating point.
fn gather_part(balance: &Balance, part: usize, x: &[f64], costates: &[Vec<f64>], answers: &mut [Slopes]) {
    let seat = &balance.layout.seats[part];
    let count = balance.plant.parts[part].kind.parameters.len();
    balance.say_in_figures(part, x, &mut |spoken| {
        let width = (count + point::SIZE - spoken.first).min(Dual::DIRECTIONS);
        balance.slopes(part, x, spoken, width, &|_, _| 0.0, &mut |_, row, d, slope| {
            if slope == 0.0 {
                return;
            }
            let direction = spoken.first + d;
            for (costate, answer) in costates.iter().zip(answers.iter_mut()) {
                let change = -costate[row] * slope;
                if direction < count {
                    answer.parameters[seat.first_parameter + direction] += change;
                } else {
                    answer.point[direction - count] += change;
                }
            }
        });
    });
}

/// The same for what the balances themselves take from the operating point: sea and air carried in, losses to the room.
fn gather_carried(balance: &Balance, x: &[f64], costates: &[Vec<f64>], answers: &mut [Slopes]) {
    let room = point::seeded(&balance.point, 0).room();
    for (costate, answer) in costates.iter().zip(answers.iter_mut()) {
        for (k, flow) in balance.plant.flows.iter().enumerate() {
            let m = x[balance.layout.flow(k)];
            let width = balance.layout.widths[k];
            for (end, other, arriving) in [(flow.from, flow.to, -m), (flow.to, flow.from, m)] {
                let (Terminal::Node(node), Some((place, there))) = (end, outside(balance, other)) else { continue };
                let carried = (arriving + (arriving * arriving + width * width).sqrt()) * 0.5;
                answer.point[place] -= costate[temperature(node)] * carried * flow.contents.heat_capacity(there);
            }
        }
        for n in 0..balance.layout.nodes {
            let loss = costate[temperature(NodeId(n))] * crate::balance::NODE_LOSS;
            answer.point.iter_mut().enumerate().for_each(|(k, slope)| *slope -= loss * room.slope(k));
        }
    }
}

fn outside(balance: &Balance, end: Terminal) -> Option<(usize, f64)> {
    match end {
        Terminal::Sea => Some((2, balance.point.sea)),
        Terminal::Air | Terminal::Ground => Some((3, balance.point.air)),
        Terminal::Node(_) | Terminal::Into(_) => None,
    }
}
