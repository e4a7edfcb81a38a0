//! Is everything sized and arranged right? The answers, in words.

use crate::assumed::{at_place, in_owners_unit};
use crate::dial;
use crate::saying::key;
use jobs::margins::{Answer, Margins, TRIALS};
use measure::figure::Origin;
use measure::quantity::Quantity;
use measure::unit::print;
use model::layout::Layout;
use parts::kind::Margin;
use plant::plant::{PartId, Plant};

/// How the plant stands to a question.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Neither it nor most plants described like it are sound here.
    NotKept,
    /// Some are not: what is told does not settle it.
    Open,
    /// Nineteen in twenty are.
    Kept,
}

/// Share of plants from which on a margin counts as kept, and under which as not [1].
const KEPT: f64 = 0.95;
const NOT_KEPT: f64 = 0.5;

impl Standing {
    /// Every one, the worst first.
    pub const ALL: [Standing; 3] = [Standing::NotKept, Standing::Open, Standing::Kept];

    /// Over those that stand so.
    pub fn heading(self) -> &'static str {
        match self {
            Standing::NotKept => "Not kept",
            Standing::Open => "Open: some vessels described like this one keep it, some do not",
            Standing::Kept => "Kept",
        }
    }
}

/// One question and its answer.
#[derive(Clone, Debug)]
pub struct Line {
    /// Of which part.
    pub part: PartId,
    /// The question.
    pub asks: &'static str,
    /// How it stands.
    pub standing: Standing,
    /// What answers it, with the band of nine in ten: "2.6 m/s, 2.1 to 3.2".
    pub value: String,
    /// What is sound: "at most 2 m/s".
    pub bound: String,
    /// Where she is hardest put to it.
    pub at: &'static str,
    /// What helps, and what would settle it, where it is not kept.
    pub advice: Option<String>,
    /// Where the bound comes from.
    pub source: String,
    /// The same numbers to draw.
    pub drawn: Drawn,
}

/// Numbers of an answer [SI].
#[derive(Copy, Clone, Debug)]
pub struct Drawn {
    /// By the figures as they are believed.
    pub value: f64,
    /// Nine in ten lie between these.
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// What is sound; minus infinity if there is no such bound.
    pub least: f64,
    /// The same on the other side.
    pub most: f64,
}

/// How the plant stands to this question.
pub fn standing(answer: &Answer) -> Standing {
    match answer.holds {
        share if share >= KEPT => Standing::Kept,
        share if share < NOT_KEPT && !answer.margin.holds(answer.value) => Standing::NotKept,
        _ => Standing::Open,
    }
}

/// Every question, the worst first.
pub fn lines(plant: &Plant, margins: &Margins) -> Vec<Line> {
    let layout = Layout::of(plant);
    let mut lines: Vec<Line> = margins.answers.iter().map(|answer| line(plant, &layout, answer)).collect();
    lines.sort_by_key(|line| line.standing);
    lines
}

/// How many stand how, in a sentence.
pub fn summary(lines: &[Line]) -> String {
    let count = |standing| lines.iter().filter(|line| line.standing == standing).count();
    format!(
        "{} questions, each where she is hardest put to it: {} not kept, {} open, {} kept.",
        lines.len(),
        count(Standing::NotKept),
        count(Standing::Open),
        count(Standing::Kept)
    )
}

/// Where nothing could be asked, and why.
pub fn unasked(margins: &Margins) -> Vec<String> {
    let line = |(trial, why): &(usize, String)| format!("At {} nothing could be asked: {why}.", TRIALS[*trial].name);
    margins.unsolved.iter().map(line).collect()
}

fn line(plant: &Plant, layout: &Layout, answer: &Answer) -> Line {
    let margin = answer.margin;
    let told = |value: f64| in_usual_unit(value, margin);
    let whole = |value: f64| {
        let (number, unit) = told(value);
        dial::with_unit(&number, unit)
    };
    let (low, high) = (told(answer.low).0, told(answer.high).0);
    let band = if low == high { String::new() } else { format!(", {low} to {high}") };
    let bound = match (margin.least.is_finite(), margin.most.is_finite()) {
        (true, true) => format!("{} to {}", told(margin.least).0, whole(margin.most)),
        (true, false) => format!("at least {}", whole(margin.least)),
        _ => format!("at most {}", whole(margin.most)),
    };
    let typical = answer.decided_by.and_then(|place| at_place(plant, layout, place));
    let typical = typical.filter(|told| told.figure.origin == Origin::Typical);
    let settle = typical.map_or(String::new(), |told| {
        format!(" Telling the {} of {} narrows it most.", key(told.parameter.name), told.part)
    });
    let standing = standing(answer);
    let Answer { value, low, high, .. } = *answer;
    Line {
        part: answer.part,
        asks: margin.asks,
        standing,
        value: whole(value) + &band,
        bound,
        at: TRIALS[answer.trial].name,
        advice: (standing != Standing::Kept).then(|| format!("What helps: {}.{settle}", margin.remedy)),
        source: margin.source.trim_start_matches('[').replace(']', ""),
        drawn: Drawn { value, low, high, least: margin.least, most: margin.most },
    }
}

/// Speeds in pipes in metres a second, small pressures in kilopascals, as tables of them print both; shares in per cent.
fn in_usual_unit(value: f64, margin: &Margin) -> (String, &'static str) {
    let a_share = [margin.least, margin.most].iter().all(|bound| bound.is_infinite() || bound.abs() <= 1.0);
    let unit = match margin.quantity {
        Quantity::Velocity => "m/s",
        Quantity::PressureDifference => "kPa",
        Quantity::Ratio if a_share => "%",
        other => return in_owners_unit(value, other, None),
    };
    let printed = print(value, margin.quantity, unit).unwrap_or_default();
    (printed.trim_end_matches(unit).trim_end().to_string(), unit)
}
