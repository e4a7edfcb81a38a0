//! What the margins ask of a kind: is it sized and arranged right?

use crate::laws::Site;
use measure::quantity::Quantity;

/// A question that a sound part answers by standing within bounds, wherever the vessel may be run.
#[derive(Copy, Clone)]
pub struct Margin {
    /// Short name, for a program: "suction velocity".
    pub name: &'static str,
    /// The question, for a page: "Is the water slow enough in the suction?"
    pub asks: &'static str,
    /// The quantity that answers it, from figures and state of the part [SI]; none where the question does not arise (at
    /// standstill, or of a part that is not in use).
    pub of: fn(&Site<f64>) -> Option<f64>,
    /// What kind of number that is.
    pub quantity: Quantity,
    /// Least value that is sound [SI]; minus infinity if there is none.
    pub least: f64,
    /// Most that is sound [SI]; infinity if there is none.
    pub most: f64,
    /// What to change if it is not.
    pub remedy: &'static str,
    /// Where the bounds come from.
    pub source: &'static str,
}

impl std::fmt::Debug for Margin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Margin").field("name", &self.name).finish_non_exhaustive()
    }
}
