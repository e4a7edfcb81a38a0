//! `bedplate draw`: what does the plant look like?

use crate::files;
use crate::json::{Corner, Draw, DrawnGauge, DrawnLabel, DrawnPart, DrawnPort, DrawnRun, Room, VERSION};
use crate::stop::Stop;
use crate::turned::Turned;
use crate::verbs::expect::name;
use clap::Args;
use drawing::{Live, Of, Point, Rect, Schematic};
use plant::plant::Plant;
use std::io::Write;
use std::path::PathBuf;

/// What was asked.
#[derive(Args)]
pub struct Asked {
    /// Folder with a vessel.toml, or the file itself
    plant: PathBuf,
    #[command(flatten)]
    turned: Turned,
    /// Write into this file instead
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// For programs: what is joined to what, and where it is drawn
    #[arg(long)]
    json: bool,
}

/// Answers.
///
/// # Errors
/// [`Stop`].
pub fn run(asked: &Asked, out: &mut dyn Write) -> Result<(), Stop> {
    let mut plant = files::plant(&asked.plant)?;
    asked.turned.apply(&mut plant)?;
    let schematic = Schematic::lay_out(&plant);
    let mut answer = Vec::new();
    if asked.json {
        crate::json::write(&mut answer, &json(&plant, &schematic))?;
    } else {
        answer = schematic.svg(&plant, &Live { standalone: true, ..Live::default() }).into_bytes();
    }
    match &asked.out {
        Some(path) => files::write(path, &answer),
        None => out.write_all(&answer).map_err(Stop::from),
    }
}

fn json(plant: &Plant, schematic: &Schematic) -> Draw {
    let part = |index: usize| plant.parts[index].name.clone();
    let parts = schematic.pieces.iter().zip(&plant.parts).map(|(drawn, part)| DrawnPart {
        part: part.name.clone(),
        kind: part.kind.name,
        room: room(drawn.rect),
        mirrored: drawn.mirrored,
        flipped: drawn.flipped,
        ports: drawn
            .ports
            .iter()
            .map(|port| DrawnPort { port: port.name.clone(), side: port.side, at: corner(port.at) })
            .collect(),
    });
    let runs = schematic.runs.iter().map(|run| DrawnRun {
        net: run.net,
        circuit: run.circuit.name(),
        from: [part(run.from.0), run.from.1.clone()],
        to: [part(run.to.0), run.to.1.clone()],
        points: run.points.iter().copied().map(corner).collect(),
    });
    let labels = schematic.labels.iter().map(|label| DrawnLabel {
        of: match label.of {
            Of::Part(index) => part(index),
            Of::Gauge(index) => plant.gauges[index].name.clone(),
            Of::Letters(circuit) | Of::Legend(circuit) => circuit.name().into(),
            Of::Note => String::new(),
        },
        lines: label.lines.clone(),
        room: room(label.rect),
    });
    let gauges = schematic.gauges.iter().map(|hung| DrawnGauge {
        gauge: plant.gauges[hung.gauge].name.clone(),
        room: room(hung.circle),
        leader: hung.leader.iter().copied().map(corner).collect(),
    });
    Draw {
        version: VERSION,
        vessel: name(plant).into(),
        width: schematic.size.0,
        height: schematic.size.1,
        parts: parts.collect(),
        runs: runs.collect(),
        labels: labels.collect(),
        gauges: gauges.collect(),
        crossings: schematic.crossings(),
        bends: schematic.bends(),
    }
}

fn room(rect: Rect) -> Room {
    Room { x: rect.x, y: rect.y, w: rect.w, h: rect.h }
}

fn corner((x, y): Point) -> Corner {
    Corner { x, y }
}
