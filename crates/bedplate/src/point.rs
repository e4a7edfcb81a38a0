//! The operating point as written on the command line.

use crate::stop::{Stop, tell};
use plant::evidence::ToldPoint;
use plant::finding::{Finding, render};
use plant::plant::Plant;
use std::fmt::Write as _;

/// Reads `speed=1500rpm`, `sea=18C` and so on.
///
/// # Errors
/// [`Stop::BadInput`] with everything that is wrong with them.
pub fn told(items: &[String], plant: &Plant) -> Result<ToldPoint, Stop> {
    let mut pairs = Vec::new();
    let mut faults = String::new();
    for item in items {
        match item.split_once('=') {
            Some((key, value)) => pairs.push((key.trim().to_string(), value.trim().to_string())),
            None => {
                let _ = writeln!(
                    faults,
                    "--at {item}: fault: there is no equals sign\n  Write it such as --at speed=1500rpm."
                );
            }
        }
    }
    let (at, findings) = plant::evidence_reader::point_for(&pairs, plant);
    let shown: String = findings.iter().map(|finding| render(finding, "", "--at")).collect();
    if !faults.is_empty() || findings.iter().any(Finding::is_fatal) {
        return Err(Stop::BadInput(faults + &shown));
    }
    tell(shown.trim_end());
    Ok(at)
}
