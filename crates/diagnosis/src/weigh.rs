//! One hypothesis against all that is known: fitted at its own best point at several severities, and summed over them.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What};
use crate::lies::lie;
use crate::said::{self, Heard, Scene, normal_below};
use crate::setting::Bound;
use crate::severity::{Node, Weighed, likeliest_between, sum};
use crate::tried;
use measure::reading::ReadingText;
use model::fit::{Fit, Scores};
use model::steady::{Model, State};
use model::under::{Change, Lying, Under};
use parts::kind::Severity;
use parts::rates::Basis;
use plant::evidence::{Moment, Occasion};
use plant::plant::Tap;

/// Severities tried first, at a first look and at a second. The last: a way that is choked is felt only when nearly shut.
const FEW: [f64; 4] = [0.25, 0.6, WORST, 0.97];
/// At a first look, once the worst was looked at.
const SLIGHTER: [f64; 2] = [0.25, 0.6];
/// Severity at which a cause shows if it ever does.
const WORST: f64 = 0.9;
const NODES: [f64; 5] = [0.15, 0.4, 0.65, 0.85, 0.97];
/// The severity that seems best is looked at itself so many times at most: at a first look (with readings; words alone
/// change slowly) and at a second.
const FIRST_SPLITS: usize = 3;
const SPLITS: usize = 7;
/// Fit steps at a first look, and at a second.
const FIRST_STEPS: usize = 1;
const SECOND_STEPS: usize = 3;

/// A look that finds no state is come to by halves so often.
const HALVINGS: usize = 2;

/// The best look is fitted on so many times at most, as long as that gains so much [1].
const FURTHER: usize = 3;
const GAINS: f64 = 0.1;

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

/// A first look: few severities, few steps.
pub(crate) fn glance(model: &mut Model, known: &Known, hypothesis: &Hypothesis) -> Weighed {
    let splits = if known.setting.seen.observed.is_empty() { 0 } else { FIRST_SPLITS };
    if known.only_readings() && !hypothesis.moves.is_empty() && graded(model, hypothesis).is_some() {
        // What moves no gauge that was read at its worst moves none at all: one look is enough.
        let node = look(model, known, hypothesis, WORST, FIRST_STEPS, None);
        if node.fit.as_ref().is_some_and(|fit| unmoved(model, known, fit)) {
            return Weighed {
                log_likelihood: node.value,
                severity: 0.5,
                severity_range: (0.05, 0.95),
                at: node.severity,
                fit: node.fit,
            };
        }
        return weigh(model, known, hypothesis, FIRST_STEPS, splits, &SLIGHTER, Some(node));
    }
    weigh(model, known, hypothesis, FIRST_STEPS, splits, &FEW, None)
}

/// How its severity spreads; nothing for what is there or not.
fn graded(model: &Model, hypothesis: &Hypothesis) -> Option<Severity> {
    let cause = crate::hypothesis::cause_of(&model.plant, hypothesis.beside.unwrap_or(hypothesis.what))?;
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
        return Weighed {
            log_likelihood: node.value,
            severity: 1.0,
            severity_range: (1.0, 1.0),
            at: 1.0,
            fit: node.fit,
        };
    };
    // What moves nothing and is only spoken of differs little from one severity to the next.
    let first: &[f64] = if hypothesis.moves.is_empty() { &[0.7] } else { nodes };
    // From slight to bad, each from the state before it: a short way each time.
    let mut nodes: Vec<Node> = Vec::with_capacity(first.len() + splits);
    for &severity in first {
        let near = nodes.last().and_then(|node| node.fit.as_ref());
        let mut node = look(model, known, hypothesis, severity, steps, near);
        // Too far in one step: half the way first.
        for _ in 0..HALVINGS {
            let Some(before) = nodes.last().filter(|before| node.fit.is_none() && before.fit.is_some()) else { break };
            let half = 0.5 * (before.severity + severity);
            let between = look(model, known, hypothesis, half, steps, before.fit.as_ref());
            if between.fit.is_some() {
                node = look(model, known, hypothesis, severity, steps, between.fit.as_ref());
                nodes.push(between);
            }
        }
        nodes.push(node);
    }
    nodes.extend(worst);
    if hypothesis.moves.is_empty() {
        return sum(nodes, spread);
    }
    let mut last = None;
    for _ in 0..splits {
        let Some((place, mut severity)) = likeliest_between(&nodes) else { break };
        // Looks that creep from one end up to what seems best go half the way to the other end.
        let (from, to) = (nodes[place - 1].severity, nodes[place].severity);
        if last == Some(from) {
            severity = 0.5 * (severity + to);
        } else if last == Some(to) {
            severity = 0.5 * (severity + from);
        }
        last = Some(severity);
        let node = look(model, known, hypothesis, severity, steps, nodes[place - 1].fit.as_ref());
        nodes.insert(place, node);
    }
    if steps >= SECOND_STEPS {
        settle(model, known, hypothesis, &mut nodes);
    }
    sum(nodes, spread)
}

/// The best look, fitted on from where it ended: causes are told apart by what is left of their readings, and a fit that
/// was broken off leaves more.
fn settle(model: &mut Model, known: &Known, hypothesis: &Hypothesis, nodes: &mut [Node]) {
    for _ in 0..FURTHER {
        let Some(best) = nodes.iter_mut().max_by(|a, b| a.value.total_cmp(&b.value)) else { return };
        let further = look(model, known, hypothesis, best.severity, SECOND_STEPS, best.fit.as_ref());
        if further.value < best.value + GAINS {
            return;
        }
        *best = further;
    }
}

/// What a hypothesis at one severity puts a fit under.
pub(crate) fn under(model: &Model, hypothesis: &Hypothesis, severity: f64) -> Under {
    Under {
        change: (!hypothesis.moves.is_empty()).then(|| Change { moves: hypothesis.moves.clone(), severity }),
        lie: lie(&model.plant, hypothesis.what),
    }
}

fn look(
    model: &mut Model,
    known: &Known,
    hypothesis: &Hypothesis,
    severity: f64,
    steps: usize,
    near: Option<&Fit>,
) -> Node {
    let under = under(model, hypothesis, severity);
    let thorough = steps >= SECOND_STEPS || severity == 1.0 || severity == WORST;
    let steps = if known.setting.seen.observed.is_empty() { 1 } else { steps };
    let sound = known.before.as_ref().or(known.usual.as_ref());
    let mut fitted = model.fit(&known.setting.seen, &under, near.or(sound), steps);
    if fitted.is_err() && near.is_some() {
        // A slighter fault's state may be a worse place to begin from than a sound plant's.
        fitted = model.fit(&known.setting.seen, &under, sound, steps);
    }
    if fitted.is_err() && thorough {
        // A likely cause, or one at its worst and nowhere else to be seen, may be out of Newton's reach: then the long walk
        // is worth it.
        model.patient = true;
        fitted = model.fit(&known.setting.seen, &under, known.usual.as_ref(), 1);
        model.patient = false;
    }
    let Ok(fit) = fitted else { return Node { severity, value: f64::NEG_INFINITY, fit: None } };
    let value = fit.log_evidence
        + spoken(model, known, hypothesis, severity, &fit, &under)
        + tried::log_likelihood(&model.plant, known.evidence, hypothesis.what, severity)
        + hypothesis.beside.map_or(0.0, |found| tried::log_likelihood(&model.plant, known.evidence, found, severity))
        + late(model, known, hypothesis.what);
    Node { severity, value, fit: Some(fit) }
}

/// Trouble that comes with a departure and is there or not (a cock left shut), or with a launch (a pump that does not
/// prime), shows in the first minutes of a run.
const SHOWS_WITHIN: f64 = 15.0;
/// Share of it that is noticed only later; from memory.
const NOTICED_LATE: f64 = 0.15;

/// Whether anything of the trouble was noticed on an occasion.
fn shows(occasion: &Occasion) -> bool {
    !occasion.said.is_empty() || occasion.readings.iter().any(|(_, text)| *text != ReadingText::AsUsual)
}

/// Logarithm of the chance that a cause shows no earlier than it was told to.
pub(crate) fn late(model: &Model, known: &Known, what: What) -> f64 {
    let Some(cause) = crate::hypothesis::cause_of(&model.plant, what) else { return 0.0 };
    let at_departure = parts::rates::rate(cause.rate).is_some_and(|rate| {
        let whole = cause.severity == Severity::Whole && rate.native_unit == "per departure";
        rate.basis == Basis::Event && (whole || rate.native_unit.starts_with("per launch"))
    });
    let told_late = known
        .evidence
        .occasions
        .iter()
        .filter(|o| o.when == Moment::Now && shows(o))
        .filter_map(|o| o.at.minutes)
        .fold(f64::INFINITY, f64::min);
    if at_departure && told_late.is_finite() && told_late > SHOWS_WITHIN { NOTICED_LATE.ln() } else { 0.0 }
}

/// Logarithm of the likelihood of words and one-sided readings at a fit.
fn spoken(model: &mut Model, known: &Known, hypothesis: &Hypothesis, severity: f64, fit: &Fit, under: &Under) -> f64 {
    let bounds: f64 = known.setting.bounds.iter().map(|bound| passed(model, known, fit, under, bound).ln()).sum();
    let words = heard(model, known, hypothesis, severity, fit, under);
    bounds + words.iter().flat_map(|(_, heard)| heard).map(|heard| heard.log).sum::<f64>()
}

/// Chance that a gauge is past what a one-sided reading says it is.
pub(crate) fn passed(model: &Model, known: &Known, fit: &Fit, under: &Under, bound: &Bound) -> f64 {
    let gauge = bound.gauge;
    let troubled = known.setting.seen.runs[bound.run].troubled;
    let lying = under.lie.as_ref().and_then(|lie| lie.of(gauge)).filter(|_| troubled);
    let read = match lying {
        Some(Lying { stands_at: Some(stop), .. }) => *stop,
        Some(lie) => model.read(&fit.states[bound.run], model.plant[gauge].tap) + lie.mean,
        None => model.read(&fit.states[bound.run], model.plant[gauge].tap),
    };
    let sigma = lying.map_or(bound.sigma, |lie| (bound.sigma * bound.sigma + lie.sigma * lie.sigma).sqrt());
    let z = (read - bound.value) / sigma;
    normal_below(if bound.at_least { z } else { -z }).max(1e-6)
}

/// What was said, looked for in vain and left out on each occasion after onset that tells anything.
pub(crate) fn heard(
    model: &mut Model,
    known: &Known,
    hypothesis: &Hypothesis,
    severity: f64,
    fit: &Fit,
    under: &Under,
) -> Vec<(usize, Vec<Heard>)> {
    let mut all = Vec::new();
    for (place, occasion) in said::after_onset(known.evidence) {
        if occasion.said.is_empty() && occasion.not.is_empty() {
            continue;
        }
        let run = known.setting.run_of[place];
        let state = fit.states[run].clone();
        let without = without(model, known, hypothesis, fit, run).unwrap_or_else(|| state.clone());
        let doubt = doubt(model, known, under, fit, run, occasion);
        let scene = Scene {
            unasked: known.evidence.unasked,
            model,
            state: &state,
            without: &without,
            what: hypothesis.what,
            beside: hypothesis.beside,
            severity,
            doubt: &doubt,
        };
        all.push((place, said::heard(&scene, occasion)));
    }
    all
}

/// How far what these words speak of may be off on an occasion.
fn doubt(
    model: &mut Model,
    known: &Known,
    under: &Under,
    fit: &Fit,
    run: usize,
    occasion: &Occasion,
) -> Vec<(Tap, f64)> {
    let mut taps = said::taps_spoken_of(&model.plant, &occasion.said);
    taps.extend(said::taps_spoken_of(&model.plant, &occasion.not));
    if !occasion.said.is_empty() {
        taps.extend(said::taps_spoken_of(&model.plant, &said::telling_words(&model.plant, occasion)));
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
    let warmth = known.setting.seen.runs[run].warmth;
    model.solve_warm(&parameters, &fit.states[run].point, warmth, near.as_ref()).ok()
}
