//! What work done changes elsewhere: how long a part has run since, what was lately under somebody's hands, what was used up.

use crate::record::Record;
use crate::task::Task;
use diary::Diary;
use plant::evidence::{Named, Work};
use plant::plant::Plant;

/// Work longer ago than this is not told as lately done [h].
const LATELY: f64 = 300.0;

/// Running hours of a part's engine at this moment [h], if they are known.
pub type HoursNow<'a> = dyn Fn(&Plant, Named) -> Option<f64> + 'a;

/// Lays what was done over the plant: a part that a task has renewed, or looked over, has run only so long since.
///
/// * `now`: running hours of a part's engine at this moment [h], if they are known
pub fn on_plant(
    plant: &mut Plant,
    tasks: &[Task],
    records: &Diary<Record>,
    now: impl Fn(&Plant, Named) -> Option<f64>,
) {
    for entry in &records.entries {
        let Some(task) = entry.what.task.as_deref().and_then(|name| tasks.iter().find(|task| task.name == name)) else {
            continue;
        };
        let Some(Named::Part(part)) = task.of else { continue };
        let Some((now, then)) = now(plant, Named::Part(part)).zip(entry.what.hours) else { continue };
        let since = (now - then).max(0.0);
        for cause in &task.guards {
            let causes = &mut plant.parts[part.0].causes_since;
            match causes.iter_mut().find(|(place, _)| place == cause) {
                Some((_, hours)) => *hours = hours.min(since),
                None => causes.push((*cause, since)),
            }
        }
    }
}

/// What was lately done, as evidence tells it; what is planned is not.
///
/// * `time`: now [ms since 1970, UTC]
pub fn lately(plant: &Plant, tasks: &[Task], records: &Diary<Record>, time: i64, now: &HoursNow) -> Vec<Work> {
    let mut lately: Vec<Work> = Vec::new();
    for entry in records.entries.iter().filter(|entry| entry.time <= time) {
        let by_task = entry.what.task.as_deref().and_then(|name| tasks.iter().find(|task| task.name == name));
        let of = by_task.and_then(|task| task.of).or_else(|| Named::find(plant, entry.what.of.as_deref()?));
        let Some(of) = of else { continue };
        let Some((hours, then)) = now(plant, of).zip(entry.what.hours) else { continue };
        let hours_ago = (hours - then).max(0.0);
        if hours_ago > LATELY {
            continue;
        }
        match lately.iter_mut().find(|work| work.of == of) {
            Some(work) => work.hours_ago = work.hours_ago.min(hours_ago),
            None => lately.push(Work { of, hours_ago, since: false }),
        }
    }
    lately
}

/// What a task's record used up, by item or word: as it was told, or as the task tells where it was not.
pub fn used(plant: &Plant, task: Option<&Task>, record: &Record) -> Vec<(String, f64)> {
    if !record.used.is_empty() {
        return record.used.clone();
    }
    let Some(task) = task else { return Vec::new() };
    let of = task.of.map(|of| of.name(plant));
    let full = |what: &str| of.map_or(what.to_string(), |of| format!("{of}.{what}"));
    task.uses.iter().map(|one| (full(&one.what), one.amount)).collect()
}
