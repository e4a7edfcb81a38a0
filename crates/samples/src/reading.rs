//! Results as an owner copies them from a laboratory's sheet: `[[sample]]` in a file.

use crate::iso4406::Code;
use crate::sample::{Analyte, Sample};
use measure::nearest::nearest;
use measure::quantity::Quantity;
use measure::unit;
use plant::finding::{Finding, Problem};
use plant::names;
use plant::plant::Plant;
use plant::told::{Entry, document, entries, tables};
use std::collections::BTreeMap;
use std::ops::Range;
use toml_edit::{Item, Value};

/// Keys beside what was measured.
const KEYS: &[&str] = &[
    "number",
    "of",
    "taken",
    "days-ago",
    "hours-on-fill",
    "hours",
    "grade",
    "added",
    "volume",
    "particles",
    "counts",
    "note",
];

/// A sample as it is told.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What it holds.
    pub sample: Sample,
    /// When it was drawn, as written; empty if that is not told.
    pub taken: String,
    /// Or so many days before the last one.
    pub days_ago: Option<f64>,
    /// Where it stands in the file [byte offsets].
    pub place: Range<usize>,
}

/// Reads `[[sample]]` of a text. Every mistake is found in one go.
pub fn read(text: &str, plant: &Plant) -> (Vec<Told>, Vec<Finding>) {
    let document = match document(text) {
        Ok(document) => document,
        Err(findings) => return (Vec::new(), findings),
    };
    let (mut all, mut findings) = (Vec::new(), Vec::new());
    for section in entries(document.as_table(), &mut findings) {
        if section.key != "sample" {
            findings.push(section.unknown("a file of samples", &["sample"]));
            continue;
        }
        for (told, place) in tables(&section, &mut findings) {
            all.extend(one(plant, &told, place, &mut findings));
        }
    }
    (all, findings)
}

fn one(plant: &Plant, told: &[Entry], place: Range<usize>, findings: &mut Vec<Finding>) -> Option<Told> {
    let mut sample = Sample {
        number: String::new(),
        of: String::new(),
        hours_on_fill: None,
        hours: None,
        grade: None,
        added: None,
        volume: None,
        values: BTreeMap::new(),
        under: Vec::new(),
        particles: None,
        note: None,
    };
    let (mut taken, mut days_ago) = (String::new(), None);
    for entry in told {
        match entry.key.as_str() {
            "number" => sample.number = entry.digits().unwrap_or_default(),
            "of" => sample.of = part(plant, entry, findings).unwrap_or_default(),
            "taken" => {
                taken = match entry.value {
                    Item::Value(Value::Datetime(time)) => time.value().to_string(),
                    _ => entry.text(findings).unwrap_or_default().to_string(),
                }
            }
            "days-ago" => days_ago = number(entry, findings),
            "hours-on-fill" => sample.hours_on_fill = hours(entry, findings),
            "hours" => sample.hours = hours(entry, findings),
            "grade" => sample.grade = entry.text(findings).map(str::to_string),
            "added" => sample.added = positive(entry, Quantity::Volume, findings),
            "volume" => sample.volume = positive(entry, Quantity::Volume, findings).filter(|volume| *volume > 0.0),
            "particles" => match entry.text(findings).map(str::parse::<Code>) {
                Some(Ok(code)) => sample.particles = Some(code),
                Some(Err(what)) => findings.push(unfit(entry, what)),
                None => {}
            },
            "counts" => sample.particles = counts(entry, findings).or(sample.particles),
            "note" => sample.note = entry.text(findings).map(str::to_string),
            key => {
                if let Some(analyte) = Analyte::called(key) {
                    measured(&mut sample, analyte, entry, findings);
                } else {
                    let known: Vec<&str> = KEYS.iter().copied().chain(Analyte::all().map(Analyte::key)).collect();
                    findings.push(entry.unknown("`[[sample]]`", &known));
                }
            }
        }
    }
    let missing = |key: &'static str, example: &'static str| {
        Finding::at(Problem::MissingKey { key, of: "`[[sample]]`".into(), example }, place.clone())
    };
    if !told.iter().any(|entry| entry.key == "of") {
        findings.push(missing("of", "of = \"sump\""));
    }
    let measured =
        |entry: &Entry| matches!(entry.key.as_str(), "particles" | "counts") || Analyte::called(&entry.key).is_some();
    if !told.iter().any(measured) {
        findings.push(missing("iron", "iron = \"21 ppm\""));
    }
    (!sample.of.is_empty()).then_some(Told { sample, taken, days_ago, place })
}

fn unfit(entry: &Entry, what: String) -> Finding {
    Finding::at(Problem::Unfit { what, advice: "Look at the laboratory's sheet." }, entry.place.clone())
}

fn part(plant: &Plant, entry: &Entry, findings: &mut Vec<Finding>) -> Option<String> {
    let word = entry.text(findings)?;
    let found = names::part_called(plant, word).map(|part| plant[part].name.clone());
    if found.is_none() {
        let nearest = nearest(word, plant.parts.iter().map(|part| part.name.as_str())).map(str::to_string);
        findings.push(Finding::at(Problem::UnknownPart { name: word.into(), nearest }, entry.place.clone()));
    }
    found
}

fn number(entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    let number = entry.digits().and_then(|text| text.trim().parse::<f64>().ok()).filter(|number| number.is_finite());
    if number.is_none() {
        findings.push(entry.wrong("a number"));
    }
    number
}

/// Running hours: "212 h", or the bare number of a meter [h].
fn hours(entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    const HOUR: f64 = 3600.0;
    if entry.value.as_str().is_some() {
        return positive(entry, Quantity::Duration, findings).map(|seconds| seconds / HOUR);
    }
    let hours = number(entry, findings)?;
    if hours < 0.0 {
        findings.push(unfit(entry, format!("`{}` is below nothing", entry.key)));
        return None;
    }
    Some(hours)
}

fn positive(entry: &Entry, quantity: Quantity, findings: &mut Vec<Finding>) -> Option<f64> {
    let value = entry.value_of(quantity, findings)?;
    if value < 0.0 {
        findings.push(unfit(entry, format!("`{}` is below nothing", entry.key)));
        return None;
    }
    Some(value)
}

fn counts(entry: &Entry, findings: &mut Vec<Finding>) -> Option<Code> {
    let numbers = entry.value.as_array().map(|list| {
        let of = |value: &Value| value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64));
        list.iter().filter_map(of).filter(|count| *count >= 0.0).collect::<Vec<f64>>()
    });
    match numbers.as_deref() {
        Some([a, b, c]) if a >= b && b >= c => Some(Code::of([*a, *b, *c])),
        _ => {
            findings.push(entry.wrong("three counts in a millilitre that do not rise: of 4, 6 and 14 µm and more"));
            None
        }
    }
}

/// One thing measured: "21 ppm", "< 1 ppm", 21.
fn measured(sample: &mut Sample, analyte: Analyte, entry: &Entry, findings: &mut Vec<Finding>) {
    let Some(text) = entry.digits() else {
        findings.push(entry.wrong("what the sheet says, as \"21 ppm\" or \"< 1 ppm\""));
        return;
    };
    match value(analyte, &text) {
        Ok((value, under)) => {
            sample.values.insert(analyte, value);
            if under {
                sample.under.push(analyte);
            }
        }
        Err(what) => findings.push(unfit(entry, what)),
    }
}

/// What a sheet says of something, and whether it is only said to be less than that.
///
/// # Errors
/// In words.
pub fn value(analyte: Analyte, text: &str) -> Result<(f64, bool), String> {
    let text = text.trim();
    let (rest, under) = text.strip_prefix('<').map_or((text, false), |rest| (rest.trim(), true));
    let bare = !rest.is_empty() && rest.parse::<f64>().is_ok();
    let written = if bare { format!("{rest} {}", analyte.unit()) } else { rest.to_string() };
    let value =
        unit::parse(written.trim(), analyte.quantity()).map_err(|error| format!("`{}`: {error}", analyte.key()))?;
    let most = match analyte {
        Analyte::Bacteria => 1e12,
        Analyte::BaseNumber => 500.0,
        Analyte::Ph => 14.0,
        Analyte::Viscosity40 | Analyte::Viscosity100 => 0.1,
        Analyte::Freezing => 320.0,
        _ => 1.0,
    };
    if !(0.0..=most).contains(&value) {
        return Err(format!("`{}` is {text}; no sheet says that", analyte.key()));
    }
    Ok((value, under))
}
