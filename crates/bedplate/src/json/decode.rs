//! Shapes of what was heard on a bus: `decode`, one object a line.

use serde::Serialize;

/// One value heard, or why there is none. Values are in the SI unit named beside them.
#[derive(Serialize)]
pub struct Value<'a> {
    pub file: &'a str,
    pub line: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    #[serde(flatten)]
    pub what: What,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instance: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    pub field: &'a str,
    #[serde(flatten)]
    pub reading: Reading,
}

/// A message and its sender's address, or a sentence and its talker.
#[derive(Serialize)]
#[serde(untagged)]
pub enum What {
    Message { pgn: u32, source: u8 },
    Sentence { sentence: &'static str, talker: String },
}

/// What a field says.
#[derive(Serialize)]
#[serde(untagged)]
pub enum Reading {
    Value {
        value: f64,
        unit: String,
    },
    /// A number of a list, as it was sent, and what it means.
    Choice {
        choice: u32,
        means: String,
    },
    Letter {
        letter: char,
    },
    Trouble {
        spn: u32,
        fmi: u8,
        occurrences: Option<u8>,
        old_layout: bool,
    },
    Absent {
        absent: &'static str,
    },
}

/// A line, or part of one, that could not be used.
#[derive(Serialize)]
pub struct Fault<'a> {
    pub file: &'a str,
    pub line: u64,
    pub fault: String,
}

/// The last line: everything heard.
#[derive(Serialize)]
pub struct Decoded {
    pub version: u32,
    pub lines: u64,
    pub heard: Vec<Heard>,
    pub faults: Vec<Counted>,
    pub unknown: Vec<Unknown>,
    /// Gauges of the vessel that say which value they are, and were not heard.
    pub not_heard: Vec<String>,
}

/// A field of a message of a sender, with what it said last.
#[derive(Serialize)]
pub struct Heard {
    #[serde(flatten)]
    pub what: What,
    pub name: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instance: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    pub field: String,
    /// As a gauge of a description names it; only of what is measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub heard: Option<String>,
    /// The gauge of the vessel that says it is this one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gauge: Option<String>,
    pub times: u64,
    /// How often it had a value.
    pub told: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub every_s: Option<f64>,
    #[serde(flatten)]
    pub last: Reading,
}

/// A sort of fault and how often it was met.
#[derive(Serialize)]
pub struct Counted {
    pub fault: &'static str,
    pub times: u64,
}

/// A message or sentence without a layout.
#[derive(Serialize)]
pub struct Unknown {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pgn: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<u8>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sentence: Option<String>,
    pub times: u64,
}
