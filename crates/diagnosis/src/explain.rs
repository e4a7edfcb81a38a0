//! What is off, the likely causes with their odds, and the next checks.

use crate::act::{self, Act};
use crate::alike::{self, Alike};
use crate::deviation::{self, Deviation, OneSided};
use crate::gather::{Gathered, gather};
use crate::hypothesis::{self, Hypothesis, What};
use crate::lies;
use crate::misread;
use crate::next_check::{self, Advice};
use crate::next_step::{self, NextStep};
use crate::odds::{self, best_score, listed, score, shut};
use crate::pairs;
use crate::parallel::in_parallel;
use crate::reasons::{self, Reasons};
use crate::setting::{self, Setting};
use crate::severity::Weighed;
use crate::unexplained::{self, Unexplained};
use crate::weigh;
use model::fit::Fit;
use model::steady::Model;
use model::touching::Touching;
use model::under::Under;
use parts::kind::Circuit;
use plant::evidence::{Evidence, Named};
use plant::plant::Plant;

/// Everything known about the trouble, set out once.
pub(crate) struct Known<'a> {
    pub evidence: &'a Evidence,
    pub setting: Setting,
    /// Fit to what was read before onset.
    pub usual: Fit,
    /// A sound plant as believed before anything was read after onset: how wide its readings may lie.
    pub before: Option<Fit>,
}

impl Known<'_> {
    /// Whether gauges are all there is to go by: nothing said, nothing looked for, nothing one-sided.
    pub(crate) fn only_readings(&self) -> bool {
        self.setting.bounds.is_empty() && self.evidence.occasions.iter().all(|o| o.said.is_empty() && o.not.is_empty())
    }
}

/// What is left of the prior of a part that nothing passes through, on any occasion.
const STANDBY: f64 = 0.02;
/// Nothing passes below this share of what is usual in such a circuit.
const STILL: f64 = 0.015;

/// A part of a line that is shut is not to blame for what happens in the others; one that passes nothing because it is
/// sound (a relief valve), and something with the cause, may well be.
fn spare_standby(model: &Model, known: &Known, hypotheses: &mut [Hypothesis], weighed: &[Option<Weighed>]) {
    let (plant, usual) = (&model.plant, &known.usual);
    let (first, sizes) = (model.layout.first_flow(), model.layout.flow_sizes());
    for (h, weighed) in hypotheses.iter_mut().zip(weighed) {
        let with = weighed.as_ref().and_then(|w| w.fit.as_ref());
        let still = |flow: usize| {
            let passes = |fit: &Fit, run: usize| fit.states[run].x[first + flow].abs() >= STILL * sizes[flow];
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
    /// The evidence, its occasions gathered into few.
    pub evidence: Evidence,
    /// What became of the occasions.
    pub gathered: Gathered,
    /// The same, set out for weighing.
    pub setting: Setting,
    /// Readings against what a sound plant would show.
    pub deviations: Vec<Deviation>,
    /// One-sided readings against the same, in the order they were set out; nothing is known of how far past they are.
    pub one_sided: Vec<OneSided>,
    /// Causes, likeliest first; chances sum to 1 with all is well and the unlisted.
    pub ranked: Vec<Ranked>,
    /// Checks worth making, what settles most for its trouble first.
    pub checks: Vec<Advice>,
    /// Causes that what was read does not tell apart, the likeliest first.
    pub alike: Vec<Alike>,
    /// What nothing on the list explains, if anything.
    pub unexplained: Option<Unexplained>,
    /// What brings her back for least, and what then.
    pub next: Option<NextStep>,
    /// Which spaces touch, and which side presses harder in a sound plant as she runs now.
    pub touching: Vec<Touching>,
    /// Hypotheses that could not be weighed because the plant has no state under them.
    pub unweighed: usize,
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
    /// What is so besides: what a check found in the plant, or the second of two causes.
    pub beside: Option<What>,
    /// How bad that is, where it moves the plant at a severity of its own; else 0.
    pub beside_severity: f64,
    /// What every reading would be under it at its best [SI], in the order they were set out.
    pub readings: Vec<f64>,
    /// What speaks for and against it, where it is likely enough to ask.
    pub reasons: Option<Reasons>,
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
/// What is nearer to the likeliest than this is worth being sure of [1]: if by slips alone it is studied, in so many rounds at
/// most; and how far its severity is spread is looked at.
const NEAR: f64 = 7.0;
const SLIP_ROUNDS: usize = 3;
/// What a first look at its best leaves further behind than this is not looked at more closely.
const HOPELESS: f64 = 10.0;

/// Explains evidence, its occasions gathered into few.
///
/// # Errors
/// [`NoAnswer`] when even the sound plant has no state.
pub fn explain(plant: &Plant, evidence: &Evidence) -> Result<Answer, NoAnswer> {
    let mut model = Model::new(plant).map_err(|_| NoAnswer::Unready)?;
    let (evidence, gathered) = gather(plant, evidence);
    let mut setting = setting::set_out(plant, &evidence);
    let usual = usual_fit(&mut model, &setting).map_err(NoAnswer::NoState)?;
    setting.seen.sound.clone_from(&usual.states);
    // One step evaluates at what was believed before: how far off a reading is must not be judged by itself.
    let before = model.fit(&setting.seen, &Under::default(), Some(&usual), 1).ok();
    let known = Known { evidence: &evidence, setting, usual, before };
    let mut hypotheses = hypothesis::all(plant, &model.layout, known.evidence);
    hypotheses.retain(|h| lies::is_told_of(plant, known.evidence, h.what));
    let mut weighed = first_looks(plant, &known, &hypotheses)?;
    spare_standby(&model, &known, &mut hypotheses, &weighed);
    let ways = pairs::ways(&model, &known, &hypotheses, &weighed);
    let again = promising(&hypotheses, &weighed);
    look_again(plant, &hypotheses, &mut weighed, &again, |model, h, before| {
        Some(misread::with_slips(weigh::closer(model, &known, h, before?)?, model, &known, h))
    })?;
    // With readings a first look may stand many spreads beside a narrow peak: how far behind it is says little.
    let (looks, behind) =
        if known.setting.seen.observed.is_empty() { (SECOND_LOOKS, NOT_WORTH) } else { (DEARER_LOOKS, f64::INFINITY) };
    for weighed in weighed.iter_mut().flatten() {
        weighed.log_likelihood += weighed.slips;
    }
    let again = worth_a_second_look(&hypotheses, &weighed, looks, behind);
    study(plant, &known, &hypotheses, &mut weighed, &again)?;
    study_slips(plant, &known, &hypotheses, &mut weighed)?;
    let near = worth_a_second_look(&hypotheses, &weighed, DEARER_LOOKS, NEAR);
    look_again(plant, &hypotheses, &mut weighed, &near, |model, h, studied| weigh::surer(model, &known, h, studied?))?;
    let pairs = pairs::plausible(&model, &known, &hypotheses, &weighed, &ways);
    let of_pairs = in_parallel(plant, &pairs, |model, pair| pairs::weigh(model, &known, &hypotheses, &weighed, pair))?;
    for (pair, weighing) in of_pairs.into_iter().flatten() {
        hypotheses.push(pair);
        weighed.push(Some(weighing));
    }
    let Concluded { ranked, unexplained, unweighed } = conclude(&mut model, &known, &hypotheses, &weighed);
    let act = act::act(plant, known.evidence);
    let alike = alike::groups(&mut model, &known, &hypotheses, &weighed, &ranked, &act);
    let checks = next_check::rank(plant, known.evidence, &ranked, &act);
    let odd = unexplained.as_ref().map(|odd| odd.readings.as_slice());
    let next = next_step::next(plant, known.evidence, &ranked, &act, odd);
    let (deviations, one_sided) = (deviation::all(&model, &known), deviation::one_sided(&mut model, &known));
    let touching = touching_now(&mut model, &known);
    let setting = known.setting;
    Ok(Answer {
        act,
        evidence,
        gathered,
        setting,
        deviations,
        one_sided,
        ranked,
        checks,
        alike,
        unexplained,
        next,
        touching,
        unweighed,
    })
}

/// Walls as they are loaded at the last point told of the trouble, and with everything stopped.
fn touching_now(model: &mut Model, known: &Known) -> Vec<Touching> {
    let runs = &known.setting.seen.runs;
    let Some(now) = runs.iter().rposition(|run| run.troubled && run.point.speed > 1.0) else { return Vec::new() };
    model.touching_at(runs[now].point)
}

/// Which may yet come near the likeliest, by the best of what a first look makes of them.
fn promising(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>]) -> Vec<bool> {
    let best = best_score(hypotheses, weighed);
    let hope = |(h, w): (&Hypothesis, &Option<Weighed>)| {
        w.as_ref().is_some_and(|w| h.log_prior() + w.peak + w.slips > best - HOPELESS)
    };
    hypotheses.iter().zip(weighed).map(hope).collect()
}

/// A first look at each. The ways of one part are looked at one after the other, as one may lead to where the next is.
fn first_looks(plant: &Plant, known: &Known, hypotheses: &[Hypothesis]) -> Result<Vec<Option<Weighed>>, NoAnswer> {
    let of = |what| if let What::Cause(named, _) = what { Some(named) } else { None };
    let parts: Vec<&[Hypothesis]> =
        hypotheses.chunk_by(|a, b| of(a.what).is_some() && of(a.what) == of(b.what)).collect();
    let looks = in_parallel(plant, &parts, |model, ways| {
        Some(
            ways.iter()
                .map(|h| listed(h).then(|| misread::with_slips(weigh::first(model, known, h), model, known, h)))
                .collect::<Vec<_>>(),
        )
    })?;
    Ok(looks.into_iter().flatten().flatten().collect())
}

/// A full look at each of these.
fn study(
    plant: &Plant,
    known: &Known,
    hypotheses: &[Hypothesis],
    weighed: &mut [Option<Weighed>],
    which: &[bool],
) -> Result<(), NoAnswer> {
    look_again(plant, hypotheses, weighed, which, |model, h, before| Some(weigh::study(model, known, h, before)))
}

/// What comes near the likeliest by slips is studied too: what they gain at a first look is worked out as if readings went in
/// straight lines, and near a cliff they do not. A slip is a slip whatever is wrong: what is not studied even then gains no more
/// by slips than the likeliest that were.
fn study_slips(
    plant: &Plant,
    known: &Known,
    hypotheses: &[Hypothesis],
    weighed: &mut [Option<Weighed>],
) -> Result<(), NoAnswer> {
    for _ in 0..SLIP_ROUNDS {
        let mut near = worth_a_second_look(hypotheses, weighed, DEARER_LOOKS, NEAR);
        for (near, weighed) in near.iter_mut().zip(weighed.iter()) {
            *near &= weighed.as_ref().is_some_and(|w| w.slips > 0.0);
        }
        if !near.contains(&true) {
            return Ok(());
        }
        study(plant, known, hypotheses, weighed, &near)?;
    }
    let most = gained_by_slips(hypotheses, weighed);
    for weighed in weighed.iter_mut().flatten().filter(|w| w.slips > most) {
        weighed.log_likelihood -= weighed.slips - most;
        weighed.slips = most;
    }
    Ok(())
}

/// The most that the logarithm of any studied cause near the likeliest of them gains by slips.
fn gained_by_slips(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>]) -> f64 {
    let all = hypotheses.iter().zip(weighed);
    let studied = all.filter_map(|(h, w)| {
        let w = w.as_ref().filter(|w| w.slips <= 0.0)?;
        Some((score(h, Some(w)), w.log_likelihood - w.as_read()?.0))
    });
    let best = studied.clone().map(|(score, _)| score).fold(f64::NEG_INFINITY, f64::max);
    studied.filter(|(score, _)| *score > best - NEAR).map(|(_, gain)| gain).fold(0.0, f64::max)
}

/// Replaces what was weighed by what a closer look makes of it.
fn look_again(
    plant: &Plant,
    hypotheses: &[Hypothesis],
    weighed: &mut [Option<Weighed>],
    again: &[bool],
    look: impl Fn(&mut Model, &Hypothesis, Option<&Weighed>) -> Option<Weighed> + Sync,
) -> Result<(), NoAnswer> {
    let chosen: Vec<usize> = (0..hypotheses.len()).filter(|k| again[*k]).collect();
    let closer = in_parallel(plant, &chosen, |model, k| look(model, &hypotheses[*k], weighed[*k].as_ref()))?;
    for (k, closer) in chosen.into_iter().zip(closer) {
        if closer.is_some() {
            weighed[k] = closer;
        }
    }
    Ok(())
}

/// The likeliest so far, and all is well.
fn worth_a_second_look(hypotheses: &[Hypothesis], weighed: &[Option<Weighed>], looks: usize, behind: f64) -> Vec<bool> {
    let score = |k: usize| score(&hypotheses[k], weighed[k].as_ref());
    let mut order: Vec<usize> = (0..hypotheses.len()).collect();
    order.sort_by(|&a, &b| score(b).total_cmp(&score(a)));
    let best = best_score(hypotheses, weighed);
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

/// What the odds come out as.
struct Concluded {
    ranked: Vec<Ranked>,
    unexplained: Option<Unexplained>,
    unweighed: usize,
}

fn conclude(model: &mut Model, known: &Known, hypotheses: &[Hypothesis], weighed: &[Option<Weighed>]) -> Concluded {
    let anywhere = unexplained::moved_anywhere(model, known);
    let chances = odds::chances(hypotheses, weighed, known.evidence.checks.is_empty(), anywhere);
    let reasons = reasons::all(model, known, hypotheses, weighed, &chances);
    let rates: f64 = hypotheses.iter().map(|h| h.prior).sum();
    let well = hypotheses.iter().position(|h| h.what == What::Well);
    let well_log = well.and_then(|w| weighed[w].as_ref()).map_or(0.0, |w| w.log_likelihood);
    let mut ranked: Vec<Ranked> = hypotheses
        .iter()
        .zip(weighed)
        .zip(&chances)
        .zip(reasons)
        .map(|(((h, w), &probability), reasons)| Ranked {
            what: h.what,
            circuit: h.circuit,
            probability,
            by_rate: h.prior / rates,
            severity: w.as_ref().map_or(0.0, |w| shut(h.moves.first(), w.severity)),
            severity_range: w.as_ref().map_or((0.0, 1.0), |w| {
                (shut(h.moves.first(), w.severity_range.0), shut(h.moves.first(), w.severity_range.1))
            }),
            weight: w.as_ref().map_or(0.0, |w| w.log_likelihood - well_log),
            beside: h.beside,
            beside_severity: h.with.as_ref().map_or(0.0, |change| shut(change.moves.first(), change.severity)),
            readings: w.as_ref().and_then(|w| w.fit.as_ref()).map_or_else(Vec::new, |fit| fit.expected.clone()),
            reasons,
        })
        .collect();
    ranked.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    let unweighed = weighed.iter().flatten().filter(|w| w.log_likelihood == f64::NEG_INFINITY).count();
    Concluded { ranked, unexplained: unexplained::unexplained(hypotheses, weighed, &chances), unweighed }
}
