//! `bedplate import --list`: work that was done, service tasks or stores, out of a table of the owner's own.

use super::{Asked, Dates};
use crate::files;
use crate::folder::Folder;
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::verbs::entered::note;
use clap::ValueEnum;
use diary::Line;
use intake::moment::{Moment, NoMoment, Order, read};
use live::papers::Papers;
use plant::plant::Plant;
use std::io::Write;
use std::path::Path;
use work::brought::{List, Plan, plan};
use work::{date, written};

/// What a list is of.
#[derive(Copy, Clone, Debug, ValueEnum)]
pub(super) enum Of {
    /// Work that was done
    Work,
    /// Service tasks
    Tasks,
    /// Stores
    Stores,
}

/// Rows shown before anything is kept, and faults.
const SHOWN: usize = 5;
const FAULTS: usize = 20;

/// Shows what is in the tables, and keeps it unless only a preview is asked.
pub(super) fn run(asked: &Asked, of: Of, out: &mut dyn Write) -> Result<(), Stop> {
    let plant = files::plant(&asked.vessel)?;
    let papers = Folder::open(&asked.vessel)?.papers(&plant)?;
    let list = match of {
        Of::Work => List::Work,
        Of::Tasks => List::Tasks,
        Of::Stores => List::Stores,
    };
    let told = told(asked, list)?;
    for path in &asked.files {
        let file = files::read(path)?;
        let plan = plan(list, &file.text, &told)
            .map_err(|no| Stop::BadInput(format!("{}: fault: {no}\n  {}", file.name, no.advice)))?;
        out.write_all(planned(&file.name, &plan).as_bytes())?;
        match list {
            List::Work => work(asked, (&plant, &papers), &plan, out)?,
            List::Tasks | List::Stores => text(asked, (&plant, &papers), &plan, out)?,
        }
    }
    if asked.preview {
        writeln!(out, "Nothing is kept yet: leave --preview out to import it.")?;
    }
    Ok(())
}

/// `--as "Their heading=field"`.
fn told(asked: &Asked, list: List) -> Result<Vec<(String, String)>, Stop> {
    let pair = |text: &String| {
        let pair = text.rsplit_once('=').map(|(heading, field)| (heading.trim().to_string(), field.trim().to_string()));
        pair.ok_or_else(|| {
            let fields = list.names().collect::<Vec<_>>().join(", ");
            Stop::BadInput(format!(
                "--as: fault: `{text}` has no =\n  Write --as \"HEADING=FIELD\"; the fields are {fields}."
            ))
        })
    };
    asked.renamed.iter().map(pair).collect()
}

fn planned(name: &str, plan: &Plan) -> String {
    let rows: Vec<Vec<String>> = plan
        .columns
        .iter()
        .map(|(heading, field)| {
            vec![heading.clone(), field.map_or("goes into the note".into(), |field| format!("is the {field}"))]
        })
        .collect();
    format!("{name}: {} rows\n{}", plan.len(), columns(&rows, &[Side::Left; 2], "  "))
}

/// Reads a day as the owner writes it [ms since 1970, UTC].
fn day(asked: &Asked, text: &str) -> Result<i64, String> {
    let order = asked.dates.map(|dates| match dates {
        Dates::DayFirst => Order::DayFirst,
        Dates::MonthFirst => Order::MonthFirst,
    });
    match read(text.as_bytes(), order) {
        // A day without its hour is its noon.
        Ok(Moment::Date(time)) => Ok(time + date::DAY / 2),
        Ok(Moment::Local(time) | Moment::Universal(time) | Moment::Offset(time, _)) => Ok(time),
        Ok(_) | Err(NoMoment::NoTime) => Err(format!("`{text}` is no day")),
        Err(NoMoment::Ambiguous) => Err(format!("`{text}`: day or month first? Say --dates day-first or month-first")),
    }
}

fn faults(faults: &[(u64, String)]) -> String {
    let mut text = String::new();
    for (line, why) in faults.iter().take(FAULTS) {
        text += &wrapped(&format!("line {line} is left out: {why}."), "  ", "    ");
    }
    if faults.len() > FAULTS {
        text += &wrapped(&format!("and {} more", faults.len() - FAULTS), "  ", "");
    }
    text
}

fn work(asked: &Asked, (plant, papers): (&Plant, &Papers), plan: &Plan, out: &mut dyn Write) -> Result<(), Stop> {
    let rows = plan.work(plant, &papers.tasks, &|text| day(asked, text));
    let mut bad: Vec<(u64, String)> = Vec::new();
    let mut lines: Vec<Line> = Vec::new();
    let mut shown: Vec<Vec<String>> = Vec::new();
    let mut in_words = 0;
    for (line, row) in rows {
        match row {
            Ok((time, who, record)) => {
                in_words += usize::from(record.task.is_none() && record.of.is_none() && record.happened.is_none());
                if shown.len() < SHOWN {
                    let what = record
                        .task
                        .clone()
                        .or(record.happened.clone())
                        .or(record.of.clone())
                        .unwrap_or_else(|| "in words".into());
                    let hours = record.hours.map_or_else(String::new, |hours| format!("{hours:.0} h"));
                    shown.push(vec![date::iso(time), hours, what, record.text.clone()]);
                }
                lines.push(Line::of(time, who.as_deref(), None, &record));
            }
            Err(why) => bad.push((line, why)),
        }
    }
    out.write_all(columns(&shown, &[Side::Left, Side::Right, Side::Left, Side::Left], "  ").as_bytes())?;
    out.write_all(faults(&bad).as_bytes())?;
    if in_words > 0 {
        let text = format!(
            "{in_words} name no task or part of this vessel and are kept in words; a column of parts, or names as `bedplate due --all` lists them, ties them to her."
        );
        out.write_all(wrapped(&text, "", "").as_bytes())?;
    }
    if asked.preview {
        return Ok(());
    }
    let taken = note(&asked.vessel, &lines)?;
    let backwards = against(plant, &asked.vessel)?;
    writeln!(out, "{} records written down, {} there already, {} left out.", taken.stored, taken.repeated, bad.len())?;
    out.write_all(backwards.as_bytes()).map_err(Stop::from)
}

/// Hours that do not go on: told, for they are kept, and left out of the meter.
fn against(plant: &Plant, vessel: &Path) -> Result<String, Stop> {
    let papers = Folder::open(vessel)?.papers(plant)?;
    let Some((_, meter)) = papers.meters.first() else { return Ok(String::new()) };
    let wrong = papers
        .records
        .entries
        .iter()
        .filter(|entry| entry.what.hours.is_some_and(|hours| written::fits(meter, entry.time, hours).is_err()));
    let count = wrong.count();
    if count == 0 {
        return Ok(String::new());
    }
    Ok(wrapped(
        &format!(
            "{count} records tell hours that do not fit those before and after; `bedplate done --all` lists them, and --correct puts them right."
        ),
        "",
        "",
    ))
}

fn text(asked: &Asked, (plant, papers): (&Plant, &Papers), plan: &Plan, out: &mut dyn Write) -> Result<(), Stop> {
    let rows = plan.text(plant, &papers.tasks, &|text| day(asked, text));
    let path = files::work_file(&asked.vessel);
    let before = if path.exists() { files::read(&path)?.text } else { String::new() };
    let mut names = files::sections(&before);
    let (mut added, mut there, mut bad) = (String::new(), 0, Vec::new());
    let mut count = 0;
    for (line, row) in rows {
        match row {
            Ok(section) => {
                let heading = section.lines().next().unwrap_or_default().to_string();
                if names.contains(&heading) {
                    there += 1;
                    continue;
                }
                names.push(heading);
                added += "\n";
                added += &section;
                count += 1;
            }
            Err(why) => bad.push((line, why)),
        }
    }
    for line in added.lines().take(6 * SHOWN) {
        writeln!(out, "  {line}")?;
    }
    out.write_all(faults(&bad).as_bytes())?;
    let all = format!("{before}{added}");
    // What it would make is read before it is written: a file that cannot be read helps nobody.
    files::try_work(&asked.vessel, plant, &all)?;
    if !asked.preview {
        if count > 0 {
            files::replace(&path, &all)?;
        }
        writeln!(out, "{count} sections added to {}, {there} there already, {} left out.", path.display(), bad.len())?;
    }
    Ok(())
}
