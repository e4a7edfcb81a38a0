//! Systems whose solutions others have printed.

mod common;

use common::{Problem, agrees, full};
use solver::{Options, Solver, Stuck, System};

fn solve(system: &impl System, x: &mut [f64]) -> usize {
    let mut solver = Solver::new(system).expect("each unknown has an equation");
    let report = solver.solve(system, x, &Options::default()).expect("has a solution");
    let mut gaps = vec![f64::NAN; x.len()];
    system.gaps(x, &mut gaps);
    let worst = gaps.iter().zip(system.gap_sizes()).map(|(gap, size)| (gap / size).abs()).fold(0.0, f64::max);
    assert!(worst <= 1e-10 && report.worst_gap <= 1e-10, "gaps left: {gaps:?}");
    report.iterations
}

/// `[More1981]` problem 1, from the standard start and from one a hundred times as far, with sizes to suit.
#[test]
fn rosenbrock() {
    for (start, sizes) in [([-1.2, 1.0], [1.0, 1.0]), ([-120.0, 100.0], [100.0, 1e4])] {
        let mut system = Problem::new(2, full(2), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            gaps.copy_from_slice(&[10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]]);
            slopes.copy_from_slice(&[-20.0 * x[0], 10.0, -1.0, 0.0]);
        });
        system.sizes = sizes.to_vec();
        let mut x = start;
        solve(&system, &mut x);
        agrees(x[0], 1.0, 1e-9, "[More1981] 1");
        agrees(x[1], 1.0, 1e-9, "[More1981] 1");
    }
}

/// `[More1981]` problem 13: the slopes are singular at the solution, so Newton only halves the error each step.
#[test]
fn powell_singular() {
    let (five, ten) = (5.0_f64.sqrt(), 10.0_f64.sqrt());
    let system = Problem::new(4, full(4), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        let (a, b) = (x[1] - 2.0 * x[2], x[0] - x[3]);
        gaps.copy_from_slice(&[x[0] + 10.0 * x[1], five * (x[2] - x[3]), a * a, ten * b * b]);
        let (a, b) = (2.0 * a, 2.0 * ten * b);
        slopes.copy_from_slice(&[1.0, 10.0, 0.0, 0.0, 0.0, 0.0, five, -five, 0.0, a, -2.0 * a, 0.0, b, 0.0, 0.0, -b]);
    });
    let mut x = [3.0, -1.0, 0.0, 1.0];
    solve(&system, &mut x);
    // Gaps of 1e-10 alone would leave 1e-5; the demand on the step brings more.
    assert!(x.iter().all(|x| x.abs() < 1e-7), "[More1981] 13: {x:?}");
}

/// `[More1981]` problem 3, solution as printed there to four digits.
#[test]
fn powell_badly_scaled() {
    let system = Problem::new(2, full(2), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        let (first, second) = ((-x[0]).exp(), (-x[1]).exp());
        gaps.copy_from_slice(&[1e4 * x[0] * x[1] - 1.0, first + second - 1.0001]);
        slopes.copy_from_slice(&[1e4 * x[1], 1e4 * x[0], -first, -second]);
    });
    let mut x = [0.0, 1.0];
    solve(&system, &mut x);
    agrees(x[0], 1.098e-5, 0.0005e-5, "[More1981] 3");
    agrees(x[1], 9.106, 0.0005, "[More1981] 3");
}

fn broyden(n: usize) -> impl System {
    let pattern = (0..n).flat_map(|i| [(i, i), (i, (i + n - 1) % n), (i, (i + 1) % n)]).collect();
    Problem::new(n, pattern, move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        for i in 0..n {
            let left = if i > 0 { 1.0 } else { 0.0 };
            let right = if i + 1 < n { 2.0 } else { 0.0 };
            gaps[i] = (3.0 - 2.0 * x[i]) * x[i] - left * x[(i + n - 1) % n] - right * x[(i + 1) % n] + 1.0;
            slopes[3 * i..3 * i + 3].copy_from_slice(&[3.0 - 4.0 * x[i], -left, -right]);
        }
    })
}

/// `[More1981]` problem 30 in 9 unknowns, the worked example of `[More1980]`.
#[test]
fn broyden_tridiagonal() {
    let mut x = [-1.0; 9];
    let steps = solve(&broyden(9), &mut x);
    assert!(steps <= 8, "Newton alone needs a handful of steps, took {steps}");
    let printed =
        [-0.5706545, -0.6816283, -0.7017325, -0.7042129, -0.7013690, -0.6918656, -0.6657920, -0.5960342, -0.4164121];
    for (ours, printed) in x.into_iter().zip(printed) {
        agrees(ours, printed, 1e-7, "[More1980]"); // its own tolerance is 1e-8
    }
}

/// `[More1981]` problem 7: a valley that winds round an axis.
#[test]
fn helical_valley() {
    let system = Problem::new(3, full(3), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        let turn = x[1].atan2(x[0]) / std::f64::consts::TAU;
        let square = x[0] * x[0] + x[1] * x[1];
        let (radius, rate) = (square.sqrt(), 100.0 / (std::f64::consts::TAU * square));
        gaps.copy_from_slice(&[10.0 * (x[2] - 10.0 * turn), 10.0 * (radius - 1.0), x[2]]);
        slopes.copy_from_slice(&[
            rate * x[1],
            -rate * x[0],
            10.0,
            10.0 * x[0] / radius,
            10.0 * x[1] / radius,
            0.0,
            0.0,
            0.0,
            1.0,
        ]);
    });
    let mut x = [-1.0, 1e-3, 0.0];
    solve(&system, &mut x);
    for (ours, printed) in x.into_iter().zip([1.0, 0.0, 0.0]) {
        agrees(ours, printed, 1e-9, "[More1981] 7");
    }
}

/// `[More1981]` problem 27, dense in its last row, nearly singular far from the solution.
#[test]
fn brown_almost_linear() {
    let n = 10;
    let system = Problem::new(n, full(n), move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        let (sum, product) = (x.iter().sum::<f64>(), x.iter().product::<f64>());
        for i in 0..n - 1 {
            gaps[i] = x[i] + sum - (n as f64 + 1.0);
            (0..n).for_each(|j| slopes[i * n + j] = if i == j { 2.0 } else { 1.0 });
        }
        gaps[n - 1] = product - 1.0;
        for j in 0..n {
            slopes[(n - 1) * n + j] = (0..n).filter(|&k| k != j).map(|k| x[k]).product();
        }
    });
    let mut x = [0.5; 10];
    solve(&system, &mut x);
    // All solutions are (a, ..., a, a^(1-n)) with n a^n - (n+1) a^(n-1) + 1 = 0.
    let a = x[0];
    assert!(x[..n - 1].iter().all(|x| (x - a).abs() < 1e-9), "[More1981] 27: {x:?}");
    agrees(x[n - 1], a.powi(1 - 10), 1e-8, "[More1981] 27");
    agrees(10.0 * a.powi(10) - 11.0 * a.powi(9) + 1.0, 0.0, 1e-8, "[More1981] 27");
}

/// `[More1981]` problem 2 has no other end than its two solutions or a valley without one, at 11.41 and -0.8968.
#[test]
fn a_valley_without_a_solution_is_not_called_one() {
    let system = Problem::new(2, full(2), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        let y = x[1];
        gaps.copy_from_slice(&[-13.0 + x[0] + ((5.0 - y) * y - 2.0) * y, -29.0 + x[0] + ((y + 1.0) * y - 14.0) * y]);
        slopes.copy_from_slice(&[1.0, (10.0 - 3.0 * y) * y - 2.0, 1.0, (3.0 * y + 2.0) * y - 14.0]);
    });
    let mut x = [0.5, -2.0];
    let mut solver = Solver::new(&system).expect("sound");
    match solver.solve(&system, &mut x, &Options::default()) {
        Ok(_) => {
            agrees(x[0], 5.0, 1e-9, "[More1981] 2");
            agrees(x[1], 4.0, 1e-9, "[More1981] 2");
        }
        Err(Stuck::NotConverged { worst, .. }) => {
            assert_eq!(worst.len(), 2);
            agrees(x[1], -0.8968, 1e-2, "[More1981] 2");
        }
        Err(Stuck::Singular { worst }) => assert!(!worst.is_empty()),
        Err(other) => panic!("{other}"),
    }
}
