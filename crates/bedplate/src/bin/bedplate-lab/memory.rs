//! What the watch asked before, on one vessel: answered again where the question is the same but for flicker.

use measure::reading::{Mark, ReadingText};
use model::expect::{Expected, reading_noise};
use plant::evidence::{Evidence, Moment, Occasion, ToldPoint};
use plant::plant::{GaugeId, Plant};
use std::sync::Arc;
use watch::job::{Job, Outcome};
use watch::picture::Explained;

/// Points this close are one [share of rated speed, K]: well inside what the watch itself takes for one.
const SPEED: f64 = 0.0055;
const SEA: f64 = 0.38;
/// Odds are asked anew at points further apart than this, or with a reading off by more than this share of what it is good for.
const ASKED_SPEED: f64 = 0.015;
const ASKED_SEA: f64 = 1.5;
const READS: f64 = 0.8;
/// Readings no odder than this accuse nobody: their odds are as they were when they last were no odder [standard deviations].
const PLAIN: f64 = 1.2;

/// Answers given.
#[derive(Default)]
pub struct Memory {
    bands: Vec<(ToldPoint, usize, Option<Arc<Expected>>)>,
    odds: Vec<(Evidence, Option<Arc<Explained>>)>,
    /// How many examples stood behind the last odds of plain readings, and these.
    plain: Option<(usize, Option<Arc<Explained>>)>,
    /// Odds worked out, and found here.
    pub weighed: [usize; 2],
    /// Odds are worked out only of readings that are nothing odd, which are what is learnt from; of others nothing is said.
    pub of_plain_only: bool,
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
            Job::Weigh { evidence, at, .. } => {
                let plain = self.is_plain(plant, evidence).then_some(evidence.occasions.len());
                if self.of_plain_only && plain.is_none() {
                    return Outcome::Weighed(None);
                }
                let as_before = self.plain.as_ref().filter(|(count, _)| Some(*count) == plain).map(|(_, known)| known);
                let asked =
                    || self.odds.iter().find(|(asked, _)| alike(plant, asked, evidence)).map(|(_, known)| known);
                if let Some(known) = as_before.or_else(asked) {
                    let again =
                        |known: &Arc<Explained>| Arc::new(Explained { at: *at, held: None, ..(**known).clone() });
                    let known = known.as_ref().map(again);
                    self.weighed[1] += 1;
                    return Outcome::Weighed(known);
                }
                self.weighed[0] += 1;
                let outcome = job.run(plant);
                if let Outcome::Weighed(answer) = &outcome {
                    self.odds.push((evidence.clone(), answer.clone()));
                    self.plain = plain.map(|count| (count, answer.clone())).or(self.plain.take());
                }
                outcome
            }
            // What would escape is for the eye; nothing follows from it.
            Job::Escapes { .. } => Outcome::Escapes(watch::escape::Unseen::default()),
            Job::Shows { .. } => job.run(plant),
        }
    }
}

impl Memory {
    /// Whether the readings of now, at one point, are nothing odd among plants like this one.
    fn is_plain(&self, plant: &Plant, evidence: &Evidence) -> bool {
        let (usual, now): (Vec<&Occasion>, Vec<&Occasion>) =
            evidence.occasions.iter().partition(|o| o.when != Moment::Now);
        let [now] = now[..] else { return false };
        let near = |known: &&(ToldPoint, usize, Option<Arc<Expected>>)| {
            known.1 == usual.len() && same(plant, &known.0, &now.at, ASKED_SPEED, ASKED_SEA)
        };
        let Some((_, _, Some(expected))) = self.bands.iter().rev().find(near) else { return false };
        let steady = |(g, text): &(GaugeId, ReadingText)| match text {
            ReadingText::Value { value, mark: Mark::Steady, .. } => Some((*g, *value)),
            _ => None,
        };
        let readings: Vec<(GaugeId, f64)> = now.readings.iter().filter_map(steady).collect();
        now.said.is_empty() && expected.likeness.oddity(&readings).is_some_and(|odd| odd < PLAIN)
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
    let reads = |(a, b): (&(GaugeId, ReadingText), &(GaugeId, ReadingText))| match (a.1, b.1) {
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
