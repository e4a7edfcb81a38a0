//! `bedplate due`: what is due, when, with what, and what falls due on a passage.

mod shape;

use crate::clocks;
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::verbs::expect::name;
use crate::{files, json};
use clap::Args;
use live::keeping;
use live::papers::Papers;
use plant::plant::{PartId, Plant};
use std::io::Write;
use std::path::PathBuf;
use store::Reader;
use work::date::{self, DAY};
use work::due::{Due, List, Stands};
use work::passage::{Falls, Passage, falls};
use work::risk::{self, Risk};
use work::task::Task;
use work::usage::Planned;
use work::words;

/// Tasks that nobody knows of which are told by themselves.
const FIRST: usize = 10;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// What the hour meter shows now: 1850, or ENGINE=1850 where there are several
    #[arg(long, value_name = "HOURS")]
    hours: Vec<String>,
    /// Running hours of a passage that is planned
    #[arg(long, value_name = "HOURS")]
    passage: Option<String>,
    /// Days it takes; without them, as if she ran day and night
    #[arg(long, value_name = "DAYS", requires = "passage")]
    days: Option<String>,
    /// When she leaves, such as 2026-05-01; today without it
    #[arg(long, value_name = "DATE", requires = "passage")]
    leaves: Option<String>,
    /// As if today were this day
    #[arg(long, value_name = "DATE")]
    at: Option<String>,
    /// Every task, also what is far ahead, with where its interval comes from
    #[arg(long)]
    all: bool,
    /// For programs
    #[arg(long)]
    json: bool,
}

/// All that an answer is made of.
struct Answer<'a> {
    plant: &'a Plant,
    papers: &'a Papers,
    list: List,
    risks: Vec<Risk>,
    now: i64,
    passage: Option<(Passage, Vec<Falls>)>,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let plant = files::plant(&asked.plant)?;
    let mut papers = files::papers(&asked.plant, &plant)?;
    let now = asked.at.as_deref().map_or_else(|| Ok(clocks::day_now()), |text| day("--at", text))?;
    for told in &asked.hours {
        let (engine, hours) = hours(&plant, told)?;
        papers.tell_hours(engine, now, hours);
        if papers.meters.iter().any(|(of, meter)| *of == engine && meter.last() != Some(&(now, hours))) {
            let advice = "Correct that record first, or tell the hours that go with it: a meter only goes on.";
            return Err(refused("--hours", &format!("{hours} h is less than a record tells"), advice));
        }
    }
    let passage = passage(asked, now)?;
    let planned = passage.map(|Passage { start, hours, days }| Planned { start, days, hours });
    let file = keeping::file(&asked.plant);
    let reader = if file.exists() { Reader::open(&file).ok() } else { None };
    let list = papers.due(&plant, reader.as_ref(), now, planned);
    let risks = risk::first(&plant, &papers.tasks, &list.rows);
    let passage = passage.map(|passage| (passage, falls(&papers.tasks, &list, &passage)));
    let answer = Answer { plant: &plant, papers: &papers, list, risks, now, passage };
    if asked.json {
        return json::write(out, &answer.shape());
    }
    out.write_all(answer.text(asked.all).as_bytes()).map_err(Stop::from)
}

fn refused(what: &str, why: &str, advice: &str) -> Stop {
    Stop::BadInput(format!("{what}: fault: {why}\n  {advice}"))
}

/// A day of the command line, at noon [ms since 1970, UTC].
pub(crate) fn day(what: &str, text: &str) -> Result<i64, Stop> {
    let advice = "Write year, month and day, such as 2026-05-01.";
    date::read(text).ok_or_else(|| refused(what, &format!("`{text}` is no day"), advice))
}

/// A number with a unit that may be left out, above 0.
fn number(what: &str, text: &str, units: &[&str], example: &str) -> Result<f64, Stop> {
    let bare = text.trim().trim_end_matches(char::is_alphabetic).trim();
    let unit = text.trim()[bare.len()..].trim();
    let number = bare.parse::<f64>().ok().filter(|value| value.is_finite() && (0.0..=1e6).contains(value));
    let fits = unit.is_empty() || units.contains(&unit);
    number
        .filter(|_| fits)
        .ok_or_else(|| refused(what, &format!("`{text}` cannot be read"), &format!("Write it such as {example}.")))
}

/// `1850`, or `main=1850 h`.
pub(crate) fn hours(plant: &Plant, told: &str) -> Result<(PartId, f64), Stop> {
    let engines: Vec<PartId> =
        (0..plant.parts.len()).map(PartId).filter(|part| plant[*part].engine == Some(*part)).collect();
    let example = engines.first().map_or("1850".to_string(), |engine| format!("{}=1850", plant[*engine].name));
    let (engine, text) = match told.split_once('=') {
        Some((word, text)) => (crate::verbs::part(plant, word)?, text),
        None if engines.len() == 1 => (engines[0], told),
        None => return Err(refused("--hours", "there is more than one engine", &format!("Write {example}."))),
    };
    if !engines.contains(&engine) {
        return Err(refused(
            "--hours",
            &format!("`{}` is no engine", plant[engine].name),
            &format!("Write {example}."),
        ));
    }
    Ok((engine, number("--hours", text, &["h"], &example)?))
}

fn passage(asked: &Asked, now: i64) -> Result<Option<Passage>, Stop> {
    let Some(told) = &asked.passage else { return Ok(None) };
    let hours = number("--passage", told, &["h"], "\"346 h\"")?;
    let days = asked.days.as_deref().map_or(Ok(hours / 24.0), |text| number("--days", text, &["d", "days"], "16"))?;
    if hours > 24.0 * days + 1e-6 {
        let why = format!("{hours} running hours do not fit into {days} days");
        return Err(refused("--days", &why, "A day has 24 hours: fewer hours, or more days."));
    }
    let start = asked.leaves.as_deref().map_or(Ok(now), |text| day("--leaves", text))?;
    if start < now - DAY {
        return Err(refused("--leaves", &format!("{} is past", date::words(start)), "Give a day to come."));
    }
    Ok(Some(Passage { start: start.max(now), hours, days }))
}

impl Answer<'_> {
    fn task(&self, due: &Due) -> &Task {
        &self.papers.tasks[due.task]
    }

    fn text(&self, all: bool) -> String {
        let mut text = wrapped(&format!("{}: {}", name(self.plant), words::verdict(&self.list, self.now)), "", "");
        text.extend(self.papers.unread.iter().map(|unread| wrapped(&format!("Left out: {unread}."), "", "  ")));
        text += &self.engines();
        if let Some((passage, falls)) = &self.passage {
            text += &self.on_passage(passage, falls);
        }
        let past = |due: &Due| matches!(due.stands, Stands::Past { .. });
        text += &self.table("Past", &past, all);
        text +=
            &self.table("Coming", &|due| due.stands == Stands::Ahead && (all || words::is_soon(due, self.now)), all);
        text += &self.unknown();
        if all {
            text += &self.table("Nobody knows when they were done last", &|due| due.stands == Stands::Unknown, true);
        }
        text += &self.table("Waiting for something to happen", &|due| due.stands == Stands::Waits, all);
        text += &self.together();
        text += "\n";
        text += &wrapped(WARNING, "", "");
        text
    }

    fn engines(&self) -> String {
        let mut text = String::new();
        for engine in &self.list.engines {
            let [low, middle, high] = engine.a_year;
            let use_of = format!("{middle:.0} h a year ({low:.0} to {high:.0})");
            let told = match engine.read {
                Some((time, hours)) if engine.hours[2] - hours > 2.0 => {
                    format!("{hours:.0} h on {}, about {:.0} h by now; {use_of}", date::words(time), engine.hours[1])
                }
                Some((_, hours)) => format!("{hours:.0} h; {use_of}"),
                None => format!("nobody has told what its hour meter shows (--hours); {use_of} is assumed"),
            };
            text += &wrapped(&format!("{}: {told}.", self.plant[engine.engine].name), "", "  ");
        }
        text
    }

    fn table(&self, title: &str, of: &dyn Fn(&Due) -> bool, all: bool) -> String {
        let rows: Vec<&Due> = self.list.rows.iter().filter(|due| of(due)).collect();
        if rows.is_empty() {
            return String::new();
        }
        let mut text = format!("\n{title}\n");
        let cells: Vec<Vec<String>> = rows
            .iter()
            .map(|due| {
                let task = self.task(due);
                let mut cells = vec![task.name.clone(), task.title.clone(), words::stands(due), words::by(due)];
                if all {
                    cells.push(format!("{} ({})", words::interval(self.plant, task), task.mark));
                }
                cells
            })
            .collect();
        text += &columns(&cells, &[Side::Left; 5], "  ");
        text
    }

    /// What comes first where nobody knows.
    fn unknown(&self) -> String {
        let unknown: Vec<&Risk> =
            self.risks.iter().filter(|risk| self.list.rows[risk.row].stands == Stands::Unknown).collect();
        if unknown.is_empty() {
            return String::new();
        }
        let shown = unknown.len().min(FIRST);
        let mut text = format!(
            "\nNobody knows when {} were done last; {shown} to begin with, by what leaving them risks\n",
            unknown.len()
        );
        let rows: Vec<Vec<String>> = unknown[..shown]
            .iter()
            .map(|risk| {
                let task = self.task(&self.list.rows[risk.row]);
                vec![task.name.clone(), task.title.clone(), words::risk(task, risk)]
            })
            .collect();
        text += &columns(&rows, &[Side::Left; 3], "  ");
        text
    }

    fn together(&self) -> String {
        let groups = words::together(&self.papers.tasks, &self.list, self.now);
        if groups.is_empty() {
            return String::new();
        }
        let mut text = "\nOne occasion does several\n".to_string();
        for (needs, rows) in groups {
            let minutes: f64 = rows.iter().map(|row| self.task(&self.list.rows[*row]).minutes).sum();
            let names: Vec<&str> = rows.iter().map(|row| self.task(&self.list.rows[*row]).name.as_str()).collect();
            let time = if minutes < 120.0 { format!("{minutes:.0} min") } else { format!("{:.1} h", minutes / 60.0) };
            text += &wrapped(&format!("{} ({time}): {}", needs.title(), names.join(", ")), "  ", "    ");
        }
        text
    }

    fn on_passage(&self, passage: &Passage, falls: &[Falls]) -> String {
        let leaves = date::words(passage.start);
        let mut text =
            format!("\nOn a passage of {:.0} h, {leaves} to {}\n", passage.hours, date::words(passage.end()));
        if falls.is_empty() {
            return text + "  nothing falls due\n";
        }
        for fall in falls {
            let task = &self.papers.tasks[fall.task];
            let harbour = if task.needs.at_sea() { "" } else { "; it cannot be done at sea" };
            text += &wrapped(&format!("{} ({}): {}{harbour}.", task.title, task.name, words::fall(fall)), "  ", "    ");
        }
        let carry = self.carry(falls);
        if !carry.is_empty() {
            let carry: Vec<String> =
                carry.iter().map(|(what, amount, volume)| amount_of(what, *amount, *volume)).collect();
            text += &wrapped(&format!("To carry for it, besides spares: {}.", carry.join(", ")), "  ", "    ");
        }
        text
    }

    /// What planned work under way uses up: as often as a task is to be done there, whether it is done before she leaves or not.
    fn carry(&self, falls: &[Falls]) -> Vec<(String, f64, bool)> {
        let mut carry: Vec<(String, f64, bool)> = Vec::new();
        for fall in falls {
            let task = &self.papers.tasks[fall.task];
            let of = task.name.split_once('.').map_or("", |(part, _)| part);
            for used in &task.uses {
                let what = if of.is_empty() { used.what.clone() } else { format!("{} of {of}", used.what) };
                carry.push((what, used.amount * fall.times.max(fall.times_if_done) as f64, used.volume));
            }
        }
        carry
    }
}

fn amount_of(what: &str, amount: f64, volume: bool) -> String {
    if volume { format!("{:.1} L of {what}", amount * 1000.0) } else { format!("{what} × {amount:.0}") }
}

/// Said once.
const WARNING: &str = "Intervals are defaults where nothing else is told: the maker's manual, class and flag, and a licensed \
                       engineer come before them. `--all` tells where each comes from; `bedplate done` writes down what was done.";
