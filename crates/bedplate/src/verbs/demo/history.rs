//! What was done on the demonstration vessel: invented, and laid to today so that it is never out of date.

use diary::{Line, Sort};
use live::books::Terms;
use plant::plant::Plant;
use serde::Deserialize;
use spares::Movement;
use work::date::DAY;
use work::record::Record;

/// Work done, built in.
const WORK: &str = include_str!("../../../../../vessels/marram/history/work.toml");

/// What was counted, built in.
const STOCK: &str = include_str!("../../../../../vessels/marram/history/stock.toml");

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

/// The ledger, and what a laboratory found.
const LEDGER: &str = include_str!("../../../../../vessels/marram/history/ledger.toml");
const SAMPLES: &str = include_str!("../../../../../vessels/marram/history/samples.toml");

/// Everything that was invented, as if it had been written down by now [ms since 1970, UTC].
pub fn invented(plant: &Plant, terms: &Terms, now: i64) -> Vec<Line> {
    let ago = |days: f64| noon(now) - (days * DAY as f64) as i64;
    let ledger = ledger::reading::read(LEDGER, &terms.tanks, plant).0.into_iter();
    let ledger = ledger.map(|line| Line::of(ago(line.days_ago), line.who.as_deref(), None, &line.what));
    let samples = samples::reading::read(SAMPLES, plant).0.into_iter();
    let samples = samples.map(|told| Line::of(ago(told.days_ago.unwrap_or_default()), None, None, &told.sample));
    let stock = of::<Movement>(STOCK, now);
    of::<Record>(WORK, now).into_iter().chain(ledger).chain(samples).chain(stock).collect()
}

/// To the day: a program started twice on one day invents the same.
fn noon(now: i64) -> i64 {
    now - now.rem_euclid(DAY) + DAY / 2
}

/// The entries of a file. That it can be read is tested; what could not be would be left out.
fn of<T: Sort>(text: &str, now: i64) -> Vec<Line> {
    let file = toml_edit::de::from_str::<File<T>>(text);
    let records = file.map(|file| file.record).unwrap_or_default();
    let line =
        |one: &Invented<T>| Line::of(noon(now) - (one.days * DAY as f64) as i64, one.who.as_deref(), None, &one.what);
    records.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files;
    use live::books::Books;
    use live::history::History;
    use live::papers::Papers;
    use std::path::Path;
    use work::written::{Meant, fits, meant};

    #[test]
    fn what_was_invented_can_be_read_and_fits_the_vessel_her_tasks_and_her_meter() {
        let vessel = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../vessels/marram");
        let plant = files::plant(&vessel).expect("shipped");
        let folder = crate::folder::Folder::open(&vessel).expect("shipped");
        let tasks = folder.papers(&plant).expect("her tasks are sound").tasks;
        let now = 1_800_000_000_000;
        let terms = folder.terms(&plant).expect("her tanks are sound");
        let lines = invented(&plant, &terms, now);
        assert!(lines.len() > 40, "{}", lines.len());
        let papers = Papers::of(&plant, tasks.clone(), &History { lines, damaged: Vec::new() });
        assert_eq!(papers.unread, Vec::<String>::new());
        let history = History { lines: invented(&plant, &terms, now), damaged: Vec::new() };
        assert_eq!(ledger::reading::read(LEDGER, &terms.tanks, &plant).1, []);
        assert_eq!(samples::reading::read(SAMPLES, &plant).1, []);
        let books = Books::of(&plant, &terms, &history, now);
        assert_eq!((books.ledger.odd, books.unread), (Vec::new(), Vec::new()), "nothing absurd was invented");
        assert!(books.ledger.balance.all.len() > 10 && books.results.judged.len() == 7);
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
