//! What the watch asked before, on one vessel: answered again where the question is the same but for flicker.

use measure::reading::ReadingText;
use model::expect::{Expected, reading_noise};
use plant::evidence::{Evidence, Occasion, ToldPoint};
use plant::plant::Plant;
use std::sync::Arc;
use watch::job::{Job, Outcome};
use watch::picture::Explained;

/// Points this close are one [share of rated speed, K]: well inside what the watch itself takes for one.
const SPEED: f64 = 0.004;
const SEA: f64 = 0.3;
/// Odds are asked anew at points further apart than this, or with a reading off by more than this share of what it is good for.
const ASKED_SPEED: f64 = 0.01;
const ASKED_SEA: f64 = 1.0;
const READS: f64 = 0.5;

/// Answers given.
#[derive(Default)]
pub struct Memory {
    bands: Vec<(ToldPoint, usize, Option<Arc<Expected>>)>,
    odds: Vec<(Evidence, Option<Arc<Explained>>)>,
    /// Odds worked out, and found here.
    pub weighed: [usize; 2],
}

impl Memory {
    /// The answer, worked out if it was not before.
    pub fn answer(&mut self, plant: &Plant, job: &Job) -> Outcome {
        match job {
            Job::Bands { told, usual } => {
                let count = usual.occasions.len();
                let near = |known: &&(ToldPoint, usize, Option<Arc<Expected>>)| {
                    known.1 == count && same(plant, &known.0, told, SPEED, SEA)
                };
                if let Some((told, usual, expected)) = self.bands.iter().find(near) {
                    return Outcome::Bands { told: told.clone(), usual: *usual, expected: expected.clone() };
                }
                let outcome = job.run(plant);
                if let Outcome::Bands { told, usual, expected } = &outcome {
                    self.bands.push((told.clone(), *usual, expected.clone()));
                }
                outcome
            }
            Job::Weigh { evidence, at } => {
                if let Some((_, known)) = self.odds.iter().find(|(asked, _)| alike(plant, asked, evidence)) {
                    self.weighed[1] += 1;
                    let again = |known: &Arc<Explained>| Arc::new(Explained { at: *at, held: None, ..(**known).clone() });
                    return Outcome::Weighed(known.as_ref().map(again));
                }
                self.weighed[0] += 1;
                let outcome = job.run(plant);
                if let Outcome::Weighed(answer) = &outcome {
                    self.odds.push((evidence.clone(), answer.clone()));
                }
                outcome
            }
            // What would escape is for the eye; nothing follows from it.
            Job::Escapes { .. } => Outcome::Escapes(Vec::new()),
            Job::Shows { .. } => job.run(plant),
        }
    }
}

fn same(plant: &Plant, a: &ToldPoint, b: &ToldPoint, speed: f64, sea: f64) -> bool {
    let close = |a: Option<f64>, b: Option<f64>, within: f64| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= within,
        (None, None) => true,
        _ => false,
    };
    close(a.speed, b.speed, speed * plant.rated_speed)
        && close(a.sea, b.sea, sea)
        && close(a.air, b.air, 1.0)
        && a.load == b.load
}

fn alike(plant: &Plant, a: &Evidence, b: &Evidence) -> bool {
    a.occasions.len() == b.occasions.len() && a.occasions.iter().zip(&b.occasions).all(|(a, b)| like(plant, a, b))
}

fn like(plant: &Plant, a: &Occasion, b: &Occasion) -> bool {
    let reads = |(a, b): (&(plant::plant::GaugeId, ReadingText), &(plant::plant::GaugeId, ReadingText))| match (a.1, b.1) {
        (ReadingText::Value { value: x, mark: m, .. }, ReadingText::Value { value: y, mark: n, .. }) => {
            a.0 == b.0 && m == n && (x - y).abs() <= READS * reading_noise(plant, a.0, x, false)
        }
        (x, y) => x == y,
    };
    a.when == b.when
        && same(plant, &a.at, &b.at, ASKED_SPEED, ASKED_SEA)
        && a.said == b.said
        && a.not == b.not
        && a.readings.len() == b.readings.len()
        && a.readings.iter().zip(&b.readings).all(reads)
}
