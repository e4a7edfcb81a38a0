//! Is each circuit sized and arranged right? Every question the kinds ask, where she is hardest put to it.

use model::expect::quasi_normal;
use model::scores::Scores;
use model::steady::{Model, State};
use parts::kind::Margin;
use parts::laws::Point;
use plant::plant::PartId;
use std::cmp::Ordering;

/// A question, and how the plant stands to it.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Of which part.
    pub part: PartId,
    /// What is asked.
    pub margin: &'static Margin,
    /// Where she is hardest put to it: its place in [`TRIALS`].
    pub trial: usize,
    /// The quantity that answers it, by the figures as they are believed [SI].
    pub value: f64,
    /// Nine in ten plants described like this one lie between these [SI].
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// Share of plants described like this one that are sound here [1].
    pub holds: f64,
    /// The figure that most decides it: its place in the plant's list of parameters; none if nothing is uncertain.
    pub decided_by: Option<usize>,
}

/// An operating point at which every question is asked.
#[derive(Copy, Clone, Debug)]
pub struct Trial {
    /// In words, after "at".
    pub name: &'static str,
    /// Engine speed [share of rated].
    pub speed: f64,
    /// Load as a share of what the propeller takes [1].
    pub load: f64,
    /// Sea temperature [K].
    pub sea: f64,
    /// Outside air temperature [K].
    pub air: f64,
}

/// Sea of 32 °C and air of 45 °C are what class rules design machinery for (IACS UR M28, from memory); the others are
/// common practice, no source.
pub const TRIALS: [Trial; 4] = [
    Trial { name: "full speed, sea 32 °C, air 45 °C", speed: 1.0, load: 1.0, sea: 305.15, air: 318.15 },
    Trial { name: "full speed, sea 5 °C, air 5 °C", speed: 1.0, load: 1.0, sea: 278.15, air: 278.15 },
    Trial { name: "cruising, sea 32 °C, air 45 °C", speed: 0.8, load: 1.0, sea: 305.15, air: 318.15 },
    Trial { name: "idle in gear, sea 32 °C, air 45 °C", speed: 0.38, load: 1.0, sea: 305.15, air: 318.15 },
];

/// How the plant stands to every question.
#[derive(Clone, Debug, Default)]
pub struct Margins {
    /// The worst first.
    pub answers: Vec<Answer>,
    /// Trials at which the plant has no state: their place in [`TRIALS`], and why.
    pub unsolved: Vec<(usize, String)>,
}

/// Plants drawn: the share that holds is good to 4 % at one half.
const DRAWS: usize = 160;

/// Asks every question of every part.
pub fn margins(model: &mut Model) -> Margins {
    let mut all = Margins::default();
    let asked: Vec<(PartId, &'static Margin)> = questions(model);
    let mut worst: Vec<Option<Answer>> = vec![None; asked.len()];
    let figures = model.figures.clone();
    for (number, trial) in TRIALS.iter().enumerate() {
        let point = point(model, trial);
        let state = match model.solve(&figures, &point, None) {
            Ok(state) => state,
            Err(why) => {
                all.unsolved.push((number, why.to_string()));
                continue;
            }
        };
        let drawn = drawn(model, &state);
        for ((part, margin), worst) in asked.iter().zip(&mut worst) {
            let Some(value) = model.ask(&figures, &state, *part, margin.of) else { continue };
            let mut found: Vec<(f64, &Drawn)> = Vec::with_capacity(drawn.len());
            for one in &drawn {
                let value = model.ask(&one.figures, &one.state, *part, margin.of);
                found.extend(value.map(|value| (value, one)));
            }
            let mut answer = answer(*part, margin, number, value, &found);
            if worst.as_ref().is_none_or(|was| harder(&answer, was) == Ordering::Less) {
                answer.decided_by = decider(model, &found);
                *worst = Some(answer);
            }
        }
    }
    all.answers = worst.into_iter().flatten().collect();
    all.answers.sort_by(harder);
    all
}

fn questions(model: &Model) -> Vec<(PartId, &'static Margin)> {
    let parts = model.plant.parts.iter().enumerate();
    parts.flat_map(|(id, part)| part.kind.margins.iter().map(move |margin| (PartId(id), margin))).collect()
}

fn point(model: &Model, trial: &Trial) -> Point<f64> {
    let speed = trial.speed * model.plant.rated_speed;
    let (load, sea, air) = (trial.load, trial.sea, trial.air);
    Point { speed, load, sea, air, atmosphere: physics::constants::ATMOSPHERE, pitch: 1.0 }
}

/// A plant like this one, and its state at the same point.
struct Drawn {
    scores: Vec<f64>,
    figures: Vec<f64>,
    state: State,
}

fn drawn(model: &mut Model, near: &State) -> Vec<Drawn> {
    let scores = Scores::of(model, 0);
    let draw = |k: usize| {
        let normals: Vec<f64> = (0..scores.len()).map(|dimension| quasi_normal(k, dimension)).collect();
        let figures = scores.parameters(model, &normals);
        let state = model.solve(&figures, &near.point, Some(near)).ok()?;
        Some(Drawn { scores: normals, figures, state })
    };
    (0..DRAWS).filter_map(draw).collect()
}

/// An answer from what was found on every plant drawn; what decides it is not asked yet.
fn answer(part: PartId, margin: &'static Margin, trial: usize, value: f64, found: &[(f64, &Drawn)]) -> Answer {
    let mut values: Vec<f64> = found.iter().map(|(value, _)| *value).collect();
    values.sort_by(f64::total_cmp);
    let end = |share: f64| values.get((share * values.len() as f64) as usize).copied().unwrap_or(value);
    // Where no plant of them could be solved, only this one speaks.
    let sound = |value: &&f64| margin.holds(**value);
    let holds = if values.is_empty() {
        f64::from(u8::from(margin.holds(value)))
    } else {
        values.iter().filter(sound).count() as f64 / values.len() as f64
    };
    Answer { part, margin, trial, value, low: end(0.05), high: end(0.95), holds, decided_by: None }
}

/// The uncertain figure that the value follows most closely from plant to plant.
fn decider(model: &Model, found: &[(f64, &Drawn)]) -> Option<usize> {
    let scores = Scores::of(model, 0);
    let count = found.len() as f64;
    let mean = found.iter().map(|(value, _)| value).sum::<f64>() / count;
    let follows = |k: usize| {
        let sum: f64 = found.iter().map(|(value, drawn)| (value - mean) * drawn.scores[k]).sum();
        sum.abs()
    };
    let spread: f64 = found.iter().map(|(value, _)| (value - mean).powi(2)).sum::<f64>();
    let best = (0..scores.figures.len()).map(|k| (follows(k), k)).max_by(|a, b| a.0.total_cmp(&b.0))?;
    // A correlation of chance alone reaches about a quarter among so many figures and so few plants.
    (best.0 > BY_CHANCE * (spread * count).sqrt()).then(|| scores.figures[best.1].0)
}

/// Correlation that chance alone may show [1].
const BY_CHANCE: f64 = 0.3;

/// The one that fewer plants are sound in comes first; among equals, that with less room in its own spread.
fn harder(a: &Answer, b: &Answer) -> Ordering {
    a.holds.total_cmp(&b.holds).then(room(a).total_cmp(&room(b)))
}

/// Distance to the nearer bound, over how far such plants differ [1].
fn room(answer: &Answer) -> f64 {
    let Answer { margin, value, low, high, .. } = answer;
    (value - margin.least).min(margin.most - value) / (high - low).max(1e-9 * value.abs()).max(f64::MIN_POSITIVE)
}
