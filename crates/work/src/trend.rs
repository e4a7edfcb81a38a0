//! What was measured again and again: how it goes on with the hours, and when it comes to a limit.
//!
//! Straight lines over the hours with a conjugate prior, so that two points already say something and nothing too sure: their
//! draws cross the limit, or do not. What was found is the end of one line, and what was left the beginning of the next.

use crate::chance::{Chance, quantile};
use crate::task::Side;

/// Degrees of freedom that the scatter told beforehand is worth [1].
const PRIOR_FREEDOM: f64 = 2.0;
const DRAWS: usize = 400;

/// What was measured at one place from one setting or renewal to the next: hours and values, in order [h, SI].
pub type Span = Vec<(f64, f64)>;

/// Lines through what was measured: every span has its own level, and all have one slope, for the same thing wears the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Trend {
    /// Slopes, a draw each [SI/h].
    slopes: Vec<f64>,
    /// The spans that still go on: their middle [h], and its value, a draw each [SI].
    current: Vec<(f64, Vec<f64>)>,
}

impl Trend {
    /// Through spans that scatter by about `scatter` [SI] when nothing changes; those of `current` still go on. Nothing where
    /// no span has two points at different hours.
    ///
    /// # Source
    /// Normal and inverse gamma laws as conjugate priors of a line, `[Gelman2013]` ch. 14; levels taken apart by each span's
    /// own mean.
    pub fn through(spans: &[Span], current: &[usize], scatter: f64) -> Option<Trend> {
        if scatter <= 0.0 || scatter.is_nan() {
            return None;
        }
        let means: Vec<(f64, f64)> = spans.iter().map(|span| mean(span)).collect();
        let about = || {
            spans
                .iter()
                .zip(&means)
                .flat_map(|(span, (hours, level))| span.iter().map(move |(h, v)| (h - hours, v - level)))
        };
        let spread: f64 = about().map(|(hours, _)| hours * hours).sum();
        if spread <= 0.0 {
            return None;
        }
        let slope = about().map(|(hours, off)| hours * off).sum::<f64>() / spread;
        let misfit: f64 = about().map(|(hours, off)| (off - slope * hours).powi(2)).sum();
        let freedom = about().count() as f64 - spans.iter().filter(|span| !span.is_empty()).count() as f64 - 1.0;
        // Half of twice each: the shape and the scale of the inverse gamma law.
        let shape = 0.5 * (PRIOR_FREEDOM + freedom).max(1.0);
        let scale = 0.5 * (PRIOR_FREEDOM * scatter * scatter + misfit);
        let mut chance = Chance::new(about().count() as u64 + 91);
        let mut slopes = Vec::with_capacity(DRAWS);
        let going_on = current.iter().copied().filter(|place| !spans[*place].is_empty());
        let going_on: Vec<usize> = going_on.collect();
        let mut levels: Vec<(f64, Vec<f64>)> =
            going_on.iter().map(|place| (means[*place].0, Vec::with_capacity(DRAWS))).collect();
        for _ in 0..DRAWS {
            let sigma = (scale / chance.gamma(shape)).sqrt();
            slopes.push(slope + sigma / spread.sqrt() * chance.normal());
            for (place, (_, draws)) in going_on.iter().zip(&mut levels) {
                let count = spans[*place].len() as f64;
                draws.push(means[*place].1 + sigma / count.sqrt() * chance.normal());
            }
        }
        (!levels.is_empty()).then_some(Trend { slopes, current: levels })
    }

    /// Value at these hours, in the mean of what goes on: 5, 50 and 95 % of belief [SI].
    pub fn at(&self, hours: f64) -> [f64; 3] {
        let count = self.current.len() as f64;
        let one = |(draw, slope): (usize, &f64)| {
            self.current.iter().map(|(middle, levels)| levels[draw] + slope * (hours - middle)).sum::<f64>() / count
        };
        let mut values: Vec<f64> = self.slopes.iter().enumerate().map(one).collect();
        values.sort_by(f64::total_cmp);
        [0.05, 0.5, 0.95].map(|share| quantile(&values, share))
    }

    /// Hours at which, draw by draw, the first of what goes on comes to the limit [h]; infinite where none ever does.
    pub fn crossings(&self, limit: f64, side: Side) -> Vec<f64> {
        let sign = if side == Side::Above { 1.0 } else { -1.0 };
        let cross = |(draw, slope): (usize, &f64)| {
            let of = |(middle, levels): &(f64, Vec<f64>)| {
                let (towards, left) = (sign * slope, sign * (limit - levels[draw]));
                if towards > 0.0 { middle + left / towards } else { f64::INFINITY }
            };
            self.current.iter().map(of).fold(f64::INFINITY, f64::min)
        };
        self.slopes.iter().enumerate().map(cross).collect()
    }
}

fn mean(span: &[(f64, f64)]) -> (f64, f64) {
    let count = (span.len() as f64).max(1.0);
    let sum = span.iter().fold((0.0, 0.0), |sum, (hours, value)| (sum.0 + hours, sum.1 + value));
    (sum.0 / count, sum.1 / count)
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
            let trend = Trend::through(&[points], &[0], sigma).expect("a line");
            let [low, _, high] = trend.at(2000.0);
            within += i32::from((low..=high).contains(&(1.0 + slope * 2000.0)));
        }
        let share = f64::from(within) / f64::from(count);
        assert!((0.84..=0.97).contains(&share), "nine in ten: {share}");
    }

    #[test]
    fn a_limit_is_crossed_where_the_line_says_and_never_by_one_that_leads_away() {
        let points = vec![(0.0, 0.0), (100.0, 1.0), (200.0, 2.0), (300.0, 3.0), (400.0, 4.0)];
        let trend = Trend::through(&[points], &[0], 0.01).expect("a line");
        let mut crossings = trend.crossings(8.0, Side::Above);
        crossings.sort_by(f64::total_cmp);
        assert!((quantile(&crossings, 0.5) - 800.0).abs() < 5.0, "{}", quantile(&crossings, 0.5));
        assert!(trend.crossings(-1.0, Side::Below).iter().all(|at| at.is_infinite()));
        assert_eq!(Trend::through(&[vec![(5.0, 1.0), (5.0, 2.0)]], &[0], 1.0), None, "at one hour nothing is a trend");
        assert_eq!(Trend::through(&[vec![(5.0, 1.0)]], &[0], 1.0), None);
    }

    #[test]
    fn what_was_renewed_begins_anew_and_wears_as_the_one_before() {
        // Down by 1 in 100 h, renewed at 300 h: at 350 h half of that is gone, and it is at 0 at 1300 h.
        let before: Span = (0..4).map(|n| (100.0 * f64::from(n), 10.0 - f64::from(n))).collect();
        let trend = Trend::through(&[before, vec![(300.0, 10.0)]], &[1], 0.01).expect("the one before tells");
        assert!((trend.at(350.0)[1] - 9.5).abs() < 0.05, "{:?}", trend.at(350.0));
        let mut crossings = trend.crossings(0.0, Side::Below);
        crossings.sort_by(f64::total_cmp);
        assert!((quantile(&crossings, 0.5) - 1300.0).abs() < 15.0, "{}", quantile(&crossings, 0.5));
    }
}
