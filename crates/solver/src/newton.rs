//! Newton's method, kept from running away.

use crate::damping::{Damping, irregular};
use crate::outcome::{Options, Report, Steps, Stuck, worst};
use crate::sparse::Lu;
use crate::step::{Ahead, Local, Search, keep_inside, largest, merit};
use crate::{Structure, System, matching};

/// Merits that a step is measured against; more than one lets Newton cross a small rise.
const MEMORY: usize = 4;
/// Times a solve may be moved off a point where the equations lose their grip (say, all flows at rest).
const NUDGES: usize = 3;
/// Size of such a move [unknown sizes].
const NUDGE: f64 = 1e-3;
/// Chord steps tried before giving up, and how much each must shrink the next.
const CHORD_STEPS: usize = 24;
const CONTRACTION: f64 = 0.5;
/// Brisk steps no longer than this may be the last [unknown sizes]: slopes change by no more over it.
const CLOSE: f64 = 1e-5;
/// Lengths of damped step tried from one point.
const DAMPED_TRIES: usize = 16;

/// Solves systems of one pattern: order of elimination, work space and last factors are kept between solves.
pub struct Solver {
    n: usize,
    pattern: Vec<(usize, usize)>,
    lu: Lu,
    damping: Option<Damping>,
    local: Local,
    direction: Vec<f64>,
    search: Search,
    /// What the last solve found, if its factors are those at hand.
    found: Vec<f64>,
}

impl Solver {
    /// Checks that every unknown can have an equation of its own, and orders the elimination.
    ///
    /// # Errors
    /// [`Structure`] when too many or too few equations fix some unknowns.
    ///
    /// # Panics
    /// When the pattern points outside the system.
    pub fn new(system: &(impl System + ?Sized)) -> Result<Solver, Structure> {
        let (n, pattern) = (system.len(), system.pattern().to_vec());
        matching(n, n, &pattern)?;
        Ok(Solver {
            n,
            lu: Lu::new(n, &pattern),
            damping: None,
            local: Local { gaps: vec![0.0; n], slopes: vec![0.0; pattern.len()], merit: 0.0 },
            direction: vec![0.0; n],
            search: Search::new(n),
            found: Vec::new(),
            pattern,
        })
    }

    /// Closes the gaps, starting from `x` (moved inside its bounds first) and leaving the solution there.
    ///
    /// The end is a point whose gaps are within tolerance and whose next Newton step is negligible, or whose gaps no
    /// step can improve. The factors kept are those of that point, ready for [`Solver::adjoint`].
    ///
    /// # Errors
    /// [`Stuck`]; `x` then holds the last values.
    ///
    /// # Panics
    /// When the system's pattern is not the one the solver was made for.
    ///
    /// # Source
    /// Damped Newton with a search that remembers `[Grippo1986]`; where that fails, pseudo-transient steps
    /// `[KelleyKeyes1998]` downhill.
    pub fn solve(
        &mut self,
        system: &(impl System + ?Sized),
        x: &mut [f64],
        options: &Options,
    ) -> Result<Report, Stuck> {
        let report = self.search(system, x, options)?;
        self.found.extend_from_slice(x);
        Ok(report)
    }

    fn search(&mut self, system: &(impl System + ?Sized), x: &mut [f64], options: &Options) -> Result<Report, Stuck> {
        keep_inside(x, system.bounds());
        if let Some(damping) = &mut self.damping {
            damping.tau = 1.0;
        }
        let mut recent = [f64::NEG_INFINITY; MEMORY];
        let brisk = options.steps == Steps::Brisk;
        let mut nudges = 0;
        let mut iterations = 0;
        loop {
            let regular = self.look(system, x)?;
            let worst_gap = largest(&self.local.gaps);
            let closed = regular && worst_gap <= options.tolerance;
            if closed
                && (largest(&self.direction) <= options.step_tolerance
                    || self.search.at_round_off(system, x, &self.local))
            {
                return Ok(Report { iterations, worst_gap });
            }
            if iterations >= options.max_iterations {
                return Err(self.stuck(regular, iterations));
            }
            recent[iterations % MEMORY] = self.local.merit;
            let reference = recent.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            if !regular && nudges < NUDGES {
                nudges += 1;
                nudge(system, x);
            } else if regular && self.newton_step(system, x, options, reference) {
                if brisk
                    && largest(&self.direction) <= CLOSE
                    && self.search.arrived(system, options, |gaps| self.lu.solve(gaps))
                {
                    return Ok(Report { iterations: iterations + 1, worst_gap: self.search.worst_gap() });
                }
            } else {
                if closed {
                    return Ok(Report { iterations, worst_gap });
                }
                if brisk || !self.damped_step(system, x, options) {
                    return Err(self.stuck(regular, iterations));
                }
            }
            iterations += 1;
        }
    }

    /// Closes the gaps with the factors at hand, refreshing nothing: for a system near the one they belong to.
    ///
    /// Each step costs the gaps and one solve, a tenth of a Newton step. `None`, and `x` as it was, where that does
    /// not shrink the steps well; the caller then takes [`Solver::solve`].
    ///
    /// # Source
    /// The chord method, `[Kelley1995]` ch. 5.
    pub fn follow(&mut self, system: &(impl System + ?Sized), x: &mut [f64], options: &Options) -> Option<Report> {
        self.found.clear();
        let start = x.to_vec();
        let mut last = f64::INFINITY;
        for iterations in 0..CHORD_STEPS {
            system.gaps(x, &mut self.local.gaps);
            let sizes = system.gap_sizes();
            let worst_gap =
                self.local.gaps.iter().zip(sizes).fold(0.0_f64, |worst, (gap, size)| worst.max((gap / size).abs()));
            self.direction.iter_mut().zip(&self.local.gaps).for_each(|(direction, gap)| *direction = -gap);
            self.lu.solve(&mut self.direction);
            let step =
                self.direction.iter().zip(system.sizes()).fold(0.0_f64, |worst, (d, size)| worst.max((d / size).abs()));
            if worst_gap <= options.tolerance && step <= options.step_tolerance {
                return Some(Report { iterations, worst_gap });
            }
            let inside = |((x, d), (low, high)): ((&f64, &f64), &(f64, f64))| x + d >= *low && x + d <= *high;
            // Written so that NaN counts as failure.
            if !(step < last * CONTRACTION
                && step < options.max_step
                && x.iter().zip(&self.direction).zip(system.bounds()).all(inside))
            {
                break;
            }
            x.iter_mut().zip(&self.direction).for_each(|(x, d)| *x += d);
            last = step;
        }
        x.copy_from_slice(&start);
        None
    }

    /// Leaves the last solution: what is asked next is of another system, though perhaps at the same values.
    pub fn leave(&mut self) {
        self.found.clear();
    }

    /// Forgets factors and pivots of what was solved before: answers then depend on it not even in their last digits.
    pub fn forget(&mut self) {
        self.lu.begin_anew();
        self.found.clear();
        self.damping = None;
    }

    /// Refreshes the factors at `x`, for [`Solver::adjoint`] and [`Solver::direct`].
    ///
    /// # Errors
    /// [`Stuck::Singular`] and [`Stuck::NotFinite`].
    ///
    /// # Panics
    /// When the system's pattern is not the one the solver was made for.
    pub fn factor(&mut self, system: &(impl System + ?Sized), x: &[f64]) -> Result<(), Stuck> {
        if self.look(system, x)? { Ok(()) } else { Err(self.stuck(false, 0)) }
    }

    /// The same at what the last solve of this very system came to: nothing is to be done where it left the factors there.
    ///
    /// # Errors
    /// As [`Solver::factor`].
    ///
    /// # Panics
    /// As [`Solver::factor`].
    pub fn factor_where_solved(&mut self, system: &(impl System + ?Sized), x: &[f64]) -> Result<(), Stuck> {
        if self.found == x { Ok(()) } else { self.factor(system, x) }
    }

    /// Replaces `rhs` [any unit per unit of the unknown] by the `y` [same per unit of the equation] of
    /// `J^T y = rhs`, with `J` the unscaled slopes where the factors were last refreshed. With NaN when they do not
    /// exist, that is before any solve and after one that ended singular.
    pub fn adjoint(&mut self, rhs: &mut [f64]) {
        self.lu.solve_transposed(rhs);
    }

    /// Replaces `rhs` [units of the equations] by the `s` [units of the unknowns] of `J s = rhs`; otherwise as
    /// [`Solver::adjoint`].
    pub fn direct(&mut self, rhs: &mut [f64]) {
        self.lu.solve(rhs);
    }

    /// Evaluates and factors at `x`, leaves the scaled system and Newton's direction; false where there is none.
    fn look(&mut self, system: &(impl System + ?Sized), x: &[f64]) -> Result<bool, Stuck> {
        assert!(self.n == system.len() && self.pattern == system.pattern(), "a solver is made for one pattern");
        self.found.clear();
        let Local { gaps, slopes, merit: local_merit } = &mut self.local;
        system.evaluate(x, gaps, slopes);
        self.lu.forget();
        let bad_gap = gaps.iter().position(|gap| !gap.is_finite());
        let bad_slope = slopes.iter().position(|slope| !slope.is_finite()).map(|k| self.pattern[k].0);
        if let Some(equation) = bad_gap.or(bad_slope) {
            return Err(Stuck::NotFinite { equation });
        }
        let mut regular = self.lu.factor(slopes).is_ok();
        if regular {
            self.direction.iter_mut().zip(&*gaps).for_each(|(direction, gap)| *direction = -gap);
            self.lu.solve(&mut self.direction);
            self.direction.iter_mut().zip(system.sizes()).for_each(|(direction, size)| *direction /= size);
            regular = self.direction.iter().all(|direction| direction.is_finite());
        }
        gaps.iter_mut().zip(system.gap_sizes()).for_each(|(gap, size)| *gap /= size);
        for (slope, &(equation, unknown)) in slopes.iter_mut().zip(&self.pattern) {
            *slope *= system.sizes()[unknown] / system.gap_sizes()[equation];
        }
        *local_merit = merit(gaps);
        Ok(regular)
    }

    fn newton_step(
        &mut self,
        system: &(impl System + ?Sized),
        x: &mut [f64],
        options: &Options,
        reference: f64,
    ) -> bool {
        let ahead =
            Ahead { local: &self.local, direction: &self.direction, max_step: options.max_step, steps: options.steps };
        self.search.along(system, x, &ahead, reference, |gaps| self.lu.solve(gaps))
    }

    fn damped_step(&mut self, system: &(impl System + ?Sized), x: &mut [f64], options: &Options) -> bool {
        let (n, pattern, local) = (self.n, &self.pattern, &self.local);
        let damping = self.damping.get_or_insert_with(|| Damping::new(n, pattern));
        damping.load(pattern, local, |j, pull| {
            let (low, high) = system.bounds()[j];
            let room = if pull > 0.0 { x[j] - low } else { high - x[j] };
            room / system.sizes()[j]
        });
        for _ in 0..DAMPED_TRIES {
            let found = damping.direction(&local.gaps, &mut self.direction);
            let ahead = Ahead { local, direction: &self.direction, max_step: options.max_step, steps: options.steps };
            let merit = if found { self.search.whole(system, x, &ahead) } else { None };
            if let Some(merit) = merit {
                damping.accepted(local.merit, merit);
                return true;
            }
            damping.tau /= 8.0;
        }
        false
    }

    fn stuck(&mut self, regular: bool, iterations: usize) -> Stuck {
        if regular {
            return Stuck::NotConverged { iterations, worst: worst(&self.local.gaps) };
        }
        let (n, pattern) = (self.n, &self.pattern);
        let damping = self.damping.get_or_insert_with(|| Damping::new(n, pattern));
        damping.load(pattern, &self.local, |_, _| f64::INFINITY);
        Stuck::Singular { worst: damping.dependent() }
    }
}

/// Moves every unknown a little, each by its own amount, inside its bounds.
fn nudge(system: &(impl System + ?Sized), x: &mut [f64]) {
    for (j, x) in x.iter_mut().enumerate() {
        let (low, high) = system.bounds()[j];
        let by = NUDGE * (0.5 + irregular(j + 1)) * system.sizes()[j];
        *x = if *x + by < high { *x + by } else { (*x - by).max(low) };
    }
}
