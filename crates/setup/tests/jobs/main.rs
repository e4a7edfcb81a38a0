//! Every job held to values from outside, and to what all jobs owe.

mod alignment;
mod all;
mod alternator;
mod any;
mod battery_charge;
mod battery_state;
mod belts;
mod cable;
mod check;
mod coolant_mix;
mod dry_stack;
mod fuel_dilution;
mod keel_cooler;
mod oil_grade;
mod pipe_bore;
mod propeller;
mod sender_curve;
mod tank_table;
mod timing;
mod top_dead_centre;
mod valve_lash;
mod vents;
mod wet_exhaust;

use setup::doubt;
use setup::given::Given;
use setup::job::Refused;
use setup::jobs::job;
use setup::worked::Worked;

/// A job worked from what is told alone.
fn try_work(word: &str, told: &[(&str, &str)]) -> Result<Worked, Refused> {
    let job = job(word).unwrap_or_else(|| panic!("there is a job {word}"));
    let told: Vec<(String, String)> = told.iter().map(|(key, value)| ((*key).into(), (*value).into())).collect();
    doubt::work(job, &Given::read(job, &told, &[])?)
}

/// The same, where it must come out.
#[track_caller]
fn work(word: &str, told: &[(&str, &str)]) -> Worked {
    try_work(word, told).unwrap_or_else(|refused| panic!("{word}: {refused:?}"))
}

/// A result of it [SI].
#[track_caller]
fn value(worked: &Worked, key: &str) -> f64 {
    worked.value(key).unwrap_or_else(|| panic!("no {key} in {:?}", worked.results))
}

/// It must be refused, and say this.
#[track_caller]
fn refuses(word: &str, told: &[(&str, &str)], says: &str) {
    let refused = try_work(word, told).expect_err("it is refused");
    let all = refused.0.iter().any(|refused| format!("{} {}", refused.why, refused.advice).contains(says));
    assert!(all, "{word} does not say “{says}”: {refused:?}");
    assert!(refused.0.iter().all(|refused| !refused.advice.is_empty()), "it says what to do");
}

#[track_caller]
fn near(ours: f64, theirs: f64, within: f64) {
    assert!((ours - theirs).abs() <= within, "{ours} is not {theirs} within {within}");
}
