//! Our sparse factorisation against a dense one, on the plant's own matrix in the same run; and a small pipe network.

#![allow(missing_docs)] // criterion writes functions of its own

use criterion::{Criterion, criterion_group, criterion_main};
use model::steady::Model;
use nalgebra::{DMatrix, DVector};
use parts::laws::Point;
use physics::number::{Dual, Number};
use solver::{Options, Solver, System};
use std::hint::black_box;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");

/// A matrix and a right-hand side that no longer move: what is left is the linear algebra.
struct Frozen {
    pattern: Vec<(usize, usize)>,
    slopes: Vec<f64>,
    gaps: Vec<f64>,
    sizes: Vec<f64>,
    gap_sizes: Vec<f64>,
    bounds: Vec<(f64, f64)>,
}

impl Frozen {
    fn of(system: &impl System, x: &[f64]) -> Frozen {
        let (mut gaps, mut slopes) = (vec![0.0; system.len()], vec![0.0; system.pattern().len()]);
        system.evaluate(x, &mut gaps, &mut slopes);
        Frozen {
            pattern: system.pattern().to_vec(),
            slopes,
            gaps: system.gap_sizes().to_vec(),
            sizes: system.sizes().to_vec(),
            gap_sizes: system.gap_sizes().to_vec(),
            bounds: system.bounds().to_vec(),
        }
    }

    fn dense(&self) -> DMatrix<f64> {
        let mut dense = DMatrix::zeros(self.gaps.len(), self.gaps.len());
        for (&(row, column), slope) in self.pattern.iter().zip(&self.slopes) {
            // Brought to unit size first, as the sparse one is.
            dense[(row, column)] += slope * self.sizes[column] / self.gap_sizes[row];
        }
        dense
    }
}

impl System for Frozen {
    fn len(&self) -> usize {
        self.gaps.len()
    }
    fn pattern(&self) -> &[(usize, usize)] {
        &self.pattern
    }
    fn evaluate(&self, _: &[f64], gaps: &mut [f64], slopes: &mut [f64]) {
        gaps.copy_from_slice(&self.gaps);
        slopes.copy_from_slice(&self.slopes);
    }
    fn gaps(&self, _: &[f64], gaps: &mut [f64]) {
        gaps.copy_from_slice(&self.gaps);
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

fn factorisation(criterion: &mut Criterion) {
    let plant = plant::reader::read(MARRAM).0.expect("a plant");
    let mut model = Model::new(&plant).expect("a sound structure");
    let figures = model.figures.clone();
    let cruise = Point {
        speed: 0.8 * plant.rated_speed,
        load: 1.0,
        sea: 288.15,
        air: 291.15,
        atmosphere: 101_325.0,
        pitch: 1.0,
    };
    let state = model.solve(&figures, &cruise, None).expect("a state");
    let balance = model.balance(&figures, cruise);
    let frozen = Frozen::of(&balance, &state.x);
    let mut solver = Solver::new(&frozen).expect("sound");
    let (dense, right) = (frozen.dense(), DVector::from_element(frozen.len(), 1.0));
    println!("{} unknowns, {} entries stated", frozen.len(), frozen.pattern.len());

    criterion.bench_function("plant's matrix, sparse: factor and solve", |bencher| {
        bencher.iter(|| solver.factor(black_box(&frozen), &state.x).expect("regular"));
    });
    criterion.bench_function("plant's matrix, dense: factor and solve", |bencher| {
        bencher.iter(|| black_box(&dense).clone().lu().solve(&right).expect("regular"));
    });
    let (mut gaps, mut slopes) = (vec![0.0; frozen.len()], vec![0.0; frozen.pattern.len()]);
    criterion.bench_function("plant's laws with exact slopes", |bencher| {
        bencher.iter(|| balance.evaluate(black_box(&state.x), &mut gaps, &mut slopes));
    });
    let mut costate = vec![1.0; frozen.len()];
    criterion.bench_function("one transposed solve", |bencher| {
        bencher.iter(|| {
            costate.fill(1.0);
            solver.adjoint(black_box(&mut costate));
        });
    });
}

/// Thirteen pipes: a supply at 5 bar, three rows of three joints, water drawn at each.
struct Grid {
    pattern: Vec<(usize, usize)>,
    /// Ends of each pipe; joint 9 is the supply.
    pipes: Vec<(usize, usize)>,
    sizes: Vec<f64>,
    gap_sizes: Vec<f64>,
    bounds: Vec<(f64, f64)>,
}

const JOINTS: usize = 9;
const SUPPLY: f64 = 5e5;
const DRAWN: f64 = 0.3;

impl Grid {
    fn new() -> Grid {
        let mut pipes = vec![(JOINTS, 0)];
        for k in 0..JOINTS {
            pipes.extend((k % 3 < 2).then_some((k, k + 1)));
            pipes.extend((k < 6).then_some((k, k + 3)));
        }
        let mut pattern = Vec::new();
        for (k, &(from, to)) in pipes.iter().enumerate() {
            let flow = JOINTS + k;
            pattern.push((flow, flow));
            for end in [from, to] {
                pattern.extend((end < JOINTS).then_some((flow, end)));
                pattern.extend((end < JOINTS).then_some((end, flow)));
            }
        }
        let (joints, flows) = (JOINTS, pipes.len());
        let sizes = [vec![1e4; joints], vec![1.0; flows]].concat();
        let gap_sizes = [vec![1e-2; joints], vec![1e3; flows]].concat();
        Grid { pattern, pipes, bounds: vec![(f64::NEG_INFINITY, f64::INFINITY); joints + flows], sizes, gap_sizes }
    }
}

impl System for Grid {
    fn len(&self) -> usize {
        self.sizes.len()
    }
    fn pattern(&self) -> &[(usize, usize)] {
        &self.pattern
    }
    fn evaluate(&self, x: &[f64], gaps: &mut [f64], slopes: &mut [f64]) {
        gaps[..JOINTS].fill(-DRAWN);
        let mut next = 0;
        let mut write = |slope: f64| {
            slopes[next] = slope;
            next += 1;
        };
        for (k, &(from, to)) in self.pipes.iter().enumerate() {
            let n = Dual::constant;
            let m = Dual::variable(x[JOINTS + k], 0);
            let drop = physics::flow::pipe_drop(m, n(20.0), n(0.05), n(4.6e-5), n(2.0), n(998.2), n(1.0e-3));
            let pressure = |end: usize| if end < JOINTS { x[end] } else { SUPPLY };
            gaps[JOINTS + k] = pressure(from) - pressure(to) - drop.value();
            write(-drop.slope(0));
            for (end, sign) in [(from, -1.0), (to, 1.0)] {
                if end < JOINTS {
                    gaps[end] += sign * m.value();
                    write(-sign);
                    write(sign);
                }
            }
        }
    }
    fn gaps(&self, x: &[f64], gaps: &mut [f64]) {
        self.evaluate(x, gaps, &mut vec![0.0; self.pattern.len()]);
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

fn network(criterion: &mut Criterion) {
    let grid = Grid::new();
    let mut solver = Solver::new(&grid).expect("sound");
    let start = [vec![4e5; JOINTS], vec![0.5; grid.pipes.len()]].concat();
    // Flows good to a millionth, as usual for networks.
    let options = Options { tolerance: 1e-6, step_tolerance: 1e-6, max_step: 50.0, ..Options::default() };
    let mut x = start.clone();
    let report = solver.solve(&grid, &mut x, &options).expect("has a solution");
    println!("{} pipes, {} steps", grid.pipes.len(), report.iterations);
    criterion.bench_function("13 pipes, from rest", |bencher| {
        bencher.iter(|| {
            x.copy_from_slice(&start);
            solver.solve(black_box(&grid), &mut x, &options).expect("has a solution")
        });
    });
}

criterion_group!(benches, factorisation, network);
criterion_main!(benches);
