//! Is everything sized and arranged right? The answers, in words.

use crate::assumed::{at_place, in_owners_unit};
use crate::dial;
use jobs::margins::{Answer, Margins, TRIALS};
use measure::figure::Origin;
use measure::quantity::Quantity;
use measure::unit::print;
use model::layout::Layout;
use plant::plant::Plant;

/// How the plant stands to a question.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Most plants described like this one are not sound here.
    NotKept,
    /// Some are not: what is told does not settle it.
    Open,
    /// Nineteen in twenty are.
    Kept,
}

/// Share of plants from which on a margin counts as kept, and under which as not [1].
const KEPT: f64 = 0.95;
const NOT_KEPT: f64 = 0.5;

/// One question and its answer.
#[derive(Clone, Debug)]
pub struct Line<'a> {
    /// Of which part.
    pub part: &'a str,
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
    /// What to change, where it is not kept.
    pub remedy: &'static str,
    /// The figure that would settle it, where nobody told it: "bore of `suction`".
    pub settle: Option<String>,
    /// Where the bound comes from.
    pub source: &'static str,
}

/// How the plant stands to this question.
pub fn standing(answer: &Answer) -> Standing {
    match answer.holds {
        share if share >= KEPT => Standing::Kept,
        share if share < NOT_KEPT => Standing::NotKept,
        _ => Standing::Open,
    }
}

/// Every question, the worst first.
pub fn lines<'a>(plant: &'a Plant, margins: &Margins) -> Vec<Line<'a>> {
    let layout = Layout::of(plant);
    let mut lines: Vec<Line> = margins.answers.iter().map(|answer| line(plant, &layout, answer)).collect();
    lines.sort_by_key(|line| line.standing);
    lines
}

fn line<'a>(plant: &'a Plant, layout: &Layout, answer: &Answer) -> Line<'a> {
    let margin = answer.margin;
    let told = |value: f64| in_pipe_unit(value, margin.quantity);
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
    Line {
        part: &plant[answer.part].name,
        asks: margin.asks,
        standing: standing(answer),
        value: whole(answer.value) + &band,
        bound,
        at: TRIALS[answer.trial].name,
        remedy: margin.remedy,
        settle: typical.map(|told| format!("{} of `{}`", crate::saying::key(told.parameter.name), told.part)),
        source: margin.source,
    }
}

/// Speeds in pipes in metres a second, and small pressures in kilopascals, as tables of them print both.
fn in_pipe_unit(value: f64, quantity: Quantity) -> (String, &'static str) {
    let unit = match quantity {
        Quantity::Velocity => "m/s",
        Quantity::PressureDifference => "kPa",
        _ => return in_owners_unit(value, quantity, None),
    };
    let printed = print(value, quantity, unit).unwrap_or_default();
    (printed.trim_end_matches(unit).trim_end().to_string(), unit)
}
