//! Where nobody knows what was done: which tasks first.
//!
//! A vessel just taken over has sixty tasks that nobody knows of. What matters is what fails without them, how often, and what
//! that costs; the ten that save most for their minutes stand first. Rates are those that weigh causes too.

use crate::due::{Due, Stands};
use crate::task::Task;
use parts::rates;
use plant::evidence::Named;
use plant::plant::Plant;

/// What is looked ahead [h].
const AHEAD: f64 = 100.0;
/// Chance in that time where the table has no cause that the task guards [1]; from memory.
const UNTOLD: f64 = 0.004;
/// What is past or unknown fails more often than what is in time: by the root of its age in intervals; what nobody knows is
/// taken as this old [intervals]; from memory.
const UNKNOWN_AGE: f64 = 2.0;
/// An hour of the owner's is worth this [EUR/h], for ranking only.
const HOUR: f64 = 40.0;

/// What leaving a task undone is worth avoiding.
#[derive(Clone, Debug, PartialEq)]
pub struct Risk {
    /// Place among the rows that were asked of.
    pub row: usize,
    /// Chance that what it guards against happens within the next 100 running hours [1].
    pub chance: f64,
    /// That, times what it costs [EUR].
    pub loss: f64,
    /// The causes it guards against, the likeliest first.
    pub of: Vec<&'static str>,
}

/// What is past or unknown, the greatest loss for what it takes first.
pub fn first(plant: &Plant, tasks: &[Task], rows: &[Due]) -> Vec<Risk> {
    let open = rows.iter().enumerate().filter(|(_, due)| !matches!(due.stands, Stands::Ahead | Stands::Waits));
    let mut risks: Vec<Risk> = open.map(|(row, due)| risk(plant, &tasks[due.task], due, row)).collect();
    let worth = |risk: &Risk| {
        let task = &tasks[rows[risk.row].task];
        risk.loss / (5.0 + task.minutes / 60.0 * HOUR).sqrt()
    };
    risks.sort_by(|a, b| worth(b).total_cmp(&worth(a)));
    risks
}

fn risk(plant: &Plant, task: &Task, due: &Due, row: usize) -> Risk {
    let mut of: Vec<(f64, &'static str)> = Vec::new();
    if let Some(Named::Part(part)) = task.of {
        for cause in task.guards.iter().filter_map(|place| plant[part].kind.causes.get(*place)) {
            let rate = rates::rate(cause.rate).map_or(0.0, |rate| rate.per_1000_h[1] * rate.use_factor);
            of.push((rate * AHEAD / 1000.0, cause.title));
        }
    }
    of.sort_by(|a, b| b.0.total_cmp(&a.0));
    let told: f64 = of.iter().map(|(chance, _)| chance).sum();
    let age = due.used.unwrap_or(UNKNOWN_AGE).max(1.0);
    let chance = 1.0 - (-told.max(UNTOLD) * age.sqrt()).exp();
    Risk { row, chance, loss: chance * task.harm.cost(), of: of.into_iter().map(|(_, title)| title).collect() }
}
