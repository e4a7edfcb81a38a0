//! What each circuit is filled with.

use super::draft::Draft;
use crate::finding::{Finding, Problem};
use crate::told::Entry;
use measure::nearest::nearest;
use measure::quantity::Quantity;
use parts::kind::Circuit;
use physics::contents::Contents;
use physics::coolant::Glycol;
use physics::oil::TYPICAL;

/// Glycol where nothing is told: half and half, [Trade] 2.2.
const GLYCOL: f64 = 0.5;
/// More glycol than this cools worse and protects worse; no one fills it [1].
const MOST_GLYCOL: f64 = 0.6;
/// Oils where nothing is told; common practice, no source.
const ENGINE_OIL: &str = "15W-40";
const GEAR_OIL: &str = "30";
/// Fuel over air in the exhaust of a diesel at a fair load [1]; common practice, no source.
const BURNT: f64 = 0.035;

/// What lies outside the hull, by the vessel file's word.
pub(crate) fn sea(word: &str) -> Contents {
    match word {
        "fresh" => Contents::FreshWater,
        // Half the salt of the ocean, as in an estuary.
        "brackish" => Contents::SeaWater { salinity: 0.0175 },
        _ => Contents::OCEAN,
    }
}

/// What a circuit is filled with; a word it does not know is a finding.
pub(crate) fn contents(draft: &mut Draft, circuit: Circuit) -> Contents {
    let told = draft.told_circuit(circuit).map(|paths| paths.told.clone()).unwrap_or_default();
    let mut glycol = (Glycol::Ethylene, GLYCOL);
    let mut grade = None;
    for entry in &told {
        match (entry.key.as_str(), circuit) {
            ("path" | "paths", _) => {}
            ("note" | "notes", _) => drop(entry.text(&mut draft.findings)),
            ("glycol", Circuit::FreshWater) => {
                if let Some(share) = share(entry, &mut draft.findings) {
                    glycol.1 = share;
                }
            }
            ("glycol-kind", Circuit::FreshWater) => {
                let choice = entry.choice(&["ethylene", "propylene"], &mut draft.findings);
                glycol.0 = if choice == Some("propylene") { Glycol::Propylene } else { Glycol::Ethylene };
            }
            ("grade", Circuit::Oil | Circuit::GearOil) => grade = oil(entry, &mut draft.findings),
            _ => {
                let known = known(circuit);
                draft.findings.push(entry.unknown(&format!("the {} circuit", circuit.name()), known));
            }
        }
    }
    match circuit {
        Circuit::FreshWater if glycol.1 > 0.0 => Contents::Coolant { glycol: glycol.0, volume_fraction: glycol.1 },
        Circuit::FreshWater => Contents::FreshWater,
        _ => grade.unwrap_or_else(|| usual(draft, circuit)),
    }
}

/// What a circuit is filled with where nothing more is told.
pub(crate) fn usual(draft: &Draft, circuit: Circuit) -> Contents {
    match circuit {
        Circuit::FreshWater => Contents::Coolant { glycol: Glycol::Ethylene, volume_fraction: GLYCOL },
        Circuit::Oil => typical(ENGINE_OIL).unwrap_or(Contents::FreshWater),
        Circuit::GearOil => typical(GEAR_OIL).unwrap_or(Contents::FreshWater),
        Circuit::Exhaust => Contents::Gas { fuel_air_ratio: BURNT },
        Circuit::Fuel => Contents::Fuel,
        Circuit::Charging => Contents::Current,
        _ => draft.sea,
    }
}

fn known(circuit: Circuit) -> &'static [&'static str] {
    match circuit {
        Circuit::FreshWater => &["path", "paths", "glycol", "glycol-kind", "note"],
        Circuit::Oil | Circuit::GearOil => &["path", "paths", "grade", "note"],
        _ => &["path", "paths", "note"],
    }
}

fn share(entry: &Entry, findings: &mut Vec<Finding>) -> Option<f64> {
    let share = entry.value_of(Quantity::Ratio, findings)?;
    if (0.0..=MOST_GLYCOL).contains(&share) {
        return Some(share);
    }
    let problem = Problem::OutOfRange {
        part: "the fresh-water circuit".into(),
        parameter: "glycol".into(),
        given: entry.digits().unwrap_or_default(),
        low: "0 %".into(),
        high: "60 %".into(),
    };
    findings.push(Finding::at(problem, entry.place.clone()));
    None
}

/// Oil by its grade: "SAE 30", "30", "15W-40", "15w40".
fn oil(entry: &Entry, findings: &mut Vec<Finding>) -> Option<Contents> {
    let Some(word) = entry.digits() else {
        findings.push(entry.wrong("an oil grade in quotes"));
        return None;
    };
    let found = typical(&word);
    if found.is_none() {
        let known = TYPICAL.iter().map(|(name, _, _)| (*name).to_string()).collect();
        let nearest = nearest(&word, TYPICAL.iter().map(|(name, _, _)| *name)).map(str::to_string);
        let problem = Problem::UnknownChoice { key: "grade".into(), word, nearest, known };
        findings.push(Finding::at(problem, entry.place.clone()));
    }
    found
}

fn typical(grade: &str) -> Option<Contents> {
    let bare = |text: &str| text.to_uppercase().replace("SAE", "").replace(['-', ' ', '/'], "");
    let (_, nu40_m2s, nu100_m2s) = *TYPICAL.iter().find(|(name, _, _)| bare(name) == bare(grade))?;
    Some(Contents::Oil { nu40_m2s, nu100_m2s, dilution: 0.0 })
}
