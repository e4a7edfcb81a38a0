//! What the gauges cannot tell apart: causes under which they would read the same, as well as that can be known; and what
//! would tell them apart.

use crate::act::Act;
use crate::explain::{Known, Ranked};
use crate::hypothesis::{Hypothesis, What};
use crate::look;
use crate::next_check::{self, Advice};
use crate::severity::Weighed;
use model::fit::Run;
use model::foretell::Foretold;
use model::point::PointSpread;
use model::steady::Model;
use model::warmth::Warmth;
use plant::evidence::{Evidence, Named};
use plant::plant::GaugeId;

/// Causes that what was read does not tell apart, and what would.
#[derive(Clone, Debug)]
pub struct Alike {
    /// Which, the likeliest first.
    pub of: Vec<What>,
    /// How far the readings of the two that differ most lie apart, in standard deviations of what they may be.
    pub far: f64,
    /// The check that tells them apart best.
    pub check: Option<Advice>,
    /// The reading that tells two of the likeliest apart best, if one does.
    pub reading: Option<Telling>,
}

/// A reading that would tell two causes apart.
#[derive(Copy, Clone, Debug)]
pub struct Telling {
    /// Of which gauge.
    pub gauge: GaugeId,
    /// At which speed [rad/s].
    pub speed: f64,
    /// Whether that is where she was run when the trouble was told, and the gauge was not read there.
    pub here: bool,
    /// Which two of the group, by their places in it, and what it would read with each [SI].
    pub reads: [(usize, f64); 2],
    /// How far apart that is, in standard deviations.
    pub far: f64,
}

/// Nearer than this the readings do not tell two causes apart [standard deviations].
const APART: f64 = 2.0;
/// Causes less likely than this are not asked [1], and so many at most are.
const REAL: f64 = 0.02;
const MOST: usize = 6;
/// Groups told, and for how many of them another reading is looked for.
const GROUPS: usize = 3;
const SEARCHED: usize = 1;
/// And among so many of its likeliest.
const ASKED: usize = 3;
/// A reading at another speed has to tell so many times as much as one that can be taken here [1]. From memory.
const DEARER: f64 = 1.3;
/// Speeds tried, as shares of the rated one: idle, slow, full. Common practice, no source.
const SPEEDS: [f64; 3] = [0.35, 0.6, 1.0];
/// What can be read here and tells so much is not bettered by running elsewhere [standard deviations].
const PLAIN: f64 = 3.0;
/// Nearer than this share of the rated speed is the same speed [1].
const SAME: f64 = 0.08;
/// How well a speed that is gone to and told is known, as a share of the rated one, and the load there [1]; as
/// `model::point` has it.
const TOLD: (f64, f64) = (0.012, 0.05);

/// Groups of likely causes that the readings do not tell apart, the likeliest first.
pub(crate) fn groups(
    model: &mut Model,
    known: &Known,
    hypotheses: &[Hypothesis],
    weighed: &[Option<Weighed>],
    ranked: &[Ranked],
    act: &[Act],
) -> Vec<Alike> {
    let seen = &known.setting.seen;
    if !seen.observed.iter().any(|o| o.terms.iter().any(|(run, ..)| seen.runs[*run].troubled)) {
        return Vec::new();
    }
    let mut groups: Vec<(Vec<Likely>, f64)> = Vec::new();
    for one in likely(hypotheses, weighed, ranked) {
        let far = |group: &(Vec<Likely>, f64)| group.0.iter().map(|other| one.apart(other)).fold(group.1, f64::max);
        match groups.iter_mut().find(|group| far(group) < APART) {
            Some(group) => {
                group.1 = far(group);
                group.0.push(one);
            }
            None => groups.push((vec![one], 0.0)),
        }
    }
    groups.retain(|(group, _)| group.len() > 1);
    groups.truncate(GROUPS);
    let mut told = Vec::new();
    for (place, (group, far)) in groups.into_iter().enumerate() {
        let reading = if place < SEARCHED { telling(model, known, &group[..group.len().min(ASKED)]) } else { None };
        let check = telling_check(model, known.evidence, &group, act);
        told.push(Alike { of: group.iter().map(|one| one.ranked.what).collect(), far, check, reading });
    }
    told
}

/// A likely cause with its fit.
#[derive(Copy, Clone)]
struct Likely<'a> {
    hypothesis: &'a Hypothesis,
    weighed: &'a Weighed,
    ranked: &'a Ranked,
}

impl Likely<'_> {
    /// How far apart the readings of two lie; of one gauge's ways to lie, nothing: they are one trouble.
    fn apart(&self, other: &Likely) -> f64 {
        let fits = self.weighed.fit.as_ref().zip(other.weighed.fit.as_ref());
        fits.and_then(|(a, b)| a.apart(b)).unwrap_or(f64::INFINITY)
    }
}

/// The likely ones; of a gauge that lies only its likeliest way, and no two at once.
fn likely<'a>(hypotheses: &'a [Hypothesis], weighed: &'a [Option<Weighed>], ranked: &'a [Ranked]) -> Vec<Likely<'a>> {
    let mut list: Vec<Likely> = Vec::new();
    for ranked in ranked.iter().filter(|r| r.probability >= REAL && r.beside.is_none()) {
        let found = hypotheses.iter().zip(weighed).find(|(h, _)| h.what == ranked.what && h.beside.is_none());
        let Some((hypothesis, Some(weighed))) = found else { continue };
        let gauge = |what| if let What::Cause(Named::Gauge(gauge), _) = what { Some(gauge) } else { None };
        let told = gauge(ranked.what).is_some_and(|own| list.iter().any(|one| gauge(one.ranked.what) == Some(own)));
        if !told && weighed.fit.is_some() && list.len() < MOST {
            list.push(Likely { hypothesis, weighed, ranked });
        }
    }
    list
}

/// The check that settles most between these, one of them being so.
fn telling_check(model: &Model, evidence: &Evidence, group: &[Likely], act: &[Act]) -> Option<Advice> {
    let mut ranked: Vec<Ranked> = group.iter().map(|one| one.ranked.clone()).collect();
    let whole: f64 = ranked.iter().map(|r| r.probability).sum();
    for one in &mut ranked {
        one.probability /= whole;
    }
    next_check::rank(&model.plant, evidence, &ranked, act).into_iter().next()
}

/// The reading that would tell two of these apart best: one not taken where she is, or any at another speed.
fn telling(model: &mut Model, known: &Known, group: &[Likely]) -> Option<Telling> {
    let run = *known.setting.troubled.last()?;
    let told = &known.setting.seen.runs[run];
    if told.point.speed < 1.0 {
        return None;
    }
    let read = |gauge: &GaugeId| {
        known.setting.seen.observed.iter().any(|o| o.terms.iter().any(|(r, g, _)| r == &run && g == gauge))
    };
    let gauges: Vec<GaugeId> = model.plant.gauge_ids().filter(|g| model.plant[*g].trips.is_none()).collect();
    let unread: Vec<GaugeId> = gauges.iter().copied().filter(|gauge| !read(gauge)).collect();
    let rated = model.plant.rated_speed;
    let been = |speed: f64| {
        let runs = known.setting.troubled.iter().map(|&run| known.setting.seen.runs[run].point.speed);
        runs.into_iter().any(|other| (other - speed).abs() < SAME * rated)
    };
    let elsewhere = SPEEDS.map(|share| share * rated).into_iter().filter(|speed| !been(*speed));
    let mut tried = vec![(told.point.speed, true)];
    tried.extend(elsewhere.map(|speed| (speed, false)));
    let mut best: Option<Telling> = None;
    for (speed, here) in tried {
        if best.is_some_and(|best| best.here && best.far >= PLAIN) {
            break;
        }
        let asked = if here { &unread } else { &gauges };
        let each: Vec<_> = group.iter().map(|one| at(model, known, one, speed, asked)).collect();
        for (a, b) in (0..each.len()).flat_map(|b| (0..b).map(move |a| (a, b))) {
            let (Some(with), Some(other)) = (&each[a], &each[b]) else { continue };
            for (x, y) in with.iter().zip(other) {
                let sigma = (0.5 * (x.sigma * x.sigma + y.sigma * y.sigma)).sqrt();
                let far = (x.value - y.value).abs() / sigma;
                // Elsewhere costs a run: it has to tell more than what can be read here.
                let better = best.is_none_or(|best| far > best.far * if best.here && !here { DEARER } else { 1.0 });
                if far >= APART && better {
                    best = Some(Telling { gauge: x.gauge, speed, here, reads: [(a, x.value), (b, y.value)], far });
                }
            }
        }
    }
    best
}

/// What these gauges would read with a cause at a speed, the rest of the operating point as it was.
fn at(model: &mut Model, known: &Known, one: &Likely, speed: f64, gauges: &[GaugeId]) -> Option<Vec<Foretold>> {
    let fit = one.weighed.fit.as_ref()?;
    let run = *known.setting.troubled.last()?;
    let point = parts::laws::Point { speed, ..fit.states[run].point };
    let mut spread = PointSpread([0.0; model::point::SIZE]);
    (spread.0[0], spread.0[1]) = (TOLD.0 * model.plant.rated_speed, TOLD.1);
    let there = Run { point, spread, warmth: Warmth::Settled, troubled: true };
    let under = look::under(model, one.hypothesis, one.weighed.at);
    model.foretell(fit, &known.setting.seen, &under, &there, gauges).ok()
}
