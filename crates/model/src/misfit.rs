//! What a fit leaves of each reading, and what would become of that if a reading told less or if something else moved
//! them: linear algebra on a fit at hand, for which nothing is solved again.

use crate::fit::Fit;
use nalgebra::{Cholesky, DMatrix, DVector};

/// What is left of the readings, each held against all the others.
///
/// # Source
/// A normal density and its inverse covariance; one reading more or less is a rank-one update (Sherman and Morrison).
#[derive(Clone, Debug)]
pub struct Misfit {
    /// Inverse of the covariance of the readings before they were read.
    inverse: DMatrix<f64>,
    /// That times how far each is off.
    weighed: DVector<f64>,
}

impl Misfit {
    /// Of a covariance of the readings and how far each is off.
    fn of(inverse: DMatrix<f64>, off: &DVector<f64>) -> Misfit {
        let weighed = &inverse * off;
        Misfit { inverse, weighed }
    }

    /// How many readings.
    pub fn len(&self) -> usize {
        self.weighed.len()
    }

    /// Whether nothing was read.
    pub fn is_empty(&self) -> bool {
        self.weighed.is_empty()
    }

    /// How far a reading is off what all the others make believe, and one standard deviation of that [SI].
    pub fn against_others(&self, reading: usize) -> (f64, f64) {
        let precision = self.inverse[(reading, reading)];
        (self.weighed[reading] / precision, precision.sqrt().recip())
    }

    /// What the logarithm of the evidence gains if a reading may be off by so much more [SI, squared].
    pub fn if_doubted(&self, reading: usize, variance: f64) -> f64 {
        let grown = variance.mul_add(self.inverse[(reading, reading)], 1.0);
        0.5 * (self.weighed[reading].powi(2) * variance / grown - grown.ln())
    }

    /// Doubts a reading by so much more [SI, squared].
    pub fn doubt(&mut self, reading: usize, variance: f64) {
        let column = self.inverse.column(reading).clone_owned();
        let share = variance / variance.mul_add(column[reading], 1.0);
        let weighed = self.weighed[reading];
        self.weighed.axpy(-share * weighed, &column, 1.0);
        self.inverse.ger(-share, &column, &column, 1.0);
    }

    /// What the logarithm of the evidence gains if all readings go this way [SI] so many times, at the best of up to
    /// `most` times, and that many.
    pub fn if_moved(&self, way: &DVector<f64>, most: f64) -> (f64, f64) {
        let towards = way.dot(&self.weighed);
        let square = way.dot(&(&self.inverse * way));
        if towards <= 0.0 || square <= 0.0 {
            return (0.0, 0.0);
        }
        let times = (towards / square).min(most);
        (times * (towards - 0.5 * times * square), times)
    }
}

impl Fit {
    /// What it leaves of the readings before onset, held against each other; nothing if there are none.
    pub fn misfit_before(&self) -> Option<Misfit> {
        let spread = self.spread.as_ref().filter(|_| self.before > 0)?;
        // The factor's corner is the factor of theirs.
        let lower = spread.l_dirty().view((0, 0), (self.before, self.before)).lower_triangle();
        let residual = &lower * self.off.rows(0, self.before);
        Some(Misfit::of(Cholesky::pack_dirty(lower).inverse(), &residual))
    }

    /// What this fit leaves of each reading; nothing if nothing was read or its covariance is none.
    pub fn misfit(&self) -> Option<Misfit> {
        let spread = self.spread.as_ref().filter(|_| !self.off.is_empty())?;
        let residual = spread.l() * &self.off;
        Some(Misfit::of(spread.inverse(), &residual))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three readings with something in common, and how far each is off.
    fn three() -> (DMatrix<f64>, DVector<f64>) {
        let spread = DMatrix::from_row_slice(3, 3, &[2.0, 0.6, 0.3, 0.6, 1.5, -0.4, 0.3, -0.4, 1.0]);
        (spread, DVector::from_row_slice(&[0.5, -2.0, 3.0]))
    }

    fn log_evidence(spread: &DMatrix<f64>, off: &DVector<f64>) -> f64 {
        let c = Cholesky::new(spread.clone()).expect("a covariance");
        -0.5 * (c.determinant().ln() + off.dot(&c.solve(off)))
    }

    fn misfit(spread: &DMatrix<f64>, off: &DVector<f64>) -> Misfit {
        Misfit::of(spread.clone().try_inverse().expect("a covariance"), off)
    }

    #[test]
    fn a_doubted_reading_gains_what_the_whole_sum_does() {
        let (spread, off) = three();
        let mut doubted = spread.clone();
        doubted[(2, 2)] += 4.0;
        let gain = log_evidence(&doubted, &off) - log_evidence(&spread, &off);
        let mut left = misfit(&spread, &off);
        assert!((left.if_doubted(2, 4.0) - gain).abs() < 1e-12);
        left.doubt(2, 4.0);
        let afresh = misfit(&doubted, &off);
        assert!((&left.inverse - &afresh.inverse).amax() < 1e-12 && (&left.weighed - &afresh.weighed).amax() < 1e-12);
    }

    #[test]
    fn one_against_the_others_is_what_regression_says() {
        let (spread, off) = three();
        // The third given the first two, by the block formula.
        let known = spread.view((0, 0), (2, 2)).clone_owned();
        let with = spread.view((2, 0), (1, 2)).clone_owned();
        let inverse = known.try_inverse().expect("a covariance");
        let expected = (&with * &inverse * off.rows(0, 2))[0];
        let variance = spread[(2, 2)] - (&with * &inverse * with.transpose())[0];
        let (away, sigma) = misfit(&spread, &off).against_others(2);
        assert!((away - (off[2] - expected)).abs() < 1e-12 && (sigma - variance.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_moves_readings_gains_what_it_takes_away() {
        let (spread, off) = three();
        let way = DVector::from_row_slice(&[0.1, -1.0, 1.2]);
        let (gain, times) = misfit(&spread, &off).if_moved(&way, 10.0);
        let moved = |t: f64| log_evidence(&spread, &(&off - &way * t));
        assert!((moved(times) - moved(0.0) - gain).abs() < 1e-12);
        assert!(moved(times) > moved(times * 0.9) && moved(times) > moved(times * 1.1));
        // No further than may be, and never the other way.
        assert!((misfit(&spread, &off).if_moved(&way, 0.5).1 - 0.5).abs() < 1e-12);
        assert!(misfit(&spread, &off).if_moved(&-way, 10.0).0.abs() < 1e-12);
    }
}
