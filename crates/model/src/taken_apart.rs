//! A fit taken apart: what each reading adds to how likely all of them are together, where the fit leads, how far apart two
//! fits foretell the readings, and what is left unknown of something that was not read. (What one reading is off by, the
//! others given, is `misfit.rs`.)
//!
//! All of it follows from the fit's own straight lines, so that nothing is solved again.

use crate::fit::Fit;
use nalgebra::{Cholesky, DMatrix, DVector};

/// Operations that sharing out is worth [1]: a millisecond or two.
const WORTH: f64 = 2e6;
/// Orders beyond this tell nothing new.
const ORDERS: usize = 24;

impl Fit {
    /// How much each of these readings adds to the logarithm of how likely all are together, the others taken as read:
    /// what goes together is shared out evenly, whoever of it is counted first. Sums to what they add together.
    ///
    /// # Source
    /// Shapley's value: the mean over the orders in which they may be counted of what each adds to those before it.
    /// Orders taken are the rotations of the list and their mirror images: all there are of up to three, and of more
    /// each in every place as often as the others.
    pub fn shares(&self, of: &[usize]) -> Vec<f64> {
        let mut shares = vec![0.0; self.off.len()];
        let Some(spread) = &self.spread else { return shares };
        let lower = spread.l();
        let off = &lower * &self.off;
        let covariance = &lower * lower.transpose();
        let given: Vec<usize> = (0..shares.len()).filter(|i| !of.contains(i)).collect();
        let count = of.len();
        let worth = (WORTH / (shares.len() as f64).powi(3)) as usize;
        let turns = count.min(ORDERS).min(worth.max(1));
        for turn in 0..turns {
            let mut order = of.to_vec();
            order.rotate_left(turn * count / turns);
            for mirrored in [false, true] {
                if mirrored {
                    order.reverse();
                }
                let whole: Vec<usize> = given.iter().chain(&order).copied().collect();
                for (i, adds) in whole.iter().zip(one_by_one(&covariance, &off, &whole)).skip(given.len()) {
                    shares[*i] += adds / (2 * turns) as f64;
                }
            }
        }
        shares
    }

    /// Scores at which the readings are likeliest by the fit's straight lines: where its next step would end.
    pub fn leads_to(&self) -> DVector<f64> {
        if self.is_slim() { self.scores.clone() } else { self.slopes.transpose() * self.weighted() }
    }

    /// What each reading is foretold to be before any was read, less what was read, seen from another fit: how many
    /// standard deviations the two foretell readings apart, in the covariance of both. Nothing if they are of different
    /// readings.
    pub fn apart(&self, other: &Fit) -> Option<f64> {
        let (a, b) = (self.spread.as_ref()?, other.spread.as_ref()?);
        if self.off.is_empty() || self.off.len() != other.off.len() {
            return None;
        }
        let (la, lb) = (a.l(), b.l());
        let difference = &la * &self.off - &lb * &other.off;
        let both = (&la * la.transpose() + &lb * lb.transpose()) * 0.5;
        Some(difference.dot(&Cholesky::new(both)?.solve(&difference)).sqrt())
    }

    /// One standard deviation, once all is read, of a quantity that goes with the scores like this and is besides off by an
    /// error of its own of such a spread, in which the readings have such a part.
    pub fn left_of(&self, slopes: &DVector<f64>, own: f64, shared: Option<&DVector<f64>>) -> f64 {
        let before = slopes.norm_squared() + own * own;
        let Some(spread) = &self.spread else { return before.sqrt() };
        let mut with = &self.slopes * slopes;
        if let Some(shared) = shared {
            with += shared;
        }
        (before - with.dot(&spread.solve(&with))).max(0.0).sqrt()
    }

    /// How far each reading is off, weighed by the inverse of the covariance.
    pub fn weighted(&self) -> DVector<f64> {
        let solved = self.spread.as_ref().and_then(|spread| spread.l_dirty().tr_solve_lower_triangular(&self.off));
        solved.unwrap_or_else(|| DVector::zeros(self.off.len()))
    }
}

/// What each reading adds to the logarithm, counted in this order: Cholesky's factor row by row.
fn one_by_one(covariance: &DMatrix<f64>, off: &DVector<f64>, order: &[usize]) -> Vec<f64> {
    let count = order.len();
    let mut lower = vec![0.0; count * count];
    let mut whitened = vec![0.0; count];
    let mut adds = Vec::with_capacity(count);
    for i in 0..count {
        for j in 0..=i {
            let (row, other) = (&lower[i * count..i * count + j], &lower[j * count..j * count + j]);
            let known: f64 = row.iter().zip(other).map(|(a, b)| a * b).sum();
            let left = covariance[(order[i], order[j])] - known;
            lower[i * count + j] = if i == j { left.max(1e-300).sqrt() } else { left / lower[j * count + j] };
        }
        let row = &lower[i * count..i * count + i];
        let known: f64 = row.iter().zip(&whitened).map(|(a, b)| a * b).sum();
        let own = lower[i * count + i];
        whitened[i] = (off[order[i]] - known) / own;
        adds.push(-0.5 * whitened[i] * whitened[i] - own.ln());
    }
    adds
}

/// A fit that foretells so much of readings, with nothing behind it.
#[cfg(test)]
fn fit_of(covariance: DMatrix<f64>, off: &DVector<f64>, slopes: DMatrix<f64>) -> Fit {
    let spread = Cholesky::new(covariance).expect("a covariance");
    let whitened = spread.l().solve_lower_triangular(off).expect("a factor");
    let log_det: f64 = spread.l().diagonal().iter().map(|d| d.ln()).sum::<f64>() * 2.0;
    Fit {
        scores: DVector::zeros(slopes.ncols()),
        states: Vec::new(),
        expected: Vec::new(),
        sigma: Vec::new(),
        log_evidence: -0.5 * (log_det + whitened.norm_squared()),
        beyond: 0.0,
        before: 0,
        off: whitened,
        slopes,
        spread: Some(spread),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{dmatrix, dvector};

    /// Two readings with spreads of 2 and 1 and a correlation of a half, off by 3 and −1.
    fn two() -> Fit {
        fit_of(dmatrix![4.0, 1.0; 1.0, 1.0], &dvector![3.0, -1.0], dmatrix![1.0; 0.0])
    }

    #[test]
    fn what_two_readings_add_is_shared_by_both_orders() {
        // By hand: alone each adds −r²/2s² − ln s; after the other what it is off from what that foretells.
        let adds = |off: f64, variance: f64| -0.5 * off * off / variance - 0.5 * variance.ln();
        let by_hand = [0.5 * (adds(3.0, 4.0) + adds(4.0, 3.0)), 0.5 * (adds(-1.0, 1.0) + adds(-1.75, 0.75))];
        let shares = two().shares(&[0, 1]);
        assert!((shares[0] - by_hand[0]).abs() < 1e-12 && (shares[1] - by_hand[1]).abs() < 1e-12, "{shares:?}");
        assert!((shares[0] + shares[1] - two().log_evidence).abs() < 1e-12);
        // With the second taken as read the first adds what is left of it.
        assert!((two().shares(&[0])[0] - adds(4.0, 3.0)).abs() < 1e-12);
    }

    #[test]
    fn two_gauges_that_say_the_same_share_what_they_say() {
        let one = fit_of(dmatrix![1.0], &dvector![4.0], dmatrix![1.0]).shares(&[0])[0];
        let covariance = dmatrix![1.0, 0.9999; 0.9999, 1.0];
        let twins = fit_of(covariance, &dvector![4.0, 4.0], dmatrix![1.0; 1.0]).shares(&[0, 1]);
        assert!((twins[0] - twins[1]).abs() < 1e-9);
        // Half of what one alone says, but for what the second one's exactness is worth.
        let exact = -0.5 * (1.0f64 - 0.9999 * 0.9999).ln();
        assert!((twins[0] + twins[1] - one - exact).abs() < 0.01, "{twins:?} of {one}");
    }

    #[test]
    fn fits_are_apart_by_what_they_foretell_and_by_nothing_else() {
        let (a, b) = (two(), fit_of(dmatrix![4.0, 1.0; 1.0, 1.0], &dvector![1.0, -1.0], dmatrix![1.0; 0.0]));
        // Off by 2 in the first only: 2² times the inverse's first element, 1/3.
        assert!((a.apart(&b).expect("two readings") - (4.0f64 / 3.0).sqrt()).abs() < 1e-12);
        assert_eq!(a.apart(&a.clone()), Some(0.0));
    }

    #[test]
    fn what_was_read_narrows_what_goes_with_it() {
        // A score of spread one, read with noise of variance three: 1 − 1/4 of its variance is left.
        let fit = fit_of(dmatrix![4.0], &dvector![2.0], dmatrix![1.0]);
        assert!((fit.left_of(&dvector![1.0], 0.0, None) - 0.75f64.sqrt()).abs() < 1e-12);
        // With an error of its own of spread two that the reading shares by two: 1 + 4 − (1 + 2 · 2)²/4 would be less than
        // nothing, so the reading would have told it all; of one by one: 1 + 1 − (1 + 1)²/4.
        assert!((fit.left_of(&dvector![1.0], 1.0, Some(&dvector![1.0])) - 1.0).abs() < 1e-12);
        assert!((fit.leads_to()[0] - 0.5).abs() < 1e-12);
    }
}
