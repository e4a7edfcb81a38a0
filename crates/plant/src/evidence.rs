//! What the owner has read, seen, heard, tried: typed.

use crate::plant::{GaugeId, PartId, Plant};
use measure::reading::ReadingText;

/// Everything told about one trouble.
#[derive(Clone, Debug, Default)]
pub struct Evidence {
    /// Occasions, in order.
    pub occasions: Vec<Occasion>,
    /// Checks made and what they showed.
    pub checks: Vec<CheckMade>,
    /// Parts renewed or cleaned, and what it changed.
    pub renewed: Vec<Renewal>,
    /// Recent work.
    pub work: Vec<Work>,
    /// How the trouble came, if it was told.
    pub came: Option<Came>,
    /// The other engine aboard, in the same sea and on the same fuel, is well, though only this one is described.
    pub sister_well: bool,
    /// Where she is while it is put right.
    pub situation: Situation,
    /// Gauges and alarms speak for themselves, and nobody was asked what else there is: what is not said then says
    /// nothing.
    pub unasked: bool,
}

/// Where she is while the trouble is put right. Nothing told: she may be stopped, and help is at hand.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Situation {
    /// At sea: no yard, no shop, no diver.
    pub at_sea: bool,
    /// Her engine cannot be stopped now: a lee shore, a lock, a channel.
    pub cannot_stop: bool,
    /// Hours to where she can lie, if told [h].
    pub haven_hours: Option<f64>,
}

/// One occasion: an operating point and what was noticed there.
#[derive(Clone, Debug, Default)]
pub struct Occasion {
    /// Before the trouble, or in it.
    pub when: Moment,
    /// Operating point as told; any of it may be missing or wrong.
    pub at: ToldPoint,
    /// Readings.
    pub readings: Vec<(GaugeId, ReadingText)>,
    /// Words said.
    pub said: Vec<Said>,
    /// Words looked for and not found.
    pub not: Vec<Said>,
    /// That was all: "the only sign".
    pub nothing_else: bool,
}

/// Whether an occasion lies before the trouble.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub enum Moment {
    /// Known good.
    Usual,
    /// Before it was noticed; thought good.
    Before,
    /// In trouble.
    #[default]
    Now,
}

/// Operating point as told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToldPoint {
    /// Engine speed [rad/s].
    pub speed: Option<f64>,
    /// Load as a share of the propeller's calm-water demand at that speed [1]; 0 in neutral.
    pub load: Option<f64>,
    /// Pitch as a share of the propeller's design pitch [1]: 0 none, below 0 astern; only where it can be set.
    pub pitch: Option<f64>,
    /// Sea temperature [K].
    pub sea: Option<f64>,
    /// Outside air temperature [K].
    pub air: Option<f64>,
    /// Minutes since the start from cold [min].
    pub minutes: Option<f64>,
    /// Speed in gear that she was eased from a moment ago, warm as that had made her [rad/s].
    pub eased_from: Option<f64>,
}

/// A word said of a part or a gauge.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// Of what.
    pub of: Named,
    /// Place of the word in the kind's table.
    pub word: usize,
}

/// A part or a gauge.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Named {
    /// A part.
    Part(PartId),
    /// A gauge or alarm.
    Gauge(GaugeId),
}

impl Named {
    /// Every part, then every gauge.
    pub fn all(plant: &Plant) -> impl Iterator<Item = Named> + use<> {
        (0..plant.parts.len()).map(PartId).map(Named::Part).chain(plant.gauge_ids().map(Named::Gauge))
    }

    /// What the owner calls it.
    pub fn name(self, plant: &Plant) -> &str {
        match self {
            Named::Part(part) => &plant[part].name,
            Named::Gauge(gauge) => &plant[gauge].name,
        }
    }

    /// The part or gauge of exactly this name.
    pub fn find(plant: &Plant, name: &str) -> Option<Named> {
        plant.part(name).map(Named::Part).or_else(|| plant.gauge(name).map(Named::Gauge))
    }
}

/// A check made.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckMade {
    /// On what.
    pub of: Named,
    /// Place of the check in the kind's table.
    pub check: usize,
    /// What it showed.
    pub found: Found,
}

/// What a check showed.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// Nothing wrong.
    Clean,
    /// Something wrong, not named.
    Something,
    /// The cause of this place in the kind's table.
    Cause(usize),
    /// Each thing by itself, as a laboratory tells it: the place among what the check finds, and whether it is there; of what is
    /// not in it, nothing is known.
    Each(Vec<(usize, bool)>),
}

/// A part renewed, cleaned or repaired.
#[derive(Clone, Debug, PartialEq)]
pub struct Renewal {
    /// The part or gauge.
    pub of: Named,
    /// Only this way to fail is undone ("raw-pump.impeller"): causes whose name or remedy holds this word; empty for the whole part.
    pub what: String,
    /// What it changed.
    pub result: RenewalResult,
}

/// What a renewal changed.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum RenewalResult {
    /// Nothing.
    NoChange,
    /// Better, not cured.
    Better,
    /// Cured.
    Cured,
}

/// How trouble comes.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Came {
    /// From one moment to the next.
    AtOnce,
    /// A little worse with every hour, trip or season.
    ByDegrees,
    /// It is there, and then not.
    OnAndOff,
}

/// Work done lately.
#[derive(Clone, Debug, PartialEq)]
pub struct Work {
    /// On what.
    pub of: Named,
    /// Running hours ago [h].
    pub hours_ago: f64,
    /// The trouble was there from the first run after it.
    pub since: bool,
}
