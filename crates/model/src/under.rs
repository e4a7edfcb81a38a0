//! What a fit is made under: a cause that moves figures, gauges that lie, or neither.

use parts::kind::By;
use plant::plant::GaugeId;

/// What a fit is asked under: a cause, or a lying gauge, or neither.
#[derive(Clone, Debug, Default)]
pub struct Under {
    /// A cause in the plant.
    pub change: Option<Change>,
    /// A gauge that lies.
    pub lie: Option<Lie>,
}

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
}

impl Under {
    /// Where this gauge stands whatever is true [SI], if it does.
    pub fn stands(&self, gauge: GaugeId) -> Option<f64> {
        self.lie.as_ref()?.of(gauge)?.stands_at
    }
}

impl Change {
    /// Parameters with the change made, and how fast each changed one follows the unchanged.
    pub fn apply(&self, parameters: &[f64]) -> (Vec<f64>, Vec<(usize, f64)>) {
        let mut values = parameters.to_vec();
        let mut follow = Vec::new();
        let s = self.severity;
        for &(place, by) in &self.moves {
            let was = values[place];
            let (value, rate) = match by {
                By::Factor(f) => (was * f.powf(s), f.powf(s)),
                By::Blocked | By::Choked(_) => {
                    let free = 1.0 - by.shut(s);
                    (was / (free * free), 1.0 / (free * free))
                }
                By::Lost => (was * (1.0 - 0.999 * s), 1.0 - 0.999 * s),
                By::Add(a) => (was + a * s, 1.0),
                By::Towards(v) => (was + (v - was) * s, 1.0 - s),
            };
            values[place] = value;
            follow.push((place, rate));
        }
        (values, follow)
    }
}
