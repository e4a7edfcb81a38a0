//! What a set-up job found and left, as a record of work.

use crate::record::{Measured, Record};
use crate::task::Task;
use crate::written::{Refused, hours, measure_at};
use plant::plant::{PartId, Plant};
use setup::job::Job;
use setup::worked::Worked;

/// The record of a job that was worked: under the service task it belongs to if the vessel has that, else as work on the part.
///
/// * `of`: the part it was done on
/// * `told`: what the hour meter showed, as written
///
/// # Errors
/// [`Refused`] where there is nothing to keep, or the hours cannot be read.
pub fn record(
    plant: &Plant,
    tasks: &[Task],
    job: &Job,
    worked: &Worked,
    of: Option<PartId>,
    told: Option<&str>,
) -> Result<Record, Refused> {
    if worked.kept.is_empty() {
        return Err(Refused {
            field: "keep",
            why: format!("{} leaves nothing that would be found and left", job.word),
            advice: "Leave it out.".into(),
        });
    }
    let task = job.task.and_then(|end| task(plant, tasks, end, of));
    let mut record = Record {
        task: task.map(|task| task.name.clone()),
        of: of.map(|of| plant.parts[of.0].name.clone()),
        hours: told.filter(|text| !text.trim().is_empty()).map(hours).transpose()?,
        text: format!("{}: {}", job.title, worked.says),
        ..Record::default()
    };
    for kept in &worked.kept {
        let measures = task.map_or(&[][..], |task| &task.measures);
        let known = measure_at(measures, &kept.name).filter(|(measure, _)| measure.quantity == Some(kept.quantity));
        let (name, at) = known.map_or_else(|| (kept.name.clone(), None), |(measure, at)| (measure.name.clone(), at));
        let (found, left, unit) = (kept.found, kept.left, kept.unit.to_string());
        record.measured.push(Measured { name, at, found, left, unit, words: String::new() });
    }
    Ok(record)
}

/// The task whose name ends so, of that part or of its engine.
fn task<'a>(plant: &Plant, tasks: &'a [Task], end: &str, of: Option<PartId>) -> Option<&'a Task> {
    let engine = of.and_then(|of| plant.parts[of.0].engine.or(Some(of)));
    let mut ending = tasks.iter().filter(|task| task.name.rsplit('.').next() == Some(end));
    let first = ending.clone().find(|task| {
        let part = task.of.and_then(|named| plant.part(named.name(plant)));
        part.is_some() && (part == of || part == engine || task.engine == engine)
    });
    first.or_else(|| ending.next())
}
