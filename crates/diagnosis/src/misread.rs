//! Readings that were misread: each of them may be, on its own, whatever is wrong with the plant. One absurd reading is then
//! one slip, and excuses nothing else.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What};
use crate::severity::Weighed;
use model::fit::{Fit, Seen};
use model::misfit::Misfit;
use model::steady::Model;

/// Share of readings taken by people that are misread, miswritten or of another gauge. From memory: a person slips once in
/// some hundred entries and sees most of it.
const SLIPS: f64 = 2e-3;
/// The same of what a bus delivers, as a mean over minutes. From memory.
const BUS_SLIPS: f64 = 1e-5;
/// In a consultation people look twice at what they complain of: slips are this much rarer when all is well. A prototype's
/// figure for false reports (about twenty times).
const CONSULTED: f64 = 0.05;
/// How far a slip goes, as a share of the gauge's scale: one standard deviation. From memory.
const HOW_FAR: f64 = 0.3;
/// At most so many are doubted at once.
const MOST: usize = 3;

/// Readings doubted.
pub(crate) struct Doubted {
    /// What was read, these as doubtful as slips are.
    pub seen: Seen,
    /// Logarithm of the chance of so many slips.
    pub price: f64,
    /// Which.
    pub readings: Vec<usize>,
}

/// Chance that any one reading is a slip.
fn chance(known: &Known, what: What) -> f64 {
    match (known.evidence.unasked, what) {
        (true, _) => BUS_SLIPS,
        (false, What::Well) => SLIPS * CONSULTED,
        (false, _) => SLIPS,
    }
}

/// Logarithm of the chance of so many slips.
pub(crate) fn price(known: &Known, what: What, slips: usize) -> f64 {
    chance(known, what).ln() * slips as f64
}

/// How far a reading may be off by a slip [SI, squared].
pub(crate) fn variance(model: &Model, seen: &Seen, reading: usize) -> f64 {
    let Some((_, gauge, _)) = seen.observed[reading].terms.first() else { return 0.0 };
    let (low, high) = model.plant[*gauge].scale;
    (HOW_FAR * (high - low)).powi(2)
}

/// What was read with those readings doubted that are likelier slips than as they stand at the best fit, and the logarithm
/// of the chance of so many; nothing if there are none.
pub(crate) fn doubted(model: &Model, known: &Known, hypothesis: &Hypothesis, weighed: &Weighed) -> Option<Doubted> {
    let seen = &known.setting.seen;
    let (picked, _) = slips(model, known, hypothesis, weighed)?;
    let price = price(known, hypothesis.what, picked.len()) + gained_before(model, seen, weighed, &picked);
    let mut doubting = seen.clone();
    for &reading in &picked {
        let noise = &mut doubting.observed[reading].noise;
        *noise = noise.hypot(variance(model, seen, reading).sqrt());
    }
    Some(Doubted { seen: doubting, price, readings: picked })
}

/// What doubting these makes of what was read before onset, which the evidence of what was read after it takes as read.
fn gained_before(model: &Model, seen: &Seen, weighed: &Weighed, picked: &[usize]) -> f64 {
    let Some(mut left) = weighed.fit.as_ref().and_then(Fit::misfit_before) else { return 0.0 };
    let mut gained = 0.0;
    let before = left.len();
    for &reading in picked.iter().filter(|reading| **reading < before) {
        let variance = variance(model, seen, reading);
        gained += left.if_doubted(reading, variance);
        left.doubt(reading, variance);
    }
    gained
}

/// With what the logarithm of the likelihood gains by slips at the best fit at hand, at the least.
pub(crate) fn with_slips(weighed: Weighed, model: &Model, known: &Known, hypothesis: &Hypothesis) -> Weighed {
    let slips = slips(model, known, hypothesis, &weighed).map_or(0.0, |(_, gain)| gain);
    Weighed { slips, ..weighed }
}

/// Readings doubted one after the other, each the one that gains most; and what they gain, their rarity counted. Two
/// readings of one gauge that are both off vouch for each other: those of a gauge are also doubted together.
fn slips(model: &Model, known: &Known, hypothesis: &Hypothesis, weighed: &Weighed) -> Option<(Vec<usize>, f64)> {
    let seen = &known.setting.seen;
    let mut misfit = weighed.fit.as_ref()?.misfit()?;
    let each = chance(known, hypothesis.what).ln();
    let sets = doubtful_together(seen);
    let (mut picked, mut gained) = (Vec::new(), 0.0);
    loop {
        let free = |set: &&Vec<usize>| set.len() + picked.len() <= MOST && !set.iter().any(|i| picked.contains(i));
        let doubting = |left: &mut Misfit, set: &[usize]| -> f64 {
            let mut gain = each * set.len() as f64;
            for &reading in set {
                let variance = variance(model, seen, reading);
                gain += left.if_doubted(reading, variance);
                left.doubt(reading, variance);
            }
            gain
        };
        let gain = |set: &Vec<usize>| match set.as_slice() {
            [reading] => each + misfit.if_doubted(*reading, variance(model, seen, *reading)),
            several => doubting(&mut misfit.clone(), several),
        };
        let gains = sets.iter().filter(free).map(|set| (gain(set), set));
        let Some((gain, set)) = gains.max_by(|a, b| a.0.total_cmp(&b.0)) else { break };
        if gain <= 0.0 {
            break;
        }
        doubting(&mut misfit, set);
        picked.extend(set);
        gained += gain;
    }
    (!picked.is_empty()).then_some((picked, gained))
}

/// Each reading by itself, and the few that a gauge gave after onset together.
fn doubtful_together(seen: &Seen) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = (0..seen.observed.len()).map(|reading| vec![reading]).collect();
    let of = |reading: usize| seen.observed[reading].terms.first().filter(|(run, ..)| seen.runs[*run].troubled);
    for first in 0..seen.observed.len() {
        let Some((_, gauge, _)) = of(first) else { continue };
        let same = (first..seen.observed.len()).filter(|i| of(*i).is_some_and(|(_, other, _)| other == gauge));
        let same: Vec<usize> = same.collect();
        let begins = !(0..first).any(|i| of(i).is_some_and(|(_, other, _)| other == gauge));
        if begins && (2..=MOST).contains(&same.len()) {
            sets.push(same);
        }
    }
    sets
}
