//! What was done on the demonstration vessel: invented, and laid to today so that it is never out of date.

use diary::{Line, Sort};
use serde::Deserialize;
use work::date::DAY;
use work::record::Record;

/// Work done, built in.
const WORK: &str = include_str!("../../../../../vessels/marram/history/work.toml");

/// An entry with its day before today.
#[derive(Deserialize)]
struct Invented<T> {
    days: f64,
    who: Option<String>,
    #[serde(flatten)]
    what: T,
}

/// A file of them.
#[derive(Deserialize)]
struct File<T> {
    record: Vec<Invented<T>>,
}

/// Everything that was invented, as if it had been written down by now [ms since 1970, UTC].
pub fn invented(now: i64) -> Vec<Line> {
    of::<Record>(WORK, now)
}

/// The entries of a file. That it can be read is tested; what could not be would be left out.
fn of<T: Sort>(text: &str, now: i64) -> Vec<Line> {
    // To the day: a program started twice on one day invents the same.
    let noon = now - now.rem_euclid(DAY) + DAY / 2;
    let file = toml_edit::de::from_str::<File<T>>(text);
    let records = file.map(|file| file.record).unwrap_or_default();
    let line = |one: &Invented<T>| Line::of(noon - (one.days * DAY as f64) as i64, one.who.as_deref(), None, &one.what);
    records.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files;
    use live::history::History;
    use live::papers::Papers;
    use std::path::Path;
    use work::written::{Meant, fits, meant};

    #[test]
    fn what_was_invented_can_be_read_and_fits_the_vessel_her_tasks_and_her_meter() {
        let vessel = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../vessels/marram");
        let plant = files::plant(&vessel).expect("shipped");
        let tasks = files::papers(&vessel, &plant).expect("her tasks are sound").tasks;
        let now = 1_800_000_000_000;
        let lines = invented(now);
        assert!(lines.len() > 40, "{}", lines.len());
        let papers = Papers::of(&plant, tasks.clone(), &History { lines, damaged: Vec::new() });
        assert_eq!(papers.unread, Vec::<String>::new());
        for entry in &papers.records.entries {
            let record = &entry.what;
            let word = record.task.as_ref().or(record.happened.as_ref()).or(record.of.as_ref()).expect("of something");
            let found = meant(&plant, &tasks, word).expect("known");
            if let Meant::Task(task) = found {
                for one in &record.measured {
                    let measure = task.measures.iter().find(|measure| measure.name == one.name);
                    let measure = measure.unwrap_or_else(|| panic!("{} of {}", one.name, task.name));
                    assert!(one.at.as_ref().is_none_or(|at| measure.at.contains(at)), "{one:?}");
                }
            }
            if let Some(hours) = record.hours {
                fits(&papers.meters[0].1, entry.time, hours).expect("a meter only goes on");
            }
        }
    }
}
