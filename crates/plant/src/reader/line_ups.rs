//! `[line-up.*]` of a vessel file, and the file that keeps how the valves stand now.

use crate::finding::{Finding, Problem};
use crate::line_up::{LineUp, Turned, position};
use crate::names;
use crate::plant::{PartId, Plant};
use crate::told::{Entry, document, entries, tables};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use toml_edit::{Item, Value};

/// Keys of one `[[turned]]`.
const TURNED: &[&str] = &["when", "who", "line-up", "valves"];

/// `[line-up.*]`: each valve it names, and how it stands.
pub(crate) fn line_ups(plant: &mut Plant, section: &Entry, findings: &mut Vec<Finding>) {
    for entry in section.table(findings) {
        let stands = stands(plant, &entry.table(findings), findings);
        plant.line_ups.push(LineUp { name: entry.key.clone(), stands, place: entry.key_place.clone() });
    }
}

/// Reads the file that keeps how the valves of this plant stand: `[[turned]]`, oldest first.
///
/// Every mistake is found in one go. What comes back holds all that could be read; whether it may be used is for the
/// findings to say.
pub fn turned(text: &str, plant: &Plant) -> (Vec<Turned>, Vec<Finding>) {
    let document = match document(text) {
        Ok(document) => document,
        // A file with nothing turned in it is a good one.
        Err(findings) if findings.iter().all(|f| f.problem == Problem::Empty) => return (Vec::new(), Vec::new()),
        Err(findings) => return (Vec::new(), findings),
    };
    let (mut all, mut findings) = (Vec::new(), Vec::new());
    for section in entries(document.as_table(), &mut findings) {
        if section.key != "turned" {
            findings.push(section.unknown("a file of valves turned", &["turned"]));
            continue;
        }
        for (told, _) in tables(&section, &mut findings) {
            all.push(one(plant, &told, &mut findings));
        }
    }
    (all, findings)
}

fn one(plant: &Plant, told: &[Entry], findings: &mut Vec<Finding>) -> Turned {
    let mut turned = Turned { when: String::new(), who: String::new(), stands: Vec::new() };
    for entry in told {
        match entry.key.as_str() {
            "when" => match entry.value {
                Item::Value(Value::Datetime(time)) => turned.when = time.value().to_string().replace('T', " "),
                _ => turned.when = entry.text(findings).unwrap_or_default().to_string(),
            },
            "who" => turned.who = entry.text(findings).unwrap_or_default().to_string(),
            "line-up" => {
                let Some(word) = entry.text(findings) else { continue };
                match called(plant, word) {
                    // Single valves are told after it, whichever comes first in the file.
                    Ok(line_up) => turned.stands = [line_up.stands.clone(), turned.stands].concat(),
                    // A line-up that has another name by now: where each valve went is told all the same.
                    Err(_) if told.iter().any(|entry| entry.key == "valves") => {}
                    Err(problem) => findings.push(Finding::at(problem, entry.place.clone())),
                }
            }
            "valves" => {
                let from = findings.len();
                turned.stands.extend(stands(plant, &entry.table(findings), findings));
                // A description that has changed since does not make the rest unusable.
                for finding in &mut findings[from..] {
                    if let Problem::NotAValve { name, nearest, .. } = &finding.problem {
                        finding.problem = Problem::ValveGone { name: name.clone(), nearest: nearest.clone() };
                    }
                }
            }
            _ => findings.push(entry.unknown("`[[turned]]`", TURNED)),
        }
    }
    turned
}

/// The line-up of that name.
///
/// # Errors
/// [`Problem::UnknownLineUp`].
pub fn called<'a>(plant: &'a Plant, word: &str) -> Result<&'a LineUp, Problem> {
    let name = names::folded(word);
    plant.line_ups.iter().find(|line_up| line_up.name == name).ok_or_else(|| {
        let known: Vec<String> = plant.line_ups.iter().map(|line_up| line_up.name.clone()).collect();
        let nearest = nearest(&name, known.iter().map(String::as_str)).map(str::to_string);
        Problem::UnknownLineUp { name, nearest, known }
    })
}

/// One valve and how it is to stand, from two words: "seacock-port", "shut".
///
/// # Errors
/// [`Problem::NotAValve`] or [`Problem::BadUnit`].
pub fn stand(plant: &Plant, valve: &str, at: &str) -> Result<(PartId, f64), Problem> {
    let name = names::folded(valve);
    let part = names::part_called(plant, &name).filter(|part| plant.opening(*part).is_some());
    let part = part.ok_or_else(|| {
        let known: Vec<String> = plant.valves().map(|valve| plant[valve].name.clone()).collect();
        let nearest = nearest(&name, known.iter().map(String::as_str)).map(str::to_string);
        Problem::NotAValve { name: name.clone(), nearest, known }
    })?;
    let kind = plant[part].kind;
    let (low, high) = (kind.stands(0.0), format!("{} (100 %)", kind.stands(1.0)));
    let beyond = Problem::Unreasonable { key: name.clone(), given: at.trim().into(), low, high };
    match position(kind, at) {
        Ok(opening) if (0.0..=1.0).contains(&opening) => Ok((part, opening)),
        // A word of the wrong sort, as "open" of a switch, is told like a position beyond what there is.
        Err(_) if !at.trim().is_empty() && at.trim().chars().all(char::is_alphabetic) => Err(beyond),
        Ok(_) => Err(beyond),
        Err(error) => Err(Problem::BadUnit { key: name, quantity: Quantity::Ratio, error }),
    }
}

fn stands(plant: &Plant, told: &[Entry], findings: &mut Vec<Finding>) -> Vec<(PartId, f64)> {
    let mut stands = Vec::new();
    for entry in told {
        let Some(text) = entry.digits() else {
            findings.push(entry.wrong("\"open\", \"shut\" or a share such as \"40 %\""));
            continue;
        };
        match stand(plant, &entry.key, &text) {
            Ok(one) => stands.push(one),
            Err(problem @ Problem::NotAValve { .. }) => findings.push(Finding::at(problem, entry.key_place.clone())),
            Err(problem) => findings.push(Finding::at(problem, entry.place.clone())),
        }
    }
    stands
}
