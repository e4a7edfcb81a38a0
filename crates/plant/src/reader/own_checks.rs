//! What can be checked on a kind of the owner's own.

use super::kinds::{find, strangers, text, unfit};
use super::own_fails::MOST;
use crate::finding::{Finding, Problem};
use crate::names::folded;
use crate::told::Entry;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use parts::kind::State;
use parts::own_kind::{OwnCause, OwnCheck, OwnKind};
use parts::rates;

const CHECKS: &[&str] = &["title", "minutes", "state", "tool", "caution", "finds", "power", "note"];
const STATES: &[(&str, State)] = &[
    ("running", State::Running),
    ("idling", State::Idling),
    ("stopped", State::Stopped),
    ("stopped-and-shut", State::StoppedAndShut),
    ("stopped-and-cold", State::StoppedCold),
    ("under-water", State::UnderWater),
];
/// How sure a look is where nothing else is told.
const LOOK: &str = "visual-general";

/// Reads `checks`; what no check finds, a look does.
pub(super) fn checks(own: &mut OwnKind, told: &[Entry], findings: &mut Vec<Finding>) {
    for entry in find(told, "checks").map(|section| section.table(findings)).unwrap_or_default() {
        if own.checks.len() >= MOST {
            findings.push(Finding::at(Problem::TooMany { what: "checks", limit: MOST }, entry.key_place.clone()));
            break;
        }
        let told = entry.table(findings);
        let of = format!("check `{}`", entry.key);
        strangers(&told, &of, CHECKS, findings);
        let mut need = |key: &'static str, example: &'static str| {
            let found = text(&told, key, findings);
            if found.is_none() && find(&told, key).is_none_or(|entry| entry.value.as_str().is_some()) {
                let problem = Problem::MissingKey { key, of: of.clone(), example };
                findings.push(Finding::at(problem, entry.key_place.clone()));
            }
            found.unwrap_or_default()
        };
        let title = need("title", "\"Open it and look\"");
        let caution = need("caution", "\"Stopped and cooled; seacock shut before it is opened.\"");
        let finds = find(&told, "finds").map(|entry| found(own, entry, findings)).unwrap_or_default();
        if find(&told, "finds").is_none() {
            let problem = Problem::MissingKey { key: "finds", of, example: "[\"blocked\"]" };
            findings.push(Finding::at(problem, entry.key_place.clone()));
        }
        own.checks.push(OwnCheck {
            name: entry.key.replace('-', "_"),
            title,
            minutes: find(&told, "minutes").and_then(|entry| minutes(entry, findings)).unwrap_or(10.0),
            state: find(&told, "state").and_then(|e| e.one_of(STATES, findings)).unwrap_or(State::Stopped),
            tool: text(&told, "tool", findings),
            caution,
            finds,
            power: find(&told, "power").and_then(|entry| power(entry, findings)).unwrap_or(LOOK),
        });
    }
    let unfound = |cause: &&OwnCause| own.checks.iter().all(|check| !check.finds.contains(&cause.name));
    let finds: Vec<String> = own.causes.iter().filter(unfound).map(|cause| cause.name.clone()).collect();
    if !finds.is_empty() && own.checks.iter().all(|check| check.name != "look") {
        own.checks.push(OwnCheck {
            name: "look".into(),
            title: format!("Look at the {}, listen to it, feel about it", own.title.to_lowercase()),
            minutes: 10.0,
            state: State::Stopped,
            tool: None,
            caution: "Stopped: what turns, what is hot and what stands under voltage stays untouched.".into(),
            finds,
            power: LOOK,
        });
    }
}

fn minutes(entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    let bare = entry.digits().and_then(|text| text.trim().parse::<f64>().ok());
    let minutes = match bare {
        Some(minutes) => minutes,
        None => entry.value_of(Quantity::Duration, findings)? / 60.0,
    };
    if (0.1..=6_000.0).contains(&minutes) {
        return Some(minutes);
    }
    let what = format!("`{}` is no time that a check takes", entry.digits().unwrap_or_default());
    findings.push(unfit(entry, what, "Write minutes, such as 10."));
    None
}

fn found(own: &OwnKind, entry: &Entry, findings: &mut Vec<Finding>) -> Vec<String> {
    let known: Vec<&str> = own.causes.iter().map(|cause| cause.name.as_str()).collect();
    let mut names = Vec::new();
    for (word, place) in entry.list(findings) {
        let name = folded(word).replace('-', "_");
        if known.contains(&name.as_str()) {
            names.push(name);
            continue;
        }
        let problem = Problem::UnknownChoice {
            key: "finds".into(),
            nearest: nearest(&name, known.iter().copied()).map(String::from),
            word: name,
            known: known.iter().map(ToString::to_string).collect(),
        };
        findings.push(Finding::at(problem, place));
    }
    names
}

fn power(entry: &Entry, findings: &mut Vec<Finding>) -> Option<&'static str> {
    let word = folded(entry.text(findings)?);
    if let Some(power) = rates::power(&word) {
        return Some(power.key);
    }
    let keys: Vec<&str> = rates::POWERS.iter().map(|power| power.key).collect();
    let problem = Problem::UnknownChoice {
        key: "power".into(),
        nearest: nearest(&word, keys.iter().copied()).map(String::from),
        word,
        known: keys.into_iter().map(String::from).collect(),
    };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}
