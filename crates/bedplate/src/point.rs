//! The operating point as written on the command line, and as printed.

use crate::stop::{Stop, tell};
use measure::quantity::Quantity;
use measure::unit::print_usual;
use parts::laws::Point;
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

/// Is the engine stopped?
pub fn stopped(point: &Point<f64>) -> bool {
    point.speed < 1.0
}

/// "at 1500 rpm, sea 18 °C"; out of gear is said, a usual load is not.
pub fn in_words(point: &Point<f64>) -> String {
    let sea = print_usual(point.sea, Quantity::Temperature);
    if stopped(point) {
        return format!("stopped and cold, sea {sea}");
    }
    let speed = speed(point.speed);
    let load = match point.load {
        load if load < 0.02 => ", out of gear".to_string(),
        load if (load - 1.0).abs() > 0.02 => format!(", load {:.0} % of calm water", 100.0 * load),
        _ => String::new(),
    };
    format!("at {speed}{load}, sea {sea}")
}

/// A speed [rad/s] to the nearest ten turns a minute, as tachometers are read.
pub fn speed(speed: f64) -> String {
    let turns = speed * 60.0 / std::f64::consts::TAU;
    format!("{:.0} rpm", (turns / 10.0).round() * 10.0)
}
