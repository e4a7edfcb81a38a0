//! `bedplate margins`: is everything sized and arranged right?

use crate::files;
use crate::json::{self, MarginAnswer, Margins as Shape, VERSION};
use crate::page::wrapped;
use crate::stop::Stop;
use crate::turned::Turned;
use crate::verbs::expect::name;
use crate::verbs::ready;
use clap::Args;
use jobs::margins::{Margins, TRIALS, margins};
use plant::plant::Plant;
use std::fmt::Write as _;
use std::io::Write;
use std::path::PathBuf;
use watch::dial::sensible;
use watch::sizing::{Line, Standing, lines, standing};

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    #[command(flatten)]
    turned: Turned,
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
    let found = margins(&mut ready(&plant)?);
    if found.unsolved.len() == TRIALS.len() {
        let why = found.unsolved.first().map_or("", |(_, why)| why);
        return Err(Stop::NoAnswer(format!("{}: it has no state at any point tried: {why}", name(&plant))));
    }
    if asked.json {
        return json::write(out, &shape(&plant, &found));
    }
    out.write_all(text(&plant, &found).as_bytes()).map_err(Stop::from)
}

fn text(plant: &Plant, found: &Margins) -> String {
    let lines = lines(plant, found);
    let count = |standing| lines.iter().filter(|line| line.standing == standing).count();
    let (broken, open) = (count(Standing::NotKept), count(Standing::Open));
    let head = format!(
        "{}: {} questions, each where she is hardest put to it: {broken} not kept, {open} open, {} kept.",
        name(plant),
        lines.len(),
        count(Standing::Kept)
    );
    let mut text = wrapped(&head, "", "");
    let headings = [
        (Standing::NotKept, "Not kept"),
        (Standing::Open, "Open: some vessels described like this one keep it, some do not"),
        (Standing::Kept, "Kept"),
    ];
    for (standing, heading) in headings {
        let those: Vec<&Line> = lines.iter().filter(|line| line.standing == standing).collect();
        if !those.is_empty() {
            let _ = writeln!(text, "\n{heading}:");
            text.extend(those.iter().map(|line| told(line)));
        }
    }
    for (trial, why) in &found.unsolved {
        text += "\n";
        text += &wrapped(&format!("At {} nothing could be asked: {why}.", TRIALS[*trial].name), "", "");
    }
    let foot = "Bands are of nine in ten vessels described like this one. The bounds are common figures; the maker's \
                figures, class and flag rules, and a licensed engineer come before them.";
    text + "\n" + &wrapped(foot, "", "")
}

fn told(line: &Line) -> String {
    let mut said = format!(
        "{}: {} {}; {} [{}]. At {}.",
        line.part,
        line.asks,
        line.value,
        line.bound,
        line.source.trim_start_matches('[').replace(']', ""),
        line.at
    );
    if line.standing != Standing::Kept {
        let _ = write!(said, " What helps: {}.", line.remedy);
        if let Some(settle) = &line.settle {
            let _ = write!(said, " Telling the {settle} narrows it most.");
        }
    }
    wrapped(&said, "  ", "    ")
}

fn shape(plant: &Plant, found: &Margins) -> Shape {
    let answers = found.answers.iter().map(|answer| MarginAnswer {
        part: plant[answer.part].name.clone(),
        margin: answer.margin.name,
        asks: answer.margin.asks,
        standing: match standing(answer) {
            Standing::NotKept => "not kept",
            Standing::Open => "open",
            Standing::Kept => "kept",
        },
        holds: sensible(answer.holds),
        value: sensible(answer.value),
        low: sensible(answer.low),
        high: sensible(answer.high),
        least: answer.margin.least.is_finite().then_some(answer.margin.least),
        most: answer.margin.most.is_finite().then_some(answer.margin.most),
        unit: answer.margin.quantity.si_unit(),
        at: TRIALS[answer.trial].name,
        source: answer.margin.source,
    });
    Shape { version: VERSION, vessel: name(plant).into(), answers: answers.collect() }
}
