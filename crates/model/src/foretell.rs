//! What gauges would read somewhere else, by a fit to what was read here: at another speed, or where no reading was taken.

use crate::expect::reading_noise;
use crate::fit::{Fit, Observed, Run, Seen};
use crate::scores::Scores;
use crate::steady::{Model, Unsolved};
use crate::under::Under;
use nalgebra::DVector;
use plant::plant::GaugeId;

/// What one gauge would read.
#[derive(Copy, Clone, Debug)]
pub struct Foretold {
    /// Which.
    pub gauge: GaugeId,
    /// What it would read [SI].
    pub value: f64,
    /// One standard deviation of that, with what was read taken into account, flicker and all [SI].
    pub sigma: f64,
}

impl Model {
    /// What these gauges would read on one more run, under what the fit was made under, to what was seen.
    ///
    /// # Errors
    /// [`Unsolved`] if the plant has no state there.
    pub fn foretell(
        &mut self,
        fit: &Fit,
        seen: &Seen,
        under: &Under,
        run: &Run,
        gauges: &[GaugeId],
    ) -> Result<Vec<Foretold>, Unsolved> {
        let scores = Scores::of(self, 1).under(under);
        let (lasting, further) = (scores.run(0), scores.first_further());
        let (led, pull) = (fit.leads_to(), fit.weighted());
        // Where a score of this run stands among the fit's, if it is there.
        let between = led.len().saturating_sub(under.further());
        let of_fit = |k: usize| if k < further { k } else { between + k - further };
        let known_there = |k: usize| k < lasting || k >= further;
        let u = DVector::from_fn(scores.len(), |k, _| if known_there(k) { led[of_fit(k)] } else { 0.0 });
        let observed = gauges.iter().map(|&gauge| Observed { terms: vec![(0, gauge, 1.0)], value: 0.0, noise: 1.0 });
        let there = Seen { runs: vec![run.clone()], observed: observed.collect(), ..Seen::default() };
        let near = fit.states.last().cloned();
        let linear = self.linearise(&there, under, &scores, &u, near.as_ref().map(std::slice::from_ref), None)?;
        let each = gauges.iter().enumerate().map(|(i, &gauge)| {
            let row = linear.slopes.row(i);
            let mut known = DVector::zeros(led.len());
            (0..scores.len()).filter(|k| known_there(*k)).for_each(|k| known[of_fit(k)] = row[k]);
            let point: f64 = (lasting..further).map(|k| row[k] * row[k]).sum();
            let lying = under.lie.as_ref().and_then(|lie| Some((lie, lie.of(gauge)?)));
            let (mean, sigma) = match lying {
                Some((lie, own)) if own.stands_at.is_none() => {
                    (own.mean + own.sigma * pull.dot(&lie.way(seen)), own.sigma)
                }
                Some((_, own)) => (0.0, own.sigma),
                None => (0.0, 0.0),
            };
            let way = lying.filter(|_| sigma != 0.0).map(|(lie, _)| lie.way(seen) * sigma);
            let value = linear.expected[i] + mean;
            let noise = reading_noise(&self.plant, gauge, value, false);
            let left = fit.left_of(&known, sigma, way.as_ref());
            Foretold { gauge, value, sigma: (left * left + point + noise * noise).sqrt() }
        });
        Ok(each.collect())
    }
}
