//! The values that fit more readings than there are unknowns.

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
    // Normal matrix with the unit matrix beside it, and the right side.
    let mut rows = vec![vec![0.0; 2 * unknowns]; unknowns];
    let mut right = vec![0.0; unknowns];
    for Reading { enters, read, doubt } in readings {
        let weight = 1.0 / (doubt * doubt);
        for (i, a) in enters.iter().enumerate().filter(|(_, a)| **a != 0.0) {
            enters.iter().enumerate().for_each(|(j, b)| rows[i][j] += weight * a * b);
            right[i] += weight * a * read;
        }
    }
    let scale = rows.iter().enumerate().map(|(i, row)| row[i]).fold(0.0, f64::max);
    (0..unknowns).for_each(|i| rows[i][unknowns + i] = 1.0);
    for column in 0..unknowns {
        let best = (column..unknowns).max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()))?;
        if rows[best][column].abs() <= 1e-10 * scale {
            return None;
        }
        rows.swap(column, best);
        let lead = rows[column][column];
        rows[column].iter_mut().for_each(|value| *value /= lead);
        let pivot = rows[column].clone();
        for row in (0..unknowns).filter(|row| *row != column) {
            let share = rows[row][column];
            rows[row].iter_mut().zip(&pivot).for_each(|(value, above)| *value -= share * above);
        }
    }
    let covariance = |i: usize, j: usize| rows[i][unknowns + j];
    let values: Vec<f64> =
        (0..unknowns).map(|i| (0..unknowns).map(|j| covariance(i, j) * right[j]).sum::<f64>()).collect();
    let misses = readings.iter().map(|Reading { enters, read, doubt }| {
        let fitted: f64 = enters.iter().zip(&values).map(|(a, value)| a * value).sum();
        ((read - fitted) / doubt).powi(2)
    });
    let spare = readings.len().saturating_sub(unknowns);
    let misfit = if spare == 0 { 1.0 } else { (misses.sum::<f64>() / spare as f64).sqrt() };
    let doubts = (0..unknowns).map(|i| covariance(i, i).max(0.0).sqrt()).collect();
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
