//! A finding: one thing wrong, or doubtful, in a file of the owner's; and how it is shown in plain text.

use crate::advice::{at, count, instead_of_passage, meant, meant_or, some};
use measure::quantity::Quantity;
use measure::unit::UnitError;
use std::fmt::Write as _;
use std::ops::Range;

/// One thing wrong, or doubtful, in a file of the owner's.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// What it is.
    pub problem: Problem,
    /// Where in the file, first place first [byte offsets], each with a few words; none if it is about the whole file.
    pub places: Vec<(Range<usize>, String)>,
}

/// How much a finding weighs.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Only to be known.
    Note,
    /// Taken as written, but it can hardly be meant.
    Doubt,
    /// Nothing can be worked out until it is put right.
    Fault,
}

impl Weight {
    /// The word on a page.
    pub fn word(self) -> &'static str {
        match self {
            Weight::Note => "note",
            Weight::Doubt => "doubt",
            Weight::Fault => "fault",
        }
    }
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[allow(missing_docs)] // The sentence above each variant is its meaning; the fields are the words in it.
pub enum Problem {
    #[error("there is nothing in this file")]
    Empty,
    #[error("this file is {megabytes} MB; a file of this sort is never over {limit} MB")]
    TooLarge { megabytes: usize, limit: usize },
    #[error("there are more than {limit} {what}; the rest is not read")]
    TooMany { what: &'static str, limit: usize },
    #[error("{count} more faults follow")]
    MoreFaults { count: usize },
    #[error("this is not a text file")]
    NotText,
    #[error("this line cannot be read: {message}")]
    NotToml { message: String },

    #[error("`{key}` is not a key of {of}")]
    UnknownKey { key: String, of: String, nearest: Option<String>, known: Vec<String> },
    #[error("`{key}` must be {expected}, not {given}")]
    WrongType { key: String, expected: &'static str, given: &'static str },
    #[error("`{key}` of {of} is missing")]
    MissingKey { key: &'static str, of: String, example: &'static str },
    #[error("`{word}` cannot stand for `{key}`")]
    UnknownChoice { key: String, word: String, nearest: Option<String>, known: Vec<String> },
    #[error("`{key}`: {error}")]
    BadUnit { key: String, quantity: Quantity, error: UnitError },
    #[error("`{parameter}` of {part} is {given}; it must lie within {low} to {high}")]
    OutOfRange { part: String, parameter: String, given: String, low: String, high: String },
    #[error("the name `{name}` is used twice")]
    DuplicateName { name: String },
    #[error("{what} is given twice")]
    Duplicate { what: String },
    #[error("{what}")]
    Contradiction { what: String, advice: &'static str },
    #[error("{what}")]
    Unfit { what: String, advice: &'static str },
    #[error("`{gauge}` has no like on a sister engine")]
    NoSister { gauge: String },

    #[error("`{kind}` is not a kind of part")]
    UnknownKind { kind: String, nearest: Option<String> },
    #[error("`{word}` can mean more than one kind of part: {}", known.join(" or "))]
    AmbiguousKind { word: String, known: Vec<String> },
    #[error("there is no part `{name}`")]
    UnknownPart { name: String, nearest: Option<String> },
    #[error("`{name}` is not a circuit")]
    UnknownCircuit { name: String, nearest: Option<String>, known: Vec<String> },
    #[error("no engine is described")]
    NoEngine,
    #[error("the {circuit} circuit cannot lead through `{part}`")]
    NoPassage { part: String, circuit: String, passages: Vec<String> },
    #[error("the {circuit} circuit could lead through `{part}` in more than one way: {}", passages.join(", "))]
    AmbiguousPassage { part: String, circuit: String, passages: Vec<String> },
    #[error("nothing can come before `{part}` in the {circuit} circuit")]
    NothingBefore { part: String, circuit: String },
    #[error("nothing can come after `{part}` in the {circuit} circuit")]
    NothingAfter { part: String, circuit: String },
    #[error("`{part}` is in the path of the {circuit} circuit twice, with different neighbours")]
    PathMeetsItself { part: String, circuit: String },
    #[error("nothing fixes the pressure in the {circuit} circuit{}", at(near))]
    PressureFloats { circuit: String, near: String },
    #[error("the {circuit} circuit has {} that fix its pressure: {}", count(parts.len()), parts.join(", "))]
    PressureFixedTwice { circuit: String, parts: Vec<String> },
    #[error("`{first}` and `{second}` are not neighbours in any path")]
    NotNeighbours { first: String, second: String },
    #[error("`{port}` of `{part}` leads nowhere")]
    LeadsNowhere { part: String, port: String },
    #[error("`{part}` is joined to nothing")]
    NotConnected { part: String },
    #[error("nothing turns `{part}`: {why}")]
    NothingDrives { part: String, why: String },
    #[error("`{part}` ends up turning itself: {}", round.join(" turned by "))]
    LoopOfDrives { part: String, round: Vec<String> },

    #[error("`{at}` is nothing a gauge can look at")]
    UnknownTap { at: String, nearest: Option<String>, known: Vec<String> },
    #[error("a {reads} gauge cannot be at `{at}`")]
    TapDoesNotFit { reads: String, at: String, advice: String },
    #[error("not described, so assumed to be there: {}", parts.join(", "))]
    Assumed { parts: Vec<String> },
    #[error("rated power and speed of `{engine}` are not both given; {assumed} is assumed")]
    RatingNotTold { engine: String, assumed: String },

    #[error("`{name}` cannot be opened and shut")]
    NotAValve { name: String, nearest: Option<String>, known: Vec<String> },
    #[error("`{name}` was turned, and is no valve of this vessel now; it is left out")]
    ValveGone { name: String, nearest: Option<String> },
    #[error("there is no line-up `{name}`")]
    UnknownLineUp { name: String, nearest: Option<String>, known: Vec<String> },

    #[error("there is no gauge `{name}`")]
    UnknownGauge { name: String, nearest: Option<String> },
    #[error("there is no {sort} `{name}`")]
    Unknown { sort: &'static str, name: String, nearest: Option<String> },
    #[error("there is no part or gauge `{name}`")]
    UnknownName { name: String, nearest: Option<String> },
    #[error("`{word}` is not said of {of}")]
    UnknownWord { word: String, of: String, nearest: Option<String>, known: Vec<String> },
    #[error("`{check}` is not a check of {of}")]
    UnknownCheck { check: String, of: String, nearest: Option<String>, known: Vec<String> },
    #[error("`{cause}` is not a way {of} fails")]
    UnknownCause { cause: String, of: String, nearest: Option<String>, known: Vec<String> },
    #[error("`{gauge}` reads {given}, but its scale goes from {low} to {high}")]
    OffScaleValue { gauge: String, given: String, low: String, high: String },
    #[error("`{given}` is no reading of `{gauge}`: {error}")]
    NotAReading { gauge: String, given: String, error: UnitError },
    #[error("this occasion {why}")]
    BadOccasion { why: String, advice: &'static str },

    #[error("there is nothing in this evidence: no occasion, no check, nothing renewed, no work")]
    NoEvidence,
    #[error("this line cannot be read: {message}")]
    BadLine { message: String, advice: &'static str },
    #[error("`{key}` stands outside any occasion")]
    OutsideOccasion { key: String },
    #[error("`{word}` could be more than one: {}", some(known))]
    AmbiguousName { word: String, known: Vec<String> },
    #[error("something is said of `{name}`, but not what")]
    SaidWhat { name: String, known: Vec<String> },
    #[error("`{word}` is said of no part or gauge of this vessel")]
    NobodySays { word: String, nearest: Option<String> },
    #[error("nothing of `{of}` that can be renewed is called `{what}`")]
    UnknownRenewal { what: String, of: String, nearest: Option<String>, known: Vec<String> },
    #[error("`{alarm}` is an alarm and has no reading")]
    AlarmHasNoReading { alarm: String },
    #[error("`{key}` cannot be {given}; it lies within {low} to {high}")]
    Unreasonable { key: String, given: String, low: String, high: String },
    #[error("`{word}` means a speed only where the vessel is known")]
    NeedsVessel { word: String },
    #[error("`{key} = {given}` changes nothing, for each gauge and word tells by itself which engine it is of")]
    TellsByItself { key: String, given: String },
    #[error("{what} stands here twice; the later one counts")]
    Repeated { what: String },
    #[error("`{name}` is no gauge of this vessel and is left out")]
    ColumnLeftOut { name: String, nearest: Option<String> },
    #[error("of {rows} rows, {kept} spread evenly over the file are used")]
    Thinned { rows: usize, kept: usize },
}

/// What is expected where a file may tell of several of one sort.
pub(crate) const SECTION: &str = "a section of its own";

impl Problem {
    /// What the owner can do about it, in one sentence.
    pub fn advice(&self) -> String {
        use Problem::*;
        match self {
            Empty => "Ten lines are enough to begin with: the engine, and what the raw water passes.".into(),
            TooLarge { .. } => "Is it the right file?".into(),
            TooMany { .. } => "No vessel has so many: has something been pasted over and over?".into(),
            MoreFaults { .. } => "Put these right first; most of the others may go with them.".into(),
            NotText => "Save it as plain text (UTF-8) from any text editor.".into(),
            NotToml { .. } => "Look at this line and the one before it: a quote, a bracket or an equals sign.".into(),
            UnknownKey { nearest, known, .. }
            | UnknownChoice { nearest, known, .. }
            | UnknownCircuit { nearest, known, .. }
            | UnknownTap { nearest, known, .. }
            | UnknownWord { nearest, known, .. }
            | UnknownCheck { nearest, known, .. }
            | UnknownCause { nearest, known, .. }
            | UnknownRenewal { nearest, known, .. }
            | NotAValve { nearest, known, .. }
            | UnknownLineUp { nearest, known, .. } => meant(nearest.as_deref(), known),
            UnknownKind { nearest, .. } => meant_or(nearest.as_deref(), "The handbook lists the kinds."),
            AmbiguousKind { known, .. } => format!("Write {}.", known.join(" or ")),
            ValveGone { nearest, .. } => meant_or(nearest.as_deref(), "Take it out, or write its name of now."),
            UnknownPart { nearest, .. } | UnknownName { nearest, .. } => {
                meant_or(nearest.as_deref(), "Use a name from the vessel file, as it stands there.")
            }
            Unknown { nearest, .. } => {
                meant_or(nearest.as_deref(), "Use a name as it is written where it is described.")
            }
            UnknownGauge { nearest, .. } => {
                meant_or(nearest.as_deref(), "Describe it in the vessel file under [gauge.…].")
            }
            WrongType { key, expected: SECTION, .. } => {
                format!("Write [[{key}]] on a line of its own, and what it tells below it.")
            }
            WrongType { key, expected, .. } => format!("Write `{key} = …` as {expected}."),
            MissingKey { key, example, .. } => format!("Add a line such as `{key} = {example}`."),
            BadUnit { quantity: Quantity::Ratio, .. } => "Write a plain number, or a percentage.".into(),
            BadUnit { quantity, .. } => format!("Write the value with its unit, such as \"{}\".", quantity.example()),
            OutOfRange { .. } => "Check the unit first, then the maker's sheet.".into(),
            DuplicateName { .. } => "Give one of them another name: parts, gauges and alarms share one list.".into(),
            Duplicate { .. } => "Leave one of the two.".into(),
            Contradiction { advice, .. }
            | Unfit { advice, .. }
            | BadOccasion { advice, .. }
            | BadLine { advice, .. } => (*advice).into(),
            NoSister { .. } => "Write what it showed: only engines described alike can be compared.".into(),
            NoEngine => "Add [engine.main] with kind, bore, stroke and `rated = { power = …, speed = … }`.".into(),
            NoPassage { passages, circuit, .. } if circuit == "fuel" && passages.is_empty() => {
                "It is only spoken of. What fuel flows through is a `fuel-tank` and a `feed-pump`.".into()
            }
            NoPassage { passages, .. } => instead_of_passage(passages),
            AmbiguousPassage { part, passages, .. } => {
                format!("Say which, as `{part}.{}`.", passages.first().map_or("…", String::as_str))
            }
            NothingBefore { .. } => "Let the path begin with it.".into(),
            NothingAfter { .. } => "Let the path end with it.".into(),
            PathMeetsItself { .. } => "Give the second one its own name, or list the branch under `paths`.".into(),
            NotNeighbours { .. } => "Name two parts that follow each other, in the order of the flow.".into(),
            PressureFloats { .. } => "Add a header tank, or an opening to the sea or the air.".into(),
            PressureFixedTwice { .. } => "Leave one of them in this circuit.".into(),
            LeadsNowhere { port, .. } => format!("Carry the path on from `{port}`, or leave the part out."),
            NotConnected { .. } => "Put it into the path of a circuit, or leave it out.".into(),
            NothingDrives { .. } => "Say `driven-by = \"…\"`, naming the belt or the engine.".into(),
            LoopOfDrives { .. } => "Let one of them be driven by the engine.".into(),
            TapDoesNotFit { advice, .. } => advice.clone(),
            Assumed { .. } => {
                "Describe any of them as [part.…] if yours differs, and its own figures will be used.".into()
            }
            RatingNotTold { .. } => {
                "Every typical size hangs on them: add `rated = { power = …, speed = … }` from the plate.".into()
            }
            OffScaleValue { .. } => {
                "Check the unit, or write `off the scale high` if the pointer is at its stop.".into()
            }
            NotAReading { .. } => "Write what it showed with its unit, or \"usual\", or \"off the scale high\".".into(),
            NoEvidence => "Two lines are enough: [[occasion]], and below it readings = { … } or said = [ … ].".into(),
            OutsideOccasion { .. } => "Write [[occasion]] on a line of its own above it.".into(),
            AmbiguousName { .. } => "Write the one you mean.".into(),
            SaidWhat { name, known } => match known.first() {
                Some(word) => format!("Write it such as \"{name}.{word}\". Known here: {}.", known.join(", ")),
                None => "Nothing can be said of it; say it of the part next to it.".into(),
            },
            NobodySays { nearest, .. } => meant_or(nearest.as_deref(), "`bedplate words` lists what can be said."),
            AlarmHasNoReading { alarm } => format!("Write said = [\"{alarm}.on\"], or not = [\"{alarm}.on\"]."),
            Unreasonable { .. } => "Check the number, then its unit.".into(),
            NeedsVessel { .. } => "Write the speed itself, such as \"1500 rpm\".".into(),
            TellsByItself { .. } => {
                "Leave it out; where there are several engines, name the gauges of the one you mean.".into()
            }
            Repeated { .. } => "Take out the one that does not count.".into(),
            ColumnLeftOut { nearest, .. } => {
                meant_or(nearest.as_deref(), "If it is one, describe it in the vessel file under [gauge.…].")
            }
            Thinned { .. } => {
                "More rows than that add time and no knowledge; cut the file to the hours that matter.".into()
            }
        }
    }

    /// How much it weighs.
    pub fn weight(&self) -> Weight {
        use Problem::*;
        match self {
            Assumed { .. } | TellsByItself { .. } | Thinned { .. } => Weight::Note,
            Contradiction { .. }
            | OffScaleValue { .. }
            | NotConnected { .. }
            | RatingNotTold { .. }
            | BadOccasion { .. }
            | Repeated { .. }
            | ValveGone { .. }
            | ColumnLeftOut { .. } => Weight::Doubt,
            _ => Weight::Fault,
        }
    }
}

impl Finding {
    /// A finding about one place.
    pub fn at(problem: Problem, place: Range<usize>) -> Self {
        Finding { problem, places: vec![(place, String::new())] }
    }

    /// A finding about the file as a whole.
    pub fn whole(problem: Problem) -> Self {
        Finding { problem, places: Vec::new() }
    }

    /// The same, with a further place and a few words for it.
    pub fn and(mut self, place: Range<usize>, words: &str) -> Self {
        self.places.push((place, words.to_string()));
        self
    }

    /// Does it keep the file from being used?
    pub fn is_fatal(&self) -> bool {
        self.problem.weight() == Weight::Fault
    }
}

/// Line and column of a byte offset, both counted from 1, the column in characters.
pub fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let before = &text[..floor(text, offset)];
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    (before.matches('\n').count() + 1, before[start..].chars().count() + 1)
}

/// The finding as plain text: file, line and column; the lines it is about, underlined; the problem; the advice.
pub fn render(finding: &Finding, text: &str, file_name: &str) -> String {
    let mut out = String::new();
    let place = finding.places.first().map(|(range, _)| line_and_column(text, range.start));
    let place = place.map_or(String::new(), |(line, column)| format!(":{line}:{column}"));
    // Writing to a string cannot fail.
    let _ = writeln!(out, "{file_name}{place}: {}: {}", finding.problem.weight().word(), finding.problem);
    for (range, words) in &finding.places {
        underline(&mut out, text, range, words);
    }
    let _ = writeln!(out, "  {}", finding.problem.advice());
    out
}

/// Longest part of a line that is shown [characters]: a whole file may be one line.
const SHOWN: usize = 120;

fn underline(out: &mut String, text: &str, range: &Range<usize>, words: &str) {
    let start = floor(text, range.start);
    let (number, column) = line_and_column(text, start);
    let line_start = text[..start].rfind('\n').map_or(0, |newline| newline + 1);
    let line: String = text[line_start..].lines().next().unwrap_or("").replace('\t', " ");
    let wide = text[start..floor(text, range.end.max(start))].lines().next().unwrap_or("").chars().count().max(1);
    // A long line is shown from half a window before the place.
    let first = if column + wide > SHOWN { column.saturating_sub(SHOWN / 2) } else { 0 };
    let shown: String = line.chars().skip(first).take(SHOWN).filter(|letter| !letter.is_control()).collect();
    let before = column - 1 - first;
    let carets = "^".repeat(wide.min(SHOWN.saturating_sub(before).max(1)));
    let margin = " ".repeat(number.to_string().len());
    let _ = writeln!(out, "  {number} | {shown}");
    let _ = writeln!(out, "  {margin} | {}{carets} {words}", " ".repeat(before));
    while out.ends_with(" \n") {
        out.truncate(out.len() - 2);
        out.push('\n');
    }
}

/// The nearest place at or before `offset` that does not cut a letter [byte offset].
fn floor(text: &str, offset: usize) -> usize {
    let mut at = offset.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
