//! One value heard: in words, and for programs.

use crate::json::decode as json;
use bus::channel::kind_word;
use bus::heard::{Heading, Reading, Sender, What};
use bus::stamp::Stamp;
use bus::table::{Field, List};
use measure::quantity::Quantity;
use measure::unit;

/// A line of a value, as it comes.
pub fn value(heading: &Heading, field: &Field<'_>, reading: Reading) -> String {
    let stamp = heading.stamp.to_string();
    let stamp = if stamp.is_empty() { stamp } else { format!("{stamp} ") };
    let said = said(field.name, field.quantity, field.unit, field.list, reading);
    format!("line {}: {stamp}{} {}: {said}\n", heading.line, of(heading), field.name)
}

/// Whose value: `127489 from 16 instance 0`.
pub fn of(heading: &Heading) -> String {
    let instance = heading.instance.map_or_else(String::new, |instance| format!(" instance {instance}"));
    let kind = heading.kind.map_or_else(String::new, |kind| format!(" kind {}", kind_word(heading.what, kind)));
    format!("{} from {}{instance}{kind}", heading.what, heading.sender)
}

/// What a field says, in the unit that pages use.
pub fn said(
    name: &str,
    quantity: Option<Quantity>,
    unit: &str,
    list: Option<&'static List>,
    reading: Reading,
) -> String {
    match reading {
        Reading::Value(value) => match quantity {
            // The only ones of their sort: a day and a time of day, told as seconds.
            Some(Quantity::Duration) if name == "date" => {
                Stamp::Universal(nanos(value)).to_string().chars().take(10).collect()
            }
            Some(Quantity::Duration) if name == "time" => Stamp::Day(nanos(value)).to_string(),
            Some(Quantity::Ratio) => unit::print(value, Quantity::Ratio, "%").unwrap_or_default(),
            Some(quantity) => unit::print_usual(value, quantity),
            None if unit.is_empty() => value.to_string(),
            None => format!("{value} {unit}"),
        },
        Reading::Choice(choice) => list.map_or_else(|| choice.to_string(), |list| list.words(choice)),
        Reading::Letter(letter) => letter.to_string(),
        Reading::Trouble(trouble) => {
            let often = trouble.occurrences.map_or_else(String::new, |times| format!(", {times} times so far"));
            let old = if trouble.old_layout { ", in an older layout: it may mean another" } else { "" };
            format!("what {}, how {}{often}{old}", trouble.spn, trouble.fmi)
        }
        Reading::Absent(why) => why.name().into(),
    }
}

fn nanos(seconds: f64) -> i64 {
    (seconds * 1e9).round() as i64
}

/// The same for programs.
pub fn shape<'a>(file: &'a str, heading: &Heading, field: &Field<'a>, reading: Reading) -> json::Value<'a> {
    let stamp = heading.stamp.to_string();
    json::Value {
        file,
        line: heading.line,
        time: Some(stamp).filter(|stamp| !stamp.is_empty()),
        what: what(heading),
        instance: heading.instance,
        kind: heading.kind.map(|kind| kind_word(heading.what, kind)),
        field: field.name,
        reading: read(field.unit, field.list, reading),
    }
}

/// Message and sender, for programs.
pub fn what(heading: &Heading) -> json::What {
    match (heading.what, heading.sender) {
        (What::Message(message), Sender::Address(source)) => json::What::Message { pgn: message.pgn, source },
        (What::Message(message), Sender::Talker(_)) => json::What::Message { pgn: message.pgn, source: 255 },
        (What::Sentence(sentence), sender) => {
            json::What::Sentence { sentence: sentence.id, talker: sender.to_string() }
        }
    }
}

/// What a field says, for programs.
pub fn read(unit: &str, list: Option<&'static List>, reading: Reading) -> json::Reading {
    match reading {
        Reading::Value(value) => json::Reading::Value { value, unit: unit.into() },
        Reading::Choice(choice) => {
            json::Reading::Choice { choice, means: list.map_or_else(String::new, |list| list.words(choice)) }
        }
        Reading::Letter(letter) => json::Reading::Letter { letter },
        Reading::Trouble(trouble) => json::Reading::Trouble {
            spn: trouble.spn,
            fmi: trouble.fmi,
            occurrences: trouble.occurrences,
            old_layout: trouble.old_layout,
        },
        Reading::Absent(why) => json::Reading::Absent { absent: why.name() },
    }
}
