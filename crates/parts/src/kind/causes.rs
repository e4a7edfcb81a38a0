//! How things go wrong: causes, what they move, what they make people say.

use super::Misreads;

/// A way a part fails, or a changed circumstance.
#[derive(Copy, Clone, Debug)]
pub struct Cause {
    /// The word in evidence and answers.
    pub name: &'static str,
    /// One clause for a page, "port strainer blocked".
    pub title: &'static str,
    /// What it moves in the model, if anything.
    pub moves: &'static [Move],
    /// How bad it is when somebody notices.
    pub severity: Severity,
    /// Words it makes people say that no model quantity explains, with the chance that they say it.
    pub says: &'static [Says],
    /// How it makes a gauge or an alarm lie, if the part is one.
    pub misreads: Option<Misreads>,
    /// Key in the table of failure rates.
    pub rate: &'static str,
    /// What cures it; causes with the same remedy on a part need not be told apart.
    pub remedy: &'static str,
}

/// How severity is spread when the cause is there.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Severity {
    /// From slight to total, all alike.
    Even,
    /// More often slight.
    MostlySlight,
    /// More often bad by the time it is noticed.
    MostlyBad,
    /// Noticed only when nearly shut: an engine breathes out through a third of its exhaust and nobody feels it. From memory,
    /// and by the model itself.
    NearlyShut,
    /// There or not.
    Whole,
}

/// How a cause of severity s (0 to 1) moves one parameter.
#[derive(Copy, Clone, Debug)]
pub struct Move {
    /// Whose parameter.
    pub on: Whose,
    /// Which parameter.
    pub parameter: &'static str,
    /// How.
    pub by: By,
}

/// Whose parameter a cause moves.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Whose {
    /// The part's own.
    Own,
    /// The next part of one of these kinds downstream in the same circuit: where the pieces end up.
    Downstream(&'static [&'static str]),
    /// Every part of this kind (wrong oil, hot sea).
    Kind(&'static str),
    /// Every part of this kind aboard, whichever engine it serves, if sea water is what the part holds in or out: the bilge.
    Flooded(&'static str),
}

/// The law of a move in severity s.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum By {
    /// Times this factor at s = 1, geometric in between.
    Factor(f64),
    /// A resistance whose free area is down to (1 − 0.98 s)²: times 1/(1 − 0.98 s)⁴. Half severity is already felt.
    Blocked,
    /// The same for a gas way, which an engine cannot run through once it is nearly shut: of the diameter this share is shut
    /// at s = 1, so times 1/(1 − share · s)⁴.
    Choked(f64),
    /// Times 1 − s (never quite zero).
    Lost,
    /// Plus s times this [SI].
    Add(f64),
    /// Towards this value, all the way at s = 1 [SI].
    Towards(f64),
}

impl By {
    /// Share of the area that is shut at severity `s` [1], for what blocks; severity itself for anything else.
    pub fn shut(self, s: f64) -> f64 {
        match self {
            By::Blocked => 1.0 - (1.0 - 0.98 * s).powi(2),
            By::Choked(most) => 1.0 - (1.0 - most * s).powi(2),
            _ => s,
        }
    }
}

/// A word that a cause makes people say.
#[derive(Copy, Clone, Debug)]
pub struct Says {
    /// Kind of part the word belongs to; "" for the cause's own part.
    pub kind: &'static str,
    /// The word.
    pub word: &'static str,
    /// Chance that it is there to be noticed.
    pub chance: f64,
}

/// A word of the cause's own part.
pub const fn says(word: &'static str, chance: f64) -> Says {
    Says { kind: "", word, chance }
}

/// A word of another kind of part.
pub const fn says_of(kind: &'static str, word: &'static str, chance: f64) -> Says {
    Says { kind, word, chance }
}

/// A cause that moves nothing in the model and is only spoken of.
pub(crate) struct Spoken {
    pub name: &'static str,
    pub title: &'static str,
    pub says: &'static [Says],
    pub rate: &'static str,
    pub remedy: &'static str,
}

/// That cause in full.
pub(crate) const fn spoken(it: &Spoken) -> Cause {
    Cause {
        name: it.name,
        title: it.title,
        moves: &[],
        severity: Severity::Whole,
        says: it.says,
        misreads: None,
        rate: it.rate,
        remedy: it.remedy,
    }
}

/// Fuel that comes too sparingly caps what the engine burns.
const STARVES: &[Move] = &[Move { on: Whose::Kind("diesel"), parameter: "fuel_limit", by: By::Factor(0.1) }];

/// A cause that starves the engine of fuel; what else it shows is only spoken of.
pub(crate) const fn starves(it: &Spoken) -> Cause {
    Cause { moves: STARVES, severity: Severity::Even, ..spoken(it) }
}
