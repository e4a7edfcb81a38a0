//! A world that is not the model's own: plants drawn from the spreads, gauges with a lasting error, readings with
//! flicker, and a model that is a little wrong. The side that judges sees only the description and the readings.

use crate::chance::Chance;
use measure::reading::{Mark, ReadingText};
use model::expect::discrepancy;
use model::fit::{Run, Scores};
use model::point::{self, PointSpread};
use model::steady::{Model, State};
use model::warmth::Warmth;
use parts::laws::Point;
use plant::evidence::{Evidence, Moment, Occasion, ToldPoint};
use plant::plant::{GaugeId, Plant};

/// One drawn vessel.
pub struct Vessel {
    /// Its true figures [SI].
    pub parameters: Vec<f64>,
    /// Each gauge's lasting error, and what the model gets lastingly wrong where it sits [SI].
    lasting: Vec<f64>,
}

impl Vessel {
    /// Draws a vessel from the spreads of its description.
    pub fn draw(model: &Model, chance: &mut Chance) -> Vessel {
        let scores = Scores::of(model, 0);
        let normals: Vec<f64> = (0..scores.len()).map(|_| chance.normal()).collect();
        let gauges = model.plant.gauge_ids();
        let lasting = gauges.map(|g| model.lasting(g) * scores.off(g, &normals)).collect();
        Vessel { parameters: scores.parameters(model, &normals), lasting }
    }

    /// What a gauge reads in a state [SI].
    pub fn reading(&self, model: &Model, state: &State, gauge: GaugeId, chance: &mut Chance) -> f64 {
        let g = &model.plant[gauge];
        let true_value = model.read(state, g.tap);
        let passing = discrepancy(g.quantity, true_value) * 0.5;
        true_value + self.lasting[gauge.0] + g.noise * chance.normal() + passing * chance.normal()
    }
}

/// A told operating point, and a true one near it.
pub fn points(plant: &Plant, chance: &mut Chance) -> (ToldPoint, Point<f64>) {
    let speed = plant.rated_speed * (0.45 + 0.5 * chance.uniform());
    let sea = 278.15 + 20.0 * chance.uniform();
    let told = ToldPoint { speed: Some(speed), sea: Some(sea), load: Some(1.0), ..ToldPoint::default() };
    let (at, PointSpread(spread)) = point::told(plant, &told);
    let run = Run { point: at, spread: PointSpread(spread), warmth: Warmth::Settled, troubled: false };
    let a = point::to_array(&run.point);
    let truth = point::from_array(std::array::from_fn(|k| point::off(a[k], spread[k], || chance.normal())));
    (told, truth)
}

/// Evidence of one occasion now: every gauge read.
pub fn read_all(model: &Model, vessel: &Vessel, state: &State, told: &ToldPoint, chance: &mut Chance) -> Evidence {
    let gauges = model.plant.gauge_ids().filter(|g| model.plant[*g].trips.is_none());
    let readings = gauges
        .map(|g| {
            (g, ReadingText::Value { value: vessel.reading(model, state, g, chance), mark: Mark::Steady, rough: false })
        })
        .collect();
    Evidence {
        occasions: vec![Occasion { when: Moment::Now, at: told.clone(), readings, ..Occasion::default() }],
        ..Evidence::default()
    }
}
