//! Readings held against what a sound plant would show, as it was known before the trouble.

use crate::explain::Known;
use model::expect::reading_noise;
use model::scores::Scores;
use model::steady::Model;
use model::under::Under;
use plant::plant::GaugeId;

/// One reading and what a sound plant would show.
#[derive(Clone, Debug)]
pub struct Deviation {
    /// Place of the occasion among the runs.
    pub run: usize,
    /// Which gauge.
    pub gauge: GaugeId,
    /// What it read, or how far over usual [SI].
    pub read: f64,
    /// What a sound plant would show [SI].
    pub expected: f64,
    /// One standard deviation of that [SI].
    pub sigma: f64,
    /// What both are differences to, if to anything.
    pub against: Option<Against>,
}

/// What a reading was held against.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Against {
    /// Itself, when all was well.
    Usual,
    /// The same gauge of the sister engine.
    Sister,
}

impl Against {
    /// "over usual".
    pub fn words(self) -> &'static str {
        match self {
            Against::Usual => "over usual",
            Against::Sister => "over the sister engine",
        }
    }
}

/// A reading that says no more than "at least" or "at most".
#[derive(Clone, Debug)]
pub struct OneSided {
    /// What it said, and what a sound plant would show.
    pub deviation: Deviation,
    /// At least (true) or at most what it said, in SI.
    pub at_least: bool,
}

impl OneSided {
    /// How far it is off at least, in standard deviations; nothing while a sound plant may be past it too.
    pub fn far(&self) -> f64 {
        let Deviation { read, expected, sigma, .. } = self.deviation;
        let far = (read - expected) / sigma;
        if self.at_least { far.max(0.0) } else { far.min(0.0) }
    }
}

/// One-sided readings after onset against the plant as known before it, in the order they were set out.
pub(crate) fn one_sided(model: &mut Model, known: &Known) -> Vec<OneSided> {
    let seen = &known.setting.seen;
    let after = known.setting.bounds.iter().filter(|bound| seen.runs[bound.run].troubled);
    let one = |bound: &crate::setting::Bound| {
        let shows =
            model.foretell(&known.usual, seen, &Under::default(), &seen.runs[bound.run], &[bound.gauge]).ok()?;
        let shows = shows.first()?;
        let deviation = Deviation {
            run: bound.run,
            gauge: bound.gauge,
            read: bound.value,
            expected: shows.value,
            sigma: shows.sigma,
            against: None,
        };
        Some(OneSided { deviation, at_least: bound.at_least })
    };
    after.filter_map(one).collect()
}

/// Readings after onset against the plant as known before it.
pub(crate) fn all(model: &Model, known: &Known) -> Vec<Deviation> {
    let plant = &model.plant;
    let seen = &known.setting.seen;
    let scores = Scores::of(model, seen.runs.len());
    seen.observed
        .iter()
        .enumerate()
        .filter_map(|(i, observed)| {
            let &(run, gauge, _) = observed.terms.first()?;
            if !seen.runs[run].troubled {
                return None;
            }
            let other = observed.terms.get(1).map(|(_, other, _)| *other);
            let against = other.map(|other| if other == gauge { Against::Usual } else { Against::Sister });
            let shows = |&(run, gauge, weight): &(usize, GaugeId, f64)| {
                let bias = model.lasting(gauge) * scores.off(gauge, known.usual.scores.as_slice());
                weight * (model.read(&known.usual.states[run], plant[gauge].tap) + bias)
            };
            let expected = match against {
                Some(Against::Usual) => 0.0,
                _ => observed.terms.iter().map(shows).sum(),
            };
            let noise = reading_noise(plant, gauge, expected, false);
            // Figures, operating point, gauge and flicker together.
            let sigma = known.before.as_ref().and_then(|fit| fit.sigma.get(i).copied()).unwrap_or(noise);
            Some(Deviation { run, gauge, read: observed.value, expected, sigma, against })
        })
        .collect()
}
