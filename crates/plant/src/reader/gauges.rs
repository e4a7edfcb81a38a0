//! `[gauge.*]` and `[alarm.*]`.

use super::MOST;
use super::chain;
use super::delays;
use super::figures::NOTES;
use super::heard::heard;
use super::instruments::{READS, Reads, switch, usual};
use super::sends;
use super::taps::{Place, tap};
use crate::finding::{Finding, Problem};
use crate::plant::{Gauge, Plant, Tap};
use crate::told::Entry;
use measure::quantity::Quantity;
use measure::unit;
use parts::catalogue;
use parts::kind::{Kind, When};

/// Noise as a share of accuracy where it is not told [1]; common practice, no source.
const NOISE: f64 = 0.25;
/// Keys of a gauge or alarm, beside notes.
const KEYS: &[&str] = &[
    "at",
    "reads",
    "accuracy",
    "noise",
    "unit",
    "scale",
    "trips-below",
    "trips-above",
    "heard",
    "sends",
    "calibrated",
];

/// A dial or a lamp.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
    /// It shows a value.
    Gauge,
    /// It speaks past a point.
    Alarm,
}

impl Sort {
    fn word(self) -> &'static str {
        match self {
            Sort::Gauge => "gauge",
            Sort::Alarm => "alarm",
        }
    }
}

/// Reads every gauge or alarm of a section.
pub(crate) fn gauges(plant: &mut Plant, section: &Entry, sort: Sort, findings: &mut Vec<Finding>) {
    for entry in section.table(findings) {
        let told = entry.table(findings);
        let name = entry.key.clone();
        let place = plant.part(&name).map(|id| plant[id].place.clone());
        if let Some(first) = place.or_else(|| plant.gauge(&name).map(|id| plant[id].place.clone())) {
            let problem = Problem::DuplicateName { name };
            findings.push(Finding::at(problem, entry.key_place.clone()).and(first, "the first is here"));
            continue;
        }
        if plant.gauges.len() >= MOST {
            findings.push(Finding::at(Problem::TooMany { what: "gauges", limit: MOST }, entry.key_place.clone()));
            break;
        }
        if let Some(gauge) = gauge(plant, &entry, &told, sort, findings) {
            plant.gauges.push(gauge);
        }
    }
}

fn gauge(plant: &Plant, entry: &Entry, told: &[Entry], sort: Sort, findings: &mut Vec<Finding>) -> Option<Gauge> {
    let find = |key: &str| told.iter().find(|entry| entry.key == key);
    let missing = |key, example| {
        Finding::at(Problem::MissingKey { key, of: format!("`{}`", entry.key), example }, entry.key_place.clone())
    };
    let mut notes = Vec::new();
    let known = [KEYS, chain::KEYS, delays::KEYS].concat();
    for other in told.iter().filter(|e| !known.contains(&e.key.as_str())) {
        match other.digits() {
            Some(text) if NOTES.contains(&other.key.as_str()) => notes.push((other.key.clone(), text)),
            _ => findings.push(other.unknown(&format!("`[{}.{}]`", sort.word(), entry.key), &[&known, NOTES].concat())),
        }
    }
    let at = find("at");
    let reads = find("reads");
    if at.is_none() {
        findings.push(missing("at", "\"engine.coolant-out\""));
    }
    if reads.is_none() {
        findings.push(missing("reads", "\"temperature\""));
    }
    let words: Vec<&'static str> = READS.iter().map(|(word, _)| *word).collect();
    let word = reads?.choice(&words, findings);
    let at_text = at?.text(findings)?;
    let reads = READS.iter().find(|(known, _)| Some(*known) == word).map(|(_, reads)| *reads)?;
    let looks = match tap(plant, at_text, reads) {
        Ok(found) => found,
        Err(problem) => {
            findings.push(Finding::at(problem, at?.place.clone()));
            return None;
        }
    };
    let kind = kind(sort, reads)?;
    let trips = trips(entry, told, sort, looks.1, reads, findings);
    let dial = dial(told, sort, reads, &looks, findings)?;
    let tap = match (looks.0, dial.quantity) {
        (Tap::Meter(flow), Quantity::MassFlow) => Tap::Flow(flow),
        (tap, _) => tap,
    };
    let mut gauge = Gauge {
        name: entry.key.clone(),
        kind,
        tap,
        quantity: dial.quantity,
        accuracy: dial.accuracy,
        noise: dial.noise,
        scale: dial.scale,
        unit: dial.unit,
        trips,
        chain: chain::chain(plant, entry, told, tap, findings),
        heard: None,
        sends: None,
        calibrated: Vec::new(),
        vacuum: reads == Reads::Vacuum,
        delays: delays::delays(&entry.key, told, dial.quantity, findings),
        place: entry.key_place.clone(),
        notes,
    };
    gauge.sends = sends::sends(&gauge, told, findings);
    let gives = gauge.sends.as_ref().map(|curve| curve.gives);
    gauge.heard = heard(&entry.key, sort, dial.quantity, gives, told, findings);
    gauge.calibrated = sends::calibrations(&gauge, told, findings);
    if let Some(within) = gauge.calibrated.last().and_then(|last| last.within) {
        gauge.accuracy = within;
    }
    Some(gauge)
}

fn kind(sort: Sort, reads: Reads) -> Option<&'static Kind> {
    match sort {
        Sort::Alarm if reads == Reads::Temperature => catalogue::find("temperature-alarm"),
        Sort::Alarm => catalogue::find("alarm"),
        Sort::Gauge => catalogue::find(reads.kind()).or_else(|| catalogue::find("gauge")),
    }
}

/// The figures of a dial [SI].
struct Dial {
    quantity: Quantity,
    accuracy: f64,
    noise: f64,
    scale: (f64, f64),
    unit: String,
}

fn dial(told: &[Entry], sort: Sort, reads: Reads, looks: &Place, findings: &mut Vec<Finding>) -> Option<Dial> {
    let find = |key: &str| told.iter().find(|entry| entry.key == key);
    let told_unit = find("unit").and_then(|entry| entry.text(findings).map(|text| (entry, text)));
    // A meter marked in mass may be on a pipe as well as one marked in volume; the volume of a gas says nothing.
    let other = match looks.1 {
        Quantity::VolumeFlow => Quantity::MassFlow,
        same => same,
    };
    let fits = |quantity| told_unit.is_some_and(|(_, text)| unit::convert_to(0.0, quantity, text).is_some());
    let quantity = if !fits(looks.1) && fits(other) { other } else { looks.1 };
    let usual = usual(reads, quantity, looks.2).or_else(|| usual(reads, looks.1, None))?;
    let mut dial_unit = usual.unit.to_string();
    if let Some((entry, text)) = told_unit {
        match unit::parse(&format!("1 {text}"), quantity) {
            Ok(_) => dial_unit = text.to_string(),
            Err(error) => {
                let problem = Problem::BadUnit { key: "unit".into(), quantity, error };
                findings.push(Finding::at(problem, entry.place.clone()));
            }
        }
    }
    let si = |value: f64| unit::parse(&format!("{value} {}", usual.unit), quantity).unwrap_or(value);
    let span = |value: f64| unit::parse_change(&format!("{value} {}", usual.unit), quantity).unwrap_or(value);
    let mut scale = (si(usual.scale.0), si(usual.scale.1));
    if let Some(entry) = find("scale") {
        scale = told_scale(entry, quantity, findings).unwrap_or(scale);
    }
    let mut accuracy = span(usual.accuracy);
    if sort == Sort::Alarm
        && let Some((value, unit)) = switch(reads)
    {
        accuracy = unit::parse_change(&format!("{value} {unit}"), quantity).unwrap_or(accuracy);
    }
    let width = scale.1 - scale.0;
    let told_error = |key: &str, findings: &mut Vec<Finding>| {
        let entry = find(key)?;
        let read = entry.read_by(quantity.difference(), findings, |text| {
            // A percentage is one of the scale, as on the dial's own class mark.
            let share = quantity != Quantity::Level && text.trim_end().ends_with('%');
            if share { Ok(unit::parse(text, Quantity::Ratio)? * width) } else { unit::parse_change(text, quantity) }
        });
        read.map(f64::abs).filter(|error| *error > 0.0 || key == "noise")
    };
    accuracy = told_error("accuracy", findings).unwrap_or(accuracy);
    let noise = told_error("noise", findings).unwrap_or(accuracy * NOISE);
    if reads == Reads::Vacuum {
        scale = (0.0 - scale.1, 0.0 - scale.0);
    }
    Some(Dial { quantity, accuracy, noise, scale, unit: dial_unit })
}

fn told_scale(entry: &Entry, quantity: Quantity, findings: &mut Vec<Finding>) -> Option<(f64, f64)> {
    let list = entry.list(findings);
    let [(low_text, low_place), (high_text, high_place)] = list.as_slice() else {
        findings.push(entry.wrong("a list of the lowest and the highest mark"));
        return None;
    };
    let mut mark = |text: &str, place: &std::ops::Range<usize>| match unit::parse(text, quantity) {
        Ok(value) => Some(value),
        Err(error) => {
            let problem = Problem::BadUnit { key: "scale".into(), quantity, error };
            findings.push(Finding::at(problem, place.clone()));
            None
        }
    };
    let (low, high) = (mark(low_text, low_place), mark(high_text, high_place));
    let (low, high) = (low?, high?);
    if low < high {
        return Some((low, high));
    }
    let what = format!("the lowest mark of the scale, {low_text}, is not below the highest, {high_text}");
    let problem = Problem::Contradiction { what, advice: "Write the lowest mark first." };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}

fn trips(
    entry: &Entry,
    told: &[Entry],
    sort: Sort,
    quantity: Quantity,
    reads: Reads,
    findings: &mut Vec<Finding>,
) -> Option<(f64, When)> {
    let find = |key: &str| told.iter().find(|entry| entry.key == key);
    let (below, above) = (find("trips-below"), find("trips-above"));
    if sort == Sort::Gauge {
        for misplaced in [below, above].into_iter().flatten() {
            let problem = Problem::Contradiction {
                what: format!("`{}` is a gauge and cannot trip", entry.key),
                advice: "Describe the lamp or bell as [alarm.…].",
            };
            findings.push(Finding::at(problem, misplaced.key_place.clone()));
        }
        return None;
    }
    match (below, above) {
        (Some(below), Some(above)) => {
            let problem = Problem::Duplicate { what: format!("where `{}` trips", entry.key) };
            findings.push(Finding::at(problem, above.key_place.clone()).and(below.key_place.clone(), "and here"));
            None
        }
        (None, None) => {
            let of = format!("`{}`", entry.key);
            let problem = Problem::MissingKey { key: "trips-above", of, example: "\"96 °C\"" };
            findings.push(Finding::at(problem, entry.key_place.clone()));
            None
        }
        (Some(told), None) | (None, Some(told)) => {
            let value = told.value_of(quantity, findings)?;
            let when = if below.is_some() { When::Low } else { When::High };
            match (reads, when) {
                // More vacuum is less pressure.
                (Reads::Vacuum, When::High) => Some((-value, When::Low)),
                (Reads::Vacuum, When::Low) => Some((-value, When::High)),
                _ => Some((value, when)),
            }
        }
    }
}
