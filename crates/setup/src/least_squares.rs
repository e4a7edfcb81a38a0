//! The values that fit more readings than there are unknowns.

use nalgebra::{Cholesky, DMatrix, DVector};

/// Unknowns that enter the readings by less than this, over those that enter most, are not settled [1].
const SETTLED: f64 = 1e-10;

/// One reading: how each unknown enters it, what was read, and the standard uncertainty of that.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// One number for each unknown.
    pub enters: Vec<f64>,
    /// What was read.
    pub read: f64,
    /// Its standard uncertainty, above 0.
    pub doubt: f64,
}

/// What fits best.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The unknowns.
    pub values: Vec<f64>,
    /// The standard uncertainty of each, from the readings' own.
    pub doubts: Vec<f64>,
    /// Readings that are more than the unknowns need.
    pub spare: usize,
    /// How far the readings miss the fit, over how far their uncertainty would have them miss it [1]; 1 where none is spare.
    pub misfit: f64,
}

/// Least squares, each reading weighed by its uncertainty; `None` where the readings do not settle every unknown.
///
/// # Source
/// Normal equations, [Press3] sec. 15.4.
pub fn fit(readings: &[Reading]) -> Option<Fit> {
    let unknowns = readings.first()?.enters.len();
    let weighed = DMatrix::from_fn(readings.len(), unknowns, |row, k| readings[row].enters[k] / readings[row].doubt);
    let read = DVector::from_iterator(readings.len(), readings.iter().map(|one| one.read / one.doubt));
    let normal = weighed.tr_mul(&weighed);
    // Not settled: some mixture of the unknowns enters next to nothing that was read.
    let whole = normal.iter().all(|value| value.is_finite());
    if !whole || normal.symmetric_eigenvalues().min() <= SETTLED * normal.diagonal().max() {
        return None;
    }
    let rooted = Cholesky::new(normal)?;
    let values: Vec<f64> = rooted.solve(&weighed.tr_mul(&read)).iter().copied().collect();
    let misses = readings.iter().map(|Reading { enters, read, doubt }| {
        let fitted: f64 = enters.iter().zip(&values).map(|(a, value)| a * value).sum();
        ((read - fitted) / doubt).powi(2)
    });
    let spare = readings.len().saturating_sub(unknowns);
    let misfit = if spare == 0 { 1.0 } else { (misses.sum::<f64>() / spare as f64).sqrt() };
    let doubts = rooted.inverse().diagonal().iter().map(|variance| variance.max(0.0).sqrt()).collect();
    Some(Fit { values, doubts, spare, misfit })
}

#[cfg(test)]
mod tests {
    use super::{Reading, fit};

    #[test]
    fn a_straight_line_is_that_of_the_closed_formula() {
        let (x, y) = ([1.0, 2.0, 4.0, 7.0], [2.1, 3.9, 8.2, 13.7]);
        let readings: Vec<Reading> =
            x.iter().zip(y).map(|(x, read)| Reading { enters: vec![1.0, *x], read, doubt: 0.5 }).collect();
        let fit = fit(&readings).expect("two unknowns, four readings");
        let (mx, my) = (x.iter().sum::<f64>() / 4.0, y.iter().sum::<f64>() / 4.0);
        let sxx: f64 = x.iter().map(|x| (x - mx).powi(2)).sum();
        let slope = x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my)).sum::<f64>() / sxx;
        assert!((fit.values[1] - slope).abs() < 1e-12 && (fit.values[0] - (my - slope * mx)).abs() < 1e-12);
        assert!((fit.doubts[1] - 0.5 / sxx.sqrt()).abs() < 1e-12);
        let misses: f64 = x.iter().zip(y).map(|(x, y)| (y - my - slope * (x - mx)).powi(2)).sum();
        assert!((fit.misfit - (misses / 0.25 / 2.0).sqrt()).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_settled_is_not_guessed() {
        let same = Reading { enters: vec![1.0, 2.0], read: 3.0, doubt: 1.0 };
        assert_eq!(fit(&[same.clone(), same]), None);
        assert_eq!(fit(&[]), None);
    }
}
