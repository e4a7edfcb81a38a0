//! `bedplate done`: work that was done, and what happened to her, written down; and what was written down before.

use crate::folder::Folder;
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::verbs::entered::{note, short, standing, take_back};
use crate::verbs::leg::day;
use crate::{clocks, files, json};
use clap::Args;
use diary::{Entry, Key, Line};
use live::attached;
use live::papers::Papers;
use plant::plant::Plant;
use std::fmt::Write as _;
use std::io::Write;
use std::path::{Path, PathBuf};
use work::record::{Kept, Record};
use work::task::{Side as Too, Task};
use work::trend::Trend;
use work::written::{Meant, Refused, Written, hours_fit, meant, record};
use work::{date, due, sheet, words};

/// Records told without `--all`.
const LAST: usize = 20;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// The task that was done, what happened (haul-out, launch, lay-up, rebuilt), or the part that was worked on; without it,
    /// what was written down before
    what: Option<String>,
    /// The day it was done, such as 2026-05-01; today without it. What lies ahead is planned
    #[arg(long, value_name = "DATE")]
    at: Option<String>,
    /// What the hour meter showed
    #[arg(long, value_name = "HOURS", allow_hyphen_values = true)]
    hours: Option<String>,
    /// Who did it
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
    /// In your own words
    #[arg(long, default_value = "", hide_default_value = true)]
    text: String,
    /// A measure as found, such as "clearance cylinder 1 inlet=0.35 mm"
    #[arg(long, value_name = "MEASURE=VALUE")]
    found: Vec<String>,
    /// A measure as left
    #[arg(long, value_name = "MEASURE=VALUE")]
    left: Vec<String>,
    /// A table of measures that was filled in: measure, place, found, left (CSV)
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Prints that table, to be filled in
    #[arg(long, conflicts_with_all = ["sheet", "found", "left"])]
    blank: bool,
    /// What was used up, such as "impeller=1"; without it, what the task tells
    #[arg(long, value_name = "WHAT=AMOUNT")]
    used: Vec<String>,
    /// A photo or file to be kept beside it
    #[arg(long, value_name = "FILE")]
    file: Vec<PathBuf>,
    /// This stands instead of the record with this key, which is kept
    #[arg(long, value_name = "KEY")]
    correct: Option<String>,
    /// The record with this key is taken back; it is kept, and no longer counts
    #[arg(long, value_name = "KEY", conflicts_with = "correct")]
    take_back: Option<String>,
    /// Every record, and those that were corrected
    #[arg(long)]
    all: bool,
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
    let papers = Folder::open(&asked.plant)?.papers(&plant)?;
    if let Some(key) = &asked.take_back {
        let key = standing(&papers.records, key, "--take-back", "record")?;
        let said = take_back::<Record>(&asked.plant, asked.who.as_deref(), &key)?;
        return writeln!(out, "{said}").map_err(Stop::from);
    }
    let Some(what) = &asked.what else {
        return told(asked, &plant, &papers, out);
    };
    if asked.blank {
        let meant = meant(&plant, &papers.tasks, what).map_err(|refused| stop(&refused))?;
        let Meant::Task(task) = meant else {
            return Err(unusable("--blank", &format!("`{what}` is no task"), "Only a task has a table of measures."));
        };
        return out.write_all(sheet::blank(task).as_bytes()).map_err(Stop::from);
    }
    let written = written(asked, what)?;
    let time = asked.at.as_deref().map_or_else(|| Ok(clocks::day_now()), |text| day("--at", text))?;
    let mut record = record(&plant, &papers.tasks, &written).map_err(|refused| stop(&refused))?;
    let corrects =
        asked.correct.as_deref().map(|key| standing(&papers.records, key, "--correct", "record")).transpose()?;
    let old = corrects.as_ref().and_then(|key| papers.records.entries.iter().find(|entry| entry.key == *key));
    hours_fit(&plant, &papers.tasks, &papers.meters, &record, time, old.map(|old| old.time))
        .map_err(|refused| stop(&refused))?;
    for path in &asked.file {
        record.files.push(kept(&asked.plant, path)?);
    }
    let line = Line::of(time, asked.who.as_deref(), corrects.as_ref(), &record);
    note(&asked.plant, std::slice::from_ref(&line))?;
    let papers = Folder::open(&asked.plant)?.papers(&plant)?;
    if asked.json {
        return json::write(out, &shape(&papers, &line.key()));
    }
    out.write_all(kept_words(&plant, &papers, &record, time, &line.key()).as_bytes()).map_err(Stop::from)
}

fn unusable(what: &str, why: &str, advice: &str) -> Stop {
    Stop::BadInput(format!("{what}: fault: {why}\n  {advice}"))
}

fn stop(refused: &Refused) -> Stop {
    let what = if refused.field == "what" { "done".to_string() } else { format!("--{}", refused.field) };
    unusable(&what, &refused.why, &refused.advice)
}

/// What the command line tells, and the table beside it.
fn written(asked: &Asked, what: &str) -> Result<Written, Stop> {
    let pairs = |option: &str, told: &[String]| -> Result<Vec<(String, String)>, Stop> {
        told.iter()
            .map(|text| {
                let pair =
                    text.rsplit_once('=').map(|(name, value)| (name.trim().to_string(), value.trim().to_string()));
                pair.ok_or_else(|| {
                    unusable(
                        option,
                        &format!("`{text}` has no ="),
                        "Write it such as \"clearance cylinder 1 inlet=0.35 mm\".",
                    )
                })
            })
            .collect()
    };
    let mut written = Written {
        what: what.to_string(),
        hours: asked.hours.clone(),
        text: asked.text.clone(),
        found: pairs("--found", &asked.found)?,
        left: pairs("--left", &asked.left)?,
        used: pairs("--used", &asked.used)?,
        files: Vec::new(),
    };
    if let Some(path) = &asked.sheet {
        let file = files::read(path)?;
        let rows = sheet::read(&file.text).map_err(|(line, why)| {
            unusable(&format!("{}:{line}", file.name), &why, "`--blank` prints the table as it should be.")
        })?;
        for row in rows {
            written.found.push((row.what.clone(), row.found));
            written.left.push((row.what, row.left));
        }
    }
    Ok(written)
}

fn kept(vessel: &Path, path: &Path) -> Result<Kept, Stop> {
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let refused =
        |why: String| unusable(&path.display().to_string(), &why, "Give a file that can be read, or leave it out.");
    let length = std::fs::metadata(path).map_err(|error| refused(files::in_words(&error)))?.len();
    if length > attached::LONGEST {
        let most = attached::LONGEST / 1_000_000;
        return Err(refused(format!("it has {} MB; at most {most} are kept", length / 1_000_000)));
    }
    let bytes = std::fs::read(path).map_err(|error| refused(files::in_words(&error)))?;
    attached::keep(vessel, &name, &bytes).map_err(|error| refused(format!("it cannot be kept: {error}")))
}

/// What was written down, when it is due next, and how its measures go on.
fn kept_words(plant: &Plant, papers: &Papers, record: &Record, time: i64, key: &Key) -> String {
    let task = record.task.as_deref().and_then(|name| papers.tasks.iter().find(|task| task.name == name));
    let planned = time > clocks::day_now();
    let title = what_words(record, task);
    let at = record.hours.map_or_else(String::new, |hours| format!(", at {hours:.0} h"));
    let begin = if planned { "Planned" } else { "Written down" };
    let mut text = wrapped(&format!("{begin}: {title}, {}{at}. Its key is {}.", date::words(time), key.0), "", "");
    let Some(task) = task else { return text };
    let list = papers.due(plant, None, clocks::day_now(), None);
    let place = papers.tasks.iter().position(|other| other.name == task.name);
    if let Some(due) = list.rows.iter().find(|due| Some(due.task) == place) {
        let _ = write!(text, "{}", wrapped(&format!("Due next: {}, {}.", words::stands(due), words::by(due)), "", ""));
    }
    text + &trends(papers, task)
}

fn what_words(record: &Record, task: Option<&Task>) -> String {
    let of = |of: &str| format!("work on {of}");
    match (task, &record.happened, &record.of) {
        (Some(task), ..) => match &record.of {
            Some(part) => format!("{} ({part})", task.title),
            None => task.title.clone(),
        },
        (None, Some(event), _) => event.clone(),
        (None, None, Some(part)) => of(part),
        (None, None, None) => record.task.clone().unwrap_or_default(),
    }
}

/// How each measure of a task goes on with the hours.
fn trends(papers: &Papers, task: &Task) -> String {
    let mut text = String::new();
    for measure in &task.measures {
        if measure.quantity.is_none() {
            continue;
        }
        let (spans, current) = due::measured(&papers.records, task, &measure.name);
        let print = |value: f64| measure.print(value);
        let Some(trend) = Trend::through(&spans, &current, due::scatter(&spans)) else { continue };
        let newest = current.iter().filter_map(|place| spans[*place].last()).max_by(|a, b| a.0.total_cmp(&b.0));
        let Some(last) = newest else { continue };
        let [low, middle, high] = trend.at(last.0 + 500.0);
        let mut told = format!(
            "{}: {} at {:.0} h; in 500 h about {} ({} to {})",
            measure.name,
            print(last.1),
            last.0,
            print(middle),
            print(low),
            print(high)
        );
        for (limit, side) in [(measure.limits.0, Too::Below), (measure.limits.1, Too::Above)] {
            let Some(limit) = limit else { continue };
            let beyond = trend.crossings(limit, side).into_iter().filter(|hours| *hours < last.0 + 2000.0).count();
            let _ = write!(told, "; past {} within 2000 h: {}", print(limit), words::one_in(beyond as f64 / 400.0));
        }
        text += &wrapped(&told, "  ", "    ");
    }
    text
}

/// What was written down before.
fn told(asked: &Asked, plant: &Plant, papers: &Papers, out: &mut dyn Write) -> Result<(), Stop> {
    if asked.json {
        return json::write(out, &all(papers));
    }
    let entries = &papers.records.entries;
    if entries.is_empty() {
        let name = crate::verbs::expect::name(plant);
        let text = format!(
            "{name}: nothing is written down yet. `bedplate done DIR TASK --hours …` writes down what was done; `bedplate due` lists the tasks."
        );
        return out.write_all(wrapped(&text, "", "").as_bytes()).map_err(Stop::from);
    }
    let shown = if asked.all { entries.len() } else { entries.len().min(LAST) };
    let mut text = format!("{} records, {shown} shown, the latest last\n", entries.len());
    let row = |entry: &Entry<Record>, note: &str| {
        let record = &entry.what;
        let task = record.task.as_deref().and_then(|name| papers.tasks.iter().find(|task| task.name == name));
        let hours = record.hours.map_or_else(String::new, |hours| format!("{hours:.0} h"));
        let note = if entry.corrects.is_some() && note.is_empty() { "(corrected)" } else { note };
        let who = entry.who.clone().unwrap_or_default();
        vec![
            short(&entry.key).to_string(),
            date::iso(entry.time),
            hours,
            format!("{} {} {note}", what_words(record, task), record.text).trim().to_string(),
            who,
        ]
    };
    let rows: Vec<Vec<String>> = entries[entries.len() - shown..].iter().map(|entry| row(entry, "")).collect();
    text += &columns(&rows, &[Side::Left, Side::Left, Side::Right, Side::Left, Side::Left], "  ");
    if asked.all && !papers.records.struck.is_empty() {
        text += "\nCorrected or taken back, and kept\n";
        let rows: Vec<Vec<String>> = papers
            .records
            .struck
            .iter()
            .map(|struck| row(&struck.entry, &format!("(by {})", short(&struck.by))))
            .collect();
        text += &columns(&rows, &[Side::Left, Side::Left, Side::Right, Side::Left, Side::Left], "  ");
    }
    text.extend(papers.unread.iter().map(|unread| wrapped(&format!("Left out: {unread}."), "", "  ")));
    out.write_all(text.as_bytes()).map_err(Stop::from)
}

fn all(papers: &Papers) -> json::work::Records {
    let row = |entry: &Entry<Record>, by: Option<&Key>| json::work::Written {
        key: entry.key.0.clone(),
        time: entry.time,
        who: entry.who.clone(),
        corrects: entry.corrects.as_ref().map(|key| key.0.clone()),
        corrected_by: by.map(|key| key.0.clone()),
        record: entry.what.clone(),
    };
    json::work::Records {
        version: json::VERSION,
        records: papers.records.entries.iter().map(|entry| row(entry, None)).collect(),
        corrected: papers.records.struck.iter().map(|struck| row(&struck.entry, Some(&struck.by))).collect(),
        unread: papers.unread.clone(),
    }
}

fn shape(papers: &Papers, key: &Key) -> json::work::Records {
    let mut all = all(papers);
    all.records.retain(|written| written.key == key.0);
    all.corrected.clear();
    all
}
