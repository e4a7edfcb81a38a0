//! What work takes out of the lockers: what tasks say they use, what a passage's work will, and what records have used.

use crate::passage::Falls;
use crate::record::Record;
use crate::task::{Task, Use};
use diary::Diary;
use plant::plant::Plant;
use spares::amount::Counted;
use spares::item::Fit;
use spares::{Stores, Taken, Told, Wanted};

/// The words of what tasks use at a part: what an item may say it fits.
pub fn words(tasks: &[Task]) -> Vec<Fit> {
    let of = |task: &Task| task.uses.iter().filter_map(|one| Some((task.of?, one.what.clone()))).collect::<Vec<_>>();
    tasks.iter().flat_map(of).collect()
}

/// What the work that falls due on a passage uses: as often as a task is to be done there, done before she leaves or not.
/// What cannot be done at sea is done elsewhere, and takes nothing along.
pub fn wanted(plant: &Plant, tasks: &[Task], falls: &[Falls]) -> Vec<Wanted> {
    let under_way = falls.iter().filter(|fall| tasks[fall.task].needs.at_sea());
    let of = |fall: &Falls| {
        let task = &tasks[fall.task];
        let times = fall.times.max(fall.times_if_done) as f64;
        let want = |one: &Use| {
            let told = told(plant, task, one);
            Wanted { told: Told { amount: told.amount * times, ..told }, task: task.title.clone() }
        };
        task.uses.iter().map(want).collect::<Vec<_>>()
    };
    under_way.flat_map(of).collect()
}

/// What records of work have used up: as they tell it, or as the task does where they do not.
pub fn taken(plant: &Plant, stores: &Stores, tasks: &[Task], records: &Diary<Record>, now: i64) -> Vec<Taken> {
    let mut taken = Vec::new();
    for entry in records.entries.iter().filter(|entry| entry.time <= now) {
        let task = entry.what.task.as_deref().and_then(|name| tasks.iter().find(|task| task.name == name));
        let by = task.map_or_else(|| entry.what.text.clone(), |task| task.title.clone());
        let one = |told: Told| Taken { time: entry.time, told, by: by.clone() };
        if entry.what.used.is_empty() {
            // What a task would use of what nobody describes is no news.
            let known = |told: &Told| stores.taken_apart(plant, told).is_some();
            let all = task.into_iter().flat_map(|task| task.uses.iter().map(|used| told(plant, task, used)));
            taken.extend(all.filter(known).map(one));
        } else {
            taken
                .extend(entry.what.used.iter().map(|(what, amount)| one(recorded(plant, stores, task, what, *amount))));
        }
    }
    taken
}

fn told(plant: &Plant, task: &Task, one: &Use) -> Told {
    let item = task.of.map_or(one.what.clone(), |of| format!("{}.{}", of.name(plant), one.what));
    Told { item, amount: one.amount, counted: one.volume.then_some(Counted::Volume) }
}

/// A record tells a volume or a count, by what the item is.
fn recorded(plant: &Plant, stores: &Stores, task: Option<&Task>, what: &str, amount: f64) -> Told {
    let part = task.and_then(|task| task.of).map(|of| of.name(plant));
    let item = match part {
        Some(part) if stores.called(what).is_none() && !what.contains('.') => format!("{part}.{what}"),
        _ => what.to_string(),
    };
    let volume = Told { item, amount, counted: Some(Counted::Volume) };
    if stores.taken_apart(plant, &volume).is_some() { volume } else { Told { counted: None, ..volume } }
}
