//! What each check would settle, for the minutes and the trouble it takes.

use crate::act::Act;
use crate::explain::Ranked;
use crate::hypothesis::{What, kind_of};
use crate::next_step::{SetUp, Standing, hands_near_what_turns, need, where_she_is};
use crate::tried::{detect, false_find, find_of};
use parts::kind::{Check, State};
use plant::evidence::{Evidence, Named};
use plant::plant::Plant;

/// A check with what it is worth.
#[derive(Clone, Debug)]
pub struct Advice {
    /// On what.
    pub of: Named,
    /// The check.
    pub check: &'static Check,
    /// Minutes hands on, as this owner makes it [min].
    pub hands_on: f64,
    /// The same with the change of state it needs [min].
    pub minutes: f64,
    /// What it is expected to settle [bits].
    pub bits: f64,
    /// Chance that it finds something [1].
    pub finds: f64,
    /// Which causes a finding would speak for, likeliest first, with what they would then be [1].
    pub tells: Vec<(What, f64)>,
    /// What it wants that is not aboard.
    pub lacks: Vec<&'static str>,
}

/// Checks listed.
const LISTED: usize = 8;

/// Ranks every check that can be made on this plant and has not been made.
pub fn rank(plant: &Plant, evidence: &Evidence, ranked: &[Ranked], act: &[Act]) -> Vec<Advice> {
    let from = where_she_is(plant, evidence, act);
    let mut list: Vec<Advice> = Vec::new();
    for of in Named::all(plant) {
        for (k, check) in kind_of(plant, of).checks.iter().enumerate() {
            let made = evidence.checks.iter().any(|made| made.of == of && made.check == k);
            let wanted = !made && check.state != State::Kept;
            if wanted && let Some(advice) = value(plant, (of, k), check, ranked, from) {
                list.push(advice);
            }
        }
    }
    // What is not to be had comes after what is, and hands near what turns come last.
    let late = |advice: &Advice| (!advice.lacks.is_empty(), hands_near_what_turns(advice.check));
    list.sort_by(|a, b| late(a).cmp(&late(b)).then((b.bits / b.minutes).total_cmp(&(a.bits / a.minutes))));
    list.truncate(LISTED);
    list
}

fn value(
    plant: &Plant,
    (of, place): (Named, usize),
    check: &'static Check,
    ranked: &[Ranked],
    (set_up, standing): (SetUp, Standing),
) -> Option<Advice> {
    let false_find = false_find(check);
    let shows = |r: &Ranked| {
        let one = |what, severity| find_of(plant, of, check, what).map_or(0.0, |find| detect(find, severity));
        let both = one(r.what, r.severity).max(r.beside.map_or(0.0, |what| one(what, r.beside_severity)));
        both.max(false_find)
    };
    let shows: Vec<f64> = ranked.iter().map(shows).collect();
    let finds: f64 = ranked.iter().zip(&shows).map(|(r, s)| r.probability * s).sum();
    let found: Vec<f64> = ranked.iter().zip(&shows).map(|(r, s)| r.probability * s / finds.max(1e-12)).collect();
    let clean: Vec<f64> =
        ranked.iter().zip(&shows).map(|(r, s)| r.probability * (1.0 - s) / (1.0 - finds).max(1e-12)).collect();
    let before: Vec<f64> = ranked.iter().map(|r| r.probability).collect();
    let bits = entropy(&before) - finds * entropy(&found) - (1.0 - finds) * entropy(&clean);
    if bits < 1e-4 {
        return None;
    }
    // A cause alone and beside another is one thing told.
    let mut tells: Vec<(What, f64)> = Vec::new();
    let likelier = |(r, chance): &(&Ranked, &f64)| **chance > r.probability * 1.2 && matches!(r.what, What::Cause(..));
    for (r, chance) in ranked.iter().zip(&found).filter(likelier) {
        match tells.iter_mut().find(|(what, _)| *what == r.what) {
            Some((_, sum)) => *sum += chance,
            None => tells.push((r.what, *chance)),
        }
    }
    tells.retain(|(_, chance)| *chance > 0.02);
    tells.sort_by(|a, b| b.1.total_cmp(&a.1));
    tells.truncate(4);
    let hands_on = plant.aboard.check_minutes(of, place, check);
    let (reach, _) = set_up.reach(standing, need(plant, of, check));
    let minutes = hands_on + reach.minutes + reach.risk;
    Some(Advice { of, check, hands_on, minutes, bits, finds, tells, lacks: plant.missing(of, check) })
}

fn entropy(chances: &[f64]) -> f64 {
    chances.iter().filter(|p| **p > 1e-12).map(|p| -p * p.log2()).sum()
}
