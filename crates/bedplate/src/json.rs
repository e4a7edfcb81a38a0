//! The shapes that `--json` prints: part of the interface, with a version. Numbers are in the unit named beside them.

pub mod books;
pub mod decode;
pub mod import;
mod margins;
mod next;
pub mod stores;
mod trust;
mod valves;
pub mod work;
mod written;

use crate::stop::Stop;
use serde::Serialize;
use std::io::Write;

pub use margins::*;
pub use next::*;
pub use trust::*;
pub use valves::*;
pub use written::{Printed, PrintedDocument, Written};

/// Version of every shape here.
pub const VERSION: u32 = 1;

/// Answer of `expect`.
#[derive(Serialize)]
pub struct Expect {
    pub version: u32,
    pub vessel: String,
    pub at: At,
    pub gauges: Vec<Band>,
    pub alarms: Vec<Alarm>,
    pub circuits: Vec<Circuit>,
    pub currents: Vec<Current>,
    pub engine: Option<Engine>,
    pub would_not_show: Vec<WouldNotShow>,
    pub would_look_alike: Vec<Vec<Named>>,
    pub assumed: Assumed,
    pub widest: Vec<Figure>,
    pub unsteady: Option<Unsteady>,
}

/// The operating point.
#[derive(Serialize)]
pub struct At {
    pub speed_rpm: f64,
    pub load: f64,
    /// Only where pitch can be set.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pitch: Option<f64>,
    pub sea_c: f64,
    pub air_c: f64,
}

/// A gauge and what it should read.
#[derive(Serialize)]
pub struct Band {
    pub gauge: String,
    pub value: f64,
    pub low: f64,
    pub high: f64,
    pub unit: String,
}

/// An alarm and whether it should be on.
#[derive(Serialize)]
pub struct Alarm {
    pub alarm: String,
    pub on: bool,
    pub value: f64,
    pub trips: f64,
    pub unit: String,
}

/// A circuit and what passes through its parts.
#[derive(Serialize)]
pub struct Circuit {
    pub circuit: &'static str,
    pub ways: Vec<Way>,
    pub idle: Vec<String>,
}

/// What passes through a part.
#[derive(Serialize)]
pub struct Way {
    pub part: String,
    pub passage: &'static str,
    pub flow_kg_s: f64,
    pub flow_l_min: f64,
    pub in_c: f64,
    pub out_c: f64,
    pub drop_kpa: Option<f64>,
    pub heat_kw: f64,
}

/// A current through a part.
#[derive(Serialize)]
pub struct Current {
    pub part: String,
    pub current_a: f64,
    pub volts: f64,
    pub lost_v: Option<f64>,
    pub lasts_h: Option<f64>,
}

/// The engine and where the heat of its fuel goes.
#[derive(Serialize)]
pub struct Engine {
    pub engine: String,
    pub power_kw: f64,
    pub fuel_l_h: f64,
    pub shares: Vec<Share>,
}

/// A share of the fuel's heat.
#[derive(Serialize)]
pub struct Share {
    pub to: String,
    pub share: f64,
}

/// What nobody told.
#[derive(Serialize)]
pub struct Assumed {
    pub parts: Vec<String>,
    pub typical: Vec<Figure>,
}

/// A figure of a part.
#[derive(Serialize)]
pub struct Figure {
    pub part: String,
    pub figure: &'static str,
    pub value: f64,
    pub low: f64,
    pub high: f64,
    pub unit: &'static str,
    pub origin: &'static str,
    pub source: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub share: Option<f64>,
}

/// Why the point cannot last.
#[derive(Serialize)]
pub struct Unsteady {
    pub boils_at: String,
    pub minutes: Option<f64>,
    pub holds_at_rpm: Option<f64>,
}

/// Answer of `explain`.
#[derive(Serialize)]
pub struct Explain {
    pub version: u32,
    pub vessel: String,
    pub act: Vec<Act>,
    pub gauges: Vec<Deviation>,
    pub causes: Vec<Cause>,
    pub unexplained: Option<Unexplained>,
    pub standing: Option<Standing>,
    pub alike: Vec<Alike>,
    pub checks: Vec<Check>,
    pub next: Option<Next>,
    pub go_on: Option<()>,
    pub unweighed: usize,
}

/// What to do this minute.
#[derive(Serialize)]
pub struct Act {
    pub line: String,
    pub because: String,
}

/// A reading against what a sound plant would show.
#[derive(Serialize)]
pub struct Deviation {
    pub occasion: usize,
    pub gauge: String,
    pub read: f64,
    pub expected: f64,
    pub low: f64,
    pub high: f64,
    pub unit: String,
    pub z: f64,
    pub over_usual: bool,
    pub over_sister: bool,
    /// "at least" or "at most", where `read` is no more than that; `z` is then how far off it is at least.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub only: Option<&'static str>,
}

/// A cause with its odds; `part` and `cause` are empty for all is well.
#[derive(Serialize)]
pub struct Cause {
    pub part: String,
    pub cause: String,
    pub title: String,
    pub circuit: Option<&'static str>,
    pub probability: f64,
    pub severity: Option<Severity>,
    /// The second of two at once, or what a check found.
    pub besides: Option<Besides>,
    pub why: Vec<String>,
    #[serde(rename = "for")]
    pub speaks_for: Vec<Reason>,
    pub against: Vec<Reason>,
    pub needs: Vec<String>,
}

/// What is so besides a cause; `severity` where it can be graded.
#[derive(Serialize)]
pub struct Besides {
    pub part: String,
    pub cause: String,
    pub title: String,
    pub severity: Option<f64>,
}

/// How bad, and between what nine in ten lie.
#[derive(Serialize)]
pub struct Severity {
    pub middle: f64,
    pub low: f64,
    pub high: f64,
}

/// A check worth making.
#[derive(Serialize)]
pub struct Check {
    pub check: &'static str,
    pub part: String,
    pub title: &'static str,
    pub minutes: f64,
    pub state: &'static str,
    pub tool: Option<&'static str>,
    pub caution: &'static str,
    pub bits: f64,
    pub finds: f64,
    pub tells: Vec<Tell>,
    /// Tools it wants that are not aboard.
    pub lacks: Vec<&'static str>,
}

/// What a finding would make of a cause.
#[derive(Serialize)]
pub struct Tell {
    pub part: String,
    pub cause: String,
    pub probability: f64,
}

/// Answer of `words`.
#[derive(Serialize)]
pub struct Words {
    pub version: u32,
    pub vessel: String,
    pub parts: Vec<PartWords>,
}

/// What can be told of a part or gauge.
#[derive(Serialize)]
pub struct PartWords {
    pub part: String,
    pub kind: &'static str,
    pub said: Vec<&'static str>,
    pub checks: Vec<CheckWords>,
    pub causes: Vec<CauseWords>,
}

/// A check that can be made.
#[derive(Serialize)]
pub struct CheckWords {
    pub check: &'static str,
    pub title: &'static str,
    pub minutes: f64,
    pub state: &'static str,
    pub caution: &'static str,
    pub finds: Vec<&'static str>,
}

/// A way it fails, and what puts it right.
#[derive(Serialize)]
pub struct CauseWords {
    pub cause: &'static str,
    pub title: &'static str,
    pub remedy: &'static str,
    pub minutes: f64,
    pub money_eur: f64,
    pub state: &'static str,
    /// Takes a yard or a workshop.
    pub yard: bool,
}

/// Answer of `draw`: places in pixels at full scale, from the upper left corner.
#[derive(Serialize)]
pub struct Draw {
    pub version: u32,
    pub vessel: String,
    pub width: f64,
    pub height: f64,
    pub parts: Vec<DrawnPart>,
    pub runs: Vec<DrawnRun>,
    pub labels: Vec<DrawnLabel>,
    pub gauges: Vec<DrawnGauge>,
    pub crossings: usize,
    pub bends: usize,
}

/// A rectangle.
#[derive(Serialize)]
pub struct Room {
    pub x: f64,
    pub y: f64,
    pub w: f64,
    pub h: f64,
}

/// A point.
#[derive(Serialize)]
pub struct Corner {
    pub x: f64,
    pub y: f64,
}

/// A part's symbol.
#[derive(Serialize)]
pub struct DrawnPart {
    pub part: String,
    pub kind: &'static str,
    pub room: Room,
    pub mirrored: bool,
    pub flipped: bool,
    pub ports: Vec<DrawnPort>,
}

/// Where a pipe meets a symbol.
#[derive(Serialize)]
pub struct DrawnPort {
    pub port: String,
    pub side: &'static str,
    pub at: Corner,
}

/// A pipe, from part and port to part and port; those of one net are joined.
#[derive(Serialize)]
pub struct DrawnRun {
    pub net: usize,
    pub circuit: &'static str,
    pub from: [String; 2],
    pub to: [String; 2],
    pub points: Vec<Corner>,
}

/// Text and what it belongs to.
#[derive(Serialize)]
pub struct DrawnLabel {
    pub of: String,
    pub lines: Vec<String>,
    pub room: Room,
}

/// A gauge's circle and its leader from the tap.
#[derive(Serialize)]
pub struct DrawnGauge {
    pub gauge: String,
    pub room: Room,
    pub leader: Vec<Corner>,
}

/// Writes an answer.
///
/// # Errors
/// [`Stop::Output`] when it cannot be written.
pub fn write(out: &mut dyn Write, answer: &impl Serialize) -> Result<(), Stop> {
    let text = serde_json::to_string_pretty(answer).map_err(|error| Stop::Output(error.into()))?;
    writeln!(out, "{text}").map_err(Stop::from)
}
