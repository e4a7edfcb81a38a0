//! The schematic: laid out from the plant by our own rules, drawn as one SVG for page, print and command line.
//!
//! A lane for each circuit, columns by the longest path along the flow, runs on tracks. [`Schematic::lay_out`] settles
//! where everything is, once for a plant; [`Schematic::svg`] draws it with what is read now.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

mod choice;
mod columns;
mod cut;
mod graph;
mod legend;
mod paper;
mod pipes;
mod room;
mod route;
mod rows;
mod runs;
mod shape;
mod sheet;
mod sheets;
mod svg;
mod taps;
mod turn;
mod writing;

pub use paper::{on_page, on_paper};
pub use shape::{Rect, width};
pub use svg::{STYLE, thumb};

use parts::kind::Circuit;
use plant::plant::{Part, Plant};
use sheet::{Places, Sheet};

/// A place on the page [px].
pub type Point = (f64, f64);

/// Where every part, run, label and gauge of a plant lies. Plain data; the same plant gives the same.
pub struct Schematic {
    /// Width and height [px].
    pub size: (f64, f64),
    /// One for each part of the plant, in its order.
    pub pieces: Vec<Drawn>,
    /// What several engines share, on the sheets of the others: the part, and where it is drawn again.
    pub again: Vec<(usize, Drawn)>,
    /// From port to port along the flow; runs of one net lie on each other where they share their pipe.
    pub runs: Vec<Run>,
    /// Dots where pipes meet: the net, and where.
    pub junctions: Vec<(usize, Point)>,
    /// Arrows along the flow: the net, where, and which way (unit vector).
    pub arrows: Vec<(usize, Point, Point)>,
    /// All text but what is inside symbols.
    pub labels: Vec<Label>,
    /// Gauges and alarms, with their leaders.
    pub gauges: Vec<Hung>,
}

/// A part on the page.
pub struct Drawn {
    /// Where its symbol is.
    pub rect: Rect,
    /// As tall as the lanes it serves.
    pub block: bool,
    /// Drawn against the flow of the page.
    pub mirrored: bool,
    /// Turned over.
    pub flipped: bool,
    /// Where pipes meet it.
    pub ports: Vec<DrawnPort>,
}

/// Where a pipe meets a part.
pub struct DrawnPort {
    /// Passage and end, as "water.in".
    pub name: String,
    /// "left", "right", "top" or "bottom".
    pub side: &'static str,
    /// Its place on the page [px].
    pub at: Point,
}

/// A run of pipe between two ports.
#[derive(Clone, Debug)]
pub struct Run {
    /// Runs that are joined have the same.
    pub net: usize,
    /// What it carries.
    pub circuit: Circuit,
    /// Part (by its place in the plant) and port it begins at.
    pub from: (usize, String),
    /// Part and port it ends at.
    pub to: (usize, String),
    /// A tank stands on it; nothing flows.
    pub standing: bool,
    /// Its corners, both ends included.
    pub points: Vec<Point>,
}

/// Text with a place of its own.
#[derive(Clone, Debug)]
pub struct Label {
    /// What it belongs to.
    pub of: Of,
    /// The room kept for it, live words included.
    pub rect: Rect,
    /// What it says.
    pub lines: Vec<String>,
    /// Reads upwards, along its pipe.
    pub upright: bool,
    /// Stands over its symbol: it stands down upon it.
    pub above: bool,
}

/// What a label belongs to.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Of {
    /// A part, by its place in the plant.
    Part(usize),
    /// A gauge or alarm, by its place in the plant.
    Gauge(usize),
    /// A pipe's contents.
    Letters(Circuit),
    /// A line of the legend.
    Legend(Circuit),
    /// The sheet as a whole.
    Note,
}

/// A gauge or alarm at its tap.
#[derive(Clone, Debug)]
pub struct Hung {
    /// Which.
    pub gauge: usize,
    /// Its circle.
    pub circle: Rect,
    /// From the tap to the circle, through those that hang before it on the same tap.
    pub leader: Vec<Point>,
    /// Where its text stands.
    pub stands: Stands,
}

/// Where a gauge's text stands, seen from its circle.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Stands {
    /// Beside it, to the right.
    Right,
    /// Beside it, to the left.
    Left,
    /// Over it.
    Over,
    /// Under it.
    Under,
}

/// What is drawn into a schematic at one moment.
#[derive(Clone, Debug, Default)]
pub struct Live {
    /// For each gauge of the plant what it shows; a missing one shows its name alone.
    pub gauges: Vec<Shown>,
    /// For each part the word it is marked with, if any: "cause", "alarm".
    pub marked: Vec<Option<String>>,
    /// Where a part's link leads, "{}" standing for its name; none makes no links.
    pub link: Option<String>,
    /// Ways (part and passage, by their places) that lie under a broad band: what is followed.
    pub trail: Vec<(usize, usize)>,
    /// Bring the style along, for a file that stands alone.
    pub standalone: bool,
    /// One circuit alone, cut out of the sheet; everything if none.
    pub only: Option<Only>,
    /// A detail: the window of the sheet round these parts, by their places, and what is in it; everything if none.
    pub around: Vec<usize>,
}

/// One circuit of a sheet, and what belongs to it.
#[derive(Clone, Debug)]
pub struct Only {
    /// Which.
    pub circuit: Circuit,
    /// For each part of the plant whether it is drawn.
    pub parts: Vec<bool>,
    /// The same for each gauge.
    pub gauges: Vec<bool>,
}

/// What a gauge shows.
#[derive(Clone, Debug)]
pub struct Shown {
    /// "81.5 °C"; with a word if it is off, "98.5 °C high": colour alone says nothing.
    pub text: String,
    /// How that is to be taken.
    pub state: State,
}

/// How a reading is to be taken.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// In its band.
    AsExpected,
    /// Outside its band, or an alarm that is on.
    Off,
    /// Read too long ago.
    Stale,
    /// Never read.
    NoReading,
}

impl Schematic {
    /// Lays out a plant.
    pub fn lay_out(plant: &Plant) -> Schematic {
        let sections = sheets::sections(plant);
        let mut schematic = if sections.is_empty() {
            Self::of_one(plant)
        } else {
            let sheets = sections.into_iter().map(|section| {
                let sheet = Self::of_one(&section.plant);
                (section, sheet)
            });
            sheets::below_each_other(plant, sheets.collect())
        };
        legend::legend(&mut schematic, plant);
        schematic
    }

    /// A plant with one engine, without what stands below the drawing.
    fn of_one(plant: &Plant) -> Schematic {
        let sheet = choice::best(&graph::Graph::of(plant));
        let (places, runs, written) = room::settle(plant, &sheet);
        finish(&sheet, &places, runs, written)
    }

    /// Places where runs of different nets cross.
    pub fn crossings(&self) -> usize {
        let pieces: Vec<(usize, Rect)> = self
            .runs
            .iter()
            .flat_map(|run| run.points.windows(2).map(|pair| (run.net, Rect::about(pair[0], pair[1]))))
            .collect();
        let mut found: Vec<(u64, u64)> = Vec::new();
        for (net, flat) in pieces.iter().filter(|(_, rect)| rect.h == 0.0) {
            let others = pieces.iter().filter(|(other, rect)| rect.w == 0.0 && other != net).map(|(_, rect)| rect);
            let crossed = others.filter(|tall| {
                flat.x < tall.x && tall.x < flat.x + flat.w && tall.y < flat.y && flat.y < tall.y + tall.h
            });
            found.extend(crossed.map(|tall| (tall.x.to_bits(), flat.y.to_bits())));
        }
        found.sort_unstable();
        found.dedup();
        found.len()
    }

    /// Corners of runs; those that runs of one net share are counted once.
    pub fn bends(&self) -> usize {
        let inner = |run: &Run| {
            let net = run.net;
            let points = run.points.len().saturating_sub(1);
            run.points.iter().take(points).skip(1).map(move |p| (net, p.0.to_bits(), p.1.to_bits())).collect::<Vec<_>>()
        };
        let mut found: Vec<_> = self.runs.iter().flat_map(inner).collect();
        found.sort_unstable();
        found.dedup();
        found.len()
    }
}

fn finish(sheet: &Sheet, places: &Places, runs: Vec<Run>, written: writing::Written) -> Schematic {
    let port = |port: &usize| {
        let this = &sheet.graph.ports[*port];
        let side = match this.side {
            graph::Side::Left => "left",
            graph::Side::Right => "right",
            graph::Side::Top => "top",
            graph::Side::Bottom => "bottom",
        };
        DrawnPort { name: this.name.clone(), side, at: runs::port_at(sheet, places, *port) }
    };
    let pieces = sheet.graph.pieces.iter().enumerate().map(|(index, piece)| Drawn {
        rect: places.boxes[index],
        block: piece.symbol.block,
        mirrored: piece.mirrored,
        flipped: piece.flipped,
        ports: piece.ports.iter().map(port).collect(),
    });
    Schematic {
        size: places.size,
        pieces: pieces.collect(),
        again: Vec::new(),
        junctions: runs::junctions(sheet, places),
        arrows: runs::arrows(&runs, &written.gauges),
        runs,
        labels: written.labels,
        gauges: written.gauges,
    }
}

/// How far a part is open, in words, if it has a position.
fn position(part: &Part) -> Option<String> {
    opening(part).map(|share| part.kind.stands(share))
}

/// How far a part is open, from 0 shut to 1, if it has a position.
fn opening(part: &Part) -> Option<f64> {
    let name = part.kind.symbol.position?;
    let place = part.kind.parameters.iter().position(|p| p.name == name)?;
    part.figures.get(place).map(|figure| figure.value)
}
