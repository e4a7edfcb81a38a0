//! What was done to her and what is due, as the book tells it.

use diary::Diary;
use plant::plant::Plant;
use work::date;
use work::due::{Due as Row, List, Stands};
use work::record::Record;
use work::task::{Needs, Task};

/// What is known of her past and what comes next.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// Work done, the latest first.
    pub done: Vec<Done>,
    /// Work that is due or comes due, the most pressing first.
    pub due: Vec<Due>,
    /// When alarms were tried for real.
    pub tried: Vec<Tried>,
}

/// A piece of work done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Done {
    /// The day, as people write it.
    pub day: String,
    /// What was done: "Impeller renewed".
    pub what: String,
    /// The part's name as in the description; empty if it was no part's.
    pub part: String,
    /// Running hours then, as people write them; empty if not known.
    pub hours: String,
    /// Who did it; empty if not told.
    pub who: String,
    /// As found and as left, in words; empty if not told.
    pub remarks: String,
}

/// A piece of work that is due.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Due {
    /// What is to be done.
    pub what: String,
    /// The part's name as in the description; empty if it is no part's.
    pub part: String,
    /// When: "past by 14 h", "in about 60 h".
    pub when: String,
    /// What it needs: "hauled out", "afloat, cold".
    pub needs: String,
    /// It needs a yard.
    pub yard: bool,
}

/// An alarm that was tried.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tried {
    /// Its name as in the description.
    pub alarm: String,
    /// The day, as people write it.
    pub day: String,
    /// How, and whether it spoke.
    pub how: String,
}

/// Most that is told of the past, and of what comes next; the pages have all of it.
const DONE: usize = 80;
const DUE: usize = 30;
/// The task by which every alarm is tried.
const TRIED: &str = "alarms";

/// What is known of her past and what comes next, from her tasks and what was written down.
pub fn of(plant: &Plant, tasks: &[Task], records: &Diary<Record>, list: &List) -> History {
    let title = |record: &Record| {
        let task = record.task.as_ref().and_then(|name| tasks.iter().find(|task| task.name == *name));
        let happened = record.happened.as_ref().map(|event| watch::saying::sentence(&watch::saying::key(event)));
        task.map(|task| task.title.clone()).or(happened)
    };
    let latest = || records.entries.iter().rev();
    let done = latest().take(DONE).map(|entry| {
        let record = &entry.what;
        let (what, remarks) = match title(record) {
            Some(title) => (title, record.text.clone()),
            None => (record.text.clone(), String::new()),
        };
        Done {
            day: date::words(entry.time),
            what,
            part: record.of.clone().unwrap_or_default(),
            hours: record.hours.map_or_else(String::new, |hours| format!("{hours:.0} h")),
            who: entry.who.clone().unwrap_or_default(),
            remarks,
        }
    });
    let pressing = |row: &&Row| matches!(row.stands, Stands::Past { .. } | Stands::Ahead);
    let due = list.rows.iter().filter(pressing).take(DUE).filter_map(|row| {
        let task = tasks.get(row.task)?;
        Some(Due {
            what: task.title.clone(),
            part: task.of.map_or_else(String::new, |of| named(plant, of)),
            when: work::words::stands(row),
            needs: task.needs.key().replace('-', " "),
            yard: task.needs == Needs::HauledOut,
        })
    });
    let tried = plant.gauges.iter().filter(|gauge| gauge.trips.is_some()).filter_map(|gauge| {
        let this = |record: &Record| {
            let all = record.task.as_deref() == Some(TRIED) && record.of.is_none();
            all || (record.of.as_deref() == Some(gauge.name.as_str()) && record.task.is_some())
        };
        let entry = latest().find(|entry| this(&entry.what))?;
        Some(Tried { alarm: gauge.name.clone(), day: date::words(entry.time), how: entry.what.text.clone() })
    });
    History { done: done.collect(), due: due.collect(), tried: tried.collect() }
}

fn named(plant: &Plant, of: plant::evidence::Named) -> String {
    match of {
        plant::evidence::Named::Part(part) => plant[part].name.clone(),
        plant::evidence::Named::Gauge(gauge) => plant[gauge].name.clone(),
    }
}
