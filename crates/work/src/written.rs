//! From what a person writes down to a record: the same from a page and from a command line.

use crate::date::DAY;
use crate::record::{Kept, Measured, Record};
use crate::task::{Measure, Task, Trigger};
use measure::nearest::nearest;
use measure::unit::parse;
use plant::evidence::Named;
use plant::names::folded;
use plant::plant::{PartId, Plant};

/// A line of words is not longer [bytes].
const LONGEST: usize = 4_000;
/// Things that happen to a vessel and make work due; tasks may name others.
const EVENTS: [&str; 4] = ["haul-out", "launch", "lay-up", "rebuilt"];

/// What a person wrote.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Written {
    /// A task, something that happened, or a part.
    pub what: String,
    /// Running hours, as written.
    pub hours: Option<String>,
    /// In his own words.
    pub text: String,
    /// Measures as found: "clearance cylinder 1 inlet" and "0.35 mm".
    pub found: Vec<(String, String)>,
    /// As left.
    pub left: Vec<(String, String)>,
    /// Used up: what, and how many or how much.
    pub used: Vec<(String, String)>,
    /// Files that were kept.
    pub files: Vec<Kept>,
}

/// Why it cannot be a record.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {why}")]
pub struct Refused {
    /// Which of it: "hours", "found".
    pub field: &'static str,
    /// What is wrong.
    pub why: String,
    /// What to do.
    pub advice: String,
}

fn refused<T>(field: &'static str, why: impl Into<String>, advice: impl Into<String>) -> Result<T, Refused> {
    Err(Refused { field, why: why.into(), advice: advice.into() })
}

/// What a word names.
#[derive(Clone, Debug, PartialEq)]
pub enum Meant<'a> {
    /// A task.
    Task(&'a Task),
    /// Something that happened.
    Event(String),
    /// A part or gauge.
    Part(Named),
}

/// The task, event or part that a word means: a task by its name or by the end of it if only one ends so.
///
/// # Errors
/// [`Refused`] with the nearest name.
pub fn meant<'a>(plant: &Plant, tasks: &'a [Task], word: &str) -> Result<Meant<'a>, Refused> {
    let name = folded(word);
    if let Some(task) = tasks.iter().find(|task| task.name == name) {
        return Ok(Meant::Task(task));
    }
    let events: Vec<&str> = events(tasks).collect();
    if events.contains(&name.as_str()) {
        return Ok(Meant::Event(name));
    }
    if let Some(named) = Named::find(plant, &name) {
        return Ok(Meant::Part(named));
    }
    let ending: Vec<&Task> = tasks.iter().filter(|task| task.name.rsplit('.').next() == Some(&name)).collect();
    match ending[..] {
        [one] => Ok(Meant::Task(one)),
        [] => {
            let names = tasks.iter().map(|task| task.name.as_str()).chain(events);
            let parts = plant.parts.iter().map(|part| part.name.as_str());
            let endings = tasks.iter().filter_map(|task| task.name.rsplit('.').next());
            let near = nearest(&name, names.chain(parts).chain(endings)).map(|near| format!("Did you mean `{near}`?"));
            let advice = near.unwrap_or_else(|| "`bedplate due --all` lists the tasks.".into());
            refused("what", format!("there is no task, event or part `{word}`"), advice)
        }
        [first, ..] => {
            let names: Vec<&str> = ending.iter().map(|task| task.name.as_str()).collect();
            refused(
                "what",
                format!("`{word}` could be {}", names.join(", ")),
                format!("Write it such as {}.", first.name),
            )
        }
    }
}

/// Everything that can happen: the usual, and what tasks wait for.
fn events(tasks: &[Task]) -> impl Iterator<Item = &str> {
    let waited = tasks.iter().flat_map(|task| &task.also).filter_map(|trigger| match trigger {
        Trigger::After(event) | Trigger::Before(event) => Some(event.as_str()),
        _ => None,
    });
    EVENTS.into_iter().chain(waited)
}

/// The record that a person wrote.
///
/// # Errors
/// [`Refused`]: the first thing in it that cannot be.
pub fn record(plant: &Plant, tasks: &[Task], written: &Written) -> Result<Record, Refused> {
    if written.text.len() > LONGEST {
        return refused(
            "text",
            format!("{} letters are too many", written.text.len()),
            format!("At most {LONGEST}; keep the rest in a file beside it."),
        );
    }
    let mut record =
        Record { text: written.text.trim().to_string(), files: written.files.clone(), ..Record::default() };
    let task = match meant(plant, tasks, &written.what)? {
        Meant::Task(task) => {
            record.task = Some(task.name.clone());
            record.of = task.of.map(|of| of.name(plant).to_string());
            Some(task)
        }
        Meant::Event(event) => {
            record.happened = Some(event);
            None
        }
        Meant::Part(named) => {
            record.of = Some(named.name(plant).to_string());
            None
        }
    };
    record.hours = written.hours.as_deref().filter(|text| !text.trim().is_empty()).map(hours).transpose()?;
    for (entries, is_found) in [(&written.found, true), (&written.left, false)] {
        for (place, value) in entries.iter().filter(|(_, value)| !value.trim().is_empty()) {
            let field = if is_found { "found" } else { "left" };
            measured(&mut record, task, (field, place, value))?;
        }
    }
    for (what, amount) in &written.used {
        record.used.push((what.trim().to_string(), used(amount)?));
    }
    Ok(record)
}

/// What an hour meter shows, as written [h].
pub(crate) fn hours(text: &str) -> Result<f64, Refused> {
    let bare = text.trim().trim_end_matches('h').trim();
    match bare.parse::<f64>() {
        Ok(hours) if hours.is_finite() && (0.0..=200_000.0).contains(&hours) => Ok(hours),
        _ => {
            refused("hours", format!("`{text}` are no running hours"), "Write what the hour meter shows, such as 1850.")
        }
    }
}

/// One measure at one place, found or left.
fn measured(
    record: &mut Record,
    task: Option<&Task>,
    (field, place, value): (&'static str, &str, &str),
) -> Result<(), Refused> {
    let none = &[][..];
    let measures = task.map_or(none, |task| &task.measures);
    let Some((measure, at)) = measure_at(measures, place) else {
        let known: Vec<String> = measures.iter().map(|measure| format!("“{}”", measure.name)).collect();
        let advice =
            if known.is_empty() { "Write it in the text.".into() } else { format!("It records {}.", known.join(", ")) };
        return refused(field, format!("nothing called `{place}` is measured there"), advice);
    };
    if let Some(at) = at.as_ref().filter(|at| !measure.at.contains(at)) {
        return refused(
            field,
            format!("`{}` is not measured at `{at}`", measure.name),
            format!("It is measured at {}.", measure.at.join(", ")),
        );
    }
    if at.is_none() && measure.at.len() > 1 {
        return refused(
            field,
            format!("`{}` is measured at more than one place", measure.name),
            format!("Write it such as \"{} {}\".", measure.name, measure.at[0]),
        );
    }
    let there = record.measured.iter().position(|one| one.name == measure.name && one.at == at);
    let row = there.unwrap_or_else(|| {
        let unit = if measure.quantity.is_some() { measure.unit.clone() } else { String::new() };
        record.measured.push(Measured {
            name: measure.name.clone(),
            at,
            found: None,
            left: None,
            unit,
            words: String::new(),
        });
        record.measured.len() - 1
    });
    let row = &mut record.measured[row];
    let Some(quantity) = measure.quantity else {
        row.words =
            if row.words.is_empty() { value.trim().into() } else { format!("{}; {field} {}", row.words, value.trim()) };
        return Ok(());
    };
    let number = value.trim();
    let read = parse(number, quantity)
        .or_else(|error| parse(&format!("{number} {}", measure.unit), quantity).map_err(|_| error));
    match read {
        Ok(read) if field == "found" => row.found = Some(read),
        Ok(read) => row.left = Some(read),
        Err(error) => {
            return refused(
                field,
                format!("`{place}`: {error}"),
                format!("Write it such as \"0.3 {}\".", measure.unit),
            );
        }
    }
    Ok(())
}

/// "clearance cylinder 1 inlet": the measure, and where.
pub(crate) fn measure_at<'a>(measures: &'a [Measure], place: &str) -> Option<(&'a Measure, Option<String>)> {
    let place = place.trim();
    let by_name = measures.iter().filter_map(|measure| {
        let rest = place.strip_prefix(measure.name.as_str())?;
        (rest.is_empty() || rest.starts_with([' ', ',', ':']))
            .then(|| (measure, rest.trim_start_matches([' ', ',', ':']).trim()))
    });
    // The longest name, for one may begin another.
    if let Some((measure, rest)) = by_name.max_by_key(|(measure, _)| measure.name.len()) {
        return Some((measure, (!rest.is_empty()).then(|| rest.to_string())));
    }
    let at = |measure: &&Measure| measure.at.iter().any(|at| at == place);
    measures.iter().find(at).map(|measure| (measure, Some(place.to_string())))
}

/// A count, or a volume [m³].
fn used(text: &str) -> Result<f64, Refused> {
    let text = text.trim();
    let number = text.parse::<f64>().ok().or_else(|| parse(text, measure::quantity::Quantity::Volume).ok());
    match number {
        Some(number) if number.is_finite() && number > 0.0 && number < 1e6 => Ok(number),
        _ => {
            refused("used", format!("`{text}` is no amount"), "Write a count such as 1, or a volume such as \"14 L\".")
        }
    }
}

/// What an hour meter showed: times [ms since 1970, UTC] and running hours [h], both rising.
pub type Meter = (PartId, Vec<(i64, f64)>);

/// That the hours of a record fit among what her meters showed. What it corrects does not stand against it.
///
/// * `time`: of the record [ms since 1970, UTC]
/// * `corrects`: the time of the record that it stands instead of, if it does
///
/// # Errors
/// As [`fits`].
pub fn hours_fit(
    plant: &Plant,
    tasks: &[Task],
    meters: &[Meter],
    record: &Record,
    time: i64,
    corrects: Option<i64>,
) -> Result<(), Refused> {
    let Some(hours) = record.hours else { return Ok(()) };
    let task = record.task.as_deref().and_then(|name| tasks.iter().find(|task| task.name == name));
    let part = record.of.as_deref().and_then(|name| plant.part(name));
    let engine = task.and_then(|task| task.engine).or_else(|| plant[part?].engine);
    let Some((_, meter)) = meters.iter().find(|(of, _)| engine.is_none_or(|engine| engine == *of)) else {
        return Ok(());
    };
    let others: Vec<(i64, f64)> = meter.iter().copied().filter(|(at, _)| Some(*at) != corrects).collect();
    fits(&others, time, hours)
}

/// That running hours fit among what was written down before: a meter only goes on, and no faster than time.
///
/// * `meter`: times [ms since 1970, UTC] and running hours [h], both rising
///
/// # Errors
/// [`Refused`] with what stands against it.
pub fn fits(meter: &[(i64, f64)], time: i64, hours: f64) -> Result<(), Refused> {
    // People write the day and not the hour: which of two entries of a day came first is not known, and a day's slack is given.
    let day = |at: i64| at.div_euclid(DAY);
    let most = |from: i64, to: i64| 24.0 * (((to - from) as f64 / DAY as f64).abs() + 1.0);
    let words = |(at, hours): (i64, f64)| format!("{hours:.0} h were written down for {}", crate::date::words(at));
    let advice = "Look at the day and the hours; if the meter was changed, say so in the ledger; a mistake before is corrected by its key.";
    let wrong = |why: String| refused("hours", why, advice);
    if let Some(before) = meter.iter().rev().find(|(at, _)| day(*at) < day(time)) {
        if hours < before.1 - 0.5 {
            return wrong(format!("{hours:.0} h are fewer than before: {}", words(*before)));
        }
        if hours - before.1 > most(before.0, time) {
            return wrong(format!("{hours:.0} h are more than the days since allow: {}", words(*before)));
        }
    }
    let apart = |(at, told): &&(i64, f64)| day(*at) == day(time) && (hours - told).abs() > most(time, time);
    if let Some(same) = meter.iter().find(apart) {
        return wrong(format!("{hours:.0} h are more than a day from what stands there: {}", words(*same)));
    }
    match meter.iter().find(|(at, _)| day(*at) > day(time)) {
        Some(next) if hours > next.1 + 0.5 => wrong(format!("{hours:.0} h are more than later: {}", words(*next))),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_meter_goes_on_from_day_to_day_and_no_faster_than_time() {
        let noon = |days: i64| days * DAY + DAY / 2;
        let meter = [(noon(10), 100.0), (noon(10), 108.0), (noon(20), 200.0)];
        // Of one day either may have come first.
        assert!(fits(&meter, noon(10), 99.0).is_ok() && fits(&meter, noon(10), 104.0).is_ok());
        for (day, hours, says) in [
            (10, 160.0, "more than a day"),
            (12, 90.0, "fewer than before"),
            (11, 180.0, "more than the days"),
            (15, 230.0, "more than later"),
            (9, 120.0, "more than later"),
        ] {
            let refused = fits(&meter, noon(day), hours).expect_err("it cannot be");
            assert!(refused.why.contains(says), "{}", refused.why);
        }
        assert!(fits(&meter, noon(15), 150.0).is_ok() && fits(&meter, noon(30), 300.0).is_ok());
        assert!(fits(&[], noon(1), 5000.0).is_ok());
    }
}
