//! `[aboard]` of a vessel file: tools, spares, the owner's own minutes, what an hour is worth.

use crate::aboard::{OwnJob, OwnMinutes, known_tools};
use crate::evidence_names as names;
use crate::finding::{Finding, Problem};
use crate::plant::Plant;
use crate::told::Entry;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use parts::tools;

const ABOARD: &[&str] = &["tools", "spares", "hour-worth", "minutes", "note"];

/// Minutes that a check or repair can take [min].
const MINUTES: (f64, f64) = (0.1, 6_000.0);
/// What an hour can be worth [EUR/h].
const HOUR: (f64, f64) = (1.0, 1_000.0);

/// Reads the section into a plant whose parts and gauges are known.
pub(super) fn aboard(plant: &mut Plant, section: &Entry, findings: &mut Vec<Finding>) {
    for entry in section.table(findings) {
        match entry.key.as_str() {
            "tools" => plant.aboard.tools = Some(read_tools(plant, &entry, findings)),
            "spares" => plant.aboard.spares = Some(spares(plant, &entry, findings)),
            "hour-worth" => plant.aboard.hour_worth = hour_worth(&entry, findings),
            "minutes" => {
                for (key, entry) in &entry.dotted(findings) {
                    let read = minutes(plant, key, entry, findings);
                    plant.aboard.minutes.extend(read);
                }
            }
            "note" => drop(entry.text(findings)),
            _ => findings.push(entry.unknown("`[aboard]`", ABOARD)),
        }
    }
}

fn read_tools(plant: &Plant, entry: &Entry, findings: &mut Vec<Finding>) -> Vec<String> {
    let known = known_tools(plant);
    let mut list = Vec::new();
    for (word, place) in entry.list(findings) {
        let own = || known.iter().find(|name| name.eq_ignore_ascii_case(word.trim())).cloned();
        match tools::find(word).map(|tool| tool.name.to_string()).or_else(own) {
            Some(tool) => list.push(tool),
            None if tools::at_hand(word.trim()) => {}
            None => {
                let all = || known.iter().map(String::as_str);
                let nearest =
                    nearest(word, all().chain(tools::TOOLS.iter().flat_map(|tool| tool.also.iter().copied())));
                let problem = Problem::UnknownChoice {
                    key: "tools".into(),
                    word: names::short(word),
                    nearest: nearest.map(String::from),
                    known: known.clone(),
                };
                findings.push(Finding::at(problem, place));
            }
        }
    }
    list
}

fn spares(plant: &Plant, entry: &Entry, findings: &mut Vec<Finding>) -> Vec<(crate::evidence::Named, String)> {
    let mut list = Vec::new();
    for (word, place) in entry.list(findings) {
        match names::renewed(plant, word) {
            Ok(spare) => list.push(spare),
            Err(problem) => findings.push(Finding::at(problem, place)),
        }
    }
    list
}

fn hour_worth(entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    let text = entry.digits().unwrap_or_default();
    let Ok(worth) = text.trim().trim_end_matches("EUR").trim_end().parse::<f64>() else {
        findings.push(entry.wrong("a sum of money for an hour in euro, such as 40 or \"40 EUR\""));
        return None;
    };
    within(worth, HOUR, entry, ["1 EUR", "1000 EUR"], findings)
}

/// `"strainer-port.open_and_look" = 6`: a check by its name, or a repair by a word of it.
fn minutes(plant: &Plant, key: &str, entry: &Entry, findings: &mut Vec<Finding>) -> Option<OwnMinutes> {
    let (of, job) = match of_what(plant, key) {
        Ok(found) => found,
        Err(problem) => {
            findings.push(Finding::at(problem, entry.key_place.clone()));
            return None;
        }
    };
    let bare = entry.digits().and_then(|text| text.trim().parse::<f64>().ok());
    let minutes = match bare {
        Some(minutes) => minutes,
        None => entry.value_of(Quantity::Duration, findings)? / 60.0,
    };
    let minutes = within(minutes, MINUTES, entry, ["0.1 min", "6000 min"], findings)?;
    Some(OwnMinutes { of, job, minutes })
}

fn of_what(plant: &Plant, key: &str) -> Result<(crate::evidence::Named, OwnJob), Problem> {
    let (name, what) = key.split_once('.').unwrap_or((key, ""));
    let of = names::named(plant, name)?;
    match names::check(plant, of, what) {
        Ok(check) => Ok((of, OwnJob::Check(check))),
        // Neither a check nor a repair: the names of the checks help more, unless there are none.
        Err(no_check) => match names::renewed(plant, key) {
            Ok((of, what)) => Ok((of, OwnJob::Repair(what))),
            Err(no_repair) if names::kind_of(plant, of).checks.is_empty() => Err(no_repair),
            Err(_) => Err(no_check),
        },
    }
}

fn within(
    value: f64,
    (low, high): (f64, f64),
    entry: &Entry,
    bounds: [&str; 2],
    findings: &mut Vec<Finding>,
) -> Option<f64> {
    if (low..=high).contains(&value) {
        return Some(value);
    }
    let [low, high] = bounds.map(String::from);
    let given = names::short(&entry.digits().unwrap_or_default());
    let problem = Problem::Unreasonable { key: entry.key.clone(), given, low, high };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}
