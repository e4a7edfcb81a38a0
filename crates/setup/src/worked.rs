//! The answer of a job, as plain data.

use crate::sketch::Sketch;
use measure::figure::SIGMAS_TO_95;
use measure::quantity::Quantity;
use measure::unit;

/// What was worked out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Worked {
    /// The answer in a sentence or two.
    pub says: String,
    /// What came out, the most wanted first.
    pub results: Vec<Outcome>,
    /// What is to be done, in order.
    pub steps: Vec<Step>,
    /// Tables of more.
    pub tables: Vec<Table>,
    /// How it was worked.
    pub working: Vec<Working>,
    /// What in the measurements is odd, or what the answer cannot tell.
    pub flags: Vec<String>,
    /// The drawing to scale.
    pub sketch: Option<Sketch>,
    /// What is written down as found and left.
    pub kept: Vec<Kept>,
}

/// One result.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The key programs know it by: "shim-front".
    pub key: String,
    /// What it is, in words.
    pub says: String,
    /// The value [SI].
    pub value: f64,
    /// What it is of.
    pub quantity: Quantity,
    /// The unit it is shown in.
    pub unit: &'static str,
    /// Standard uncertainty [SI]; filled in from the measurements' own by [`crate::doubt`] where the job does not know better.
    pub doubt: Option<f64>,
}

/// One step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What is done.
    pub says: String,
    /// What to heed where it bites.
    pub caution: Option<&'static str>,
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// What it shows.
    pub title: String,
    /// Heads of its columns.
    pub heads: Vec<String>,
    /// Its rows, as shown.
    pub rows: Vec<Vec<String>>,
}

/// A formula with the numbers in it, and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Working {
    /// The formula: "x = ΔP · A / k".
    pub formula: &'static str,
    /// With its numbers: "0.45 bar · 113 mm² / 8.2 N/mm = 0.62 mm".
    pub with: String,
    /// Its source.
    pub source: &'static str,
}

/// One measure for the record.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// Its name: "clearance cylinder 1 inlet".
    pub name: String,
    /// As found [SI], or as it is.
    pub found: Option<f64>,
    /// As left [SI].
    pub left: Option<f64>,
    /// What it is of.
    pub quantity: Quantity,
    /// The unit it is written in.
    pub unit: &'static str,
}

impl Worked {
    /// A result, to be shown in `unit`.
    pub fn result(
        &mut self,
        key: impl Into<String>,
        says: impl Into<String>,
        value: f64,
        quantity: Quantity,
        unit: &'static str,
    ) {
        self.results.push(Outcome { key: key.into(), says: says.into(), value, quantity, unit, doubt: None });
    }

    /// One more sentence of the answer.
    pub fn say(&mut self, sentence: impl AsRef<str>) {
        if !self.says.is_empty() {
            self.says.push(' ');
        }
        self.says.push_str(sentence.as_ref());
    }

    /// A step without a caution.
    pub fn step(&mut self, says: impl Into<String>) {
        self.steps.push(Step { says: says.into(), caution: None });
    }

    /// A step at which something can hurt.
    pub fn step_with_care(&mut self, says: impl Into<String>, caution: &'static str) {
        self.steps.push(Step { says: says.into(), caution: Some(caution) });
    }

    /// How something was worked.
    pub fn working(&mut self, formula: &'static str, with: impl Into<String>, source: &'static str) {
        self.working.push(Working { formula, with: with.into(), source });
    }

    /// The value of a result [SI].
    pub fn value(&self, key: &str) -> Option<f64> {
        self.results.iter().find(|result| result.key == key).map(|result| result.value)
    }
}

impl Outcome {
    /// "0.35 mm ± 0.02"; what 95 % of the truth lies within, with as many places as that deserves.
    pub fn shown(&self) -> String {
        let doubt = self.doubt.filter(|doubt| *doubt > 0.0).map(|doubt| SIGMAS_TO_95 * doubt);
        let plain = shown(self.value, self.quantity, self.unit, doubt);
        let Some(doubt) = doubt else { return plain };
        let spread = shown(doubt, self.quantity.difference(), change_unit(self.unit), Some(doubt));
        let bare = spread.rsplit_once(' ').map_or(spread.as_str(), |(number, _)| number).to_string();
        // Too small to be shown is none.
        if bare.chars().any(|digit| ('1'..='9').contains(&digit)) {
            format!("{plain} ± {bare}")
        } else {
            shown(self.value, self.quantity, self.unit, None)
        }
    }
}

/// The unit of a difference: kelvin for degrees Celsius.
fn change_unit(unit: &'static str) -> &'static str {
    if unit == "°C" { "K" } else { unit }
}

/// A value in a unit, with the places that its doubt, or its own size, deserves: three figures, or two of the doubt; a count has
/// none.
///
/// * `doubt`: \[SI\]
pub fn shown(value: f64, quantity: Quantity, unit: &str, doubt: Option<f64>) -> String {
    let Some(written) = unit::convert_to(value, quantity, unit) else { return format!("{value}") };
    let told = doubt.and_then(|doubt| unit::convert_to(doubt, quantity.difference(), change_unit_of(unit)));
    let places = match told.filter(|doubt| *doubt > 0.0) {
        Some(doubt) => 1.0 - doubt.log10().floor(),
        // A count has no places.
        None if written == 0.0 || (unit.is_empty() && written.fract() == 0.0) => 0.0,
        None => 2.0 - written.abs().log10().floor(),
    };
    let places = places.clamp(0.0, 4.0);
    // A minus before nothing is none.
    let written = if (written * 10f64.powf(places)).round() == 0.0 { 0.0 } else { written };
    let places = places as usize;
    let number = format!("{written:.places$}");
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}

fn change_unit_of(unit: &str) -> &str {
    if unit == "°C" { "K" } else { unit }
}
