//! What speaks for a cause and against it, piece by piece, and what else would have to be true.
//!
//! Each piece (a reading, a word, a check, how often it happens) adds so much to the logarithm of how likely all is under
//! a cause; it speaks for the cause by so much as that is more than it adds under whatever else it may be, weighed by how
//! likely each of those is. The pieces of a cause sum to its odds against a typical one of the others.

use crate::explain::Known;
use crate::hypothesis::{Hypothesis, What};
use crate::look::{self, Asked};
use crate::misread;
use crate::pattern;
use crate::severity::Weighed;
use crate::tried;
use model::fit::Fit;
use model::scores::Scores;
use model::steady::Model;
use model::under::{Lie, Under};
use plant::evidence::{Evidence, Named, Said};
use plant::plant::{GaugeId, PartId};

/// One piece of what is known.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// The reading of this place among those set out.
    Reading(usize),
    /// The one-sided reading of this place.
    Bound(usize),
    /// Words of one group on an occasion, by the first of them.
    Said(usize, Said),
    /// What was left out of what was told of an occasion, by its group.
    LeftOut(usize, &'static str),
    /// The check of this place among those made.
    Check(usize),
    /// The renewal of this place.
    Renewed(usize),
    /// How long she had run when it showed.
    Late,
    /// How it came: at once, by degrees, on and off.
    Came,
    /// That the other engine is well.
    Sister,
    /// That somebody asked at all: whether anything of what was told is of its making.
    Asked,
    /// That so many readings would be slips.
    Slips,
    /// That its figures lie further out than readings tell in straight lines: at a bend they cannot go back.
    Bent,
    /// How much of all that it may be, from slight to total, goes with what is known.
    Severity,
    /// How often it happens.
    Rate,
}

/// What a piece says of a cause.
#[derive(Clone, Debug)]
pub struct Reason {
    /// The piece.
    pub piece: Piece,
    /// By how much it makes the cause likelier than what else it may be, as a logarithm; below nothing it speaks against.
    pub gain: f64,
    /// What the gauge would show with the cause, by all the other readings [SI].
    pub with: Option<f64>,
    /// Of what else it may be the one against which that tells most, and what the gauge would show with it [SI].
    pub rival: Option<(What, f64)>,
    /// The words, and whether they were said; of what was left out the one that would be said most surely, with this
    /// cause or with its likeliest rival.
    pub words: Vec<(Said, bool)>,
}

/// What would have to be other than it was believed to be.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Of {
    /// A figure of a part, by its place among its kind's.
    Figure(PartId, usize),
    /// What a gauge is lastingly off by.
    Gauge(GaugeId),
    /// How far a gauge lies, where the cause is that it does.
    Lie(GaugeId),
    /// A part of an operating point: run, and place in the order of `model::point`.
    Point(usize, usize),
}

/// One thing that would have to be other than it was believed.
#[derive(Copy, Clone, Debug)]
pub struct Need {
    /// What.
    pub of: Of,
    /// How far, in standard deviations of what is believed.
    pub far: f64,
    /// What it was believed to be [SI]; of a gauge's error nothing.
    pub believed: f64,
    /// What it would have to be [SI].
    pub needed: f64,
}

/// What speaks for and against one cause.
#[derive(Clone, Debug)]
pub struct Reasons {
    /// The weightiest first.
    pub reasons: Vec<Reason>,
    /// What would have to be so besides, the furthest first.
    pub needs: Vec<Need>,
    /// Readings that would be slips.
    pub doubted: Vec<usize>,
    /// How far all readings are off at its best, as the sum of as many squares of unit normals as there are readings.
    pub misfit: (f64, usize),
}

/// Reasons are worked out for so many, the likeliest.
const MOST: usize = 12;
/// And for none less likely than this [1].
const LEAST: f64 = 0.004;
/// Nearer than this to what was believed needs no mention [standard deviations].
const FAR: f64 = 1.0;
/// Needs told.
const NEEDS: usize = 2;

/// What each piece adds under one hypothesis.
struct Pieces {
    adds: Vec<Adds>,
    needs: Vec<Need>,
}

struct Adds {
    piece: Piece,
    log: f64,
    shows: Option<f64>,
    words: Vec<(Said, bool)>,
}

/// The reasons of each hypothesis that is likely enough to ask, in their order.
pub(crate) fn all(
    model: &mut Model,
    known: &Known,
    hypotheses: &[Hypothesis],
    weighed: &[Option<Weighed>],
    chances: &[f64],
) -> Vec<Option<Reasons>> {
    let mut order: Vec<usize> = (0..hypotheses.len()).collect();
    order.sort_by(|&a, &b| chances[b].total_cmp(&chances[a]));
    order.retain(|&k| chances[k] >= LEAST || hypotheses[k].what == What::Well);
    let mut asked: Vec<(usize, &Fit, Pieces)> = Vec::new();
    for k in order {
        let Some(fit) = weighed[k].as_ref().and_then(|w| w.fit.as_ref()) else { continue };
        if asked.len() < MOST || hypotheses[k].what == What::Well {
            let pieces = Pieces::of(model, known, &hypotheses[k], weighed[k].as_ref(), fit);
            asked.push((k, fit, pieces));
        }
    }
    let mut all: Vec<Option<Reasons>> = hypotheses.iter().map(|_| None).collect();
    for (k, fit, own) in &asked {
        let others: Vec<Other> = asked
            .iter()
            .filter(|(other, ..)| other != k && !one_trouble(&hypotheses[*other], &hypotheses[*k]))
            .map(|(other, _, pieces)| {
                let Hypothesis { what, beside, .. } = hypotheses[*other];
                Other { what, alone: beside.is_none(), chance: chances[*other], pieces }
            })
            .collect();
        let mut reasons: Vec<Reason> = own.adds.iter().map(|adds| against(adds, &others)).collect();
        reasons.sort_by(|a, b| b.gain.abs().total_cmp(&a.gain.abs()));
        all[*k] = Some(Reasons {
            reasons,
            needs: own.needs.clone(),
            doubted: weighed[*k].as_ref().map_or_else(Vec::new, |w| w.doubted.clone()),
            misfit: (fit.off.norm_squared(), fit.off.len()),
        });
    }
    all
}

/// Ways of one gauge to lie are no alternatives to each other: they are told as one, and cured in one go.
fn one_trouble(a: &Hypothesis, b: &Hypothesis) -> bool {
    matches!((a.what, b.what), (What::Cause(Named::Gauge(a), _), What::Cause(Named::Gauge(b), _)) if a == b)
}

struct Other<'a> {
    what: What,
    /// Nothing else is supposed with it.
    alone: bool,
    chance: f64,
    pieces: &'a Pieces,
}

/// What a piece adds to one, against what it adds to the others.
fn against(own: &Adds, others: &[Other]) -> Reason {
    let theirs = |other: &Other| {
        let same = other.pieces.adds.iter().find(|adds| adds.piece == own.piece);
        // What speaks of some only adds nothing to the rest.
        (same.map_or(0.0, |adds| adds.log), same.and_then(|adds| adds.shows))
    };
    let whole: f64 = others.iter().map(|other| other.chance).sum();
    let typical: f64 = others.iter().map(|other| other.chance * theirs(other).0).sum();
    let typical = if whole > 0.0 { typical / whole } else { own.log };
    let gain = own.log - typical;
    // Told against the one that makes most of the difference.
    let makes = |other: &&Other| other.chance * (own.log - theirs(other).0) * gain.signum();
    let likeliest = others.iter().filter(|other| other.alone).max_by(|a, b| makes(a).total_cmp(&makes(b)));
    // A danger left out speaks for a cause because another would have made it heard.
    let louder = likeliest.filter(|_| gain > 0.0 && matches!(own.piece, Piece::LeftOut(..)));
    let words = louder.and_then(|other| other.pieces.adds.iter().find(|adds| adds.piece == own.piece));
    Reason {
        piece: own.piece,
        gain,
        with: own.shows,
        rival: likeliest.and_then(|other| Some((other.what, theirs(other).1?))),
        words: words.map_or_else(|| own.words.clone(), |adds| adds.words.clone()),
    }
}

impl Pieces {
    fn of(model: &mut Model, known: &Known, hypothesis: &Hypothesis, weighed: Option<&Weighed>, fit: &Fit) -> Pieces {
        let severity = weighed.map_or(1.0, |w| w.at);
        let asked = Asked::of(known, hypothesis);
        let under = look::under(model, hypothesis, severity);
        let mut adds = readings(known, fit);
        for (place, bound) in known.setting.bounds.iter().enumerate() {
            let shows = look::would_show(model, &asked, fit, &under, bound).0;
            let log = look::passed(model, &asked, fit, &under, bound).ln();
            adds.push(Adds { shows: Some(shows), ..Adds::of(Piece::Bound(place), log) });
        }
        let told = look::heard(model, &asked, severity, fit, &under);
        adds.push(Adds::of(Piece::Asked, look::for_nothing(&model.plant, &asked, fit, &told)));
        for look::Told { place: occasion, heard, .. } in told {
            for heard in heard {
                let piece = match heard.words.first() {
                    _ if heard.left_out => Piece::LeftOut(occasion, heard.group),
                    Some((word, _)) => Piece::Said(occasion, *word),
                    None => continue,
                };
                adds.push(Adds { words: heard.words, ..Adds::of(piece, heard.log) });
            }
        }
        adds.extend(tried_one_by_one(model, known.evidence, hypothesis, severity));
        adds.push(Adds::of(Piece::Late, look::late(model, known, hypothesis.what)));
        adds.push(Adds::of(Piece::Came, pattern::came(&model.plant, known.evidence, hypothesis.what)));
        adds.push(Adds::of(Piece::Sister, pattern::sister(&model.plant, known.evidence, hypothesis.what)));
        if let Some(weighed) = weighed {
            let slips = misread::price(known, hypothesis.what, weighed.doubted.len()) + weighed.slips;
            adds.push(Adds::of(Piece::Slips, slips));
            let at_best = fit.log_evidence + weighed.told + slips;
            adds.push(Adds::of(Piece::Severity, weighed.log_likelihood - at_best));
        }
        adds.push(Adds::of(Piece::Rate, hypothesis.log_prior()));
        let needs = needs(model, known, hypothesis, fit, &under);
        Pieces { adds, needs }
    }
}

impl Adds {
    fn of(piece: Piece, log: f64) -> Adds {
        Adds { piece, log, shows: None, words: Vec::new() }
    }
}

/// What each reading after onset adds, those before it taken as read.
fn readings(known: &Known, fit: &Fit) -> Vec<Adds> {
    let seen = &known.setting.seen;
    let after = |i: &usize| seen.observed[*i].terms.iter().any(|(run, ..)| seen.runs[*run].troubled);
    let after: Vec<usize> = (0..seen.observed.len()).filter(after).collect();
    let Some(misfit) = fit.misfit() else { return Vec::new() };
    let shares = fit.shares(&after);
    let adds = |i: usize| Adds {
        shows: Some(seen.observed[i].value - misfit.against_others(i).0),
        ..Adds::of(Piece::Reading(i), shares[i])
    };
    after.into_iter().map(adds).chain([Adds::of(Piece::Bent, -fit.beyond)]).collect()
}

/// What each check and each renewal adds.
fn tried_one_by_one(model: &Model, evidence: &Evidence, hypothesis: &Hypothesis, severity: f64) -> Vec<Adds> {
    let beside = hypothesis.beside.map(|what| (what, hypothesis.with.as_ref().map_or(severity, |w| w.severity)));
    let log = |evidence: &Evidence| tried::log_likelihood(&model.plant, evidence, (hypothesis.what, severity), beside);
    let checks = tried::looks(evidence).map(|(place, made)| {
        Adds::of(Piece::Check(place), log(&Evidence { checks: vec![made.clone()], ..Evidence::default() }))
    });
    let renewed = evidence.renewed.iter().enumerate().map(|(place, renewal)| {
        Adds::of(Piece::Renewed(place), log(&Evidence { renewed: vec![renewal.clone()], ..Evidence::default() }))
    });
    checks.chain(renewed).collect()
}

/// What the fit had to move furthest from what was believed before the trouble.
fn needs(model: &Model, known: &Known, hypothesis: &Hypothesis, fit: &Fit, under: &Under) -> Vec<Need> {
    let runs = &known.setting.seen.runs;
    let scores = Scores::of(model, runs.len());
    let now = fit.leads_to();
    let was = known.usual.scores.clone().resize_vertically(now.len(), 0.0);
    let (values, believed) = (scores.parameters(model, now.as_slice()), scores.parameters(model, was.as_slice()));
    let moved = (&now - &was).as_slice().to_vec();
    let mut needs: Vec<Need> = Vec::new();
    for (k, &(place, _)) in scores.figures.iter().enumerate() {
        let far = scores.figure_off(k, &moved);
        let own = hypothesis.moves.iter().any(|(other, _)| *other == place);
        if far.abs() >= FAR
            && !own
            && let Some((part, figure)) = figure_at(model, place)
        {
            let of = Of::Figure(part, figure);
            needs.push(Need { of, far, believed: believed[place], needed: values[place] });
        }
    }
    for gauge in model.plant.gauge_ids() {
        let far = scores.off(gauge, &moved);
        if far.abs() >= FAR {
            needs.push(Need { of: Of::Gauge(gauge), far, believed: 0.0, needed: far * model.lasting(gauge) });
        }
    }
    for (r, run) in runs.iter().enumerate() {
        let (at, told) = (scores.point(r, run, now.as_slice()), scores.point(r, run, was.as_slice()));
        let (at, told) = (model::point::to_array(&at), model::point::to_array(&told));
        for k in 0..model::point::count(&model.plant) {
            let far = moved[scores.run(r) + k];
            if far.abs() >= FAR && run.spread.0[k] > 0.0 {
                needs.push(Need { of: Of::Point(r, k), far, believed: told[k], needed: at[k] });
            }
        }
    }
    needs.sort_by(|a, b| b.far.abs().total_cmp(&a.far.abs()));
    needs.truncate(NEEDS);
    if let Some(lie) = &under.lie {
        needs.splice(0..0, lies_by(known, fit, lie));
    }
    needs
}

/// How far gauges that lie would be off: their common error, as what was read makes it.
fn lies_by(known: &Known, fit: &Fit, lie: &Lie) -> Vec<Need> {
    let seen = &known.setting.seen;
    let pulled = fit.weighted().dot(&lie.way(seen));
    let read = |gauge| seen.observed.iter().any(|o| o.terms.iter().any(|(_, g, _)| *g == gauge));
    let off = lie.gauges.iter().filter(|own| own.stands_at.is_none() && read(own.gauge));
    off.map(|own| {
        let needed = own.mean + own.sigma * pulled;
        Need { of: Of::Lie(own.gauge), far: pulled, believed: 0.0, needed }
    })
    .collect()
}

/// Which figure of which part stands at a place of the plant's list.
fn figure_at(model: &Model, place: usize) -> Option<(PartId, usize)> {
    let first = |part: usize| model.layout.first_parameter(PartId(part));
    let part = (0..model.plant.parts.len()).rev().find(|part| first(*part) <= place)?;
    Some((PartId(part), place - first(part)))
}
