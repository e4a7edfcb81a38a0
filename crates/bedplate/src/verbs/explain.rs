//! `bedplate explain`: what is off, why, and what to look at next?

mod json;
mod text;

use crate::files;
use crate::saying::Odds;
use crate::stop::Stop;
use crate::verbs::expect::name;
use crate::why::Case;
use clap::Args;
use diagnosis::explain::{Answer, NoAnswer, Ranked};
use diagnosis::hypothesis::What;
use plant::evidence::{Evidence, Named};
use plant::plant::Plant;
use std::io::Write;
use std::path::PathBuf;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// What was read, seen, heard and tried: TOML, a table (CSV) or JSON lines
    evidence: PathBuf,
    /// Chances as exact figures instead of words
    #[arg(long)]
    exact: bool,
    /// For programs
    #[arg(long)]
    json: bool,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let plant = files::plant(&asked.plant)?;
    let evidence = files::evidence(&asked.evidence, &plant)?;
    if asked.json {
        let (answer, setting) = (answer(&plant, &evidence)?, diagnosis::setting::set_out(&plant, &evidence));
        let case = Case { plant: &plant, evidence: &evidence, setting: &setting, answer: &answer, odds: Odds::Exact };
        return crate::json::write(out, &json::of(&case));
    }
    let odds = if asked.exact { Odds::Exact } else { Odds::Words };
    let text = in_words(&plant, &evidence, &answer(&plant, &evidence)?, odds);
    out.write_all(text.as_bytes()).map_err(Stop::from)
}

/// The answer for people.
pub fn in_words(plant: &Plant, evidence: &Evidence, answer: &Answer, odds: Odds) -> String {
    let setting = diagnosis::setting::set_out(plant, evidence);
    text::of(&Case { plant, evidence, setting: &setting, answer, odds })
}

/// Its one sentence.
pub fn verdict(plant: &Plant, evidence: &Evidence, answer: &Answer, odds: Odds) -> String {
    let setting = diagnosis::setting::set_out(plant, evidence);
    text::verdict(&Case { plant, evidence, setting: &setting, answer, odds })
}

/// Works it out.
///
/// # Errors
/// [`Stop::NoAnswer`] when even the sound plant has no state there.
pub fn answer(plant: &Plant, evidence: &Evidence) -> Result<Answer, Stop> {
    diagnosis::explain::explain(plant, evidence).map_err(|no| match no {
        NoAnswer::Unready => Stop::NoAnswer(format!("{}: the equations of this plant cannot be solved.", name(plant))),
        NoAnswer::NoState(why) => {
            let why = why.replace('_', " ");
            Stop::NoAnswer(format!("{}: even in order it has no steady state there: {why}.", name(plant)))
        }
    })
}

/// Causes below this chance are left to the sum of the rest [1].
const LISTED: f64 = 0.02;
/// And so many at most.
const MOST: usize = 8;

/// Causes told together: one of a part, or all the ways one gauge lies, for these are cured in one go.
struct Entry<'a> {
    /// Chance of all together [1].
    chance: f64,
    /// The likeliest first.
    ways: Vec<&'a Ranked>,
}

/// The entries worth telling, likeliest first.
fn entries<'a>(case: &'a Case) -> Vec<Entry<'a>> {
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
fn listed<'a>(case: &'a Case) -> Vec<&'a Ranked> {
    let named = case.answer.ranked.iter().filter(|ranked| matches!(ranked.what, What::Cause(..)));
    named.filter(|ranked| ranked.probability >= LISTED).take(MOST).collect()
}

/// All is well, and what no list holds, circuit by circuit, the likeliest first.
fn unlisted<'a>(case: &'a Case) -> impl Iterator<Item = &'a Ranked> {
    case.answer.ranked.iter().filter(|ranked| !matches!(ranked.what, What::Cause(..)))
}
