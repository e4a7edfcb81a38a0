//! What gauges would read somewhere else, by a fit to what was read here: at another speed, or where no reading was taken.

use crate::expect::reading_noise;
use crate::fit::{Fit, Observed, Run, Scores, Seen};
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
    /// What these gauges would read on one more run, under what the fit was made under.
    ///
    /// # Errors
    /// [`Unsolved`] if the plant has no state there.
    pub fn foretell(
        &mut self,
        fit: &Fit,
        under: &Under,
        run: &Run,
        gauges: &[GaugeId],
    ) -> Result<Vec<Foretold>, Unsolved> {
        let scores = Scores::of(self, 1);
        let lasting = scores.run(0);
        let led = fit.leads_to();
        let u = DVector::from_fn(scores.len(), |k, _| if k < lasting { led[k] } else { 0.0 });
        let observed = gauges.iter().map(|&gauge| Observed { terms: vec![(0, gauge, 1.0)], value: 0.0, noise: 1.0 });
        let seen = Seen { runs: vec![run.clone()], observed: observed.collect() };
        let near = fit.states.last().cloned();
        let linear = self.linearise(&seen, under, &scores, &u, near.as_ref().map(std::slice::from_ref), None)?;
        let each = gauges.iter().enumerate().map(|(i, &gauge)| {
            let row = linear.slopes.row(i);
            let known = DVector::from_fn(led.len(), |k, _| if k < lasting { row[k] } else { 0.0 });
            let point: f64 = (lasting..scores.len()).map(|k| row[k] * row[k]).sum();
            let apart: f64 = linear.apart.iter().map(|way| way[i] * way[i]).sum();
            let lies = under.lie.as_ref().and_then(|lie| lie.of(gauge)).map_or((0.0, 0.0), |own| (own.mean, own.sigma));
            let value = linear.expected[i] + lies.0;
            let noise = reading_noise(&self.plant, gauge, value, false);
            let variance = fit.left_of(&known).powi(2) + point + apart + lies.1 * lies.1 + noise * noise;
            Foretold { gauge, value, sigma: variance.sqrt() }
        });
        Ok(each.collect())
    }
}
