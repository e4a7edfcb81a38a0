//! `bedplate tour`: a walk through her engine room, as a folder of pages that needs nothing else.

use crate::json::{self, VERSION, Written};
use crate::stop::Stop;
use crate::{bookshelf, files};
use book::document::Document;
use book::facts::{self, Facts};
use book::{html, nameless};
use clap::Args;
use plant::plant::Plant;
use std::io::Write;
use std::path::{Path, PathBuf};

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    vessel: PathBuf,
    /// The folder to write the pages into; it is made if it is not there
    #[arg(long, value_name = "FOLDER")]
    pages: PathBuf,
    /// Leave out whose she is: her name, serial numbers, photographs, positions
    #[arg(long)]
    nameless: bool,
    /// For programs
    #[arg(long)]
    json: bool,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let mut plant = files::plant(&asked.vessel)?;
    let mut with = bookshelf::asked(&asked.vessel, &plant)?;
    if asked.nameless {
        with = nameless::asked(&with, &plant.name);
        plant = nameless::plant(&plant);
    }
    let tour = book::tour::tour(&facts(&plant, &with)?);
    let files = write(&tour, &asked.pages)?;
    if asked.json {
        let folder = asked.pages.display().to_string();
        return json::write(out, &Written { version: VERSION, vessel: plant.name, folder, files });
    }
    let first = asked.pages.join("index.html");
    Ok(writeln!(out, "{} pages are written; open {} in a browser.", files.len(), first.display())?)
}

/// What documents are made of.
///
/// # Errors
/// [`Stop::NoAnswer`] when the plant cannot be worked out.
pub fn facts<'a>(plant: &'a Plant, asked: &'a facts::Asked) -> Result<Facts<'a>, Stop> {
    Facts::of(plant, asked).map_err(Stop::NoAnswer)
}

/// Writes a document as a folder of pages, and says which files it is.
///
/// # Errors
/// [`Stop::BadInput`] if the folder cannot be made or written into.
pub fn write(document: &Document, folder: &Path) -> Result<Vec<String>, Stop> {
    let unmade = |error: std::io::Error| {
        Stop::BadInput(format!("{}: fault: this folder cannot be made: {error}\n  Give another.", folder.display()))
    };
    std::fs::create_dir_all(folder).map_err(unmade)?;
    let pages = html::folder(document);
    for page in &pages {
        let path = folder.join(&page.name);
        std::fs::write(&path, &page.text).map_err(|error| {
            Stop::BadInput(format!("{}: fault: it cannot be written: {error}\n  Give another folder.", path.display()))
        })?;
    }
    Ok(pages.into_iter().map(|page| page.name).collect())
}
