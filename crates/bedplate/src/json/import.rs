//! Shapes of what `import` did: one object.

use serde::Serialize;

/// Answer of `import`.
#[derive(Serialize)]
pub struct Import {
    pub version: u32,
    pub vessel: String,
    /// Nothing was kept: it was only looked at.
    pub preview: bool,
    /// It was told to stop before it was done.
    pub stopped: bool,
    pub files: Vec<File>,
}

/// One file.
#[derive(Serialize)]
pub struct File {
    pub file: String,
    /// "table", "lines of JSON", "rounds", "recording".
    pub form: &'static str,
    pub columns: Vec<Column>,
    /// First readings of each gauge.
    pub first: Vec<First>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taken: Option<Taken>,
}

/// A column of a table.
#[derive(Serialize)]
pub struct Column {
    pub column: String,
    /// A gauge's name, "time", "date", "zone", "gauge", "value", "unit", "ignored"; none if it is no gauge.
    pub is: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// The unit is told nowhere, and taken as on the dial.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub as_on_the_dial: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nearest: Option<String>,
}

/// First readings of a gauge, as they are kept.
#[derive(Serialize)]
pub struct First {
    pub gauge: String,
    pub unit: String,
    pub readings: Vec<(String, f64)>,
}

/// What came of a file.
#[derive(Serialize)]
pub struct Taken {
    pub lines: u64,
    pub readings: u64,
    pub stored: u64,
    /// The log had them already.
    pub repeated: u64,
    /// Of hours of which the log keeps summaries only.
    pub too_old: u64,
    pub from: Option<String>,
    pub to: Option<String>,
    /// How far ahead of universal time its clock was, and from when on.
    pub clock: Vec<Ahead>,
    pub left_out: Vec<LeftOut>,
    pub faults: u64,
    pub faults_by_reason: Vec<Reason>,
    /// The first of them.
    pub examples: Vec<Fault>,
}

/// What the log notes of a file whose readings it keeps: the body of an event of the kind `import`.
#[derive(Serialize)]
pub struct Noted {
    pub file: String,
    pub stored: u64,
    pub from: Option<String>,
    pub to: Option<String>,
    /// How far ahead of universal time its clock was, and from when on: ship's time, as it was changed.
    pub clock: Vec<Ahead>,
}

/// A clock, from a time on.
#[derive(Serialize)]
pub struct Ahead {
    pub from: String,
    pub ahead_s: i32,
}

/// A name that is no gauge of the vessel.
#[derive(Serialize)]
pub struct LeftOut {
    pub name: String,
    pub nearest: Option<String>,
    pub values: u64,
}

/// How often something could not be used.
#[derive(Serialize)]
pub struct Reason {
    pub reason: &'static str,
    pub count: u64,
}

/// Something that could not be used.
#[derive(Serialize)]
pub struct Fault {
    pub line: u64,
    pub fault: String,
}
