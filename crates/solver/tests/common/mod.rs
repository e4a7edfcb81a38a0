//! A system written as one closure, for the tests.

use solver::System;

/// Gaps and slopes by one closure; sizes are 1 and bounds infinite unless a test says otherwise.
pub struct Problem<F> {
    pub pattern: Vec<(usize, usize)>,
    pub sizes: Vec<f64>,
    pub gap_sizes: Vec<f64>,
    pub bounds: Vec<(f64, f64)>,
    pub law: F,
}

impl<F: Fn(&[f64], &mut [f64], &mut [f64])> Problem<F> {
    pub fn new(n: usize, pattern: Vec<(usize, usize)>, law: F) -> Self {
        let bounds = vec![(f64::NEG_INFINITY, f64::INFINITY); n];
        Problem { pattern, sizes: vec![1.0; n], gap_sizes: vec![1.0; n], bounds, law }
    }
}

impl<F: Fn(&[f64], &mut [f64], &mut [f64])> System for Problem<F> {
    fn len(&self) -> usize {
        self.sizes.len()
    }

    fn pattern(&self) -> &[(usize, usize)] {
        &self.pattern
    }

    fn evaluate(&self, x: &[f64], gaps: &mut [f64], slopes: &mut [f64]) {
        (self.law)(x, gaps, slopes);
    }

    fn gaps(&self, x: &[f64], gaps: &mut [f64]) {
        (self.law)(x, gaps, &mut vec![0.0; self.pattern.len()]);
    }

    fn sizes(&self) -> &[f64] {
        &self.sizes
    }

    fn gap_sizes(&self) -> &[f64] {
        &self.gap_sizes
    }

    fn bounds(&self) -> &[(f64, f64)] {
        &self.bounds
    }
}

/// All (equation, unknown) pairs, row by row.
#[allow(dead_code)]
pub fn full(n: usize) -> Vec<(usize, usize)> {
    (0..n * n).map(|k| (k / n, k % n)).collect()
}

#[track_caller]
#[allow(dead_code)]
pub fn agrees(ours: f64, theirs: f64, within: f64, source: &str) {
    assert!((ours - theirs).abs() <= within, "{source}: {theirs} stated, we compute {ours}");
}
