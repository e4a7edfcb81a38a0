//! What a fit is made under: a cause that moves figures, gauges that lie, or neither.

use crate::fit::Seen;
use nalgebra::DVector;
use parts::kind::By;
use plant::plant::GaugeId;

/// What a fit is asked under: causes, a lying gauge, both, or neither.
#[derive(Clone, Debug, Default)]
pub struct Under {
    /// Causes in the plant.
    pub changes: Vec<Change>,
    /// A gauge that lies.
    pub lie: Option<Lie>,
}

/// Figures of a plant as causes move them.
#[derive(Clone, Debug)]
pub struct Changed {
    /// Every parameter [SI].
    pub values: Vec<f64>,
    /// How fast a moved one follows what it was; what is not listed is not moved.
    pub follow: Vec<(usize, f64)>,
    /// How fast each further figure of a cause goes with what is not known of how far it goes [SI a standard deviation].
    pub apart: Vec<(usize, f64)>,
}

/// A cause that moves several figures does not move them in lockstep (what blocks a tube's face and what coats its wall
/// grow apart): each but the first goes further or less far by this share of its way, one standard deviation. From memory.
const APART: f64 = 0.35;
/// But never back, nor so little that nothing is left of it [1].
const LEAST: f64 = 0.05;

/// A cause at one severity, as moves of parameters.
#[derive(Clone, Debug, Default)]
pub struct Change {
    /// (parameter of the plant, law)
    pub moves: Vec<(usize, By)>,
    /// How bad [0 to 1].
    pub severity: f64,
}

/// Gauges that lie after onset, by one error: one of them, or all that share a sender, ground, plug or supply.
#[derive(Clone, Debug)]
pub struct Lie {
    /// Which, and how far each.
    pub gauges: Vec<Lying>,
}

/// One gauge that lies. All of a lie are off by so many of their own standard deviations.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Lying {
    /// Which.
    pub gauge: GaugeId,
    /// Mean of its error [SI].
    pub mean: f64,
    /// One standard deviation [SI]; below nothing where it goes the other way.
    pub sigma: f64,
    /// Stands at this value whatever is true [SI].
    pub stands_at: Option<f64>,
}

impl Lie {
    /// How this gauge lies, if it does.
    pub fn of(&self, gauge: GaugeId) -> Option<&Lying> {
        self.gauges.iter().find(|lying| lying.gauge == gauge)
    }

    /// How far each reading goes with the one error [SI for each standard deviation of it].
    pub fn way(&self, seen: &Seen) -> DVector<f64> {
        let own = |&(run, gauge, weight): &(usize, GaugeId, f64)| {
            self.of(gauge).filter(|_| seen.runs[run].troubled).map_or(0.0, |own| weight * own.sigma)
        };
        let each = seen.observed.iter().map(|o| o.terms.iter().map(own).sum());
        DVector::from_iterator(seen.observed.len(), each)
    }
}

impl Under {
    /// How many further figures its causes move, beside the first of each.
    pub fn further(&self) -> usize {
        self.changes.iter().map(|change| change.moves.len().saturating_sub(1)).sum()
    }

    /// A plant's parameters under it [SI], each further figure of a cause so many standard deviations from going in step.
    pub fn apply(&self, parameters: &[f64], apart: &[f64]) -> Changed {
        let mut changed = Changed { values: parameters.to_vec(), follow: Vec::new(), apart: Vec::new() };
        let mut apart = apart.iter();
        for change in &self.changes {
            for (k, &(place, by)) in change.moves.iter().enumerate() {
                let was = changed.values[place];
                let (in_step, rate) = moved(was, by, change.severity);
                let goes = if k == 0 { 1.0 } else { 1.0 + APART * apart.next().unwrap_or(&0.0) };
                let goes = goes.max(LEAST);
                changed.values[place] = was + goes * (in_step - was);
                let rate = 1.0 + goes * (rate - 1.0);
                match changed.follow.iter_mut().find(|(other, _)| *other == place) {
                    Some((_, before)) => *before *= rate,
                    None => changed.follow.push((place, rate)),
                }
                if k > 0 {
                    changed.apart.push((place, if goes > LEAST { APART * (in_step - was) } else { 0.0 }));
                }
            }
        }
        changed
    }

    /// Where this gauge stands whatever is true [SI], if it does.
    pub fn stands(&self, gauge: GaugeId) -> Option<f64> {
        self.lie.as_ref()?.of(gauge)?.stands_at
    }
}

impl Change {
    /// Parameters with the change made.
    pub fn apply(&self, parameters: &[f64]) -> Vec<f64> {
        let mut values = parameters.to_vec();
        for &(place, by) in &self.moves {
            values[place] = moved(values[place], by, self.severity).0;
        }
        values
    }
}

/// A value as a cause of this severity moves it, and how fast it then follows what it was.
fn moved(was: f64, by: By, s: f64) -> (f64, f64) {
    match by {
        By::Factor(f) => (was * f.powf(s), f.powf(s)),
        By::Blocked | By::Choked(_) => {
            let free = 1.0 - by.shut(s);
            (was / (free * free), 1.0 / (free * free))
        }
        By::Lost => (was * (1.0 - 0.999 * s), 1.0 - 0.999 * s),
        By::Add(a) => (was + a * s, 1.0),
        By::Towards(v) => (was + (v - was) * s, 1.0 - s),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn causes_add_up_and_what_goes_along_is_known_less() {
        let twice = Under {
            changes: vec![
                Change { moves: vec![(0, By::Factor(4.0)), (1, By::Add(2.0))], severity: 0.5 },
                Change { moves: vec![(0, By::Factor(9.0))], severity: 0.5 },
            ],
            lie: None,
        };
        let changed = twice.apply(&[1.0, 5.0, 7.0], &[]);
        // 1 · 4^0.5 · 9^0.5, 5 + 2 · 0.5, and what nothing moves.
        assert_eq!(changed.values, [6.0, 6.0, 7.0]);
        assert_eq!(changed.follow, [(0, 6.0), (1, 1.0)]);
        assert_eq!(changed.apart, [(1, APART)]);
        // The second figure two standard deviations further than in step.
        assert!((twice.apply(&[1.0, 5.0, 7.0], &[2.0]).values[1] - (6.0 + 2.0 * APART)).abs() < 1e-12);
        assert_eq!(twice.further(), 1);
    }
}
