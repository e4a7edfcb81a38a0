//! How many will fail: a Poisson stream whose rate is known within a belief.
//!
//! Given its rate, the number of failures of what is renewed as it fails is Poisson distributed. The rate itself is believed
//! to lie within a lognormal's 5 and 95 %; in its place stands the gamma distribution of the same mean and variance
//! (`[Rates]` "From a rate to a prior" 6), and then the number is negative binomial: the rate is integrated out, and what is
//! not known makes the tail longer. A rate without a width leaves the Poisson distribution.

/// Standard deviations between 5 and 95 % of a normal distribution.
const WIDTH: f64 = 3.289_707_253_902_945;
/// Narrower than this a rate is taken as known: the gamma's shape would be past 10⁸.
const KNOWN: f64 = 1e-4;
/// Chance that is left out at the far end.
const TAIL: f64 = 1e-12;
/// Numbers beyond this are not looked at: no vessel carries so many.
const MOST: usize = 20_000;

/// How many of one way to fail.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Count {
    /// Shape of the gamma distribution of its rate [1]; infinite where the rate is known.
    pub shape: f64,
    /// Number expected [1].
    pub mean: f64,
}

impl Count {
    /// In an exposure, of a rate believed to lie within 5, 50 and 95 % [1/exposure].
    pub fn of(belief: [f64; 3], exposure: f64) -> Count {
        let [low, middle, high] = belief;
        let sigma = if low > 0.0 { (high / low).ln() / WIDTH } else { 0.0 };
        let variance = sigma * sigma;
        let shape = if sigma < KNOWN { f64::INFINITY } else { 1.0 / variance.exp_m1() };
        Count { shape, mean: middle.max(0.0) * (variance / 2.0).exp() * exposure.max(0.0) }
    }

    /// The chances of 0, 1, 2, … failures, but for less than 10⁻¹² at the far end.
    ///
    /// # Source
    /// Negative binomial as the gamma mixture of Poisson distributions: `[Greenwood20]`; Poisson where the shape is infinite.
    /// Held against scipy in the tests.
    pub fn chances(&self) -> Vec<f64> {
        let Count { shape, mean } = *self;
        if mean <= 0.0 {
            return vec![1.0];
        }
        // In logarithms: the chance of none can be less than a number holds.
        let (mut ln, per_step) = if shape.is_infinite() {
            (-mean, mean.ln())
        } else {
            (-shape * (mean / shape).ln_1p(), -(shape / mean).ln_1p())
        };
        let mut chances = Vec::new();
        let mut sum = 0.0;
        for k in 0..MOST {
            chances.push(ln.exp());
            sum += ln.exp();
            if sum > 1.0 - TAIL {
                break;
            }
            let k = k as f64;
            ln += per_step - (k + 1.0).ln() + if shape.is_infinite() { 0.0 } else { (shape + k).ln() };
        }
        chances
    }

    /// Chance of more than so many.
    pub fn more_than(&self, stock: usize) -> f64 {
        let chances = self.chances();
        // From the small end, so that a small chance keeps its digits; what was cut off is below them.
        chances.iter().skip(stock + 1).rev().fold(0.0, |sum, chance| sum + chance)
    }
}
