//! Designed, commissioned and now, beside each other.

use crate::kept::{Step, Trial};
use crate::stages::{Ought, ought};
use measure::figure::SIGMAS_TO_95;
use model::expect::usual;
use model::fit::{Fit, Run, Seen};
use model::steady::{Model, Unsolved};
use model::under::Under;
use model::warmth::Warmth;
use plant::evidence::ToldPoint;
use plant::plant::{GaugeId, Plant};

/// One gauge at one point.
#[derive(Copy, Clone, Debug)]
pub struct Beside {
    /// Which.
    pub gauge: GaugeId,
    /// What the description gives [SI].
    pub designed: Option<Ought>,
    /// The same narrowed by the baseline, and carried to this point [SI].
    pub commissioned: Option<Ought>,
    /// What was read [SI].
    pub now: Option<f64>,
    /// How far the reading is off the nearer of the two that are there, commissioned before designed [standard deviations].
    pub off: Option<f64>,
}

/// What a baseline tells, fitted once.
pub struct Baseline {
    seen: Seen,
    fit: Fit,
    /// Gauges it read that the plant no longer has.
    pub gone: Vec<String>,
}

/// Steps of the fit.
const STEPS: usize = 12;

impl Baseline {
    /// Fits the plant to what was read when she was known good.
    ///
    /// # Errors
    /// [`Unsolved`] where the plant has no state at one of its points.
    pub fn of(model: &mut Model, trial: &Trial) -> Result<Baseline, Unsolved> {
        let (evidence, gone) = trial.usual(&model.plant);
        let seen = usual(&model.plant, &evidence);
        let fit = model.fit(&seen, &Under::default(), None, STEPS)?;
        Ok(Baseline { seen, fit, gone })
    }

    /// What gauges ought to read at another point, if she is still as she was.
    ///
    /// # Errors
    /// [`Unsolved`] where the plant has no state there.
    pub fn carried(&self, model: &mut Model, at: &ToldPoint) -> Result<Vec<Ought>, Unsolved> {
        let (point, spread) = model::point::told(&model.plant, at);
        let run = Run { point, spread, warmth: Warmth::Settled, troubled: false };
        let gauges: Vec<GaugeId> =
            model.plant.gauge_ids().filter(|gauge| model.plant[*gauge].trips.is_none()).collect();
        let told = model.foretell(&self.fit, &self.seen, &Under::default(), &run, &gauges)?;
        let each = told.into_iter().map(|told| {
            let reach = SIGMAS_TO_95 * told.sigma;
            Ought { gauge: told.gauge, value: told.value, low: told.value - reach, high: told.value + reach }
        });
        Ok(each.collect())
    }
}

impl Beside {
    /// "over" or "under" on its dial, where the reading lies outside what 95 of 100 would show; else nothing.
    pub fn stands(&self, plant: &Plant) -> Option<&'static str> {
        let off = self.off.filter(|off| off.abs() > SIGMAS_TO_95)?;
        // What a vacuum gauge shows goes up when the pressure goes down.
        Some(if (off > 0.0) == plant[self.gauge].vacuum { "under" } else { "over" })
    }
}

/// Every gauge at the point of a step: designed, commissioned if there is a baseline, now where it was read.
pub fn beside(model: &mut Model, baseline: Option<&Baseline>, step: &Step) -> Vec<Beside> {
    let at = step.at(&model.plant);
    let designed = ought(model, &at);
    let commissioned = baseline.and_then(|baseline| baseline.carried(model, &at).ok()).unwrap_or_default();
    let of = |all: &[Ought], gauge: GaugeId| all.iter().find(|ought| ought.gauge == gauge).copied();
    let gauges = model.plant.gauge_ids().filter(|gauge| model.plant[*gauge].trips.is_none());
    let each = gauges.map(|gauge| {
        let (designed, commissioned) = (of(&designed, gauge), of(&commissioned, gauge));
        let now = step.read(&model.plant, gauge);
        let off = now.zip(commissioned.or(designed)).map(|(now, ought)| off(&ought, now));
        Beside { gauge, designed, commissioned, now, off }
    });
    each.filter(|beside| beside.designed.is_some() || beside.now.is_some()).collect()
}

/// How far a reading is off [standard deviations].
pub fn off(ought: &Ought, reading: f64) -> f64 {
    let sigma = (ought.high - ought.low) / (2.0 * SIGMAS_TO_95);
    (reading - ought.value) / sigma.max(f64::MIN_POSITIVE)
}
