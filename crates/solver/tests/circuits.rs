//! What the physics will ask: signed squares at rest, bounds, adjoints, and honest failure.

mod common;

use common::{Problem, agrees, full};
use solver::{Options, Solver, Stuck, System};

/// Flow of a pipe squared with its sign, and its slope; `rest` keeps the slope finite at zero.
fn signed_square(flow: f64, rest: f64) -> (f64, f64) {
    let root = flow.hypot(rest);
    (flow * root, root + flow * flow / root.max(f64::MIN_POSITIVE))
}

/// Two pipes side by side between two tanks, then a third; unknowns are three flows and the pressure between.
fn circuit(head: f64, rest: f64) -> impl System {
    let pattern = vec![(0, 0), (0, 3), (1, 1), (1, 3), (2, 2), (2, 3), (3, 0), (3, 1), (3, 2)];
    Problem::new(4, pattern, move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        let drops = [(1.0, x[0]), (4.0, x[1]), (1.0, x[2])].map(|(resistance, flow)| {
            let (square, slope) = signed_square(flow, rest);
            (resistance * square, resistance * slope)
        });
        gaps.copy_from_slice(&[
            head - x[3] - drops[0].0,
            head - x[3] - drops[1].0,
            x[3] - drops[2].0,
            x[0] + x[1] - x[2],
        ]);
        slopes.copy_from_slice(&[-drops[0].1, -1.0, -drops[1].1, -1.0, -drops[2].1, 1.0, 1.0, 1.0, -1.0]);
    })
}

#[test]
fn a_circuit_starts_from_rest_and_comes_to_rest() {
    for rest in [1e-3, 1e-6, 0.0] {
        let mut solver = Solver::new(&circuit(9.0, rest)).expect("sound");
        let mut x = [0.0; 4];
        // By hand: branch flows as 2 to 1, so head = q^2 (4/9 + 1).
        let total = (9.0_f64 * 9.0 / 13.0).sqrt();
        for (head, flow) in [(9.0, total), (-9.0, -total), (0.0, 0.0), (9.0, total)] {
            solver.solve(&circuit(head, rest), &mut x, &Options::default()).expect("has a solution");
            // The smoothing changes a flow by about rest^2 / flow; at rest without it only 1e-8 can be told from 0.
            let within = (rest * rest).max(1e-7);
            agrees(x[2], flow, within, "by hand");
            agrees(x[0] - 2.0 * x[1], 0.0, 3.0 * within, "by hand");
        }
    }
}

#[test]
fn a_bound_is_never_crossed_and_may_hold_the_solution() {
    for (root, start) in [(0.5, 90.0), (1e-6, 90.0), (0.0, 90.0), (0.5, -7.0)] {
        let mut system = Problem::new(1, full(1), move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            assert!(x[0] >= 0.0, "left its bounds: {}", x[0]);
            gaps[0] = (x[0] + 0.1).ln() - (root + 0.1_f64).ln();
            slopes[0] = (x[0] + 0.1).recip();
        });
        system.bounds = vec![(0.0, 100.0)];
        let mut x = [start];
        let mut solver = Solver::new(&system).expect("sound");
        solver.solve(&system, &mut x, &Options::default()).expect("has a solution");
        agrees(x[0], root, 1e-9, "by hand");
    }
}

#[test]
fn a_solution_outside_the_bounds_is_refused() {
    let mut system = Problem::new(2, full(2), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        gaps.copy_from_slice(&[x[0] + x[1] - 1.0, x[0] - x[1] - 5.0]);
        slopes.copy_from_slice(&[1.0, 1.0, 1.0, -1.0]);
    });
    system.bounds = vec![(0.0, 10.0); 2];
    let mut x = [1.0, 1.0];
    let stuck = Solver::new(&system).expect("sound").solve(&system, &mut x, &Options::default()).unwrap_err();
    assert!(matches!(&stuck, Stuck::NotConverged { worst, .. } if worst.len() == 2), "{stuck}");
    assert!(x.iter().all(|x| (0.0..=10.0).contains(x)), "{x:?}");
}

/// Sizes of twelve decades stand for pressures next to flows; a duplicate entry must add up.
#[test]
fn adjoint_agrees_with_differences_of_solutions() {
    fn system(forcing: [f64; 3]) -> impl System {
        let pattern = vec![(0, 0), (0, 1), (1, 1), (1, 2), (1, 2), (2, 0), (2, 2)];
        let mut system = Problem::new(3, pattern, move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            let (p, m, t) = (x[0] / 1e6, x[1] / 1e-3, x[2] / 300.0);
            gaps.copy_from_slice(&[
                1e6 * (p - m * m - 0.1) - forcing[0],
                m + 0.5 * t * t - 1.5 - forcing[1],
                1e-3 * (t - 0.2 * p.sin() - 0.8) - forcing[2],
            ]);
            slopes.copy_from_slice(&[
                1.0,
                -1e6 * 2.0 * m / 1e-3,
                1.0 / 1e-3,
                0.75 * t / 300.0,
                0.25 * t / 300.0,
                -1e-3 * 0.2 * p.cos() / 1e6,
                1e-3 / 300.0,
            ]);
        });
        system.sizes = vec![1e6, 1e-3, 300.0];
        system.gap_sizes = vec![1e6, 1.0, 1e-3];
        system
    }
    let at = |forcing: [f64; 3]| {
        let mut x = [1e6, 1e-3, 300.0];
        let system = system(forcing);
        let mut solver = Solver::new(&system).expect("sound");
        solver.solve(&system, &mut x, &Options { tolerance: 1e-13, ..Options::default() }).expect("has a solution");
        (solver, x)
    };
    let (mut solver, x) = at([0.0; 3]);
    for unknown in 0..3 {
        let mut adjoint = [0.0; 3];
        adjoint[unknown] = 1.0;
        solver.adjoint(&mut adjoint);
        for (equation, size) in [1e6, 1.0, 1e-3].into_iter().enumerate() {
            let mut forcing = [0.0; 3];
            forcing[equation] = 1e-5 * size;
            let up = at(forcing).1[unknown];
            forcing[equation] *= -1.0;
            let difference = (up - at(forcing).1[unknown]) / (2e-5 * size);
            // A gap of F(x) - forcing answers forcing as J^-1 does, whose rows the adjoint gives.
            agrees(adjoint[equation] / difference, 1.0, 1e-6, "central differences");
            let mut column = [0.0; 3];
            column[equation] = 1.0;
            solver.direct(&mut column);
            agrees(column[unknown] / adjoint[equation], 1.0, 1e-12, "the same inverse");
        }
    }
    let mut other = Solver::new(&system([0.0; 3])).expect("sound");
    let mut adjoint = [1.0; 3];
    other.adjoint(&mut adjoint);
    assert!(adjoint.iter().all(|y| y.is_nan()), "nothing has been factored yet");
    other.factor(&system([0.0; 3]), &x).expect("regular at the solution");
    let mut again = [1.0; 3];
    solver.adjoint(&mut again);
    adjoint = [1.0; 3];
    other.adjoint(&mut adjoint);
    (0..3).for_each(|i| agrees(adjoint[i] / again[i], 1.0, 1e-12, "factors of the same point"));
}

#[test]
fn equations_that_say_the_same_are_named() {
    for right in [7.0, 8.0] {
        let system = Problem::new(4, full(4), move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            let rows = [[1.0, 2.0, 0.3, 0.0], [0.0, 1.0, 0.0, 5.0], [2.0, 5.0, 0.6, 5.0], [0.0, 0.1, 1.0, 0.0]];
            for (i, right) in [1.0, 5.0, right, 2.0].into_iter().enumerate() {
                gaps[i] = rows[i].iter().zip(x).map(|(a, x)| a * x).sum::<f64>() - right;
                slopes[4 * i..4 * i + 4].copy_from_slice(&rows[i]);
            }
        });
        let mut solver = Solver::new(&system).expect("nothing wrong to the eye");
        let stuck = solver.solve(&system, &mut [0.0; 4], &Options::default()).unwrap_err();
        let Stuck::Singular { mut worst } = stuck else { panic!("{stuck}") };
        worst.sort_unstable();
        assert_eq!(worst, [0, 1, 2], "the third is twice the first plus the second");
        assert!(matches!(solver.factor(&system, &[0.0; 4]), Err(Stuck::Singular { .. })));
        let mut adjoint = [1.0; 4];
        solver.adjoint(&mut adjoint);
        assert!(adjoint.iter().all(|y| y.is_nan()));
    }
}

#[test]
fn numbers_that_are_none_are_answered_with_the_equation() {
    let system = |gap: f64, slope: f64| {
        Problem::new(2, vec![(0, 0), (1, 1)], move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            gaps.copy_from_slice(&[x[0] - 1.0, x[1] + gap]);
            slopes.copy_from_slice(&[1.0, slope]);
        })
    };
    for (gap, slope) in [(f64::NAN, 1.0), (f64::INFINITY, 1.0), (0.0, f64::NAN), (0.0, f64::NEG_INFINITY)] {
        let system = system(gap, slope);
        let mut solver = Solver::new(&system).expect("sound");
        let stuck = solver.solve(&system, &mut [0.0; 2], &Options::default()).unwrap_err();
        assert_eq!(stuck, Stuck::NotFinite { equation: 1 });
    }
    let sound = system(0.0, 1.0);
    let mut solver = Solver::new(&sound).expect("sound");
    let stuck = solver.solve(&sound, &mut [f64::NAN, 0.0], &Options::default()).unwrap_err();
    assert_eq!(stuck, Stuck::NotFinite { equation: 0 });
}

/// Newton's first step leaves the domain of the logarithm; the search must come back inside.
#[test]
fn a_gap_that_is_no_number_only_shortens_the_step() {
    let system = Problem::new(1, full(1), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        gaps[0] = x[0].ln();
        slopes[0] = x[0].recip();
    });
    let mut x = [4.0];
    Solver::new(&system).expect("sound").solve(&system, &mut x, &Options::default()).expect("has a solution");
    agrees(x[0], 1.0, 1e-9, "by hand");
}

#[test]
fn nothing_to_solve_is_solved() {
    let system = Problem::new(0, Vec::new(), |_: &[f64], _: &mut [f64], _: &mut [f64]| {});
    let report = Solver::new(&system).expect("sound").solve(&system, &mut [], &Options::default()).expect("solved");
    assert_eq!(report.iterations, 0);
}

/// A first equation that is nearly flat round the origin: a start there sends Newton far off in a useless direction,
/// and only the damped steps get away from it.
#[test]
fn a_flat_start_is_left_by_damped_steps() {
    let system = Problem::new(2, full(2), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        let bell = (-x[0] * x[0]).exp();
        gaps.copy_from_slice(&[x[0] * (1.0 - 0.98 * bell) + x[1] * x[1] - 1.0, x[0] * x[1] - 0.25]);
        slopes.copy_from_slice(&[1.0 - 0.98 * bell * (1.0 - 2.0 * x[0] * x[0]), 2.0 * x[1], x[1], x[0]]);
    });
    let mut solver = Solver::new(&system).expect("sound");
    for k in 0..100 {
        let mut x = [-4.0 + 0.8 * f64::from(k % 10) + 0.05, -4.0 + 0.8 * f64::from(k / 10) + 0.03];
        solver.solve(&system, &mut x, &Options::default()).unwrap_or_else(|stuck| panic!("start {k}: {stuck}"));
        agrees(x[0] * x[1], 0.25, 1e-9, "the second equation");
    }
}
