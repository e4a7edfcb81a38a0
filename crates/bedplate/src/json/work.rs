//! What `due` and `done` print for programs.

use serde::Serialize;

/// Answer of `due`. Times are milliseconds since 1970, UTC.
#[derive(Serialize)]
pub struct Due {
    pub version: u32,
    pub vessel: String,
    pub now: i64,
    pub engines: Vec<Hours>,
    pub tasks: Vec<Task>,
    /// What nobody knows or is past, the greatest risk first, by name.
    pub first: Vec<First>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passage: Option<Passage>,
}

/// An engine's hours.
#[derive(Serialize)]
pub struct Hours {
    pub engine: String,
    pub read_at: Option<i64>,
    pub read_h: Option<f64>,
    /// 5, 50 and 95 % of belief.
    pub now_h: [f64; 3],
    pub a_year_h: [f64; 3],
}

/// A task and when it is due.
#[derive(Serialize)]
pub struct Task {
    pub task: String,
    pub title: String,
    pub of: Option<String>,
    pub needs: &'static str,
    pub minutes: f64,
    pub every_h: Option<f64>,
    pub every_months: Option<f64>,
    pub mark: String,
    pub last_at: Option<i64>,
    pub last_h: Option<f64>,
    pub due_h: Option<f64>,
    pub due_at: Option<i64>,
    /// 5, 50 and 95 % of belief.
    pub when: Option<[i64; 3]>,
    /// "past", "ahead", "unknown" or "waits".
    pub stands: &'static str,
    pub past_h: Option<f64>,
    pub past_days: Option<f64>,
}

/// A task that comes first where nobody knows.
#[derive(Serialize)]
pub struct First {
    pub task: String,
    pub chance_in_100_h: f64,
    pub loss_eur: f64,
}

/// A passage and what falls due on it.
#[derive(Serialize)]
pub struct Passage {
    pub start: i64,
    pub end: i64,
    pub hours_h: f64,
    pub falls: Vec<Falls>,
    pub carry: Vec<Carry>,
}

/// A task on a passage.
#[derive(Serialize)]
pub struct Falls {
    pub task: String,
    pub at_h: Option<f64>,
    pub at: Option<i64>,
    pub before: bool,
    pub times: usize,
    pub times_if_done: usize,
    pub next_h: Option<f64>,
    pub next: Option<i64>,
}

/// What planned work on a passage uses up.
#[derive(Serialize)]
pub struct Carry {
    pub what: String,
    pub amount: f64,
    pub unit: &'static str,
}

/// Answer of `done`.
#[derive(Serialize)]
pub struct Records {
    pub version: u32,
    pub records: Vec<Written>,
    pub corrected: Vec<Written>,
    pub unread: Vec<String>,
}

/// A record, as it is kept: values in SI.
#[derive(Serialize)]
pub struct Written {
    pub key: String,
    pub time: i64,
    pub who: Option<String>,
    pub corrects: Option<String>,
    pub corrected_by: Option<String>,
    pub record: work::record::Record,
}
