//! Readings as another program sends them, each by itself right or wrong.

use crate::aboard::Given;
use bus::stamp::Stamp;
use measure::nearest::nearest;
use plant::names::folded;
use plant::plant::{Gauge, Plant};
use serde::Serialize;
use serde_json::Value;
use watch::dial;

/// Readings taken at a time.
pub const MOST: usize = 1_000;
/// Clocks of programs may be ahead of this machine's by so much [ms].
const AHEAD: i64 = 10_000;
/// How it should have been written.
pub const LIKE: &str = "Write it such as {\"readings\": [{\"gauge\": \"coolant\", \"value\": 82.5, \"unit\": \"°C\"}]}; /api/1/openapi.json says all.";
/// What one reading may say.
const KEYS: [&str; 4] = ["gauge", "value", "unit", "time"];

/// Why a reading is not taken.
#[derive(Debug, PartialEq, Serialize)]
pub struct Refused {
    /// Place in what was sent, from 0.
    index: usize,
    /// The gauge as it was named, if it was.
    gauge: Option<String>,
    fault: String,
    advice: String,
}

/// Reads what was sent at this time [ms since 1970]: the good ones, and the others with what is wrong.
///
/// # Errors
/// Why it is no list of readings at all.
pub fn read(body: &[u8], plant: &Plant, now: i64) -> Result<(Vec<Given>, Vec<Refused>), String> {
    let told: Value = serde_json::from_slice(body).map_err(|why| format!("this is not JSON: {why}"))?;
    let Some(all) = told.get("readings").and_then(Value::as_array) else {
        return Err("there is no list `readings` in what was sent".into());
    };
    if all.len() > MOST {
        return Err(format!("there are {} readings in what was sent, and {MOST} are taken at a time", all.len()));
    }
    let (mut good, mut refused) = (Vec::new(), Vec::new());
    for (index, item) in all.iter().enumerate() {
        match one(item, plant, now) {
            Ok(given) => good.push(given),
            Err((fault, advice)) => {
                let gauge = item.get("gauge").and_then(Value::as_str).map(|name| name.chars().take(80).collect());
                refused.push(Refused { index, gauge, fault, advice });
            }
        }
    }
    Ok((good, refused))
}

type Wrong = (String, String);

fn one(item: &Value, plant: &Plant, now: i64) -> Result<Given, Wrong> {
    let wrong = |fault: &str, advice: &str| (fault.to_string(), advice.to_string());
    let Some(told) = item.as_object() else { return Err(wrong("this is no reading", LIKE)) };
    if let Some(key) = told.keys().find(|key| !KEYS.contains(&key.as_str())) {
        let key: String = key.chars().take(40).collect();
        return Err((format!("`{key}` is nothing a reading says"), format!("Known are {}.", KEYS.join(", "))));
    }
    let Some(name) = told.get("gauge").and_then(Value::as_str) else {
        return Err(wrong("the gauge is not named", "Write its name as it stands in the vessel file."));
    };
    let name = folded(name);
    let Some(id) = plant.gauge(&name) else {
        let near = nearest(&name, plant.gauges.iter().map(|gauge| gauge.name.as_str()));
        let advice = near.map_or("/api/1/gauges lists them.".into(), |near| format!("Did you mean `{near}`?"));
        let name: String = name.chars().take(80).collect();
        return Err((format!("there is no gauge `{name}`"), advice));
    };
    let value = value(told.get("value"), told.get("unit"), &plant[id])?;
    let time = match told.get("time") {
        None | Some(Value::Null) => None,
        Some(time) => Some(moment(time, now)?),
    };
    Ok(Given { gauge: id, value, time })
}

/// The value [SI].
fn value(value: Option<&Value>, told: Option<&Value>, gauge: &Gauge) -> Result<f64, Wrong> {
    if gauge.trips.is_some() {
        return match value.map(|value| (value.as_bool(), value.as_f64())) {
            Some((Some(on), _)) => Ok(f64::from(on)),
            Some((_, Some(on))) if on == 0.0 || on == 1.0 => Ok(on),
            _ => Err((
                format!("`{}` is an alarm", gauge.name),
                "Write true when it is on and false when it is off.".into(),
            )),
        };
    }
    let Some(number) = value.and_then(Value::as_f64).filter(|number| number.is_finite()) else {
        return Err(("the value is no number".into(), "Write a number, and its unit as `unit`.".into()));
    };
    // What tells no unit is as it stands on the dial.
    let told = told.filter(|told| !told.is_null()).map(|told| told.as_str().unwrap_or_default());
    dial::of_dial(gauge, number, told).ok_or_else(|| {
        let word: String = told.unwrap_or_default().chars().take(40).collect();
        let quantity = gauge.quantity;
        let advice = format!("Write a unit of {}, such as {}.", quantity.name(), quantity.example());
        (format!("`{word}` is no unit of what `{}` reads", gauge.name), advice)
    })
}

/// The time [ms since 1970].
fn moment(time: &Value, now: i64) -> Result<i64, Wrong> {
    let advice = "Write it such as 2026-07-02T06:01:33.5Z, or leave it out: then it is now.";
    let nanos = time.as_str().and_then(Stamp::parse).and_then(|stamp| match stamp {
        Stamp::Universal(nanos) => Some(nanos),
        _ => None,
    });
    let Some(nanos) = nanos else { return Err(("the time cannot be read".into(), advice.into())) };
    let time = nanos.div_euclid(1_000_000);
    if time > now + AHEAD {
        let ahead = crate::page::long((time - now) as f64 * 1e-3);
        let advice = "Set the clock of the one or the other, or leave the time out: then it is now.";
        return Err((format!("the time lies {ahead} ahead of this machine's clock"), advice.into()));
    }
    Ok(time)
}

#[cfg(test)]
mod tests {
    use super::*;
    use plant::plant::GaugeId;

    const VESSEL: &str = "[vessel]\nname = \"Small\"\n[engine.main]\nkind = \"diesel\"\nrated = { power = \"60 kW\", speed = \
                          \"1800 rpm\" }\n[circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \
                          \"elbow\"]\n[gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\nunit = \
                          \"°F\"\n[alarm.hot]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\ntrips-above = \"98 °C\"\n";
    /// 2026-07-02T06:00:00Z [ms].
    const NOW: i64 = 1_782_972_000_000;

    fn small() -> Plant {
        plant::reader::read(VESSEL).0.expect("the small vessel loads")
    }

    fn faults(items: &str) -> Vec<String> {
        let body = format!("{{\"readings\": [{items}]}}");
        let (_, refused) = read(body.as_bytes(), &small(), NOW).expect("it is a list");
        refused.into_iter().map(|refused| refused.fault).collect()
    }

    #[test]
    fn good_readings_are_taken_in_any_unit() {
        let body = r#"{"readings": [
            {"gauge": "coolant", "value": 212},
            {"gauge": "Coolant", "value": 100, "unit": "°C", "time": "2026-07-02T08:00:00.5+02:00"},
            {"gauge": "hot", "value": true}
        ]}"#;
        let (good, refused) = read(body.as_bytes(), &small(), NOW).expect("it is a list");
        assert_eq!(refused, []);
        assert!(good.iter().take(2).all(|given| given.gauge == GaugeId(0) && (given.value - 373.15).abs() < 1e-9));
        let times: Vec<_> = good.iter().map(|given| given.time).collect();
        assert_eq!((times, good[2].value), (vec![None, Some(NOW + 500), None], 1.0));
    }

    #[test]
    fn each_bad_reading_is_told_by_itself() {
        for (item, fault) in [
            ("3", "this is no reading"),
            ("{\"value\": 3}", "the gauge is not named"),
            ("{\"gauge\": \"coolnt\", \"value\": 3}", "there is no gauge `coolnt`"),
            ("{\"gauge\": \"coolant\", \"value\": \"3\"}", "the value is no number"),
            ("{\"gauge\": \"coolant\"}", "the value is no number"),
            ("{\"gauge\": \"coolant\", \"value\": 3, \"unit\": \"bar\"}", "`bar` is no unit of what `coolant` reads"),
            ("{\"gauge\": \"coolant\", \"value\": 3, \"time\": \"yesterday\"}", "the time cannot be read"),
            ("{\"gauge\": \"coolant\", \"value\": 3, \"time\": 3}", "the time cannot be read"),
            (
                "{\"gauge\": \"coolant\", \"value\": 3, \"time\": \"2026-07-02T07:00:00Z\"}",
                "the time lies 60 min ahead of this machine's clock",
            ),
            ("{\"gauge\": \"hot\", \"value\": 97}", "`hot` is an alarm"),
            ("{\"gauge\": \"coolant\", \"vaule\": 97}", "`vaule` is nothing a reading says"),
        ] {
            assert_eq!(faults(item), [fault], "{item}");
        }
        assert_eq!(
            faults("{\"gauge\": \"coolant\", \"value\": 200}, 3").len(),
            1,
            "the good one is not refused with it"
        );
    }

    #[test]
    fn what_is_no_list_of_readings_is_refused_whole() {
        let many = format!("{{\"readings\": [{}0]}}", "0,".repeat(MOST));
        for body in ["", "[]", "{}", "{\"readings\": 3}", "{\"readings\": [", many.as_str()] {
            assert!(read(body.as_bytes(), &small(), NOW).is_err(), "{body}");
        }
    }
}
