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
use watch::sizing::{Line, Standing, lines, standing, summary, unasked};

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
    let mut text = wrapped(&format!("{}: {}", name(plant), summary(&lines)), "", "");
    for standing in Standing::ALL {
        let those: Vec<&Line> = lines.iter().filter(|line| line.standing == standing).collect();
        if !those.is_empty() {
            let _ = writeln!(text, "\n{}:", standing.heading());
            text.extend(those.iter().map(|line| told(plant, line)));
        }
    }
    for line in unasked(found) {
        text += "\n";
        text += &wrapped(&line, "", "");
    }
    let foot = "Bands are of nine in ten vessels described like this one. The bounds are common figures; the maker's \
                figures, class and flag rules, and a licensed engineer come before them.";
    text + "\n" + &wrapped(foot, "", "")
}

fn told(plant: &Plant, line: &Line) -> String {
    let Line { asks, value, bound, source, at, .. } = line;
    let part = &plant[line.part].name;
    let advice = line.advice.as_ref().map_or(String::new(), |advice| format!(" {advice}"));
    wrapped(&format!("{part}: {asks} {value}; {bound} [{source}]. At {at}.{advice}"), "  ", "    ")
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
