//! Ways to fail that would look alike: each can be as bad as makes these gauges read what the other would.

use diagnosis::hypothesis::{Hypothesis, What};
use model::expect::Expected;
use model::steady::{Model, State};
use model::under::Change;
use nalgebra::DVector;
use plant::plant::GaugeId;

/// Severities looked at; between them readings are taken to move in straight lines.
const LOOKED_AT: [f64; 6] = [0.3, 0.5, 0.7, 0.85, 0.94, 1.0];
/// A fault is compared where it stands out so far, all gauges together [standard deviations of plants like this one]: where it
/// would be noticed and weighed.
const STANDS_OUT: f64 = 4.0;
/// Nearer than this another looks the same [standard deviations].
const ALIKE: f64 = 2.0;

/// Her state with a cause this bad [1], sought from a state near it; nothing where there is none.
pub(crate) fn state_with(
    model: &mut Model,
    expected: &Expected,
    hypothesis: &Hypothesis,
    severity: f64,
    near: &State,
) -> Option<State> {
    let change = Change { moves: hypothesis.moves.clone(), severity };
    model.solve(&change.apply(&expected.parameters), &expected.point, Some(near)).ok()
}

/// How far a gauge goes from what is expected to what it reads in a state [SI].
pub(crate) fn moved(model: &Model, expected: &Expected, state: &State, gauge: GaugeId) -> f64 {
    let tap = model.plant[gauge].tap;
    model.read(state, tap) - model.read(&expected.state, tap)
}

/// How the gauges go as one fault grows, in independent unit normals of what plants like this one read.
struct Growth {
    what: What,
    steps: Vec<DVector<f64>>,
}

impl Growth {
    fn of(model: &mut Model, expected: &Expected, hypothesis: &Hypothesis) -> Growth {
        let mut steps = Vec::new();
        let mut near = expected.state.clone();
        for severity in LOOKED_AT {
            let Some(state) = state_with(model, expected, hypothesis, severity, &near) else { break };
            let gauges = model.plant.gauge_ids().filter(|gauge| model.plant[*gauge].trips.is_none());
            let moved = gauges.map(|gauge| (gauge, moved(model, expected, &state, gauge)));
            let Some(step) = expected.likeness.in_spreads(&moved.collect::<Vec<_>>()) else { break };
            steps.push(step);
            near = state;
        }
        Growth { what: hypothesis.what, steps }
    }

    /// Where it first stands out; nothing if it never does.
    fn stands_out(&self) -> Option<DVector<f64>> {
        let far = self.steps.iter().position(|step| step.norm() >= STANDS_OUT)?;
        let to = &self.steps[far];
        let from = far.checked_sub(1).map_or_else(|| to * 0.0, |before| self.steps[before].clone());
        // By halves to where the line between the two is so far out.
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..12 {
            let middle = 0.5 * (low + high);
            if (&from + (to - &from) * middle).norm() < STANDS_OUT { low = middle } else { high = middle }
        }
        Some(&from + (to - &from) * high)
    }

    /// How near it comes to a set of readings as it grows.
    fn nearest(&self, to: &DVector<f64>) -> f64 {
        let mut from = to * 0.0;
        let mut nearest = to.norm();
        for step in &self.steps {
            let way = step - &from;
            let along = ((to - &from).dot(&way) / way.norm_squared().max(1e-12)).clamp(0.0, 1.0);
            nearest = nearest.min((to - &from - way * along).norm());
            from.clone_from(step);
        }
        nearest
    }
}

/// Groups of these that look alike to the gauges, each with those in it that look like its first.
pub(crate) fn lookalikes(model: &mut Model, expected: &Expected, of: &[Hypothesis]) -> Vec<Vec<What>> {
    let growths: Vec<Growth> = of.iter().map(|hypothesis| Growth::of(model, expected, hypothesis)).collect();
    alike(&growths)
}

fn alike(growths: &[Growth]) -> Vec<Vec<What>> {
    let shown: Vec<Option<DVector<f64>>> = growths.iter().map(Growth::stands_out).collect();
    let mut told: Vec<bool> = vec![false; growths.len()];
    let mut groups = Vec::new();
    for (k, own) in shown.iter().enumerate() {
        let Some(own) = own.as_ref().filter(|_| !told[k]) else { continue };
        let like = |j: usize| {
            let other = shown[j].as_ref().filter(|_| j > k && !told[j]);
            other.is_some_and(|other| growths[j].nearest(own) < ALIKE || growths[k].nearest(other) < ALIKE)
        };
        let others: Vec<usize> = (0..growths.len()).filter(|j| like(*j)).collect();
        if !others.is_empty() {
            for other in &others {
                told[*other] = true;
            }
            groups.push(std::iter::once(k).chain(others).map(|j| growths[j].what).collect());
        }
    }
    groups
}

#[cfg(test)]
mod tests {
    use super::*;
    use plant::evidence::Named;
    use plant::plant::PartId;

    fn growth(part: usize, steps: &[[f64; 2]]) -> Growth {
        let steps = steps.iter().map(|step| DVector::from_column_slice(step)).collect();
        Growth { what: What::Cause(Named::Part(PartId(part)), 0), steps }
    }

    #[test]
    fn what_goes_the_same_way_looks_alike_however_fast_it_grows() {
        let slow = growth(0, &[[1.0, 0.5], [4.0, 2.0], [8.0, 4.0]]);
        let fast = growth(1, &[[10.0, 5.5]]);
        let across = growth(2, &[[-5.0, 9.0]]);
        let faint = growth(3, &[[1.0, 0.5]]);
        // By hand: 4 out along (2, 1)/√5, which fast passes within a tenth and across not within 4.
        let out = slow.stands_out().expect("it stands out");
        assert!((out.norm() - 4.0).abs() < 1e-2 && (out[0] - 2.0 * out[1]).abs() < 1e-2);
        assert!(fast.nearest(&out) < 0.2 && (across.nearest(&out) - 4.0).abs() < 1e-2);
        assert_eq!(faint.stands_out(), None);
        let whats = [&slow, &fast].map(|growth| growth.what).to_vec();
        assert_eq!(alike(&[slow, across, faint, fast]), [whats]);
    }
}
