//! The jobs, one file each.

use crate::job::Job;

mod alignment;
mod belts;
mod timing;
mod top_dead_centre;
mod valve_lash;

/// Every job, in the order of the page.
pub const JOBS: &[Job] = &[top_dead_centre::JOB, alignment::JOB, valve_lash::JOB, timing::JOB, belts::JOB];

/// The job that a word means.
pub fn job(word: &str) -> Option<&'static Job> {
    let word = plant::names::folded(word);
    JOBS.iter().find(|job| job.word == word)
}
