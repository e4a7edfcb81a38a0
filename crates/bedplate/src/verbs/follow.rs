//! `bedplate follow`: where does it flow, from here onwards or back?

use crate::json::{Follow, Leg, VERSION};
use crate::page::wrapped;
use crate::stop::Stop;
use crate::turned::Turned;
use crate::verbs::expect::name;
use crate::verbs::part;
use crate::{files, json};
use clap::Args;
use drawing::{Live, Schematic};
use parts::kind::Circuit;
use plant::follow::{Along, End, Step, Trail, follow, turned_by, turns};
use plant::plant::{PartId, Plant};
use std::io::Write;
use std::path::PathBuf;
use watch::tale;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// The part to begin at
    from: String,
    /// Back to where it comes from, instead of on to where it goes
    #[arg(long)]
    back: bool,
    #[command(flatten)]
    turned: Turned,
    /// Draw it as well, into this file (SVG)
    #[arg(long, value_name = "FILE")]
    draw: Option<PathBuf>,
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
    let from = part(&plant, &asked.from)?;
    asked.turned.apply(&mut plant)?;
    let along = if asked.back { Along::Back } else { Along::Onward };
    let trails = follow(&plant, from, along);
    if let Some(path) = &asked.draw {
        files::write(path, drawn(&plant, &trails).as_bytes())?;
    }
    if asked.json {
        return json::write(out, &shape(&plant, from, along, &trails));
    }
    out.write_all(text(&plant, from, along, &trails).as_bytes()).map_err(Stop::from)
}

fn text(plant: &Plant, from: PartId, along: Along, trails: &[(Circuit, Trail)]) -> String {
    let mut lines: Vec<tale::Line> = Vec::new();
    for (circuit, trail) in trails {
        lines.extend(tale::trail(plant, *circuit, trail, along));
    }
    lines.extend(tale::turning(plant, from, along));
    if lines.is_empty() {
        return format!("Nothing flows through {} and nothing turns it.\n", plant[from].name);
    }
    let line_up = plant.line_up().map_or_else(String::new, |line_up| format!(" (line-up {})", line_up.name));
    let first = format!("{}: {}, with the valves as they stand{line_up}.", name(plant), plant[from].name);
    let tell = |line: &tale::Line| {
        let margin = "  ".repeat(line.depth);
        wrapped(&line.text, &margin, &format!("{margin}  "))
    };
    let blank = |line: &tale::Line| if line.depth == 0 { "\n" } else { "" };
    wrapped(&first, "", "") + &lines.iter().map(|line| blank(line).to_string() + &tell(line)).collect::<String>()
}

/// The schematic with what is followed under a broad band.
fn drawn(plant: &Plant, trails: &[(Circuit, Trail)]) -> String {
    let ways = trails.iter().flat_map(|(_, trail)| trail.ways(plant));
    let trail = ways.map(|(part, passage)| (part.0, passage)).collect();
    Schematic::lay_out(plant).svg(plant, &Live { standalone: true, trail, ..Live::default() })
}

fn shape(plant: &Plant, from: PartId, along: Along, trails: &[(Circuit, Trail)]) -> Follow {
    let named = |part: PartId| plant[part].name.clone();
    Follow {
        version: VERSION,
        vessel: name(plant).into(),
        from: named(from),
        along: if along == Along::Back { "back" } else { "onward" },
        line_up: plant.line_up().map(|line_up| line_up.name.clone()),
        trails: trails.iter().map(|(circuit, trail)| legs(plant, circuit.name(), trail)).collect(),
        turned_by: turned_by(plant, from).map(named),
        turns: turns(plant, from).into_iter().map(named).collect(),
    }
}

fn legs(plant: &Plant, circuit: &'static str, trail: &Trail) -> Leg {
    let part = |step: &Step| plant[step.way(plant).0].name.clone();
    let (end, at, ways) = match &trail.end {
        End::Sea => ("sea", None, Vec::new()),
        End::Air => ("air", None, Vec::new()),
        End::Ground => ("ground", None, Vec::new()),
        End::Shut(valve) => ("shut", Some(plant[*valve].name.clone()), Vec::new()),
        End::Again(part) => ("again", Some(plant[*part].name.clone()), Vec::new()),
        End::Parts(ways) => ("divides", None, ways.iter().map(|way| legs(plant, circuit, way)).collect()),
    };
    Leg { circuit, parts: trail.steps.iter().map(part).collect(), end, at, ways }
}
