//! What a laboratory found in one sample.

use crate::iso4406::Code;
use diary::Sort;
use measure::quantity::Quantity;
use measure::unit;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A sample and its results.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sample {
    /// Number on the bottle.
    pub number: String,
    /// The part it was drawn from: sump, gearbox, header tank, fuel tank.
    pub of: String,
    /// Hours that the oil or coolant has run [h]; 0 for fresh from the can.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours_on_fill: Option<f64>,
    /// Running hours of the engine [h], as its meter counts on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
    /// What it is: "15W-40".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Topped up since it was changed [m³].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub added: Option<f64>,
    /// What the part holds [m³].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume: Option<f64>,
    /// What was found: shares of the mass [1], viscosities [m²/s], temperatures [K], plain numbers.
    pub values: BTreeMap<Analyte, f64>,
    /// Those of them that are less than what stands there, as a laboratory writes what it cannot see.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub under: Vec<Analyte>,
    /// Particles as a code.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub particles: Option<Code>,
    /// What the laboratory or the owner wrote beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

impl Sort for Sample {
    const KIND: &'static str = "sample";
    const VERSION: u32 = 1;
}

/// Something that a laboratory measures.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)] // Their names say it; units stand in `FACTS`.
pub enum Analyte {
    Iron,
    Copper,
    Lead,
    Aluminium,
    Chromium,
    Tin,
    Nickel,
    Silicon,
    Sodium,
    Potassium,
    Magnesium,
    Calcium,
    Boron,
    Vanadium,
    Chloride,
    Soot,
    Fuel,
    Water,
    Glycol,
    BaseNumber,
    #[serde(rename = "viscosity-40")]
    Viscosity40,
    #[serde(rename = "viscosity-100")]
    Viscosity100,
    Freezing,
    Ph,
    Nitrite,
    Bacteria,
}

/// What is known of each: the key in a file, the letters on a laboratory's sheet, what kind of number, the unit it is read and
/// shown in.
const FACTS: [(Analyte, &str, &str, Quantity, &str); 26] = {
    use Analyte::*;
    use Quantity::{KinematicViscosity, Ratio, Temperature};
    [
        (Iron, "iron", "Fe", Ratio, "ppm"),
        (Copper, "copper", "Cu", Ratio, "ppm"),
        (Lead, "lead", "Pb", Ratio, "ppm"),
        (Aluminium, "aluminium", "Al", Ratio, "ppm"),
        (Chromium, "chromium", "Cr", Ratio, "ppm"),
        (Tin, "tin", "Sn", Ratio, "ppm"),
        (Nickel, "nickel", "Ni", Ratio, "ppm"),
        (Silicon, "silicon", "Si", Ratio, "ppm"),
        (Sodium, "sodium", "Na", Ratio, "ppm"),
        (Potassium, "potassium", "K", Ratio, "ppm"),
        (Magnesium, "magnesium", "Mg", Ratio, "ppm"),
        (Calcium, "calcium", "Ca", Ratio, "ppm"),
        (Boron, "boron", "B", Ratio, "ppm"),
        (Vanadium, "vanadium", "V", Ratio, "ppm"),
        (Chloride, "chloride", "Cl", Ratio, "ppm"),
        (Soot, "soot", "", Ratio, "%"),
        (Fuel, "fuel", "", Ratio, "%"),
        (Water, "water", "", Ratio, "%"),
        (Glycol, "glycol", "", Ratio, "%"),
        (BaseNumber, "base-number", "TBN", Ratio, ""),
        (Viscosity40, "viscosity-40", "", KinematicViscosity, "mm²/s"),
        (Viscosity100, "viscosity-100", "", KinematicViscosity, "mm²/s"),
        (Freezing, "freezing", "", Temperature, "°C"),
        (Ph, "ph", "", Ratio, ""),
        (Nitrite, "nitrite", "", Ratio, "ppm"),
        (Bacteria, "bacteria", "", Ratio, ""),
    ]
};

impl Analyte {
    /// Every one, in the order of a sheet.
    pub fn all() -> impl Iterator<Item = Analyte> {
        FACTS.iter().map(|facts| facts.0)
    }

    fn facts(self) -> &'static (Analyte, &'static str, &'static str, Quantity, &'static str) {
        // Every one is in the table: held by a test.
        FACTS.iter().find(|facts| facts.0 == self).unwrap_or(&FACTS[0])
    }

    /// The key in a file: "iron".
    pub fn key(self) -> &'static str {
        self.facts().1
    }

    /// What a key or the letters of a sheet mean: "iron", "Fe", "tbn".
    pub fn called(word: &str) -> Option<Analyte> {
        let same = |facts: &&(Analyte, &str, &str, Quantity, &str)| {
            facts.1 == word || (!facts.2.is_empty() && facts.2.eq_ignore_ascii_case(word))
        };
        FACTS.iter().find(same).map(|facts| facts.0)
    }

    /// What kind of number it is.
    pub fn quantity(self) -> Quantity {
        self.facts().3
    }

    /// The unit it is read in where none is written, and shown in; "" for plain numbers: mg KOH/g of a base number, bacteria in a
    /// millilitre.
    pub fn unit(self) -> &'static str {
        self.facts().4
    }

    /// As it is said: "base number", "viscosity at 100 °C".
    pub fn title(self) -> String {
        match self {
            Analyte::Viscosity40 => "viscosity at 40 °C".into(),
            Analyte::Viscosity100 => "viscosity at 100 °C".into(),
            Analyte::Freezing => "freezing point".into(),
            Analyte::Ph => "pH".into(),
            other => other.key().replace('-', " "),
        }
    }

    /// A value [SI] as it is shown: "21 ppm".
    pub fn shown(self, value: f64) -> String {
        unit::print(value, self.quantity(), self.unit()).unwrap_or_else(|| value.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_analyte_has_its_facts_and_is_kept_under_its_key() {
        for analyte in Analyte::all() {
            assert_eq!(analyte.facts().0, analyte);
            assert_eq!(Analyte::called(analyte.key()), Some(analyte));
            let kept =
                Analyte::deserialize(serde::de::value::StrDeserializer::<serde::de::value::Error>::new(analyte.key()));
            assert_eq!(kept, Ok(analyte));
        }
        assert_eq!(Analyte::called("Fe"), Some(Analyte::Iron));
        assert_eq!(Analyte::Iron.shown(21e-6), "21 ppm");
    }
}
