//! Whether anything on the list explains what was read: the likeliest causes leave no more of the readings than chance
//! would, and doubt none of them.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What};
use crate::severity::Weighed;
use model::fit::Fit;
use model::likeness::as_unit_normal;
use model::steady::Model;

/// What the readings are beyond.
#[derive(Clone, Debug, PartialEq)]
pub struct Unexplained {
    /// Readings that go least with the rest, by their places among those set out, the furthest first.
    pub readings: Vec<usize>,
    /// They go with the rest if they are slips, each by itself; else nothing on the list explains them even so.
    pub slips: bool,
}

/// One time in so many a cause that is so leaves as much of the readings by chance: as a unit normal (one in a thousand).
const BEYOND: f64 = 3.09;
/// A cause no less likely than this share of the likeliest may be the one that explains [1].
const MAY_BE: f64 = 0.1;
/// A reading further than this from what all the others foretell is named [standard deviations].
const NAMED: f64 = 2.5;
/// And at most so many are.
const MOST: usize = 3;
/// More likely than this that some reading is a slip, and it is said [1].
const LIKELY: f64 = 0.5;

/// What is unexplained, if anything is.
pub(crate) fn unexplained(
    hypotheses: &[Hypothesis],
    weighed: &[Option<Weighed>],
    chances: &[f64],
) -> Option<Unexplained> {
    let named = |k: &usize| !matches!(hypotheses[*k].what, What::Else(_));
    let each = || (0..hypotheses.len()).filter(named).filter_map(|k| Some((chances[k], weighed[k].as_ref()?)));
    let whole: f64 = each().map(|(chance, _)| chance).sum();
    let (top, first) = each().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let plain: f64 = each().filter(|(_, w)| w.doubted.is_empty()).map(|(chance, _)| chance).sum();
    let may_be = each().filter(|(chance, _)| *chance >= MAY_BE * top);
    let least = may_be.filter_map(|(_, w)| oddity(w.fit.as_ref()?)).min_by(f64::total_cmp);
    // Where nothing was read there is nothing to explain.
    if least.is_some_and(|least| least > BEYOND)
        && let Some(fit) = &first.fit
    {
        return Some(Unexplained { readings: furthest(fit), slips: false });
    }
    (1.0 - plain / whole.max(1e-300) > LIKELY && !first.doubted.is_empty())
        .then(|| Unexplained { readings: first.doubted.clone(), slips: true })
}

/// How odd what a fit leaves of its readings is, as the unit normal that is as odd; nothing where nothing was read.
fn oddity(fit: &Fit) -> Option<f64> {
    (!fit.off.is_empty()).then(|| as_unit_normal(fit.off.norm_squared(), fit.off.len()))
}

/// Readings furthest from what all the others foretell at a fit.
fn furthest(fit: &Fit) -> Vec<usize> {
    let Some(misfit) = fit.misfit() else { return Vec::new() };
    let far = |i: usize| {
        let (off, sigma) = misfit.against_others(i);
        (off / sigma).abs()
    };
    let mut order: Vec<usize> = (0..misfit.len()).collect();
    order.sort_by(|&a, &b| far(b).total_cmp(&far(a)));
    let near = order.iter().position(|&i| far(i) < NAMED).unwrap_or(order.len());
    order.truncate(near.clamp(1, MOST));
    order
}

/// How far something on no list may move a reading, as a share of its gauge's scale: one standard deviation. From memory: a
/// quarter either way is as good as anywhere.
const ANYWHERE: f64 = 0.25;

/// Logarithm of how likely what was read is if something on no list moves each reading anywhere on its scale; the rest of
/// the plant sound.
pub(crate) fn moved_anywhere(model: &Model, known: &Known) -> Option<f64> {
    let before = known.before.as_ref()?;
    let mut misfit = before.misfit()?;
    let seen = &known.setting.seen;
    let mut log = before.log_evidence;
    for (i, observed) in seen.observed.iter().enumerate() {
        let Some((_, gauge, _)) = observed.terms.iter().find(|(run, ..)| seen.runs[*run].troubled) else { continue };
        let (low, high) = model.plant[*gauge].scale;
        let variance = (ANYWHERE * (high - low)).powi(2);
        log += misfit.if_doubted(i, variance);
        misfit.doubt(i, variance);
    }
    Some(log)
}
