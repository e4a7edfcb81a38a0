//! `bedplate due`: what is due, when, with what, and what falls due on a passage.

mod shape;

use crate::folder::Folder;
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::verbs::expect::name;
use crate::verbs::leg::Leg;
use crate::{files, json};
use clap::Args;
use live::keeping;
use live::papers::Papers;
use plant::plant::Plant;
use std::io::Write;
use std::path::PathBuf;
use work::date;
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
    #[command(flatten)]
    leg: Leg,
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
    let mut papers = Folder::open(&asked.plant)?.papers(&plant)?;
    let now = asked.leg.now()?;
    asked.leg.tell_hours(&plant, &mut papers, now)?;
    let passage = asked.leg.passage(now)?;
    let planned = passage.map(|Passage { start, hours, days }| Planned { start, days, hours });
    let reader = keeping::reader(&asked.plant);
    let list = papers.due(&plant, reader.as_ref(), now, planned);
    let risks = risk::first(&plant, &papers.tasks, &list.rows);
    let passage = passage.map(|passage| (passage, falls(&papers.tasks, &list, &passage)));
    let answer = Answer { plant: &plant, papers: &papers, list, risks, now, passage };
    if asked.json {
        return json::write(out, &answer.shape());
    }
    out.write_all(answer.text(asked.all).as_bytes()).map_err(Stop::from)
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
