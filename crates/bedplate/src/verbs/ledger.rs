//! `bedplate ledger`: where the fuel, the oil and the coolant went; and entries of it.

use crate::folder::Folder;
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::verbs::entered::{Entered, note, short, shown};
use crate::verbs::expect::name;
use crate::{files, json};
use clap::Args;
use diary::{Entry, Line};
use ledger::balance::{By, Stretch};
use ledger::written::{Beside, Sort, posting};
use ledger::{Ledger, Posting, saying};
use live::books::Books;
use plant::plant::Plant;
use std::fmt::Write as _;
use std::io::Write;
use std::path::PathBuf;

/// Entries and stretches told without `--all`.
const LAST: usize = 12;

/// How the columns of the balance stand.
const SIDES: [Side; 9] = {
    use Side::{Left, Right};
    [Left, Left, Right, Right, Right, Left, Right, Right, Right]
};

/// What was asked.
#[derive(Args)]
#[command(after_help = "\
Each entry stands for good: what was wrong is corrected by another one, and both are kept. Any number of entries may be told at once.

  bedplate ledger vessels/marram --taken \"fuel-port=1200 L\" --at \"2026-05-03 14:00\" --where \"Westhaven\" --within \"10 L\"
  bedplate ledger vessels/marram --sounded \"fuel-port=640 L\" --sounded \"day-tank=60 %\" --hours \"main=1850 h\"

Tanks that are no part of the plant, what depths mean, and what she burns an hour, in vessel.toml or work.toml:

  [tank.fuel-port]
  volume = \"1200 L\"
  sounding = [[\"0 cm\", \"0 L\"], [\"40 cm\", \"480 L\"], [\"100 cm\", \"1200 L\"]]
  [burn.main]
  rate = \"9 L/h\"
  within = \"1 L/h\"")]
pub struct Asked {
    /// The vessel's folder
    #[arg(value_name = "DIR")]
    vessel: PathBuf,
    /// Fuel taken aboard
    #[arg(long, value_name = "TANK=AMOUNT")]
    taken: Vec<String>,
    /// Fuel moved from one tank into another
    #[arg(long, value_name = "FROM=TO=AMOUNT")]
    moved: Vec<String>,
    /// A tank sounded: litres, a share, or a depth where its table is told
    #[arg(long, value_name = "TANK=AMOUNT")]
    sounded: Vec<String>,
    /// Fuel burnt by a meter, since the entry of this sort before
    #[arg(long, value_name = "[TANK=]AMOUNT")]
    burnt: Vec<String>,
    /// Oil or coolant topped up
    #[arg(long, value_name = "PART=AMOUNT")]
    added: Vec<String>,
    /// Oil or coolant drained off
    #[arg(long, value_name = "PART=AMOUNT")]
    drained: Vec<String>,
    /// Oil or coolant drained and filled anew to the mark
    #[arg(long, value_name = "PART=AMOUNT")]
    renewed: Vec<String>,
    /// What an hour-meter shows
    #[arg(long, value_name = "[ENGINE=]HOURS")]
    hours: Vec<String>,
    /// An hour-meter changed: what the old one showed, what the new one shows
    #[arg(long, value_name = "[ENGINE=]OLD=NEW")]
    meter_changed: Vec<String>,
    /// How closely the amount is known, 19 times in 20
    #[arg(long, value_name = "AMOUNT")]
    within: Option<String>,
    /// Density of fuel taken
    #[arg(long, value_name = "DENSITY")]
    density: Option<String>,
    /// Where fuel was taken
    #[arg(long = "where", value_name = "PLACE")]
    place: Option<String>,
    /// What it cost
    #[arg(long, value_name = "PRICE")]
    price: Option<String>,
    #[command(flatten)]
    entered: Entered,
    /// Every entry, and those that were corrected
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
    let folder = Folder::open(&asked.vessel)?;
    let terms = folder.terms(&plant)?;
    let mut books = folder.books(&plant)?;
    let mut said = String::new();
    if let Some(taken) = asked.entered.taken_back(&asked.vessel, &books.ledger.diary)? {
        said += &(taken + "\n\n");
    }
    let postings = postings(asked, &terms.tanks, &plant)?;
    if !postings.is_empty() {
        let corrects = asked.entered.corrects(&books.ledger.diary)?;
        if corrects.is_some() && postings.len() > 1 {
            return Err(Stop::BadInput("--correct: fault: one entry stands for one\n  Tell one entry with it.".into()));
        }
        let time = asked.entered.time()?;
        let who = asked.entered.who.as_deref();
        let lines: Vec<Line> = postings.iter().map(|what| Line::of(time, who, corrects.as_ref(), what)).collect();
        note(&asked.vessel, &lines)?;
        for (line, what) in lines.iter().zip(&postings) {
            said += &wrapped(&format!("Written down, {}: {}.", short(&line.key()), saying::entry(what)), "", "  ");
        }
        said.push('\n');
    } else if asked.entered.correct.is_some() {
        let advice = "Say it with --taken, --sounded and the like.";
        return Err(Stop::BadInput(format!("--correct: fault: nothing is told that stands instead\n  {advice}")));
    }
    if !said.is_empty() {
        books = Folder::open(&asked.vessel)?.books(&plant)?;
    }
    if asked.json {
        return json::write(out, &shape(&books, &plant));
    }
    said += &in_words(&books, &plant, asked.all);
    out.write_all(said.as_bytes()).map_err(Stop::from)
}

/// What is to be written down.
fn postings(asked: &Asked, tanks: &ledger::told::Told, plant: &Plant) -> Result<Vec<Posting>, Stop> {
    let beside = Beside {
        within: asked.within.as_deref(),
        density: asked.density.as_deref(),
        place: asked.place.as_deref(),
        price: asked.price.as_deref(),
    };
    let told = [
        &asked.taken,
        &asked.moved,
        &asked.sounded,
        &asked.burnt,
        &asked.added,
        &asked.drained,
        &asked.renewed,
        &asked.hours,
        &asked.meter_changed,
    ];
    let mut all = Vec::new();
    for ((word, sort), texts) in Sort::ALL.into_iter().zip(told) {
        for text in texts {
            let what = posting(sort, text, &beside, tanks, plant);
            all.push(what.map_err(|why| Stop::BadInput(format!("--{word}: fault: {why}")))?);
        }
    }
    Ok(all)
}

fn in_words(books: &Books, plant: &Plant, every: bool) -> String {
    let Books { ledger, unread, .. } = books;
    let mut text = wrapped(&format!("{}. {}", name(plant), saying::first(ledger, plant)), "", "");
    if !ledger.balance.now.is_empty() {
        text += "\nIn the tanks, by the last sounding and what was taken and moved since\n";
        let rows = ledger.balance.now.iter().map(|(tank, amount, time)| {
            vec![
                tank.clone(),
                litres(amount.value),
                format!("± {}", litres(amount.band())),
                format!("sounded {}", shown(*time)),
            ]
        });
        text += &columns(&rows.collect::<Vec<_>>(), &[Side::Left, Side::Right, Side::Left, Side::Left], "  ");
    }
    let all = &ledger.balance.all;
    if !all.is_empty() {
        text += "\nBetween soundings of all tanks, L\n";
        let head =
            ["from", "to", "taken", "left", "burnt", "", "unaccounted for", "hours", "L/h"].map(String::from).to_vec();
        let from = if every { 0 } else { all.len().saturating_sub(LAST) };
        let rows: Vec<Vec<String>> = std::iter::once(head).chain(all[from..].iter().map(row)).collect();
        text += &columns(&rows, &SIDES, "  ");
    }
    if let Some(whole) = &ledger.balance.whole {
        text += &wrapped(&format!("Over all of it: {}", saying::accounted(whole)), "  ", "  ");
    }
    if !ledger.odd.is_empty() {
        text += "\nWhat can hardly be so; the entries are kept\n";
        for odd in &ledger.odd {
            text += &wrapped(&format!("{} {}: {}", short(&odd.key), shown(odd.time), saying::odd(odd)), "  ", "    ");
        }
    }
    text += &entries(ledger, every);
    text.extend(unread.iter().map(|unread| wrapped(&format!("Left out: {unread}."), "", "  ")));
    text
}

fn row(stretch: &Stretch) -> Vec<String> {
    // No zero has a sign.
    let number = |value: f64| format!("{:.0}", (value * 1e3).round() + 0.0);
    let by = match stretch.burnt {
        Some((_, By::Meter)) => "meter",
        Some((_, By::Rate)) => "rate",
        Some((_, By::Usual)) => "usual",
        None => "",
    };
    let missing = stretch.unaccounted();
    let rate =
        stretch.hours.filter(|hours| *hours > 1.0).map(|hours| format!("{:.1}", stretch.drawn.value * 1e3 / hours));
    vec![
        shown(stretch.from)[..10].to_string(),
        shown(stretch.to)[..10].to_string(),
        number(stretch.taken.value),
        number(stretch.drawn.value),
        stretch.burnt.map_or_else(String::new, |(burnt, _)| number(burnt.value)),
        by.into(),
        missing.map_or_else(String::new, |missing| format!("{} ± {}", number(missing.value), number(missing.band()))),
        stretch.hours.map_or_else(String::new, |hours| format!("{hours:.0}")),
        rate.unwrap_or_default(),
    ]
}

fn entries(ledger: &Ledger, every: bool) -> String {
    let all = &ledger.diary.entries;
    if all.is_empty() {
        return String::new();
    }
    let from = if every { 0 } else { all.len().saturating_sub(LAST) };
    let mut text = format!("\n{} entries, {} shown, the latest last\n", all.len(), all.len() - from);
    let row = |entry: &Entry<Posting>, note: String| {
        let who = entry.who.clone().unwrap_or_default();
        vec![short(&entry.key).to_string(), shown(entry.time), saying::entry(&entry.what) + &note, who]
    };
    let corrected =
        |entry: &Entry<Posting>| if entry.corrects.is_some() { " (corrected)".into() } else { String::new() };
    let rows: Vec<Vec<String>> = all[from..].iter().map(|entry| row(entry, corrected(entry))).collect();
    text += &columns(&rows, &[Side::Left; 4], "  ");
    if every && !ledger.diary.struck.is_empty() {
        let _ = writeln!(text, "\nCorrected or taken back, and kept");
        let rows: Vec<Vec<String>> = ledger
            .diary
            .struck
            .iter()
            .map(|struck| row(&struck.entry, format!(" (by {})", short(&struck.by))))
            .collect();
        text += &columns(&rows, &[Side::Left; 4], "  ");
    }
    text
}

fn litres(volume: f64) -> String {
    format!("{:.0} L", volume * 1e3)
}

fn shape(books: &Books, plant: &Plant) -> json::books::Ledger {
    json::books::Ledger::of(&books.ledger, name(plant), plant, &books.unread)
}
