//! Shape of `margins`.

use serde::Serialize;

/// Answer of `margins`.
#[derive(Serialize)]
pub struct Margins {
    pub version: u32,
    pub vessel: String,
    /// The worst first.
    pub answers: Vec<MarginAnswer>,
}

/// A question and how the plant stands to it.
#[derive(Serialize)]
pub struct MarginAnswer {
    pub part: String,
    pub margin: &'static str,
    pub asks: &'static str,
    /// "not kept", "open" or "kept".
    pub standing: &'static str,
    /// Share of vessels described like this one that are sound here.
    pub holds: f64,
    pub value: f64,
    pub low: f64,
    pub high: f64,
    /// Bounds; null if there is none on that side.
    pub least: Option<f64>,
    pub most: Option<f64>,
    pub unit: &'static str,
    /// Where she is hardest put to it.
    pub at: &'static str,
    pub source: &'static str,
}
