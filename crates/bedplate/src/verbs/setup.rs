//! `bedplate setup`: the adjusting jobs and calculators, worked on the command line.

mod sea_trial;
mod shape;
mod text;

use crate::folder::Folder;
use crate::stop::Stop;
use crate::{clocks, files, json};
use clap::Args;
use measure::nearest::nearest;
use plant::plant::{PartId, Plant};
use setup::doubt;
use setup::given::Given;
use setup::job::{Job, Refused};
use setup::jobs::{self, JOBS};
use setup::known::{Sections, known, part_of};
use setup::worked::Worked;
use std::io::Write;
use std::path::{Path, PathBuf};
use work::written::hours_fit;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// The job; without it, all jobs are listed
    job: Option<String>,
    /// Folder with a vessel.toml, or the file itself: what the plant knows is taken from there
    #[arg(value_name = "PLANT or KEY=VALUE")]
    rest: Vec<String>,
    /// The part it is done on, where she has several
    #[arg(long, value_name = "PART")]
    of: Option<String>,
    /// A text of values to take: key = "value", one a line (TOML); of a sea trial its readings, as evidence or a table
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    /// What the job takes, and what is known of it already
    #[arg(long)]
    asks: bool,
    /// Writes the drawing to a file (SVG)
    #[arg(long, value_name = "FILE")]
    draw: Option<PathBuf>,
    /// Writes what was found and left into the vessel's log, as work that was done
    #[arg(long)]
    keep: bool,
    /// The day it was done, with --keep; today without it
    #[arg(long, value_name = "DATE", requires = "keep")]
    at: Option<String>,
    /// What the hour meter showed, with --keep
    #[arg(long, value_name = "HOURS", requires = "keep", allow_hyphen_values = true)]
    hours: Option<String>,
    /// Who did it, with --keep
    #[arg(long, value_name = "NAME", requires = "keep")]
    who: Option<String>,
    /// What a sea trial is called, with --keep
    #[arg(long, value_name = "NAME", requires = "from")]
    name: Option<String>,
    /// A sea trial that was kept, instead of --from
    #[arg(long, value_name = "NAME", conflicts_with_all = ["from", "keep"])]
    trial: Option<String>,
    /// The sea trial that was kept, against which this one is held
    #[arg(long, value_name = "NAME")]
    against: Option<String>,
    /// For programs
    #[arg(long)]
    json: bool,
}

impl Asked {
    /// What is a value, and what is a vessel: a path may have an equals sign too.
    fn split(&self) -> (Vec<String>, Vec<String>) {
        self.rest.iter().cloned().partition(|text| text.contains('=') && !Path::new(text).exists())
    }
}

/// What a job is worked on.
struct Aboard {
    path: PathBuf,
    plant: Plant,
    sections: Sections,
    of: Option<PartId>,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let Some(word) = &asked.job else {
        return if asked.json {
            json::write(out, &shape::jobs())
        } else {
            out.write_all(text::jobs().as_bytes()).map_err(Stop::from)
        };
    };
    if plant::names::folded(word) == sea_trial::WORD {
        return sea_trial::run(asked, out);
    }
    if let Some(option) = [("--name", &asked.name), ("--trial", &asked.trial), ("--against", &asked.against)]
        .into_iter()
        .find_map(|(option, told)| told.as_ref().map(|_| option))
    {
        return Err(unusable(option, "this is no sea trial", "Leave it out, or ask for sea-trial."));
    }
    let job = jobs::job(word).ok_or_else(|| {
        let near = nearest(&plant::names::folded(word), JOBS.iter().map(|job| job.word).chain([sea_trial::WORD]));
        let advice =
            near.map_or_else(|| "`bedplate setup` lists them.".into(), |near| format!("Did you mean `{near}`?"));
        unusable("setup", &format!("there is no job `{word}`"), &advice)
    })?;
    let (told, aboard) = told(asked, job)?;
    let known = aboard.as_ref().map_or_else(Vec::new, |aboard| known(job, &aboard.plant, &aboard.sections, aboard.of));
    if asked.asks {
        return if asked.json {
            json::write(out, &shape::asks(job, &known))
        } else {
            out.write_all(text::asks(job, &known).as_bytes()).map_err(Stop::from)
        };
    }
    let given = Given::read(job, &told, &known).map_err(|refused| stop(job, &refused))?;
    let worked = doubt::work(job, &given).map_err(|refused| stop(job, &refused))?;
    if let Some(path) = &asked.draw {
        let sketch =
            worked.sketch.as_ref().ok_or_else(|| unusable("--draw", "there is nothing to draw", "Leave it out."))?;
        files::write(path, sketch.svg(true).as_bytes())?;
    }
    let key = if asked.keep { Some(keep(asked, job, aboard.as_ref(), &worked)?) } else { None };
    let of = aboard.as_ref().and_then(|aboard| aboard.of.map(|of| aboard.plant.parts[of.0].name.clone()));
    if asked.json {
        return json::write(out, &shape::worked(job, of.as_deref(), &given, &worked, key.as_deref()));
    }
    out.write_all(text::worked(job, of.as_deref(), &given, &worked, key.as_deref()).as_bytes()).map_err(Stop::from)
}

fn unusable(what: &str, why: &str, advice: &str) -> Stop {
    Stop::BadInput(format!("{what}: fault: {why}\n  {advice}"))
}

/// Everything that is wrong, each with what to do.
fn stop(job: &Job, refused: &Refused) -> Stop {
    let each = refused.0.iter().map(|refused| {
        let says = refused.key.and_then(|key| job.asks.iter().find(|ask| ask.key == key)).map(|ask| ask.says);
        let what = refused.key.map_or_else(|| job.word.to_string(), |key| format!("{}: {key}", job.word));
        let says = says.map_or_else(String::new, |says| format!(" ({})", says.to_lowercase()));
        format!("{what}{says}: fault: {}\n  {}", refused.why, refused.advice)
    });
    Stop::BadInput(each.collect::<Vec<_>>().join("\n"))
}

type Pairs = Vec<(String, String)>;

/// What was told on the line and in a file, and the vessel it is about.
fn told(asked: &Asked, job: &Job) -> Result<(Pairs, Option<Aboard>), Stop> {
    let (pairs, paths) = asked.split();
    let mut told: Pairs = Vec::new();
    if let Some(path) = &asked.from {
        told.extend(sheet(path)?);
    }
    for text in &pairs {
        if let Some((key, value)) = text.split_once('=') {
            // What stands on the line counts before what stands in the file.
            told.retain(|(other, _)| plant::names::folded(other) != plant::names::folded(key) || asked.from.is_none());
            told.push((key.trim().to_string(), value.trim().to_string()));
        }
    }
    let path = match &paths[..] {
        [] => None,
        [path] => Some(PathBuf::from(path)),
        [_, second, ..] => {
            let advice = "Give one vessel, and values such as stroke=\"146 mm\".";
            return Err(unusable("setup", &format!("`{second}` is neither a value nor the vessel"), advice));
        }
    };
    let Some(path) = path else {
        return match &asked.of {
            Some(_) => Err(unusable("--of", "no vessel is given", "Give her folder before it.")),
            None => Ok((told, None)),
        };
    };
    let plant = files::plant(&path)?;
    let sections = Folder::open(&path)?.terms(&plant)?.sections;
    let of = match &asked.of {
        Some(word) => Some(super::part(&plant, word)?),
        None => part_of(job, &plant),
    };
    Ok((told, Some(Aboard { path, plant, sections, of })))
}

/// Keys and values of a text.
fn sheet(path: &Path) -> Result<Pairs, Stop> {
    let file = files::read(path)?;
    match setup::given::pairs(&file.text) {
        Ok(pairs) => Ok(pairs),
        Err(findings) => files::usable(None, &findings, &file),
    }
}

/// Writes what was found and left into the log.
fn keep(asked: &Asked, job: &Job, aboard: Option<&Aboard>, worked: &Worked) -> Result<String, Stop> {
    let aboard = aboard.ok_or_else(|| {
        unusable("--keep", "no vessel is given", "Give her folder, so that it can be kept in her log.")
    })?;
    let papers = Folder::open(&aboard.path)?.papers(&aboard.plant)?;
    let time = asked.at.as_deref().map_or_else(|| Ok(clocks::day_now()), |text| super::leg::day("--at", text))?;
    let stop =
        |refused: work::written::Refused| unusable(&format!("--{}", refused.field), &refused.why, &refused.advice);
    let hours = asked.hours.as_deref();
    let record = work::setting::record(&aboard.plant, &papers.tasks, job, worked, aboard.of, hours).map_err(stop)?;
    hours_fit(&aboard.plant, &papers.tasks, &papers.meters, &record, time, None).map_err(stop)?;
    let line = diary::Line::of(time, asked.who.as_deref(), None, &record);
    super::entered::note(&aboard.path, std::slice::from_ref(&line))?;
    Ok(line.key().0)
}
