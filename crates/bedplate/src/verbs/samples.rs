//! `bedplate samples`: what the laboratory found in oil, coolant and fuel; and results entered.

use crate::folder::Folder;
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::verbs::entered::{Entered, note, short, shown};
use crate::verbs::expect::name;
use crate::{files, json};
use clap::Args;
use diary::Line;
use live::books::Books;
use plant::plant::Plant;
use samples::{Analyte, Judged, Standing, saying};
use std::io::Write;
use std::path::PathBuf;
use watch::saying::Odds;

/// Samples of one part told without `--all`.
const LAST: usize = 6;

/// What was asked.
#[derive(Args)]
#[command(after_help = "\
Results are copied from the laboratory's sheet into a file, what the sheet does not say is left out:

  [[sample]]
  number = \"A-7\"
  of = \"sump\"                  # the part it was drawn from
  taken = \"2026-05-03 10:00\"
  hours-on-fill = 120          # of this oil; 0 fresh from the can, which tells what was in it from the beginning
  hours = 1850                 # of the engine
  grade = \"15W-40\"
  iron = \"21 ppm\"              # or Fe = 21
  tin = \"< 1 ppm\"
  soot = \"0.4 %\"
  viscosity-100 = \"14.2 mm²/s\"
  particles = \"17/15/12\"       # or counts = [1100, 300, 35] in a millilitre

  bedplate samples vessels/marram --add sheet.toml

Your own limits, in vessel.toml or work.toml: [limit.sump] and iron = [\"80 ppm\", \"150 ppm\"], to look into it and to act.")]
pub struct Asked {
    /// The vessel's folder
    #[arg(value_name = "DIR")]
    vessel: PathBuf,
    /// Results to be kept
    #[arg(long, value_name = "FILE")]
    add: Vec<PathBuf>,
    #[command(flatten)]
    entered: Entered,
    /// Every sample, and those that were corrected
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
    let plant = files::plant(&asked.vessel)?;
    let mut books = Folder::open(&asked.vessel)?.books(&plant)?;
    let mut said = String::new();
    if let Some(taken) = asked.entered.taken_back(&asked.vessel, &books.results.diary)? {
        said += &(taken + "\n\n");
    }
    let lines = lines(asked, &books, &plant)?;
    if !lines.is_empty() {
        note(&asked.vessel, &lines)?;
        let keys: Vec<String> = lines.iter().map(|line| short(&line.key()).to_string()).collect();
        said += &wrapped(&format!("Kept: {}.", keys.join(", ")), "", "  ");
        said.push('\n');
    } else if asked.entered.correct.is_some() {
        let advice = "Give the file with what stands instead, with --add.";
        return Err(Stop::BadInput(format!("--correct: fault: nothing is told that stands instead\n  {advice}")));
    }
    if !said.is_empty() {
        books = Folder::open(&asked.vessel)?.books(&plant)?;
    }
    if asked.json {
        return json::write(out, &json::books::Samples::of(&books.results, name(&plant), &books.unread));
    }
    said += &in_words(&books, &plant, asked.all);
    out.write_all(said.as_bytes()).map_err(Stop::from)
}

/// What is to be kept.
fn lines(asked: &Asked, books: &Books, plant: &Plant) -> Result<Vec<Line>, Stop> {
    let corrects = asked.entered.corrects(&books.results.diary)?;
    let who = asked.entered.who.as_deref();
    let mut lines = Vec::new();
    for path in &asked.add {
        let file = path.display().to_string();
        for told in files::samples(path, plant)? {
            let place = format!("{file}: `taken`");
            let time = match (told.taken.as_str(), told.days_ago) {
                ("", Some(days)) => asked.entered.time()? - (days * 86_400_000.0) as i64,
                ("", None) => asked.entered.time()?,
                (text, _) => asked.entered.moment(text, &place)?,
            };
            lines.push(Line::of(time, who, corrects.as_ref(), &told.sample));
        }
    }
    if corrects.is_some() && lines.len() > 1 {
        return Err(Stop::BadInput(
            "--correct: fault: one sample stands for one\n  Give a file with one in it.".into(),
        ));
    }
    Ok(lines)
}

fn in_words(books: &Books, plant: &Plant, every: bool) -> String {
    let results = &books.results;
    let odds = |chance: f64| Odds::Words.say(chance);
    let mut text = wrapped(&format!("{}. {}", name(plant), saying::first(results, &odds)), "", "");
    let mut parts: Vec<&str> = Vec::new();
    for one in &results.judged {
        if !parts.contains(&one.entry.what.of.as_str()) {
            parts.push(&one.entry.what.of);
        }
    }
    for part in parts {
        text += &of_part(books, part, every);
    }
    if every && !results.diary.struck.is_empty() {
        text += "\nCorrected or taken back, and kept\n";
        for struck in &results.diary.struck {
            let sample = &struck.entry.what;
            let line = format!(
                "{} {}: sample {} of {} (by {})",
                short(&struck.entry.key),
                shown(struck.entry.time),
                sample.number,
                sample.of,
                short(&struck.by)
            );
            text += &wrapped(&line, "  ", "    ");
        }
    }
    text.extend(books.unread.iter().map(|unread| wrapped(&format!("Left out: {unread}."), "", "  ")));
    text
}

/// The samples of one part side by side, the latest last.
fn of_part(books: &Books, part: &str, every: bool) -> String {
    let all: Vec<&Judged> = books.results.judged.iter().filter(|one| one.entry.what.of == part).collect();
    let shown_here = &all[if every { 0 } else { all.len().saturating_sub(LAST) }..];
    let mut text = format!("\n{part}\n");
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut row = |title: &str, of: &dyn Fn(&Judged) -> String| {
        let cells: Vec<String> = shown_here.iter().map(|one| of(one)).collect();
        if cells.iter().any(|cell| !cell.is_empty()) {
            rows.push(std::iter::once(title.to_string()).chain(cells).collect());
        }
    };
    let hours = |hours: Option<f64>| hours.map_or_else(String::new, |hours| format!("{hours:.0}"));
    row("number", &|one| one.entry.what.number.clone());
    row("taken", &|one| shown(one.entry.time)[..10].to_string());
    row("key", &|one| short(&one.entry.key).to_string());
    row("hours of the engine", &|one| hours(one.entry.what.hours));
    row("hours on it", &|one| hours(one.entry.what.hours_on_fill));
    for analyte in Analyte::all() {
        let unit = if analyte.unit().is_empty() { String::new() } else { format!(", {}", analyte.unit()) };
        row(&format!("{}{unit}", analyte.title()), &|one| cell(one, analyte));
    }
    row("particles", &|one| one.entry.what.particles.map_or_else(String::new, |code| code.to_string()));
    let mut sides = vec![Side::Left];
    sides.resize(shown_here.len() + 1, Side::Right);
    text += &columns(&rows, &sides, "  ");
    text += "  ! to be looked into, !! to be acted on\n";
    for ahead in books.results.ahead.iter().filter(|ahead| ahead.part == part) {
        text += &wrapped(&saying::ahead(ahead), "  ", "    ");
    }
    text
}

/// A value as it stands in its column: "120 !".
fn cell(one: &Judged, analyte: Analyte) -> String {
    let sample = &one.entry.what;
    let Some(value) = sample.values.get(&analyte) else { return String::new() };
    let shown = analyte.shown(*value);
    let number = shown.strip_suffix(analyte.unit()).unwrap_or(&shown).trim();
    let less = if sample.under.contains(&analyte) { "< " } else { "" };
    let mark = match one.standing.iter().find(|(of, _, _)| *of == analyte).map(|(_, standing, _)| *standing) {
        Some(Standing::Act) => " !!",
        Some(Standing::Look) => " ! ",
        _ => "   ",
    };
    format!("{less}{number}{mark}")
}
