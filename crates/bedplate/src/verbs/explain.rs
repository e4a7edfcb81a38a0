//! `bedplate explain`: what is off, why, and what to do next?

mod json;
mod json_next;
mod text;

use crate::folder::Folder;
use crate::stop::{Stop, tell};
use crate::turned::Turned;
use crate::verbs::expect::name;
use crate::{clocks, files};
use clap::Args;
use diagnosis::explain::{Answer, NoAnswer};
use diagnosis::gather::{Gathered, MOST};
use live::keeping;
use plant::evidence::{Evidence, Named, Work};
use plant::plant::Plant;
use std::io::Write;
use std::path::PathBuf;
use watch::saying::Odds;
use watch::why::Case;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// What was read, seen, heard and tried: TOML, a table (CSV) or JSON lines
    evidence: PathBuf,
    #[command(flatten)]
    turned: Turned,
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
    let mut plant = files::plant(&asked.plant)?;
    asked.turned.apply(&mut plant)?;
    let mut evidence = files::evidence(&asked.evidence, &plant)?;
    if keeping::file(&asked.plant).exists() {
        from_the_log(asked, &mut plant, &mut evidence)?;
    }
    let answer = answer(&plant, &evidence)?;
    if !answer.gathered.is_all() {
        let Gathered { told, repeated, left_out } = answer.gathered;
        tell(&format!(
            "{}: note: of {told} occasions {repeated} repeat the point of another and are taken together with it; {left_out} \
             more are left out, as {MOST} of before the trouble and {MOST} of the trouble are enough\n  Keep those that \
             matter, at speeds and loads that differ.",
            asked.evidence.display()
        ));
    }
    if asked.json {
        let case = Case { plant: &plant, answer: &answer, odds: Odds::Exact, held: None };
        return crate::json::write(out, &json::of(&case));
    }
    let odds = if asked.exact { Odds::Exact } else { Odds::Words };
    out.write_all(in_words(&plant, &answer, odds).as_bytes()).map_err(Stop::from)
}

/// What was written down aboard counts too: what was looked over, and what was lately done unless the evidence tells of it.
fn from_the_log(asked: &Asked, plant: &mut Plant, evidence: &mut Evidence) -> Result<(), Stop> {
    let folder = Folder::open(&asked.plant)?;
    let papers = folder.papers(plant)?;
    let now = clocks::day_now();
    papers.lay_over(plant, now);
    let told: Vec<Named> = evidence.work.iter().map(|work| work.of).collect();
    let lately: Vec<Work> = papers.lately(plant, now).into_iter().filter(|work| !told.contains(&work.of)).collect();
    if !lately.is_empty() {
        let named = |work: &Work| format!("{}, {:.0} h ago", work.of.name(plant), work.hours_ago);
        let list: Vec<String> = lately.iter().map(named).collect();
        tell(&format!("{}: note: from her log, lately worked on: {}", asked.plant.display(), list.join("; ")));
    }
    evidence.work.extend(lately);
    let told: Vec<(Named, usize)> = evidence.checks.iter().map(|made| (made.of, made.check)).collect();
    for says in folder.books(plant)?.says(plant) {
        // Who tells of the same look himself knows better.
        if told.contains(&(says.made.of, says.made.check)) {
            continue;
        }
        tell(&format!("{}: note: {}: {}", asked.plant.display(), says.from, says.because));
        evidence.checks.push(says.made);
    }
    Ok(())
}

/// The answer for people.
pub fn in_words(plant: &Plant, answer: &Answer, odds: Odds) -> String {
    text::of(&Case { plant, answer, odds, held: None })
}

/// Its one sentence.
pub fn verdict(plant: &Plant, answer: &Answer, odds: Odds) -> String {
    watch::verdict::verdict(&Case { plant, answer, odds, held: None })
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
