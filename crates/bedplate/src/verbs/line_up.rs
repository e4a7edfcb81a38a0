//! `bedplate line-up`: how do the valves stand, what if they are turned, and who turned them?

use crate::json::{LineUp, Stands, Turn, VERSION};
use crate::page::{Side, columns, wrapped};
use crate::stop::Stop;
use crate::turned::Turned;
use crate::verbs::expect::name;
use crate::verbs::ready;
use crate::{files, json, point};
use clap::Args;
use jobs::turning::{Effect, Turning};
use plant::line_up::Standing;
use plant::plant::{PartId, Plant};
use std::fmt::Write as _;
use std::io::Write;
use std::path::PathBuf;
use watch::{place, tale, valves};

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    #[command(flatten)]
    turned: Turned,
    /// Operating point for what comes of it, such as speed=1500rpm, sea=18C
    #[arg(long = "at", value_name = "KEY=VALUE")]
    at: Vec<String>,
    /// They have been turned: keep it in the vessel's folder, for every answer from now on
    #[arg(long)]
    keep: bool,
    /// Who turned them
    #[arg(long, value_name = "NAME", requires = "keep")]
    who: Option<String>,
    /// For programs
    #[arg(long)]
    json: bool,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let mut plant = files::plant(&asked.plant)?;
    let stands = asked.turned.of(&plant)?;
    let at = point::told(&asked.at, &plant)?;
    let new: Vec<(PartId, f64)> = stands.iter().copied().filter(|(v, to)| plant.opening(*v) != Some(*to)).collect();
    let point = model::point::told(&plant, &at).0;
    let effects = if new.is_empty() { Vec::new() } else { Turning { model: &mut ready(&plant)?, point }.effects(&new) };
    if asked.keep {
        if stands.is_empty() {
            let advice = "Say which valves were turned, with --line-up or --turn.";
            return Err(Stop::BadInput(format!("--keep: fault: there is nothing to keep\n  {advice}")));
        }
        files::keep_turn(&asked.plant, &plant, &stands, asked.turned.line_up(), asked.who.as_deref())?;
        plant.turn(&stands);
    }
    let standing = plant.standing(&files::turned(&asked.plant, &plant)?);
    if asked.json {
        return json::write(out, &shape(&plant, &standing, &new, &effects));
    }
    let mut text = String::new();
    if !new.is_empty() {
        text += &what_if(&plant, &new, &effects, asked.keep, &place::in_words(&point));
    }
    if new.is_empty() || asked.keep {
        text += &table(&plant, &standing);
    }
    out.write_all(text.as_bytes()).map_err(Stop::from)
}

fn what_if(plant: &Plant, new: &[(PartId, f64)], effects: &[Effect], kept: bool, at: &str) -> String {
    let done = if kept { "Kept" } else { "If turned" };
    let mut text = wrapped(&format!("{done}: {}.", valves::stands(plant, new)), "", "");
    if effects.is_empty() {
        return text + &wrapped(&format!("Nothing is starved or overheated by it, {at}."), "", "") + "\n";
    }
    let what = if effects.iter().any(Effect::harms) { "This does harm" } else { "This comes of it" };
    let _ = writeln!(text, "{what}, {at}:");
    text.extend(effects.iter().map(|effect| wrapped(&valves::effect(plant, effect), "  ", "    ")));
    text + "\n"
}

fn table(plant: &Plant, standing: &[Standing]) -> String {
    if standing.is_empty() {
        return format!("{} has no valves that are described.\n", name(plant));
    }
    let line_up = match (plant.line_up(), plant.line_ups.is_empty()) {
        (Some(line_up), _) => format!(", line-up {}", line_up.name),
        (None, false) => ", in none of the line-ups that have a name".into(),
        (None, true) => String::new(),
    };
    let rows: Vec<Vec<String>> = standing
        .iter()
        .map(|stands| {
            let note = |key| tale::note(plant, stands.valve, key).unwrap_or_default();
            let since = stands.since.as_ref().map_or_else(
                || "as described".into(),
                |(when, who)| {
                    [when.as_str(), who].iter().filter(|t| !t.is_empty()).copied().collect::<Vec<_>>().join(", ")
                },
            );
            let name = plant[stands.valve].name.clone();
            vec![name, plant[stands.valve].kind.stands(stands.opening), since, note("where"), note("handle")]
        })
        .collect();
    let mut text = format!("{}: how the valves stand{line_up}.\n\n", name(plant));
    text += &columns(&rows, &[Side::Left; 5], "  ");
    for line_up in &plant.line_ups {
        let _ = write!(
            text,
            "\n{}",
            wrapped(&format!("{}: {}", line_up.name, valves::stands(plant, &line_up.stands)), "", "  ")
        );
    }
    text
}

fn shape(plant: &Plant, standing: &[Standing], new: &[(PartId, f64)], effects: &[Effect]) -> LineUp {
    let named = |part: PartId| plant[part].name.clone();
    LineUp {
        version: VERSION,
        vessel: name(plant).into(),
        line_up: plant.line_up().map(|line_up| line_up.name.clone()),
        valves: standing
            .iter()
            .map(|stands| {
                let (when, who) = stands.since.clone().unzip();
                Stands { valve: named(stands.valve), opening: stands.opening, when, who }
            })
            .collect(),
        turned: new.iter().map(|(valve, to)| Turn { valve: named(*valve), to: *to }).collect(),
        harms: effects.iter().any(Effect::harms),
        effects: effects.iter().map(|effect| valves::effect(plant, effect)).collect(),
    }
}
