//! One hypothesis at one severity against all that is known: fitted at its own best point, and what was said, looked for
//! and tried weighed at the state that leaves.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What, kind_of};
use crate::lies::lie;
use crate::pattern;
use crate::said::{self, Heard, Scene};
use crate::setting::Bound;
use crate::severity::Node;
use crate::tried;
use measure::figure::normal_below;
use measure::reading::ReadingText;
use model::fit::{Fit, Seen};
use model::scores::Scores;
use model::steady::{Model, State};
use model::under::{Change, Lying, Under};
use parts::kind::Severity;
use parts::rates::Basis;
use plant::evidence::{CheckMade, Found, Moment, Occasion};
use plant::plant::{Plant, Tap};

/// Severity at which a cause shows if it ever does.
pub(crate) const WORST: f64 = 0.9;
/// Fit steps at a first look, and at a second.
pub(crate) const FIRST_STEPS: usize = 1;
pub(crate) const SECOND_STEPS: usize = 3;

/// What is asked: how likely is all this under that?
#[derive(Copy, Clone)]
pub(crate) struct Asked<'a> {
    /// All that is known.
    pub known: &'a Known<'a>,
    /// What is supposed.
    pub hypothesis: &'a Hypothesis,
    /// What was read, some of it perhaps doubted.
    pub seen: &'a Seen,
    /// Whether other severities may yet show it: then no long way is gone to one.
    pub elsewhere: bool,
}

impl<'a> Asked<'a> {
    /// The same of what was read as it stands.
    pub fn of(known: &'a Known, hypothesis: &'a Hypothesis) -> Asked<'a> {
        Asked { known, hypothesis, seen: &known.setting.seen, elsewhere: false }
    }
}

/// What a hypothesis puts a plant under at one severity.
pub(crate) fn under(model: &Model, hypothesis: &Hypothesis, severity: f64) -> Under {
    let own = Change { moves: hypothesis.moves.clone(), severity };
    Under {
        changes: std::iter::once(own).chain(hypothesis.with.clone()).collect(),
        lie: lie(&model.plant, hypothesis.what).or_else(|| lie(&model.plant, hypothesis.beside?)),
    }
}

/// Looks at one severity, from the state of a fit nearby if there is one.
pub(crate) fn look(model: &mut Model, asked: &Asked, severity: f64, steps: usize, near: Option<&Fit>) -> Node {
    let Asked { known, hypothesis, seen, elsewhere } = *asked;
    let under = under(model, hypothesis, severity);
    let thorough = !elsewhere && (steps >= SECOND_STEPS || severity == 1.0 || severity == WORST);
    let steps = if seen.observed.is_empty() { 1 } else { steps };
    let sound = known.before.as_ref().unwrap_or(&known.usual);
    // What was kept of an earlier look has its states; what lies before onset is as it was.
    let whole = near.filter(|near| near.is_slim()).and_then(|near| sound.at_states_of(near));
    let near = whole.as_ref().or(near);
    match model.fit(seen, &under, Some(near.unwrap_or(sound)), steps) {
        Ok(fit) => node(model, asked, severity, &under, fit),
        // A likely cause, or one at its worst and nowhere else to be seen, may be out of Newton's reach: then the long way is
        // worth it.
        Err(_) if thorough => from_afar(model, asked, severity),
        Err(_) => Node { severity, value: f64::NEG_INFINITY, fit: None },
    }
}

/// Looks at one severity to which no short way led.
pub(crate) fn from_afar(model: &mut Model, asked: &Asked, severity: f64) -> Node {
    let under = under(model, asked.hypothesis, severity);
    model.patient = true;
    let fitted = model.fit(asked.seen, &under, Some(&asked.known.usual), 1);
    model.patient = false;
    match fitted {
        Ok(fit) => node(model, asked, severity, &under, fit),
        Err(_) => Node { severity, value: f64::NEG_INFINITY, fit: None },
    }
}

/// What a fit comes to with all else that is known.
fn node(model: &mut Model, asked: &Asked, severity: f64, under: &Under, fit: Fit) -> Node {
    let value =
        fit.log_evidence + spoken(model, asked, severity, &fit, under) + apart_from_state(model, asked, severity);
    Node { severity, value, fit: Some(fit) }
}

/// Severity at which nothing is moved: the sound plant as believed before anything was read after onset.
pub(crate) fn none(model: &Model, asked: &Asked) -> Option<Node> {
    let Asked { known, hypothesis, .. } = *asked;
    let alone = hypothesis.beside.is_none() && lie(&model.plant, hypothesis.what).is_none();
    let fit = known.before.clone().filter(|_| alone && known.only_readings())?;
    Some(Node { severity: 0.0, value: fit.log_evidence + apart_from_state(model, asked, 0.0), fit: Some(fit) })
}

/// Logarithm of the likelihood of what was tried, and of when it showed.
fn apart_from_state(model: &Model, asked: &Asked, severity: f64) -> f64 {
    let Asked { known, hypothesis, .. } = *asked;
    let beside =
        hypothesis.beside.map(|what| (what, hypothesis.with.as_ref().map_or(severity, |change| change.severity)));
    tried::log_likelihood(&model.plant, known.evidence, (hypothesis.what, severity), beside)
        + late(model, known, hypothesis.what)
        + pattern::log_likelihood(&model.plant, known.evidence, hypothesis.what)
}

/// How its severity spreads; nothing for what is there or not.
pub(crate) fn graded(model: &Model, hypothesis: &Hypothesis) -> Option<Severity> {
    let cause = crate::hypothesis::cause_of(&model.plant, hypothesis.graded())?;
    Some(cause.severity).filter(|severity| *severity != Severity::Whole)
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
fn spoken(model: &mut Model, asked: &Asked, severity: f64, fit: &Fit, under: &Under) -> f64 {
    let bounds: f64 = asked.known.setting.bounds.iter().map(|bound| passed(model, asked, fit, under, bound).ln()).sum();
    let words = heard(model, asked, severity, fit, under);
    let sum = bounds + words.iter().flat_map(|told| &told.heard).map(|heard| heard.log).sum::<f64>();
    sum + for_nothing(&model.plant, asked, fit, &words)
}

/// Logarithm of how much rarer what was told is if nothing of it is of the making of what is supposed.
pub(crate) fn for_nothing(plant: &Plant, asked: &Asked, fit: &Fit, words: &[Told]) -> f64 {
    let Asked { known, hypothesis, .. } = *asked;
    let told = known.evidence.occasions.iter().any(|o| o.when == Moment::Now && !o.said.is_empty());
    if !told || known.evidence.unasked {
        return 0.0;
    }
    let idle = needless(plant, known, hypothesis, fit) * words.iter().map(|told| told.idle).product::<f64>();
    said::for_nothing(hypothesis.what, idle)
}

/// What was told of one occasion.
pub(crate) struct Told {
    /// Place of the occasion among those told.
    pub place: usize,
    /// Group by group.
    pub heard: Vec<Heard>,
    /// Chance that nothing of it is of the making of what is supposed [1].
    pub idle: f64,
}

/// What a gauge with a one-sided reading would show at a fit, and how well that is known [SI].
pub(crate) fn would_show(model: &Model, asked: &Asked, fit: &Fit, under: &Under, bound: &Bound) -> (f64, f64) {
    let gauge = bound.gauge;
    let troubled = asked.known.setting.seen.runs[bound.run].troubled;
    let lying = under.lie.as_ref().and_then(|lie| lie.of(gauge)).filter(|_| troubled);
    let shows = match lying {
        Some(Lying { stands_at: Some(stop), .. }) => *stop,
        Some(lie) => model.read(&fit.states[bound.run], model.plant[gauge].tap) + lie.mean,
        None => model.read(&fit.states[bound.run], model.plant[gauge].tap),
    };
    (shows, lying.map_or(bound.sigma, |lie| (bound.sigma * bound.sigma + lie.sigma * lie.sigma).sqrt()))
}

/// Chance that a gauge is past what a one-sided reading says it is.
pub(crate) fn passed(model: &Model, asked: &Asked, fit: &Fit, under: &Under, bound: &Bound) -> f64 {
    let (shows, sigma) = would_show(model, asked, fit, under, bound);
    let z = (shows - bound.value) / sigma;
    normal_below(if bound.at_least { z } else { -z }).max(1e-6)
}

/// What was said, looked for in vain and left out on each occasion after onset that tells anything.
pub(crate) fn heard(model: &mut Model, asked: &Asked, severity: f64, fit: &Fit, under: &Under) -> Vec<Told> {
    let Asked { known, hypothesis, .. } = *asked;
    let mut all = Vec::new();
    for (place, occasion) in said::after_onset(known.evidence) {
        if occasion.said.is_empty() && occasion.not.is_empty() {
            continue;
        }
        let run = known.setting.run_of[place];
        let state = &fit.states[run];
        let without = without(model, known, hypothesis, fit, run).unwrap_or_else(|| state.clone());
        let doubt = doubt(model, known, under, fit, run, occasion);
        let scene = Scene {
            unasked: known.evidence.unasked,
            model,
            state,
            without: &without,
            what: hypothesis.what,
            beside: hypothesis.beside,
            severity,
            doubt: &doubt,
        };
        let (heard, idle) = said::heard(&scene, occasion);
        all.push(Told { place, heard, idle });
    }
    all
}

/// Chance that what was read and found would be so without what is supposed [1].
fn needless(plant: &Plant, known: &Known, hypothesis: &Hypothesis, fit: &Fit) -> f64 {
    let speaks = |made: &CheckMade, what: What| match made.found {
        Found::Clean => false,
        Found::Something => {
            let check = kind_of(plant, made.of).checks.get(made.check);
            check.is_some_and(|check| tried::find_of(plant, made.of, check, what).is_some())
        }
        Found::Cause(cause) => what == What::Cause(made.of, cause),
        Found::Each(ref things) => {
            let check = kind_of(plant, made.of).checks.get(made.check);
            check.is_some_and(|check| {
                let find = tried::find_of(plant, made.of, check, what);
                find.and_then(|find| tried::shown(check, things, find)) == Some(true)
            })
        }
    };
    let supposed = || std::iter::once(hypothesis.what).chain(hypothesis.beside);
    let found = known.evidence.checks.iter().any(|made| supposed().any(|what| speaks(made, what)));
    if found || !known.setting.bounds.is_empty() {
        return 0.0;
    }
    known.before.as_ref().map_or(1.0, |before| (before.log_evidence - fit.log_evidence).exp().min(1.0))
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
    let parameters = under.apply(&base, &fit.scores.as_slice()[scores.len()..]).values;
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
        return Some(known.usual.states[run].clone());
    }
    let scores = Scores::of(model, known.setting.seen.runs.len());
    let parameters = scores.parameters(model, fit.scores.as_slice());
    let warmth = known.setting.seen.runs[run].warmth;
    model.solve_warm(&parameters, &fit.states[run].point, warmth, Some(&known.usual.states[run])).ok()
}
