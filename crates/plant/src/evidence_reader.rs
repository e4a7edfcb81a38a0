//! From the text of evidence to what the owner noticed: TOML in full, tables and JSON lines in short.
//!
//! Every mistake is found in one go. The evidence that comes back holds all that could be read; whether it may be
//! used is for the findings to say.

use crate::evidence::{Evidence, Renewal, ToldPoint};
use crate::evidence_records as records;
use crate::evidence_rows as rows;
use crate::evidence_toml as full;
use crate::evidence_values::enter;
use crate::finding::{Finding, Problem};
use crate::names::folded;
use crate::plant::Plant;
use crate::told::LARGEST;
use parts::kind::Cause;

/// Reads evidence in its full form, TOML.
pub fn read(text: &str, plant: &Plant) -> (Evidence, Vec<Finding>) {
    read_by(text, |text| full::read(text, plant))
}

/// Reads evidence in the form its file's name ends with: `.toml`, `.csv`, `.tsv`, `.jsonl` or `.ndjson`; under any
/// other ending in the form it looks like.
pub fn read_any(name: &str, text: &str, plant: &Plant) -> (Evidence, Vec<Finding>) {
    let ending = name.rsplit('.').next().map(str::to_lowercase).unwrap_or_default();
    let form = match ending.as_str() {
        "toml" => Form::Full,
        "csv" | "tsv" => Form::Table,
        "jsonl" | "ndjson" => Form::Lines,
        _ => sniff(text),
    };
    match form {
        Form::Full => read(text, plant),
        Form::Table => read_by(text, |text| rows::evidence(records::of_table(text, plant), plant)),
        Form::Lines => read_by(text, |text| rows::evidence(records::of_lines(text), plant)),
    }
}

/// Reads an operating point from keys and values, as `speed` and `1500 rpm`, with no vessel at hand.
///
/// The findings have no places, for there is no file.
pub fn point(items: &[(String, String)]) -> (ToldPoint, Vec<Finding>) {
    point_of(items, None)
}

/// Reads an operating point on a known vessel, where `idle` and `full` are speeds too.
pub fn point_for(items: &[(String, String)], plant: &Plant) -> (ToldPoint, Vec<Finding>) {
    point_of(items, Some(plant))
}

/// Does this renewal undo this cause of the part's kind? It does if it was the whole part, or if the cause's name or
/// remedy holds the word that says what was renewed.
pub fn undoes(renewal: &Renewal, cause: &Cause) -> bool {
    crate::evidence_names::undoes(&renewal.what, cause)
}

/// The forms evidence comes in.
enum Form {
    Full,
    Table,
    Lines,
}

fn sniff(text: &str) -> Form {
    let mut lines = text.trim_start_matches('\u{feff}').lines().map(str::trim);
    let first = lines.find(|line| !line.is_empty() && !line.starts_with('#')).unwrap_or_default();
    match first.chars().next() {
        Some('{') => Form::Lines,
        Some('[') => Form::Full,
        _ if first.contains('=') => Form::Full,
        _ if first.contains([',', ';', '\t']) => Form::Table,
        _ => Form::Full,
    }
}

fn read_by(text: &str, read: impl Fn(&str) -> (Evidence, Vec<Finding>)) -> (Evidence, Vec<Finding>) {
    if let Some(problem) = unreadable(text) {
        return (Evidence::default(), vec![Finding::whole(problem)]);
    }
    let (evidence, mut findings) = read(text);
    let silent = evidence.occasions.is_empty()
        && evidence.checks.is_empty()
        && evidence.renewed.is_empty()
        && evidence.work.is_empty();
    if silent && !findings.iter().any(Finding::is_fatal) {
        findings.push(Finding::whole(Problem::NoEvidence));
    }
    findings.sort_by_key(|finding| finding.places.first().map_or(usize::MAX, |(range, _)| range.start));
    (evidence, findings)
}

fn unreadable(text: &str) -> Option<Problem> {
    if text.len() > LARGEST {
        let megabytes = text.len().div_ceil(1_000_000);
        return Some(Problem::TooLarge { megabytes, limit: LARGEST / 1_000_000 });
    }
    text.contains('\0').then_some(Problem::NotText)
}

fn point_of(items: &[(String, String)], plant: Option<&Plant>) -> (ToldPoint, Vec<Finding>) {
    let mut at = ToldPoint::default();
    let mut findings = Vec::new();
    for (place, (key, value)) in items.iter().enumerate() {
        if items[..place].iter().any(|(other, _)| folded(other) == folded(key)) {
            findings.push(Finding::whole(Problem::Repeated { what: format!("`{}`", folded(key)) }));
        }
        findings.extend(enter(&mut at, key, value, plant).map(Finding::whole));
    }
    (at, findings)
}
