//! `bedplate print`: documents on paper.

use crate::bookshelf;
use crate::folder::Folder;
use crate::json::{self, Printed, PrintedDocument, VERSION};
use crate::paper::{self, Paper};
use crate::stop::Stop;
use crate::verbs::tour::facts;
use crate::{clocks, files};
use book::catalogue::Printable;
use book::kept::Kept;
use book::{history, nameless};
use clap::builder::PossibleValue;
use clap::{Args, ValueEnum};
use live::keeping;
use live::papers::Papers;
use plant::plant::Plant;
use std::io::Write;
use std::path::{Path, PathBuf};
use work::due::List;

/// What was asked.
#[derive(Args)]
#[command(after_help = "\
  bedplate print vessels/marram rounds
  bedplate print vessels/marram handbook --paper letter --out handbook.pdf
  bedplate print vessels/marram all --out paper")]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    vessel: PathBuf,
    /// Which document
    what: What,
    /// How large a sheet is
    #[arg(long, value_enum, default_value_t)]
    paper: Paper,
    /// Into this file instead of WHAT.pdf; of all, into this folder instead of the one you are in
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Leave out whose she is: her name, serial numbers, photographs, positions
    #[arg(long)]
    without_name: bool,
    /// Where her pages are on her network, such as http://10.0.0.5:8461, for codes on valve tags
    #[arg(long, value_name = "ADDRESS")]
    address: Option<String>,
    /// As if today were this day: the same day gives the same file
    #[arg(long, value_name = "DATE")]
    date: Option<String>,
    /// For programs: what was written
    #[arg(long)]
    json: bool,
}

/// One document, or all.
#[derive(Clone, Copy, PartialEq, Eq)]
enum What {
    One(Printable),
    All,
}

impl ValueEnum for What {
    fn value_variants<'a>() -> &'a [What] {
        const ALL: [What; Printable::ALL.len() + 1] = {
            let mut all = [What::All; Printable::ALL.len() + 1];
            let mut k = 0;
            while k < Printable::ALL.len() {
                all[k] = What::One(Printable::ALL[k]);
                k += 1;
            }
            all
        };
        &ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(match self {
            What::One(one) => PossibleValue::new(one.word()).help(one.about()),
            What::All => PossibleValue::new("all").help("Each of them, into a file of its own"),
        })
    }
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let mut plant = files::plant(&asked.vessel)?;
    let mut with = bookshelf::asked(&asked.vessel, &plant)?;
    if !paper::PRINTS {
        let advice = "Build it with it: cargo build --release -p bedplate --features paper\n  \
                      Without it, bedplate tour writes a folder of pages, and bedplate serve has the handbook.";
        return Err(Stop::BadInput(format!("print: fault: this program was built without paper\n  {advice}")));
    }
    with.address.clone_from(&asked.address);
    let mut made = clocks::day_now();
    if let Some(text) = &asked.date {
        made = super::leg::day("--date", text)?;
        with.date = bookshelf::date(made);
    }
    let folder = Folder::open(&asked.vessel)?;
    let papers = folder.papers(&plant)?;
    let shelf = folder.shelf(&plant, &papers, made)?;
    let list = list(&asked.vessel, &plant, &papers, made);
    let kept = Kept { tasks: &papers.tasks, list: &list, stores: &shelf.stores, stock: &shelf.stock, now: made };
    with.history = history::of(&plant, &papers.tasks, &papers.records, &list);
    if asked.without_name {
        with = nameless::asked(&with, &plant.name);
        plant = nameless::plant(&plant);
    }
    let facts = facts(&plant, &with)?;
    let wanted = match asked.what {
        What::One(one) => vec![one],
        What::All => Printable::ALL.to_vec(),
    };
    let mut documents = Vec::with_capacity(wanted.len());
    for one in wanted {
        let path = path(asked, one)?;
        let refused = |why: String| Stop::NoAnswer(format!("{}: {why}", one.word()));
        let printed = paper::set(&one.make(&facts, &kept), asked.paper, made).map_err(refused)?;
        files::write(&path, &printed.pdf)?;
        documents.push(PrintedDocument {
            what: one.word(),
            title: one.title(),
            file: path.display().to_string(),
            pages: printed.pages,
            bytes: printed.pdf.len(),
        });
    }
    if asked.json {
        return json::write(out, &Printed { version: VERSION, vessel: plant.name, documents });
    }
    for document in &documents {
        let pages = if document.pages == 1 { "page" } else { "pages" };
        writeln!(out, "{}: {} {pages}, in {}", document.title, document.pages, document.file)?;
    }
    Ok(())
}

/// What is due on that day.
fn list(vessel: &Path, plant: &Plant, papers: &Papers, now: i64) -> List {
    let reader = keeping::reader(vessel);
    papers.due(plant, reader.as_ref(), now, None)
}

/// Where a document goes.
fn path(asked: &Asked, one: Printable) -> Result<PathBuf, Stop> {
    let name = format!("{}.pdf", one.word());
    match (&asked.out, asked.what) {
        (None, _) => Ok(name.into()),
        (Some(file), What::One(_)) => Ok(file.clone()),
        (Some(folder), What::All) => {
            std::fs::create_dir_all(folder).map_err(|error| unmade(folder, &error))?;
            Ok(folder.join(name))
        }
    }
}

fn unmade(folder: &Path, error: &std::io::Error) -> Stop {
    let why = format!("{}: fault: this folder cannot be made: {error}\n  Give another.", folder.display());
    Stop::BadInput(why)
}
