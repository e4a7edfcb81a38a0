//! A service task: what is done on which part, how often, and what it takes.

use measure::quantity::Quantity;
use measure::unit;
use plant::evidence::Named;
use plant::plant::{GaugeId, PartId};

/// A service task of one vessel.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// What it is called: "raw-pump.impeller", or the owner's own name.
    pub name: String,
    /// What it is, in words that begin a sentence: "Renew the impeller".
    pub title: String,
    /// On what; nothing for the vessel as a whole.
    pub of: Option<Named>,
    /// Whose running hours count.
    pub engine: Option<PartId>,
    /// How often.
    pub every: Every,
    /// By what else it falls due.
    pub also: Vec<Trigger>,
    /// What it takes.
    pub needs: Needs,
    /// Hands on [min].
    pub minutes: f64,
    /// What is done, in order; a line each.
    pub steps: Vec<String>,
    /// A file of the vessel's folder that tells it better: "procedures/oil-change.md".
    pub procedure: Option<String>,
    /// Said where it bites.
    pub caution: Option<String>,
    /// Tools that are not in every box.
    pub tools: Vec<String>,
    /// What is used up.
    pub uses: Vec<Use>,
    /// What is recorded.
    pub measures: Vec<Measure>,
    /// Ways of its part to fail that it looks for or takes away: places in the kind's table.
    pub guards: Vec<usize>,
    /// Whether what fails so is as new after it, and not only looked at.
    pub renews: bool,
    /// What is saved by doing it.
    pub harm: Harm,
    /// Where its interval comes from: "maker", "common practice, no source".
    pub mark: String,
    /// When it was done last, if the text tells it and no record does.
    pub told_last: Last,
    /// The owner wrote it.
    pub own: bool,
}

/// How often; whichever comes first.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Every {
    /// Running hours [h].
    pub hours: Option<f64>,
    /// Months by the calendar.
    pub months: Option<f64>,
    /// The first time, on what is new or rebuilt [h].
    pub first: Option<f64>,
}

/// What else makes it due.
#[derive(Clone, Debug, PartialEq)]
pub enum Trigger {
    /// A reading comes to a limit.
    Reading {
        /// Of this gauge.
        gauge: GaugeId,
        /// The limit [SI].
        limit: f64,
        /// Which side of it.
        side: Side,
    },
    /// What this task records comes to a limit.
    Measured {
        /// Name of the measure.
        measure: String,
        /// The limit [SI].
        limit: f64,
        /// Which side of it.
        side: Side,
    },
    /// Something has happened: "haul-out".
    After(String),
    /// Something is about to happen: "lay-up".
    Before(String),
    /// Every year by this month, 1 to 12.
    Season(i8),
}

/// Which side of a limit is too far.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Side {
    /// Above it.
    Above,
    /// Below it.
    Below,
}

/// What a task takes, the least first.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Needs {
    /// Can be done while she runs.
    Running,
    /// Engine stopped.
    Stopped,
    /// Engine cold.
    Cold,
    /// In port: long, or by others.
    InPort,
    /// Afloat and at rest, loaded as usual.
    Afloat,
    /// Out of the water.
    HauledOut,
}

impl Needs {
    /// All, the least first.
    pub const ALL: [Needs; 6] =
        [Needs::Running, Needs::Stopped, Needs::Cold, Needs::InPort, Needs::Afloat, Needs::HauledOut];

    /// The word in a text.
    pub fn key(self) -> &'static str {
        match self {
            Needs::Running => "running",
            Needs::Stopped => "stopped",
            Needs::Cold => "cold",
            Needs::InPort => "in-port",
            Needs::Afloat => "afloat",
            Needs::HauledOut => "hauled-out",
        }
    }

    /// The words at the head of a list.
    pub fn title(self) -> &'static str {
        match self {
            Needs::Running => "While she runs",
            Needs::Stopped => "Engine stopped",
            Needs::Cold => "Engine cold",
            Needs::InPort => "In port",
            Needs::Afloat => "Afloat, at rest",
            Needs::HauledOut => "Hauled out",
        }
    }

    /// Whether it can be done between two harbours.
    pub fn at_sea(self) -> bool {
        matches!(self, Needs::Running | Needs::Stopped | Needs::Cold)
    }
}

/// Something used up.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// An item's name, or a word of the trade: "impeller".
    pub what: String,
    /// How much: a count, or litres where the item is a liquid and `volume` is set.
    pub amount: f64,
    /// The amount is a volume [m³].
    pub volume: bool,
}

/// Something recorded, as found and as left.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// What: "clearance".
    pub name: String,
    /// A number of this quantity; nothing where it is told in words.
    pub quantity: Option<Quantity>,
    /// The unit it is written in.
    pub unit: String,
    /// Places it is taken at: "cylinder 1 inlet"; none where there is one only.
    pub at: Vec<String>,
    /// Least and most it may be, if the maker told it [SI].
    pub limits: (Option<f64>, Option<f64>),
}

impl Measure {
    /// A value of it in its own unit [SI]: "0.35 mm"; the bare number where it is told in words.
    pub fn print(&self, value: f64) -> String {
        self.print_in(value, &self.unit)
    }

    /// The same in another unit, as it may have been written in.
    pub fn print_in(&self, value: f64, unit: &str) -> String {
        let Some(quantity) = self.quantity else { return value.to_string() };
        unit::print(value, quantity, unit).unwrap_or_else(|| unit::print_usual(value, quantity))
    }
}

/// What doing a task saves.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Harm {
    /// Ease.
    Comfort,
    /// Something wears sooner.
    Wear,
    /// She stops at sea.
    StopsAtSea,
    /// An engine, or much of it.
    EngineLost,
    /// Fire, or gas in the cabin.
    Fire,
    /// Water comes aboard.
    WaterAboard,
}

impl Harm {
    /// The word in a text.
    pub const WORDS: [(&str, Harm); 6] = [
        ("comfort", Harm::Comfort),
        ("wear", Harm::Wear),
        ("stops-at-sea", Harm::StopsAtSea),
        ("engine-lost", Harm::EngineLost),
        ("fire", Harm::Fire),
        ("water-aboard", Harm::WaterAboard),
    ];

    /// What it may come to, in words.
    pub fn words(self) -> &'static str {
        match self {
            Harm::Comfort => "comfort",
            Harm::Wear => "wear",
            Harm::StopsAtSea => "she stops at sea",
            Harm::EngineLost => "an engine lost",
            Harm::Fire => "fire or gas",
            Harm::WaterAboard => "water aboard",
        }
    }

    /// What it is taken to cost [EUR]; from memory, for ranking only.
    pub fn cost(self) -> f64 {
        match self {
            Harm::Comfort => 50.0,
            Harm::Wear => 500.0,
            Harm::StopsAtSea => 2_000.0,
            Harm::EngineLost => 8_000.0,
            Harm::Fire | Harm::WaterAboard => 40_000.0,
        }
    }
}

/// When something was done last.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct Last {
    /// When [ms since 1970, UTC].
    pub time: Option<i64>,
    /// At which running hours of its engine [h].
    pub hours: Option<f64>,
}

impl Last {
    /// Nobody knows.
    pub fn is_unknown(self) -> bool {
        self.time.is_none() && self.hours.is_none()
    }
}
