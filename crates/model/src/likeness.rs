//! How far a whole set of readings lies from what plants like this one read: all gauges at once, and how they go
//! together.
//!
//! One gauge in twenty lies outside its band on a sound plant, so bands alone cannot say whether a set of readings is
//! odd; and gauges that move together (two on one pipe) are odd when they part, long before either leaves its band.

use nalgebra::{Cholesky, DMatrix, DVector};
use plant::plant::GaugeId;

/// What readings of plants like this one have in common.
#[derive(Clone, Debug)]
pub struct Likeness {
    mean: DVector<f64>,
    covariance: DMatrix<f64>,
    draws: usize,
}

impl Likeness {
    /// From readings without flicker, one row a drawn plant, and one standard deviation of what each reading adds to
    /// that [SI].
    pub(crate) fn of(draws: &[Vec<f64>], noise: &[f64]) -> Likeness {
        let (gauges, count) = (noise.len(), draws.len().max(2));
        let mut mean = DVector::zeros(gauges);
        for row in draws {
            mean += DVector::from_column_slice(row);
        }
        mean /= count as f64;
        let mut covariance = DMatrix::from_diagonal(&DVector::from_iterator(gauges, noise.iter().map(|n| n * n)));
        for row in draws {
            let off = DVector::from_column_slice(row) - &mean;
            covariance.ger(1.0 / (count as f64 - 1.0), &off, &off, 1.0);
        }
        Likeness { mean, covariance, draws: count }
    }

    /// How far these readings are moved [SI], in independent unit normals of what such plants read; nothing if nothing is.
    pub fn in_spreads(&self, moved: &[(GaugeId, f64)]) -> Option<DVector<f64>> {
        let place = |k: usize| moved[k].0.0;
        let part = DMatrix::from_fn(moved.len(), moved.len(), |i, j| self.covariance[(place(i), place(j))]);
        let moved = DVector::from_iterator(moved.len(), moved.iter().map(|(_, by)| *by));
        Cholesky::new(part).filter(|_| !moved.is_empty())?.l_dirty().solve_lower_triangular(&moved)
    }

    /// How odd these readings [SI] are together, as the standard deviations by which a unit normal is as odd: above
    /// 1.64 lie one in twenty sound plants, above 2.33 one in a hundred. Nothing if nothing was read.
    ///
    /// # Source
    /// Squared distance in the covariance of the draws, which is too large on average by (n − 1)/(n − p − 2) where it
    /// is inverted from n draws of p gauges (from memory).
    pub fn oddity(&self, readings: &[(GaugeId, f64)]) -> Option<f64> {
        let count = readings.len();
        let (draws, size) = (self.draws as f64, count as f64);
        if count == 0 || draws <= size + 2.0 {
            return None;
        }
        let place = |k: usize| readings[k].0.0;
        let part = DMatrix::from_fn(count, count, |i, j| self.covariance[(place(i), place(j))]);
        let off = DVector::from_fn(count, |i, _| readings[i].1 - self.mean[place(i)]);
        let distance = off.dot(&Cholesky::new(part)?.solve(&off)) * (draws - size - 2.0) / (draws - 1.0);
        Some(as_unit_normal(distance, count))
    }
}

/// The unit normal that is as odd as a sum of squares of so many unit normals.
///
/// # Source
/// From chi-square to a normal by the cube root, `[AbramowitzStegun]` 26.4.17.
pub fn as_unit_normal(square: f64, degrees: usize) -> f64 {
    let size = degrees as f64;
    let step = 2.0 / (9.0 * size);
    ((square / size).cbrt() - (1.0 - step)) / step.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::expect::quasi_normal;

    /// Plants whose two gauges look at the same thing, give or take a tenth.
    fn twins() -> Likeness {
        let draws: Vec<Vec<f64>> = (0..400)
            .map(|k| {
                let common = quasi_normal(k, 0);
                vec![common + 0.1 * quasi_normal(k, 1), common + 0.1 * quasi_normal(k, 2)]
            })
            .collect();
        Likeness::of(&draws, &[0.01, 0.01])
    }

    #[test]
    fn gauges_that_part_are_odder_than_gauges_that_move_together() {
        let twins = twins();
        let odd = |a: f64, b: f64| twins.oddity(&[(GaugeId(0), a), (GaugeId(1), b)]).expect("two were read");
        assert!(odd(1.0, 1.0) < 1.0, "{}", odd(1.0, 1.0));
        assert!(odd(0.5, -0.5) > 4.0, "{}", odd(0.5, -0.5));
    }

    #[test]
    fn one_in_twenty_of_the_like_is_odder_than_1_64() {
        let twins = twins();
        let odd = (1_000..5_000)
            .filter(|&k| {
                let common = quasi_normal(k, 0);
                let read =
                    [(GaugeId(0), common + 0.1 * quasi_normal(k, 1)), (GaugeId(1), common + 0.1 * quasi_normal(k, 2))];
                twins.oddity(&read).is_some_and(|odd| odd > 1.64)
            })
            .count();
        // 200 of 4,000 with a standard deviation of 14; the covariance itself is from 400 draws, good to 7 %.
        assert!((130..280).contains(&odd), "{odd} of 4,000");
    }

    #[test]
    fn what_twins_do_together_is_little_and_what_parts_them_is_far() {
        let twins = twins();
        let far = |a: f64, b: f64| twins.in_spreads(&[(GaugeId(0), a), (GaugeId(1), b)]).expect("moved").norm();
        assert!((far(1.0, 1.0) - 1.0).abs() < 0.1, "{}", far(1.0, 1.0));
        assert!(far(0.5, -0.5) > 5.0, "{}", far(0.5, -0.5));
        assert_eq!(twins.in_spreads(&[]), None);
    }

    #[test]
    fn nothing_read_is_not_judged() {
        assert_eq!(twins().oddity(&[]), None);
    }
}
