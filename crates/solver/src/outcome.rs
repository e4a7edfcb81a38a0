//! What a solve is asked for, and how it may end.

/// How a step is judged.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Steps {
    /// By gaps alone, which must fall; where no step of Newton's makes them, damped ones go downhill, each as dear as five.
    /// Slow, and hardly ever lost.
    Sure,
    /// Also by what is left to go: over a sharp bend (a liquid that boils, a valve that shuts) gaps grow on the straightest
    /// way. No damped steps. The factors left may be those of a point one last step before the solution, no further off than 1e-5
    /// [unknown sizes]. Arrives in half the steps or soon gives up: where many are to be solved, or another way is known.
    Brisk,
}

/// How exactly and how patiently to solve.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Largest gap left in a solution [gap sizes].
    pub tolerance: f64,
    /// Largest Newton step left in a solution [unknown sizes]: an estimate of its error.
    pub step_tolerance: f64,
    /// Newton steps allowed.
    pub max_iterations: usize,
    /// How they are judged.
    pub steps: Steps,
    /// Longest step of any unknown at once [unknown sizes].
    pub max_step: f64,
    /// Systems solved or tried on a walk.
    pub max_solves: usize,
}

impl Options {
    /// What most solves are content with.
    pub const USUAL: Options = Options {
        tolerance: 1e-10,
        step_tolerance: 1e-8,
        max_iterations: 60,
        steps: Steps::Sure,
        max_step: 5.0,
        max_solves: 400,
    };
}

impl Default for Options {
    fn default() -> Self {
        Options::USUAL
    }
}

/// A solve that ended well.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// Steps taken.
    pub iterations: usize,
    /// Largest gap left [gap sizes].
    pub worst_gap: f64,
}

/// A solve that ended badly. The unknowns keep the values of the last step.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Stuck {
    /// At the last values some equations say the same, or nothing: they cannot be told apart.
    #[error("equations {worst:?} do not determine the unknowns here")]
    Singular {
        /// Equations that depend on each other, strongest first, up to five.
        worst: Vec<usize>,
    },
    /// Steps ran out, or no step made the gaps smaller.
    #[error("not solved after {iterations} steps; worst gaps {worst:?}")]
    NotConverged {
        /// Steps taken.
        iterations: usize,
        /// Equations and their gaps [gap sizes], worst first, up to five.
        worst: Vec<(usize, f64)>,
    },
    /// An equation gave a gap or a slope that is not a finite number.
    #[error("equation {equation} is not finite at the values tried")]
    NotFinite {
        /// The first such equation.
        equation: usize,
    },
}

/// Up to five places where `values` is largest in magnitude, largest first.
pub(crate) fn worst(values: &[f64]) -> Vec<(usize, f64)> {
    let mut ranked: Vec<_> = values.iter().copied().enumerate().collect();
    ranked.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    ranked.truncate(5);
    ranked
}
