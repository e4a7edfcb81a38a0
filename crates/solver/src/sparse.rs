//! Sparse LU with a fixed pattern; the one file that knows the linear algebra library.
//!
//! Left-looking factorisation with partial pivoting `[Gilbert1988]` in a column order found once `[Davis2004]`; made again with
//! the same pivots ([`Again`]) as long as they will do. Rows and columns are brought to unit size first, so that pivots can be judged against round-off whatever the units.

use crate::again::Again;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::perm::PermRef;
use faer::sparse::linalg::colamd;
use faer::sparse::linalg::lu::simplicial::{
    SimplicialLu, factorize_simplicial_numeric_lu, factorize_simplicial_numeric_lu_scratch,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};

/// A pivot below this share of its column is round-off: every digit of it has cancelled.
const LOST: f64 = 16.0 * f64::EPSILON;

/// The matrix has no inverse, or none that survives rounding.
pub(crate) struct Flat;

/// A square sparse matrix and its factors; all work space is kept from one factorisation to the next.
pub(crate) struct Lu {
    /// Place in `values` of each entry handed in.
    slots: Vec<usize>,
    starts: Vec<usize>,
    rows: Vec<usize>,
    values: Vec<f64>,
    row_scale: Vec<f64>,
    column_scale: Vec<f64>,
    column_order: [Vec<usize>; 2],
    row_order: [Vec<usize>; 2],
    factors: SimplicialLu<usize, f64>,
    memory: MemBuffer,
    /// The factors, to be made again with the pivots of those above.
    again: Option<Again>,
    ready: bool,
}

impl Lu {
    /// Orders the columns of an `n` by `n` matrix with entries at these (row, column) places, duplicates allowed.
    pub(crate) fn new(n: usize, pattern: &[(usize, usize)]) -> Lu {
        let mut entries: Vec<usize> = (0..pattern.len()).collect();
        entries.sort_by_key(|&k| (pattern[k].1, pattern[k].0));
        let (mut slots, mut starts, mut rows) = (vec![0; pattern.len()], vec![0; n + 1], Vec::new());
        let mut last = None;
        for k in entries {
            let (row, column) = pattern[k];
            if last != Some((row, column)) {
                last = Some((row, column));
                rows.push(row);
                starts[column + 1] += 1;
            }
            slots[k] = rows.len() - 1;
        }
        for column in 0..n {
            starts[column + 1] += starts[column];
        }
        let column_order = order(n, &starts, &rows);
        let scratch = factorize_simplicial_numeric_lu_scratch::<usize, f64>(n, n);
        Lu {
            values: vec![0.0; rows.len()],
            row_scale: vec![0.0; n],
            column_scale: vec![0.0; n],
            column_order,
            row_order: [vec![0; n], vec![0; n]],
            factors: SimplicialLu::new(),
            memory: MemBuffer::new(scratch),
            again: None,
            ready: false,
            slots,
            starts,
            rows,
        }
    }

    /// Factors the matrix with these entries, in the order of the pattern; they must be finite.
    pub(crate) fn factor(&mut self, entries: &[f64]) -> Result<(), Flat> {
        self.ready = false;
        self.values.fill(0.0);
        for (&slot, &entry) in self.slots.iter().zip(entries) {
            self.values[slot] += entry;
        }
        self.equilibrate()?;
        if self.again.as_mut().is_some_and(|again| again.factor(&self.values)) {
            self.ready = true;
            return Ok(());
        }
        let n = self.row_scale.len();
        let matrix = SparseColMatRef::new(
            SymbolicSparseColMatRef::new_checked(n, n, &self.starts, None, &self.rows),
            &self.values,
        );
        let [row_order, row_order_inverse] = &mut self.row_order;
        let [column_order, column_order_inverse] = &self.column_order;
        factorize_simplicial_numeric_lu(
            row_order,
            row_order_inverse,
            &mut self.factors,
            matrix,
            PermRef::new_checked(column_order, column_order_inverse, n),
            MemStack::new(&mut self.memory),
        )
        .map_err(|_| Flat)?;
        self.judge_pivots()?;
        let matrix = (self.starts.as_slice(), self.rows.as_slice());
        let mut again = Again::of(&self.factors, &self.row_order[1], &self.column_order[0], matrix);
        self.ready = again.factor(&self.values);
        self.again = Some(again);
        if self.ready { Ok(()) } else { Err(Flat) }
    }

    /// Drops the factors, so that a solve gives NaN rather than an answer of another point.
    pub(crate) fn forget(&mut self) {
        self.ready = false;
    }

    /// Drops the pivots too: what is factored next is factored as by a new one.
    pub(crate) fn begin_anew(&mut self) {
        self.ready = false;
        self.again = None;
    }

    /// Replaces `b` by the `x` of `A x = b`; by NaN when there are no factors.
    pub(crate) fn solve(&mut self, b: &mut [f64]) {
        self.run(b, false);
    }

    /// Replaces `c` by the `y` of `A^T y = c`; by NaN when there are no factors.
    pub(crate) fn solve_transposed(&mut self, c: &mut [f64]) {
        self.run(c, true);
    }

    fn run(&mut self, b: &mut [f64], transposed: bool) {
        let Some(factors) = self.again.as_mut().filter(|_| self.ready) else {
            b.fill(f64::NAN);
            return;
        };
        let (before, after) =
            if transposed { (&self.column_scale, &self.row_scale) } else { (&self.row_scale, &self.column_scale) };
        b.iter_mut().zip(before).for_each(|(b, scale)| *b *= scale);
        if transposed {
            factors.solve_transposed(b);
        } else {
            factors.solve(b);
        }
        b.iter_mut().zip(after).for_each(|(b, scale)| *b *= scale);
    }

    /// Scales rows, then columns, to a largest entry of 1.
    fn equilibrate(&mut self) -> Result<(), Flat> {
        self.row_scale.fill(0.0);
        for (&row, value) in self.rows.iter().zip(&self.values) {
            self.row_scale[row] = self.row_scale[row].max(value.abs());
        }
        invert(&mut self.row_scale)?;
        for column in 0..self.column_scale.len() {
            let range = self.starts[column]..self.starts[column + 1];
            let scaled = range.clone().map(|k| (self.values[k] * self.row_scale[self.rows[k]]).abs());
            self.column_scale[column] = scaled.fold(0.0, f64::max);
        }
        invert(&mut self.column_scale)?;
        for column in 0..self.column_scale.len() {
            for k in self.starts[column]..self.starts[column + 1] {
                self.values[k] *= self.row_scale[self.rows[k]] * self.column_scale[column];
            }
        }
        Ok(())
    }

    fn judge_pivots(&self) -> Result<(), Flat> {
        let upper = self.factors.u_factor_unsorted();
        for column in 0..self.column_scale.len() {
            let entries = upper.val_of_col(column);
            let largest = entries.iter().fold(1.0, |largest: f64, entry| largest.max(entry.abs()));
            // The pivot is stored last. Written so that NaN counts as lost.
            if !entries.last().is_some_and(|pivot| pivot.abs() > LOST * largest) {
                return Err(Flat);
            }
        }
        Ok(())
    }
}

fn order(n: usize, starts: &[usize], rows: &[usize]) -> [Vec<usize>; 2] {
    let matrix = SymbolicSparseColMatRef::new_checked(n, n, starts, None, rows);
    let mut memory = MemBuffer::new(colamd::order_scratch::<usize>(n, n, rows.len()));
    let mut order = [vec![0; n], vec![0; n]];
    let [forward, inverse] = &mut order;
    match colamd::order(forward, inverse, matrix, colamd::Control::default(), MemStack::new(&mut memory)) {
        Ok(()) => order,
        // Only ever too large a matrix; the natural order is slower, not wrong.
        Err(_) => [(0..n).collect(), (0..n).collect()],
    }
}

fn invert(scales: &mut [f64]) -> Result<(), Flat> {
    for scale in scales {
        *scale = scale.recip();
        if !scale.is_finite() {
            return Err(Flat);
        }
    }
    Ok(())
}
