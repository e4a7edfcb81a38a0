//! What is asked: gaps to close in as many unknowns.

/// `n` gaps in `n` unknowns, with a fixed pattern of slopes.
///
/// Every slice a system hands out or is handed has the length [`System::len`], except slopes, which have the length
/// of the pattern. Units are the system's own; this crate never mixes them but through the sizes.
pub trait System {
    /// Number of gaps, and of unknowns.
    fn len(&self) -> usize;

    /// Whether there is nothing to solve.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The (equation, unknown) of each slope, fixed for the life of a solver. Duplicates add up.
    fn pattern(&self) -> &[(usize, usize)];

    /// Writes the gaps [units of the equation] and the slopes [units of the equation per unit of the unknown], the
    /// slopes in the order of the pattern. A gap or slope that is not finite stops the solver.
    fn evaluate(&self, x: &[f64], gaps: &mut [f64], slopes: &mut [f64]);

    /// Writes the gaps alone [units of the equation], for the searches along a step. A gap that is not finite only
    /// shortens the step.
    fn gaps(&self, x: &[f64], gaps: &mut [f64]);

    /// Typical size of each unknown [units of the unknown], above 0: the measure of steps.
    fn sizes(&self) -> &[f64];

    /// Size of each gap that is one unit wrong [units of the equation], above 0: the measure of being solved.
    fn gap_sizes(&self) -> &[f64];

    /// Lowest and highest value of each unknown [units of the unknown], never left; infinite where there is none.
    fn bounds(&self) -> &[(f64, f64)];
}
