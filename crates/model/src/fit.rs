//! What the figures, the gauges' lasting errors and the operating points must be, given what was read: one fit,
//! used for bands that narrow and for every cause at its own best point.
//!
//! Unknowns are normal scores with unit spread: figures in their logarithms where their spread is a factor, a lasting
//! error of each gauge, the operating point of each occasion. Gauss–Newton in the space of what was read, then the
//! evidence by Laplace's method at the fitted point.

use crate::point::PointSpread;
use crate::scores::{FURTHEST, Scores};
use crate::steady::{Model, State, Unsolved};
use crate::under::{Changed, Lying, Under};
use crate::warmth::Warmth;
use nalgebra::{Cholesky, DMatrix, DVector};
use parts::laws::Point;
use plant::plant::{GaugeId, Tap};

/// One occasion: where the plant was run, and whether the cause was there already.
#[derive(Clone, Debug)]
pub struct Run {
    /// Operating point as told.
    pub point: Point<f64>,
    /// How well it is known.
    pub spread: PointSpread,
    /// How far it was on its way to that point's steady state.
    pub warmth: Warmth,
    /// After onset?
    pub troubled: bool,
}

/// One thing read: a weighted sum of gauges over occasions ("4 K over usual" is now minus usual).
#[derive(Clone, Debug)]
pub struct Observed {
    /// (occasion, gauge, weight)
    pub terms: Vec<(usize, GaugeId, f64)>,
    /// What was read [SI; pressures over the atmosphere].
    pub value: f64,
    /// One standard deviation of flicker, reading error and model discrepancy [SI].
    pub noise: f64,
}

/// Everything read, on all occasions.
#[derive(Clone, Debug, Default)]
pub struct Seen {
    /// Occasions.
    pub runs: Vec<Run>,
    /// Readings.
    pub observed: Vec<Observed>,
    /// The plant in order on each occasion, where that is known: the way to trouble begins there.
    pub sound: Vec<State>,
}

impl Seen {
    /// How many readings are of before onset alone, of those that stand first.
    pub fn before(&self) -> usize {
        let of_before = |o: &&Observed| o.terms.iter().all(|(run, ..)| !self.runs[*run].troubled);
        self.observed.iter().take_while(of_before).count()
    }
}

/// A fitted state of belief.
#[derive(Clone, Debug, Default)]
pub struct Fit {
    /// Normal scores: figures, gauge errors, operating points.
    pub scores: DVector<f64>,
    /// Solved state of each occasion at the fit.
    pub states: Vec<State>,
    /// What each reading would have been without noise [SI].
    pub expected: Vec<f64>,
    /// One standard deviation of each reading before it was read [SI].
    pub sigma: Vec<f64>,
    /// Logarithm of the evidence of what was read after onset, what was read before it taken as read; constants left out.
    /// That too is seen in the fit's own straight lines: as it is the same whatever came after, it must not tell one cause
    /// from another by where those lines were laid.
    pub log_evidence: f64,
    /// What straight lines from the fit promise beyond where it ended, as a logarithm: it is not in the evidence; 0 after one
    /// step, which reaches nothing.
    pub beyond: f64,
    /// So many readings are of before onset; they are the first.
    pub before: usize,
    /// How far every reading is off what was believed before it was read, in independent unit normals.
    pub off: DVector<f64>,
    /// Slopes of the readings in the scores.
    pub(crate) slopes: DMatrix<f64>,
    /// Covariance of the readings before they were read, factored.
    pub(crate) spread: Option<Cholesky<f64, nalgebra::Dyn>>,
}

/// One linearisation of every reading.
pub(crate) struct Linear {
    states: Vec<State>,
    pub expected: Vec<f64>,
    pub slopes: DMatrix<f64>,
}

impl Model {
    /// Fits everything that is uncertain to what was read, in at most so many steps, from these scores if given.
    ///
    /// # Errors
    /// [`Unsolved`] if the plant has no state under these circumstances.
    pub fn fit(&mut self, seen: &Seen, under: &Under, start: Option<&Fit>, steps: usize) -> Result<Fit, Unsolved> {
        let scores = Scores::of(self, seen.runs.len()).under(under);
        let mut u = start.map_or_else(DVector::default, |fit| fit.scores.clone()).resize_vertically(scores.len(), 0.0);
        let mut near: Option<Vec<State>> = start.map(|fit| fit.states.clone());
        let mut sound = start.filter(|fit| fit.expected.len() == seen.observed.len());
        let mut best: Option<(f64, Fit)> = None;
        let mut step = 1.0;
        for _ in 0..steps.max(1) {
            let linear = match (self.linearise(seen, under, &scores, &u, near.as_deref(), sound.take()), &best) {
                (Ok(linear), _) => linear,
                (Err(_), Some((_, fit))) if step > 0.1 => {
                    // Too far: come back half way.
                    step *= 0.5;
                    u = (&u + &fit.scores) * 0.5;
                    continue;
                }
                (Err(e), None) => return Err(e),
                (Err(_), Some(_)) => break,
            };
            near = Some(linear.states.clone());
            let (fit, target, objective) = conclude(seen, under, &scores, &u, linear);
            let improved = best.as_ref().is_none_or(|(was, _)| objective < *was - 1e-3);
            let settled = (&target - &u).amax() < 0.02;
            if improved || best.is_none() {
                best = Some((objective, fit));
                u = &u + (&target - &u) * step;
            } else if let Some((_, fit)) = &best {
                step *= 0.5;
                u = &fit.scores + (&u - &fit.scores) * 0.5;
            }
            if settled || step < 0.1 {
                break;
            }
            for score in u.iter_mut() {
                *score = score.clamp(-FURTHEST, FURTHEST);
            }
        }
        let best = best.map(|(objective, fit)| if steps > 1 { fit.held_to(objective) } else { fit });
        best.ok_or_else(|| Unsolved::NotSolved("no fit".into()))
    }

    /// Every reading and its slopes at these scores.
    pub(crate) fn linearise(
        &mut self,
        seen: &Seen,
        under: &Under,
        scores: &Scores,
        u: &DVector<f64>,
        near: Option<&[State]>,
        sound: Option<&Fit>,
    ) -> Result<Linear, Unsolved> {
        let base = scores.parameters(self, u.as_slice());
        let mut states: Vec<State> = Vec::with_capacity(seen.runs.len());
        let mut expected = vec![0.0; seen.observed.len()];
        let mut slopes = DMatrix::zeros(seen.observed.len(), scores.len());
        for (r, run) in seen.runs.iter().enumerate() {
            // No cause reaches a run before onset: at the same scores it is what the fit begun from already holds.
            if let Some(sound) = sound.filter(|_| before_onset(seen, r)) {
                for (i, _) in seen.observed.iter().enumerate().filter(|(_, o)| o.terms.iter().any(|t| t.0 == r)) {
                    expected[i] = sound.expected[i];
                    let count = sound.slopes.ncols().min(scores.len());
                    slopes.view_mut((i, 0), (1, count)).copy_from(&sound.slopes.view((i, 0), (1, count)));
                }
                states.push(sound.states[r].clone());
                continue;
            }
            let at = scores.point(r, run, u.as_slice());
            let sound_plant = Under::default();
            let out_of_step = &u.as_slice()[scores.first_further()..];
            let Changed { values: parameters, follow, apart } =
                if run.troubled { under } else { &sound_plant }.apply(&base, out_of_step);
            let close = near.and_then(|list| list.get(r)).or(states.last());
            let settled = run.troubled && run.warmth == Warmth::Settled && !follow.is_empty();
            let state = match seen.sound.get(r).filter(|_| settled) {
                Some(sound) => self.solve_troubled((sound, &base), &parameters, &at, close)?,
                None => self.solve_warm(&parameters, &at, run.warmth, close)?,
            };
            let gauges = gauges_read(seen, r);
            let taps: Vec<Tap> = gauges.iter().map(|g| self.plant[*g].tap).collect();
            let each = if taps.is_empty() {
                Vec::new()
            } else {
                self.slopes_where_solved(&parameters, &state, &taps)
                    .map_err(|_| Unsolved::NotSolved("slopes".into()))?
            };
            for (i, observed) in seen.observed.iter().enumerate() {
                for &(occasion, gauge, weight) in observed.terms.iter().filter(|(o, ..)| *o == r) {
                    debug_assert_eq!(occasion, r);
                    let Some(g) = gauges.iter().position(|other| *other == gauge) else { continue };
                    if let Some(stop) = under.stands(gauge).filter(|_| run.troubled) {
                        // The reading says nothing of the plant: the stop stands.
                        expected[i] += weight * stop;
                        continue;
                    }
                    let lasting = self.lasting(gauge);
                    expected[i] += weight * (self.read(&state, taps[g]) + lasting * scores.off(gauge, u.as_slice()));
                    let mut slope = |thing, slope: f64| {
                        scores.common.each(thing, |score, share| slopes[(i, score)] += share * slope);
                    };
                    slope(scores.gauge(gauge), weight * lasting);
                    for (k, (place, spread)) in scores.figures.iter().enumerate() {
                        let rate = follow.iter().find(|(p, _)| p == place).map_or(1.0, |(_, rate)| *rate);
                        let turn = if spread.is_factor() { base[*place] } else { 1.0 } * spread.sigma() * rate;
                        slope(k, weight * each[g].parameters[*place] * turn);
                    }
                    for (k, (place, rate)) in apart.iter().enumerate() {
                        slope(scores.first_further() + k, weight * each[g].parameters[*place] * rate);
                    }
                    for k in 0..scores.of_point {
                        slope(scores.run(r) + k, weight * each[g].point[k] * run.spread.0[k]);
                    }
                }
            }
            states.push(state);
        }
        Ok(Linear { states, expected, slopes })
    }

    /// One standard deviation of what is lastingly wrong with a gauge, and with the model where it sits [SI].
    pub fn lasting(&self, gauge: GaugeId) -> f64 {
        (self.plant[gauge].accuracy / 1.96).hypot(self.wrong_lastingly(gauge))
    }

    /// What of that is the model's own error [SI].
    pub fn wrong_lastingly(&self, gauge: GaugeId) -> f64 {
        let g = &self.plant[gauge];
        crate::expect::discrepancy(g.quantity, 0.5 * (g.scale.0 + g.scale.1)) * crate::expect::LASTING_SHARE.sqrt()
    }
}

/// Whether a run, and every other run that its readings are held against, lies before onset.
fn before_onset(seen: &Seen, run: usize) -> bool {
    let beside = |o: &&Observed| o.terms.iter().any(|t| t.0 == run);
    !seen.runs[run].troubled
        && seen.observed.iter().filter(beside).all(|o| o.terms.iter().all(|t| !seen.runs[t.0].troubled))
}

fn gauges_read(seen: &Seen, run: usize) -> Vec<GaugeId> {
    let mut gauges: Vec<GaugeId> =
        seen.observed.iter().flat_map(|o| o.terms.iter()).filter(|(r, ..)| *r == run).map(|(_, g, _)| *g).collect();
    gauges.sort_unstable();
    gauges.dedup();
    gauges
}

/// The next scores, the fit at the present ones, and the objective there.
fn conclude(
    seen: &Seen,
    under: &Under,
    scores: &Scores,
    u: &DVector<f64>,
    mut linear: Linear,
) -> (Fit, DVector<f64>, f64) {
    let n = seen.observed.len();
    let mut noise = DMatrix::from_diagonal(&DVector::from_iterator(n, seen.observed.iter().map(|o| o.noise * o.noise)));
    if let Some(lie) = &under.lie {
        // One error of all of them: what a reading is off by goes with it, this way or that.
        let sum = |of: &dyn Fn(&Lying) -> f64| -> Vec<f64> {
            let lying = |&(run, gauge, weight): &(usize, GaugeId, f64)| {
                let own = lie.of(gauge).filter(|_| seen.runs[run].troubled);
                own.map_or(0.0, |own| weight * of(own))
            };
            seen.observed.iter().map(|o| o.terms.iter().map(lying).sum()).collect()
        };
        let mean = sum(&|own| if own.stands_at.is_some() { 0.0 } else { own.mean });
        let sigma = sum(&|own| own.sigma);
        for i in (0..n).filter(|i| sigma[*i] != 0.0) {
            linear.expected[i] += mean[i];
            for j in 0..n {
                noise[(i, j)] += sigma[i] * sigma[j];
            }
        }
    }
    let gap = DVector::from_iterator(n, seen.observed.iter().zip(&linear.expected).map(|(o, e)| o.value - e));
    let residual = &gap + &linear.slopes * u;
    let spread = &linear.slopes * linear.slopes.transpose() + &noise;
    let sigma: Vec<f64> = (0..n).map(|i| spread[(i, i)].sqrt()).collect();
    let objective = {
        let solved = Cholesky::new(noise.clone()).map_or(f64::INFINITY, |c| gap.dot(&c.solve(&gap)));
        solved + u.dot(u)
    };
    let cholesky = Cholesky::new(spread);
    let before = seen.before();
    let (target, log_evidence, off) = match &cholesky {
        Some(c) => {
            let off = c.l_dirty().solve_lower_triangular(&residual).unwrap_or_else(|| DVector::zeros(n));
            let weighted = c.solve(&residual);
            // Row by row of the factor, each reading is held against those before it.
            let log_det: f64 = c.l_dirty().diagonal().iter().skip(before).map(|d| d.ln()).sum::<f64>() * 2.0;
            let after = off.rows_range(before..).norm_squared();
            (linear.slopes.transpose() * &weighted, -0.5 * (log_det + after), off)
        }
        None => (u.clone(), f64::NEG_INFINITY, DVector::zeros(n)),
    };
    debug_assert_eq!(target.len(), scores.len());
    let fit = Fit {
        scores: u.clone(),
        states: linear.states,
        expected: linear.expected,
        sigma,
        log_evidence,
        beyond: 0.0,
        before,
        off,
        slopes: linear.slopes,
        spread: cholesky,
    };
    (fit, target, objective)
}

impl Fit {
    /// The same to begin another fit from, and no more.
    #[must_use]
    pub fn slim(self) -> Fit {
        Fit { slopes: DMatrix::zeros(0, 0), spread: None, expected: Vec::new(), sigma: Vec::new(), ..self }
    }

    /// With only what was reached, and not what straight lines promise beyond: at a bend (a cap that lifts, a pump that draws
    /// air) they let a figure go back for nothing that the state cannot do without.
    fn held_to(mut self, objective: f64) -> Fit {
        self.beyond = 0.5 * (objective - self.off.norm_squared()).max(0.0);
        self.log_evidence -= self.beyond;
        self
    }

    /// How far every reading after onset is off what was believed before it was read, in independent unit normals.
    pub fn off_after(&self) -> nalgebra::DVectorView<'_, f64> {
        self.off.rows_range(self.before..)
    }

    /// Whether that is all there is of it.
    pub fn is_slim(&self) -> bool {
        self.spread.is_none()
    }

    /// This fit with the states of another at the same scores: where a cause is looked for from.
    #[must_use]
    pub fn at_states_of(&self, other: &Fit) -> Option<Fit> {
        let (own, further) = other.scores.as_slice().split_at(self.scores.len().min(other.scores.len()));
        let same = self.scores.as_slice() == own && further.iter().all(|score| *score == 0.0);
        same.then(|| Fit { states: other.states.clone(), ..self.clone() })
    }

    /// A draw from what is believed after the fit, from a draw of unit normals (scores first, then one a reading).
    ///
    /// # Source
    /// Matheron's rule: a draw from the prior, moved by how far its readings are off.
    pub fn draw(&self, seen: &Seen, normals: &[f64]) -> DVector<f64> {
        let count = self.scores.len();
        let free = DVector::from_column_slice(&normals[..count]);
        let Some(spread) = &self.spread else { return free };
        if seen.observed.is_empty() {
            return free;
        }
        let noise = DVector::from_iterator(
            seen.observed.len(),
            seen.observed.iter().zip(&normals[count..]).map(|(o, n)| o.noise * n),
        );
        let off = &self.slopes * &free + noise;
        &self.scores + &free - self.slopes.transpose() * spread.solve(&off)
    }
}
