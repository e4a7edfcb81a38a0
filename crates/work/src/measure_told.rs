//! What a task records: `measures = [{ name = "clearance", unit = "mm", at = "valves" }]`.

use crate::task::Measure;
use measure::quantity::Quantity;
use measure::unit::{Scale, parse};
use plant::finding::{Finding, Problem};
use plant::plant::{PartId, Plant};
use plant::told::{Entry, tables};

const KEYS: &[&str] = &["name", "unit", "at", "least", "most"];
/// Most cylinders a sheet is made for.
const MOST_CYLINDERS: usize = 24;

/// The quantity that a unit is of; of pressure and temperature the one that is read off a dial. Nothing for "words".
pub(crate) fn quantity_of(unit: &str) -> Option<Quantity> {
    let fits = |quantity: &&Quantity| Scale::of(unit, **quantity).is_ok();
    let first = [Quantity::GaugePressure, Quantity::TemperatureDifference].into_iter();
    match unit {
        "" => Some(Quantity::Ratio),
        "words" => None,
        // A dial reads degrees, a rise is told in kelvin.
        "K" => Some(Quantity::TemperatureDifference),
        "°C" | "C" | "°F" | "F" => Some(Quantity::Temperature),
        _ => first.chain(Quantity::ALL.iter().copied()).find(|quantity| fits(&quantity)),
    }
}

/// Cylinders of an engine; 1 where it tells none.
pub(crate) fn cylinders(plant: &Plant, engine: Option<PartId>) -> usize {
    let told = engine.and_then(|engine| {
        let place = plant[engine].kind.parameters.iter().position(|parameter| parameter.name == "cylinders")?;
        Some(plant[engine].figures[place].value.round() as usize)
    });
    told.unwrap_or(1).clamp(1, MOST_CYLINDERS)
}

/// The measures of a task on this engine.
pub(crate) fn read(entry: &Entry, plant: &Plant, engine: Option<PartId>, findings: &mut Vec<Finding>) -> Vec<Measure> {
    let mut measures = Vec::new();
    for (told, place) in tables(entry, findings) {
        let mut one =
            Measure { name: String::new(), quantity: None, unit: "words".into(), at: Vec::new(), limits: (None, None) };
        let mut limits = Vec::new();
        for key in &told {
            match key.key.as_str() {
                "name" => one.name = key.text(findings).unwrap_or_default().to_string(),
                "unit" => one.unit = key.text(findings).unwrap_or_default().to_string(),
                "at" => one.at = places(key, plant, engine, findings),
                "least" | "most" => limits.push(key),
                _ => findings.push(key.unknown("a measure", KEYS)),
            }
        }
        if one.name.is_empty() {
            let problem = Problem::MissingKey { key: "name", of: "this measure".into(), example: "\"clearance\"" };
            findings.push(Finding::at(problem, place));
            continue;
        }
        one.quantity = quantity_of(&one.unit);
        if one.quantity.is_none() && one.unit != "words" {
            let what = format!("`{}` is no unit", one.unit);
            let advice = "Write a unit such as mm, bar, °C, %, L/min; \"\" for a number, \"words\" for words.";
            findings.push(Finding::at(Problem::Unfit { what, advice }, place));
            continue;
        }
        for limit in limits {
            let Some(quantity) = one.quantity else { continue };
            let value = limit.read_by(quantity, findings, |text| {
                parse(text, quantity).or_else(|_| parse(&format!("{text} {}", one.unit), quantity))
            });
            if limit.key == "least" { one.limits.0 = value } else { one.limits.1 = value }
        }
        measures.push(one);
    }
    measures
}

fn places(entry: &Entry, plant: &Plant, engine: Option<PartId>, findings: &mut Vec<Finding>) -> Vec<String> {
    let each = 1..=cylinders(plant, engine);
    match entry.value.as_str() {
        Some("cylinders") => each.map(|number| format!("cylinder {number}")).collect(),
        Some("valves") => {
            each.flat_map(|number| ["inlet", "exhaust"].map(|valve| format!("cylinder {number} {valve}"))).collect()
        }
        _ => entry.list(findings).into_iter().map(|(text, _)| text.to_string()).collect(),
    }
}
