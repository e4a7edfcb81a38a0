//! Readings at a bend: where a regulator only just holds, a valve only just opens, a reading tells much of the plant on one
//! side and little or nothing on the other. Straight lines from the fit know one side only, and draws along them never
//! leave it. Here each side is given the slope that the plant has there.

use crate::fit::{Fit, Seen};
use crate::scores::{FURTHEST, Scores};
use crate::steady::Model;
use measure::figure::normal_below;
use nalgebra::DVector;
use std::f64::consts::TAU;

/// A reading that has narrowed what it is itself expected to be to a half or less is looked at: share of its variance
/// that the fit has taken away [1].
const NARROWED: f64 = 0.75;
/// A side whose slope is within this of the fit's own is straight [1].
const STRAIGHT: f64 = 0.4;
/// Steeper than so many times the fit's own slope is taken as that [1].
const STEEPEST: f64 = 3.0;
/// A side whose middle lies so far beyond the bend has nothing on it [its own standard deviations].
const BARE: f64 = 30.0;

/// One reading at a bend.
pub(crate) struct Bend {
    /// How the reading goes with the scores [SI].
    slopes: DVector<f64>,
    /// How the scores go with the reading, in the fit's own standard deviations of it [1].
    along: DVector<f64>,
    /// That standard deviation [SI].
    sigma: f64,
    /// What is believed below and above the fit.
    sides: [Side; 2],
}

/// How a reading goes on one side, in the fit's own standard deviations of it: `rise` at first, then `slope` times as much
/// as the fit's straight line.
#[derive(Copy, Clone, Debug)]
struct Way {
    rise: f64,
    slope: f64,
}

/// Belief on one side of a fit: a piece of a normal density in the fit's own standard deviations; `ln_height` where it
/// begins, as a logarithm, 0 for straight lines.
#[derive(Copy, Clone, Debug)]
struct Side {
    mean: f64,
    sigma: f64,
    ln_height: f64,
}

impl Side {
    /// For a reading that took away `narrowed` of the variance and is left `off`. Bayes' rule for a normal belief and a
    /// straight line.
    fn of(Way { rise, slope }: Way, narrowed: f64, off: f64) -> Side {
        let precision = (1.0 - narrowed) + slope * slope * narrowed;
        let mean = narrowed * (slope * (off - rise) - off) / precision;
        let ln_height = 0.5 * narrowed * (off * off - (off - rise).powi(2));
        Side { mean, sigma: precision.sqrt().recip(), ln_height }
    }

    /// Area of it between two places.
    fn area(self, low: f64, high: f64) -> f64 {
        let score = |x: f64| (x - self.mean) / self.sigma;
        let height = (self.ln_height + 0.5 * score(0.0).powi(2)).exp();
        height * self.sigma * TAU.sqrt() * (normal_below(score(high)) - normal_below(score(low)))
    }

    fn is_bare(self) -> bool {
        (self.mean / self.sigma).abs() > BARE
    }
}

impl Bend {
    /// Moves scores drawn along straight lines to where they lie with the slopes of both sides, in the same order.
    pub(crate) fn take(&self, fit: &Fit, scores: &mut DVector<f64>) {
        let x = self.slopes.dot(&(&*scores - &fit.scores)) / self.sigma;
        scores.axpy(two_sided(self.sides, x) - x, &self.along, 1.0);
    }
}

/// The place of a density of two sides that has as much below it as a unit normal has below x.
fn two_sided([below, above]: [Side; 2], x: f64) -> f64 {
    let (far_below, far_above) = (FURTHEST * below.sigma, FURTHEST * above.sigma);
    let (under, over) = (below.area(-far_below, 0.0), above.area(0.0, far_above));
    let wanted = normal_below(x) * (under + over);
    let (side, mut low, mut high) = if wanted < under { (below, -far_below, 0.0) } else { (above, 0.0, far_above) };
    let (begins, left) = if wanted < under { (low, wanted) } else { (0.0, wanted - under) };
    while high - low > 1e-6 * side.sigma {
        let middle = 0.5 * (low + high);
        if side.area(begins, middle) < left { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

impl Model {
    /// The bends at which a fit of a plant in order ended.
    pub(crate) fn bends(&mut self, seen: &Seen, scores: &Scores, fit: &Fit) -> Vec<Bend> {
        let Some(spread) = &fit.spread else { return Vec::new() };
        let inverse = spread.inverse();
        let bend = |(i, observed): (usize, &crate::fit::Observed)| {
            let variance = observed.noise * observed.noise;
            let narrowed = 1.0 - variance * inverse[(i, i)];
            if narrowed < NARROWED {
                return None;
            }
            let slopes = fit.slopes.row(i).transpose();
            let sigma = (variance * narrowed).sqrt();
            let told = fit.slopes.transpose() * spread.solve(&(&fit.slopes * &slopes));
            let along = (&slopes - told) / sigma;
            let before = (1.0 - narrowed).sqrt().recip();
            let mut reads = |far: f64| {
                let there = (&fit.scores + &along * far).map(|score| score.clamp(-FURTHEST, FURTHEST));
                Some((self.would_read(seen, scores, fit, i, &there)? - fit.expected[i]) / sigma)
            };
            let mut way = |far: f64| {
                let (half, whole) = (reads(0.5 * far)?, reads(far)?);
                let slope = ((whole - half) / (0.5 * far)).clamp(0.0, STEEPEST);
                Some(Way { rise: whole - slope * far, slope })
            };
            // Where the plant has no state there is nothing to know of that side.
            let straight = Way { rise: 0.0, slope: 1.0 };
            let ways = [way(-before).unwrap_or(straight), way(before).unwrap_or(straight)];
            if ways.iter().all(|way| (way.slope - 1.0).abs() < STRAIGHT) {
                return None;
            }
            let off = (observed.value - fit.expected[i]) / sigma;
            let sides = ways.map(|way| Side::of(way, narrowed, off));
            (!sides.iter().any(|side| side.is_bare())).then_some(Bend { slopes, along, sigma, sides })
        };
        seen.observed.iter().enumerate().filter_map(bend).collect()
    }

    /// What a reading would be without noise at other scores [SI]; nothing where the plant has no state.
    fn would_read(
        &mut self,
        seen: &Seen,
        scores: &Scores,
        fit: &Fit,
        reading: usize,
        there: &DVector<f64>,
    ) -> Option<f64> {
        let parameters = scores.parameters(self, there.as_slice());
        let mut sum = 0.0;
        for &(r, gauge, weight) in &seen.observed[reading].terms {
            let at = scores.point(r, &seen.runs[r], there.as_slice());
            let state = self.solve_warm(&parameters, &at, seen.runs[r].warmth, Some(&fit.states[r])).ok()?;
            let lasting = self.lasting(gauge) * scores.off(gauge, there.as_slice());
            sum += weight * (self.read(&state, self.plant[gauge].tap) + lasting);
        }
        Some(sum)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NARROWED: f64 = 0.97;

    /// Shares below each place of what is believed, by Bayes' rule on a fine grid: a prior as wide as it was before the
    /// reading, and the reading going either way.
    fn by_bayes(ways: [Way; 2], off: f64, places: &[f64]) -> Vec<f64> {
        // In the fit's standard deviations: what the reading is good for, the prior's variance, and its middle, which is
        // such that straight lines end at 0.
        let (noise, prior) = (1.0 / NARROWED, 1.0 / (1.0 - NARROWED));
        let middle = -off * NARROWED / (1.0 - NARROWED);
        let density = |x: f64| {
            let Way { rise, slope } = ways[usize::from(x > 0.0)];
            let left = off - rise - slope * x;
            (-0.5 * ((x - middle).powi(2) / prior + left * left / noise) + 0.5 * middle * middle / prior).exp()
        };
        let grid = (-60_000..60_000).map(|k| f64::from(k) * 1e-3 + 5e-4);
        let weights: Vec<(f64, f64)> = grid.map(|x| (x, density(x))).collect();
        let whole: f64 = weights.iter().map(|w| w.1).sum();
        let below = |place: &f64| weights.iter().take_while(|w| w.0 < *place).map(|w| w.1).sum::<f64>() / whole;
        places.iter().map(below).collect()
    }

    #[test]
    fn what_is_believed_beside_a_bend_is_what_bayes_says() {
        let way = |rise: f64, slope: f64| Way { rise, slope };
        let straight = way(0.0, 1.0);
        for (ways, off) in [
            ([straight, way(0.0, 0.0)], 0.3),
            ([straight, way(0.8, 0.02)], 0.3),
            ([way(-0.4, 0.1), straight], -0.2),
            ([straight, way(0.0, 2.5)], 0.5),
            ([straight, straight], 0.4),
        ] {
            let sides = ways.map(|way| Side::of(way, NARROWED, off));
            let scores = [-2.5, -1.0, 0.0, 0.7, 1.5, 2.5];
            let places: Vec<f64> = scores.iter().map(|x| two_sided(sides, *x)).collect();
            for (below, score) in by_bayes(ways, off, &places).iter().zip(scores) {
                assert!((below - normal_below(score)).abs() < 2e-3, "{ways:?} {off}: {below} below, at {score}");
            }
        }
    }

    #[test]
    fn straight_lines_stay_as_they_are() {
        let sides = [Side::of(Way { rise: 0.0, slope: 1.0 }, NARROWED, 0.8); 2];
        for x in [-3.0, -0.5, 0.0, 1.2, 4.0] {
            assert!((two_sided(sides, x) - x).abs() < 1e-4);
        }
    }
}
