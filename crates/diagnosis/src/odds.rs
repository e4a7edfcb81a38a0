//! From what each hypothesis weighs to odds: prior times likelihood, what no list holds, and no more certainty than there is.

use crate::hypothesis::{Hypothesis, What};
use crate::severity::Weighed;
use parts::kind::By;

/// No named cause is surer than this on gauges and words alone: the list is never complete. A prototype put a wrong
/// named cause above 0.9 in one case of seven when the true one was taken off the list.
const SUREST: f64 = 0.95;

/// The chance of each, one of them being so. `only_told`: nothing was checked, so that nothing may be too sure.
pub(crate) fn chances(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>], only_told: bool) -> Vec<f64> {
    let logs = with_unlisted(hypotheses, weighed);
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
    weighed.map_or(f64::NEG_INFINITY, |w| hypothesis.prior.max(1e-300).ln() + w.log_likelihood)
}

/// Whether a hypothesis is on a list.
pub(crate) fn listed(hypothesis: &Hypothesis) -> bool {
    !matches!(hypothesis.what, What::Else(_))
}

/// Severity as people mean it: of what blocks, the share of the area that is shut.
pub(crate) fn shut(first_move: Option<&(usize, By)>, severity: f64) -> f64 {
    first_move.map_or(severity, |(_, by)| by.shut(severity))
}

/// Prior times likelihood, in logarithms; what no list holds shares its circuit's signatures, all alike.
fn with_unlisted(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>]) -> Vec<f64> {
    hypotheses
        .iter()
        .zip(weighed)
        .map(|(h, w)| match (h.what, w) {
            (What::Else(circuit), _) => {
                let signatures: Vec<f64> = hypotheses
                    .iter()
                    .zip(weighed)
                    .filter(|(other, _)| other.circuit == Some(circuit) && listed(other) && !other.is_pair())
                    .filter_map(|(_, w)| w.as_ref().map(|w| w.log_likelihood))
                    .collect();
                let top = signatures.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let mean: f64 =
                    signatures.iter().map(|l| (l - top).exp()).sum::<f64>() / signatures.len().max(1) as f64;
                if top.is_finite() { h.prior.max(1e-300).ln() + top + mean.ln() } else { f64::NEG_INFINITY }
            }
            (_, w) => score(h, w.as_ref()),
        })
        .collect()
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
