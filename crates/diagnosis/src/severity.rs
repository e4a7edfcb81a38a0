//! How likely everything known is at every severity, from the few severities that were looked at, and summed over all.

use model::fit::Fit;
use parts::kind::Severity;

/// What came of weighing a hypothesis.
#[derive(Clone, Debug)]
pub(crate) struct Weighed {
    /// Logarithm of the likelihood of everything, severity summed out.
    pub log_likelihood: f64,
    /// Severity that half of the belief lies below [0 to 1].
    pub severity: f64,
    /// Severity between which nine in ten of the belief lie.
    pub severity_range: (f64, f64),
    /// Fit at the best severity.
    pub fit: Option<Fit>,
}

/// One severity looked at.
pub(crate) struct Node {
    /// How bad [0 to 1].
    pub severity: f64,
    /// Logarithm of the likelihood there.
    pub value: f64,
    /// Fit there; nothing if the plant has no state.
    pub fit: Option<Fit>,
}

/// The severity that seems best by those looked at is looked at itself, unless one was as near as this.
const NEAR_ENOUGH: f64 = 0.012;
/// Strips that likelihood is summed over.
const STRIPS: usize = 400;

/// Severity in the middle of a strip.
fn strip(k: usize) -> f64 {
    (k as f64 + 0.5) / STRIPS as f64
}

/// Logarithm of the likelihood in every strip.
fn curve(nodes: &[Node]) -> Vec<f64> {
    (0..STRIPS).map(|k| between(nodes, strip(k))).collect()
}

/// Logarithm of the likelihood at any severity.
fn between(nodes: &[Node], s: f64) -> f64 {
    let k = nodes.partition_point(|n| n.severity < s);
    match (k.checked_sub(1).map(|k| &nodes[k]), nodes.get(k)) {
        (Some(a), Some(b)) => {
            let t = (s - a.severity) / (b.severity - a.severity);
            match (&a.fit, &b.fit) {
                (Some(from), Some(to)) => bent(t, a.value, b.value, from.off.metric_distance(&to.off)),
                _ if t < 0.5 => a.value,
                _ => b.value,
            }
        }
        (Some(n), None) | (None, Some(n)) => n.value,
        (None, None) => f64::NEG_INFINITY,
    }
}

/// A share `t` of the way between two logarithms whose readings lie so far apart, in their standard deviations. Readings
/// move in a straight line, so what they say bends like a parabola with its top where they fit best; the rest is a
/// straight line.
fn bent(t: f64, from: f64, to: f64, apart: f64) -> f64 {
    from + (to - from) * t + 0.5 * t * (1.0 - t) * apart * apart
}

/// The severity that fits best by what is known so far, and its place among those looked at, if it was not looked at.
pub(crate) fn likeliest_between(nodes: &[Node]) -> Option<(usize, f64)> {
    let (top, _) = curve(nodes).into_iter().enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let s = strip(top);
    let place = nodes.partition_point(|n| n.severity < s);
    let inside = place > 0 && place < nodes.len();
    let new = nodes.iter().all(|n| (n.severity - s).abs() > NEAR_ENOUGH);
    (inside && new).then_some((place, s))
}

/// Sums likelihood over severity.
pub(crate) fn sum(nodes: Vec<Node>, spread: Severity) -> Weighed {
    // Rates count what is noticed, and the worse it is the surer it is noticed: each spread leans that way.
    let density = |s: f64| match spread {
        Severity::MostlySlight => 6.0 * s * (1.0 - s),
        Severity::MostlyBad => 4.0 * s * s * s,
        Severity::Even | Severity::Whole => 2.0 * s,
    };
    let logs = curve(&nodes);
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if best == f64::NEG_INFINITY {
        return Weighed { log_likelihood: best, severity: 0.5, severity_range: (0.0, 1.0), fit: None };
    }
    let weights: Vec<f64> = logs.iter().enumerate().map(|(k, log)| (log - best).exp() * density(strip(k))).collect();
    let whole: f64 = weights.iter().sum();
    let mut below = 0.0;
    let (mut low, mut middle, mut high) = (0.0, 0.5, 1.0);
    for (k, w) in weights.iter().enumerate() {
        let s = strip(k);
        let next = below + w / whole;
        for (mark, place) in [(0.05, &mut low), (0.5, &mut middle), (0.95, &mut high)] {
            if below < mark && next >= mark {
                *place = s;
            }
        }
        below = next;
    }
    let log_likelihood = best + (whole / STRIPS as f64).max(1e-300).ln();
    let fit = nodes.into_iter().max_by(|a, b| a.value.total_cmp(&b.value)).and_then(|n| n.fit);
    Weighed { log_likelihood, severity: middle, severity_range: (low, high), fit }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_two_severities_the_logarithm_is_that_of_readings_on_a_straight_line() {
        // Two readings, off by (3, 1) at one end and (-1, 2) at the other, in standard deviations: -½ of the square.
        let (from, to) = ([3.0_f64, 1.0], [-1.0, 2.0]);
        let log = |off: [f64; 2]| -0.5 * (off[0] * off[0] + off[1] * off[1]);
        let apart = (from[0] - to[0]).hypot(from[1] - to[1]);
        for t in [0.0, 0.25, 0.6, 1.0] {
            let on_the_line = [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t];
            assert!((bent(t, log(from), log(to), apart) - log(on_the_line)).abs() < 1e-12);
        }
    }
}
