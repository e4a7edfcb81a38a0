//! Rates of failure and powers of checks, from the project's table of them.

use crate::kind::Circuit;

/// What drives a way to fail.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Hours run.
    RunningHour,
    /// Years, lying still too.
    Calendar,
    /// A departure, a filter change, an opening.
    Event,
    /// There from the start in a share of plants.
    Prevalence,
}

/// How trouble of a kind comes.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Comes {
    /// From one moment to the next: what breaks, bursts, is shut, left open or put in wrong.
    AtOnce,
    /// By degrees: what wears, fouls, grows, clogs, leaks a little.
    ByDegrees,
    /// On and off: poor contacts, what sticks and frees itself.
    OnAndOff,
    /// Nothing is known of it, or it comes in more ways than one.
    Either,
}

/// How often a way to fail is noticed.
#[derive(Copy, Clone, Debug)]
pub struct Rate {
    /// Name of the way to fail.
    pub key: &'static str,
    /// Circuit it is counted under, in the table's words.
    pub circuit: &'static str,
    /// Noticed per 1000 running hours: 5, 50 and 95 % of belief [1/(1000 h)].
    pub per_1000_h: [f64; 3],
    /// Brings the figures to "noticed on a small sea-going vessel" [1].
    pub use_factor: f64,
    /// What drives it.
    pub basis: Basis,
    /// Unit of the native figures; empty if there are none.
    pub native_unit: &'static str,
    /// Figures in that unit: 5, 50 and 95 % of belief.
    pub native: [f64; 3],
    /// How well founded: published, derived, common-practice or from-memory.
    pub label: &'static str,
    /// How it comes; common practice, no source.
    pub comes: Comes,
    /// Whether it reaches both engines of a vessel with two as much: the hull, the fuel, the air of the space.
    pub both_engines: bool,
}

impl Rate {
    /// Circuit it is counted under; of a class that any kind may take, none.
    pub fn circuit(&self) -> Option<Circuit> {
        Some(match self.circuit {
            "any" => return None,
            "raw water" => Circuit::RawWater,
            "fresh water" => Circuit::FreshWater,
            "lube oil" => Circuit::Oil,
            "exhaust" => Circuit::Exhaust,
            "fuel" => Circuit::Fuel,
            "charging" => Circuit::Charging,
            "air" => Circuit::Air,
            "bilge" => Circuit::Bilge,
            "gauges" => Circuit::Gauges,
            _ => Circuit::Drive,
        })
    }
}

/// What a check misses and what it finds that is not there.
#[derive(Copy, Clone, Debug)]
pub struct Power {
    /// Name of the check.
    pub key: &'static str,
    /// Chance that the fault is there and the check does not show it [1].
    pub miss: f64,
    /// Chance of a finding without the fault [1].
    pub false_find: f64,
    /// How well founded.
    pub label: &'static str,
}

/// The rate of that way to fail.
pub fn rate(key: &str) -> Option<&'static Rate> {
    RATES.iter().find(|rate| rate.key == key)
}

/// Powers of looks at the water that comes out with the gas of a wet exhaust.
pub const OF_INJECTED_WATER: [&str; 2] = ["look-at-outlet", "bucket"];

/// The power of that check.
pub fn power(key: &str) -> Option<&'static Power> {
    POWERS.iter().find(|power| power.key == key)
}

include!(concat!(env!("OUT_DIR"), "/rates.rs"));
