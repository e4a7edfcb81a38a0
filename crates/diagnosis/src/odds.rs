//! From what each hypothesis weighs to odds: prior times likelihood, what no list holds, and no more certainty than there is.

use crate::hypothesis::{Hypothesis, What};
use crate::severity::Weighed;
use parts::kind::By;

/// No named cause is surer than this on gauges and words alone: the list is never complete. A prototype put a wrong
/// named cause above 0.9 in one case of seven when the true one was taken off the list.
const SUREST: f64 = 0.95;

/// Share of what no list holds that moves readings as nothing on the list does. From memory.
const LIKE_NOTHING: f64 = 0.2;

/// The chance of each, one of them being so. `only_told`: nothing was checked, so that nothing may be too sure. `anywhere`:
/// logarithm of how likely what was read is if it may be anything.
pub(crate) fn chances(
    hypotheses: &[Hypothesis],
    weighed: &[Option<Weighed>],
    only_told: bool,
    anywhere: Option<f64>,
) -> Vec<f64> {
    let logs = with_unlisted(hypotheses, weighed, anywhere);
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut chances: Vec<f64> = logs.iter().map(|l| (l - best).exp()).collect();
    normalise(&mut chances);
    if only_told {
        humble(hypotheses, &mut chances);
    }
    chances
}

/// Prior times likelihood of what is on a list, as a logarithm.
pub(crate) fn score(hypothesis: &Hypothesis, weighed: Option<&Weighed>) -> f64 {
    weighed.map_or(f64::NEG_INFINITY, |w| hypothesis.log_prior() + w.log_likelihood)
}

/// The best of these.
pub(crate) fn best_score(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>]) -> f64 {
    let scores = hypotheses.iter().zip(weighed).map(|(h, w)| score(h, w.as_ref()));
    scores.fold(f64::NEG_INFINITY, f64::max)
}

/// Whether a hypothesis is on a list.
pub(crate) fn listed(hypothesis: &Hypothesis) -> bool {
    !matches!(hypothesis.what, What::Else(_))
}

/// Severity as people mean it: of what blocks, the share of the area that is shut.
pub(crate) fn shut(first_move: Option<&(usize, By)>, severity: f64) -> f64 {
    first_move.map_or(severity, |(_, by)| by.shut(severity))
}

/// Prior times likelihood, in logarithms; what no list holds shares its circuit's signatures, all alike, or has one of its own.
fn with_unlisted(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>], anywhere: Option<f64>) -> Vec<f64> {
    let unlisted = |circuit| {
        let own = |h: &Hypothesis| h.circuit == Some(circuit) && listed(h) && !h.is_pair();
        let signatures = || hypotheses.iter().zip(weighed).filter(|(h, _)| own(h)).filter_map(|(_, w)| w.as_ref());
        let alike = mean(signatures().map(|w| w.log_likelihood));
        // Whatever it does to the gauges, it is spoken of as what is like it.
        let told = mean(signatures().filter(|w| w.fit.is_some()).map(|w| w.told));
        match anywhere {
            Some(anywhere) => either(alike + (1.0 - LIKE_NOTHING).ln(), anywhere + told + LIKE_NOTHING.ln()),
            None => alike,
        }
    };
    hypotheses
        .iter()
        .zip(weighed)
        .map(|(h, w)| match h.what {
            What::Else(circuit) => h.log_prior() + unlisted(circuit),
            _ => score(h, w.as_ref()),
        })
        .collect()
}

/// Logarithm of the mean of what these are the logarithms of; of none, or of nothing, that of nothing.
fn mean(logs: impl Iterator<Item = f64> + Clone) -> f64 {
    let top = logs.clone().fold(f64::NEG_INFINITY, f64::max);
    let (sum, count) = logs.fold((0.0, 0.0), |(sum, count), log| (sum + (log - top).exp(), count + 1.0));
    if top.is_finite() { top + f64::ln(sum / count) } else { f64::NEG_INFINITY }
}

/// Logarithm of the sum of what two are the logarithms of.
fn either(a: f64, b: f64) -> f64 {
    let top = a.max(b);
    if top.is_finite() { top + ((a - top).exp() + (b - top).exp()).ln() } else { top }
}

fn normalise(chances: &mut [f64]) {
    let whole: f64 = chances.iter().sum();
    if whole > 0.0 {
        for chance in chances {
            *chance /= whole;
        }
    }
}

/// Takes what is too sure of a named cause and gives it to the unlisted of its circuit.
fn humble(hypotheses: &[Hypothesis], chances: &mut [f64]) {
    let Some(top) = (0..chances.len()).max_by(|&a, &b| chances[a].total_cmp(&chances[b])) else { return };
    let over = chances[top] - SUREST;
    if over <= 0.0 || !matches!(hypotheses[top].what, What::Cause(..)) {
        return;
    }
    let unlisted =
        hypotheses.iter().position(|h| matches!(h.what, What::Else(c) if Some(c) == hypotheses[top].circuit));
    if let Some(unlisted) = unlisted {
        chances[top] -= over;
        chances[unlisted] += over;
    }
}
