//! `[rates]` of a vessel file: how often things fail on her, where the owner knows it better than the table.

use crate::evidence_names as names;
use crate::finding::{Finding, Problem};
use crate::plant::Plant;
use crate::rates::OwnRate;
use crate::told::Entry;
use measure::quantity::Quantity;
use measure::unit;
use parts::kind::Cause;
use parts::rates::{self, Basis, HOURS_A_YEAR, Rate};

/// Rates within reason [1/(1000 h)]: from once in a hundred thousand years of a vessel to every ten hours.
const WITHIN: (f64, f64) = (3e-5, 100.0);
/// Chances by the departure, by the job, and shares, within reason [1].
const CHANCES: (f64, f64) = (1e-6, 1.0);
/// How often, as it may be told.
const ADVICE: &str = "Write it such as \"0.8 per 1000 h\" or \"0.1 per year\"; a chance at each departure or job, or a share \
                      of plants, such as \"1 % per departure\", only where `bedplate stores --rates` counts it so.";

/// Reads the section into a plant whose parts and gauges are known.
pub(super) fn rates(plant: &mut Plant, section: &Entry, findings: &mut Vec<Finding>) {
    for (key, entry) in section.dotted(findings) {
        match own(plant, &key, &entry, findings) {
            Some(own) if plant.rates.iter().any(|other| other.of == own.of && other.cause == own.cause) => {
                let what = format!("the rate of `{key}`");
                findings.push(Finding::at(Problem::Duplicate { what }, entry.key_place.clone()));
            }
            Some(own) => plant.rates.push(own),
            None => {}
        }
    }
}

fn own(plant: &Plant, key: &str, entry: &Entry, findings: &mut Vec<Finding>) -> Option<OwnRate> {
    let (name, word) = key.split_once('.').unwrap_or((key, ""));
    let mut fault = |problem| findings.push(Finding::at(problem, entry.key_place.clone()));
    let of = names::named(plant, name).map_err(&mut fault).ok()?;
    let causes = names::kind_of(plant, of).causes;
    let known = || causes.iter().map(|cause| cause.name);
    let Some(cause) = names::place_of(word, known()).map(|place| &causes[place]) else {
        fault(Problem::UnknownCause {
            cause: names::short(word),
            of: names::name_of(plant, of).to_string(),
            nearest: names::meant(word, known()),
            known: known().map(String::from).collect(),
        });
        return None;
    };
    let told = entry.text(findings)?;
    let rate = rate(cause, told, entry, findings)?;
    Some(OwnRate { of, cause: cause.name, rate, told: names::short(told) })
}

/// "0.8 per 1000 h", "0.1 per year", "1 % per departure", "5 % of plants".
fn rate(cause: &Cause, told: &str, entry: &Entry, findings: &mut Vec<Finding>) -> Option<Rate> {
    let table = *rates::rate(cause.rate)?;
    let vague = || {
        let what = format!("`{}` does not tell how often", names::short(told));
        Finding::at(Problem::Unfit { what, advice: ADVICE }, entry.place.clone())
    };
    let split = told.find(" per ").or_else(|| told.find(" share of ")).or_else(|| told.find(" of "));
    let (number, by) = split.map_or((told, ""), |at| (&told[..at], told[at..].trim()));
    let by = by.trim_start_matches("of plants").trim();
    let Ok(value) = unit::parse(number, Quantity::Ratio) else {
        findings.push(vague());
        return None;
    };
    let (basis, factor) = match by {
        "per 1000 h" | "per 1000 hours" | "per 1000 running hours" => (Basis::RunningHour, 1.0),
        "per year" => (Basis::Calendar, 1000.0 / HOURS_A_YEAR),
        _ if table.native_unit == by || (by.is_empty() && split.is_some() && table.basis == Basis::Prevalence) => {
            (table.basis, table.per_1000_h[1] / table.native[1])
        }
        _ => {
            findings.push(vague());
            return None;
        }
    };
    let by_hours = matches!(basis, Basis::RunningHour | Basis::Calendar);
    let (low, high) = if by_hours { (WITHIN.0 / factor, WITHIN.1 / factor) } else { CHANCES };
    if !(low..=high).contains(&value) {
        let bound = |value: f64| format!("{} {by}", (value * 1e6).round() / 1e6).trim().to_string();
        let (low, high) = (bound(low), bound(high));
        let problem = Problem::Unreasonable { key: entry.key.clone(), given: names::short(told), low, high };
        findings.push(Finding::at(problem, entry.place.clone()));
        return None;
    }
    // How firmly he knows it is not told: the belief keeps the width of the table's.
    let wide = |middle: f64| table.per_1000_h.map(|bound| middle * bound / table.per_1000_h[1]);
    let native_unit = match basis {
        Basis::RunningHour => "",
        Basis::Calendar => "per year",
        Basis::Event | Basis::Prevalence => table.native_unit,
    };
    let native = if basis == Basis::RunningHour { [0.0; 3] } else { wide(value) };
    Some(Rate {
        per_1000_h: wide(value * factor),
        use_factor: 1.0,
        basis,
        native_unit,
        native,
        label: "told by the owner",
        ..table
    })
}
