//! How long before an alert of a gauge counts: `on-delay`, `off-delay` and `deadband`.

use crate::finding::{Finding, Problem};
use crate::plant::TellDelays;
use crate::told::Entry;
use measure::quantity::Quantity;

/// The keys.
pub(crate) const KEYS: &[&str] = &["on-delay", "off-delay", "deadband"];
/// A longer delay would be no delay but a silence [s].
const LONGEST: f64 = 600.0;

/// What is told of a gauge.
pub(crate) fn delays(name: &str, told: &[Entry], quantity: Quantity, findings: &mut Vec<Finding>) -> TellDelays {
    let find = |key: &str| told.iter().find(|entry| entry.key == key);
    let mut seconds = |key: &str| {
        let entry = find(key)?;
        let seconds = entry.value_of(Quantity::Duration, findings)?;
        if (0.0..=LONGEST).contains(&seconds) {
            return Some(seconds);
        }
        let problem = Problem::OutOfRange {
            part: format!("`{name}`"),
            parameter: key.into(),
            given: format!("{seconds} s"),
            low: "0 s".into(),
            high: "10 min".into(),
        };
        findings.push(Finding::at(problem, entry.place.clone()));
        None
    };
    let (on, off) = (seconds("on-delay"), seconds("off-delay"));
    let deadband = find("deadband").and_then(|entry| entry.change_of(quantity, findings));
    TellDelays { on, off, deadband }
}
