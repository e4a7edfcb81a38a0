//! Samples in words.

use crate::limits::Standing;
use crate::results::{Ahead, Judged, Results};
use crate::sample::Analyte;
use std::fmt::Write as _;

/// Below this chance something that may have got in is not told [1].
const TOLD: f64 = 0.05;

/// The answer in a few sentences, the first one first.
///
/// * `odds`: a chance in words
pub fn first(results: &Results, odds: &dyn Fn(f64) -> String) -> String {
    let last = results.last();
    if last.is_empty() {
        return "No sample is kept yet.".into();
    }
    last.iter().map(|one| of_part(one, odds)).collect::<Vec<_>>().join(" ")
}

/// The last sample of a part.
pub fn of_part(one: &Judged, odds: &dyn Fn(f64) -> String) -> String {
    let part = sentence(&one.entry.what.of.replace('-', " "));
    let listed = |standing: Standing| {
        let those = one.standing.iter().filter(|(_, stands, _)| *stands == standing);
        those.map(|(analyte, _, _)| said(one, *analyte)).collect::<Vec<_>>()
    };
    let (act, look) = (listed(Standing::Act), listed(Standing::Look));
    let stands = match (act.as_slice(), look.as_slice()) {
        ([], []) => "everything within its limits".to_string(),
        ([], look) => format!("{} to be looked into", look.join(", ")),
        (act, []) => format!("{} beyond what is borne", act.join(", ")),
        (act, look) => format!("{} beyond what is borne, {} to be looked into", act.join(", "), look.join(", ")),
    };
    match got_in(one, odds) {
        Some(origin) => format!("{part}: {stands}; {origin}."),
        None => format!("{part}: {stands}."),
    }
}

/// What may have got in, and with what odds.
pub fn got_in(one: &Judged, odds: &dyn Fn(f64) -> String) -> Option<String> {
    let origin = one.origin.as_ref()?;
    let likely: Vec<String> = origin
        .sources
        .iter()
        .filter(|(_, chance)| *chance > TOLD)
        .map(|(source, chance)| format!("{} {}", source.word(), odds(*chance)))
        .collect();
    let none = if origin.none > TOLD { format!("nothing of these {}", odds(origin.none)) } else { String::new() };
    let other =
        if origin.other > TOLD { format!("something on no list {}", odds(origin.other)) } else { String::new() };
    if origin.none > 0.8 && likely.is_empty() {
        return Some(format!("nothing foreign has got in, {}", odds(origin.none)));
    }
    let all: Vec<String> = likely.into_iter().chain([other, none]).filter(|text| !text.is_empty()).collect();
    Some(format!("what has got in: {}", all.join(", ")))
}

/// A value with its name: "iron 120 ppm".
pub fn said(one: &Judged, analyte: Analyte) -> String {
    let sample = &one.entry.what;
    let value = sample.values.get(&analyte).map_or_else(String::new, |value| analyte.shown(*value));
    let less = if sample.under.contains(&analyte) { "< " } else { "" };
    format!("{} {less}{value}", analyte.title())
}

/// How the wear of a metal goes on.
pub fn ahead(ahead: &Ahead) -> String {
    let rate = ahead.points.last().map_or(0.0, |(_, rate, _)| *rate) * 100.0;
    let mut said = format!("{} wears {} in 100 h", sentence(&ahead.of.title()), ahead.of.shown(rate));
    match ahead.trend {
        Some(trend) if trend.goes() && trend.slope > 0.0 => said += ", and more and more",
        Some(trend) if trend.goes() => said += ", and less and less",
        Some(_) => said += ", neither more nor less than before",
        None => {}
    }
    let limit = ahead.of.shown(ahead.limit);
    let edge = |at: Option<f64>| at.map_or_else(|| "never".into(), |at| format!("{at:.0}"));
    let _ = match ahead.reached {
        [early, Some(likely), late] => {
            let (early, late) = (edge(early), edge(late));
            write!(said, "; {limit} on one filling after about {likely:.0} h ({early} to {late})")
        }
        [Some(early), ..] => write!(said, "; {limit} on one filling after {early:.0} h at the earliest"),
        _ => write!(said, "; {limit} is not reached on one filling"),
    };
    said + "."
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
