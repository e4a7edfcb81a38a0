//! The last readings of each gauge: their mean, how far they drift, how old they are.

use model::expect::reading_noise;
use plant::plant::{GaugeId, Plant};
use std::collections::VecDeque;

/// One reading as it comes in.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Reading {
    /// Which gauge.
    pub gauge: GaugeId,
    /// Value [SI; pressures over the atmosphere]; of an alarm 1 when it is on and 0 when it is off.
    pub value: f64,
    /// When it was read [s].
    pub at: f64,
}

/// Readings are kept this long and a steady one is their mean [s]: as long as it takes for flicker to average to a
/// fifth of itself at a reading every ten seconds. Common practice, no source.
pub const WINDOW: f64 = 300.0;
/// Readings in each half of the window that its drift is judged from, at least.
const FEWEST: usize = 3;
/// A gauge read no later than this ago still counts [s].
pub const STALE: f64 = 60.0;
/// A drift over half the window by less than this share of what a reading is good for is none: what is still to come
/// of it, with a time constant of some minutes, is then smaller than what the reading is good for.
const SLIGHT: f64 = 0.2;
/// One drift beyond this is a movement [standard deviations]: of eighteen gauges one in five hundred by chance.
const MOVING: f64 = 4.0;

/// The last readings of every gauge.
#[derive(Clone, Debug)]
pub struct Recent {
    gauges: Vec<VecDeque<(f64, f64)>>,
}

/// How a gauge has behaved over the window.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Drift {
    /// From the first half of the window to the second [standard deviations of flicker and of what does not matter].
    pub score: f64,
}

impl Drift {
    /// Whether it keeps still.
    pub fn still(self) -> bool {
        self.score.abs() < MOVING
    }
}

impl Recent {
    /// Nothing read yet.
    pub fn new(gauges: usize) -> Recent {
        Recent { gauges: vec![VecDeque::new(); gauges] }
    }

    /// Takes a reading in. One that is no number, of no gauge, or older than the last of its gauge is passed over.
    pub fn take(&mut self, reading: Reading) -> bool {
        let Some(list) = self.gauges.get_mut(reading.gauge.0) else { return false };
        let late = list.back().is_some_and(|&(at, _)| reading.at < at);
        if late || !reading.value.is_finite() || !reading.at.is_finite() {
            return false;
        }
        list.push_back((reading.at, reading.value));
        while list.front().is_some_and(|&(at, _)| at < reading.at - WINDOW) {
            list.pop_front();
        }
        true
    }

    /// The last reading of a gauge: when [s], and its value [SI].
    pub fn last(&self, gauge: GaugeId) -> Option<(f64, f64)> {
        self.gauges.get(gauge.0)?.back().copied()
    }

    /// The same, if it is not stale.
    pub fn fresh(&self, gauge: GaugeId, now: f64) -> Option<f64> {
        self.last(gauge).filter(|(at, _)| now - at <= STALE).map(|(_, value)| value)
    }

    /// Time between two readings of a gauge that is read regularly, on average [s]; nothing of one read now and then.
    pub fn rhythm(&self, gauge: GaugeId) -> Option<f64> {
        let list = self.gauges.get(gauge.0)?;
        let ((first, _), (last, _)) = (list.front()?, list.back()?);
        (list.len() > 2 * FEWEST).then(|| (last - first) / (list.len() - 1) as f64)
    }

    /// Mean of what was read in the last `span` [s], if it is not stale [SI].
    pub fn mean(&self, gauge: GaugeId, now: f64, span: f64) -> Option<f64> {
        self.fresh(gauge, now)?;
        self.over(gauge, now - span, now + 1e-9).map(|(mean, _)| mean)
    }

    /// How a gauge has drifted over the last `span` [s]; nothing before there is as much of it.
    pub fn drift(&self, plant: &Plant, gauge: GaugeId, now: f64, span: f64) -> Option<Drift> {
        self.fresh(gauge, now)?;
        let middle = now - 0.5 * span;
        let (was, before) = self.over(gauge, now - span, middle)?;
        let (is, after) = self.over(gauge, middle, now + 1e-9)?;
        let first = self.gauges[gauge.0].front()?.0;
        if before < FEWEST || after < FEWEST || first > now - 0.9 * span {
            return None;
        }
        let flicker = plant[gauge].noise * (1.0 / before as f64 + 1.0 / after as f64).sqrt();
        let worth = SLIGHT * reading_noise(plant, gauge, is, false);
        Some(Drift { score: (is - was) / flicker.hypot(worth) })
    }

    /// Mean and number of what was read from one time until before another.
    fn over(&self, gauge: GaugeId, from: f64, until: f64) -> Option<(f64, usize)> {
        let list = self.gauges.get(gauge.0)?;
        let within = list.iter().filter(|(at, _)| *at >= from && *at < until).map(|(_, value)| *value);
        let (sum, count) = within.fold((0.0, 0), |(sum, count), value| (sum + value, count + 1));
        (count > 0).then(|| (sum / count as f64, count))
    }
}
