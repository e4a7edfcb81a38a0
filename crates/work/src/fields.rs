//! Single keys of a task: intervals, conditions, what is used up, what it guards against, when it was done last.

use crate::date;
use crate::measure_told::cylinders;
use crate::reader::Given;
use crate::task::*;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit::parse;
use plant::evidence::Named;
use plant::finding::{Finding, Problem};
use plant::plant::Plant;
use plant::told::Entry;

/// A number, "250 h", or the usual of [shortest, usual, longest].
pub(crate) fn usual(entry: &Entry, of: &'static str, findings: &mut Vec<Finding>) -> Option<f64> {
    let middle = entry.value.as_array().and_then(|array| array.get(1));
    let number = |value: &toml_edit::Value| value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64));
    let text = |value: &toml_edit::Value| {
        let text = value.as_str()?.trim().to_lowercase();
        let digits = text.trim_end_matches(|letter: char| letter.is_alphabetic()).trim();
        let unit = text[digits.len()..].trim();
        let units: &[&str] = if of == "hours" { &["", "h", "hours", "hour"] } else { &["", "months", "month"] };
        digits.parse::<f64>().ok().filter(|_| units.contains(&unit))
    };
    let value = middle.or_else(|| entry.value.as_value()).and_then(|value| number(value).or_else(|| text(value)));
    let fits = value.filter(|value| *value > 0.0 && *value <= 1e6);
    if fits.is_none() {
        findings.push(entry.wrong(if of == "hours" {
            "running hours above 0, as 250"
        } else {
            "months above 0, as 12"
        }));
    }
    fits
}

pub(crate) fn when(task: &Task, entry: &Entry, plant: &Plant, findings: &mut Vec<Finding>) -> Option<Trigger> {
    let told = entry.table(findings);
    let (mut of, mut limit) = (None, None);
    for key in &told {
        match key.key.as_str() {
            "gauge" | "measure" => of = Some(key),
            "above" | "below" => limit = Some(key),
            _ => findings.push(key.unknown("`when`", &["gauge", "measure", "above", "below"])),
        }
    }
    let (Some(of), Some(limit)) = (of, limit) else {
        findings.push(entry.wrong("{ gauge = \"…\", above = \"…\" }, with measure or below as well"));
        return None;
    };
    let side = if limit.key == "above" { Side::Above } else { Side::Below };
    let name = of.text(findings)?;
    if of.key == "gauge" {
        let Some(gauge) = plant.gauge(&plant::names::folded(name)) else {
            let known = plant.gauges.iter().map(|gauge| gauge.name.as_str());
            let problem =
                Problem::UnknownGauge { nearest: nearest(name, known).map(str::to_string), name: name.into() };
            findings.push(Finding::at(problem, of.place.clone()));
            return None;
        };
        let limit = limit.value_of(plant[gauge].quantity, findings)?;
        return Some(Trigger::Reading { gauge, limit, side });
    }
    // The measures stand beside it, or are of the starting set.
    let known = task.measures.iter().find(|measure| measure.name == name);
    let Some(quantity) = known.and_then(|measure| measure.quantity) else {
        let names = task.measures.iter().map(|measure| measure.name.as_str());
        let nearest = nearest(name, names).map(str::to_string);
        findings.push(Finding::at(
            Problem::Unknown { sort: "measure in numbers", name: name.into(), nearest },
            of.place.clone(),
        ));
        return None;
    };
    let limit = limit.value_of(quantity, findings)?;
    Some(Trigger::Measured { measure: name.to_string(), limit, side })
}

pub(crate) fn uses(entry: &Entry, plant: &Plant, task: &Task, findings: &mut Vec<Finding>) -> Vec<Use> {
    let mut uses = Vec::new();
    for told in entry.table(findings) {
        let what = told.key.replace('-', " ");
        let number =
            told.value.as_value().and_then(|value| value.as_float().or_else(|| value.as_integer().map(|n| n as f64)));
        let (amount, volume) = match (number, told.value.as_str()) {
            (Some(number), _) => (Some(number), false),
            (None, Some("cylinders")) => (Some(cylinders(plant, task.engine) as f64), false),
            _ => (told.read_by(Quantity::Volume, findings, |text| parse(text, Quantity::Volume)), true),
        };
        match amount.filter(|amount| *amount > 0.0 && amount.is_finite()) {
            Some(amount) => uses.push(Use { what, amount, volume }),
            None if number.is_some() => findings.push(told.wrong("a count above 0, or a volume as \"14 L\"")),
            None => {}
        }
    }
    uses
}

pub(crate) fn guards(
    task: &Task,
    entry: &Entry,
    plant: &Plant,
    given: Given,
    findings: &mut Vec<Finding>,
) -> Vec<usize> {
    let causes = match task.of {
        Some(Named::Part(part)) => plant[part].kind.causes,
        _ => &[],
    };
    let mut guards = Vec::new();
    for (word, place) in entry.list(findings) {
        let name = word.trim().replace('-', "_");
        match causes.iter().position(|cause| cause.name == name) {
            _ if name == "all" => guards.extend(0..causes.len()),
            Some(cause) => guards.push(cause),
            None if given == Given::Starting => {}
            None => {
                let known: Vec<String> = causes.iter().map(|cause| cause.name.to_string()).collect();
                let of = task.of.map_or("the vessel", |of| of.name(plant)).to_string();
                let nearest = nearest(&name, known.iter().map(String::as_str)).map(str::to_string);
                let problem = Problem::UnknownCause { cause: word.to_string(), of, nearest, known };
                findings.push(Finding::at(problem, place));
            }
        }
    }
    guards
}

/// `last = { date = "2025-05-01", hours = 1700 }`.
pub(crate) fn last(entry: &Entry, findings: &mut Vec<Finding>) -> Last {
    let mut last = Last::default();
    for told in entry.table(findings) {
        match told.key.as_str() {
            "hours" => last.hours = usual(&told, "hours", findings),
            "date" => {
                let text = told
                    .value
                    .as_str()
                    .map(str::to_string)
                    .or_else(|| told.value.as_datetime().map(ToString::to_string));
                last.time = text.and_then(|text| date::read(&text));
                if last.time.is_none() {
                    findings.push(told.wrong("a day, as \"2025-05-01\""));
                }
            }
            _ => findings.push(told.unknown("`last`", &["date", "hours"])),
        }
    }
    last
}
