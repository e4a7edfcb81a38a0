//! Entries in a file: `[[entry]]`, each with its day and one thing told.

use crate::posting::Posting;
use crate::told::Told;
use crate::written::{Beside, Sort, posting};
use plant::finding::{Finding, Problem};
use plant::plant::Plant;
use plant::told::{Entry, document, entries, tables};
use std::ops::Range;

/// Keys beside what is told.
const BESIDE: [&str; 6] = ["days-ago", "who", "within", "density", "where", "price"];

/// An entry as it stands in a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Days before the last one.
    pub days_ago: f64,
    /// Who wrote it down.
    pub who: Option<String>,
    /// What it holds.
    pub what: Posting,
}

/// Reads `[[entry]]` of a text. Every mistake is found in one go.
pub fn read(text: &str, told: &Told, plant: &Plant) -> (Vec<Line>, Vec<Finding>) {
    let document = match document(text) {
        Ok(document) => document,
        Err(findings) => return (Vec::new(), findings),
    };
    let (mut all, mut findings) = (Vec::new(), Vec::new());
    for section in entries(document.as_table(), &mut findings) {
        if section.key != "entry" {
            findings.push(section.unknown("a file of a ledger", &["entry"]));
            continue;
        }
        for (keys, place) in tables(&section, &mut findings) {
            all.extend(one(&keys, place, told, plant, &mut findings));
        }
    }
    (all, findings)
}

fn one(keys: &[Entry], place: Range<usize>, told: &Told, plant: &Plant, findings: &mut Vec<Finding>) -> Option<Line> {
    let find = |key: &str| keys.iter().find(|entry| entry.key == key);
    let mut text = |key: &str| find(key).and_then(|entry| entry.text(findings));
    let who = text("who").map(str::to_string);
    let (within, density, place_of, price) = (text("within"), text("density"), text("where"), text("price"));
    let beside = Beside { within, density, place: place_of, price };
    let days_ago =
        find("days-ago").and_then(|entry| entry.digits()?.parse::<f64>().ok()).filter(|days| days.is_finite());
    let mut what = None;
    for entry in keys.iter().filter(|entry| !BESIDE.contains(&entry.key.as_str())) {
        let Some(sort) = Sort::of(&entry.key) else {
            let known: Vec<&str> = Sort::ALL.iter().map(|(word, _)| *word).chain(BESIDE).collect();
            findings.push(entry.unknown("`[[entry]]`", &known));
            continue;
        };
        let Some(text) = entry.text(findings) else { continue };
        match posting(sort, text, &beside, told, plant) {
            Ok(posting) => what = Some(posting),
            Err(why) => {
                let problem = Problem::Unfit { what: why, advice: "Each entry tells one thing, with its unit." };
                findings.push(Finding::at(problem, entry.place.clone()));
            }
        }
    }
    if days_ago.is_none() {
        let problem = Problem::MissingKey { key: "days-ago", of: "`[[entry]]`".into(), example: "days-ago = 12" };
        findings.push(Finding::at(problem, place));
    }
    Some(Line { days_ago: days_ago?, who, what: what? })
}
