//! The answer in one sentence, and the causes that are worth telling: the same words on every page and on the terminal.

use crate::saying::{self, lower_first};
use crate::trust;
use crate::why::Case;
use diagnosis::explain::Ranked;
use diagnosis::hypothesis::{What, cause_of, name_of};
use plant::evidence::{Found, Named};
use plant::plant::Plant;

/// A chance from which one cause is the verdict [1].
const VERDICT: f64 = 0.5;
/// What was named before stays the verdict from this chance up [1], while no other is so many times as likely.
const KEPT: f64 = 0.35;
const CLEARLY: f64 = 1.5;
/// Causes below this chance are left to the sum of the rest [1].
pub const LISTED: f64 = 0.02;
/// And so many at most.
const MOST: usize = 8;

/// Causes told together: one of a part, or all the ways one gauge lies, for these are cured in one go.
pub struct Entry<'a> {
    /// Chance of all together [1].
    pub chance: f64,
    /// The likeliest first.
    pub ways: Vec<&'a Ranked>,
}

/// The entries worth telling, likeliest first.
pub fn entries<'a>(case: &'a Case) -> Vec<Entry<'a>> {
    let mut entries: Vec<Entry> = Vec::new();
    for ranked in case.answer.ranked.iter().filter(|ranked| matches!(ranked.what, What::Cause(..))) {
        let gauge = |what| if let What::Cause(Named::Gauge(gauge), _) = what { Some(gauge) } else { None };
        let mine = gauge(ranked.what);
        match entries.iter_mut().find(|entry| mine.is_some() && gauge(entry.ways[0].what) == mine) {
            Some(entry) => {
                entry.chance += ranked.probability;
                entry.ways.push(ranked);
            }
            None => entries.push(Entry { chance: ranked.probability, ways: vec![ranked] }),
        }
    }
    entries.retain(|entry| entry.chance >= LISTED);
    entries.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    entries.truncate(MOST);
    entries
}

/// The named causes worth telling one by one, likeliest first.
pub fn listed<'a>(case: &'a Case) -> Vec<&'a Ranked> {
    let named = case.answer.ranked.iter().filter(|ranked| matches!(ranked.what, What::Cause(..)));
    named.filter(|ranked| ranked.probability >= LISTED).take(MOST).collect()
}

/// All is well, and what no list holds, circuit by circuit, the likeliest first.
pub fn unlisted<'a>(case: &'a Case) -> impl Iterator<Item = &'a Ranked> {
    case.answer.ranked.iter().filter(|ranked| !matches!(ranked.what, What::Cause(..)))
}

/// The cause that was named before, if it still is: no other is clearly likelier.
fn kept<'a>(case: &Case, entries: &'a [Entry<'a>]) -> Option<&'a Entry<'a>> {
    let held = entries.iter().find(|entry| entry.ways.iter().any(|way| Some(way.what) == case.held))?;
    let best = case.answer.ranked.iter().map(|ranked| ranked.probability).fold(entries.first()?.chance, f64::max);
    (held.chance >= KEPT && best < CLEARLY * held.chance).then_some(held)
}

/// The cause to name first, with its chance: the one named before while no other is clearly likelier, else the likeliest.
pub fn leading(case: &Case) -> Option<(What, f64)> {
    let entries = entries(case);
    let leading = kept(case, &entries).or_else(|| entries.first())?;
    Some((leading.ways[0].what, leading.chance))
}

/// One sentence that answers, after one on what nothing explains, where there is such.
pub fn verdict(case: &Case) -> String {
    match trust::unexplained(case) {
        Some(odd) if case.answer.unexplained.as_ref().is_some_and(|odd| odd.slips) => {
            format!("{odd}. Setting that aside: {}", lower_first(&likeliest(case)))
        }
        Some(odd) => format!("{odd}. If it is on the list all the same: {}", lower_first(&likeliest(case))),
        None => likeliest(case),
    }
}

/// The likeliest in a sentence.
fn likeliest(case: &Case) -> String {
    let entries = entries(case);
    if let Some(kept) = kept(case, &entries) {
        return most_likely(case, kept.chance, &entry_title(case, kept), bad(case, kept).as_deref());
    }
    let mut all: Vec<(f64, String, Option<String>)> = entries
        .iter()
        .map(|entry| (entry.chance, entry_title(case, entry), bad(case, entry)))
        .chain(unlisted(case).map(|ranked| (ranked.probability, title(case, ranked), None)))
        .collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let Some((chance, top, bad)) = all.first() else { return String::new() };
    if *chance < VERDICT {
        let named: Vec<String> =
            all.iter().take(3).map(|(chance, title, _)| format!("{title} ({})", case.odds.say(*chance))).collect();
        format!("No one cause stands out: {}.", named.join(", or "))
    } else if unlisted(case).any(|ranked| ranked.what == What::Well && ranked.probability >= *chance) {
        format!("All is well, {}: nothing told is beyond what a sound plant shows.", case.odds.say(*chance))
    } else {
        most_likely(case, *chance, top, bad.as_deref())
    }
}

fn most_likely(case: &Case, chance: f64, title: &str, bad: Option<&str>) -> String {
    let bad = bad.map_or(String::new(), |bad| format!("; if so, {bad}"));
    format!("Most likely {title}, {}{bad}.", case.odds.say(chance))
}

/// How bad an entry is, if it is one cause and that can be graded.
fn bad(case: &Case, entry: &Entry) -> Option<String> {
    if entry.ways.len() == 1 { severity(case, entry.ways[0]) } else { None }
}

/// A cause by its title; of a gauge that may lie in several ways, only that it lies.
pub fn entry_title(case: &Case, entry: &Entry) -> String {
    match (entry.ways[0].what, entry.ways.len()) {
        (What::Cause(of @ Named::Gauge(_), _), 2..) => format!("the {} gauge lies", name_of(case.plant, of)),
        _ => title(case, entry.ways[0]),
    }
}

/// "strainer blocked (strainer-port)"; of two at once both.
pub fn title(case: &Case, ranked: &Ranked) -> String {
    let one = named(case.plant, ranked.what);
    match ranked.beside.filter(|what| !found(case, *what)) {
        Some(other) => format!("{one} and {} at once", named(case.plant, other)),
        None => one,
    }
}

/// Whether a check found just this.
pub fn found(case: &Case, what: What) -> bool {
    case.answer
        .evidence
        .checks
        .iter()
        .any(|made| matches!(made.found, Found::Cause(k) if What::Cause(made.of, k) == what))
}

/// The same of anything that could be so.
pub fn named(plant: &Plant, what: What) -> String {
    match (what, cause_of(plant, what)) {
        (What::Cause(of, _), Some(cause)) => format!("{} ({})", cause.title, name_of(plant, of)),
        (What::Else(circuit), _) => format!("something else in the {}", saying::circuit(circuit)),
        _ => "all is well".into(),
    }
}

/// How bad it is, if that can be graded.
pub fn severity(case: &Case, ranked: &Ranked) -> Option<String> {
    saying::severity(cause_of(case.plant, ranked.what)?, ranked.severity, ranked.severity_range)
}
