//! A job for programs. Values are in the unit named beside them.

use crate::json::VERSION;
use measure::figure::SIGMAS_TO_95;
use measure::unit::convert_to;
use serde_json::{Value, json};
use setup::ask::{Ask, Need, Sort};
use setup::given::Given;
use setup::job::Job;
use setup::jobs::JOBS;
use setup::known::Known;
use setup::worked::{Outcome, Worked};

/// All jobs.
pub fn jobs() -> Value {
    let each =
        |job: &Job| json!({ "job": job.word, "title": job.title, "about": job.about, "group": job.group.title() });
    let trial = json!({ "job": super::sea_trial::WORD, "title": "Sea trial" });
    json!({ "version": VERSION, "jobs": JOBS.iter().map(each).chain([trial]).collect::<Vec<_>>() })
}

/// What a job takes.
pub fn asks(job: &Job, known: &[(&'static str, Known)]) -> Value {
    let each = |ask: &Ask| {
        let known = known.iter().find(|(key, _)| *key == ask.key).map(|(_, known)| match known {
            Known::Section { text, .. } => text.as_str(),
            Known::Figure { written, .. } => written.as_str(),
        });
        let words = match ask.sort {
            Sort::Choice(words) => words.iter().map(|(word, _)| *word).collect(),
            _ => Vec::new(),
        };
        let usual = match ask.need {
            Need::Usual(value, _) => Some(value),
            _ => None,
        };
        json!({
            "key": ask.key, "says": ask.says, "must": ask.need == Need::Must, "list": matches!(ask.sort, Sort::Many(_)),
            "words": words, "usual": usual, "known": known, "example": ask.example(),
        })
    };
    json!({ "version": VERSION, "job": job.word, "asks": job.asks.iter().map(each).collect::<Vec<_>>() })
}

/// A job worked.
pub fn worked(job: &Job, of: Option<&str>, given: &Given, worked: &Worked, kept: Option<&str>) -> Value {
    let from: Vec<Value> = given
        .all()
        .map(|(key, told)| json!({ "key": key, "value": told.written, "from": told.from.words() }))
        .collect();
    let steps: Vec<Value> =
        worked.steps.iter().map(|step| json!({ "says": step.says, "caution": step.caution })).collect();
    let working: Vec<Value> = worked
        .working
        .iter()
        .map(|one| json!({ "formula": one.formula, "with": one.with, "source": one.source }))
        .collect();
    let tables: Vec<Value> = worked
        .tables
        .iter()
        .map(|table| json!({ "title": table.title, "heads": table.heads, "rows": table.rows }))
        .collect();
    json!({
        "version": VERSION, "job": job.word, "of": of, "says": worked.says,
        "results": worked.results.iter().map(result).collect::<Vec<_>>(),
        "flags": worked.flags, "tables": tables, "steps": steps, "working": working, "from": from, "kept": kept,
    })
}

fn result(one: &Outcome) -> Value {
    let unit = if one.unit == "°C" { "K" } else { one.unit };
    let spread = one.doubt.and_then(|doubt| convert_to(doubt * SIGMAS_TO_95, one.quantity.difference(), unit));
    json!({
        "key": one.key, "says": one.says, "value": convert_to(one.value, one.quantity, one.unit), "unit": one.unit,
        "within_95": spread, "shown": one.shown(),
    })
}
