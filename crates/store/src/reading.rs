//! Readings as they are given and as they are handed back.

/// A gauge to be kept, at the resolution it has now.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// Its name in the vessel's text.
    pub name: String,
    /// What is read together with it: gauges of one feed share a column of times, so they should have their readings at
    /// the same moments. A gauge that is read alone has a feed of its own.
    pub feed: String,
    /// The smallest difference it can show [SI unit of the gauge], above 0.
    pub step: f64,
    /// What it reads at no steps [SI unit of the gauge].
    pub zero: f64,
}

/// A gauge at one resolution, as this store numbers it. A gauge whose resolution changes gets another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Series(pub(crate) i64);

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Of which gauge, at which resolution.
    pub series: Series,
    /// When [ms since 1970, UTC], as the clock had it.
    pub time: i64,
    /// How many steps over the gauge's zero, up to 2^40 either way.
    pub steps: i64,
}

/// How readings come in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrival {
    /// As they are read: they come in order, and if they do not, the clock was put back, and they are marked.
    Live,
    /// From elsewhere, in any order: their times are taken as they stand.
    Import,
}

/// What came of readings that were given, once they are on the disk.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    /// Kept.
    pub stored: usize,
    /// Left out, for the same value of the same gauge at the same time was there.
    pub repeated: usize,
    /// Imported, but of an hour whose readings were dropped: whether they repeat what was there cannot be told.
    pub too_old: usize,
}

/// Whether the clock can be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// Nothing speaks against it.
    Sound,
    /// Before the year 2000: it was not set.
    Unset,
    /// It was put back before this, so that these times overlap earlier ones.
    PutBack,
}

/// One reading, as it is kept.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// When [ms since 1970, UTC].
    pub time: i64,
    /// How many steps.
    pub steps: i64,
    /// What that is [SI unit of the gauge].
    pub value: f64,
    /// In which run of the clock: 0 for what was imported, then counting up each time the clock was put back or set.
    pub run: i64,
    /// Whether that clock can be trusted.
    pub clock: Clock,
}

/// What a gauge showed in a stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// First moment [ms since 1970, UTC].
    pub from: i64,
    /// First moment after it [ms].
    pub until: i64,
    /// Least value [SI unit of the gauge].
    pub min: f64,
    /// Greatest value.
    pub max: f64,
    /// Mean of all readings, each counting alike.
    pub mean: f64,
    /// How many readings.
    pub count: u64,
}

/// A gauge over a span of time, with about as many points as were asked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plot {
    /// What each point covers [ms].
    pub width: i64,
    /// Points in order of time; a stretch without readings has none.
    pub points: Vec<Point>,
    /// What could not be read, in words; the rest is as it should be.
    pub damaged: Vec<String>,
}

/// One hour [ms]: what a chunk holds.
pub(crate) const HOUR: i64 = 3_600_000;
/// Steps may go so far from zero: sums of an hour stay exact, and they fit the `f64` they become.
pub(crate) const MOST_STEPS: i64 = 1 << 40;
/// Times may go so far from 1970 either way [ms]: the end of the year 9999.
pub(crate) const FURTHEST: i64 = 253_402_300_800_000;

/// A reading inside the store.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Row {
    pub feed: i64,
    pub series: i64,
    pub run: i64,
    pub time: i64,
    pub steps: i64,
}

impl Row {
    pub(crate) fn hour(&self) -> i64 {
        self.time.div_euclid(HOUR)
    }
}
