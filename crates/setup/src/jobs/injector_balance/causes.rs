//! What the two readings of one cylinder say together.

use super::{Cylinders, DEAD};
use crate::sure::below;

/// Where a reading stands against the limits.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Stands {
    NotRead,
    Low,
    Within,
    High,
}

/// What it leans to.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Lean {
    Sound,
    Fuel,
    Dead,
    Late,
    Early,
    Sensor,
    Compression,
    Unsure,
}

/// One cylinder as seen.
#[derive(Copy, Clone, Debug)]
pub struct Seen {
    pub port: Stands,
    pub pull: Stands,
    pub dead: bool,
    weak: bool,
    /// Chance that it is beyond the limits [1].
    pub chance: f64,
}

impl Seen {
    pub fn of(all: &Cylinders, cylinder: usize) -> Seen {
        let stands = |value: Option<&f64>, limit: f64| match value {
            None => Stands::NotRead,
            Some(value) if *value > limit => Stands::High,
            Some(value) if *value < -limit => Stands::Low,
            Some(_) => Stands::Within,
        };
        let beyond = |value: Option<&f64>, sigma: f64, limit: f64| {
            value.map_or(0.0, |value| below(*value, sigma, -limit) + 1.0 - below(*value, sigma, limit))
        };
        let (apart, pull) = (all.apart.get(cylinder), all.pulls.get(cylinder));
        Seen {
            port: stands(apart, all.port_limit),
            pull: stands(pull, all.pull_limit),
            dead: pull.is_some_and(|pull| 1.0 + pull < DEAD),
            weak: all.weak.get(cylinder).copied().unwrap_or(false),
            chance: beyond(apart, all.port_sigma, all.port_limit).max(beyond(pull, all.pull_sigma, all.pull_limit)),
        }
    }

    pub fn is_off(&self) -> bool {
        [self.port, self.pull].iter().any(|stands| matches!(stands, Stands::Low | Stands::High))
    }

    /// What both say together; common practice, no source: more fuel makes both higher, late burning a hot port with less work.
    pub fn lean(&self) -> Lean {
        use Stands::{High, Low, NotRead, Within};
        match (self.port, self.pull) {
            (Low | Within | NotRead, Low) if self.weak => Lean::Compression,
            (_, Low) if self.dead => Lean::Dead,
            (High, High) | (Low, Low) | (NotRead, High | Low) => Lean::Fuel,
            (High, Low) => Lean::Late,
            (Low, High) => Lean::Early,
            (High | Low, Within) => Lean::Sensor,
            (Within | NotRead, Within | NotRead) => Lean::Sound,
            (High | Low, NotRead) | (Within, High | Low) => Lean::Unsure,
        }
    }

    /// What it is, and what is looked at first.
    pub fn says(&self) -> (&'static str, &'static str) {
        let high = self.port == Stands::High || (self.port == Stands::NotRead && self.pull == Stands::High);
        match self.lean() {
            Lean::Sound => ("like the others", ""),
            Lean::Fuel if high => (
                "too much fuel: hotter, and gives more",
                "its rack or element setting, then its injector: opening pressure too low, a worn nozzle",
            ),
            Lean::Fuel => (
                "too little fuel: gives less",
                "air in its line, its injector (blocked or set too high), its delivery valve and element; then its compression",
            ),
            Lean::Dead => (
                "dead: cutting it changes nothing",
                "fuel at its line, then its injector; then its compression, for without it nothing fires",
            ),
            Lean::Late => (
                "burns late: hotter, and gives less",
                "its injector (dribbles), the timing of its element; then its exhaust valve and compression",
            ),
            Lean::Early => (
                "burns early, or its sensor reads low: cooler, and gives more",
                "change its sensor with a neighbour's; then the timing of its element",
            ),
            Lean::Sensor => (
                "pulls like the others: its sensor, or its exhaust valve or timing a little",
                "change its sensor with a neighbour's: what moves along is the sensor",
            ),
            Lean::Compression => {
                ("weak compression: gives less", "the compression job: rings, valves or gasket; fuel would not mend it")
            }
            Lean::Unsure if self.pull == Stands::NotRead => (
                "fuel, timing or its sensor: one reading alone cannot tell",
                "change its sensor with a neighbour's, then cut out one cylinder after the other",
            ),
            Lean::Unsure => (
                "its exhaust is like the others: a drop badly read, or a little fuel",
                "cut it out again, twice, and its neighbours",
            ),
        }
    }
}
