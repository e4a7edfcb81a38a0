//! Walking along a path of systems.

mod common;

use common::{Problem, agrees, full};
use solver::{Options, Solver, Stuck, System, walk};

/// Troesch's problem `u'' = a sinh(a u)`, u(0) = 0, u(1) = 1, in central differences on `n` inner points.
fn troesch(a: f64, n: usize) -> impl System {
    let pattern = (0..n).flat_map(|i| [(i, i), (i, i.saturating_sub(1)), (i, (i + 1).min(n - 1))]).collect();
    let h = 1.0 / (n as f64 + 1.0);
    Problem::new(n, pattern, move |u: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        for i in 0..n {
            let (left, left_slope) = if i > 0 { (u[i - 1], 1.0) } else { (0.0, 0.0) };
            let (right, right_slope) = if i + 1 < n { (u[i + 1], 1.0) } else { (1.0, 0.0) };
            gaps[i] = left - 2.0 * u[i] + right - h * h * a * (a * u[i]).sinh();
            slopes[3 * i] = -2.0 - h * h * a * a * (a * u[i]).cosh();
            slopes[3 * i + 1] = left_slope;
            slopes[3 * i + 2] = right_slope;
        }
    })
}

/// The value in the middle against the first integral `u'^2 / 2 = c^2 / 2 + cosh(a u) - 1`, integrated along u.
#[test]
fn a_boundary_layer_is_reached_step_by_step() {
    let (a, n) = (8.0, 799);
    let system = troesch(0.0, n);
    let mut solver = Solver::new(&system).expect("sound");
    let mut u: Vec<f64> = (1..=n).map(|i| i as f64 / (n as f64 + 1.0)).collect();
    // The mesh makes gaps as small as h^2; they must be measured in that.
    let options = Options { tolerance: 1e-13, ..Options::default() };
    let report = walk(&mut solver, &mut u, |s| troesch(s * a, n), &options).expect("the path does not fold");
    assert!(report.worst_gap <= 1e-13 && report.solves >= 3, "{report:?}");
    let slope_at_0 = u[0] * (n as f64 + 1.0);
    // x(u) by midpoints; it must give the middle of the road at the u found there.
    let middle = u[n / 2];
    let parts = 20_000;
    let width = middle / f64::from(parts);
    let road: f64 = (0..parts)
        .map(|k| (f64::from(k) + 0.5) * width)
        .map(|u| width / (slope_at_0 * slope_at_0 + 2.0 * (a * u).cosh() - 2.0).sqrt())
        .sum();
    agrees(road, 0.5, 1e-4, "first integral; the mesh errs by about (a h)^2");
}

/// The gap exists only in a narrow tube about the path, so that long steps must fail and be halved.
#[test]
fn a_failed_step_is_halved() {
    let at = |s: f64| {
        let goal = [s.powi(8), (3.0 * s).sin()];
        Problem::new(2, full(2), move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            slopes.fill(0.0);
            for i in 0..2 {
                let off = x[i] - goal[i];
                let rest = 0.04 - off * off;
                gaps[i] = off / rest.sqrt();
                slopes[3 * i] = 0.04 / rest.powf(1.5);
            }
        })
    };
    let options = Options::default();
    let mut solver = Solver::new(&at(0.0)).expect("sound");
    let mut x = [0.0; 2];
    assert!(solver.solve(&at(1.0), &mut x, &options).is_err(), "cannot be had in one step");
    let mut x = [0.0; 2];
    let report = walk(&mut solver, &mut x, at, &options).expect("the path does not fold");
    agrees(x[0], 1.0, 1e-9, "by hand");
    agrees(x[1], 3.0_f64.sin(), 1e-9, "by hand");
    assert!(report.solves > 8, "{report:?}");
}

/// x^2 = 0.6 - s has no solution beyond 0.6.
#[test]
fn a_path_that_folds_back_is_reported_from_where_it_ends() {
    let at = |s: f64| {
        Problem::new(1, full(1), move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            gaps[0] = x[0] * x[0] + s - 0.6;
            slopes[0] = 2.0 * x[0];
        })
    };
    let mut solver = Solver::new(&at(0.0)).expect("sound");
    let mut x = [1.0];
    let stuck = walk(&mut solver, &mut x, at, &Options::default()).unwrap_err();
    assert!(matches!(stuck, Stuck::NotConverged { .. } | Stuck::Singular { .. }), "{stuck}");
    assert!((0.0..0.05).contains(&x[0]), "the last solution lies just before the fold: {x:?}");
}
