//! How much will be wanted: amounts with their chances, added up over what wants them.

use crate::amount::SAME;

/// Points kept of a distribution; more are gathered upwards, so that what is wanted is never understated.
const MOST: usize = 2_000;
/// A point of less chance than this is gathered into the next.
const NOTHING: f64 = 1e-14;

/// Amounts and their chances, in rising order; the chances are 1 together, but for rounding.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand(pub Vec<(f64, f64)>);

impl Demand {
    /// Nothing, for sure.
    pub fn none() -> Demand {
        Demand(vec![(0.0, 1.0)])
    }

    /// So much for each of a number with these chances.
    pub fn each(chances: &[f64], amount: f64) -> Demand {
        Demand(chances.iter().enumerate().map(|(n, chance)| (n as f64 * amount, *chance)).collect())
    }

    /// Of two that are wanted one beside the other.
    pub fn and(&self, other: &Demand) -> Demand {
        let mut all: Vec<(f64, f64)> = Vec::with_capacity(self.0.len() * other.0.len());
        for (a, p) in &self.0 {
            all.extend(other.0.iter().map(|(b, q)| (a + b, p * q)));
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        gathered(&all)
    }

    /// Chance that more is wanted than this.
    pub fn more_than(&self, stock: f64) -> f64 {
        self.0.iter().rev().take_while(|(amount, _)| *amount > stock + SAME).fold(0.0, |sum, (_, chance)| sum + chance)
    }
}

/// Points in rising order, with those of one amount put together, no more than [`MOST`].
fn gathered(all: &[(f64, f64)]) -> Demand {
    let mut points: Vec<(f64, f64)> = Vec::new();
    let mut carried = 0.0;
    for (amount, chance) in all {
        match points.last_mut() {
            Some(last) if amount - last.0 <= SAME => last.1 += chance,
            // Only upwards: the next point wants more.
            _ if chance + carried < NOTHING => carried += chance,
            _ => points.push((*amount, chance + std::mem::take(&mut carried))),
        }
    }
    match points.last_mut() {
        Some(last) => last.1 += carried,
        None => points.push((0.0, 1.0)),
    }
    if points.len() <= MOST {
        return Demand(points);
    }
    let step = points[points.len() - 1].0 / (MOST - 2) as f64;
    let coarse: Vec<(f64, f64)> = points.iter().map(|(a, p)| ((a / step).ceil() * step, *p)).collect();
    gathered(&coarse)
}
