//! `bedplate isolate`: which valves shut a part off, in what order, and what comes of it?

use crate::json::{Closing, Isolate, Turn, VERSION, Wall};
use crate::page::wrapped;
use crate::stop::Stop;
use crate::turned::Turned;
use crate::verbs::expect::name;
use crate::verbs::{part, ready};
use crate::{files, json, point};
use clap::Args;
use drawing::{Live, Schematic};
use jobs::take_out::{Plan, Running, TakeOut};
use jobs::turning::Turning;
use model::touching::Touching;
use parts::laws::Point;
use plant::isolate::{Shutting, Source};
use plant::plant::{PartId, Plant};
use std::fmt::Write as _;
use std::io::Write;
use std::path::PathBuf;
use watch::place;
use watch::valves;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    /// The part to take out
    part: String,
    /// Operating point, such as speed=1500rpm, sea=18C
    #[arg(long = "at", value_name = "KEY=VALUE")]
    at: Vec<String>,
    #[command(flatten)]
    turned: Turned,
    /// Draw it as well, into this file (SVG): the part and the valves that are turned are marked
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
    let part = part(&plant, &asked.part)?;
    asked.turned.apply(&mut plant)?;
    let at = point::told(&asked.at, &plant)?;
    let mut model = ready(&plant)?;
    let point = model::point::told(&plant, &at).0;
    let job = Turning { model: &mut model, point }.take_out(part);
    let mut walls = model.touching_at(point);
    walls.retain(|wall| wall.part == part);
    if let Some(path) = &asked.draw {
        files::write(path, drawn(&plant, &job).as_bytes())?;
    }
    if asked.json {
        return json::write(out, &shape(&plant, &job, &walls));
    }
    out.write_all(text(&plant, &job, &walls, &point).as_bytes()).map_err(Stop::from)
}

fn text(plant: &Plant, job: &TakeOut, walls: &[Touching], point: &Point<f64>) -> String {
    let mut text = String::new();
    for paragraph in valves::take_out(plant, job) {
        if !paragraph.heading.is_empty() {
            let _ = writeln!(text, "\n{}:", paragraph.heading);
        }
        for (number, line) in paragraph.lines.iter().enumerate() {
            let first = match (paragraph.heading.is_empty() && !paragraph.steps, paragraph.steps) {
                (true, _) if text.is_empty() => String::new(),
                (_, true) => format!("  {}. ", number + 1),
                _ => "  ".into(),
            };
            let rest = " ".repeat(first.len());
            text += &wrapped(line, &first, &rest);
        }
    }
    if !walls.is_empty() {
        text += "\nWhat could leak into what:\n";
        text.extend(walls.iter().map(|wall| wrapped(&valves::touching(plant, wall), "  ", "    ")));
    }
    let at = place::in_words(point);
    let foot = format!(
        "Worked out from the description, {at}. The maker's manual and a licensed engineer come before it; what is \
         not described, a branch or a valve, is not in it."
    );
    text + "\n" + &wrapped(&foot, "", "")
}

fn drawn(plant: &Plant, job: &TakeOut) -> String {
    let marked = valves::marked(plant, job);
    Schematic::lay_out(plant).svg(plant, &Live { standalone: true, marked, ..Live::default() })
}

fn shape(plant: &Plant, job: &TakeOut, walls: &[Touching]) -> Isolate {
    let named = |part: &PartId| plant[*part].name.clone();
    let names = |parts: &[PartId]| parts.iter().map(named).collect::<Vec<_>>();
    let turns =
        |plan: &Plan| plan.steps.iter().map(|step| Turn { valve: named(&step.valve), to: step.to }).collect::<Vec<_>>();
    let (running, fastest, effects) = match &job.running {
        Running::Can { plan, fastest, effects } => (Some(turns(plan)), Some(*fastest), effects.as_slice()),
        Running::Cannot { effects } => (None, None, effects.as_slice()),
        Running::NoValves | Running::Live => (None, None, &[][..]),
    };
    Isolate {
        version: VERSION,
        vessel: name(plant).into(),
        part: named(&job.part),
        running,
        fastest_rpm: fastest.map(|speed| speed * 60.0 / std::f64::consts::TAU),
        effects: effects.iter().map(|effect| valves::effect(plant, effect)).collect(),
        stopped: turns(&job.stopped),
        stay_shut: names(&job.stopped.stay),
        shut_off_with_it: names(&job.stopped.with),
        open: job
            .open
            .iter()
            .filter_map(|closing| {
                let Shutting::Open { source, through } = &closing.by else { return None };
                let from = if let Source::Pool(pool) = source { named(pool) } else { "sea".into() };
                Some(Closing { circuit: closing.circuit.name(), from, through: names(through) })
            })
            .collect(),
        walls: walls
            .iter()
            .map(|wall| Wall { wall: wall.wall.name, says: valves::touching(plant, wall), causes: wall.wall.causes })
            .collect(),
    }
}
