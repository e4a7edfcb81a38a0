//! The step that always goes downhill, for where Newton's does not exist or does not help.
//!
//! It is one implicit step of length tau in the flow that follows the steepest descent of the squared gaps,
//! `(J^T J + D / tau) s = -J^T F`; tau grows as the gaps fall, so that the steps become Newton steps.
//! The square of `J` is never formed: `s` comes out of twice as many linear equations, which keeps its digits.
//!
//! Damping `J` itself would be cheaper, but equations here come in any order and with any sign, and `J + D / tau` is
//! a way down only when each equation pulls on its own unknown.

use crate::sparse::Lu;
use crate::step::Local;

/// Unknowns whose column is this far below the largest are damped as if it were not (share of squared length).
const SHORT_COLUMN: f64 = 1e-8;
/// Extra weight of an unknown that rests on a bound and wants out.
const HELD: f64 = 1e16;
/// Beyond this tau damping has no effect worth having.
const MOST: f64 = 1e12;

pub(crate) struct Damping {
    lu: Lu,
    entries: Vec<f64>,
    weights: Vec<f64>,
    pull: Vec<f64>,
    right: Vec<f64>,
    /// Length of the pseudo-time step, relative to the columns.
    pub(crate) tau: f64,
}

impl Damping {
    pub(crate) fn new(n: usize, pattern: &[(usize, usize)]) -> Damping {
        let places: Vec<_> = (0..n)
            .map(|i| (i, i))
            .chain(pattern.iter().map(|&(i, j)| (i, n + j)))
            .chain(pattern.iter().map(|&(i, j)| (n + j, i)))
            .chain((0..n).map(|j| (n + j, n + j)))
            .collect();
        Damping {
            lu: Lu::new(2 * n, &places),
            entries: vec![1.0; places.len()],
            weights: vec![0.0; n],
            pull: vec![0.0; n],
            right: vec![0.0; 2 * n],
            tau: 1.0,
        }
    }

    /// Takes the slopes; `room` tells how far an unknown may go [unknown sizes] against the sign of its pull.
    ///
    /// # Source
    /// Weights by column `[Marquardt1963]`.
    pub(crate) fn load(&mut self, pattern: &[(usize, usize)], local: &Local, room: impl Fn(usize, f64) -> f64) {
        let (n, m) = (self.weights.len(), pattern.len());
        self.weights.fill(0.0);
        self.pull.fill(0.0);
        for (k, (&(i, j), &slope)) in pattern.iter().zip(&local.slopes).enumerate() {
            self.entries[n + k] = -slope;
            self.entries[n + m + k] = slope;
            self.weights[j] += slope * slope;
            self.pull[j] += slope * local.gaps[i];
        }
        let floor = SHORT_COLUMN * self.weights.iter().copied().fold(0.0, f64::max);
        for (j, weight) in self.weights.iter_mut().enumerate() {
            *weight = weight.max(floor);
            if room(j, self.pull[j]) < 1e-6 {
                *weight *= HELD;
            }
        }
    }

    /// Writes the damped step [unknown sizes] at the present tau; false when it cannot be had.
    pub(crate) fn direction(&mut self, gaps: &[f64], step: &mut [f64]) -> bool {
        let n = gaps.len();
        self.right[..n].copy_from_slice(gaps);
        let found = self.run(self.tau);
        step.copy_from_slice(&self.right[n..]);
        found
    }

    /// Lets tau grow as the gaps fall.
    ///
    /// # Source
    /// Switched evolution relaxation, `[KelleyKeyes1998]`; the further factor 2 is ours, for a slow start.
    pub(crate) fn accepted(&mut self, merit: f64, new_merit: f64) {
        self.tau = (2.0 * self.tau * (merit / new_merit).sqrt()).min(MOST);
    }

    /// Up to five equations that depend on each other, given the slopes last loaded, strongest first.
    ///
    /// With hardly any damping, what no step can close of an arbitrary gap is its part in the left null space.
    pub(crate) fn dependent(&mut self) -> Vec<usize> {
        let n = self.weights.len();
        for i in 0..n {
            self.right[i] = 1.0 + irregular(i);
        }
        if !self.run(MOST) {
            return Vec::new();
        }
        let mut ranked = crate::outcome::worst(&self.right[..n]);
        let least = 0.1 * ranked.first().map_or(0.0, |first| first.1.abs());
        ranked.retain(|(_, share)| share.abs() > least);
        ranked.into_iter().map(|(equation, _)| equation).collect()
    }

    fn run(&mut self, tau: f64) -> bool {
        let n = self.weights.len();
        let last = self.entries.len() - n;
        self.entries[last..].iter_mut().zip(&self.weights).for_each(|(entry, weight)| *entry = weight / tau);
        self.right[n..].fill(0.0);
        if self.lu.factor(&self.entries).is_err() {
            return false;
        }
        self.lu.solve(&mut self.right);
        self.right.iter().all(|value| value.is_finite())
    }
}

/// A number from 0 to 1 that follows no pattern of `i` (multiples of the golden ratio).
pub(crate) fn irregular(i: usize) -> f64 {
    (i as f64 * 0.618_033_988_749_894_9).fract()
}
