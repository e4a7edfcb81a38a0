//! What is uncertain of a plant, as unit normal scores: which score is where, and what figures and points they make.

use crate::common::Common;
use crate::fit::Run;
use crate::point;
use crate::steady::Model;
use crate::under::Under;
use measure::figure::Spread;
use parts::laws::Point;
use plant::plant::GaugeId;
use std::sync::Arc;

/// Which scores there are.
#[derive(Clone, Debug)]
pub struct Scores {
    /// Uncertain parameters: (place in the plant's list, spread).
    pub figures: Arc<[(usize, Spread)]>,
    gauges: usize,
    runs: usize,
    pub(crate) common: Arc<Common>,
    /// Parts of each operating point.
    pub(crate) of_point: usize,
    /// Further figures that causes move, each by how far it goes out of step.
    further: usize,
}

impl Scores {
    /// The scores of a plant on so many occasions.
    pub fn of(model: &Model, runs: usize) -> Scores {
        let (figures, common) = (model.uncertain.clone(), model.common.clone());
        Scores {
            figures,
            gauges: model.plant.gauges.len(),
            runs,
            common,
            of_point: point::count(&model.plant),
            further: 0,
        }
    }

    /// The same and, after all others, how far the further figures that these causes move go out of step.
    #[must_use]
    pub fn under(self, under: &Under) -> Scores {
        Scores { further: under.further(), ..self }
    }

    /// How many.
    pub fn len(&self) -> usize {
        self.first_further() + self.further
    }

    /// First place of how far further figures go out of step.
    pub fn first_further(&self) -> usize {
        self.figures.len() + self.gauges + self.runs * self.of_point
    }

    /// Whether nothing is uncertain.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Place of a gauge's lasting error.
    pub fn gauge(&self, gauge: GaugeId) -> usize {
        self.figures.len() + gauge.0
    }

    /// What is lastingly wrong with a gauge at these scores [standard deviations].
    pub fn off(&self, gauge: GaugeId, scores: &[f64]) -> f64 {
        self.common.off(self.gauge(gauge), scores)
    }

    /// How far a figure, by its place among the uncertain, is off at these scores [standard deviations].
    pub fn figure_off(&self, place: usize, scores: &[f64]) -> f64 {
        self.common.off(place, scores)
    }

    /// First place of an occasion's operating point.
    pub fn run(&self, run: usize) -> usize {
        self.figures.len() + self.gauges + run * self.of_point
    }

    /// Parameters at these scores [SI].
    pub fn parameters(&self, model: &Model, scores: &[f64]) -> Vec<f64> {
        let mut values = model.figures.clone();
        for (k, (place, spread)) in self.figures.iter().enumerate() {
            values[*place] = moved(values[*place], *spread, self.common.off(k, scores));
        }
        values
    }

    /// Operating point of an occasion at these scores [SI].
    pub fn point(&self, run: usize, told: &Run, scores: &[f64]) -> Point<f64> {
        let first = self.run(run);
        let mut at = point::to_array(&told.point);
        for k in 0..self.of_point {
            at[k] += told.spread.0[k] * scores[first + k];
        }
        // A load or a speed below nothing means nothing.
        at[0] = at[0].max(0.0);
        at[1] = at[1].max(0.0);
        point::from_array(at)
    }
}

/// Furthest that any score may wander [1].
pub(crate) const FURTHEST: f64 = 6.0;

fn moved(value: f64, spread: Spread, score: f64) -> f64 {
    let score = score.clamp(-FURTHEST, FURTHEST);
    if spread.is_factor() { value * (spread.sigma() * score).exp() } else { value + spread.sigma() * score }
}
