//! The sweep: random causes at random severities at random operating points of random plants like this one; every
//! solve must end in an answer or a named reason that marching in time confirms.

use crate::chance::Chance;
use diagnosis::hypothesis::{self, Hypothesis};
use model::march::Settled;
use model::scores::Scores;
use model::steady::Model;
use model::under::Change;
use parts::laws::Point;
use plant::evidence::Evidence;
use plant::plant::Plant;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::time::{Duration, Instant};

/// What came of a sweep.
#[derive(Default)]
pub struct Outcome {
    /// Cases tried.
    pub cases: usize,
    /// With a lasting state.
    pub steady: usize,
    /// With a named reason, and how many of them marching confirmed.
    pub named: usize,
    pub confirmed: usize,
    /// Named reasons that marching did not confirm.
    pub unconfirmed: Vec<String>,
    /// Not solved: what, in words.
    pub not_solved: Vec<String>,
    /// Solve times, sorted.
    pub times: Vec<Duration>,
}

/// Runs so many cases; marches every named reason if `march`.
pub fn sweep(plant: &Plant, cases: usize, seed: u64, march: bool) -> Outcome {
    let mut model = Model::new(plant).expect("shipped plants have a sound structure");
    let hypotheses: Vec<Hypothesis> = hypothesis::all(plant, &model.layout, &Evidence::default())
        .into_iter()
        .filter(|h| !h.moves.is_empty())
        .collect();
    let scores = Scores::of(&model, 0);
    let mut chance = Chance::new(seed);
    let mut outcome = Outcome { cases, ..Outcome::default() };
    for case in 0..cases {
        let h = &hypotheses[chance.below(hypotheses.len())];
        let severity = chance.uniform();
        let point = draw_point(plant, &mut chance);
        let normals: Vec<f64> = (0..scores.len()).map(|_| chance.normal().clamp(-3.0, 3.0)).collect();
        let base = scores.parameters(&model, &normals);
        let parameters = Change { moves: h.moves.clone(), severity }.apply(&base);
        let start = Instant::now();
        let solved = model.solve(&parameters, &point, None);
        outcome.times.push(start.elapsed());
        let told = || format!("{case}: {} at {severity:.3}, {}", crate::cases::label(plant, h.what), tell(&point));
        match solved {
            Err(e) => outcome.not_solved.push(format!("{}: {e}", told())),
            Ok(state) if model.unsteady(&state).is_none() => outcome.steady += 1,
            Ok(_) if !march => outcome.named += 1,
            Ok(_) => match settle(&mut model, &base, &parameters, &point) {
                Some(Settled::Steady(_)) => outcome.steady += 1,
                Some(Settled::Boils { .. }) => {
                    outcome.named += 1;
                    outcome.confirmed += 1;
                }
                None => {
                    outcome.named += 1;
                    outcome.unconfirmed.push(told());
                }
            },
        }
    }
    outcome.times.sort();
    outcome
}

/// From idle to rated, sea 0 to 32 °C, in and out of gear, now and then a seacock shut by the causes themselves.
fn draw_point(plant: &Plant, chance: &mut Chance) -> Point<f64> {
    let sea = 273.15 + 32.0 * chance.uniform();
    Point {
        speed: plant.rated_speed * (0.3 + 0.7 * chance.uniform()),
        load: if chance.uniform() < 0.1 { 0.0 } else { 0.6 + 0.5 * chance.uniform() },
        sea,
        air: sea - 5.0 + 15.0 * chance.uniform(),
        atmosphere: 98_000.0 + 6_000.0 * chance.uniform(),
        pitch: if plant.sets_pitch() { chance.uniform() } else { 1.0 },
    }
}

/// Where marching from the sound plant ends. A plant that boils without its cause starts from cold, stopped.
fn settle(model: &mut Model, base: &[f64], parameters: &[f64], point: &Point<f64>) -> Option<Settled> {
    let sound = model.solve(base, point, None).ok()?;
    if model.unsteady(&sound).is_none() {
        return model.settle(&sound, base, parameters, point).ok();
    }
    let idle = Point { speed: model.plant.rated_speed * 0.3, load: 0.1, ..*point };
    let cool = model.solve(base, &idle, None).ok()?;
    model.settle(&cool, base, parameters, point).ok()
}

fn tell(point: &Point<f64>) -> String {
    format!("{:.0} rpm, load {:.2}, sea {:.0} °C", point.speed * 9.5493, point.load, point.sea - 273.15)
}

/// Prints an outcome.
pub fn report(outcome: &Outcome) -> String {
    let mut text = String::new();
    let share = |k: usize| 100.0 * k as f64 / outcome.cases as f64;
    let at = |q: f64| outcome.times[((outcome.times.len() - 1) as f64 * q) as usize].as_secs_f64() * 1e3;
    let _ = writeln!(
        text,
        "{} cases: {} steady ({:.2} %), {} with a named reason ({:.2} %), {} of them confirmed by marching, {} not solved ({:.3} %)",
        outcome.cases,
        outcome.steady,
        share(outcome.steady),
        outcome.named,
        share(outcome.named),
        outcome.confirmed,
        outcome.not_solved.len(),
        share(outcome.not_solved.len())
    );
    let _ = writeln!(
        text,
        "cold solve: median {:.2} ms, 99th percentile {:.1} ms, longest {:.1} ms",
        at(0.5),
        at(0.99),
        at(1.0)
    );
    let mut by: BTreeMap<&str, usize> = BTreeMap::new();
    for line in &outcome.not_solved {
        let cause = line.split(": ").nth(1).and_then(|s| s.split(" at ").next()).unwrap_or("");
        *by.entry(cause).or_default() += 1;
    }
    for (cause, count) in by {
        let _ = writeln!(text, "  {cause}: {count}");
    }
    for line in outcome.unconfirmed.iter().take(6) {
        let _ = writeln!(text, "  not confirmed {line}");
    }
    for line in outcome.not_solved.iter().take(6) {
        let _ = writeln!(text, "  {line}");
    }
    text
}
