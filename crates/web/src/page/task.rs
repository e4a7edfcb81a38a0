//! One task: how it is done, how it stands, how its measures go on, what was done, and the form to write it down; and one
//! record, to be looked at and corrected.

use crate::desk::Worked;
use crate::page::frame::{Frame, Theme};
use crate::page::work::{Done, done, link};
use crate::page::{address, query};
use crate::ship::Scene;
use askama::Template;
use diary::{Entry, Key};
use work::date;
use work::due::{self, Due};
use work::record::{Kept, Measured, Record};
use work::task::{Measure, Task};
use work::trend::Trend;
use work::words;

/// The page of a task.
#[derive(Template)]
#[template(path = "task.html")]
pub struct TaskPage {
    frame: Frame,
    title: String,
    part: Option<(String, String)>,
    stands: String,
    interval: String,
    mark: String,
    takes: String,
    harm: &'static str,
    task: Task,
    trends: Vec<Chart>,
    done: Vec<Done>,
    entry: Entering,
    invented: bool,
}

/// The page of a record.
#[derive(Template)]
#[template(path = "record.html")]
pub struct RecordPage {
    frame: Frame,
    done: Done,
    task: Option<(String, String)>,
    measured: Vec<[String; 4]>,
    used: Vec<String>,
    files: Vec<(String, String)>,
    /// The record that corrects it, or takes it back.
    by: Option<String>,
    corrects: Option<String>,
    entry: Entering,
}

/// The form that writes a record.
pub struct Entering {
    /// What is meant: a task, an event or a part.
    what: String,
    day: String,
    hours: String,
    who: String,
    text: String,
    measures: Vec<Field>,
    /// The record that it stands instead of.
    corrects: Option<String>,
}

/// One measure at one place.
struct Field {
    label: String,
    unit: String,
    found: String,
    left: String,
    /// Told in words: one line.
    words: bool,
}

/// How a measure goes on with the hours.
struct Chart {
    name: String,
    says: String,
    points: Vec<(f64, f64)>,
    band: String,
    line: String,
    limits: Vec<f64>,
    ends: [String; 4],
}

impl TaskPage {
    /// Of the task of this name.
    pub fn of(scene: &Scene, worked: &Worked, name: &str, theme: Theme) -> Option<TaskPage> {
        let place = worked.tasks.iter().position(|task| task.name == name)?;
        let task = &worked.tasks[place];
        let due = worked.list.rows.iter().find(|due| due.task == place)?;
        let part = task.of.map(|of| (address(&worked.plant, of), of.name(&worked.plant).to_string()));
        let records = worked.records.entries.iter().rev().filter(|entry| entry.what.task.as_deref() == Some(name));
        let takes = format!("{}, about {:.0} min", task.needs.title().to_lowercase(), task.minutes);
        Some(TaskPage {
            // Its name holds dots and may hold anything; the page itself has no news but its frame's.
            frame: Frame { live: "/live/work".into(), ..Frame::of(scene, "Task", theme, &link(name)) },
            title: task.title.clone(),
            part,
            stands: stands(due),
            interval: words::interval(&worked.plant, task),
            mark: task.mark.clone(),
            takes,
            harm: task.harm.words(),
            trends: task.measures.iter().filter_map(|measure| chart(worked, task, measure)).collect(),
            done: records.map(|entry| done(worked, entry)).collect(),
            entry: Entering::new(worked, task),
            invented: worked.invented,
            task: task.clone(),
        })
    }
}

/// How it stands, as a sentence.
fn stands(due: &Due) -> String {
    let by = words::by(due);
    let comma = if by.is_empty() { "" } else { ", " };
    watch::saying::sentence(&format!("{}{comma}{by}.", words::stands(due)))
}

impl RecordPage {
    /// Of the record with this key.
    pub fn of(scene: &Scene, worked: &Worked, key: &str, theme: Theme) -> Option<RecordPage> {
        let stands = worked.records.entries.iter().find(|entry| entry.key.0 == key);
        let struck = worked.records.struck.iter().find(|struck| struck.entry.key.0 == key);
        let entry = stands.or(struck.map(|struck| &struck.entry))?;
        let record = &entry.what;
        let task = record.task.as_deref().and_then(|name| worked.tasks.iter().find(|task| task.name == name));
        let here = format!("/work/record?key={}", query(key));
        Some(RecordPage {
            frame: Frame { live: "/live/work".into(), ..Frame::of(scene, "Record", theme, &here) },
            done: done(worked, entry),
            task: task.map(|task| (link(&task.name), task.name.clone())),
            measured: record.measured.iter().map(|one| cells(task, one)).collect(),
            used: record.used.iter().map(|(what, amount)| format!("{what}: {amount}")).collect(),
            files: record.files.iter().map(|file| (file_link(file), file.name.clone())).collect(),
            by: struck.map(|struck| struck.by.0.clone()),
            corrects: entry.corrects.as_ref().map(|key| key.0.clone()),
            entry: Entering::correcting(task, entry),
        })
    }
}

/// Where a file that was kept is had.
fn file_link(file: &Kept) -> String {
    format!("/work/file?sum={}", query(&file.sha256))
}

/// A value as it was written.
fn print(one: &Measured, measure: Option<&Measure>, value: Option<f64>) -> String {
    let of = |value: f64| measure.map_or_else(|| value.to_string(), |measure| measure.print_in(value, &one.unit));
    value.map_or_else(String::new, of)
}

fn measure_of<'a>(task: Option<&'a Task>, one: &Measured) -> Option<&'a Measure> {
    task.and_then(|task| task.measures.iter().find(|measure| measure.name == one.name))
}

fn cells(task: Option<&Task>, one: &Measured) -> [String; 4] {
    let measure = measure_of(task, one);
    let found = if one.words.is_empty() { print(one, measure, one.found) } else { one.words.clone() };
    [one.name.clone(), one.at.clone().unwrap_or_default(), found, print(one, measure, one.left)]
}

impl Entering {
    /// Empty, for today.
    fn new(worked: &Worked, task: &Task) -> Entering {
        let engine = worked.list.engines.iter().find(|engine| Some(engine.engine) == task.engine);
        let read = engine.and_then(|engine| engine.read).map(|(_, hours)| hours);
        Entering {
            what: task.name.clone(),
            day: date::iso(worked.now),
            hours: read.map_or_else(String::new, |hours| format!("{hours:.0}")),
            who: String::new(),
            text: String::new(),
            measures: fields(task, None),
            corrects: None,
        }
    }

    /// With what a record tells.
    fn correcting(task: Option<&Task>, entry: &Entry<Record>) -> Entering {
        let record = &entry.what;
        let what =
            task.map(|task| task.name.clone()).or(record.happened.clone()).or(record.of.clone()).unwrap_or_default();
        Entering {
            what,
            day: date::iso(entry.time),
            hours: record.hours.map_or_else(String::new, |hours| format!("{hours}")),
            who: entry.who.clone().unwrap_or_default(),
            text: record.text.clone(),
            measures: task.map_or_else(Vec::new, |task| fields(task, Some(record))),
            corrects: Some(entry.key.0.clone()),
        }
    }
}

fn fields(task: &Task, record: Option<&Record>) -> Vec<Field> {
    let mut fields = Vec::new();
    for measure in &task.measures {
        let places: Vec<Option<&String>> =
            if measure.at.is_empty() { vec![None] } else { measure.at.iter().map(Some).collect() };
        for place in places {
            let told = record.and_then(|record| {
                record.measured.iter().find(|one| one.name == measure.name && one.at.as_ref() == place)
            });
            let label = place.map_or(measure.name.clone(), |place| format!("{} {place}", measure.name));
            let words = measure.quantity.is_none();
            let found = told.map_or_else(String::new, |one| {
                if words { one.words.clone() } else { print(one, Some(measure), one.found) }
            });
            let left = told.map_or_else(String::new, |one| print(one, Some(measure), one.left));
            fields.push(Field {
                label,
                unit: if words { String::new() } else { measure.unit.clone() },
                found,
                left,
                words,
            });
        }
    }
    fields
}

/// Widest and highest of a chart [its own units].
const WIDE: f64 = 300.0;
const HIGH: f64 = 120.0;
/// What is foreseen beyond the last point [h].
const BEYOND: f64 = 500.0;

/// A chart of a measure, once there are two points of it.
fn chart(worked: &Worked, task: &Task, measure: &Measure) -> Option<Chart> {
    measure.quantity?;
    let (spans, current) = due::measured(&worked.records, task, &measure.name);
    let trend = Trend::through(&spans, &current, due::scatter(&spans))?;
    let points: Vec<(f64, f64)> = spans.concat();
    let hours = |far: fn(f64, f64) -> f64| points.iter().map(|(hours, _)| *hours).reduce(far);
    let (first, last) = (hours(f64::min)?, hours(f64::max)?);
    let newest = current.iter().filter_map(|place| spans[*place].last()).max_by(|a, b| a.0.total_cmp(&b.0))?;
    let end = last + BEYOND;
    // What is foreseen begins where what goes on began.
    let begun = current.iter().filter_map(|place| spans[*place].first()).map(|(hours, _)| *hours).fold(last, f64::min);
    let told: Vec<f64> = [measure.limits.0, measure.limits.1].into_iter().flatten().collect();
    let bands: Vec<[f64; 3]> = (0..=10).map(|step| trend.at(begun + (end - begun) * f64::from(step) / 10.0)).collect();
    let all =
        points.iter().map(|(_, value)| *value).chain(bands.iter().map(|band| band[1])).chain(told.iter().copied());
    let (low, high) =
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    let room = ((high - low) * 0.1).max(high.abs() * 0.02).max(1e-12);
    let (low, high) = (low - room, high + room);
    let x = |hours: f64| WIDE * (hours - first) / (end - first);
    let y = |value: f64| (HIGH * (high - value) / (high - low)).clamp(0.0, HIGH);
    let at = |step: usize| begun + (end - begun) * step as f64 / 10.0;
    let path = |values: &mut dyn Iterator<Item = (f64, f64)>| {
        let corners: Vec<String> = values.map(|(h, v)| format!("{:.1} {:.1}", x(h), y(v))).collect();
        format!("M{}", corners.join("L"))
    };
    let line = path(&mut bands.iter().enumerate().map(|(step, band)| (at(step), band[1])));
    let upper = bands.iter().enumerate().map(|(step, band)| (at(step), band[2]));
    let lower = bands.iter().enumerate().rev().map(|(step, band)| (at(step), band[0]));
    let band = path(&mut upper.chain(lower)) + "Z";
    let words = |value: f64| measure.print(value);
    let [from, middle, to] = trend.at(end);
    Some(Chart {
        name: measure.name.clone(),
        says: format!(
            "{} at {:.0} h; in {BEYOND:.0} h about {} ({} to {}, nine in ten)",
            words(newest.1),
            newest.0,
            words(middle),
            words(from),
            words(to)
        ),
        points: points.iter().map(|(hours, value)| (x(*hours), y(*value))).collect(),
        band,
        line,
        limits: told.iter().map(|limit| y(*limit)).collect(),
        ends: [words(high), words(low), format!("{first:.0} h"), format!("{end:.0} h")],
    })
}

/// The file of this check sum that a record keeps.
pub fn kept<'a>(worked: &'a Worked, sum: &str) -> Option<&'a Kept> {
    let standing = worked.records.entries.iter().map(|entry| &entry.what);
    let struck = worked.records.struck.iter().map(|struck| &struck.entry.what);
    standing.chain(struck).flat_map(|record| &record.files).find(|file| file.sha256 == sum)
}

/// The key of a record that stands.
pub fn standing(worked: &Worked, key: &str) -> Option<Key> {
    worked.records.entries.iter().find(|entry| entry.key.0 == key).map(|entry| entry.key.clone())
}
