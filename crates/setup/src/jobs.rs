//! The jobs, one file each.

use crate::job::Job;

mod alignment;
mod alternator;
mod asked;
mod battery_charge;
mod battery_state;
mod belts;
mod by_cylinder;
mod cable;
mod compression;
mod coolant_mix;
mod dry_stack;
mod fuel_dilution;
mod injector_balance;
mod keel_cooler;
mod oil_grade;
mod oils;
mod opening_pressure;
mod pipe_bore;
mod propeller;
mod relief_valve;
mod sender_curve;
mod shared;
mod tank_table;
mod timing;
mod top_dead_centre;
mod two_gauges;
mod valve_lash;
mod vents;
mod wet_exhaust;

/// Every job, in the order of the page.
pub const JOBS: &[Job] = &[
    relief_valve::JOB,
    valve_lash::JOB,
    timing::JOB,
    top_dead_centre::JOB,
    belts::JOB,
    alignment::JOB,
    opening_pressure::JOB,
    two_gauges::JOB,
    injector_balance::JOB,
    compression::JOB,
    battery_state::JOB,
    fuel_dilution::JOB,
    coolant_mix::JOB,
    oil_grade::JOB,
    battery_charge::JOB,
    alternator::JOB,
    cable::JOB,
    propeller::JOB,
    pipe_bore::JOB,
    dry_stack::JOB,
    wet_exhaust::JOB,
    vents::JOB,
    keel_cooler::JOB,
    tank_table::JOB,
    sender_curve::JOB,
];

/// The job that a word means.
pub fn job(word: &str) -> Option<&'static Job> {
    let word = plant::names::folded(word);
    JOBS.iter().find(|job| job.word == word)
}
