//! `heard = "…"` of a gauge: which value of a bus it is.

use super::gauges::Sort;
use crate::finding::{Finding, Problem};
use crate::told::Entry;
use bus::channel::{Channel, ChannelError};
use measure::quantity::Quantity;

/// Reads what a gauge is heard as: a value of what it reads, or of what its sender gives.
pub(crate) fn heard(
    name: &str,
    sort: Sort,
    quantity: Quantity,
    gives: Option<Quantity>,
    told: &[Entry],
    findings: &mut Vec<Finding>,
) -> Option<Channel> {
    let entry = told.iter().find(|entry| entry.key == "heard")?;
    let text = entry.text(findings)?;
    let problem = match Channel::parse(text) {
        Ok(_) if sort == Sort::Alarm => Problem::Unfit {
            what: format!("`{name}` is an alarm, and a value of a bus is what a gauge reads"),
            advice: "Describe a [gauge.…] with it, and leave the alarm as it is.",
        },
        Ok(channel) => match channel.quantity() {
            Some(of) if of != quantity && Some(of) != gives => Problem::Unfit {
                what: format!("`{channel}` tells {}, and `{name}` reads {}", of.name(), quantity.name()),
                advice: "Take another field of the message, or change what the gauge reads.",
            },
            _ => return Some(channel),
        },
        Err(ChannelError::UnknownField { word, nearest, known, .. }) => Problem::UnknownChoice {
            key: "heard".into(),
            word,
            nearest: nearest.map(str::to_string),
            known: known.into_iter().map(str::to_string).collect(),
        },
        Err(error) => Problem::Unfit { what: error.to_string(), advice: error.advice() },
    };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}
