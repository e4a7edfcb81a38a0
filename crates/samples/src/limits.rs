//! Limits of what is found, from books and from memory, and the owner's own.

use crate::sample::Analyte::{self, *};
use measure::unit;
use parts::kind::Circuit;
use physics::oil;
use plant::finding::{Finding, Problem};
use plant::names;
use plant::plant::Plant;
use plant::told::{Entry, document, entries};

/// From where on something is looked into, and from where on something is done.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Looked into beyond this [as the analyte].
    pub look: f64,
    /// Something is done beyond this [as the analyte].
    pub act: f64,
    /// It is too low, and not too high, that matters.
    pub low: bool,
    /// Where it comes from: a key of SOURCES.md, "from memory", "your own".
    pub source: &'static str,
}

/// How something stands to its limit.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Within.
    Within,
    /// To be looked into.
    Look,
    /// To be acted on.
    Act,
}

/// Limits for each part, the owner's own before those of books.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits {
    own: Vec<(String, Analyte, Limit)>,
}

const LEVELS: &str = "[OilLevels]";
const MEMORY: &str = "from memory";

const fn high(look: f64, act: f64, source: &'static str) -> Limit {
    Limit { look, act, low: false, source }
}

const fn low(look: f64, act: f64) -> Limit {
    Limit { look, act, low: true, source: MEMORY }
}

/// Wear metals and silicon of an engine's oil stand in a public table; the rest is from memory.
const OIL: [(Analyte, Limit); 14] = [
    (Iron, high(100e-6, 200e-6, LEVELS)),
    (Chromium, high(10e-6, 30e-6, LEVELS)),
    (Copper, high(30e-6, 50e-6, LEVELS)),
    (Lead, high(40e-6, 100e-6, LEVELS)),
    (Aluminium, high(10e-6, 30e-6, LEVELS)),
    (Tin, high(10e-6, 30e-6, LEVELS)),
    (Silicon, high(15e-6, 30e-6, LEVELS)),
    (Sodium, high(50e-6, 150e-6, MEMORY)),
    (Potassium, high(20e-6, 50e-6, MEMORY)),
    (Soot, high(0.03, 0.05, MEMORY)),
    (Fuel, high(0.02, 0.05, MEMORY)),
    (Water, high(2e-3, 5e-3, MEMORY)),
    (Glycol, high(1e-4, 1e-3, MEMORY)),
    (BaseNumber, low(4.0, 2.0)),
];
const GEAR_OIL: [(Analyte, Limit); 4] = [
    (Iron, high(150e-6, 400e-6, MEMORY)),
    (Copper, high(100e-6, 300e-6, MEMORY)),
    (Sodium, high(40e-6, 100e-6, MEMORY)),
    (Water, high(2e-3, 5e-3, MEMORY)),
];
const COOLANT: [(Analyte, Limit); 3] =
    [(Ph, low(8.0, 7.0)), (Nitrite, low(800e-6, 300e-6)), (Chloride, high(60e-6, 150e-6, MEMORY))];
/// [EN590] allows 200 mg/kg of water.
const FUEL: [(Analyte, Limit); 2] = [(Water, high(200e-6, 500e-6, "[EN590]")), (Bacteria, high(1e4, 1e5, MEMORY))];

fn table(circuit: Circuit) -> &'static [(Analyte, Limit)] {
    match circuit {
        Circuit::Oil => &OIL,
        Circuit::GearOil => &GEAR_OIL,
        Circuit::FreshWater => &COOLANT,
        Circuit::Fuel => &FUEL,
        _ => &[],
    }
}

impl Limit {
    /// How a value stands.
    pub fn judge(&self, value: f64) -> Standing {
        let beyond = |limit: f64| if self.low { value < limit } else { value > limit };
        match (beyond(self.act), beyond(self.look)) {
            (true, _) => Standing::Act,
            (false, true) => Standing::Look,
            _ => Standing::Within,
        }
    }
}

impl Limits {
    /// The limit of something in a part of this circuit.
    pub fn of(&self, part: &str, circuit: Circuit, analyte: Analyte) -> Option<&Limit> {
        let own = self.own.iter().find(|(of, what, _)| of == part && *what == analyte).map(|(_, _, limit)| limit);
        own.or_else(|| table(circuit).iter().find(|(what, _)| *what == analyte).map(|(_, limit)| limit))
    }

    /// Reads `[limit.*]` of a text: `[limit.sump]` and `iron = ["80 ppm", "150 ppm"]`, or one value for both.
    pub fn read(&mut self, text: &str, plant: &Plant) -> Vec<Finding> {
        let document = match document(text) {
            Ok(document) => document,
            Err(findings) if findings.iter().all(|f| f.problem == Problem::Empty) => return Vec::new(),
            Err(findings) => return findings,
        };
        let mut findings = Vec::new();
        for section in entries(document.as_table(), &mut Vec::new()).iter().filter(|section| section.key == "limit") {
            for part in section.table(&mut findings) {
                let Some(id) = names::part_called(plant, &part.key) else {
                    let known = plant.parts.iter().map(|part| part.name.as_str());
                    let nearest = measure::nearest::nearest(&part.key, known).map(str::to_string);
                    let problem = Problem::UnknownPart { name: part.key.clone(), nearest };
                    findings.push(Finding::at(problem, part.key_place.clone()));
                    continue;
                };
                for entry in part.table(&mut findings) {
                    if let Some((analyte, limit)) = one(&entry, &mut findings) {
                        self.own.push((plant[id].name.clone(), analyte, limit));
                    }
                }
            }
        }
        findings
    }
}

/// One limit of the owner's.
fn one(entry: &Entry, findings: &mut Vec<Finding>) -> Option<(Analyte, Limit)> {
    let Some(analyte) = Analyte::called(&entry.key) else {
        let keys: Vec<&str> = Analyte::all().map(Analyte::key).collect();
        findings.push(entry.unknown("`[limit.*]`", &keys));
        return None;
    };
    let mut values = Vec::new();
    for (text, place) in entry.list(findings) {
        match unit::parse(text, analyte.quantity()) {
            Ok(value) => values.push(value),
            Err(error) => {
                let problem = Problem::BadUnit { key: entry.key.clone(), quantity: analyte.quantity(), error };
                findings.push(Finding::at(problem, place));
            }
        }
    }
    let (look, act) = match values.as_slice() {
        [one] => (*one, *one),
        [look, act] => (*look, *act),
        _ => return None,
    };
    // The second is the one that something is done at: below the first, it is too little that matters.
    Some((analyte, Limit { look, act, low: act < look, source: "your own" }))
}

/// Least and greatest viscosity at 100 °C that an oil of this grade may have [m²/s]: "15W-40", "SAE 30".
///
/// # Source
/// `[J300]`, by the summer half of the name.
pub fn grade_limits(grade: &str) -> Option<(f64, f64)> {
    let summer = grade.rsplit(['-', ' ']).next()?;
    let limits = oil::grade(summer)?;
    Some((limits.nu100_from, limits.nu100_below?))
}
