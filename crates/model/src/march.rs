//! Marching in time: the same equations with the heat that metal and liquids store.

use crate::balance::Balance;
use crate::layout::temperature;
use crate::steady::{Model, State, Unsolved};
use crate::walk::between;
use parts::kind::{Beyond, Probe};
use parts::laws::Point;
use plant::plant::{NodeId, PartId};
use solver::Options;

/// One moment of a march.
#[derive(Clone, Debug)]
pub struct Moment {
    /// Time since the start [s].
    pub time: f64,
    /// The state then.
    pub state: State,
}

/// Why there is no steady state.
#[derive(Clone, Debug, PartialEq)]
pub enum Unsteady {
    /// Coolant boils at this part.
    Boils {
        /// Where.
        part: PartId,
    },
}

/// Where a plant ends up.
#[derive(Clone, Debug)]
pub enum Settled {
    /// It runs on like this.
    Steady(State),
    /// It does not.
    Boils {
        /// Where.
        part: PartId,
        /// Minutes from a sound start [min].
        minutes: f64,
        /// The state it boils in: coolant at its boiling point while it lasts.
        state: State,
    },
}

/// Steam that counts as boiling: how far coolant stands past its boiling point in the solved state [K].
///
/// In the equations boiling carries heat away within half a kelvin of its point, so a state there is really
/// one that loses its coolant.
const BOILING: f64 = 0.35;
/// A cause sets in over this time [s]; common practice, no source: a hose lets go faster, a strainer fills slower.
const ONSET: f64 = 30.0;
/// First and longest step of a march [s].
const FIRST_STEP: f64 = 2.0;
const LONGEST_STEP: f64 = 120.0;
/// A march that has not got there in this time never will [s].
const PATIENCE: f64 = 12.0 * 3600.0;

impl Model {
    /// Whether a solved state is one that cannot last, and why.
    pub fn unsteady(&self, state: &State) -> Option<Unsteady> {
        if state.point.speed < 1.0 {
            return None;
        }
        self.hot_parts()
            .find(|&(part, passage)| {
                self.probe(state, part, Probe::BoilingMargin(passage)).is_some_and(|margin| margin < BOILING)
            })
            .map(|(part, _)| Unsteady::Boils { part })
    }

    /// Jackets: passages with a cylinder behind their wall.
    fn hot_parts(&self) -> impl Iterator<Item = (PartId, usize)> + '_ {
        self.plant.flows.iter().filter_map(|flow| {
            let kind = self.plant[flow.part].kind;
            let name = kind.passages[flow.passage].name;
            kind.walls
                .iter()
                .any(|wall| wall.inside == name && wall.beyond == Beyond::Cylinder)
                .then_some((flow.part, flow.passage))
        })
    }

    /// Marches from a state while figures go from `was` to `parameters` in the first half minute, until `stop` says so
    /// or `until` [s] has passed.
    ///
    /// # Errors
    /// [`Unsolved`] when a step of a hundredth of a second finds no answer.
    pub fn march(
        &mut self,
        from: &State,
        was: &[f64],
        parameters: &[f64],
        point: &Point<f64>,
        until: f64,
        mut stop: impl FnMut(&Model, &Moment) -> bool,
    ) -> Result<Moment, Unsolved> {
        let mut now = Moment { time: 0.0, state: State { point: *point, ..from.clone() } };
        let mut step = FIRST_STEP;
        while now.time < until {
            let length = step.min(until - now.time).max(1e-3);
            let onset = ((now.time + length) / ONSET).min(1.0);
            let figures: Vec<f64> = was.iter().zip(parameters).map(|(&a, &b)| between(a, b, onset)).collect();
            let Some(x) = self.step(&now.state, &figures, point, length) else {
                step = length * 0.25;
                if step < 0.01 {
                    return Err(Unsolved::NotSolved("no step in time was small enough".into()));
                }
                continue;
            };
            let moved = (0..self.layout.nodes)
                .map(|n| (x[temperature(NodeId(n))] - now.state.x[temperature(NodeId(n))]).abs())
                .fold(0.0, f64::max);
            now = Moment { time: now.time + length, state: State { x, point: *point, iterations: 0, held: None } };
            // Steps follow the fastest temperature: about 3 K each.
            step = (length * (3.0 / moved.max(0.3))).clamp(length * 0.3, length * 2.0).min(if now.time < ONSET {
                ONSET / 6.0
            } else {
                LONGEST_STEP
            });
            if stop(self, &now) {
                return Ok(now);
            }
        }
        Ok(now)
    }

    /// What a state has become after `length` [s] under these figures at this operating point, in as many implicit
    /// steps as it takes: what stores heat follows, flows and pressures answer at once.
    ///
    /// # Errors
    /// [`Unsolved`] when a step of a hundredth of a second finds no answer.
    pub fn advance(
        &mut self,
        from: &State,
        parameters: &[f64],
        point: &Point<f64>,
        length: f64,
    ) -> Result<State, Unsolved> {
        let mut now = State { point: *point, ..from.clone() };
        let (mut gone, mut step) = (0.0, length);
        while gone < length {
            let next = step.min(length - gone);
            match self.step(&now, parameters, point, next) {
                Some(x) => {
                    now = State { x, point: *point, iterations: 0, held: None };
                    gone += next;
                    step = next * 2.0;
                }
                None if next < 0.01 => return Err(Unsolved::NotSolved("no step in time was small enough".into())),
                None => step = next * 0.25,
            }
        }
        Ok(now)
    }

    /// One implicit step of `length` [s].
    fn step(&mut self, state: &State, parameters: &[f64], point: &Point<f64>, length: f64) -> Option<Vec<f64>> {
        let (plant, layout) = (&self.plant, &self.layout);
        let still = Balance { plant, layout, parameters, point: *point, march: None };
        let rates: Vec<f64> = still.storage(&state.x).iter().map(|capacity| capacity / length).collect();
        let balance = Balance { march: Some((&state.x, &rates)), ..still };
        let options = Options { max_iterations: 40, tolerance: 1e-7, step_tolerance: 1e-5, ..Options::default() };
        let mut x = state.x.clone();
        if self.solver.solve(&balance, &mut x, &options).is_ok() {
            return Some(x);
        }
        // Flows and pressures answer at once, however short the step: after a start they are nowhere near the old ones.
        let mut x = self.start(parameters, point);
        (0..self.layout.nodes).map(|n| temperature(NodeId(n))).for_each(|row| x[row] = state.x[row]);
        let balance = Balance {
            plant: &self.plant,
            layout: &self.layout,
            parameters,
            point: *point,
            march: Some((&state.x, &rates)),
        };
        self.solver.solve(&balance, &mut x, &options).ok().map(|_| x)
    }

    /// Minutes until the coolant boils after these figures set in on a plant that ran steadily; `None` if it never does.
    ///
    /// # Errors
    /// [`Unsolved`] when the march itself fails.
    pub fn minutes_to_boil(
        &mut self,
        from: &State,
        was: &[f64],
        parameters: &[f64],
        point: &Point<f64>,
    ) -> Result<Option<f64>, Unsolved> {
        let mut boiled = false;
        let end = self.march(from, was, parameters, point, PATIENCE, |model, moment| {
            boiled = model.unsteady(&moment.state).is_some();
            boiled
        })?;
        Ok(boiled.then_some(end.time / 60.0))
    }

    /// Where a plant that ran soundly ends up under new figures: a steady state, or a named reason that marching in
    /// time confirms. Where two states are possible, the one that time leads to.
    ///
    /// # Errors
    /// [`Unsolved`] when no state is found.
    pub fn settle(
        &mut self,
        sound: &State,
        was: &[f64],
        parameters: &[f64],
        point: &Point<f64>,
    ) -> Result<Settled, Unsolved> {
        let state = self.solve(parameters, point, None)?;
        let Some(Unsteady::Boils { part }) = self.unsteady(&state) else { return Ok(Settled::Steady(state)) };
        let mut boiled = false;
        let end = self.march(sound, was, parameters, point, PATIENCE, |model, moment| {
            boiled = model.unsteady(&moment.state).is_some();
            boiled
        })?;
        if boiled {
            return Ok(Settled::Boils { part, minutes: end.time / 60.0, state });
        }
        self.solve(parameters, point, Some(&end.state)).map(Settled::Steady)
    }
}
