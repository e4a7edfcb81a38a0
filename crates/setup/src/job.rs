//! A job: what it is, what it asks, and the function that works it.

use crate::ask::Ask;
use crate::given::Given;
use crate::worked::Worked;

/// An adjusting job or a calculator, complete: its file is the only place that knows it.
#[derive(Debug)]
pub struct Job {
    /// The word on the command line and in addresses: "valve-lash".
    pub word: &'static str,
    /// Its title.
    pub title: &'static str,
    /// What it answers, in a sentence.
    pub about: &'static str,
    /// Under what it is listed.
    pub group: Group,
    /// The kinds of part it is done on; none where it is of no part.
    pub kinds: &'static [&'static str],
    /// The service task under which what was found and left is written down, by the end of its name, if there is one.
    pub task: Option<&'static str>,
    /// What it asks, in the order of the form.
    pub asks: &'static [Ask],
    /// Works it.
    pub work: fn(&Given) -> Result<Worked, Refused>,
}

/// What jobs are listed under.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Group {
    /// Something is turned, shimmed or moved.
    Adjust,
    /// Something is measured and judged.
    Judge,
    /// Something is chosen or sized.
    Size,
}

impl Group {
    /// All of them, in the order of the page.
    pub const ALL: [Group; 3] = [Group::Adjust, Group::Judge, Group::Size];

    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            Group::Adjust => "Adjusting",
            Group::Judge => "Measuring and judging",
            Group::Size => "Choosing and sizing",
        }
    }
}

/// Why something that was told cannot be, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The ask it is about, if it is about one.
    pub key: Option<&'static str>,
    /// What is wrong.
    pub why: String,
    /// What to do.
    pub advice: String,
}

/// Everything that is wrong with what was told.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Refused(pub Vec<Refusal>);

impl Refused {
    /// Nothing works with this one.
    pub fn of(key: &'static str, why: impl Into<String>, advice: impl Into<String>) -> Refused {
        Refused(vec![Refusal { key: Some(key), why: why.into(), advice: advice.into() }])
    }

    /// What was told does not go together.
    pub fn together(why: impl Into<String>, advice: impl Into<String>) -> Refused {
        Refused(vec![Refusal { key: None, why: why.into(), advice: advice.into() }])
    }
}
