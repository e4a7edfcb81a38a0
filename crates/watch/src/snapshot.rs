//! A snapshot: what every gauge showed while the plant ran as it ran, with flicker averaged out.

use crate::helm::Helm;
use crate::recent::{Drift, Recent, STALE};
use diagnosis::hypothesis::kind_of;
use measure::reading::{Mark, ReadingText};
use model::expect::{Expected, reading_noise};
use parts::kind::{Of, When};
use plant::evidence::{Moment, Named, Occasion, Said, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// What was read at one operating point.
#[derive(Clone, Debug)]
pub struct Snapshot {
    /// When it was taken [s].
    pub at: f64,
    /// Where the plant was run.
    pub told: ToldPoint,
    /// What each gauge showed on average [SI], and how it behaved.
    pub readings: Vec<(GaugeId, f64, Mark)>,
    /// Alarms that were on.
    ringing: Vec<GaugeId>,
    /// Alarms that were off though a gauge beside them was past where they trip.
    silent: Vec<GaugeId>,
}

/// A gauge that has drifted this far is told as climbing or falling, not as a value [standard deviations].
const MOVES: f64 = 2.5;
/// A reading this close to the end of its scale is against the stop: share of the scale [1].
const STOP: f64 = 0.002;

impl Snapshot {
    /// Takes one over the last `span` [s]; nothing where no gauge tells the speed.
    pub fn take(plant: &Plant, helm: &Helm, recent: &Recent, now: f64, span: f64) -> Option<Snapshot> {
        let told = helm.told(recent, now, span)?;
        let all = || plant.gauge_ids();
        let on = |alarm: GaugeId| recent.fresh(alarm, now).map(|value| value > 0.5);
        let readings: Vec<_> = all()
            .filter(|g| plant[*g].trips.is_none())
            .filter_map(|g| {
                let mark = mark(plant, recent, g, now, span)?;
                let span = if mark == Mark::Steady { span } else { STALE };
                Some((g, recent.mean(g, now, span)?, mark))
            })
            .collect();
        let past = |alarm: GaugeId| {
            let tripped = |value: f64| match plant[alarm].trips {
                Some((trip, When::High)) => value > trip + plant[alarm].accuracy,
                Some((trip, When::Low)) => value < trip - plant[alarm].accuracy,
                None => false,
            };
            readings.iter().any(|(g, value, _)| plant[*g].tap == plant[alarm].tap && tripped(*value))
        };
        let alarms = || all().filter(|g| plant[*g].trips.is_some());
        let ringing = alarms().filter(|a| on(*a) == Some(true)).collect();
        let silent = alarms().filter(|a| on(*a) == Some(false) && past(*a)).collect();
        Some(Snapshot { at: now, told, readings, ringing, silent })
    }

    /// One in which nothing was read.
    #[cfg(test)]
    pub(crate) fn empty(at: f64) -> Snapshot {
        Snapshot { at, told: ToldPoint::default(), readings: Vec::new(), ringing: Vec::new(), silent: Vec::new() }
    }

    /// Whether every gauge kept still.
    pub fn settled(&self) -> bool {
        self.readings.iter().all(|(_, _, mark)| !matches!(mark, Mark::Climbing | Mark::Falling))
    }

    /// Gauges that kept still, and what they showed [SI].
    pub fn still(&self) -> Vec<(GaugeId, f64)> {
        let still = self.readings.iter().filter(|(_, _, mark)| !matches!(mark, Mark::Climbing | Mark::Falling));
        still.map(|(gauge, value, _)| (*gauge, *value)).collect()
    }

    /// As an occasion of evidence.
    pub fn occasion(&self, plant: &Plant, when: Moment) -> Occasion {
        let readings =
            self.readings.iter().map(|&(g, value, mark)| (g, ReadingText::Value { value, mark, rough: false }));
        let on = |alarms: &[GaugeId]| alarms.iter().filter_map(|a| said_on(plant, *a)).collect();
        Occasion {
            when,
            at: self.told.clone(),
            readings: readings.collect(),
            said: on(&self.ringing),
            not: on(&self.silent),
            nothing_else: false,
        }
    }
}

/// How a gauge behaved; nothing if too little was read.
fn mark(plant: &Plant, recent: &Recent, gauge: GaugeId, now: f64, span: f64) -> Option<Mark> {
    let Drift { score } = recent.drift(plant, gauge, now, span)?;
    let (low, high) = plant[gauge].scale;
    let mean = recent.mean(gauge, now, STALE)?;
    let stop = STOP * (high - low);
    Some(match mean {
        m if m <= low + stop => Mark::OffScaleLow,
        m if m >= high - stop => Mark::OffScaleHigh,
        _ if score > MOVES => Mark::Climbing,
        _ if score < -MOVES => Mark::Falling,
        _ => Mark::Steady,
    })
}

/// That an alarm is on, as a word of its kind.
pub fn said_on(plant: &Plant, alarm: GaugeId) -> Option<Said> {
    let of = Named::Gauge(alarm);
    let word = kind_of(plant, of).words.iter().position(|word| word.of == Of::Trip)?;
    Some(Said { of, word })
}

/// A snapshot held against what a sound plant would show.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What was read.
    pub snapshot: Snapshot,
    /// How far each gauge that kept still was off [SI].
    pub off: Vec<(GaugeId, f64)>,
    /// How odd the readings are together [standard deviations of a unit normal].
    pub oddity: f64,
    /// Gauges that are off by more than any sound plant would be.
    pub departed: Vec<GaugeId>,
}

/// Readings this odd are worth weighing: one sound plant in twenty shows such a set [standard deviations].
const ODD: f64 = 1.64;
/// A gauge this far off its band has departed [standard deviations]: with a look a minute at eighteen gauges that is one false
/// alarm in a thousand hours, about.
pub const FAR: f64 = 5.0;
/// One reading that has moved by so much between two snapshots says that the plant is not what it was, and so does the
/// sum of squares over all beyond its mean by as much [standard deviations of a reading].
const CHANGED: f64 = 4.0;

impl Judged {
    /// Holds a snapshot against the bands at its operating point.
    pub fn of(snapshot: Snapshot, expected: &Expected) -> Judged {
        let still = snapshot.still();
        let off = still.iter().map(|&(g, value)| (g, value - expected.bands[g.0].value)).collect();
        let far = still.iter().filter(|(g, value)| expected.bands[g.0].off(*value).abs() > FAR);
        let departed = far.map(|(g, _)| *g).collect();
        Judged { off, oddity: expected.likeness.oddity(&still).unwrap_or(0.0), departed, snapshot }
    }

    /// Whether the readings are odd enough to ask for causes.
    pub fn odd(&self) -> bool {
        self.oddity > ODD
    }

    /// Whether the plant shows something else than it did, other things being equal.
    pub fn differs(&self, plant: &Plant, other: &Judged) -> bool {
        let scores: Vec<f64> = self
            .off
            .iter()
            .filter_map(|&(g, off)| {
                let was = other.off.iter().find(|(h, _)| *h == g)?.1;
                let value = self.snapshot.readings.iter().find(|(h, ..)| *h == g)?.1;
                Some((off - was) / reading_noise(plant, g, value, false))
            })
            .collect();
        let count = scores.len() as f64;
        let sum: f64 = scores.iter().map(|score| score * score).sum();
        scores.iter().any(|score| score.abs() > CHANGED) || sum > count + CHANGED * (2.0 * count).sqrt()
    }
}
