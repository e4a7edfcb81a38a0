//! A record of work: what was done on what, found and left how, with what.

use serde::{Deserialize, Serialize};

/// A piece of work done, or something that happened to her.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// The service task that it was, by its name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
    /// The part or gauge it was done on, by its name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// What happened: "haul-out", "launch", "lay-up".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub happened: Option<String>,
    /// Running hours of its engine at that time [h].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
    /// In the owner's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// What was measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub measured: Vec<Measured>,
    /// What was used up: item or word, and how much: a count, or a volume [m³].
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub used: Vec<(String, f64)>,
    /// Photos and files kept beside it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub files: Vec<Kept>,
}

impl diary::Sort for Record {
    const KIND: &'static str = "work";
    const VERSION: u32 = 1;
}

/// One measure at one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Measured {
    /// The measure's name: "clearance".
    pub name: String,
    /// The place: "cylinder 1 inlet".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// As found [SI of the measure's quantity].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<f64>,
    /// As left [SI].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<f64>,
    /// The unit in which it was written.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
    /// What was found, where it is told in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

/// A file kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Kept {
    /// As it was called.
    pub name: String,
    /// Check sum, SHA-256 as hexadecimal digits.
    pub sha256: String,
    /// How long [bytes].
    pub bytes: u64,
}
