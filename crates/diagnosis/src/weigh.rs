//! One hypothesis against all that is known, at every severity: from few looks for all, from many for the likeliest.

use crate::curve::{doubtful_between, likeliest_between};
use crate::explain::Known;
use crate::hypothesis::Hypothesis;
use crate::look::{self, Asked, FIRST_STEPS, SECOND_STEPS, WORST, graded, look};
use crate::misread;
use crate::severity::{Node, Weighed, sum};
use model::fit::Fit;
use model::steady::Model;

/// Severities tried where words are to be weighed. The last: a way that is choked is felt only when nearly shut.
const FEW: [f64; 4] = [0.25, 0.6, WORST, 0.97];
/// With nothing but readings, once the worst was looked at: at a first look, and where that promises anything. What is noticed
/// only when nearly shut has most of its belief beyond the worst.
const MIDDLE: f64 = 0.6;
const ENDS: [f64; 2] = [0.25, 0.97];
const NODES: [f64; 5] = [0.15, 0.4, 0.65, 0.85, 0.97];
/// The severity that seems best is looked at itself so many times at most: where a first look promises something (with
/// readings; words alone change slowly) and at a full look.
const FIRST_SPLITS: usize = 3;
const SPLITS: usize = 7;

/// Looks that come so near the best are taken again in a full look [1].
const NEAR_THE_TOP: f64 = 12.0;
/// A severity that is nearly known is looked for with its odds, s/(1 − s), so many times what they are.
const BESIDE_IT: [f64; 3] = [0.5, 1.0, 2.0];

/// A look that finds no state is come to by halves so often, from one so far off.
const HALVINGS: usize = 2;
const FAR: f64 = 0.1;

/// A look is fitted on so many times at most, as long as that changes so much [1].
const FURTHER: usize = 4;
const GAINS: f64 = 0.1;
/// One that keeps so much less than was promised of it was broken off too early [1].
const BROKEN: f64 = 2.0;

/// A reading moved by less than this share of its spread is not moved.
const MOVED: f64 = 0.05;

/// Whether no gauge that was read shows anything of a cause, at the scores the look began from.
fn unmoved(model: &Model, known: &Known, fit: &Fit) -> bool {
    known.setting.seen.observed.iter().enumerate().all(|(i, observed)| {
        observed.terms.iter().all(|&(run, gauge, _)| {
            let tap = model.plant[gauge].tap;
            let change = model.read(&fit.states[run], tap) - model.read(&known.usual.states[run], tap);
            change.abs() < MOVED * fit.sigma[i]
        })
    })
}

/// A first look: what it would come to at the worst, and midway to that.
pub(crate) fn first(model: &mut Model, known: &Known, hypothesis: &Hypothesis) -> Weighed {
    let asked = Asked::of(known, hypothesis);
    if !scanned(model, known, hypothesis) {
        return weigh(model, &asked, &Closely { steps: FIRST_STEPS, splits: 0, severities: &FEW }, Vec::new());
    }
    // What moves no gauge that was read at its worst moves none at all: one look is enough.
    let elsewhere = Asked { elsewhere: true, ..asked };
    let mut worst = look(model, &elsewhere, WORST, FIRST_STEPS, None);
    if worst.fit.as_ref().is_some_and(|fit| unmoved(model, known, fit)) {
        return Weighed::anywhere(worst);
    }
    let middle = look(model, &elsewhere, MIDDLE, FIRST_STEPS, None);
    if worst.fit.is_none() {
        // Midway there is a state to begin from, or else the long way is the only one.
        worst = match &middle.fit {
            Some(fit) => look(model, &elsewhere, WORST, FIRST_STEPS, Some(fit)),
            None => look::from_afar(model, &asked, WORST),
        };
    }
    let looks = look::none(model, &asked).into_iter().chain([middle, worst]).collect();
    weigh(model, &asked, &Closely { steps: FIRST_STEPS, splits: 0, severities: &[] }, looks)
}

/// A closer look at what promised something, or nothing where the first look was as close.
pub(crate) fn closer(model: &mut Model, known: &Known, hypothesis: &Hypothesis, first: &Weighed) -> Option<Weighed> {
    let seen = first.looks.iter().any(|node| node.fit.is_some());
    if !scanned(model, known, hypothesis) || !seen {
        return None;
    }
    let asked = Asked::of(known, hypothesis);
    let closely = Closely { steps: FIRST_STEPS, splits: FIRST_SPLITS, severities: &ENDS };
    Some(weigh(model, &asked, &closely, first.looks.clone()))
}

/// Whether readings alone tell how bad it would be.
fn scanned(model: &Model, known: &Known, hypothesis: &Hypothesis) -> bool {
    known.only_readings() && !hypothesis.moves.is_empty() && graded(model, hypothesis).is_some()
}

/// A full look; readings that nothing but a slip would explain are doubted, as dearly as slips are rare.
pub(crate) fn study(model: &mut Model, known: &Known, hypothesis: &Hypothesis, before: Option<&Weighed>) -> Weighed {
    let asked = Asked::of(known, hypothesis);
    let looks = before.filter(|_| scanned(model, known, hypothesis)).map_or(&[][..], |before| &before.looks);
    let (near, far): (Vec<&Node>, Vec<&Node>) = looks
        .iter()
        .partition(|node| node.severity > 0.0 && before.is_some_and(|before| node.value > before.peak - NEAR_THE_TOP));
    let again: Vec<f64> = near.iter().map(|node| node.severity).collect();
    let severities = if again.is_empty() { &NODES[..] } else { &again };
    let far = if again.is_empty() { Vec::new() } else { far.into_iter().cloned().collect() };
    let plain = weigh(model, &asked, &Closely { steps: SECOND_STEPS, splits: SPLITS, severities }, far);
    let Some(doubted) = misread::doubted(model, known, hypothesis, &plain) else { return plain };
    let mut doubting = about_it(model, &Asked { seen: &doubted.seen, ..asked }, plain.severity, SECOND_STEPS);
    doubting.log_likelihood += doubted.price;
    plain.or_doubting(doubting, doubted.readings)
}

/// How much lies about the top of what was studied, where the looks at it leave that in doubt; nothing if they do not.
pub(crate) fn surer(model: &mut Model, known: &Known, hypothesis: &Hypothesis, studied: &Weighed) -> Option<Weighed> {
    let spread = graded(model, hypothesis).filter(|_| studied.doubted.is_empty() && studied.looks.len() > 1)?;
    let asked = Asked::of(known, hypothesis);
    let mut nodes = studied.looks.clone();
    for _ in 0..SPLITS {
        let Some((place, severity)) = doubtful_between(&nodes, spread) else { break };
        let near = nodes[place - 1].fit.as_ref().or(nodes[place].fit.as_ref());
        let node = look(model, &asked, severity, SECOND_STEPS, near);
        nodes.insert(place, node);
    }
    if nodes.len() == studied.looks.len() {
        return None;
    }
    whole_best(model, &asked, &mut nodes, SECOND_STEPS);
    let mut surer = sum(nodes, spread);
    // That some reading is a slip after all is as likely beside it as before.
    surer.log_likelihood += studied.as_read().map_or(0.0, |(as_read, _)| studied.log_likelihood - as_read);
    Some(surer)
}

/// A look about a severity that is nearly known: one of two causes, which single looks have found already.
pub(crate) fn about(model: &mut Model, known: &Known, hypothesis: &Hypothesis, severity: f64, fully: bool) -> Weighed {
    let asked = Asked::of(known, hypothesis);
    about_it(model, &asked, severity, if fully { SECOND_STEPS } else { FIRST_STEPS })
}

fn about_it(model: &mut Model, asked: &Asked, severity: f64, steps: usize) -> Weighed {
    let odds = severity.clamp(0.02, 0.998) / (1.0 - severity.clamp(0.02, 0.998));
    let severities = BESIDE_IT.map(|times| times * odds / (1.0 + times * odds));
    weigh(model, asked, &Closely { steps, splits: FIRST_SPLITS, severities: &severities }, Vec::new())
}

/// How closely to look.
struct Closely<'a> {
    /// Steps of each fit.
    steps: usize,
    /// Further looks at what seems best, at most.
    splits: usize,
    /// Severities to look at in any case.
    severities: &'a [f64],
}

fn weigh(model: &mut Model, asked: &Asked, closely: &Closely, known_already: Vec<Node>) -> Weighed {
    let Closely { steps, splits, severities: nodes } = *closely;
    let hypothesis = asked.hypothesis;
    let Some(spread) = graded(model, hypothesis) else {
        let node = look(model, asked, 1.0, steps, None);
        return Weighed::only(node);
    };
    // What moves nothing and is only spoken of differs little from one severity to the next.
    let first: &[f64] = if hypothesis.moves.is_empty() { &[0.7] } else { nodes };
    // From slight to bad, each from the nearest state below it: a short way each time.
    let mut nodes: Vec<Node> = Vec::with_capacity(first.len() + known_already.len() + splits);
    for &severity in first {
        let near = below(&nodes, &known_already, severity).and_then(|node| node.fit.as_ref());
        let mut node = look(model, asked, severity, steps, near);
        // Too far in one step: half the way first.
        for _ in 0..HALVINGS {
            let Some(before) = below(&nodes, &known_already, severity).filter(|_| node.fit.is_none()) else { break };
            if severity - before.severity < FAR {
                break;
            }
            let half = 0.5 * (before.severity + severity);
            let between = look(model, asked, half, steps, before.fit.as_ref());
            if between.fit.is_some() {
                node = look(model, asked, severity, steps, between.fit.as_ref());
                nodes.push(between);
            }
        }
        nodes.push(node);
    }
    if hypothesis.moves.is_empty() {
        return sum(nodes, spread);
    }
    nodes.extend(known_already);
    nodes.sort_by(|a, b| a.severity.total_cmp(&b.severity));
    // No parabola leads through two looks at one severity.
    nodes.dedup_by(|a, b| a.severity == b.severity);
    let mut last = None;
    for _ in 0..splits {
        let Some((place, mut severity, promised)) = likeliest_between(&nodes) else { break };
        // Looks that creep from one end up to what seems best go half the way to the other end.
        let (from, to) = (nodes[place - 1].severity, nodes[place].severity);
        if last == Some(from) {
            severity = 0.5 * (severity + to);
        } else if last == Some(to) {
            severity = 0.5 * (severity + from);
        }
        last = Some(severity);
        let mut node = look(model, asked, severity, steps, nodes[place - 1].fit.as_ref());
        if node.value < promised - BROKEN {
            settle(model, asked, &mut node);
        }
        nodes.insert(place, node);
    }
    if steps >= SECOND_STEPS {
        settle_best(model, asked, &mut nodes);
    }
    whole_best(model, asked, &mut nodes, steps);
    sum(nodes, spread)
}

/// What was kept of an earlier look is no whole fit: looks at it once more where it is the best.
fn whole_best(model: &mut Model, asked: &Asked, nodes: &mut [Node], steps: usize) {
    let there = nodes.iter_mut().filter(|node| node.severity > 0.0);
    if let Some(best) = there.max_by(|a, b| a.value.total_cmp(&b.value))
        && best.fit.as_ref().is_some_and(Fit::is_slim)
        && !asked.seen.observed.is_empty()
    {
        *best = look(model, asked, best.severity, steps, best.fit.as_ref());
    }
}

/// The nearest look below a severity that found a state.
fn below<'a>(nodes: &'a [Node], known_already: &'a [Node], severity: f64) -> Option<&'a Node> {
    let below = nodes.iter().chain(known_already).filter(|node| node.severity <= severity && node.fit.is_some());
    below.max_by(|a, b| a.severity.total_cmp(&b.severity))
}

/// The best look, fitted on.
fn settle_best(model: &mut Model, asked: &Asked, nodes: &mut [Node]) {
    let best = nodes.iter_mut().max_by(|a, b| a.value.total_cmp(&b.value));
    if let Some(best) = best.filter(|node| node.severity > 0.0) {
        settle(model, asked, best);
    }
}

/// A look, fitted on from where it ended: causes are told apart by what is left of their readings, and a fit that was broken
/// off leaves more, or pretends to leave less.
fn settle(model: &mut Model, asked: &Asked, node: &mut Node) {
    for _ in 0..FURTHER {
        let further = look(model, asked, node.severity, SECOND_STEPS, node.fit.as_ref());
        if further.fit.is_none() {
            return;
        }
        let settled = (further.value - node.value).abs() < GAINS;
        *node = further;
        if settled {
            return;
        }
    }
}
