//! What was measured again and again: how it goes on with the hours, and when it comes to a limit.
//!
//! A straight line over the hours with a conjugate prior, so that two points already say something and nothing too sure: its
//! draws cross the limit, or do not.

use crate::chance::{Chance, quantile};
use crate::task::Side;

/// Points at least before anything is foreseen.
const LEAST: usize = 2;
/// Degrees of freedom that the scatter told beforehand is worth [1].
const PRIOR_FREEDOM: f64 = 2.0;
const DRAWS: usize = 400;

/// A line through what was measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Trend {
    /// Hours and values [h, SI].
    pub points: Vec<(f64, f64)>,
    /// Value where the points are in the middle, and slope [SI, SI/h]: a draw each.
    lines: Vec<(f64, f64)>,
    middle: f64,
}

impl Trend {
    /// Through points (hours [h], value [SI]) that scatter by about `scatter` [SI] when nothing changes; nothing with fewer
    /// than two at different hours.
    ///
    /// # Source
    /// Normal and inverse gamma laws as conjugate priors of a line, `[Gelman2013]` ch. 14.
    pub fn through(points: &[(f64, f64)], scatter: f64) -> Option<Trend> {
        let count = points.len() as f64;
        if points.len() < LEAST || scatter <= 0.0 || scatter.is_nan() {
            return None;
        }
        let middle = points.iter().map(|(hours, _)| hours).sum::<f64>() / count;
        let level = points.iter().map(|(_, value)| value).sum::<f64>() / count;
        let spread: f64 = points.iter().map(|(hours, _)| (hours - middle).powi(2)).sum();
        if spread <= 0.0 {
            return None;
        }
        let slope = points.iter().map(|(hours, value)| (hours - middle) * (value - level)).sum::<f64>() / spread;
        let off = |(hours, value): &(f64, f64)| (value - level - slope * (hours - middle)).powi(2);
        let misfit: f64 = points.iter().map(off).sum();
        // Half of twice each: the shape and the scale of the inverse gamma law.
        let shape = 0.5 * (PRIOR_FREEDOM + count - 2.0).max(1.0);
        let scale = 0.5 * (PRIOR_FREEDOM * scatter * scatter + misfit);
        let mut chance = Chance::new(points.len() as u64 + 91);
        let lines = (0..DRAWS)
            .map(|_| {
                let sigma = (scale / chance.gamma(shape)).sqrt();
                (level + sigma / count.sqrt() * chance.normal(), slope + sigma / spread.sqrt() * chance.normal())
            })
            .collect();
        Some(Trend { points: points.to_vec(), lines, middle })
    }

    /// Value at these hours: 5, 50 and 95 % of belief [SI].
    pub fn at(&self, hours: f64) -> [f64; 3] {
        let mut values: Vec<f64> =
            self.lines.iter().map(|(level, slope)| level + slope * (hours - self.middle)).collect();
        values.sort_by(f64::total_cmp);
        [0.05, 0.5, 0.95].map(|share| quantile(&values, share))
    }

    /// Hours at which each draw comes to the limit, in no order [h]; infinite where it never does.
    pub fn crossings(&self, limit: f64, side: Side) -> Vec<f64> {
        let sign = if side == Side::Above { 1.0 } else { -1.0 };
        let cross = |(level, slope): &(f64, f64)| {
            let (towards, left) = (sign * slope, sign * (limit - level));
            if towards > 0.0 { self.middle + left / towards } else { f64::INFINITY }
        };
        self.lines.iter().map(cross).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_found_and_its_doubt_covers_the_truth_as_often_as_it_says() {
        // Drawn lines with drawn scatter: what is held to is the draw itself.
        let mut chance = Chance::new(8);
        let (mut within, count) = (0, 400);
        for _ in 0..count {
            let (slope, sigma) = (0.002 * chance.normal(), 0.05);
            let points: Vec<(f64, f64)> = (0..6)
                .map(|n| (300.0 * f64::from(n), 1.0 + slope * 300.0 * f64::from(n) + sigma * chance.normal()))
                .collect();
            let trend = Trend::through(&points, sigma).expect("a line");
            let [low, _, high] = trend.at(2000.0);
            within += i32::from((low..=high).contains(&(1.0 + slope * 2000.0)));
        }
        let share = f64::from(within) / f64::from(count);
        assert!((0.84..=0.97).contains(&share), "nine in ten: {share}");
    }

    #[test]
    fn a_limit_is_crossed_where_the_line_says_and_never_by_one_that_leads_away() {
        let points = [(0.0, 0.0), (100.0, 1.0), (200.0, 2.0), (300.0, 3.0), (400.0, 4.0)];
        let trend = Trend::through(&points, 0.01).expect("a line");
        let mut crossings = trend.crossings(8.0, Side::Above);
        crossings.sort_by(f64::total_cmp);
        assert!((quantile(&crossings, 0.5) - 800.0).abs() < 5.0, "{}", quantile(&crossings, 0.5));
        assert!(trend.crossings(-1.0, Side::Below).iter().all(|at| at.is_infinite()));
        assert_eq!(Trend::through(&[(5.0, 1.0), (5.0, 2.0)], 1.0), None, "at one hour nothing is a trend");
        assert_eq!(Trend::through(&points[..1], 1.0), None);
    }
}
