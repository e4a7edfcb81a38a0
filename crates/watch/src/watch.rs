//! The watch: readings and entries in, pictures and jobs out.

use crate::attention::{Attention, Look};
use crate::escape::Unseen;
use crate::helm::{self, Helm};
use crate::job::{Job, Outcome};
use crate::picture::{Entry, Explained, Gauged, Picture, Shown, Steadiness};
use crate::recent::{Reading, Recent, STALE, WINDOW};
use crate::snapshot::{Judged, Snapshot, said_on};
use crate::story::Story;
use alerts::Change;
use diagnosis::act::{Act, act};
use diagnosis::hypothesis::What;
use measure::reading::{Mark, ReadingText};
use model::steady::Model;
use plant::evidence::{CheckMade, Evidence, Moment, Occasion, ToldPoint};
use plant::plant::{GaugeId, Plant};
use std::sync::Arc;

/// Watches one plant.
pub struct Watch {
    plant: Arc<Plant>,
    helm: Helm,
    /// Where each gauge of a sound plant reads at any speed [SI].
    reach: Arc<[(f64, f64)]>,
    recent: Recent,
    story: Story,
    attention: Attention,
    now: f64,
    number: u64,
    simulated: bool,
    steadiness: Steadiness,
    since: f64,
    /// Where it was last steady, if it has been left there since.
    kept_at: Option<ToldPoint>,
    looked: f64,
    bands: Option<Bands>,
    unseen: Option<Unseen>,
    explained: Option<Arc<Explained>>,
    /// What is being worked out at this moment.
    out: Option<Out>,
}

/// Bands and what they were worked out for.
struct Bands {
    told: ToldPoint,
    usual: usize,
    expected: Option<Arc<model::expect::Expected>>,
}

#[derive(Copy, Clone, PartialEq)]
enum Out {
    Bands,
    Weigh,
    Escapes,
    Shows,
}

/// Why a plant cannot be watched.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unwatchable {
    /// Its equations have no structure that can be solved.
    #[error("the plant's equations have no structure that can be solved")]
    Unready,
    /// It has no state to begin from.
    #[error("{0}")]
    NoState(String),
}

/// Time between two looks at a plant that keeps still [s].
const LOOK: f64 = 75.0;
/// While a plant that is left alone moves of itself, its still gauges are judged over this time [s].
const EARLY: f64 = 120.0;
/// The helm's own average [s].
const HELM: f64 = 60.0;
/// Bands are shown as long as the plant is run this close to where they hold: share of rated speed [1], and [K].
const SHOWN_SPEED: f64 = 0.03;
const SHOWN_SEA: f64 = 1.5;
const SHOWN_PITCH: f64 = 0.04;
/// All drifts together beyond their mean by so many of their standard deviations are a movement; once it is steady,
/// more of them are needed, so that it does not flap.
const STARTS: f64 = 3.0;
const ENDS: f64 = 6.0;

impl Watch {
    /// Begins to watch a plant of which nothing was read yet.
    ///
    /// # Errors
    /// [`Unwatchable`].
    pub fn new(plant: Arc<Plant>, simulated: bool) -> Result<Watch, Unwatchable> {
        let mut model = Model::new(&plant).map_err(|_| Unwatchable::Unready)?;
        let helm = Helm::of(&mut model).map_err(|why| Unwatchable::NoState(why.to_string()))?;
        Ok(Watch {
            recent: Recent::new(plant.gauges.len()),
            attention: Attention::of(&plant),
            plant,
            helm,
            reach: helm::reach(&mut model).unwrap_or_default().into(),
            story: Story::default(),
            now: f64::NEG_INFINITY,
            number: 0,
            simulated,
            steadiness: Steadiness::Unknown,
            since: 0.0,
            kept_at: None,
            looked: f64::NEG_INFINITY,
            bands: None,
            unseen: None,
            explained: None,
            out: None,
        })
    }

    /// Takes a reading in, as the gauge shows it; one of no gauge, out of order or that is no number is passed over.
    pub fn take(&mut self, mut reading: Reading) {
        if let Some(gauge) = self.plant.gauges.get(reading.gauge.0) {
            reading.value = gauge.corrected(reading.value);
        }
        if self.recent.take(reading) {
            self.now = self.now.max(reading.at);
        }
    }

    /// Takes in what a person entered.
    pub fn enter(&mut self, entry: Entry) {
        match entry {
            Entry::Alert(deed) => self.attention.act(&deed),
            other => self.story.enter(other),
        }
    }

    /// Says which wire each gauge is on, where that is known: one that falls silent as a whole is one alert.
    pub fn on_wires(&mut self, wires: Vec<Option<String>>) {
        self.attention.on_wires(wires);
    }

    /// What is written down of her says this of causes.
    pub fn written_down(&mut self, kept: Vec<CheckMade>) {
        self.story.written_down(kept);
    }

    /// Takes up the alerts of an earlier run from their history, the oldest change first. It is now this late [s].
    pub fn resume(&mut self, at: f64, history: &[Change]) {
        self.attention.resume(at, history);
    }

    /// Changes of alerts since this was last asked, in order: each is to be kept.
    pub fn changes(&mut self) -> Vec<Change> {
        self.attention.changes()
    }

    /// It is now this late [s]: looks at the plant if it is time to.
    pub fn tick(&mut self, at: f64) {
        self.now = self.now.max(at);
        let told = self.helm.told(&self.recent, self.now, HELM);
        self.settle(told.as_ref());
        self.keep(told.as_ref());
        if self.now - self.looked >= LOOK {
            self.look();
        }
        let (plant, recent, story, explained) = (&self.plant, &self.recent, &self.story, self.explained.as_deref());
        // The clock as it is: alerts bear its being put back.
        self.attention.look(&Look { plant, recent, story, explained, now: self.now, looked: self.looked }, at);
    }

    /// Whether it keeps still.
    fn settle(&mut self, told: Option<&ToldPoint>) {
        let was = self.steadiness;
        let kind = match told.and_then(|told| told.speed) {
            None => Steadiness::Unknown,
            Some(speed) if speed < 1.0 => Steadiness::Stopped,
            Some(_) if self.still(if matches!(was, Steadiness::Steady(_)) { ENDS } else { STARTS }) => {
                Steadiness::Steady(0.0)
            }
            Some(_) => Steadiness::Settling(0.0),
        };
        if std::mem::discriminant(&kind) != std::mem::discriminant(&was) {
            // It has kept still over the window that says so.
            self.since = if kind == Steadiness::Steady(0.0) { self.now - WINDOW } else { self.now };
        }
        let long = self.now - self.since;
        self.steadiness = match kind {
            Steadiness::Steady(_) => Steadiness::Steady(long),
            Steadiness::Settling(_) => Steadiness::Settling(long),
            other => other,
        };
    }

    /// Whether all gauges together drift no further than flicker does.
    fn still(&self, limit: f64) -> bool {
        let gauges = self.plant.gauge_ids().filter(|g| self.plant[*g].trips.is_none());
        let fresh: Vec<GaugeId> = gauges.filter(|g| self.recent.fresh(*g, self.now).is_some()).collect();
        let drifts: Vec<_> =
            fresh.iter().filter_map(|g| self.recent.drift(&self.plant, *g, self.now, WINDOW)).collect();
        let count = drifts.len() as f64;
        let sum: f64 = drifts.iter().map(|drift| drift.score * drift.score).sum();
        drifts.len() == fresh.len()
            && !fresh.is_empty()
            && drifts.iter().all(|drift| drift.still())
            && sum < count + limit * (2.0 * count).sqrt()
    }

    /// Whether the helm has been left where the plant was last steady.
    fn keep(&mut self, told: Option<&ToldPoint>) {
        match (self.steadiness, told) {
            (Steadiness::Steady(_), Some(told)) => self.kept_at = Some(told.clone()),
            (_, Some(told)) if self.kept_at.as_ref().is_some_and(|kept| self.near(kept, told)) => {}
            _ => self.kept_at = None,
        }
    }

    fn near(&self, a: &ToldPoint, b: &ToldPoint) -> bool {
        let within = |a: Option<f64>, b: Option<f64>, width: f64| a.zip(b).is_none_or(|(a, b)| (a - b).abs() < width);
        within(a.speed, b.speed, SHOWN_SPEED * self.plant.rated_speed)
            && within(a.pitch, b.pitch, SHOWN_PITCH)
            && within(a.sea, b.sea, SHOWN_SEA)
            && a.load == b.load
    }

    /// Holds the plant against its bands, if it keeps still or moves of itself while it is left alone.
    fn look(&mut self) {
        let Some(span) = self.span() else { return };
        let Some(snapshot) = Snapshot::take(&self.plant, &self.helm, &self.recent, self.now, span) else { return };
        let Some(expected) = self.current(&snapshot.told).and_then(|bands| bands.expected.clone()) else { return };
        self.looked = self.now;
        self.story.look(&self.plant, Judged::of(snapshot, &expected));
    }

    /// Over how long the plant can be judged now [s].
    fn span(&self) -> Option<f64> {
        match self.steadiness {
            Steadiness::Steady(_) => Some(WINDOW),
            Steadiness::Settling(_) => {
                self.kept_at.as_ref()?;
                self.helm.still(&self.plant, &self.recent, self.now, EARLY).then_some(EARLY)
            }
            Steadiness::Unknown | Steadiness::Stopped => None,
        }
    }

    /// The bands, if they hold at this point and rest on all that is remembered.
    fn current(&self, told: &ToldPoint) -> Option<&Bands> {
        let usual = self.story.usual().len();
        self.bands.as_ref().filter(|bands| helm::same(&self.plant, &bands.told, told) && bands.usual == usual)
    }

    /// The next thing to work out, one at a time; hand back what comes of it with [`Watch::done`].
    pub fn job(&mut self) -> Option<Job> {
        if self.out.is_some() {
            return None;
        }
        let told = self.helm.told(&self.recent, self.now, self.span().unwrap_or(HELM));
        let (out, job) = if let Some(job) = told.as_ref().and_then(|told| self.bands_job(told)) {
            (Out::Bands, job)
        } else if let Some(job) = self.shows_job() {
            (Out::Shows, job)
        } else if self.story.due() {
            let evidence = self.story.evidence(&self.plant, told.as_ref());
            self.story.begin(self.now);
            let expected = self.bands.as_ref().and_then(|bands| bands.expected.clone());
            (Out::Weigh, Job::Weigh { evidence, at: self.now, expected })
        } else {
            let expected = self.bands.as_ref().and_then(|bands| bands.expected.clone());
            let expected =
                expected.filter(|_| self.unseen.is_none() && matches!(self.steadiness, Steadiness::Steady(_)))?;
            (Out::Escapes, Job::Escapes { expected })
        };
        self.out = Some(out);
        Some(job)
    }

    /// Bands are wanted once the helm is left alone somewhere they do not hold.
    fn bands_job(&self, told: &ToldPoint) -> Option<Job> {
        let turning = told.speed.is_some_and(|speed| speed > 1.0);
        let steered = matches!(self.steadiness, Steadiness::Steady(_))
            || self.bands.is_none()
            || self.helm.still(&self.plant, &self.recent, self.now, EARLY);
        if !turning || !steered || self.current(told).is_some() {
            return None;
        }
        let usual = self.story.usual().iter().map(|s| s.occasion(&self.plant, Moment::Usual)).collect();
        Some(Job::Bands { told: told.clone(), usual: Evidence { occasions: usual, ..Evidence::default() } })
    }

    /// In trouble, and nothing odd at another speed: would the likeliest cause show here?
    fn shows_job(&self) -> Option<Job> {
        if !self.story.in_doubt() {
            return None;
        }
        let ranked = &self.explained.as_ref()?.answer.ranked;
        let top = ranked.iter().find(|ranked| matches!(ranked.what, What::Cause(..)))?;
        let expected = self.bands.as_ref()?.expected.clone()?;
        Some(Job::Shows { what: top.what, severity: top.severity, expected })
    }

    /// Takes in what came of the last job.
    pub fn done(&mut self, outcome: Outcome) {
        self.out = None;
        match outcome {
            Outcome::Bands { told, usual, expected } => {
                self.bands = Some(Bands { told, usual, expected });
                self.unseen = None;
            }
            Outcome::Weighed(Some(mut explained)) => {
                if self.story.concluded(&self.plant, explained.well()) {
                    let was = self.explained.as_ref().and_then(|was| was.named(&self.plant));
                    Arc::make_mut(&mut explained).held = was;
                    self.explained = Some(explained);
                }
            }
            Outcome::Weighed(None) => {}
            Outcome::Shows(would) => self.story.resolve(would),
            Outcome::Escapes(unseen) => self.unseen = Some(unseen),
        }
    }

    /// Gauges that have departed from what a sound plant would show, look after look.
    pub fn departed(&self) -> &[GaugeId] {
        self.story.departed()
    }

    /// The picture as it is now.
    pub fn picture(&mut self) -> Arc<Picture> {
        self.number += 1;
        let told = self.helm.told(&self.recent, self.now, HELM);
        let bands = self.bands.as_ref().filter(|bands| told.as_ref().is_some_and(|told| self.near(&bands.told, told)));
        let expected = bands.and_then(|bands| bands.expected.clone());
        let gauges = (0..self.plant.gauges.len()).map(|g| self.gauged(GaugeId(g), expected.as_deref())).collect();
        Arc::new(Picture {
            plant: self.plant.clone(),
            number: self.number,
            at: self.now.max(0.0),
            simulated: self.simulated,
            point: told.map(|told| model::point::told(&self.plant, &told).0),
            steadiness: self.steadiness,
            gauges,
            reach: self.reach.clone(),
            expected,
            alerts: self.attention.board(),
            groups: self.attention.groups(),
            history: self.attention.history(),
            act: self.act(),
            explained: self.explained.clone(),
            weighing: self.out == Some(Out::Weigh),
            suspected: self.story.suspects(),
            said: self.story.entered().to_vec(),
            checks: self.story.checks().to_vec(),
            repairs: self.story.repairs().to_vec(),
            situation: self.story.situation(self.helm.told(&self.recent, self.now, STALE).as_ref()),
            unseen: self.unseen.clone().unwrap_or_default(),
        })
    }

    fn gauged(&self, gauge: GaugeId, expected: Option<&model::expect::Expected>) -> Gauged {
        let reading = self.recent.last(gauge).map(|(at, value)| Shown { value, at });
        let band = expected.filter(|_| self.plant[gauge].trips.is_none()).and_then(|e| e.bands.get(gauge.0));
        Gauged { gauge, reading, band: band.copied() }
    }

    /// What to do this minute: from the last readings as they are, steady or not, from alarms and from what was said.
    fn act(&self) -> Vec<Act> {
        let speed = self.helm.told(&self.recent, self.now, STALE).and_then(|told| told.speed);
        let fresh = |g: GaugeId| self.recent.fresh(g, self.now).map(|value| (g, value));
        let all: Vec<(GaugeId, f64)> = self.plant.gauge_ids().filter_map(fresh).collect();
        let (alarms, gauges): (Vec<_>, Vec<_>) = all.into_iter().partition(|(g, _)| self.plant[*g].trips.is_some());
        let text = |value| ReadingText::Value { value, mark: Mark::Steady, rough: false };
        let on = alarms.iter().filter(|(_, value)| *value > 0.5).filter_map(|(g, _)| said_on(&self.plant, *g));
        let occasion = Occasion {
            when: Moment::Now,
            at: ToldPoint { speed, ..ToldPoint::default() },
            readings: gauges.into_iter().map(|(g, value)| (g, text(value))).collect(),
            said: on.chain(self.story.said()).collect(),
            not: Vec::new(),
            nothing_else: false,
        };
        act(&self.plant, &Evidence { occasions: vec![occasion], ..Evidence::default() })
    }
}
