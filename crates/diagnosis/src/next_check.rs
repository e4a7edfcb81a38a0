//! Which check to make next: the one that settles most for the minutes and the trouble it takes.

use crate::explain::Ranked;
use crate::hypothesis::{What, kind_of};
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
    /// Minutes with the change of state it needs [min].
    pub minutes: f64,
    /// What it is expected to settle [bits].
    pub bits: f64,
    /// Chance that it finds something [1].
    pub finds: f64,
    /// Which causes a finding would speak for, likeliest first, with what they would then be [1].
    pub tells: Vec<(What, f64)>,
}

/// Checks listed.
const LISTED: usize = 8;

/// Ranks every check that can be made on this plant and has not been made.
pub fn rank(plant: &Plant, evidence: &Evidence, ranked: &[Ranked]) -> Vec<Advice> {
    let mut list: Vec<Advice> = Vec::new();
    for of in Named::all(plant) {
        for (k, check) in kind_of(plant, of).checks.iter().enumerate() {
            let made = evidence.checks.iter().any(|made| made.of == of && made.check == k);
            if !made && let Some(advice) = value(plant, of, check, ranked) {
                list.push(advice);
            }
        }
    }
    list.sort_by(|a, b| (b.bits / b.minutes).total_cmp(&(a.bits / a.minutes)));
    list.truncate(LISTED);
    list
}

fn value(plant: &Plant, of: Named, check: &'static Check, ranked: &[Ranked]) -> Option<Advice> {
    let false_find = false_find(check);
    let shows: Vec<f64> = ranked
        .iter()
        .map(|r| find_of(plant, of, check, r.what).map_or(false_find, |find| detect(find, r.severity).max(false_find)))
        .collect();
    let finds: f64 = ranked.iter().zip(&shows).map(|(r, s)| r.probability * s).sum();
    let found: Vec<f64> = ranked.iter().zip(&shows).map(|(r, s)| r.probability * s / finds.max(1e-12)).collect();
    let clean: Vec<f64> =
        ranked.iter().zip(&shows).map(|(r, s)| r.probability * (1.0 - s) / (1.0 - finds).max(1e-12)).collect();
    let before: Vec<f64> = ranked.iter().map(|r| r.probability).collect();
    let bits = entropy(&before) - finds * entropy(&found) - (1.0 - finds) * entropy(&clean);
    if bits < 1e-4 {
        return None;
    }
    let mut tells: Vec<(What, f64)> = ranked
        .iter()
        .zip(&found)
        .filter(|(r, chance)| **chance > r.probability * 1.2 && **chance > 0.02 && matches!(r.what, What::Cause(..)))
        .map(|(r, chance)| (r.what, *chance))
        .collect();
    tells.sort_by(|a, b| b.1.total_cmp(&a.1));
    tells.truncate(4);
    Some(Advice { of, check, minutes: check.minutes + trouble(check), bits, finds, tells })
}

/// Minutes that the change of state and the danger add [min]; from memory: cooling down, a diver or a yard.
fn trouble(check: &Check) -> f64 {
    let state = match check.state {
        State::Running => 0.0,
        State::Idling => 3.0,
        State::Stopped => 10.0,
        State::StoppedAndShut => 12.0,
        State::StoppedCold => 60.0,
        State::UnderWater => 180.0,
    };
    // Hands near what turns come last.
    let near_belts = check.state <= State::Idling
        && ["belt", "pulley", "rotating", "turning"].iter().any(|w| check.caution.contains(w));
    state + if near_belts { 20.0 } else { 0.0 }
}

fn entropy(chances: &[f64]) -> f64 {
    chances.iter().filter(|p| **p > 1e-12).map(|p| -p * p.log2()).sum()
}
