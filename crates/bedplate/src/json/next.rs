//! The next step as `--json` prints it: minutes are minutes, money is in euro, chances are of those that came so far.

use serde::Serialize;

/// What to do next, and what then.
#[derive(Serialize)]
pub struct Next {
    pub step: Ahead,
    /// What simply beginning with the likeliest repair is expected to cost.
    pub instead: Option<Instead>,
    /// What this step is expected to save against that, all in minutes.
    pub saves: f64,
    /// A check that would help if its tools were aboard.
    pub lacking: Option<Lacking>,
    /// What an hour is taken to be worth.
    pub hour_worth_eur: f64,
    pub situation: Situation,
}

/// A step and what follows it.
#[derive(Serialize)]
pub struct Ahead {
    /// "check", "repair", "help", "leave", "read again" or, where it is cured, "nothing".
    pub does: &'static str,
    pub part: Option<String>,
    /// The check, or the causes that the repair cures.
    pub check: Option<&'static str>,
    pub causes: Vec<String>,
    pub title: String,
    pub minutes: f64,
    pub state: Option<&'static str>,
    pub tool: Option<&'static str>,
    pub caution: Option<String>,
    /// The step with the change of state that it takes.
    pub price: Cost,
    /// Hours that it has to wait until she lies in a haven.
    pub waits_hours: Option<f64>,
    /// From here until she is right.
    pub expected: Cost,
    pub then: Vec<Branch>,
}

/// Minutes, money, and what may go wrong by it as minutes.
#[derive(Serialize)]
pub struct Cost {
    pub minutes: f64,
    pub money_eur: f64,
    pub risk_minutes: f64,
}

/// A way a step may come out.
#[derive(Serialize)]
pub struct Branch {
    /// "found", "something" (which of them is not told), "clean" or "persists".
    pub came: &'static str,
    /// The causes that it speaks for, as "part.cause".
    pub found: Vec<String>,
    pub probability: f64,
    pub step: Ahead,
}

/// The likeliest repair, and what beginning with it is expected to cost.
#[derive(Serialize)]
pub struct Instead {
    pub part: String,
    pub title: String,
    pub expected: Cost,
}

/// A check whose tools are not aboard.
#[derive(Serialize)]
pub struct Lacking {
    pub part: String,
    pub check: &'static str,
    pub tools: Vec<&'static str>,
    pub saves: f64,
}

/// Where she is taken to be.
#[derive(Serialize)]
pub struct Situation {
    pub at_sea: bool,
    pub cannot_stop: bool,
    pub haven_hours: f64,
}
