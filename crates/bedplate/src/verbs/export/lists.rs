//! `bedplate export --list`: work done, tasks, and everything people wrote down.

use super::Asked;
use crate::files;
use crate::folder::Folder;
use crate::stop::Stop;
use clap::ValueEnum;
use live::history::History;
use plant::plant::Plant;
use serde_json::json;
use std::io::Write;
use std::path::Path;
use work::lists;

/// What is written out.
#[derive(Copy, Clone, Debug, ValueEnum)]
pub(super) enum Of {
    /// Work that was done, as a table
    Work,
    /// Service tasks, as a table
    Tasks,
    /// Every entry of every sort, corrected ones too, a line of JSON each
    Entries,
}

/// Writes it.
pub(super) fn run(asked: &Asked, of: Of, plant: &Plant, out: &mut dyn Write) -> Result<(), Stop> {
    let text = match of {
        Of::Work => {
            let papers = Folder::open(&asked.vessel)?.papers(plant)?;
            lists::work(&papers.tasks, &papers.records)
        }
        Of::Tasks => lists::tasks(plant, &Folder::open(&asked.vessel)?.papers(plant)?.tasks),
        Of::Entries => entries(&asked.vessel)?,
    };
    match asked.csv.as_deref() {
        Some(path) if path != Path::new("-") => {
            files::write(path, text.as_bytes())?;
            let lines = text.lines().count();
            writeln!(out, "{lines} lines written into {}.", path.display()).map_err(Stop::from)
        }
        _ => out.write_all(text.as_bytes()).map_err(Stop::from),
    }
}

fn entries(vessel: &Path) -> Result<String, Stop> {
    let history = History::of(vessel).map_err(|error| Stop::BadInput(error.to_string()))?;
    let line = |line: &diary::Line| {
        let body: serde_json::Value = serde_json::from_str(&line.body).unwrap_or_default();
        json!({ "key": line.key().0, "time": line.time, "kind": line.kind, "version": line.version, "body": body })
            .to_string()
            + "\n"
    };
    Ok(history.lines.iter().map(line).collect())
}
