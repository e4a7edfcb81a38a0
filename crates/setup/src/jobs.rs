//! The jobs, one file each.

use crate::job::Job;

mod by_cylinder;
mod compression;
mod injector_balance;
mod opening_pressure;
mod relief_valve;
mod top_dead_centre;
mod two_gauges;

/// Every job, in the order of the page.
pub const JOBS: &[Job] = &[
    top_dead_centre::JOB,
    relief_valve::JOB,
    two_gauges::JOB,
    injector_balance::JOB,
    compression::JOB,
    opening_pressure::JOB,
];

/// The job that a word means.
pub fn job(word: &str) -> Option<&'static Job> {
    let word = plant::names::folded(word);
    JOBS.iter().find(|job| job.word == word)
}
