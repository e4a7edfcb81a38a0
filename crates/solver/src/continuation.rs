//! Walking from a system that is solved to one that is not yet.

use crate::step::keep_inside;
use crate::{Options, Report, Solver, Steps, Stuck, System};

/// First step along the path, of its whole length.
const FIRST: f64 = 0.25;
/// Shortest step before giving up.
const SHORTEST: f64 = 1e-4;
/// Steps a single solve may take; more means that the path was lost, and a shorter step is cheaper.
const PATIENCE: usize = 20;
/// A solve that took no more steps than this allows a longer step next.
const EASY: usize = 6;

/// A walk that arrived.
#[derive(Clone, Debug, PartialEq)]
pub struct WalkReport {
    /// Systems solved or tried on the way.
    pub solves: usize,
    /// Newton steps in those that were solved.
    pub iterations: usize,
    /// Largest gap left at the end [gap sizes].
    pub worst_gap: f64,
}

/// Follows the solution from path position 0, which `x` solves or nearly solves, to position 1.
///
/// `at` gives the system at a position (a share of the way, 0 to 1); all share one pattern. Each system starts from the secant through
/// the last two solutions. A failed step is halved, an easy one doubled, with brisk steps not at once after a failed one. The
/// solver ends with the factors of the last system.
///
/// # Errors
/// The [`Stuck`] of the last try when position 0 cannot be solved, a step falls below 1e-4 (as it does where the path
/// turns back), or as many solves as the options allow were not enough; `x` then holds the last solution reached.
///
/// # Panics
/// When a system's pattern is not the one the solver was made for.
pub fn walk<S: System>(
    solver: &mut Solver,
    x: &mut [f64],
    mut at: impl FnMut(f64) -> S,
    options: &Options,
) -> Result<WalkReport, Stuck> {
    let start = solver.solve(&at(0.0), x, options)?;
    let mut report = WalkReport { solves: 1, iterations: start.iterations, worst_gap: start.worst_gap };
    let brief = Options { max_iterations: options.max_iterations.min(PATIENCE), ..options.clone() };
    let mut before = x.to_vec();
    let mut trial = x.to_vec();
    let (mut position, mut step, mut last_step) = (0.0, FIRST, FIRST);
    let mut stuck = None;
    let mut failed = false;
    while position < 1.0 {
        if report.solves >= options.max_solves || step < SHORTEST {
            return Err(stuck.unwrap_or(Stuck::NotConverged { iterations: report.iterations, worst: Vec::new() }));
        }
        // The last step may be a little longer, never a sliver.
        let target: f64 = if position + 1.01 * step >= 1.0 { 1.0 } else { position + step };
        let system = at(target);
        let ratio = (target - position) / last_step;
        for (j, trial) in trial.iter_mut().enumerate() {
            *trial = x[j] + ratio * (x[j] - before[j]);
        }
        keep_inside(&mut trial, system.bounds());
        report.solves += 1;
        match solver.solve(&system, &mut trial, &brief) {
            Ok(Report { iterations, worst_gap }) => {
                report.iterations += iterations;
                report.worst_gap = worst_gap;
                before.copy_from_slice(x);
                x.copy_from_slice(&trial);
                last_step = target - position;
                position = target;
                let wary = failed && options.steps == Steps::Brisk;
                step = if iterations <= EASY && !wary { 2.0 * last_step } else { last_step };
                failed = false;
            }
            Err(why) => {
                stuck = Some(why);
                failed = true;
                step = 0.5 * (target - position);
            }
        }
    }
    Ok(report)
}
