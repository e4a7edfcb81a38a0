//! What falls due on a passage, and what falls due on it still if it is done before she leaves.

use crate::date;
use crate::due::{Due, List};
use crate::task::Task;

/// A passage as it is planned.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Passage {
    /// When she leaves [ms since 1970, UTC].
    pub start: i64,
    /// Running hours that it takes [h].
    pub hours: f64,
    /// Days that it takes [days].
    pub days: f64,
}

/// A task that falls due on the passage.
#[derive(Clone, Debug, PartialEq)]
pub struct Falls {
    /// Place among the tasks.
    pub task: usize,
    /// At which running hours first [h], if hours make it so.
    pub at_hours: Option<f64>,
    /// By which day first [ms since 1970, UTC], if the calendar does.
    pub at_time: Option<i64>,
    /// It is past before she leaves.
    pub before: bool,
    /// How often it is to be done under way, if nothing is done before.
    pub times: usize,
    /// How often under way, if it is done on the last day before she leaves.
    pub times_if_done: usize,
    /// At which hours, or on which day, it would fall due next then.
    pub next_hours: Option<f64>,
    /// By the calendar.
    pub next_time: Option<i64>,
}

impl Passage {
    /// When she arrives [ms since 1970, UTC].
    pub fn end(&self) -> i64 {
        self.start + (self.days * date::DAY as f64) as i64
    }
}

/// What falls due until she arrives, the first first. What nobody knows, and what waits for something, is not in it.
pub fn falls(tasks: &[Task], list: &List, passage: &Passage) -> Vec<Falls> {
    let mut falls: Vec<Falls> = list.rows.iter().filter_map(|due| one(tasks, list, passage, due)).collect();
    let hours = |fall: &Falls| fall.at_hours.unwrap_or(f64::INFINITY);
    falls.sort_by(|a, b| hours(a).total_cmp(&hours(b)).then(a.at_time.cmp(&b.at_time)));
    falls
}

fn one(tasks: &[Task], list: &List, passage: &Passage, due: &Due) -> Option<Falls> {
    let task = &tasks[due.task];
    let engine = list.engines.iter().find(|engine| Some(engine.engine) == task.engine)?;
    // Until she leaves the meter goes on as it will.
    let leaves = engine.ahead.hours_at(passage.start)[1];
    let arrives = leaves + passage.hours;
    let by_hours = due.at_hours.filter(|at| *at <= arrives);
    let by_time = due.at_time.filter(|at| *at <= passage.end());
    if by_hours.is_none() && by_time.is_none() {
        return None;
    }
    let again = |from: Option<f64>, every: Option<f64>, until: f64| match (from, every) {
        (Some(from), Some(every)) if from <= until => 1 + ((until - from) / every).floor() as usize,
        _ => 0,
    };
    let months = task.every.months.filter(|_| due.at_time.is_some());
    let days = |time: Option<i64>| {
        let (mut count, mut at) = (0, time);
        while let (Some(time), Some(months)) = (at.filter(|time| *time <= passage.end()), months) {
            count += 1;
            at = Some(date::months_after(time, months));
        }
        count
    };
    let times = again(due.at_hours.map(|at| at.max(leaves)), task.every.hours, arrives)
        .max(days(due.at_time.map(|at| at.max(passage.start))));
    let next_hours = task.every.hours.filter(|_| due.at_hours.is_some()).map(|every| leaves + every);
    let next_time = months.map(|months| date::months_after(passage.start, months));
    let times_if_done = again(next_hours, task.every.hours, arrives).max(days(next_time));
    let before = due.at_hours.is_some_and(|at| at <= leaves) || due.at_time.is_some_and(|at| at <= passage.start);
    Some(Falls {
        task: due.task,
        at_hours: by_hours,
        at_time: by_time,
        before,
        times,
        times_if_done,
        next_hours,
        next_time,
    })
}
