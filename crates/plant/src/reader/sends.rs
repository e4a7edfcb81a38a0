//! `sends = { … }` of a gauge, what its sender gives; and `[[gauge.….calibrated]]`, what it was found to be off.

use crate::finding::{Finding, Problem};
use crate::plant::Gauge;
use crate::sends::{Calibration, Curve, Law};
use crate::told::Entry;
use measure::quantity::Quantity;
use measure::unit;
use physics::constants::ZERO_CELSIUS;
use physics::sender::Thermistor;
use toml_edit::Value;

/// Keys of `sends`.
const KEYS: &[&str] =
    &["platinum", "thermistor", "at", "beta", "thermocouple", "terminals", "points", "ends", "stations"];
/// Keys of a calibration.
const FOUND: &[&str] = &["on", "reads", "true", "within", "by"];
/// What a sender may give.
const GIVES: [Quantity; 3] = [Quantity::Resistance, Quantity::Current, Quantity::Voltage];
/// Where the terminals of a thermocouple are as warm as nobody told [K]: a warm engine room.
const TERMINALS: f64 = ZERO_CELSIUS + 35.0;
/// Points that will be read.
const MOST: usize = 200;

/// Reads what the sender of a gauge gives.
pub(super) fn sends(gauge: &Gauge, told: &[Entry], findings: &mut Vec<Finding>) -> Option<Curve> {
    let entry = told.iter().find(|entry| entry.key == "sends")?;
    let keys = entry.table(findings);
    for other in keys.iter().filter(|other| !KEYS.contains(&other.key.as_str())) {
        findings.push(other.unknown(&format!("`sends` of `{}`", gauge.name), KEYS));
    }
    let find = |key: &str| keys.iter().find(|entry| entry.key == key);
    let unfit = |entry: &Entry, what: String, advice| Finding::at(Problem::Unfit { what, advice }, entry.place.clone());
    let thermal = ["platinum", "thermistor", "thermocouple"].into_iter().find_map(find);
    if let Some(key) = thermal.filter(|_| gauge.quantity != Quantity::Temperature) {
        let what = format!("`{}` sends a temperature, and `{}` reads {}", key.key, gauge.name, gauge.quantity.name());
        findings.push(unfit(key, what, "Write points or ends: what it gives, and what that means."));
        return None;
    }
    let curve = if let Some(key) = find("platinum") {
        let nominal = key.value_of(Quantity::Resistance, findings).filter(|ohms| *ohms > 0.0)?;
        Curve { gives: Quantity::Resistance, law: Law::Platinum(nominal) }
    } else if let Some(key) = find("thermistor") {
        Curve { gives: Quantity::Resistance, law: Law::Thermistor(thermistor(key, &find, findings)?) }
    } else if let Some(key) = find("thermocouple") {
        key.choice(&["k"], findings)?;
        let told = find("terminals").and_then(|key| key.value_of(Quantity::Temperature, findings));
        Curve { gives: Quantity::Voltage, law: Law::TypeK(told.unwrap_or(TERMINALS)) }
    } else if let Some(key) = find("points") {
        points(gauge, key, &pairs(key, findings)?, findings)?
    } else if let Some(key) = find("ends") {
        let marks = key.list(findings);
        let [(low, _), (high, _)] = marks.as_slice() else {
            findings.push(key.wrong("what it gives at the lowest and at the highest mark, as [\"4 mA\", \"20 mA\"]"));
            return None;
        };
        let mark = |value: f64| unit::print(value, gauge.quantity, &gauge.unit).unwrap_or_default();
        let ends = [(low.to_string(), mark(gauge.scale.0)), (high.to_string(), mark(gauge.scale.1))];
        let mut curve = points(gauge, key, &ends, findings)?;
        // A printed mark is rounded; the scale itself is not.
        if let Law::Points(points) = &mut curve.law {
            let rising = points[0].1 < points[1].1;
            (points[0].1, points[1].1) = if rising { gauge.scale } else { (gauge.scale.1, gauge.scale.0) };
        }
        curve
    } else {
        let what = format!("`sends` of `{}` does not say how", gauge.name);
        let advice =
            "Write one of platinum = \"100 ohm\", thermistor = …, points = [[\"240 ohm\", \"0 bar\"], …] or ends = …";
        findings.push(unfit(entry, what, advice));
        return None;
    };
    if curve.gives == gauge.quantity {
        let what = format!("`{}` reads what its sender gives, {}", gauge.name, gauge.quantity.name());
        findings.push(unfit(entry, what, "Leave `sends` out: nothing has to be made of it."));
        return None;
    }
    match find("stations") {
        Some(key) => for_stations(gauge, curve, key, findings),
        None => Some(curve),
    }
}

/// A sender that is made for two dials has half the resistance of the one in the table. Common practice, no source.
fn for_stations(gauge: &Gauge, curve: Curve, key: &Entry, findings: &mut Vec<Finding>) -> Option<Curve> {
    let count = key.digits().and_then(|text| text.trim().parse::<u8>().ok()).filter(|count| (1..=2).contains(count));
    match (count, curve) {
        (Some(1), curve) => Some(curve),
        (Some(_), Curve { gives: Quantity::Resistance, law: Law::Points(points) }) => {
            let half = points.into_iter().map(|(ohms, value)| (0.5 * ohms, value)).collect();
            Some(Curve { gives: Quantity::Resistance, law: Law::Points(half) })
        }
        (Some(_), _) => {
            let what = format!("only a table of resistances is halved for two dials, and `{}` has none", gauge.name);
            let advice = "Leave `stations` out, or write the points of the sender for one dial.";
            findings.push(Finding::at(Problem::Unfit { what, advice }, key.place.clone()));
            None
        }
        (None, _) => {
            findings.push(key.wrong("1 or 2: for how many dials it is made"));
            None
        }
    }
}

fn thermistor<'b, 'a: 'b>(
    key: &Entry<'a>,
    find: &impl Fn(&str) -> Option<&'b Entry<'a>>,
    findings: &mut Vec<Finding>,
) -> Option<Thermistor> {
    if key.value.as_value().is_some_and(Value::is_array) {
        let list = pairs(key, findings)?;
        let read: Option<Vec<(f64, f64)>> = list
            .iter()
            .map(|(ohms, at)| {
                Some((of(key, ohms, Quantity::Resistance, findings)?, of(key, at, Quantity::Temperature, findings)?))
            })
            .collect();
        let curve = <[(f64, f64); 3]>::try_from(read?)
            .ok()
            .filter(|p| p.iter().all(|p| p.0 > 0.0))
            .and_then(Thermistor::through);
        if curve.is_none() {
            findings.push(key.wrong("three points of a falling curve, as [[\"5.5 kohm\", \"0 C\"], …]"));
        }
        return curve;
    }
    let ohms = key.value_of(Quantity::Resistance, findings).filter(|ohms| *ohms > 0.0)?;
    let at = find("at").map_or(Some(298.15), |key| key.value_of(Quantity::Temperature, findings))?;
    let Some(beta) = find("beta") else {
        let what = "a thermistor of one point needs its beta".into();
        let advice = "Write beta = \"3950 K\" beside it, or three points of its table instead.";
        findings.push(Finding::at(Problem::Unfit { what, advice }, key.place.clone()));
        return None;
    };
    let kelvin = beta.value_of(Quantity::Temperature, findings)?;
    if !(500.0..20_000.0).contains(&kelvin) {
        findings.push(beta.wrong("some thousands of kelvin, as \"3950 K\""));
        return None;
    }
    Some(Thermistor::of_beta(ohms, at, kelvin))
}

/// Straight lines between what was told.
fn points(gauge: &Gauge, key: &Entry, list: &[(String, String)], findings: &mut Vec<Finding>) -> Option<Curve> {
    let first = &list.first()?.0;
    let Some(gives) = GIVES.into_iter().find(|gives| unit::parse(first, *gives).is_ok()) else {
        let what = format!("`{first}` is nothing that a sender gives");
        let advice = "Write ohm, mA or V first, and what that means after it.";
        findings.push(Finding::at(Problem::Unfit { what, advice }, key.place.clone()));
        return None;
    };
    let mut points: Vec<(f64, f64)> = Vec::new();
    for (signal, value) in list {
        // Suction is written as the dial shows it.
        let turn = if gauge.vacuum { -1.0 } else { 1.0 };
        points.push((of(key, signal, gives, findings)?, turn * of(key, value, gauge.quantity, findings)?));
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rises = |of: fn(&(f64, f64)) -> f64| points.windows(2).all(|pair| of(&pair[0]) < of(&pair[1]));
    let falls = points.windows(2).all(|pair| pair[0].1 > pair[1].1);
    if points.len() < 2 || !rises(|p| p.0) || !(rises(|p| p.1) || falls) {
        let what = format!("what the sender of `{}` gives does not rise or fall all the way", gauge.name);
        let advice = "Write two points or more, each signal once, so that every signal means one thing.";
        findings.push(Finding::at(Problem::Unfit { what, advice }, key.place.clone()));
        return None;
    }
    Some(Curve { gives, law: Law::Points(points) })
}

fn of(key: &Entry, text: &str, quantity: Quantity, findings: &mut Vec<Finding>) -> Option<f64> {
    match unit::parse(text, quantity) {
        Ok(value) => Some(value),
        Err(error) => {
            findings.push(Finding::at(Problem::BadUnit { key: key.key.clone(), quantity, error }, key.place.clone()));
            None
        }
    }
}

/// A list of pairs of texts.
fn pairs(key: &Entry, findings: &mut Vec<Finding>) -> Option<Vec<(String, String)>> {
    let array = key.value.as_value().and_then(Value::as_array).filter(|array| array.len() <= MOST);
    let pair = |value: &Value| match value.as_array()?.iter().map(Value::as_str).collect::<Vec<_>>()[..] {
        [Some(a), Some(b)] => Some((a.to_string(), b.to_string())),
        _ => None,
    };
    let list = array.and_then(|array| array.iter().map(pair).collect::<Option<Vec<_>>>());
    if list.is_none() {
        findings.push(key.wrong("a list of pairs, as [[\"240 ohm\", \"0 bar\"], [\"33 ohm\", \"7 bar\"]]"));
    }
    list
}

/// Reads what a gauge was found to be off, in order of dates.
pub(super) fn calibrations(gauge: &Gauge, told: &[Entry], findings: &mut Vec<Finding>) -> Vec<Calibration> {
    let Some(entry) = told.iter().find(|entry| entry.key == "calibrated") else { return Vec::new() };
    let Some(tables) = entry.value.as_array_of_tables() else {
        findings.push(entry.wrong("a section of its own for each time, as [[gauge.coolant.calibrated]]"));
        return Vec::new();
    };
    let mut list: Vec<Calibration> = Vec::new();
    for table in tables.iter().take(MOST) {
        let keys = crate::told::entries(table, findings);
        list.extend(calibration(gauge, entry, &keys, findings));
    }
    list.sort_by_key(|one| one.on);
    list
}

fn calibration(gauge: &Gauge, entry: &Entry, keys: &[Entry], findings: &mut Vec<Finding>) -> Option<Calibration> {
    for other in keys.iter().filter(|other| !FOUND.contains(&other.key.as_str())) {
        findings.push(other.unknown(&format!("a calibration of `{}`", gauge.name), FOUND));
    }
    let find = |key: &'static str, example, findings: &mut Vec<Finding>| {
        let found = keys.iter().find(|entry| entry.key == key);
        if found.is_none() {
            let of = format!("a calibration of `{}`", gauge.name);
            findings.push(Finding::at(Problem::MissingKey { key, of, example }, entry.key_place.clone()));
        }
        found
    };
    let (on, reads, so) =
        (find("on", "2026-05-03", findings), find("reads", "\"83 °C\"", findings), find("true", "\"80 °C\"", findings));
    let (on, reads, so) = (on?.day(findings)?, reads?, so?);
    let mut values = |key: &Entry| -> Option<Vec<f64>> {
        let list = key.list(findings);
        // Suction is written as the dial shows it.
        let turn = if gauge.vacuum { -1.0 } else { 1.0 };
        list.iter().map(|(text, _)| Some(turn * of(key, text, gauge.quantity, findings)?)).collect()
    };
    let (shown, truth) = (values(reads)?, values(so)?);
    let mut found: Vec<(f64, f64)> = shown.iter().copied().zip(truth.iter().copied()).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rises = found.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1);
    if shown.len() != truth.len() || found.is_empty() || !rises {
        let what = format!("what `{}` showed and what was so do not go together", gauge.name);
        let advice = "Write as many values behind `true` as behind `reads`, in the same order, each once.";
        findings.push(Finding::at(Problem::Unfit { what, advice }, so.place.clone()));
        return None;
    }
    let width = gauge.scale.1 - gauge.scale.0;
    if found.iter().any(|(reads, so)| (reads - so).abs() > 0.5 * width) {
        let what = format!("`{}` was found off by more than half of its scale", gauge.name);
        let advice = "That is no error to correct: look for what is wrong with it, or for a slip of the pen.";
        findings.push(Finding::at(Problem::Unfit { what, advice }, so.place.clone()));
        return None;
    }
    let tell = |key: &str| keys.iter().find(|entry| entry.key == key);
    let within = tell("within").and_then(|key| key.change_of(gauge.quantity, findings)).filter(|within| *within > 0.0);
    let by = tell("by").and_then(|key| key.text(findings)).map(str::to_string);
    Some(Calibration { on, found, within, by })
}
