//! Two things at once: of the thousands of pairs only those that explain what the likeliest single causes leave.
//!
//! Which do is read off the fits at hand, as if what two causes move added up; those few are then weighed on the model.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What};
use crate::lies::lie;
use crate::look::{self, Asked};
use crate::misread;
use crate::odds::{best_score, score};
use crate::severity::Weighed;
use crate::weigh;
use model::fit::Seen;
use model::misfit::Misfit;
use model::steady::Model;
use model::under::{Change, Lie};
use nalgebra::DVector;

/// So many of the likeliest single causes are asked what they leave.
const FIRST: usize = 10;
/// A pair further behind the likeliest single cause than this is not weighed.
const BEHIND: f64 = 3.0;
/// And at most so many are of two things in the plant, and of one and a lying gauge.
const MOST: usize = 6;
/// Of them so many with one cause: what a poor fit leaves promises more than it holds.
const OF_ONE: usize = 2;
/// Of words alone nothing can be read off a fit: so many of the likeliest are tried with each other.
const TRIED_IN_WORDS: usize = 6;
/// A second cause may go so many times as far as it did where it was looked at.
const FURTHER: f64 = 1.5;
/// Variance of a reading that tells nothing [SI, squared].
const NOTHING: f64 = 1e18;
/// Severity that a second cause has where it was found nowhere by itself.
const MIDDLING: f64 = 0.6;

/// Two hypotheses by their places, the first the likelier.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Pair {
    first: usize,
    second: usize,
}

/// How the readings go under each as a second cause, by the first look at it: all of those are at the same scores.
pub(crate) fn ways(
    model: &Model,
    known: &Known,
    hypotheses: &[Hypothesis],
    firsts: &[Option<Weighed>],
) -> Vec<Option<Way>> {
    let each = hypotheses.iter().zip(firsts);
    each.map(|(h, first)| Way::of(model, known, h, first.as_ref()).filter(|_| single(h))).collect()
}

fn single(hypothesis: &Hypothesis) -> bool {
    matches!(hypothesis.what, What::Cause(..)) && hypothesis.beside.is_none()
}

/// Pairs worth weighing.
pub(crate) fn plausible(
    model: &Model,
    known: &Known,
    hypotheses: &[Hypothesis],
    weighed: &[Option<Weighed>],
    ways: &[Option<Way>],
) -> Vec<Pair> {
    // With what straight lines promise beyond: of a cause that cannot reach what is read by itself they tell what it leaves.
    let beyond = |w: &Option<Weighed>| w.as_ref().and_then(|w| w.fit.as_ref()).map_or(0.0, |fit| fit.beyond);
    let scores: Vec<f64> = hypotheses.iter().zip(weighed).map(|(h, w)| score(h, w.as_ref()) + beyond(w)).collect();
    let best = best_score(hypotheses, weighed);
    let lies: Vec<bool> = hypotheses.iter().map(|h| lie(&model.plant, h.what).is_some()).collect();
    // The one that moves the plant comes first; two lying gauges have no one error.
    let go_together = |first: usize, second: usize| !lies[first] && elsewhere(&hypotheses[first], &hypotheses[second]);
    let mut order: Vec<usize> = (0..hypotheses.len()).filter(|k| single(&hypotheses[*k])).collect();
    order.sort_by(|&a, &b| scores[b].total_cmp(&scores[a]));
    let mut found: Vec<(f64, Pair)> = Vec::new();
    for &first in order.iter().take(FIRST) {
        let Some((log, fit)) = weighed[first].as_ref().and_then(Weighed::as_read) else { continue };
        let Some(left) = fit.misfit() else { continue };
        let doubted = weighed[first].as_ref().map_or(&[][..], |w| &w.doubted);
        let price = misread::price(known, hypotheses[first].what, doubted.len());
        let alone = hypotheses[first].log_prior() + log + fit.beyond;
        for (second, way) in ways.iter().enumerate() {
            let Some(way) = way.as_ref().filter(|_| go_together(first, second)) else { continue };
            let instead = way.instead(model, &known.setting.seen, doubted).map(|gain| scores[first] + gain - price);
            let promise = (alone + way.gain(&left)).max(instead.unwrap_or(f64::NEG_INFINITY));
            let promise = promise + hypotheses[second].log_prior();
            if promise > best - BEHIND {
                found.push((promise, Pair { first, second }));
            }
        }
    }
    if !known.only_readings() {
        let few = &order[..order.len().min(TRIED_IN_WORDS)];
        let both = few.iter().flat_map(|&first| few.iter().map(move |&second| Pair { first, second }));
        let new = both.filter(|pair| pair.first < pair.second && go_together(pair.first, pair.second));
        found.extend(new.map(|pair| (best, pair)));
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut chosen: Vec<Pair> = Vec::new();
    for (_, pair) in found {
        let turned = Pair { first: pair.second, second: pair.first };
        let alike = |other: &&Pair| lies[other.second] == lies[pair.second];
        let of_it = chosen.iter().filter(|other| other.first == pair.first && alike(other)).count();
        let room = of_it < OF_ONE && chosen.iter().filter(alike).count() < MOST;
        if !chosen.contains(&pair) && !chosen.contains(&turned) && (room || !known.only_readings()) {
            chosen.push(pair);
        }
    }
    let most = if known.only_readings() { 2 * MOST } else { 2 * MOST + TRIED_IN_WORDS * (TRIED_IN_WORDS - 1) / 2 };
    chosen.truncate(most);
    chosen
}

/// Whether two causes are of two parts: two ways of one to fail are one trouble.
fn elsewhere(a: &Hypothesis, b: &Hypothesis) -> bool {
    matches!((a.what, b.what), (What::Cause(a, _), What::Cause(b, _)) if a != b)
}

/// How the readings go under a second cause.
pub(crate) enum Way {
    /// They move so far, as far as it went where it was looked at [SI].
    Moved(DVector<f64>),
    /// They are off by so many of these [SI], about so many.
    Lies { by: DVector<f64>, mean: f64 },
    /// These stand at these values whatever is true [SI]: reading, how far it stands off that, and the variance of that.
    Stands(Vec<(usize, f64, f64)>),
}

impl Way {
    fn of(model: &Model, known: &Known, hypothesis: &Hypothesis, first: Option<&Weighed>) -> Option<Way> {
        let seen = &known.setting.seen;
        if let Some(lie) = lie(&model.plant, hypothesis.what) {
            return Some(Way::of_lie(seen, &lie));
        }
        let (fit, before) = (first?.fit.as_ref()?, known.before.as_ref()?);
        let moved = fit.expected.iter().zip(&before.expected).map(|(with, without)| with - without);
        let moved = DVector::from_iterator(seen.observed.len(), moved);
        let shows = moved.iter().zip(&fit.sigma).any(|(moved, sigma)| moved.abs() > 0.3 * sigma);
        (shows && !hypothesis.moves.is_empty()).then_some(Way::Moved(moved))
    }

    fn of_lie(seen: &Seen, lie: &Lie) -> Way {
        let lying = |&(run, gauge, weight): &(usize, _, f64)| {
            lie.of(gauge).filter(|_| seen.runs[run].troubled).map(|own| (own, weight))
        };
        let stops: Vec<(usize, f64, f64)> = seen
            .observed
            .iter()
            .enumerate()
            .filter_map(|(i, o)| {
                let (own, weight) = o.terms.first().and_then(lying)?;
                let off = o.value - weight * own.stands_at?;
                Some((i, off, o.noise * o.noise + own.sigma * own.sigma))
            })
            .collect();
        if !stops.is_empty() {
            return Way::Stands(stops);
        }
        let of = |value: &dyn Fn(&model::under::Lying) -> f64| {
            let each = seen
                .observed
                .iter()
                .map(|o| o.terms.iter().filter_map(lying).map(|(own, w)| w * value(own)).sum::<f64>());
            DVector::from_iterator(seen.observed.len(), each)
        };
        let (by, mean) = (of(&|own| own.sigma), of(&|own| own.mean));
        let square = by.dot(&by).max(1e-300);
        Way::Lies { mean: mean.dot(&by) / square, by }
    }

    /// What it explains better than slips of these readings would, as a logarithm; nothing if it does not reach them all.
    fn instead(&self, model: &Model, seen: &Seen, doubted: &[usize]) -> Option<f64> {
        let slip = |reading: usize| misread::variance(model, seen, reading).sqrt();
        if doubted.is_empty() {
            return None;
        }
        let each = |reading: &usize| match self {
            Way::Moved(_) => None,
            Way::Lies { by, .. } => (by[*reading] != 0.0).then(|| (slip(*reading) / by[*reading].abs()).ln()),
            Way::Stands(stops) => {
                let (_, off, variance) = stops.iter().find(|(stop, ..)| stop == reading)?;
                Some((slip(*reading) / variance.sqrt()).ln() - 0.5 * off * off / variance)
            }
        };
        doubted.iter().map(each).sum()
    }

    /// What the logarithm of the evidence gains by it at most, about.
    fn gain(&self, left: &Misfit) -> f64 {
        match self {
            Way::Moved(way) => left.if_moved(way, FURTHER).0,
            Way::Lies { by, mean } => {
                let (gain, times) = left.if_moved(by, 6.0);
                let (back, turned) = left.if_moved(&-by, 6.0);
                (gain - 0.5 * (times - mean).powi(2)).max(back - 0.5 * (turned + mean).powi(2))
            }
            Way::Stands(stops) => {
                // They tell nothing of the plant, and are what they are at the stop.
                let mut others = left.clone();
                let mut gained = 0.0;
                for &(reading, off, variance) in stops {
                    gained += others.if_doubted(reading, NOTHING) + 0.5 * NOTHING.ln();
                    gained -= 0.5 * (off * off / variance + variance.ln());
                    others.doubt(reading, NOTHING);
                }
                gained
            }
        }
    }
}

/// A pair weighed on the model: the severity of each in turn with the other's held where it was best.
pub(crate) fn weigh(
    model: &mut Model,
    known: &Known,
    hypotheses: &[Hypothesis],
    weighed: &[Option<Weighed>],
    pair: &Pair,
) -> Option<(Hypothesis, Weighed)> {
    let (a, b) = (&hypotheses[pair.first], &hypotheses[pair.second]);
    let beside = |own: &Hypothesis, other: &Hypothesis, severity: Option<f64>| Hypothesis {
        prior: a.prior * b.prior,
        beside: Some(other.what),
        with: severity.map(|severity| Change { moves: other.moves.clone(), severity }),
        ..own.clone()
    };
    let severity_of = |k: usize| weighed[k].as_ref().map_or(MIDDLING, |weighed| weighed.severity);
    let (own, mut severity) = (severity_of(pair.first), severity_of(pair.second));
    if lie(&model.plant, b.what).is_some() {
        let both = beside(a, b, None);
        let weighing = weigh::about(model, known, &both, own, true);
        return Some((both, weighing));
    }
    if !known.only_readings() {
        // Words are not read off a fit: one look at both as they were found alone.
        let both = beside(a, b, Some(severity));
        let asked = Asked::of(known, &both);
        let node = look::look(model, &asked, own, look::FIRST_STEPS, weighed[pair.first].as_ref()?.fit.as_ref());
        let spread = |k: usize| weighed[k].as_ref().map_or(0.0, |w| w.log_likelihood - w.peak);
        let promise = both.log_prior() + node.value + spread(pair.first) + spread(pair.second);
        if promise < best_score(hypotheses, weighed) - BEHIND {
            return None;
        }
    }
    let mut further = 0.0;
    if look::graded(model, b).is_some() {
        let second = weigh::about(model, known, &beside(b, a, Some(own)), severity, false);
        let first = weigh::about(model, known, &beside(a, b, Some(second.severity)), own, false);
        let second = weigh::about(model, known, &beside(b, a, Some(first.severity)), second.severity, false);
        severity = second.severity;
        // Its share of the sum over both, about its own best.
        if !second.peak.is_finite() {
            // The plant has no state with both.
            return None;
        }
        further = second.log_likelihood - second.peak;
    }
    let both = beside(a, b, Some(severity));
    let mut weighing = weigh::about(model, known, &both, own, true);
    weighing.log_likelihood += further;
    Some((both, weighing))
}
