//! Work: what is due, on a line of days and hours; what one occasion does; what was done.

use crate::desk::Worked;
use crate::page::frame::{Frame, Status, Theme};
use crate::page::opening::drawn;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use diary::Entry;
use work::date::{self, DAY};
use work::due::{Due, Stands};
use work::record::Record;
use work::task::Task;
use work::words;

/// How far the line of days goes [days].
const AHEAD: i64 = 365;
/// Tasks nobody knows of that stand first, and records shown.
const FIRST: usize = 10;
const LATEST: usize = 12;

/// The page.
#[derive(Template)]
#[template(path = "work.html")]
pub struct WorkPage {
    frame: Frame,
    verdict: String,
    invented: bool,
    engines: Vec<String>,
    months: Vec<Month>,
    past: Vec<Row>,
    coming: Vec<Row>,
    first: Vec<Row>,
    unknown: Vec<Row>,
    waiting: Vec<Row>,
    later: Vec<Row>,
    together: Vec<Together>,
    latest: Vec<Done>,
    records: usize,
    events: Vec<&'static str>,
    today: String,
    unread: Vec<String>,
}

/// A month on the line of days, which they part in six.
struct Month {
    name: String,
    /// What the first engine's meter shows by then.
    hours: String,
}

/// A task.
pub struct Row {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Where it is told.
    pub link: String,
    /// How it stands.
    pub stands: String,
    /// What makes it due, what it takes.
    pub by: String,
    /// Its place on the line of days, if it has one.
    pub strip: Option<Strip>,
    /// "past", "soon" or nothing.
    pub class: &'static str,
}

/// On the line of days.
pub struct Strip {
    /// Between these nine in ten lie.
    pub bracket: String,
    /// The likeliest.
    pub tick: String,
}

/// What one occasion does.
struct Together {
    title: &'static str,
    time: String,
    tasks: Vec<(String, String)>,
}

/// A record, in short.
pub struct Done {
    /// The day.
    pub day: String,
    /// The meter.
    pub hours: String,
    /// What it was.
    pub what: String,
    /// Where it is told.
    pub link: String,
    /// The owner's words, and who.
    pub text: String,
}

impl WorkPage {
    /// At this moment.
    pub fn of(scene: &Scene, worked: &Worked, theme: Theme) -> WorkPage {
        let rows = |of: &dyn Fn(&Due) -> bool| -> Vec<Row> {
            worked.list.rows.iter().filter(|due| of(due)).map(|due| row(worked, due)).collect()
        };
        let soon = |due: &Due| words::is_soon(due, worked.now);
        let unknown = worked.risks.iter().filter(|risk| worked.list.rows[risk.row].stands == Stands::Unknown);
        let mut unknown: Vec<Row> = unknown
            .map(|risk| {
                let due = &worked.list.rows[risk.row];
                let mut row = row(worked, due);
                row.by = format!("{}; {}", words::risk(&worked.tasks[due.task], risk), row.by);
                row
            })
            .collect();
        let rest = unknown.split_off(unknown.len().min(FIRST));
        WorkPage {
            frame: Frame::of(scene, "Work", theme, "/work"),
            verdict: words::verdict(&worked.list, worked.now),
            invented: worked.invented,
            engines: engines(worked),
            months: months(worked),
            past: rows(&|due| matches!(due.stands, Stands::Past { .. })),
            coming: rows(&|due| soon(due)),
            first: unknown,
            unknown: rest,
            waiting: rows(&|due| due.stands == Stands::Waits),
            later: rows(&|due| due.stands == Stands::Ahead && !soon(due)),
            together: together(worked),
            latest: worked.records.entries.iter().rev().take(LATEST).map(|entry| done(worked, entry)).collect(),
            records: worked.records.entries.len(),
            events: EVENTS.to_vec(),
            today: date::iso(worked.now),
            unread: worked.unread.clone(),
        }
    }

    /// What changes on it while one looks: what every page has. What is due changes by the day.
    pub fn pieces(scene: &Scene) -> Pieces {
        Pieces { html: vec![("status".into(), drawn(&Status::of(scene)))], marks: Vec::new() }
    }
}

/// What may happen to her; others are told by tasks, and written by their own name.
const EVENTS: [&str; 4] = ["haul-out", "launch", "lay-up", "rebuilt"];

/// A task as it stands in a list.
fn row(worked: &Worked, due: &Due) -> Row {
    let task = &worked.tasks[due.task];
    let class = match due.stands {
        Stands::Past { .. } => "past",
        _ if words::is_soon(due, worked.now) => "soon",
        _ => "",
    };
    let by = [words::by(due), task.needs.title().to_lowercase(), format!("{:.0} min", task.minutes)];
    Row {
        name: task.name.clone(),
        title: task.title.clone(),
        link: link(&task.name),
        stands: words::stands(due),
        by: by.iter().filter(|text| !text.is_empty()).cloned().collect::<Vec<_>>().join(", "),
        strip: due.when.and_then(|when| strip(when, worked.now)),
        class,
    }
}

/// Where a task is told.
pub fn link(name: &str) -> String {
    format!("/work/task?name={}", crate::page::query(name))
}

/// Its bracket and its tick on the line of days; nothing if it lies beyond it.
fn strip(when: [i64; 3], now: i64) -> Option<Strip> {
    let at = |time: i64| (200.0 * (time - now) as f64 / (AHEAD * DAY) as f64).clamp(0.0, 200.0);
    let [low, middle, high] = when.map(at);
    if low >= 200.0 {
        return None;
    }
    // One that ends beyond the line stays open there.
    let end = if high < 200.0 {
        format!("M{high:.1} 6V26M{:.1} 6H{high:.1}M{:.1} 26H{high:.1}", high - 3.0, high - 3.0)
    } else {
        String::new()
    };
    let bracket =
        format!("M{low:.1} 6V26M{low:.1} 6H{:.1}M{low:.1} 26H{:.1}M{low:.1} 16H{high:.1}{end}", low + 3.0, low + 3.0);
    let tick = if middle < 200.0 { format!("M{middle:.1} 3V29") } else { String::new() };
    Some(Strip { bracket, tick })
}

/// Every second month of the line, with what the meter shows by then.
fn months(worked: &Worked) -> Vec<Month> {
    let engine = worked.list.engines.first();
    (1..=5)
        .filter_map(|step| {
            let time = date::months_after(worked.now, 2.0 * f64::from(step));
            let hours = engine.filter(|engine| engine.read.is_some());
            let hours = hours.map_or_else(String::new, |engine| format!("{:.0} h", engine.ahead.hours_at(time)[1]));
            let name = date::day(time)?.strftime("%b %Y").to_string();
            Some(Month { name, hours })
        })
        .collect()
}

/// Each engine's hours, in a sentence.
fn engines(worked: &Worked) -> Vec<String> {
    let told = |engine: &work::due::EngineUse| {
        let name = &worked.plant[engine.engine].name;
        let [low, middle, high] = engine.a_year;
        let use_of = format!("{middle:.0} h a year ({low:.0} to {high:.0})");
        match engine.read {
            Some((time, hours)) => format!(
                "{name}: {hours:.0} h on {}, about {:.0} h by now; {use_of}.",
                date::words(time),
                engine.hours[1]
            ),
            None => format!("{name}: nobody has written down what its hour meter shows; {use_of} is assumed."),
        }
    };
    worked.list.engines.iter().map(told).collect()
}

fn together(worked: &Worked) -> Vec<Together> {
    let groups = words::together(&worked.tasks, &worked.list, worked.now);
    groups
        .into_iter()
        .map(|(needs, rows)| {
            let tasks: Vec<&Task> = rows.iter().map(|row| &worked.tasks[worked.list.rows[*row].task]).collect();
            let minutes: f64 = tasks.iter().map(|task| task.minutes).sum();
            let time = if minutes < 120.0 { format!("{minutes:.0} min") } else { format!("{:.1} h", minutes / 60.0) };
            let tasks = tasks.iter().map(|task| (link(&task.name), task.name.clone())).collect();
            Together { title: needs.title(), time, tasks }
        })
        .collect()
}

/// A record as it stands in a list.
pub fn done(worked: &Worked, entry: &Entry<Record>) -> Done {
    let record = &entry.what;
    let task = record.task.as_deref().and_then(|name| worked.tasks.iter().find(|task| task.name == name));
    let what = match (task, &record.happened, &record.of) {
        (Some(task), ..) => format!("{} ({})", task.title, task.name),
        (None, Some(event), _) if entry.time > worked.now => format!("{event}, planned"),
        (None, Some(event), _) => event.clone(),
        (None, None, of) => format!("Work on {}", of.as_deref().or(record.task.as_deref()).unwrap_or("her")),
    };
    let text = [record.text.clone(), entry.who.clone().unwrap_or_default()];
    Done {
        day: date::words(entry.time),
        hours: record.hours.map_or_else(String::new, |hours| format!("{hours:.0} h")),
        what,
        link: format!("/work/record?key={}", crate::page::query(&entry.key.0)),
        text: text.iter().filter(|text| !text.is_empty()).cloned().collect::<Vec<_>>().join(" · "),
    }
}

/// The page of every record.
#[derive(Template)]
#[template(path = "records.html")]
pub struct RecordsPage {
    frame: Frame,
    records: Vec<Done>,
    struck: Vec<(Done, String)>,
    invented: bool,
    /// Of all pages together.
    total: usize,
    newer: Option<usize>,
    older: Option<usize>,
}

/// Records on one page.
const A_PAGE: usize = 100;

impl RecordsPage {
    /// From the newest but `from` on.
    pub fn of(scene: &Scene, worked: &Worked, from: usize, theme: Theme) -> RecordsPage {
        let total = worked.records.entries.len();
        let from = from.min(total.saturating_sub(1));
        let records = worked.records.entries.iter().rev().skip(from).take(A_PAGE);
        let struck = worked.records.struck.iter().rev().take(if from == 0 { A_PAGE } else { 0 });
        RecordsPage {
            frame: Frame { live: "/live/work".into(), ..Frame::of(scene, "Records", theme, "/work/records") },
            records: records.map(|entry| done(worked, entry)).collect(),
            struck: struck.map(|struck| (done(worked, &struck.entry), struck.by.0[..8].to_string())).collect(),
            invented: worked.invented,
            total,
            newer: from.checked_sub(1).map(|_| from.saturating_sub(A_PAGE)),
            older: Some(from + A_PAGE).filter(|next| *next < total),
        }
    }
}
