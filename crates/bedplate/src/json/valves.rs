//! Shapes of what is asked of valves: `follow`, `isolate`, `line-up`.

use serde::Serialize;

/// Answer of `follow`.
#[derive(Serialize)]
pub struct Follow {
    pub version: u32,
    pub vessel: String,
    pub from: String,
    /// "onward" or "back".
    pub along: &'static str,
    pub line_up: Option<String>,
    pub trails: Vec<Leg>,
    pub turned_by: Option<String>,
    pub turns: Vec<String>,
}

/// A way told from its beginning.
#[derive(Serialize)]
pub struct Leg {
    pub circuit: &'static str,
    pub parts: Vec<String>,
    /// "sea", "air", "shut", "again" or "divides".
    pub end: &'static str,
    /// The valve that is shut, or the part that is met again.
    pub at: Option<String>,
    pub ways: Vec<Leg>,
}

/// Answer of `isolate`.
#[derive(Serialize)]
pub struct Isolate {
    pub version: u32,
    pub vessel: String,
    pub part: String,
    /// Steps under way; null if the engine must be stopped.
    pub running: Option<Vec<Turn>>,
    pub fastest_rpm: Option<f64>,
    /// What comes of it under way.
    pub effects: Vec<String>,
    /// Steps with the engine stopped.
    pub stopped: Vec<Turn>,
    pub stay_shut: Vec<String>,
    pub shut_off_with_it: Vec<String>,
    /// Circuits that no valve shuts off.
    pub open: Vec<Closing>,
    pub walls: Vec<Wall>,
}

/// A valve and where it goes: share of wide open.
#[derive(Serialize)]
pub struct Turn {
    pub valve: String,
    pub to: f64,
}

/// A circuit that no valve shuts off, and where its liquid comes from.
#[derive(Serialize)]
pub struct Closing {
    pub circuit: &'static str,
    pub from: String,
    pub through: Vec<String>,
}

/// A wall, and what goes where if it leaks.
#[derive(Serialize)]
pub struct Wall {
    pub wall: &'static str,
    pub says: String,
    pub causes: &'static [&'static str],
}

/// Answer of `line-up`.
#[derive(Serialize)]
pub struct LineUp {
    pub version: u32,
    pub vessel: String,
    pub line_up: Option<String>,
    pub valves: Vec<Stands>,
    pub turned: Vec<Turn>,
    pub harms: bool,
    pub effects: Vec<String>,
}

/// How a valve stands, and since when.
#[derive(Serialize)]
pub struct Stands {
    pub valve: String,
    pub opening: f64,
    pub when: Option<String>,
    pub who: Option<String>,
}
