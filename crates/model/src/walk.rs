//! Walking from a state that is known to one that Newton's method does not reach by itself.

use crate::balance::Balance;
use crate::layout::{Layout, temperature};
use crate::steady::{Model, NEARBY, State, Unsolved};
use parts::kind::Circuit;
use parts::laws::Point;
use plant::plant::{NodeId, Plant};
use solver::{Options, Steps, Stuck};

/// Steps of time in which a plant comes to what a fault makes of it [s].
const STEPS_IN_TIME: [f64; 6] = [10.0, 60.0, 300.0, 1500.0, 7500.0, 40_000.0];
/// Far states that are remembered.
const FAR_STATES: usize = 2;
/// The first state of all.
const PATIENT: Options = Options { max_iterations: 400, ..Options::USUAL };
/// A walk that is worth any trouble.
const LONG: Options = Options { max_iterations: 40, ..Options::USUAL };
/// And one of many: what takes more systems than this, or more steps for one, is left.
const BRISK: Options = Options { max_iterations: 12, steps: Steps::Brisk, max_solves: 60, ..Options::USUAL };

impl Model {
    /// Runs the engine up from rest with these figures, where something is told of its fuel: one that its feed stalls does
    /// so at once, and no way leads there from a running one.
    pub(crate) fn run_up(&mut self, parameters: &[f64], point: &Point<f64>) -> Option<State> {
        if !self.plant.nodes.iter().any(|node| node.circuit == Circuit::Fuel) {
            return None;
        }
        let rest = Point { speed: 0.0, ..*point };
        let mut x = self.newton(parameters, &rest, self.start(parameters, &rest), &Options::USUAL).ok()?.x;
        let (plant, layout) = (&self.plant, &self.layout);
        let station = |s: f64| Station {
            plant,
            layout,
            parameters: parameters.to_vec(),
            point: Point { speed: point.speed * s, ..rest },
        };
        let report = solver::walk(&mut self.solver, &mut x, station, &LONG).ok()?;
        Some(State { x, point: *point, iterations: report.iterations, held: None })
    }

    /// Walks from the plant as described, at cruise, to the figures and point asked for; if no straight way leads there, to
    /// the point first and to the figures from there.
    pub(crate) fn walk(&mut self, parameters: &[f64], point: &Point<f64>) -> Result<State, Stuck> {
        let healthy = self.figures.clone();
        self.walk_straight(parameters, point).or_else(|stuck| {
            let sound =
                self.newton(&healthy, point, self.start(&healthy, point), &Options::USUAL).map_err(|_| stuck)?;
            self.walk_from(&sound, &healthy, parameters, point, &LONG)
        })
    }

    /// A troubled plant from a state of the same plant in order: from one nearby, else by a short walk, so that a fault whose
    /// state Newton's method does not reach in one leap need not be come to from nothing. One that is worth patience was looked
    /// for so in vain, and is come to by the long ways: what stalls the engine lies on no way from a running one.
    ///
    /// # Errors
    /// [`Unsolved`] when no answer is found by any way.
    pub(crate) fn solve_troubled(
        &mut self,
        from: (&State, &[f64]),
        parameters: &[f64],
        point: &Point<f64>,
        near: Option<&State>,
    ) -> Result<State, Unsolved> {
        if self.patient {
            return self.solve(parameters, point, None);
        }
        if let Some(state) = near.and_then(|near| self.solve_near(parameters, point, near)) {
            return Ok(state);
        }
        for far in self.far_states.clone().iter().rev() {
            if let Some(state) = self.solve_near(parameters, point, far) {
                return Ok(state);
            }
        }
        let (sound, figures) = from;
        let in_time = self.in_time(sound, parameters, point);
        let found = if let Some(state) = in_time.filter(|state| self.is_as_sane(state, sound)) {
            state
        } else {
            let walked = self.walk_from(sound, figures, parameters, point, &BRISK);
            walked.map_err(|stuck| self.unsolved(&stuck))?
        };
        self.far_states.push(found.clone());
        if self.far_states.len() > FAR_STATES {
            self.far_states.remove(0);
        }
        Ok(found)
    }

    /// Forgets all that was solved before: what is asked next is of something else, and its answer is to be the same whatever
    /// that was, to the last digit.
    pub fn forget(&mut self) {
        self.solver.forget();
        self.anchor = None;
        self.far_states.clear();
    }

    /// What comes of a plant in the end that was in order until now: in a few implicit steps of time, each longer than the
    /// last. Flows and pressures answer at once, and what stores heat keeps each step short of a leap.
    fn in_time(&mut self, sound: &State, parameters: &[f64], point: &Point<f64>) -> Option<State> {
        let mut x = sound.x.clone();
        // Flows may be stopped at once by what has come: then a guess of them is nearer than what they were.
        let mut guess = self.start(parameters, point);
        (0..self.layout.nodes).map(|n| temperature(NodeId(n))).for_each(|row| guess[row] = x[row]);
        let mut starts = vec![x.clone(), guess];
        for length in STEPS_IN_TIME {
            x = self.step_from(parameters, point, &x, length, &starts, &NEARBY)?.x;
            starts = vec![x.clone()];
        }
        self.newton(parameters, point, x, &NEARBY).ok()
    }

    fn walk_straight(&mut self, parameters: &[f64], point: &Point<f64>) -> Result<State, Stuck> {
        let healthy = self.figures.clone();
        if self.anchor.is_none() {
            let cruise = crate::point::told(&self.plant, &plant::evidence::ToldPoint::default()).0;
            let state = self.newton(&healthy, &cruise, self.start(&healthy, &cruise), &PATIENT)?;
            self.anchor = Some(state);
        }
        let Some(anchor) = self.anchor.clone() else { return Err(Stuck::Singular { worst: Vec::new() }) };
        self.walk_from(&anchor, &healthy, parameters, point, &LONG)
    }

    /// Walks from a state with other figures.
    fn walk_from(
        &mut self,
        anchor: &State,
        figures: &[f64],
        parameters: &[f64],
        point: &Point<f64>,
        options: &Options,
    ) -> Result<State, Stuck> {
        let mut x = anchor.x.clone();
        let from = crate::point::to_array(&anchor.point);
        let to = crate::point::to_array(point);
        let (plant, layout) = (&self.plant, &self.layout);
        let report = solver::walk(
            &mut self.solver,
            &mut x,
            |s| Station {
                plant,
                layout,
                parameters: figures.iter().zip(parameters).map(|(&a, &b)| between(a, b, s)).collect(),
                point: crate::point::from_array(std::array::from_fn(|k| from[k] + (to[k] - from[k]) * s)),
            },
            options,
        )?;
        Ok(State { x, point: *point, iterations: report.iterations, held: None })
    }
}

/// Between two figures, in their logarithms where both are above nothing.
pub(crate) fn between(a: f64, b: f64, s: f64) -> f64 {
    if a > 1e-12 && b > 1e-12 { (a.ln() + (b.ln() - a.ln()) * s).exp() } else { a + (b - a) * s }
}

/// A station on the way between two sets of figures: equations that own theirs.
struct Station<'a> {
    plant: &'a Plant,
    layout: &'a Layout,
    parameters: Vec<f64>,
    point: Point<f64>,
}

impl Station<'_> {
    fn balance(&self) -> Balance<'_> {
        Balance { plant: self.plant, layout: self.layout, parameters: &self.parameters, point: self.point, march: None }
    }
}

impl solver::System for Station<'_> {
    fn len(&self) -> usize {
        self.layout.len()
    }
    fn pattern(&self) -> &[(usize, usize)] {
        &self.layout.pattern
    }
    fn evaluate(&self, x: &[f64], gaps: &mut [f64], slopes: &mut [f64]) {
        self.balance().evaluate(x, gaps, slopes);
    }
    fn gaps(&self, x: &[f64], gaps: &mut [f64]) {
        self.balance().gaps(x, gaps);
    }
    fn sizes(&self) -> &[f64] {
        &self.layout.sizes
    }
    fn gap_sizes(&self) -> &[f64] {
        &self.layout.gap_sizes
    }
    fn bounds(&self) -> &[(f64, f64)] {
        &self.layout.bounds
    }
}
