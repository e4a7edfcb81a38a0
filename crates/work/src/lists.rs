//! Work done and service tasks as tables, headed as [`crate::brought`] reads them.

use crate::record::{Measured, Record};
use crate::task::Task;
use diary::Diary;
use jiff::Timestamp;
use plant::plant::Plant;

/// What was done, a row a record that stands (CSV).
pub fn work(tasks: &[Task], records: &Diary<Record>) -> String {
    let mut rows =
        vec![["date", "task", "part", "hours", "who", "note", "measured", "used", "key"].map(str::to_string)];
    for entry in &records.entries {
        let record = &entry.what;
        let task = record.task.as_deref().and_then(|name| tasks.iter().find(|task| task.name == name));
        let measured = record.measured.iter().map(|one| said(task, one)).collect::<Vec<_>>().join("; ");
        let used = record.used.iter().map(|(what, amount)| format!("{what}: {amount}")).collect::<Vec<_>>().join("; ");
        rows.push([
            Timestamp::from_millisecond(entry.time).map_or_else(|_| entry.time.to_string(), |time| time.to_string()),
            record.task.clone().or(record.happened.clone()).unwrap_or_default(),
            record.of.clone().unwrap_or_default(),
            record.hours.map_or_else(String::new, |hours| hours.to_string()),
            entry.who.clone().unwrap_or_default(),
            record.text.clone(),
            measured,
            used,
            entry.key.0.clone(),
        ]);
    }
    table(&rows)
}

/// Her tasks (CSV).
pub fn tasks(plant: &Plant, tasks: &[Task]) -> String {
    let heads = ["name", "part", "title", "hours", "months", "minutes", "needs", "note", "mark"];
    let mut rows = vec![heads.map(str::to_string)];
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    for task in tasks {
        rows.push([
            task.name.clone(),
            task.of.map_or_else(String::new, |of| of.name(plant).to_string()),
            task.title.clone(),
            number(task.every.hours),
            number(task.every.months),
            number(Some(task.minutes)),
            task.needs.key().to_string(),
            task.steps.join(" "),
            task.mark.clone(),
        ]);
    }
    table(&rows)
}

/// One measure: "clearance cylinder 1 inlet: found 0.35 mm, left 0.3 mm".
fn said(task: Option<&Task>, one: &Measured) -> String {
    let measure = task.and_then(|task| task.measures.iter().find(|measure| measure.name == one.name));
    let value = |value: f64| measure.map_or_else(|| value.to_string(), |measure| measure.print_in(value, &one.unit));
    let found = one.found.map(|found| format!("found {}", value(found)));
    let left = one.left.map(|left| format!("left {}", value(left)));
    let words = Some(one.words.clone()).filter(|words| !words.is_empty());
    let told: Vec<String> = [found, left, words].into_iter().flatten().collect();
    format!("{} {}: {}", one.name, one.at.as_deref().unwrap_or(""), told.join(", ")).replace(" :", ":")
}

fn table<const N: usize>(rows: &[[String; N]]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        // Memory takes what it is given.
        let _ = writer.write_record(row);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}
