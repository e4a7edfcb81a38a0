//! A plant that has not settled: started from cold a while ago, or eased from another speed. What stores heat is still
//! on its way; flows and pressures answer at once.

use crate::balance::Balance;
use crate::layout::temperature;
use crate::steady::{Model, State, Unsolved};
use parts::laws::Point;
use plant::evidence::ToldPoint;
use plant::plant::NodeId;
use solver::Options;
use std::sync::Arc;

/// How far a plant is on its way to the steady state of its operating point.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub enum Warmth {
    /// There.
    #[default]
    Settled,
    /// Started from cold so long ago [min].
    Started(f64),
    /// Eased a moment ago from this speed in gear [rad/s], at which it had settled.
    Eased(f64),
}

/// Heat that is still on its way.
#[derive(Clone, Debug)]
pub struct Held {
    /// The state it comes from, in the layout's order [SI].
    pub(crate) was: Vec<f64>,
    /// Heat stored per kelvin over the step, of each node [W/K].
    pub(crate) rates: Vec<f64>,
}

/// Time in which oil and coolant of a small engine come a good part of their way [min]; from memory, 5 to 20.
const TYPICAL: f64 = 10.0;
/// After so many of those it counts as settled: a hundredth of the way is left.
const ENOUGH: f64 = 4.6;
/// Heat counts as stored elsewhere from this share of what an end stores on.
const ELSEWHERE: f64 = 0.05;
/// From one start.
const HELD: Options = Options { max_iterations: 40, ..Options::USUAL };
/// "Just eased": minutes since then [min]; from memory.
const JUST: f64 = 2.0;

impl Warmth {
    /// As told.
    pub fn told(at: &ToldPoint) -> Warmth {
        match (at.eased_from, at.minutes) {
            _ if at.speed.is_some_and(|speed| speed < 1.0) => Warmth::Settled,
            (Some(speed), _) => Warmth::Eased(speed),
            (None, Some(minutes)) if minutes < ENOUGH * TYPICAL => Warmth::Started(minutes),
            _ => Warmth::Settled,
        }
    }
}

/// Length of the one implicit step that goes as far as `minutes` do by their exponential law [s]. One step shortens a
/// distance by 1/(1 + t/τ) where time itself does by e^(−t/τ), and both agree at the typical τ. Against a march in short
/// steps it is a tenth of the way off near full load; at light load, where a plant takes the better part of an hour, up
/// to a third (the test holds both).
fn one_step(minutes: f64) -> f64 {
    60.0 * TYPICAL * (minutes / TYPICAL).exp_m1().max(1e-3)
}

impl Model {
    /// Solves a plant that is as warm as this.
    ///
    /// # Errors
    /// [`Unsolved`] when no answer is found.
    pub fn solve_warm(
        &mut self,
        parameters: &[f64],
        point: &Point<f64>,
        warmth: Warmth,
        near: Option<&State>,
    ) -> Result<State, Unsolved> {
        let (was, minutes) = match warmth {
            Warmth::Settled => return self.solve(parameters, point, near),
            Warmth::Started(minutes) => (self.cold(parameters, point), minutes),
            Warmth::Eased(speed) => {
                let before = Point { speed, load: 1.0, ..*point };
                let close = near.and_then(|state| {
                    let held = state.held.as_ref()?;
                    Some(State { x: held.was.clone(), point: before, iterations: 0, held: None })
                });
                (self.solve(parameters, &before, close.as_ref())?.x, JUST)
            }
        };
        self.solve_held(parameters, point, &was, one_step(minutes), near)
    }

    /// Before the start: everything as warm as the air.
    fn cold(&self, parameters: &[f64], point: &Point<f64>) -> Vec<f64> {
        let mut x = self.start(parameters, point);
        (0..self.layout.nodes).for_each(|n| x[temperature(NodeId(n))] = point.air);
        x
    }

    /// The state one implicit step of `length` [s] after another.
    fn solve_held(
        &mut self,
        parameters: &[f64],
        point: &Point<f64>,
        was: &[f64],
        length: f64,
        near: Option<&State>,
    ) -> Result<State, Unsolved> {
        let close: Vec<Vec<f64>> = near.iter().map(|near| near.x.clone()).collect();
        if let Some(state) = self.step_from(parameters, point, was, length, &close, &HELD) {
            return Ok(state);
        }
        // Where much is stored, temperatures lie near the old ones; and what boils in the end may be begun from there.
        let guess = self.start(parameters, point);
        let mut stale = guess.clone();
        (0..self.layout.nodes).map(|n| temperature(NodeId(n))).for_each(|row| stale[row] = was[row]);
        if let Some(state) = self.step_from(parameters, point, was, length, &[guess, stale], &HELD) {
            return Ok(state);
        }
        let settled = self.solve(parameters, point, near)?.x;
        let found = self.step_from(parameters, point, was, length, &[settled], &HELD);
        found.ok_or_else(|| Unsolved::NotSolved("no state on the way was found".into()))
    }

    /// The same from the first of these starts that leads to it.
    pub(crate) fn step_from(
        &mut self,
        parameters: &[f64],
        point: &Point<f64>,
        was: &[f64],
        length: f64,
        starts: &[Vec<f64>],
        options: &Options,
    ) -> Option<State> {
        let (plant, layout) = (&self.plant, &self.layout);
        let still = Balance { plant, layout, parameters, point: *point, march: None };
        let rates = |x: &[f64]| still.storage(x).iter().map(|capacity| capacity / length).collect::<Vec<f64>>();
        let solver = &mut self.solver;
        let mut step = |rates: &[f64], start: &[f64]| {
            let balance = Balance { march: Some((was, rates)), ..still };
            let mut x = start.to_vec();
            if let Some(report) = solver.follow(&balance, &mut x, &Options::default()) {
                return Some((x, report.iterations));
            }
            x.copy_from_slice(start);
            solver.solve(&balance, &mut x, options).ok().map(|report| (x, report.iterations))
        };
        let first = rates(was);
        let (x, iterations) = starts.iter().find_map(|start| step(&first, start))?;
        // Heat is stored where it goes, which is elsewhere if what flowed stands now.
        let mut turned = was.to_vec();
        turned[layout.first_flow()..][..layout.flow_sizes().len()]
            .copy_from_slice(&x[layout.first_flow()..][..layout.flow_sizes().len()]);
        let second = rates(&turned);
        let elsewhere = first.iter().zip(&second).any(|(a, b)| (a - b).abs() > ELSEWHERE * a.max(*b));
        let again = if elsewhere { step(&second, &x) } else { None };
        let ((x, iterations), rates) = again.map_or(((x, iterations), first), |again| (again, second));
        let held = Some(Arc::new(Held { was: was.to_vec(), rates }));
        Some(State { x, point: *point, iterations, held })
    }
}
