//! What it takes to put right what fails, from the project's table of it: minutes, money, state of the engine, whose hands.
//!
//! A cause says in words what cures it; the first word tells what sort of job that is, the kind's circuit what state an
//! opened circuit wants, and a row of its own in the table what is different about this one. So every cause has an effort,
//! and its text and its figures cannot say two things.

use crate::kind::{Cause, Kind, State};

/// What it takes to put something right.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Effort {
    /// Minutes hands on, without bringing the engine into its state [min].
    pub minutes: f64,
    /// Parts and what is used up, or the bill [EUR].
    pub money: f64,
    /// State of the engine it needs.
    pub state: State,
    /// Takes a yard, a workshop or a licensed hand: never at sea.
    pub yard: bool,
    /// Cannot be done without the part.
    pub spare: bool,
}

/// A sort of job.
#[derive(Debug)]
pub struct Sort {
    /// What it is.
    pub name: &'static str,
    /// First words of the remedies that are it.
    pub words: &'static [&'static str],
    /// Minutes hands on [min].
    pub minutes: f64,
    /// Money [EUR].
    pub money: f64,
    /// State of the engine; none where it is that of the opened circuit.
    pub state: Option<State>,
    /// Takes a yard.
    pub yard: bool,
    /// Cannot be done without the part.
    pub spare: bool,
}

/// A job that differs from its sort, in what is told.
#[derive(Debug)]
pub struct Job {
    /// Kind of part; "any" for the same remedy on several.
    pub kind: &'static str,
    /// The remedy, as its cause tells it.
    pub remedy: &'static str,
    /// Minutes hands on [min].
    pub minutes: Option<f64>,
    /// Money [EUR].
    pub money: Option<f64>,
    /// State of the engine.
    pub state: Option<State>,
    /// Takes a yard.
    pub yard: Option<bool>,
    /// Cannot be done without the part.
    pub spare: Option<bool>,
}

/// The sort of a remedy that an owner tells in words of his own.
const OWN_WORDS: &str = "find and mend";
/// The row of a remedy that several kinds have.
pub const ANY: &str = "any";

/// The sort of job that a remedy is by its first word, if the table knows it.
pub fn sort(remedy: &str) -> Option<&'static Sort> {
    let first = remedy.split(|letter: char| letter.is_whitespace() || ",:;".contains(letter)).next()?;
    SORTS.iter().find(|sort| sort.words.iter().any(|word| first.eq_ignore_ascii_case(word)))
}

/// What it takes to put a cause of this kind right.
pub fn effort(kind: &Kind, cause: &Cause) -> Effort {
    let sort = sort(cause.remedy).or_else(|| SORTS.iter().find(|sort| sort.name == OWN_WORDS)).unwrap_or(&SORTS[0]);
    let of = |name: &str| JOBS.iter().find(|job| job.kind == name && job.remedy == cause.remedy);
    let job = of(kind.name).or_else(|| of(ANY));
    let opened = OPENED.iter().find(|(circuit, _)| *circuit == kind.circuit.name()).map_or(State::Stopped, |it| it.1);
    Effort {
        minutes: job.and_then(|job| job.minutes).unwrap_or(sort.minutes),
        money: job.and_then(|job| job.money).unwrap_or(sort.money),
        state: job.and_then(|job| job.state).or(sort.state).unwrap_or(opened),
        yard: job.and_then(|job| job.yard).unwrap_or(sort.yard),
        spare: job.and_then(|job| job.spare).unwrap_or(sort.spare),
    }
}

/// The line at the step that bites, by the state of the engine that a repair needs.
pub fn caution(state: State) -> &'static str {
    match state {
        State::Kept | State::Running | State::Idling => "Hands, sleeves and tools clear of what turns.",
        State::Stopped => "Stopped, and nobody can start her from the helm; what was hot stays hot.",
        State::StoppedAndShut => "Seacock shut before anything is opened, and open again before she is started.",
        State::StoppedCold => "Let her cool first: hot coolant, oil and iron scald and burn.",
        State::UnderWater => "Key in your pocket, somebody on deck, nobody in the water alone.",
    }
}

include!(concat!(env!("OUT_DIR"), "/remedies.rs"));
