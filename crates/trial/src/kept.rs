//! A trial as it is written down: named, and never changed.

use measure::quantity::Quantity;
use measure::reading::{Mark, ReadingText};
use plant::evidence::{Evidence, Moment, Occasion, ToldPoint};
use plant::plant::{GaugeId, Plant, Tap};
use serde::{Deserialize, Serialize};

/// A trial: what was read at each step.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Trial {
    /// What it is called: "as commissioned", "before haul-out".
    pub name: String,
    /// In the owner's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// Its steps, in the order they were run.
    pub steps: Vec<Step>,
}

/// What was read at one point.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// Engine speed [rad/s].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub speed: Option<f64>,
    /// Load as a share of the propeller's calm-water demand [1].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load: Option<f64>,
    /// Pitch as a share of the design pitch [1].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pitch: Option<f64>,
    /// Sea temperature [K].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sea: Option<f64>,
    /// Outside air temperature [K].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air: Option<f64>,
    /// Gauges by name, and what they showed [SI; pressures over the atmosphere].
    pub readings: Vec<(String, f64)>,
}

impl diary::Sort for Trial {
    const KIND: &'static str = "trial";
    const VERSION: u32 = 1;
}

/// Longest name, most steps.
const LONGEST: usize = 80;
const MOST: usize = 60;

impl Trial {
    /// Of what was read on occasions.
    ///
    /// # Errors
    /// What is wrong with it, and what to do.
    pub fn of(plant: &Plant, name: &str, text: &str, evidence: &Evidence) -> Result<Trial, (String, String)> {
        let steps = evidence.occasions.iter().map(|occasion| step(plant, occasion)).collect();
        Trial::named(name, text, steps)
    }

    /// Of steps that were written down; those at which nothing was read are left out.
    ///
    /// # Errors
    /// What is wrong with it, and what to do.
    pub fn named(name: &str, text: &str, steps: Vec<Step>) -> Result<Trial, (String, String)> {
        let name = name.trim();
        if name.is_empty() || name.chars().count() > LONGEST {
            let why = if name.is_empty() {
                "the trial has no name".to_string()
            } else {
                format!("a name has at most {LONGEST} letters")
            };
            return Err((why, "Call it such as \"as commissioned\" or \"before haul-out\".".into()));
        }
        let steps: Vec<Step> = steps.into_iter().filter(|step| !step.readings.is_empty()).collect();
        if steps.is_empty() {
            return Err(("nothing was read".into(), "Give at least one point with readings.".into()));
        }
        if steps.len() > MOST {
            return Err((format!("{} points are too many", steps.len()), format!("A trial has at most {MOST}.")));
        }
        Ok(Trial { name: name.into(), text: text.trim().into(), steps })
    }

    /// As occasions of when she was known good, for what the plant still has of its gauges; and the gauges that are gone.
    pub fn usual(&self, plant: &Plant) -> (Evidence, Vec<String>) {
        let mut gone = Vec::new();
        let occasions = self.steps.iter().map(|step| {
            let mut readings = Vec::new();
            for (name, value) in &step.readings {
                match plant.gauge(name) {
                    Some(gauge) => readings.push((gauge, told(*value))),
                    None if gone.contains(name) => {}
                    None => gone.push(name.clone()),
                }
            }
            Occasion { when: Moment::Usual, at: step.at(plant), readings, ..Occasion::default() }
        });
        let occasions = occasions.collect();
        (Evidence { occasions, ..Evidence::default() }, gone)
    }
}

impl Step {
    /// The operating point; the speed by what tells it, where it was not told beside.
    pub fn at(&self, plant: &Plant) -> ToldPoint {
        let speed = self
            .speed
            .or_else(|| self.readings.iter().find_map(|(name, value)| tells_speed(plant, name).then_some(*value)));
        ToldPoint { speed, load: self.load, pitch: self.pitch, sea: self.sea, air: self.air, ..ToldPoint::default() }
    }

    /// What a gauge showed [SI].
    pub fn read(&self, plant: &Plant, gauge: GaugeId) -> Option<f64> {
        self.readings.iter().find(|(name, _)| *name == plant[gauge].name).map(|(_, value)| *value)
    }
}

/// A gauge of the engine's speed: its own, or one that is set to it.
fn tells_speed(plant: &Plant, name: &str) -> bool {
    let of_engine = |gauge: GaugeId| matches!(plant[gauge].tap, Tap::Unknown(part, _) if plant[part].engine.is_some());
    plant.gauge(name).is_some_and(|gauge| plant[gauge].quantity == Quantity::RotationalSpeed && of_engine(gauge))
}

fn told(value: f64) -> ReadingText {
    ReadingText::Value { value, mark: Mark::Steady, rough: false }
}

fn step(plant: &Plant, occasion: &Occasion) -> Step {
    let ToldPoint { speed, load, pitch, sea, air, .. } = occasion.at;
    let value = |(gauge, text): &(GaugeId, ReadingText)| match text {
        ReadingText::Value { value, .. } if plant[*gauge].trips.is_none() => Some((plant[*gauge].name.clone(), *value)),
        _ => None,
    };
    let readings: Vec<(String, f64)> = occasion.readings.iter().filter_map(value).collect();
    let gauge = |is: Tap| plant.gauge_ids().find(|gauge| plant[*gauge].tap == is);
    let beside = |tap| {
        readings
            .iter()
            .find(|(name, _)| gauge(tap).is_some_and(|gauge| plant[gauge].name == *name))
            .map(|(_, value)| *value)
    };
    // What a gauge of the sea or the air showed is where she was, if it was not told beside.
    let (sea, air) = (sea.or_else(|| beside(Tap::Sea)), air.or_else(|| beside(Tap::Air)));
    Step { speed, load, pitch, sea, air, readings }
}
