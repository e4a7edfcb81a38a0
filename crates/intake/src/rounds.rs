//! Rounds written by hand, as TOML.
//!
//! ```toml
//! zone = "+02:00"                     # ship's time, where nothing else is said
//! [[round]]
//! time = "2026-07-02 08:00"
//! readings = { coolant = "78 °C", oil-pressure = "2.4 bar" }
//! [[round]]
//! time = "2026-07-03 08:00"
//! zone = "+01:00"                     # the clock was put back
//! readings = { coolant = "79 °C" }
//! ```

use crate::clock::Clock;
use crate::fault::Refusal;
use crate::intake::Sink;
use crate::names::Names;
use crate::objects::{READINGS, record};
use serde_json::{Map, Value};
use toml_edit::{Document, Item, TableLike};

/// The largest file of rounds [bytes].
pub(crate) const LARGEST: usize = 1 << 20;

/// A round with its line, as an object of a line of JSON would be.
pub(crate) type Round = (u64, Map<String, Value>);

/// Every round of a file.
pub(crate) fn read(text: &str) -> Result<Vec<Round>, Refusal> {
    let line_of = |at: usize| text.as_bytes().iter().take(at).filter(|byte| **byte == b'\n').count() + 1;
    let wrong = |at: Option<std::ops::Range<usize>>, why: &str| Refusal::Rounds {
        line: line_of(at.map_or(0, |at| at.start)),
        why: why.lines().next_back().unwrap_or(why).trim().to_string(),
    };
    let document = Document::parse(text).map_err(|error| wrong(error.span(), error.message()))?;
    let zone = document.get("zone").and_then(Item::as_str);
    let rounds = document.get("round").ok_or_else(|| wrong(None, "there is no [[round]] in it"))?;
    let rounds = rounds.as_array_of_tables().ok_or_else(|| wrong(rounds.span(), "`round` is written [[round]]"))?;
    let mut read = Vec::new();
    for round in rounds {
        let mut object = Map::new();
        if let Some(zone) = zone {
            object.insert("zone".into(), zone.into());
        }
        for (key, item) in round {
            // Who took it, and what else is noted, is no reading.
            if !["time", "date", "zone", READINGS].contains(&key) {
                continue;
            }
            let value = value(item, key == READINGS).ok_or_else(|| wrong(item.span(), "this cannot be read"))?;
            object.insert(key.into(), value);
        }
        read.push((line_of(round.span().map_or(0, |at| at.start)) as u64, object));
    }
    Ok(read)
}

fn value(item: &Item, table: bool) -> Option<Value> {
    if table {
        let table: &dyn TableLike = item.as_table_like()?;
        let values = table.iter().map(|(key, item)| Some((key.to_string(), value(item, false)?)));
        return values.collect::<Option<Map<_, _>>>().map(Value::Object);
    }
    let value = item.as_value()?;
    if let Some(whole) = value.as_integer() {
        return Some(whole.into());
    }
    if let Some(number) = value.as_float() {
        return serde_json::Number::from_f64(number).map(Value::Number);
    }
    let time = value.as_datetime().map(ToString::to_string);
    value.as_str().map(str::to_string).or(time).map(Value::String)
}

/// Takes the readings of all rounds.
pub(crate) fn take(rounds: &[Round], clock: &mut Clock, names: &mut Names<'_>, sink: &mut dyn Sink) {
    for (line, round) in rounds {
        record(*line, round, clock, names, sink);
    }
}
