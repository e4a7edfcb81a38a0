//! Lines of JSON: an object a line, a gauge a key; or one value a line, with the keys of a long table.

use crate::clock::Clock;
use crate::columns::Role;
use crate::fault::Fault;
use crate::intake::Sink;
use crate::names::Names;
use crate::value::Decimal;
use serde_json::{Map, Value};

/// The key whose object holds the readings, where they do not stand beside the time.
pub(crate) const READINGS: &str = "readings";

/// Reads one line.
pub(crate) fn line(number: u64, line: &[u8], clock: &mut Clock, names: &mut Names<'_>, sink: &mut dyn Sink) {
    let line = line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line).trim_ascii();
    if line.is_empty() {
        return;
    }
    match serde_json::from_slice::<Map<String, Value>>(line) {
        Ok(object) => record(number, &object, clock, names, sink),
        Err(error) => sink.fault(number, Fault::Object { why: error.to_string().replace("line 1 ", "") }),
    }
}

/// The time of an object, and its zone, as they are written.
pub(crate) fn when(object: &Map<String, Value>, names: &mut Names<'_>) -> (Option<String>, Option<String>) {
    let (mut date, mut time, mut zone) = (None, None, None);
    for (key, value) in object {
        let place = match names.of(key, "").role {
            Role::Date => &mut date,
            Role::Time => &mut time,
            Role::Zone => &mut zone,
            _ => continue,
        };
        *place = place.take().or(written(value));
    }
    let time = match (date, time) {
        (Some(date), Some(time)) => Some(format!("{date} {time}")),
        (date, time) => time.or(date),
    };
    (time, zone)
}

fn written(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    }
}

/// Reads one object.
pub(crate) fn record(
    number: u64,
    object: &Map<String, Value>,
    clock: &mut Clock,
    names: &mut Names<'_>,
    sink: &mut dyn Sink,
) {
    let (time, zone) = when(object, names);
    let time = time.ok_or(Fault::NoTime);
    let time = match time.and_then(|time| clock.time(time.as_bytes(), zone.as_deref().map(str::as_bytes))) {
        Ok(time) => time,
        Err(fault) => return sink.fault(number, fault),
    };
    let find = |names: &mut Names<'_>, wanted: fn(&Role) -> bool| {
        object.iter().find(|(key, _)| wanted(&names.of(key, "").role)).map(|(_, value)| value)
    };
    let name = find(names, |role| matches!(role, Role::Name)).and_then(Value::as_str);
    let value = find(names, |role| matches!(role, Role::Value));
    if let (Some(name), Some(value)) = (name, value) {
        let unit = find(names, |role| matches!(role, Role::Unit)).and_then(Value::as_str);
        return one(number, time, (name, unit.unwrap_or("")), value, names, sink);
    }
    for (key, value) in object {
        match value {
            Value::Object(readings) if key == READINGS => {
                for (name, value) in readings {
                    one(number, time, (name, ""), value, names, sink);
                }
            }
            _ => one(number, time, (key, ""), value, names, sink),
        }
    }
}

/// One value of the gauge of this name and unit.
fn one(line: u64, time: i64, (name, unit): (&str, &str), value: &Value, names: &mut Names<'_>, sink: &mut dyn Sink) {
    match value {
        Value::Null => {}
        Value::Number(number) => match number.as_f64() {
            Some(number) => names.number(line, time, name, unit, number, sink),
            None => names.text(line, time, name, unit, b"endless", Decimal::Point, sink),
        },
        Value::String(text) => names.text(line, time, name, unit, text.as_bytes(), Decimal::Point, sink),
        other => names.text(line, time, name, unit, other.to_string().as_bytes(), Decimal::Point, sink),
    }
}
