//! What is off, the likely causes with their odds, and the next checks.

use crate::act::{self, Act};
use crate::hypothesis::{self, Hypothesis, What};
use crate::next_check::{self, Advice};
use crate::next_step::{self, NextStep};
use crate::setting::{self, Setting};
use crate::severity::Weighed;
use crate::weigh;
use model::expect::reading_noise;
use model::fit::{Fit, Scores};
use model::steady::Model;
use model::touching::Touching;
use model::under::Under;
use parts::kind::Circuit;
use plant::evidence::{Evidence, Named};
use plant::plant::{GaugeId, Plant};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Everything known about the trouble, set out once.
pub(crate) struct Known<'a> {
    pub evidence: &'a Evidence,
    pub setting: Setting,
    /// Fit to what was read before onset.
    pub usual: Option<Fit>,
    /// A sound plant as believed before anything was read after onset: how wide its readings may lie.
    pub before: Option<Fit>,
    /// Place of the first flow among a state's unknowns.
    first_flow: usize,
}

impl Known<'_> {
    /// Whether gauges are all there is to go by: nothing said, nothing looked for, nothing one-sided.
    pub(crate) fn only_readings(&self) -> bool {
        self.setting.bounds.is_empty() && self.evidence.occasions.iter().all(|o| o.said.is_empty() && o.not.is_empty())
    }
}

/// What is left of the prior of a part that nothing passes through, on any occasion.
const STANDBY: f64 = 0.02;
/// Nothing passes below this [kg/s].
const STILL: f64 = 3e-3;

/// A part of a line that is shut is not to blame for what happens in the others; one that passes nothing because it is
/// sound (a relief valve), and something with the cause, may well be.
fn spare_standby(plant: &Plant, known: &Known, hypotheses: &mut [Hypothesis], weighed: &[Option<Weighed>]) {
    let Some(usual) = &known.usual else { return };
    for (h, weighed) in hypotheses.iter_mut().zip(weighed) {
        let with = weighed.as_ref().and_then(|w| w.fit.as_ref());
        let still = |flow: usize| {
            let passes = |fit: &Fit, run: usize| fit.states[run].x[known.first_flow + flow].abs() >= STILL;
            let any = |fit: &Fit| known.setting.troubled.iter().any(|&run| passes(fit, run));
            !any(usual) && !with.is_some_and(any)
        };
        let What::Cause(Named::Part(part), _) = h.what else { continue };
        let flows: Vec<_> = plant[part].flows.iter().flatten().collect();
        let running = known.setting.troubled.iter().any(|&run| usual.states[run].point.speed > 1.0);
        if running && !flows.is_empty() && flows.iter().all(|flow| still(flow.0)) {
            h.prior *= STANDBY;
        }
    }
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// What to do this minute, most urgent first.
    pub act: Vec<Act>,
    /// Readings against what a sound plant would show.
    pub deviations: Vec<Deviation>,
    /// Causes, likeliest first; chances sum to 1 with all is well and the unlisted.
    pub ranked: Vec<Ranked>,
    /// Checks worth making, what settles most for its trouble first.
    pub checks: Vec<Advice>,
    /// What brings her back for least, and what then.
    pub next: Option<NextStep>,
    /// Which spaces touch, and which side presses harder in a sound plant as she runs now.
    pub touching: Vec<Touching>,
    /// Hypotheses that could not be weighed because the plant has no state under them.
    pub unweighed: usize,
}

/// One reading and what a sound plant would show.
#[derive(Clone, Debug)]
pub struct Deviation {
    /// Place of the occasion among the runs.
    pub run: usize,
    /// Which gauge.
    pub gauge: GaugeId,
    /// What it read, or how far over usual [SI].
    pub read: f64,
    /// What a sound plant would show [SI].
    pub expected: f64,
    /// One standard deviation of that [SI].
    pub sigma: f64,
    /// What both are differences to, if to anything.
    pub against: Option<Against>,
}

/// What a reading was held against.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Against {
    /// Itself, when all was well.
    Usual,
    /// The same gauge of the sister engine.
    Sister,
}

impl Against {
    /// "over usual".
    pub fn words(self) -> &'static str {
        match self {
            Against::Usual => "over usual",
            Against::Sister => "over the sister engine",
        }
    }
}

/// A hypothesis with its odds.
#[derive(Clone, Debug)]
pub struct Ranked {
    /// What.
    pub what: What,
    /// Circuit.
    pub circuit: Option<Circuit>,
    /// Chance [1].
    pub probability: f64,
    /// Chance by rates alone [1].
    pub by_rate: f64,
    /// How bad, if it is so (of what blocks, the share of the area shut): middle, and nine in ten between.
    pub severity: f64,
    /// Low and high end of that.
    pub severity_range: (f64, f64),
    /// How much likelier than all is well everything known is under it, as a logarithm.
    pub weight: f64,
    /// What a check found in the plant, if this was weighed together with it.
    pub beside: Option<What>,
    /// What every reading would be under it at its best [SI], in the order they were set out.
    pub readings: Vec<f64>,
}

/// Why no answer can be given.
#[derive(Clone, Debug, PartialEq)]
pub enum NoAnswer {
    /// The plant's equations have no structure that can be solved.
    Unready,
    /// The plant as described has no state at the operating point told.
    NoState(String),
}

/// Causes whose first look at words alone is further behind than this are not looked at again.
const NOT_WORTH: f64 = 12.0;
/// And at most so many are.
const SECOND_LOOKS: usize = 20;
/// With readings, where each costs more.
const DEARER_LOOKS: usize = 8;
/// No named cause is surer than this on gauges and words alone: the list is never complete. A prototype put a wrong
/// named cause above 0.9 in one case of seven when the true one was taken off the list.
const SUREST: f64 = 0.95;

/// Explains evidence.
///
/// # Errors
/// [`NoAnswer`] when even the sound plant has no state.
pub fn explain(plant: &Plant, evidence: &Evidence) -> Result<Answer, NoAnswer> {
    let mut model = Model::new(plant).map_err(|_| NoAnswer::Unready)?;
    let setting = setting::set_out(plant, evidence);
    let usual = usual_fit(&mut model, &setting).map_err(NoAnswer::NoState)?;
    // One step evaluates at what was believed before: how far off a reading is must not be judged by itself.
    let before = model.fit(&setting.seen, &Under::default(), Some(&usual), 1).ok();
    let known = Known { evidence, setting, usual: Some(usual), before, first_flow: model.layout.first_flow() };
    let mut hypotheses = hypothesis::all(plant, &model.layout, evidence);
    let mut weighed = in_parallel(plant, &hypotheses, |model, h| listed(h).then(|| weigh::glance(model, &known, h)))?;
    spare_standby(plant, &known, &mut hypotheses, &weighed);
    // With readings a first look may stand many spreads beside a narrow peak: how far behind it is says little.
    let (looks, behind) =
        if known.setting.seen.observed.is_empty() { (SECOND_LOOKS, NOT_WORTH) } else { (DEARER_LOOKS, f64::INFINITY) };
    let again = worth_a_second_look(&hypotheses, &weighed, looks, behind);
    let numbered: Vec<(usize, &Hypothesis)> = hypotheses.iter().enumerate().collect();
    let studied = in_parallel(plant, &numbered, |model, (k, h)| again[*k].then(|| weigh::study(model, &known, h)))?;
    for (first, second) in weighed.iter_mut().zip(studied) {
        if second.is_some() {
            *first = second;
        }
    }
    let touching = touching_now(&mut model, &known);
    Ok(Answer { touching, ..conclude(&model, &known, &hypotheses, &weighed) })
}

/// Walls as they are loaded at the last point told of the trouble, and with everything stopped.
fn touching_now(model: &mut Model, known: &Known) -> Vec<Touching> {
    let runs = &known.setting.seen.runs;
    let Some(now) = runs.iter().rposition(|run| run.troubled && run.point.speed > 1.0) else { return Vec::new() };
    model.touching_at(runs[now].point)
}

fn listed(hypothesis: &Hypothesis) -> bool {
    !matches!(hypothesis.what, What::Else(_))
}

/// The likeliest so far, and all is well.
fn worth_a_second_look(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>], looks: usize, behind: f64) -> Vec<bool> {
    let score = |k: usize| {
        weighed[k].as_ref().map_or(f64::NEG_INFINITY, |w| hypotheses[k].prior.max(1e-300).ln() + w.log_likelihood)
    };
    let mut order: Vec<usize> = (0..hypotheses.len()).collect();
    order.sort_by(|&a, &b| score(b).total_cmp(&score(a)));
    let best = order.first().map_or(f64::NEG_INFINITY, |&k| score(k));
    let mut again: Vec<bool> = hypotheses.iter().map(|h| h.what == What::Well).collect();
    for &k in order.iter().take(looks) {
        again[k] |= score(k) > best - behind;
    }
    again
}

/// Fit to what was read before onset only, with a state for every run.
fn usual_fit(model: &mut Model, setting: &Setting) -> Result<Fit, String> {
    let mut seen = setting.seen.clone();
    let troubled = |run: usize| setting.seen.runs[run].troubled;
    seen.observed.retain(|o| o.terms.iter().all(|(run, ..)| !troubled(*run)));
    let fit = model.fit(&seen, &Under::default(), None, 10);
    fit.map_err(|e| e.to_string())
}

/// Does `work` for each item on every core, in any order; answers keep the items' order.
fn in_parallel<T: Sync, R: Send>(
    plant: &Plant,
    items: &[T],
    work: impl Fn(&mut Model, &T) -> Option<R> + Sync,
) -> Result<Vec<Option<R>>, NoAnswer> {
    let next = AtomicUsize::new(0);
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(8);
    let mut answers: Vec<Option<R>> = items.iter().map(|_| None).collect();
    let done: Vec<Result<Vec<(usize, R)>, NoAnswer>> = std::thread::scope(|scope| {
        let handles: Vec<_> = (0..threads)
            .map(|_| {
                scope.spawn(|| {
                    let mut model = Model::new(plant).map_err(|_| NoAnswer::Unready)?;
                    model.patient = false;
                    let mut mine = Vec::new();
                    loop {
                        let k = next.fetch_add(1, Ordering::Relaxed);
                        let Some(item) = items.get(k) else { return Ok(mine) };
                        if let Some(answer) = work(&mut model, item) {
                            mine.push((k, answer));
                        }
                    }
                })
            })
            .collect();
        handles.into_iter().map(|h| h.join().unwrap_or(Err(NoAnswer::Unready))).collect()
    });
    for list in done {
        for (k, answer) in list? {
            answers[k] = Some(answer);
        }
    }
    Ok(answers)
}

fn conclude(model: &Model, known: &Known, hypotheses: &[Hypothesis], weighed: &[Option<Weighed>]) -> Answer {
    let logs = with_unlisted(hypotheses, weighed);
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut chances: Vec<f64> = logs.iter().map(|l| (l - best).exp()).collect();
    normalise(&mut chances);
    if known.evidence.checks.is_empty() {
        humble(hypotheses, &mut chances);
    }
    let rates: f64 = hypotheses.iter().map(|h| h.prior).sum();
    let well = hypotheses.iter().position(|h| h.what == What::Well);
    let well_log = well.and_then(|w| weighed[w].as_ref()).map_or(0.0, |w| w.log_likelihood);
    let deviations = deviations(model, known);
    let mut ranked: Vec<Ranked> = hypotheses
        .iter()
        .zip(weighed)
        .zip(&chances)
        .map(|((h, w), &probability)| Ranked {
            what: h.what,
            circuit: h.circuit,
            probability,
            by_rate: h.prior / rates,
            severity: w.as_ref().map_or(0.0, |w| shut(h, w.severity)),
            severity_range: w
                .as_ref()
                .map_or((0.0, 1.0), |w| (shut(h, w.severity_range.0), shut(h, w.severity_range.1))),
            weight: w.as_ref().map_or(0.0, |w| w.log_likelihood - well_log),
            beside: h.beside,
            readings: w.as_ref().and_then(|w| w.fit.as_ref()).map_or_else(Vec::new, |fit| fit.expected.clone()),
        })
        .collect();
    ranked.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let unweighed = weighed.iter().flatten().filter(|w| w.log_likelihood == f64::NEG_INFINITY).count();
    let act = act::act(&model.plant, known.evidence);
    let checks = next_check::rank(&model.plant, known.evidence, &ranked, &act);
    let next = next_step::next(&model.plant, known.evidence, &ranked, &act);
    Answer { act, deviations, ranked, checks, next, touching: Vec::new(), unweighed }
}

/// Severity as people mean it: of what blocks, the share of the area that is shut.
fn shut(hypothesis: &Hypothesis, severity: f64) -> f64 {
    hypothesis.moves.first().map_or(severity, |(_, by)| by.shut(severity))
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
                    .filter(|(other, _)| other.circuit == Some(circuit) && listed(other))
                    .filter_map(|(_, w)| w.as_ref().map(|w| w.log_likelihood))
                    .collect();
                let top = signatures.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let mean: f64 =
                    signatures.iter().map(|l| (l - top).exp()).sum::<f64>() / signatures.len().max(1) as f64;
                if top.is_finite() { h.prior.max(1e-300).ln() + top + mean.ln() } else { f64::NEG_INFINITY }
            }
            (_, Some(w)) => h.prior.max(1e-300).ln() + w.log_likelihood,
            (_, None) => f64::NEG_INFINITY,
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

/// Readings after onset against the plant as known before it.
fn deviations(model: &Model, known: &Known) -> Vec<Deviation> {
    let Some(usual) = &known.usual else { return Vec::new() };
    let plant = &model.plant;
    let seen = &known.setting.seen;
    let scores = Scores::of(model, seen.runs.len());
    seen.observed
        .iter()
        .enumerate()
        .filter_map(|(i, observed)| {
            let &(run, gauge, _) = observed.terms.first()?;
            if !seen.runs[run].troubled {
                return None;
            }
            let other = observed.terms.get(1).map(|(_, other, _)| *other);
            let against = other.map(|other| if other == gauge { Against::Usual } else { Against::Sister });
            let shows = |&(run, gauge, weight): &(usize, GaugeId, f64)| {
                let bias = model.lasting(gauge) * scores.off(gauge, usual.scores.as_slice());
                weight * (model.read(&usual.states[run], plant[gauge].tap) + bias)
            };
            let expected = match against {
                Some(Against::Usual) => 0.0,
                _ => observed.terms.iter().map(shows).sum(),
            };
            let noise = reading_noise(plant, gauge, expected, false);
            // Figures, operating point, gauge and flicker together.
            let sigma = known.before.as_ref().and_then(|fit| fit.sigma.get(i).copied()).unwrap_or(noise);
            Some(Deviation { run, gauge, read: observed.value, expected, sigma, against })
        })
        .collect()
}
