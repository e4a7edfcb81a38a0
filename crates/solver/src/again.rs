//! Factors of one pattern, made again for other values with the pivots that were found before.
//!
//! Where pivots come from is dear: every column has to look for what fills in and which row is largest. Values of one plant
//! seldom change so much that another row would do better; where they do, it says so, and the pivots are looked for anew.

use faer::sparse::linalg::lu::simplicial::SimplicialLu;

/// A pivot below this share of the largest entry that it divides is given up. Partial pivoting takes none below 1;
/// sparse codes are content with a tenth to a thousandth (from memory).
const ENOUGH: f64 = 0.01;
/// A pivot below this share of its column is round-off: every digit of it has cancelled.
const LOST: f64 = 16.0 * f64::EPSILON;

/// A triangle by columns: rows and values of each, what is on the diagonal apart.
#[derive(Debug, Default)]
struct Triangle {
    starts: Vec<usize>,
    rows: Vec<usize>,
    values: Vec<f64>,
}

/// The factors of a matrix, rows and columns in the order of their pivots.
#[derive(Debug)]
pub(crate) struct Again {
    /// Of each column of the matrix, the row of each entry and its slot among the values handed in.
    starts: Vec<usize>,
    entries: Vec<(usize, usize)>,
    lower: Triangle,
    upper: Triangle,
    pivots: Vec<f64>,
    /// Place of each row and column of the matrix in the order of the pivots.
    row_place: Vec<usize>,
    column_at: Vec<usize>,
    work: Vec<f64>,
}

impl Again {
    /// From factors just made: their pattern, with the row order's inverse and the column order, and the matrix's columns.
    pub(crate) fn of(
        factors: &SimplicialLu<usize, f64>,
        row_place: &[usize],
        column_at: &[usize],
        (starts, rows): (&[usize], &[usize]),
    ) -> Again {
        let n = row_place.len();
        let (l, u) = (factors.l_factor_unsorted(), factors.u_factor_unsorted());
        let (mut lower, mut upper) = (Triangle::default(), Triangle::default());
        let mut again_starts = vec![0];
        let mut entries = Vec::with_capacity(rows.len());
        for j in 0..n {
            lower.starts.push(lower.rows.len());
            upper.starts.push(upper.rows.len());
            lower.rows.extend(l.row_idx_of_col_raw(j).iter().copied().filter(|row| *row > j));
            upper.rows.extend(u.row_idx_of_col_raw(j).iter().copied().filter(|row| *row < j));
            // In this order each row of a column is complete before it is used.
            let from = upper.starts[j];
            upper.rows[from..].sort_unstable();
            let column = column_at[j];
            entries.extend((starts[column]..starts[column + 1]).map(|slot| (row_place[rows[slot]], slot)));
            again_starts.push(entries.len());
        }
        for triangle in [&mut lower, &mut upper] {
            triangle.starts.push(triangle.rows.len());
            triangle.values = vec![0.0; triangle.rows.len()];
        }
        Again {
            starts: again_starts,
            entries,
            lower,
            upper,
            pivots: vec![0.0; n],
            row_place: row_place.to_vec(),
            column_at: column_at.to_vec(),
            work: vec![0.0; n],
        }
    }

    /// Factors these values; false where a pivot would not do. There are no factors then.
    pub(crate) fn factor(&mut self, values: &[f64]) -> bool {
        let work = &mut self.work;
        for j in 0..self.pivots.len() {
            for &(row, slot) in &self.entries[self.starts[j]..self.starts[j + 1]] {
                work[row] += values[slot];
            }
            let mut largest = 1.0_f64;
            for k in self.upper.starts[j]..self.upper.starts[j + 1] {
                let row = self.upper.rows[k];
                let value = std::mem::take(&mut work[row]);
                self.upper.values[k] = value;
                largest = largest.max(value.abs());
                if value != 0.0 {
                    let below = self.lower.starts[row]..self.lower.starts[row + 1];
                    for (place, factor) in self.lower.rows[below.clone()].iter().zip(&self.lower.values[below]) {
                        work[*place] -= value * factor;
                    }
                }
            }
            let pivot = std::mem::take(&mut work[j]);
            let below = self.lower.starts[j]..self.lower.starts[j + 1];
            let mut most = 0.0_f64;
            for k in below {
                let value = std::mem::take(&mut work[self.lower.rows[k]]);
                most = most.max(value.abs());
                self.lower.values[k] = value / pivot;
            }
            // Written so that NaN counts as lost.
            if !(pivot.abs() >= ENOUGH * most && pivot.abs() > LOST * largest.max(pivot.abs())) {
                work.fill(0.0);
                return false;
            }
            self.pivots[j] = pivot;
        }
        true
    }

    /// Replaces `b` by the `x` of `A x = b`.
    pub(crate) fn solve(&mut self, b: &mut [f64]) {
        let n = self.pivots.len();
        let y = &mut self.work;
        self.row_place.iter().zip(&*b).for_each(|(place, b)| y[*place] = *b);
        for j in 0..n {
            let value = y[j];
            self.lower.column(j).for_each(|(row, factor)| y[row] -= value * factor);
        }
        for j in (0..n).rev() {
            let value = y[j] / self.pivots[j];
            y[j] = value;
            self.upper.column(j).for_each(|(row, factor)| y[row] -= value * factor);
        }
        self.column_at.iter().zip(&*y).for_each(|(column, y)| b[*column] = *y);
        y.fill(0.0);
    }

    /// Replaces `c` by the `y` of `A^T y = c`.
    pub(crate) fn solve_transposed(&mut self, c: &mut [f64]) {
        let n = self.pivots.len();
        let y = &mut self.work;
        self.column_at.iter().zip(y.iter_mut()).for_each(|(column, y)| *y = c[*column]);
        for j in 0..n {
            let above: f64 = self.upper.column(j).map(|(row, factor)| y[row] * factor).sum();
            y[j] = (y[j] - above) / self.pivots[j];
        }
        for j in (0..n).rev() {
            let below: f64 = self.lower.column(j).map(|(row, factor)| y[row] * factor).sum();
            y[j] -= below;
        }
        self.row_place.iter().zip(c.iter_mut()).for_each(|(place, c)| *c = y[*place]);
        y.fill(0.0);
    }
}

impl Triangle {
    /// Rows and values of a column.
    fn column(&self, j: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let range = self.starts[j]..self.starts[j + 1];
        self.rows[range.clone()].iter().copied().zip(self.values[range].iter().copied())
    }
}

#[cfg(test)]
mod tests {
    use crate::sparse::Lu;

    const N: usize = 30;

    /// A ring with a few long ways across; every row and column has its diagonal.
    fn pattern() -> Vec<(usize, usize)> {
        let near = (0..N).flat_map(|i| [(i, i), (i, (i + 1) % N), ((i + 1) % N, i)]);
        near.chain((0..N).step_by(4).map(|i| (i, (7 * i + 3) % N))).collect()
    }

    /// Values that differ by `seed` and place.
    fn values(seed: usize, pattern: &[(usize, usize)]) -> Vec<f64> {
        let mixed = |k: usize| ((k * 7919 + seed * 104_729) % 1009) as f64 / 1009.0;
        pattern.iter().enumerate().map(|(k, (i, j))| mixed(k) - 0.5 + if i == j { 2.0 } else { 0.0 }).collect()
    }

    /// Largest of what is left of `A x - b`, or of `A^T x - b`.
    fn left(pattern: &[(usize, usize)], values: &[f64], x: &[f64], b: &[f64], transposed: bool) -> f64 {
        let mut gaps: Vec<f64> = b.iter().map(|b| -b).collect();
        for (&(i, j), value) in pattern.iter().zip(values) {
            let (row, column) = if transposed { (j, i) } else { (i, j) };
            gaps[row] += value * x[column];
        }
        gaps.iter().fold(0.0, |worst, gap| worst.max(gap.abs()))
    }

    #[test]
    fn factors_made_again_solve_as_fresh_ones_do() {
        let pattern = pattern();
        let mut lu = Lu::new(N, &pattern);
        let b: Vec<f64> = (0..N).map(|i| (i as f64 * 0.7).sin()).collect();
        for seed in 0..20 {
            let values = values(seed, &pattern);
            assert!(lu.factor(&values).is_ok());
            for transposed in [false, true] {
                let mut x = b.clone();
                if transposed {
                    lu.solve_transposed(&mut x);
                } else {
                    lu.solve(&mut x);
                }
                let left = left(&pattern, &values, &x, &b, transposed);
                assert!(left < 1e-11, "{left:e} with {seed}");
            }
        }
    }

    #[test]
    fn pivots_that_no_longer_do_are_looked_for_anew_and_what_has_none_is_flat() {
        let pattern = [(0, 0), (0, 1), (1, 0), (1, 1)];
        let mut lu = Lu::new(2, &pattern);
        for values in [[1.0, 0.2, 0.1, 1.0], [1e-12, 1.0, 1.0, 1e-12], [1.0, 0.2, 0.1, 1.0]] {
            assert!(lu.factor(&values).is_ok());
            let mut x = [1.0, 2.0];
            lu.solve(&mut x);
            let left = left(&pattern, &values, &x, &[1.0, 2.0], false);
            assert!(left < 1e-12, "{left:e} with {values:?}");
        }
        assert!(lu.factor(&[1.0, 2.0, 2.0, 4.0]).is_err());
        let mut none = [1.0, 1.0];
        lu.solve(&mut none);
        assert!(none.iter().all(|x| x.is_nan()));
        assert!(lu.factor(&[1.0, 0.2, 0.1, 1.0]).is_ok());
    }
}
