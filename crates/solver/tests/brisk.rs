//! Steps that are judged by what is left to go.

mod common;

use common::{Problem, agrees, full};
use solver::{Options, Solver, Steps, Stuck, System, walk};

const BRISK: Options = Options { steps: Steps::Brisk, ..Options::USUAL };

/// A curved valley with steep walls: `y = x²/4`, weighed a thousand times as much as `x = 1`. Newton's two steps lead over
/// the wall, and then straight to the end.
fn valley() -> impl System {
    Problem::new(2, full(2), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        gaps.copy_from_slice(&[1e3 * (x[1] - 0.25 * x[0] * x[0]), x[0] - 1.0]);
        slopes.copy_from_slice(&[-500.0 * x[0], 1e3, 1.0, 0.0]);
    })
}

#[test]
fn over_a_wall_brisk_steps_go_straight_where_gaps_alone_creep() {
    let system = valley();
    let mut solver = Solver::new(&system).expect("sound");
    let start = [-1.2, 0.36];
    let mut x = start;
    let report = solver.solve(&system, &mut x, &BRISK).expect("has a solution");
    agrees(x[0], 1.0, 1e-9, "by hand");
    agrees(x[1], 0.25, 1e-9, "by hand");
    // The second equation is straight, and the first is so along y.
    assert_eq!(report.iterations, 2);
    let ten = Options { max_iterations: 10, ..Options::USUAL };
    assert!(solver.solve(&system, &mut start.clone(), &ten).is_err(), "ten by gaps alone are not enough");
}

#[test]
fn where_nothing_leads_on_they_give_up_without_damped_steps() {
    // x² + 1 has no root; damped steps end at its lowest point all the same.
    let system = Problem::new(1, full(1), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        gaps[0] = x[0] * x[0] + 1.0;
        slopes[0] = 2.0 * x[0];
    });
    let mut solver = Solver::new(&system).expect("sound");
    let stuck = solver.solve(&system, &mut [3.0], &BRISK).expect_err("has none");
    assert!(matches!(stuck, Stuck::NotConverged { .. } | Stuck::Singular { .. }), "{stuck}");
}

/// The factors that are left are of a point so near that slopes are the same to five digits; asked for at any point they are
/// that point's.
#[test]
fn slopes_where_solved_are_those_of_the_solution() {
    let system = Problem::new(2, full(2), |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
        gaps.copy_from_slice(&[x[0].exp() + x[1] - 3.0, x[0] - x[1] * x[1] * x[1]]);
        slopes.copy_from_slice(&[x[0].exp(), 1.0, 1.0, -3.0 * x[1] * x[1]]);
    });
    let mut solver = Solver::new(&system).expect("sound");
    let adjoint = |solver: &mut Solver| {
        let mut costate = [1.0, 0.0];
        solver.adjoint(&mut costate);
        costate
    };
    for start in [[0.1, 0.9], [0.5, 0.5], [0.9, 1.4]] {
        let mut x = start;
        solver.solve(&system, &mut x, &BRISK).expect("has a solution");
        // The transposed system [[e^x, 1], [1, -3 y²]] by Cramer's rule.
        let (a, b) = (x[0].exp(), -3.0 * x[1] * x[1]);
        let by_hand = [b / (a * b - 1.0), -1.0 / (a * b - 1.0)];
        solver.factor_where_solved(&system, &x).expect("regular");
        let there = adjoint(&mut solver);
        solver.factor(&system, &x).expect("regular");
        let afresh = adjoint(&mut solver);
        for k in 0..2 {
            agrees(there[k], by_hand[k], 1e-4, "by hand, near it");
            agrees(afresh[k], by_hand[k], 1e-12, "by hand");
        }
        // Elsewhere, or after something else was asked, nothing is taken for granted.
        let elsewhere = [x[0] + 0.3, x[1]];
        solver.factor_where_solved(&system, &elsewhere).expect("regular");
        let a = elsewhere[0].exp();
        agrees(adjoint(&mut solver)[0], b / (a * b - 1.0), 1e-12, "by hand");
    }
}

/// A step that failed is not tried again as soon as the next shorter one went easily.
#[test]
fn a_brisk_walk_is_wary_after_a_failed_step() {
    let at = |s: f64| {
        Problem::new(1, full(1), move |x: &[f64], gaps: &mut [f64], slopes: &mut [f64]| {
            // The gap exists only in a narrow tube about the path.
            let off = x[0] - (4.0 * s).sin();
            let rest = 0.02 - off * off;
            gaps[0] = off / rest.sqrt();
            slopes[0] = 0.02 / rest.powf(1.5);
        })
    };
    let mut solver = Solver::new(&at(0.0)).expect("sound");
    let mut solves = |options: &Options| {
        let mut x = [0.0];
        let report = walk(&mut solver, &mut x, at, options).expect("the path does not fold");
        agrees(x[0], 4.0_f64.sin(), 1e-8, "by hand");
        report.solves
    };
    let (brisk, sure) = (solves(&BRISK), solves(&Options::USUAL));
    assert!(brisk <= sure, "{brisk} solves, {sure} by doubling at once");
}
