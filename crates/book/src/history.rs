//! What was done to her and what is due, as the book tells it: handed in, worded already.

/// What is known of her past and what comes next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// Work done, the latest first.
    pub done: Vec<Done>,
    /// Work that is due or comes due, the most pressing first.
    pub due: Vec<Due>,
    /// When alarms were tried for real.
    pub tried: Vec<Tried>,
}

/// A piece of work done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Done {
    /// The day, as people write it.
    pub day: String,
    /// What was done: "Impeller renewed".
    pub what: String,
    /// The part's name as in the description; empty if it was no part's.
    pub part: String,
    /// Running hours then, as people write them; empty if not known.
    pub hours: String,
    /// Who did it; empty if not told.
    pub who: String,
    /// As found and as left, in words; empty if not told.
    pub remarks: String,
}

/// A piece of work that is due.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Due {
    /// What is to be done.
    pub what: String,
    /// The part's name as in the description; empty if it is no part's.
    pub part: String,
    /// When: "past by 14 h", "in about 60 h".
    pub when: String,
    /// What it needs: "hauled out", "afloat, cold".
    pub needs: String,
    /// It needs a yard.
    pub yard: bool,
}

/// An alarm that was tried.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tried {
    /// Its name as in the description.
    pub alarm: String,
    /// The day, as people write it.
    pub day: String,
    /// How, and whether it spoke.
    pub how: String,
}
