//! What a job asks for.

use measure::quantity::Quantity;

/// One thing a job wants to know.
#[derive(Debug)]
pub struct Ask {
    /// The key it is told by: "flange-diameter".
    pub key: &'static str,
    /// What it is, in words, with where and how it is measured.
    pub says: &'static str,
    /// What sort of thing it is.
    pub sort: Sort,
    /// What is done where it is not told.
    pub need: Need,
    /// What it must lie within [SI]; of a list each value.
    pub within: (f64, f64),
    /// Standard uncertainty of one such measurement, where none is told with it [SI]; 0 where it is exact.
    pub doubt: f64,
    /// What it could be told as, where the quantity's own example is far off; empty for that.
    pub like: &'static str,
    /// It is only asked where this choice has one of these words.
    pub only: Option<(&'static str, &'static [&'static str])>,
    /// Where the plant has it: the kind of part and its figure; the first that is there is taken.
    pub plant: &'static [(&'static str, &'static str)],
}

/// What sort of thing is asked.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Sort {
    /// One value.
    One(Quantity),
    /// A list of values.
    Many(Quantity),
    /// One of a few words, each with what it means.
    Choice(&'static [(&'static str, &'static str)]),
    /// A short text of its own grammar, such as a firing order; with an example.
    Text(&'static str),
}

/// What is done where a thing is not told.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Need {
    /// The job cannot be worked without it.
    Must,
    /// The job does without it.
    May,
    /// This is taken, as written, and where it comes from.
    Usual(&'static str, &'static str),
}

impl Ask {
    /// A value that must be told, exact.
    pub const fn one(key: &'static str, says: &'static str, quantity: Quantity, within: (f64, f64)) -> Ask {
        Ask {
            key,
            says,
            sort: Sort::One(quantity),
            need: Need::Must,
            within,
            doubt: 0.0,
            like: "",
            only: None,
            plant: &[],
        }
    }

    /// A list of values that must be told, exact.
    pub const fn many(key: &'static str, says: &'static str, quantity: Quantity, within: (f64, f64)) -> Ask {
        Ask { sort: Sort::Many(quantity), ..Ask::one(key, says, quantity, within) }
    }

    /// One of a few words.
    pub const fn choice(key: &'static str, says: &'static str, words: &'static [(&'static str, &'static str)]) -> Ask {
        Ask { sort: Sort::Choice(words), ..Ask::one(key, says, Quantity::Ratio, (0.0, 0.0)) }
    }

    /// A text of its own grammar.
    pub const fn text(key: &'static str, says: &'static str, example: &'static str) -> Ask {
        Ask { sort: Sort::Text(example), ..Ask::one(key, says, Quantity::Ratio, (0.0, 0.0)) }
    }

    /// The same, and the job does without it.
    #[must_use]
    pub const fn may(self) -> Ask {
        Ask { need: Need::May, ..self }
    }

    /// The same, and this is taken where it is not told.
    #[must_use]
    pub const fn usual(self, value: &'static str, source: &'static str) -> Ask {
        Ask { need: Need::Usual(value, source), ..self }
    }

    /// The same, uncertain by so much where nothing is told of that [SI].
    #[must_use]
    pub const fn about(self, doubt: f64) -> Ask {
        Ask { doubt, ..self }
    }

    /// The same, and it could be told so.
    #[must_use]
    pub const fn like(self, like: &'static str) -> Ask {
        Ask { like, ..self }
    }

    /// The same, asked only where a choice has one of these words.
    #[must_use]
    pub const fn only(self, key: &'static str, words: &'static [&'static str]) -> Ask {
        Ask { only: Some((key, words)), ..self }
    }

    /// The same, and the plant may know it.
    #[must_use]
    pub const fn of_plant(self, plant: &'static [(&'static str, &'static str)]) -> Ask {
        Ask { plant, ..self }
    }

    /// What its values are of, where it is told in numbers.
    pub fn quantity(&self) -> Option<Quantity> {
        match self.sort {
            Sort::One(quantity) | Sort::Many(quantity) => Some(quantity),
            Sort::Choice(_) | Sort::Text(_) => None,
        }
    }

    /// What it could be told as.
    pub fn example(&self) -> String {
        match self.sort {
            _ if !self.like.is_empty() => self.like.into(),
            Sort::One(quantity) => quantity.example().into(),
            Sort::Many(quantity) => format!("{}, …", quantity.example()),
            Sort::Choice(words) => words.iter().map(|(word, _)| *word).collect::<Vec<_>>().join(" or "),
            Sort::Text(example) => example.into(),
        }
    }
}
