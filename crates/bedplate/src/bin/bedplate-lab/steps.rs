//! The trial of the next step: what it comes to until she is right, decided in several ways on the same troubles.
//!
//! What a check shows and a repair cures is drawn under the true cause, with the powers that the tables give. Each way to
//! decide has the same steps, prices and odds, and updates the odds alike; only what it does next differs.

use crate::cases;
use crate::chance::Chance;
use ::live::world::moved;
use diagnosis::explain::{Answer, explain};
use diagnosis::hypothesis::{self, Hypothesis, What};
use diagnosis::next_step::{self, AHEAD, Choice, Cost, Deed, Does, Here, LaidOut, Outcome, Problem, lay_out};
use measure::reading::{Mark, ReadingText};
use model::expect::discrepancy;
use model::point;
use model::scores::Scores;
use model::steady::Model;
use model::under::Change;
use plant::evidence::{Evidence, Moment, Named, Occasion, Situation, ToldPoint};
use plant::plant::Plant;
use std::fmt::Write as _;
use std::path::Path;

/// One trouble: the problem as it is laid out, and which of its hypotheses is true.
struct Trouble {
    laid: LaidOut,
    /// What laying it out and choosing took [s].
    took: f64,
    truth: usize,
    /// Place of each step's part and check in the file.
    order: Vec<usize>,
    set: String,
}

/// A way to decide.
#[derive(Copy, Clone)]
enum Way {
    /// Least expected minutes, money and risk.
    Expected,
    /// Stops to look when that does, and till then makes the look that settles most for its minutes.
    SettlesAndStops,
    /// Repairs in order of their odds, nothing looked at.
    Repairs,
    /// Looks in the order of the file, and what is found is mended.
    FileOrder,
    /// The cheapest look first, and what is found is mended.
    Cheapest,
    /// The look that settles most for its minutes, until a repair is so sure [1].
    Settles(f64),
}

const WAYS: [(&str, Way); 7] = [
    ("least expected minutes, money and risk", Way::Expected),
    ("what settles most a minute, stopping where that does", Way::SettlesAndStops),
    ("what settles most a minute, until 9 in 10 sure", Way::Settles(0.9)),
    ("what settles most a minute, until 1 in 2 sure", Way::Settles(0.5)),
    ("the cheapest look first", Way::Cheapest),
    ("looks in the order of the file", Way::FileOrder),
    ("repairs in order of odds, no look", Way::Repairs),
];

/// Draws of each trouble.
const DRAWS: usize = 40;
/// As sure as this, a repair is made without a further look [1].
const SURE: f64 = 0.9;
/// Steps after which anybody calls for help.
const PATIENCE: usize = 60;

/// What it came to, in the mean.
#[derive(Clone, Copy, Default)]
struct Tally {
    runs: f64,
    cost: Cost,
    all_in: f64,
    parts: f64,
    helped: f64,
    looks: f64,
}

impl Trouble {
    fn of(
        plant: &Plant,
        evidence: &Evidence,
        answer: &Answer,
        is_true: impl Fn(What) -> bool,
        set: &str,
    ) -> Option<Trouble> {
        let start = std::time::Instant::now();
        let next = next_step::next(plant, evidence, &answer.ranked, &answer.act, None);
        let took = start.elapsed().as_secs_f64();
        drop(next);
        let laid = lay_out(plant, evidence, &answer.ranked, &answer.act)?;
        let mut named = laid.whats.iter().enumerate().filter_map(|(k, what)| Some((k, (*what)?)));
        // What is not carried by name is in the lump that stands last.
        let truth = named.find(|(_, what)| is_true(*what)).map_or(laid.whats.len() - 1, |(k, _)| k);
        let place = |deed: &Deed| match deed {
            Deed::Check { of, check, .. } => {
                let part = Named::all(plant).position(|other| other == *of).unwrap_or_default();
                let checks = hypothesis::kind_of(plant, *of).checks;
                100 * part + checks.iter().position(|other| other.name == check.name).unwrap_or_default()
            }
            _ => usize::MAX,
        };
        let order = laid.deeds.iter().map(place).collect();
        Some(Trouble { laid, took, truth, order, set: set.into() })
    }

    /// One run through it.
    fn run(&self, way: Way, chance: &mut Chance, tally: &mut Tally) {
        let problem = &self.laid.problem;
        let mut here = self.laid.here.clone();
        let mut found = None;
        tally.runs += 1.0;
        for _ in 0..PATIENCE {
            let choice = self.decide(way, &here, found.take());
            match choice {
                Choice::Step(step) => {
                    let (price, _) = problem.price(here.standing, step);
                    self.pay(price, tally);
                    let Some(outcome) = self.drawn(step, chance) else {
                        tally.parts += f64::from(u8::from(self.takes_a_part(step)));
                        return;
                    };
                    match &problem.steps[step].does {
                        Does::Mends(_) => tally.parts += f64::from(u8::from(self.takes_a_part(step))),
                        Does::Looks(shows) => {
                            tally.looks += 1.0;
                            found = if let Outcome::Shown(k) = outcome { shows[k].mend } else { None };
                        }
                    }
                    here = after(problem, &here, step, outcome);
                }
                Choice::Leave => {
                    self.pay(problem.harm, tally);
                    if let Some(well) = problem.well {
                        here.chances[well] = 0.0;
                    }
                    here = whole(here);
                }
                Choice::Help => break,
            }
        }
        tally.helped += 1.0;
        self.pay(problem.help[self.truth], tally);
    }

    fn pay(&self, cost: Cost, tally: &mut Tally) {
        tally.cost += cost;
        tally.all_in += cost.worth(self.laid.problem.hour);
    }

    fn takes_a_part(&self, step: usize) -> bool {
        matches!(self.laid.deeds[step], Deed::Repair { effort, .. } if effort.money >= 10.0)
    }

    /// How a step comes out under the true cause; nothing if it cures it.
    fn drawn(&self, step: usize, chance: &mut Chance) -> Option<Outcome> {
        let mut left = chance.uniform();
        match &self.laid.problem.steps[step].does {
            Does::Mends(cures) => {
                let mine = cures.iter().find(|cure| cure.hypothesis == self.truth && cure.leaves.is_none());
                if mine.is_some_and(|cure| left < cure.chance) { None } else { Some(Outcome::Persists) }
            }
            Does::Looks(shows) => {
                for (k, thing) in shows.iter().enumerate() {
                    let under = thing.under.iter().find(|(hypothesis, _)| *hypothesis == self.truth);
                    left -= under.map_or(thing.by_chance, |(_, chance)| *chance);
                    if left < 0.0 {
                        return Some(Outcome::Shown(k));
                    }
                }
                Some(Outcome::Clean)
            }
        }
    }

    fn decide(&self, way: Way, here: &Here, found: Option<usize>) -> Choice {
        let problem = &self.laid.problem;
        let repair = || problem.likeliest_repair(here).map_or(Choice::Help, Choice::Step);
        let looks = || problem.open(here, true).filter(|&k| matches!(problem.steps[k].does, Does::Looks(_)));
        let minutes = |step: usize| problem.price(here.standing, step).0.worth(problem.hour);
        let most = || {
            let worth = |step: usize| settles(problem, here, step) / minutes(step);
            looks().max_by(|&a, &b| worth(a).total_cmp(&worth(b)))
        };
        let look = match way {
            Way::Expected => return problem.choose(here, AHEAD).choice,
            Way::SettlesAndStops => {
                let choice = problem.choose(here, AHEAD).choice;
                let looks = matches!(choice, Choice::Step(k) if matches!(problem.steps[k].does, Does::Looks(_)));
                return most().filter(|_| looks).map_or(choice, Choice::Step);
            }
            Way::Repairs => None,
            Way::FileOrder => looks().min_by_key(|&k| self.order[k]),
            Way::Cheapest => looks().min_by(|&a, &b| minutes(a).total_cmp(&minutes(b))),
            Way::Settles(_) => most().filter(|&step| settles(problem, here, step) > 1e-3),
        };
        let sure = if let Way::Settles(sure) = way { sure } else { SURE };
        match (found.filter(|mend| here.made & (1 << mend) == 0), look) {
            (Some(mend), _) if !matches!(way, Way::Settles(_)) => Choice::Step(mend),
            (_, Some(look)) if self.surest(here) < sure => Choice::Step(look),
            _ => repair(),
        }
    }

    /// Chance of what the likeliest repair puts right [1].
    fn surest(&self, here: &Here) -> f64 {
        let problem = &self.laid.problem;
        problem.likeliest_repair(here).map_or(0.0, |step| match &problem.steps[step].does {
            Does::Mends(cures) => cures.iter().map(|cure| here.chances[cure.hypothesis]).sum(),
            Does::Looks(_) => 0.0,
        })
    }
}

/// What a look is expected to settle [bits].
fn settles(problem: &Problem, here: &Here, step: usize) -> f64 {
    let entropy = |here: &Here| {
        let mass = here.mass();
        here.chances.iter().filter(|p| **p > 1e-12).map(|p| -p * (p / mass).log2()).sum::<f64>()
    };
    entropy(here) - problem.outcomes(here, step).iter().map(|(_, then)| entropy(then)).sum::<f64>()
}

fn after(problem: &Problem, here: &Here, step: usize, outcome: Outcome) -> Here {
    let outcomes = problem.outcomes(here, step);
    whole(outcomes.into_iter().find(|(other, _)| *other == outcome).map_or_else(|| here.clone(), |(_, then)| then))
}

/// The same, as it stands once come to.
fn whole(mut here: Here) -> Here {
    let mass = here.mass().max(1e-300);
    here.chances.iter_mut().for_each(|chance| *chance /= mass);
    here
}

/// What every way to decide comes to on these troubles.
fn table(title: &str, troubles: &[&Trouble], seed: u64) -> String {
    let named = troubles.iter().filter(|trouble| trouble.truth + 1 < trouble.laid.whats.len()).count();
    let took = troubles.iter().map(|trouble| 1e3 * trouble.took);
    let (mean, most) = (took.clone().sum::<f64>() / troubles.len().max(1) as f64, took.fold(0.0, f64::max));
    let mut text = format!(
        "\n{title}: {} troubles, the true cause carried by name in {named}; a plan in {mean:.1} ms, at most {most:.1}\n\n| decided by | minutes | EUR | all in, as minutes | looks | parts | called for help |\n|---|---|---|---|---|---|---|\n",
        troubles.len()
    );
    for (name, way) in WAYS {
        let mut tally = Tally::default();
        for (k, trouble) in troubles.iter().enumerate() {
            // The same luck for every way.
            let mut chance = Chance::new(seed.wrapping_add(1 + k as u64));
            (0..DRAWS).for_each(|_| trouble.run(way, &mut chance, &mut tally));
        }
        let mean = |sum: f64| sum / tally.runs.max(1.0);
        let _ = writeln!(
            text,
            "| {name} | {:.0} | {:.0} | {:.0} | {:.1} | {:.2} | {:.0} % |",
            mean(tally.cost.minutes),
            mean(tally.cost.money),
            mean(tally.all_in),
            mean(tally.looks),
            mean(tally.parts),
            100.0 * mean(tally.helped)
        );
    }
    text
}

/// How far the gauges must move for a fault to be a trouble [standard deviations].
const SHOWS: f64 = 4.0;

/// Faults drawn by how often they happen, on drawn vessels; every gauge read once.
pub fn simulated(plant: &Plant, faults: usize, seed: u64, situation: Situation) -> Result<String, String> {
    let mut world = Model::new(plant).map_err(|error| error.to_string())?;
    let causes = hypothesis::all(plant, &world.layout, &Evidence::default());
    let causes: Vec<&Hypothesis> =
        causes.iter().filter(|h| matches!(h.what, What::Cause(..)) && !h.moves.is_empty()).collect();
    let all: f64 = causes.iter().map(|h| h.prior).sum();
    let mut chance = Chance::new(seed);
    let mut troubles = Vec::new();
    for _ in 0..100 * faults {
        if troubles.len() >= faults {
            break;
        }
        let mut left = all * chance.uniform();
        let drawn = causes.iter().find(|h| {
            left -= h.prior;
            left < 0.0
        });
        let Some(fault) = drawn else { continue };
        let Some(evidence) = told(&mut world, fault, &mut chance) else { continue };
        let evidence = Evidence { situation, ..evidence };
        let Ok(answer) = explain(plant, &evidence) else { continue };
        troubles.extend(Trouble::of(plant, &evidence, &answer, |what| what == fault.what, ""));
    }
    Ok(table("Simulated faults", &troubles.iter().collect::<Vec<_>>(), seed))
}

/// What is told of a fault on a vessel of this description, if it shows and she has a state with it.
fn told(world: &mut Model, fault: &Hypothesis, chance: &mut Chance) -> Option<Evidence> {
    let plant = world.plant.clone();
    let scores = Scores::of(world, 0);
    let normals: Vec<f64> = (0..scores.len()).map(|_| chance.normal()).collect();
    let parameters = scores.parameters(world, &normals);
    let at = ToldPoint {
        speed: Some(plant.rated_speed * (0.5 + 0.45 * chance.uniform())),
        sea: Some(278.15 + 20.0 * chance.uniform()),
        load: Some(1.0),
        ..ToldPoint::default()
    };
    let (truth, _) = point::told(&plant, &at);
    let severity = 0.3 + 0.7 * chance.uniform();
    let figures = Change { moves: fault.moves.clone(), severity }.apply(&parameters);
    let sound = world.solve(&parameters, &truth, None).ok()?;
    let state = world.solve(&figures, &truth, Some(&sound)).ok()?;
    if world.unsteady(&state).is_some() || moved(world, &sound, &state) < SHOWS {
        return None;
    }
    let dials = plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_none());
    let readings = dials.map(|gauge| {
        let truth = world.read(&state, plant[gauge].tap);
        let lasting = world.lasting(gauge) * scores.off(gauge, &normals);
        let passing = 0.5 * discrepancy(plant[gauge].quantity, truth) * chance.normal();
        let value = truth + lasting + plant[gauge].noise * chance.normal() + passing;
        (gauge, ReadingText::Value { value, mark: Mark::Steady, rough: false })
    });
    let occasion = Occasion { when: Moment::Now, at, readings: readings.collect(), ..Occasion::default() };
    Some(Evidence { occasions: vec![occasion], ..Evidence::default() })
}

/// The real cases as told; single ones are not shown, and of those that are kept only the sums of all.
pub fn cases(folder: &Path) -> Result<String, String> {
    let mut folders: Vec<_> = std::fs::read_dir(folder)
        .map_err(|error| format!("{}: {error}", folder.display()))?
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.join("expected.toml").is_file())
        .collect();
    folders.sort();
    let mut troubles = Vec::new();
    for path in &folders {
        troubles.extend(case(path)?);
    }
    let seen: Vec<&Trouble> = troubles.iter().filter(|trouble| trouble.set != "kept").collect();
    let all: Vec<&Trouble> = troubles.iter().collect();
    Ok(table("Real cases that were looked into", &seen, 1) + &table("All real cases", &all, 1))
}

fn case(path: &Path) -> Result<Option<Trouble>, String> {
    let id = path.display();
    let read = |name: &str| std::fs::read_to_string(path.join(name)).map_err(|error| format!("{id}/{name}: {error}"));
    let plant =
        plant::reader::read(&read("vessel.toml")?).0.ok_or_else(|| format!("{id}: vessel.toml does not load"))?;
    let (evidence, _) = plant::evidence_reader::read(&read("evidence.toml")?, &plant);
    let expected: toml_edit::DocumentMut =
        read("expected.toml")?.parse().map_err(|error| format!("{id}/expected.toml: {error}"))?;
    let accepted: Vec<&str> =
        expected["accepted"].as_array().into_iter().flatten().filter_map(|v| v.as_str()).collect();
    let set = expected["set"].as_str().unwrap_or("");
    let answer = explain(&plant, &evidence).map_err(|error| format!("{id}: {error:?}"))?;
    let is_true = |what| accepted.contains(&cases::label(&plant, what).as_str());
    Ok(Trouble::of(&plant, &evidence, &answer, is_true, set))
}
