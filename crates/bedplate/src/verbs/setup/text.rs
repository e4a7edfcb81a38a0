//! A job on a terminal.

use crate::page::{Side, columns, wrapped};
use setup::ask::{Ask, Need};
use setup::given::Given;
use setup::job::{Group, Job};
use setup::jobs::JOBS;
use setup::known::Known;
use setup::worked::Worked;
use std::fmt::Write as _;

/// Said once under every job.
pub const BASIS: &str =
    "It advises. The maker's manual, flag and class rules, local codes and licensed practice come first.
";

/// All jobs, by group.
pub fn jobs() -> String {
    let trial = [vec![
        super::sea_trial::WORD.to_string(),
        "Sea trial: the sheet, pass or fail, baselines, what has changed since".to_string(),
    ]];
    let mut text = format!("The whole of her\n{}\n", columns(&trial, &[Side::Left, Side::Left], "  "));
    for group in Group::ALL {
        let of: Vec<&Job> = JOBS.iter().filter(|job| job.group == group).collect();
        if of.is_empty() {
            continue;
        }
        let rows: Vec<Vec<String>> = of.iter().map(|job| vec![job.word.to_string(), job.title.to_string()]).collect();
        let _ = writeln!(text, "{}\n{}", group.title(), columns(&rows, &[Side::Left, Side::Left], "  "));
    }
    text + &wrapped(
        "`bedplate setup JOB --asks` tells what a job takes; `bedplate setup JOB DIR KEY=VALUE …` works it.",
        "",
        "",
    )
}

/// What a job takes, and what is known of it.
pub fn asks(job: &Job, known: &[(&'static str, Known)]) -> String {
    let mut text = wrapped(&format!("{}. {}", job.title, job.about), "", "") + "\n";
    for ask in job.asks {
        let told = known.iter().find(|(key, _)| *key == ask.key).map(|(_, known)| known);
        text += &wrapped(&format!("{}={}", ask.key, ask.example()), "  ", "    ");
        let only =
            ask.only.map_or_else(String::new, |(key, words)| format!(" Only with {key}={}.", words.join(" or ")));
        text += &wrapped(&format!("{}. {}{only}", ask.says, standing(ask, told)), "      ", "      ");
    }
    text
}

fn standing(ask: &Ask, known: Option<&Known>) -> String {
    match (known, ask.need) {
        (Some(Known::Section { part, text }), _) => format!("Known: {text} ([setup.{part}])."),
        (Some(Known::Figure { part, origin, written, .. }), _) => format!("Known: {written} ({part}, {origin})."),
        (None, Need::Must) => "Must be told.".into(),
        (None, Need::May) => "May be left out.".into(),
        (None, Need::Usual(value, source)) => format!("Left out: {value} ({source})."),
    }
}

/// A job worked.
pub fn worked(job: &Job, of: Option<&str>, given: &Given, worked: &Worked, key: Option<&str>) -> String {
    let title = of.map_or_else(|| job.title.to_string(), |of| format!("{} of {of}", job.title));
    let mut text = format!("{title}\n\n{}", wrapped(&worked.says, "", ""));
    if !worked.results.is_empty() {
        let rows: Vec<Vec<String>> = worked.results.iter().map(|one| vec![one.says.clone(), one.shown()]).collect();
        let _ = write!(text, "\n{}", columns(&rows, &[Side::Left, Side::Left], "  "));
    }
    for flag in &worked.flags {
        text += &wrapped(flag, "\n! ", "  ");
    }
    for table in &worked.tables {
        let rows: Vec<Vec<String>> = std::iter::once(table.heads.clone()).chain(table.rows.iter().cloned()).collect();
        let sides: Vec<Side> = (0..table.heads.len()).map(|column| side(&table.rows, column)).collect();
        let _ = write!(text, "\n{}\n{}", table.title, columns(&rows, &sides, "  "));
    }
    for (place, step) in worked.steps.iter().enumerate() {
        text += if place == 0 { "\nDo\n" } else { "" };
        text += &wrapped(&step.says, &format!("  {}. ", place + 1), "     ");
        if let Some(caution) = step.caution {
            text += &wrapped(caution, "     CAUTION: ", "     ");
        }
    }
    text += &working(job, given, worked);
    if let Some(key) = key {
        text += &wrapped(&format!("Written into her log. Its key is {key}."), "\n", "");
    }
    text + "\n" + BASIS
}

/// Formulas, and what they were worked from.
fn working(job: &Job, given: &Given, worked: &Worked) -> String {
    let mut text = String::new();
    for (place, one) in worked.working.iter().enumerate() {
        text += if place == 0 { "\nWorked\n" } else { "" };
        text += &wrapped(&format!("{}   ({})", one.formula, one.source), "  ", "    ");
        text += &wrapped(&one.with, "      ", "      ");
    }
    text += "\nFrom\n";
    for ask in job.asks {
        let Some(told) = given.told(ask.key) else { continue };
        text += &wrapped(&format!("{} = {} ({})", ask.key, told.written, told.from.words()), "  ", "    ");
    }
    text
}

/// Words stand to the left; what counts or measures to the right, and is known by a digit among its first letters.
fn side(rows: &[Vec<String>], column: usize) -> Side {
    let counts =
        |cell: &String| cell.is_empty() || cell == "–" || cell.chars().take(2).any(|first| first.is_ascii_digit());
    let words = rows.iter().filter_map(|row| row.get(column)).any(|cell| !counts(cell));
    if column == 0 || words { Side::Left } else { Side::Right }
}
