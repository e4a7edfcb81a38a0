//! Readings that were misread: each of them may be, on its own, whatever is wrong with the plant. One absurd reading is then
//! one slip, and excuses nothing else.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What};
use crate::severity::Weighed;
use model::fit::Seen;
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
    let (picked, price, _) = slips(model, known, hypothesis, weighed)?;
    let mut doubting = seen.clone();
    for &reading in &picked {
        let noise = &mut doubting.observed[reading].noise;
        *noise = noise.hypot(variance(model, seen, reading).sqrt());
    }
    Some(Doubted { seen: doubting, price, readings: picked })
}

/// What the logarithm of the likelihood gains by slips at the best fit at hand, at the least.
pub(crate) fn gain(model: &Model, known: &Known, hypothesis: &Hypothesis, weighed: &Weighed) -> f64 {
    slips(model, known, hypothesis, weighed).map_or(0.0, |(_, price, gain)| gain + price)
}

/// Readings doubted one after the other, each the one that gains most; the logarithm of their chance; and what they gain.
fn slips(model: &Model, known: &Known, hypothesis: &Hypothesis, weighed: &Weighed) -> Option<(Vec<usize>, f64, f64)> {
    let seen = &known.setting.seen;
    let mut misfit = weighed.fit.as_ref()?.misfit()?;
    let each = chance(known, hypothesis.what).ln();
    let (mut picked, mut gained) = (Vec::new(), 0.0);
    while picked.len() < MOST {
        let free = (0..misfit.len()).filter(|reading| !picked.contains(reading));
        let gains = free.map(|reading| (reading, misfit.if_doubted(reading, variance(model, seen, reading))));
        let Some((reading, gain)) = gains.max_by(|a, b| a.1.total_cmp(&b.1)) else { break };
        if gain + each <= 0.0 {
            break;
        }
        misfit.doubt(reading, variance(model, seen, reading));
        picked.push(reading);
        gained += gain;
    }
    let price = price(known, hypothesis.what, picked.len());
    (!picked.is_empty()).then_some((picked, price, gained))
}
