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

/// Gauges that lie after onset, by one error: one of them, or all on a shared sender or plug.
#[derive(Clone, Debug)]
pub struct Lie {
    /// Which.
    pub gauges: Vec<GaugeId>,
    /// Mean of its error [SI].
    pub mean: f64,
    /// One standard deviation [SI].
    pub sigma: f64,
    /// Stands at this value whatever is true [SI].
    pub stands_at: Option<f64>,
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
