//! How much of one thing may be kept, step by step, and what each step leaves to chance.

use crate::demand::Demand;

/// A level is looked at as long as more than this share of the allowed chance would be left [1].
const FINEST: f64 = 1e-5;
/// Levels of one thing.
const MOST_LEVELS: usize = 200;

/// Each number or amount that may be wanted as a level, with the chance that more is.
pub(crate) fn levels(demand: &Demand, short: f64) -> Vec<(f64, f64)> {
    let mut levels: Vec<(f64, f64)> = Vec::with_capacity(demand.0.len() + 1);
    let mut more = 0.0;
    for (amount, chance) in demand.0.iter().rev() {
        levels.push((*amount, more));
        more += chance;
    }
    if levels.last().is_none_or(|(least, _)| *least > 0.0) {
        levels.push((0.0, 1.0));
    }
    levels.reverse();
    let enough = levels.iter().position(|(_, more)| *more < short * FINEST).unwrap_or(levels.len() - 1);
    levels.truncate(enough + 1);
    // Beyond all reason anyway: fewer steps, and the last of them.
    let step = levels.len().div_ceil(MOST_LEVELS);
    let last = levels.len() - 1;
    levels.into_iter().enumerate().filter(|(at, _)| at % step == 0 || *at == last).map(|(_, level)| level).collect()
}
