//! What several uncertain things have in common: figures and gauges of sister engines, gauges on one sender or at one place.
//!
//! Scores stay independent unit normals; where two things are uncertain together, each is a sum of such scores (the rows of
//! a Cholesky factor of their correlation), so that whoever fits or draws need not know of it.

use crate::steady::Model;
use measure::figure::{Origin, Spread};
use nalgebra::DMatrix;
use plant::plant::GaugeId;

/// Correlation of a typical figure's doubt between two parts of one make: what the tables do not know of the make is the
/// same for both, what was made or worn differently is not. From memory.
pub const OF_ONE_MAKE: f64 = 0.8;
/// And of what the model lastingly gets wrong at the same place of two engines of one make. From memory.
pub const MODEL_OF_ONE_MAKE: f64 = 0.8;
/// Share of the variance of a gauge's own error that sits in its sender; the rest is the instrument's. From memory.
pub const IN_THE_SENDER: f64 = 0.7;

/// For each thing, the scores that make it and their weights; a thing beyond the list is its own score.
#[derive(Clone, Debug, Default)]
pub(crate) struct Common {
    first: Vec<usize>,
    weights: Vec<(usize, f64)>,
}

impl Common {
    /// Of uncertain figures (place in the plant's list, spread), then of every gauge.
    pub fn of(model: &Model, figures: &[(usize, Spread)]) -> Common {
        let count = figures.len() + model.plant.gauges.len();
        let mut rows: Vec<Vec<(usize, f64)>> = (0..count).map(|k| vec![(k, 1.0)]).collect();
        for group in of_one_make(model, figures) {
            factor(&mut rows, &group, |_, _| OF_ONE_MAKE);
        }
        for group in gauges_together(model) {
            let at: Vec<usize> = group.iter().map(|gauge| figures.len() + gauge.0).collect();
            factor(&mut rows, &at, |i, j| correlation(model, group[i], group[j]));
        }
        let mut common = Common::default();
        for row in rows {
            common.first.push(common.weights.len());
            common.weights.extend(row);
        }
        common.first.push(common.weights.len());
        common
    }

    /// Calls `each` with every score that makes this thing and its weight.
    pub fn each(&self, thing: usize, mut each: impl FnMut(usize, f64)) {
        match (self.first.get(thing), self.first.get(thing + 1)) {
            (Some(&from), Some(&to)) => self.weights[from..to].iter().for_each(|&(score, weight)| each(score, weight)),
            _ => each(thing, 1.0),
        }
    }

    /// How far off this thing is at these scores [standard deviations].
    pub fn off(&self, thing: usize, scores: &[f64]) -> f64 {
        let mut sum = 0.0;
        self.each(thing, |score, weight| sum += weight * scores[score]);
        sum
    }
}

/// Sets the rows of a group by the Cholesky factor of its correlation.
fn factor(rows: &mut [Vec<(usize, f64)>], group: &[usize], correlation: impl Fn(usize, usize) -> f64) {
    let size = group.len();
    let mut lower = DMatrix::<f64>::zeros(size, size);
    for i in 0..size {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| lower[(i, k)] * lower[(j, k)]).sum();
            if i == j {
                lower[(i, i)] = (1.0 - known).max(0.0).sqrt();
            } else if lower[(j, j)] > 1e-9 {
                lower[(i, j)] = (correlation(i, j) - known) / lower[(j, j)];
            }
        }
        rows[group[i]] = (0..=i).map(|k| (group[k], lower[(i, k)])).filter(|(_, weight)| *weight != 0.0).collect();
    }
}

/// Figures that sister parts have from one source, told or typical alike, each group by place among the uncertain.
fn of_one_make(model: &Model, figures: &[(usize, Spread)]) -> Vec<Vec<usize>> {
    let plant = &model.plant;
    let mut groups = Vec::new();
    for sisters in plant.sisters.parts() {
        let kind = plant[sisters[0]].kind;
        for (k, parameter) in kind.parameters.iter().enumerate() {
            let first = &plant[sisters[0]].figures[k];
            if parameter.each || matches!(first.origin, Origin::Measured | Origin::Learned) {
                continue;
            }
            let alike = sisters.iter().filter(|part| plant[**part].figures[k] == *first);
            let places = alike.map(|part| model.layout.first_parameter(*part) + k);
            let group: Vec<usize> =
                places.filter_map(|place| figures.binary_search_by_key(&place, |(at, _)| *at).ok()).collect();
            if group.len() > 1 {
                groups.push(group);
            }
        }
    }
    groups
}

/// Groups of gauges whose lasting errors have something in common.
fn gauges_together(model: &Model) -> Vec<Vec<GaugeId>> {
    let dials: Vec<GaugeId> = model.plant.gauge_ids().filter(|g| model.plant[*g].trips.is_none()).collect();
    let mut left = dials;
    let mut groups = Vec::new();
    while let Some(first) = left.pop() {
        let mut group = vec![first];
        let mut next = 0;
        while let Some(one) = group.get(next).copied() {
            next += 1;
            let (with, without): (Vec<_>, Vec<_>) =
                left.into_iter().partition(|other| correlation(model, one, *other) != 0.0);
            group.extend(with);
            left = without;
        }
        if group.len() > 1 {
            group.sort_unstable();
            groups.push(group);
        }
    }
    groups
}

/// Correlation of the lasting errors of two gauges: what the model gets wrong where both look, and their sender's error.
fn correlation(model: &Model, one: GaugeId, other: GaugeId) -> f64 {
    let plant = &model.plant;
    let (a, b) = (&plant[one], &plant[other]);
    let by_place = if a.quantity != b.quantity {
        0.0
    } else if a.tap == b.tap {
        1.0
    } else if plant.sisters.first(a.tap) == plant.sisters.first(b.tap) {
        MODEL_OF_ONE_MAKE
    } else {
        0.0
    };
    let one_sender = a.chain.sender.is_some() && a.chain.sender == b.chain.sender;
    if by_place == 0.0 && !one_sender {
        return 0.0;
    }
    let model_wrong = model.wrong_lastingly(one) * model.wrong_lastingly(other);
    let sender = if one_sender { IN_THE_SENDER * a.accuracy * b.accuracy / 1.96 / 1.96 } else { 0.0 };
    (by_place * model_wrong + sender) / (model.lasting(one) * model.lasting(other)).max(1e-300)
}
