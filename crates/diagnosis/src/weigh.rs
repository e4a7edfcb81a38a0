//! One hypothesis against all that is known: fitted at its own best point at several severities, and summed over them.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What, misreads};
use crate::said::{self, Scene, normal_below};
use crate::tried;
use model::fit::{Change, Fit, Lie, Scores, Under};
use model::steady::{Model, State};
use parts::kind::{Misreads, Severity};
use parts::rates::Basis;
use plant::evidence::{Moment, Named, Said};
use plant::plant::{GaugeId, Tap};

/// What came of weighing a hypothesis.
#[derive(Clone, Debug)]
pub(crate) struct Weighed {
    /// Logarithm of the likelihood of everything, severity summed out.
    pub log_likelihood: f64,
    /// The same of readings alone at the best severity, for telling why.
    pub severity: f64,
    /// Severity between which nine in ten of the belief lie.
    pub severity_range: (f64, f64),
    /// Fit at the best severity.
    pub fit: Option<Fit>,
}

/// Severities tried first, at a first look and at a second.
const FEW: [f64; 3] = [0.25, 0.6, WORST];
/// At a first look, once the worst was looked at.
const SLIGHTER: [f64; 2] = [0.25, 0.6];
/// Severity at which a cause shows if it ever does.
const WORST: f64 = 0.9;
const NODES: [f64; 5] = [0.15, 0.4, 0.65, 0.85, 0.97];
/// The severity that seems best by those looked at is looked at itself, unless one was as near as this.
const NEAR_ENOUGH: f64 = 0.012;
/// And at most so many times, at a first look (with readings; words alone change slowly) and at a second.
const FIRST_SPLITS: usize = 3;
const SPLITS: usize = 4;
/// Fit steps at a first look, and at a second.
const FIRST_STEPS: usize = 1;
const SECOND_STEPS: usize = 3;

/// Strips that likelihood is summed over.
const STRIPS: usize = 400;

/// A reading moved by less than this share of its spread is not moved.
const MOVED: f64 = 0.05;

/// Whether no gauge that was read shows anything of a cause, at the scores the look began from.
fn unmoved(model: &Model, known: &Known, fit: &Fit) -> bool {
    let Some(usual) = &known.usual else { return false };
    known.setting.seen.observed.iter().enumerate().all(|(i, observed)| {
        observed.terms.iter().all(|&(run, gauge, _)| {
            let tap = model.plant[gauge].tap;
            let change = model.read(&fit.states[run], tap) - model.read(&usual.states[run], tap);
            change.abs() < MOVED * fit.sigma[i]
        })
    })
}

/// One severity looked at.
struct Node {
    severity: f64,
    value: f64,
    fit: Option<Fit>,
}

/// A first look: few severities, few steps.
pub(crate) fn glance(model: &mut Model, known: &Known, hypothesis: &Hypothesis) -> Weighed {
    let splits = if known.setting.seen.observed.is_empty() { 0 } else { FIRST_SPLITS };
    if known.only_readings() && !hypothesis.moves.is_empty() && graded(model, hypothesis).is_some() {
        // What moves no gauge that was read at its worst moves none at all: one look is enough.
        let node = look(model, known, hypothesis, WORST, FIRST_STEPS, None);
        if node.fit.as_ref().is_some_and(|fit| unmoved(model, known, fit)) {
            return Weighed { log_likelihood: node.value, severity: 0.5, severity_range: (0.05, 0.95), fit: node.fit };
        }
        return weigh(model, known, hypothesis, FIRST_STEPS, splits, &SLIGHTER, Some(node));
    }
    weigh(model, known, hypothesis, FIRST_STEPS, splits, &FEW, None)
}

/// How its severity spreads; nothing for what is there or not.
fn graded(model: &Model, hypothesis: &Hypothesis) -> Option<Severity> {
    let cause = crate::hypothesis::cause_of(&model.plant, hypothesis.what)?;
    Some(cause.severity).filter(|severity| *severity != Severity::Whole)
}

/// A full look.
pub(crate) fn study(model: &mut Model, known: &Known, hypothesis: &Hypothesis) -> Weighed {
    weigh(model, known, hypothesis, SECOND_STEPS, SPLITS, &NODES, None)
}

fn weigh(
    model: &mut Model,
    known: &Known,
    hypothesis: &Hypothesis,
    steps: usize,
    splits: usize,
    nodes: &[f64],
    worst: Option<Node>,
) -> Weighed {
    let Some(spread) = graded(model, hypothesis) else {
        let node = look(model, known, hypothesis, 1.0, steps, None);
        return Weighed { log_likelihood: node.value, severity: 1.0, severity_range: (1.0, 1.0), fit: node.fit };
    };
    // What moves nothing and is only spoken of differs little from one severity to the next.
    let first: &[f64] = if hypothesis.moves.is_empty() { &[0.7] } else { nodes };
    // From slight to bad, each from the state before it: a short way each time.
    let mut nodes: Vec<Node> = Vec::with_capacity(first.len() + splits);
    for &severity in first {
        let near = nodes.last().and_then(|node| node.fit.as_ref());
        let node = look(model, known, hypothesis, severity, steps, near);
        nodes.push(node);
    }
    nodes.extend(worst);
    if hypothesis.moves.is_empty() {
        return sum(nodes, spread);
    }
    for _ in 0..splits {
        let Some((place, severity)) = likeliest_between(&nodes) else { break };
        let node = look(model, known, hypothesis, severity, steps, nodes[place - 1].fit.as_ref());
        nodes.insert(place, node);
    }
    sum(nodes, spread)
}

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
fn likeliest_between(nodes: &[Node]) -> Option<(usize, f64)> {
    let (top, _) = curve(nodes).into_iter().enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let s = strip(top);
    let place = nodes.partition_point(|n| n.severity < s);
    let inside = place > 0 && place < nodes.len();
    let new = nodes.iter().all(|n| (n.severity - s).abs() > NEAR_ENOUGH);
    (inside && new).then_some((place, s))
}

/// Sums likelihood over severity.
fn sum(nodes: Vec<Node>, spread: Severity) -> Weighed {
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

fn look(
    model: &mut Model,
    known: &Known,
    hypothesis: &Hypothesis,
    severity: f64,
    steps: usize,
    near: Option<&Fit>,
) -> Node {
    let under = Under {
        change: (!hypothesis.moves.is_empty()).then(|| Change { moves: hypothesis.moves.clone(), severity }),
        lie: lie(model, hypothesis.what),
    };
    let steps = if known.setting.seen.observed.is_empty() { 1 } else { steps };
    let start = near.or(known.before.as_ref()).or(known.usual.as_ref());
    let mut fitted = model.fit(&known.setting.seen, &under, start, steps);
    if fitted.is_err() && (severity == 1.0 || severity == WORST) {
        // A cause may be out of Newton's reach at its worst and nowhere else to be seen: then the long walk is worth it.
        model.patient = true;
        fitted = model.fit(&known.setting.seen, &under, known.usual.as_ref(), 1);
        model.patient = false;
    }
    let Ok(fit) = fitted else { return Node { severity, value: f64::NEG_INFINITY, fit: None } };
    let value = fit.log_evidence
        + spoken(model, known, hypothesis, severity, &fit, &under)
        + tried::log_likelihood(&model.plant, known.evidence, hypothesis.what, severity)
        + late(model, known, hypothesis.what);
    Node { severity, value, fit: Some(fit) }
}

/// Trouble that comes with a departure and is there or not (a cock left shut) shows in the first minutes of a run.
const SHOWS_WITHIN: f64 = 15.0;
/// Share of it that is noticed only later; from memory.
const NOTICED_LATE: f64 = 0.15;

/// Logarithm of the chance that a cause shows no earlier than it was told to.
fn late(model: &Model, known: &Known, what: What) -> f64 {
    let Some(cause) = crate::hypothesis::cause_of(&model.plant, what) else { return 0.0 };
    let at_departure = cause.severity == Severity::Whole
        && parts::rates::rate(cause.rate)
            .is_some_and(|rate| rate.basis == Basis::Event && rate.native_unit == "per departure");
    let told_late = known
        .evidence
        .occasions
        .iter()
        .filter(|o| o.when == Moment::Now)
        .filter_map(|o| o.at.minutes)
        .fold(f64::INFINITY, f64::min);
    if at_departure && told_late.is_finite() && told_late > SHOWS_WITHIN { NOTICED_LATE.ln() } else { 0.0 }
}

/// Logarithm of the likelihood of words and one-sided readings at a fit.
fn spoken(model: &mut Model, known: &Known, hypothesis: &Hypothesis, severity: f64, fit: &Fit, under: &Under) -> f64 {
    let mut sum = 0.0;
    for bound in &known.setting.bounds {
        let gauge = bound.gauge;
        let lying =
            under.lie.as_ref().filter(|lie| lie.gauges.contains(&gauge) && known.setting.seen.runs[bound.run].troubled);
        let read = match lying {
            Some(Lie { stands_at: Some(stop), .. }) => *stop,
            Some(lie) => model.read(&fit.states[bound.run], model.plant[gauge].tap) + lie.mean,
            None => model.read(&fit.states[bound.run], model.plant[gauge].tap),
        };
        let sigma = lying.map_or(bound.sigma, |lie| (bound.sigma * bound.sigma + lie.sigma * lie.sigma).sqrt());
        let z = (read - bound.value) / sigma;
        sum += normal_below(if bound.at_least { z } else { -z }).max(1e-6).ln();
    }
    for (occasion, said, not) in said::after_onset(known.evidence) {
        if said.is_empty() && not.is_empty() {
            continue;
        }
        let run = known.setting.run_of[occasion];
        let state = fit.states[run].clone();
        let without = without(model, known, hypothesis, fit, run).unwrap_or_else(|| state.clone());
        let doubt = doubt(model, known, under, fit, run, said, not);
        let scene = Scene { model, state: &state, without: &without, what: hypothesis.what, severity, doubt: &doubt };
        sum += said::log_likelihood(&scene, said, not);
    }
    sum
}

/// How far what these words speak of may be off on an occasion.
fn doubt(
    model: &mut Model,
    known: &Known,
    under: &Under,
    fit: &Fit,
    run: usize,
    said: &[Said],
    not: &[Said],
) -> Vec<(Tap, f64)> {
    let mut taps = said::taps_spoken_of(&model.plant, said);
    taps.extend(said::taps_spoken_of(&model.plant, not));
    if !said.is_empty() {
        taps.extend(said::taps_spoken_of(&model.plant, &said::dangers(&model.plant)));
    }
    taps.sort_by_key(|tap| format!("{tap:?}"));
    taps.dedup();
    if taps.is_empty() {
        return Vec::new();
    }
    let scores = Scores::of(model, known.setting.seen.runs.len());
    let base = scores.parameters(model, fit.scores.as_slice());
    let parameters = under.change.as_ref().map_or_else(|| base.clone(), |change| change.apply(&base).0);
    let Ok(slopes) = model.slopes(&parameters, &fit.states[run], &taps) else { return Vec::new() };
    let spread = &known.setting.seen.runs[run].spread;
    // What was read has narrowed the figures; by half is a fair average and spares their whole covariance.
    let left = if known.setting.seen.observed.is_empty() { 1.0 } else { 0.5 };
    taps.into_iter()
        .zip(slopes)
        .map(|(tap, row)| {
            let figures = scores.figures.iter().map(|(place, s)| {
                let turn = if s.is_factor() { parameters[*place] } else { 1.0 } * s.sigma();
                (row.parameters[*place] * turn).powi(2)
            });
            let point = row.point.iter().zip(&spread.0).map(|(slope, sigma)| (slope * sigma).powi(2));
            (tap, left * figures.chain(point).sum::<f64>().sqrt())
        })
        .collect()
}

/// The same plant on the same occasion without the cause.
fn without(model: &mut Model, known: &Known, hypothesis: &Hypothesis, fit: &Fit, run: usize) -> Option<State> {
    if hypothesis.moves.is_empty() {
        return Some(fit.states[run].clone());
    }
    if known.setting.seen.observed.is_empty() {
        // Nothing was read, so nothing moved: the plant as described.
        return known.usual.as_ref().map(|usual| usual.states[run].clone());
    }
    let scores = Scores::of(model, known.setting.seen.runs.len());
    let parameters = scores.parameters(model, fit.scores.as_slice());
    let near = known.usual.as_ref().map(|usual| usual.states[run].clone());
    model.solve(&parameters, &fit.states[run].point, near.as_ref()).ok()
}

/// How gauges lie under a hypothesis: all that share a sender, or a plug, by the same amount.
fn lie(model: &Model, what: What) -> Option<Lie> {
    let plant = &model.plant;
    let What::Cause(named, _) = what else { return None };
    let sharing = |name: &str| {
        (0..plant.gauges.len()).map(GaugeId).filter(|g| plant[*g].shares.as_deref() == Some(name)).collect()
    };
    let gauges: Vec<GaugeId> = match named {
        // A plug carries its gauges' wires and falsifies them together; each still fails alone. A sender shared by two
        // dials fails for both.
        Named::Gauge(gauge) => match &plant[gauge].shares {
            Some(shared) if plant.part(shared).is_none() => sharing(shared),
            _ => vec![gauge],
        },
        Named::Part(part) => sharing(&plant[part].name),
    };
    let first = *gauges.first()?;
    let (low, high) = plant[first].scale;
    let span = high - low;
    // From memory: a third of the scale is as far as a sender drifts before it counts as dead.
    let (mean, sigma, stands_at) = match misreads(plant, what)? {
        Misreads::High => (0.12 * span, 0.1 * span, None),
        Misreads::Low => (-0.12 * span, 0.1 * span, None),
        Misreads::Either => (0.0, 0.17 * span, None),
        Misreads::LowStop => (0.0, 0.02 * span, Some(low)),
        Misreads::HighStop => (0.0, 0.02 * span, Some(high)),
        Misreads::CriesWolf | Misreads::Silent => return None,
    };
    Some(Lie { gauges, mean, sigma, stands_at })
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
