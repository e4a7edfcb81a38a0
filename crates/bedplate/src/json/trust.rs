//! How far an answer can be trusted, for programs.

use serde::Serialize;

/// One thing that speaks for a cause or against it, and how many times likelier, or less likely, that makes it.
#[derive(Serialize)]
pub struct Reason {
    pub text: String,
    pub times: f64,
}

/// What nothing on the list explains.
#[derive(Serialize)]
pub struct Unexplained {
    pub readings: Vec<String>,
    /// They go with the rest if they were misread.
    pub misread: bool,
    pub text: String,
}

/// Whether the first place hangs on how often things are said to fail.
#[derive(Serialize)]
pub struct Standing {
    pub first: String,
    /// No rate three times off would change it.
    pub holds: bool,
    /// What would be first if it happened so many times as often.
    pub rivals: Vec<Rival>,
    pub text: String,
}

/// One that would be first.
#[derive(Serialize)]
pub struct Rival {
    pub title: String,
    pub times: f64,
}

/// Causes that what was read does not tell apart.
#[derive(Serialize)]
pub struct Alike {
    pub causes: Vec<Named>,
    /// How far apart their readings lie [standard deviations].
    pub far: f64,
    pub check: Option<CheckOf>,
    pub reading: Option<Telling>,
    pub text: String,
}

/// A cause by its names; all is well has neither part nor word.
#[derive(Serialize)]
pub struct Named {
    pub part: String,
    pub cause: String,
    pub title: String,
}

/// A way to fail that the gauges of a plant would not show.
#[derive(Serialize)]
pub struct WouldNotShow {
    pub cause: Named,
    /// How bad it is when it shows; nothing if it never does, or is there or not.
    pub below: Option<f64>,
    pub text: String,
}

/// A check by its names.
#[derive(Serialize)]
pub struct CheckOf {
    pub check: &'static str,
    pub part: String,
}

/// A reading that would tell two of them apart.
#[derive(Serialize)]
pub struct Telling {
    pub gauge: String,
    pub speed_rpm: f64,
    pub with: [Reads; 2],
    pub unit: String,
    /// How far apart [standard deviations].
    pub far: f64,
}

/// What it would read with one of them, by its place among the causes.
#[derive(Serialize)]
pub struct Reads {
    pub cause: usize,
    pub reads: f64,
}
