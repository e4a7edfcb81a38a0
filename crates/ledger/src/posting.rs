//! What an entry of the ledger holds.

use diary::Sort;
use serde::{Deserialize, Serialize};

/// One line of the ledger. Names are those of tanks, parts and engines of the vessel's description; every `within` is half the
/// band that holds 19 times in 20 [m³], where the owner tells it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Posting {
    /// Fuel taken aboard.
    Taken {
        /// Into which tank.
        tank: String,
        /// How much [m³]; if it was sold by mass, mass over density.
        volume: f64,
        /// How closely that is known [m³].
        #[serde(default, skip_serializing_if = "Option::is_none")]
        within: Option<f64>,
        /// Density as delivered [kg/m³], if told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        density: Option<f64>,
        /// Where: "Westhaven".
        #[serde(rename = "where", default, skip_serializing_if = "Option::is_none")]
        place: Option<String>,
        /// What it cost, as written: "1 450 EUR".
        #[serde(default, skip_serializing_if = "Option::is_none")]
        price: Option<String>,
    },
    /// Fuel moved from one tank into another.
    Moved {
        /// Out of this one.
        from: String,
        /// Into this one.
        to: String,
        /// How much [m³].
        volume: f64,
        /// How closely that is known [m³].
        #[serde(default, skip_serializing_if = "Option::is_none")]
        within: Option<f64>,
    },
    /// A tank sounded.
    Sounded {
        /// Which.
        tank: String,
        /// What is in it [m³].
        volume: f64,
        /// How closely that is known [m³].
        #[serde(default, skip_serializing_if = "Option::is_none")]
        within: Option<f64>,
    },
    /// Fuel burnt as a meter had it since the entry of this sort before.
    Burnt {
        /// Out of which tank, where that is told.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tank: Option<String>,
        /// How much [m³].
        volume: f64,
        /// How closely that is known [m³].
        #[serde(default, skip_serializing_if = "Option::is_none")]
        within: Option<f64>,
    },
    /// Oil or coolant topped up.
    Added {
        /// Into which part: sump, gearbox, header tank.
        part: String,
        /// How much [m³].
        volume: f64,
    },
    /// Oil or coolant drained or lost, and known to be.
    Drained {
        /// Out of which part.
        part: String,
        /// How much [m³].
        volume: f64,
    },
    /// All the oil or coolant of a part renewed and filled to its mark.
    Renewed {
        /// Of which part.
        part: String,
        /// How much went in [m³].
        volume: f64,
    },
    /// Hour-meter read.
    Hours {
        /// Of which engine.
        engine: String,
        /// What it shows [h].
        hours: f64,
    },
    /// Hour-meter changed for another.
    MeterChanged {
        /// Of which engine.
        engine: String,
        /// What the old one showed last [h].
        old: f64,
        /// What the new one shows first [h].
        new: f64,
    },
}

impl Sort for Posting {
    const KIND: &'static str = "ledger";
    const VERSION: u32 = 1;
}
