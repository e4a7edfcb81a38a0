//! `bedplate words`: what can be said, felt, heard, checked and renewed on this plant?

use crate::files;
use crate::json::{CauseWords, CheckWords, PartWords, VERSION, Words};
use crate::page::wrapped;
use crate::stop::Stop;
use crate::verbs::expect::name;
use clap::Args;
use diagnosis::hypothesis::{kind_of, name_of};
use parts::kind::{Cause, Check};
use parts::remedy;
use plant::evidence::Named;
use plant::plant::Plant;
use std::io::Write;
use std::path::PathBuf;
use watch::dial;
use watch::saying::sentence;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// A part or gauge by its name in the vessel file; all of them if left out
    part: Option<String>,
    /// For programs
    #[arg(long)]
    json: bool,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let plant = files::plant(&asked.plant)?;
    let chosen = match &asked.part {
        Some(part) => vec![find(&plant, part)?],
        None => Named::all(&plant).collect(),
    };
    if asked.json {
        let parts = chosen.iter().map(|named| part_words(&plant, *named)).collect();
        return crate::json::write(out, &Words { version: VERSION, vessel: name(&plant).into(), parts });
    }
    let mut text = String::new();
    if asked.part.is_none() {
        text += &wrapped(&intro(&plant), "", "");
    }
    for named in &chosen {
        text += &if asked.part.is_some() { in_full(&plant, *named) } else { in_short(&plant, *named) };
    }
    out.write_all(text.as_bytes()).map_err(Stop::from)
}

fn intro(plant: &Plant) -> String {
    let example = Named::all(plant).find_map(|named| {
        let word = kind_of(plant, named).words.first()?;
        Some(format!("said = [\"{}.{}\"]", name_of(plant, named), word.name))
    });
    format!(
        "{}: what can be told in evidence, part by part. Words go under an [[occasion]] as {}, checks under [[check]], \
         renewals under [[renewed]], recent jobs under [[work]] with their hours-ago, and since = true if the trouble is there \
         since then. Above them all: came = \"at once\", \"by degrees\" or \"on and off\"; sister = \"well\" if the other \
         engine is. One part in full: bedplate words PLANT PART.",
        name(plant),
        example.unwrap_or_else(|| "said = [\"part.word\"]".into())
    )
}

fn find(plant: &Plant, wanted: &str) -> Result<Named, Stop> {
    Named::find(plant, wanted).ok_or_else(|| {
        let near = measure::nearest::nearest(wanted, Named::all(plant).map(|named| name_of(plant, named)));
        let advice = near.map_or_else(
            || "Use a name from the vessel file, as it stands there.".into(),
            |near| format!("Did you mean `{near}`?"),
        );
        Stop::BadInput(format!("{wanted}: fault: there is no part or gauge of this name\n  {advice}"))
    })
}

fn head(plant: &Plant, named: Named) -> String {
    format!("\n{}: {}\n", name_of(plant, named), kind_of(plant, named).title.to_lowercase())
}

fn in_short(plant: &Plant, named: Named) -> String {
    let kind = kind_of(plant, named);
    let mut out = head(plant, named);
    let mut line = |label: &str, words: Vec<&str>| {
        if !words.is_empty() {
            out += &wrapped(&format!("{label} {}", words.join(" · ")), "  ", "    ");
        }
    };
    line("said:", kind.words.iter().map(|word| word.name).collect());
    line(
        "checked:",
        kind.checks.iter().filter(|check| plant.can_be_made(named, check)).map(|check| check.name).collect(),
    );
    line("found:", kind.causes.iter().map(|cause| cause.name).collect());
    out
}

fn in_full(plant: &Plant, named: Named) -> String {
    let kind = kind_of(plant, named);
    let mut out = head(plant, named).trim_start().to_string();
    if !kind.words.is_empty() {
        out += "  Said, felt, heard, seen:\n";
    }
    for word in kind.words {
        let danger =
            word.danger.map_or(String::new(), |danger| format!(" (a danger by itself: {})", plant.worded(danger)));
        out += &wrapped(&format!("{}{danger}", word.name), "    ", "      ");
    }
    if !kind.checks.is_empty() {
        out += "  Checked:\n";
    }
    for (place, check) in kind.checks.iter().enumerate().filter(|(_, check)| plant.can_be_made(named, check)) {
        out += &wrapped(&format!("{}: {}", check.name, check.title), "    ", "      ");
        out += &wrapped(&conditions(check, plant.aboard.check_minutes(named, place, check)), "      ", "      ");
    }
    if !kind.causes.is_empty() {
        out += "  Ways it fails, and what puts it right:\n";
    }
    for cause in kind.causes {
        let text =
            format!("{}: {}. {}; {}.", cause.name, cause.title, sentence(cause.remedy), effort(plant, named, cause));
        out += &wrapped(&text, "    ", "      ");
    }
    out
}

/// "12 min, stopped, seacock shut; about 40 EUR".
fn effort(plant: &Plant, named: Named, cause: &Cause) -> String {
    let effort = remedy::effort(kind_of(plant, named), cause);
    let minutes = plant.aboard.repair_minutes(named, cause).unwrap_or(effort.minutes);
    let yard = if effort.yard { ", a yard or workshop" } else { "" };
    let money = if effort.money < 1.0 { String::new() } else { format!("; about {:.0} EUR", effort.money) };
    format!("{} min, {}{yard}{money}", dial::number(minutes, 1.0), effort.state.words())
}

fn conditions(check: &Check, minutes: f64) -> String {
    let tool = check.tool.map_or(String::new(), |tool| format!("; {tool}"));
    format!("{} min, {}{tool}. {}", dial::number(minutes, 1.0), check.state.words(), check.caution)
}

fn part_words(plant: &Plant, named: Named) -> PartWords {
    let kind = kind_of(plant, named);
    PartWords {
        part: name_of(plant, named).into(),
        kind: kind.name,
        said: kind.words.iter().map(|word| word.name).collect(),
        checks: kind
            .checks
            .iter()
            .enumerate()
            .filter(|(_, check)| plant.can_be_made(named, check))
            .map(|(place, check)| CheckWords {
                check: check.name,
                title: check.title,
                minutes: plant.aboard.check_minutes(named, place, check),
                state: check.state.words(),
                caution: check.caution,
                finds: check.finds.iter().map(|find| find.cause).collect(),
            })
            .collect(),
        causes: kind
            .causes
            .iter()
            .map(|cause| {
                let effort = remedy::effort(kind, cause);
                CauseWords {
                    cause: cause.name,
                    title: cause.title,
                    remedy: cause.remedy,
                    minutes: plant.aboard.repair_minutes(named, cause).unwrap_or(effort.minutes),
                    money_eur: effort.money,
                    state: effort.state.words(),
                    yard: effort.yard,
                }
            })
            .collect(),
    }
}
