//! A straight line through values with their weights: how they go, how sure that is, and when a limit is reached.
//!
//! # Source
//! Weighted least squares, variance of the slope and the band of a further value as in any book of statistics; held against
//! the rows `smp.trend` of `reference/check-values.toml`.

/// A straight line through points.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Trend {
    /// Weighted mean of the places.
    middle: f64,
    /// Value there.
    value: f64,
    /// How steep.
    pub slope: f64,
    /// Sum of the weights.
    weights: f64,
    /// Weighted sum of squared distances from the middle.
    spread: f64,
    /// Variance of a point of weight 1 about the line.
    variance: f64,
    /// Points less two.
    freedom: usize,
}

impl Trend {
    /// The line through points (place, value, weight); nothing of fewer than three, of points at one place, or of what is no
    /// number. A weight is the inverse of a variance, up to a factor common to all; points of no weight are left out.
    pub fn through(points: &[(f64, f64, f64)]) -> Option<Trend> {
        let points: Vec<_> = points.iter().filter(|(_, _, weight)| *weight > 0.0).collect();
        let freedom = points.len().checked_sub(2).filter(|freedom| *freedom > 0)?;
        let sum = |of: &dyn Fn(f64, f64) -> f64| points.iter().map(|(x, y, weight)| weight * of(*x, *y)).sum::<f64>();
        let weights = sum(&|_, _| 1.0);
        let (middle, value) = (sum(&|x, _| x) / weights, sum(&|_, y| y) / weights);
        let spread = sum(&|x, _| (x - middle).powi(2));
        let slope = sum(&|x, y| (x - middle) * (y - value)) / spread;
        let variance = sum(&|x, y| (y - value - slope * (x - middle)).powi(2)) / freedom as f64;
        let all = Trend { middle, value, slope, weights, spread, variance, freedom };
        [slope, value, variance].iter().all(|number| number.is_finite()).then_some(all)
    }

    /// Standard error of the slope.
    pub fn slope_error(&self) -> f64 {
        (self.variance / self.spread).sqrt()
    }

    /// Does it go up or down for certain, 19 times in 20?
    pub fn goes(&self) -> bool {
        self.slope.abs() > student_975(self.freedom) * self.slope_error()
    }

    /// The value on the line.
    pub fn at(&self, place: f64) -> f64 {
        self.value + self.slope * (place - self.middle)
    }

    /// Half the band in which a further point of this weight lies 19 times in 20.
    pub fn band(&self, place: f64, weight: f64) -> f64 {
        let of_line = 1.0 / self.weights + (place - self.middle).powi(2) / self.spread;
        student_975(self.freedom) * (self.variance * (of_line + 1.0 / weight)).sqrt()
    }

    /// Where it reaches a limit from `from` on, and the places where the upper and the lower edge of the band of further points
    /// of this weight do: earliest, on the line, latest. Looks no further than `to`; what is not reached by then is nothing.
    pub fn reaches(&self, limit: f64, weight: f64, from: f64, to: f64) -> [Option<f64>; 3] {
        const STEPS: usize = 400;
        [1.0, 0.0, -1.0].map(|side| {
            let over = |place: f64| self.at(place) + side * self.band(place, weight) - limit;
            if over(from) >= 0.0 {
                return Some(from);
            }
            // The edges bend: the first of many steps that is over, then halved.
            let step = (to - from) / STEPS as f64;
            let k = (1..=STEPS).find(|k| over(from + step * *k as f64) >= 0.0)?;
            let (mut low, mut high) = (from + step * (k - 1) as f64, from + step * k as f64);
            for _ in 0..50 {
                let half = f64::midpoint(low, high);
                if over(half) >= 0.0 { high = half } else { low = half }
            }
            Some(high)
        })
    }
}

/// Student's t below which 97.5 % lie, by degrees of freedom: a table to ten, then the expansion in powers of their inverse.
///
/// # Source
/// Percentage points of the t distribution as printed in every table of statistics; [AbramowitzStegun] 26.7.5 beyond.
pub fn student_975(freedom: usize) -> f64 {
    const TABLE: [f64; 10] = [12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228];
    if freedom == 0 {
        return f64::INFINITY;
    }
    TABLE.get(freedom - 1).copied().unwrap_or_else(|| {
        let (z, n) = (crate::figure::SIGMAS_TO_95, freedom as f64);
        z + (z.powi(3) + z) / (4.0 * n)
            + (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / (96.0 * n * n)
            + (3.0 * z.powi(7) + 19.0 * z.powi(5) + 17.0 * z.powi(3) - 15.0 * z) / (384.0 * n.powi(3))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows `smp.trend.*` of reference/check-values.toml: iron of five samples.
    const IRON: [(f64, f64, f64); 5] =
        [(100.0, 9.0, 1.0), (200.0, 13.0, 1.0), (300.0, 16.0, 1.0), (400.0, 22.0, 1.0), (500.0, 24.0, 1.0)];

    #[test]
    fn the_line_its_error_and_where_it_leads_are_those_worked_out_elsewhere() {
        let trend = Trend::through(&IRON).expect("five points");
        assert!((trend.slope * 100.0 - 3.9).abs() < 1e-9);
        assert!((trend.slope_error() * 100.0 - 0.3).abs() < 1e-6);
        assert!((trend.at(700.0) - 32.4).abs() < 1e-9);
        assert!(trend.goes());
    }

    #[test]
    fn tabled_values_of_t() {
        // Tables of statistics: 2.179 at 12, 2.086 at 20, 2.042 at 30, 1.980 at 120.
        for (freedom, printed) in [(12, 2.179), (20, 2.086), (30, 2.042), (120, 1.980)] {
            assert!((student_975(freedom) - printed).abs() < 1e-3, "{freedom}: {}", student_975(freedom));
        }
    }

    #[test]
    fn a_limit_is_reached_between_the_edges_of_the_band_and_a_far_one_never() {
        let trend = Trend::through(&IRON).expect("five points");
        let [early, line, late] = trend.reaches(60.0, 1.0, 500.0, 5_000.0);
        let line = line.expect("reached");
        assert!((line - (300.0 + (60.0 - 16.8) / 0.039)).abs() < 1e-6, "{line}");
        assert!(early.expect("early") < line && late.expect("late") > line);
        assert_eq!(trend.reaches(1e6, 1.0, 500.0, 5_000.0), [None; 3]);
    }

    #[test]
    fn what_has_less_weight_moves_it_less_and_too_little_gives_none() {
        let mut bent = IRON;
        bent[4].1 = 80.0;
        let steep = Trend::through(&bent).expect("five points").slope;
        bent[4].2 = 0.001;
        assert!(Trend::through(&bent).expect("five points").slope < steep / 2.0);
        assert_eq!(Trend::through(&IRON[..2]), None);
        assert_eq!(Trend::through(&[(1.0, 1.0, 1.0), (1.0, 2.0, 1.0), (1.0, 3.0, 1.0)]), None);
    }
}
