//! Fits with what was believed before: damped least squares of a few unknowns.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Unknowns of the largest fit.
pub(crate) type Unknowns<const N: usize> = [f64; N];

/// What came out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fit<const N: usize> {
    /// The unknowns.
    pub at: Unknowns<N>,
    /// Their covariance.
    pub spread: [[f64; N]; N],
    /// Weighted squares of all misses, those from what was believed too.
    pub misses: f64,
    /// Standard uncertainties of what was believed.
    believed: Unknowns<N>,
}

impl<const N: usize> Fit<N> {
    /// Standard uncertainty of something that changes with the unknowns by those slopes.
    pub fn sigma(&self, slopes: &Unknowns<N>) -> f64 {
        let moved = self.moved(slopes);
        (0..N).map(|i| slopes[i] * moved[i]).sum::<f64>().max(0.0).sqrt()
    }

    /// The part of it that what was believed brings; the rest comes of the measurements.
    pub fn of_belief(&self, slopes: &Unknowns<N>) -> f64 {
        let moved = self.moved(slopes);
        (0..N).map(|i| (moved[i] / self.believed[i]).powi(2)).sum::<f64>().sqrt()
    }

    fn moved(&self, slopes: &Unknowns<N>) -> Unknowns<N> {
        std::array::from_fn(|i| (0..N).map(|j| self.spread[i][j] * slopes[j]).sum())
    }
}

/// Unknowns at which the misses, each over its standard uncertainty, are least.
///
/// * `believed`: each unknown's value and standard uncertainty beforehand; `start`: where the search begins
/// * `misses` pushes a miss for each measurement, (predicted − read) / uncertainty
///
/// # Source
/// `[Marquardt1963]`; what was believed counts as one measurement more of each unknown, [Gelman2013] 14.8.
pub(crate) fn fit<const N: usize>(
    believed: [(f64, f64); N],
    start: Unknowns<N>,
    misses: impl Fn(&Unknowns<N>, &mut Vec<f64>),
) -> Option<Fit<N>> {
    let all = |at: &Unknowns<N>| {
        let mut each: Vec<f64> = at.iter().zip(believed).map(|(at, (middle, sigma))| (at - middle) / sigma).collect();
        misses(at, &mut each);
        each
    };
    let squares = |each: &[f64]| each.iter().map(|miss| miss * miss).sum::<f64>();
    let mut at = start;
    let mut now = all(&at);
    let mut damping = 1e-3;
    for _ in 0..40 {
        let (normal, slope) = normal(&at, &now, &believed, &all);
        let mut damped = normal;
        (0..N).for_each(|i| damped[i][i] *= 1.0 + damping);
        let step = rooted(&damped)?.solve(&DVector::from_row_slice(&slope));
        let next: Unknowns<N> = std::array::from_fn(|i| at[i] - step[i]);
        let then = all(&next);
        let (before, after) = (squares(&now), squares(&then));
        if after.is_finite() && after <= before {
            (at, now) = (next, then);
            damping *= 0.1;
            if before - after <= 1e-9 * (1.0 + before) {
                break;
            }
        } else {
            damping *= 10.0;
            if damping > 1e9 {
                break;
            }
        }
    }
    let (normal, _) = normal(&at, &now, &believed, &all);
    let misses = squares(&now);
    (misses.is_finite()).then_some(())?;
    Some(Fit { at, spread: inverse(&rooted(&normal)?), misses, believed: believed.map(|(_, sigma)| sigma) })
}

/// Products of the slopes of the misses with each other, and with the misses.
fn normal<const N: usize>(
    at: &Unknowns<N>,
    now: &[f64],
    believed: &[(f64, f64); N],
    all: &impl Fn(&Unknowns<N>) -> Vec<f64>,
) -> ([[f64; N]; N], Unknowns<N>) {
    let slopes: [Vec<f64>; N] = std::array::from_fn(|of| {
        let step = 1e-5 * believed[of].1;
        let mut moved = *at;
        moved[of] += step;
        all(&moved).iter().zip(now).map(|(moved, now)| (moved - now) / step).collect()
    });
    let product = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let normal = std::array::from_fn(|i| std::array::from_fn(|j| product(&slopes[i], &slopes[j])));
    (normal, std::array::from_fn(|i| product(&slopes[i], now)))
}

/// A small positive matrix as its roots, which give its inverse and its determinant; nothing where it is none.
pub(crate) fn rooted<const N: usize>(of: &[[f64; N]; N]) -> Option<Cholesky<f64, Dyn>> {
    Cholesky::new(DMatrix::from_fn(N, N, |i, j| of[i][j]))
}

/// The inverse.
pub(crate) fn inverse<const N: usize>(rooted: &Cholesky<f64, Dyn>) -> [[f64; N]; N] {
    let inverse = rooted.inverse();
    std::array::from_fn(|i| std::array::from_fn(|j| inverse[(i, j)]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_straight_line_comes_out_as_by_the_textbook() {
        // Points by hand: y = 2 + 3 x with misses +1, −2, +1 that are square to both columns: the line stays.
        let points = [(0.0, 3.0), (1.0, 3.0), (2.0, 9.0)];
        let found = fit([(0.0, 1e6), (0.0, 1e6)], [1.0, 1.0], |at, misses| {
            misses.extend(points.iter().map(|(x, y)| at[0] + at[1] * x - y));
        });
        let found = found.expect("a line");
        assert!((found.at[0] - 2.0).abs() < 1e-6 && (found.at[1] - 3.0).abs() < 1e-6, "{:?}", found.at);
        // Σx = 3, Σx² = 5, n = 3: determinant 6, variances 5/6 and 3/6.
        assert!(
            (found.sigma(&[1.0, 0.0]).powi(2) - 5.0 / 6.0).abs() < 1e-4
                && (found.sigma(&[0.0, 1.0]).powi(2) - 0.5).abs() < 1e-4
        );
        assert!((found.misses - 6.0).abs() < 1e-3);
    }

    #[test]
    fn what_was_believed_is_weighed_as_a_measurement() {
        let found = fit([(10.0, 1.0)], [0.0], |at, misses| misses.push((at[0] - 16.0) / 2.0)).expect("a value");
        // 10 ± 1 with 16 ± 2: (10 + 16/4) / (1 + 1/4) = 11.2.
        assert!((found.at[0] - 11.2).abs() < 1e-6, "{:?}", found.at);
        // Their weights 1 and 1/4 share the uncertainty: √(1/1.25), of which what was believed brings 0.8 · 1.
        assert!((found.sigma(&[1.0]) - 0.8f64.sqrt()).abs() < 1e-6);
        assert!((found.of_belief(&[1.0]) - 0.8).abs() < 1e-6);
    }
}
