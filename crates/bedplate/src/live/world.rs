//! The simulated world: a vessel whose true figures nobody knows, run through a day, with what is put wrong in her.
//!
//! It marches the model's equations in time with the heat that metal and liquids store, so that coolant warms over
//! minutes and a fault develops; then every gauge shows what it shows, off by its own lasting error, by what the model
//! gets wrong at this operating point, and by flicker. Nothing but readings leaves it.

use crate::day::Day;
use crate::simulation::{FLICKER, Simulation};
use diagnosis::hypothesis::{self, What, cause_of, kind_of};
use diagnosis::lies::{self, falsified, misreads};
use diagnosis::tried;
use model::expect::{LASTING_SHARE, quasi_normal, reading_noise};
use model::steady::{Model, State, Unsolved};
use parts::kind::{Misreads, Severity, When};
use parts::laws::Point;
use plant::evidence::{Evidence, Found, Named, Renewal, RenewalResult};
use plant::plant::{GaugeId, Plant};
use watch::recent::Reading;

/// Something wrong in the world.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Wrong {
    /// What.
    pub what: What,
    /// How bad [0 to 1].
    pub severity: f64,
    /// Since when [s].
    pub at: f64,
}

/// A simulated vessel at sea.
pub struct World {
    vessel: Simulation,
    day: Day,
    state: State,
    time: f64,
    /// Figures as they are at this moment, on their way to those of what is wrong [SI].
    figures: Vec<f64>,
    wanted: Vec<f64>,
    wrong: Option<Wrong>,
    readings: usize,
    surprises: usize,
    checks: usize,
}

/// What is put wrong, or right, comes about over this time [s]: long enough to be seen coming on.
const ONSET: f64 = 60.0;
/// Longest step of the march [s].
const STEP: f64 = 15.0;
/// The model's own error changes with the operating point about so often between rest and rated speed, and with so many
/// kelvin of the sea. From memory: a pump curve or a pipe is wrong by a bend, not by a saw.
const WAVES: [f64; 2] = [0.7, 1.3];
const SEA_WAVE: f64 = 12.0;
/// Which draws are for what.
const PHASES: usize = 70_000;
const SURPRISES: usize = 80_000;
const SIDES: usize = 90_000;
/// Readings move by so many of what each is good for, taken together, where a fault matters [standard deviations]: what a
/// look a minute over eighteen gauges finds nine times in ten at a false alarm in a thousand hours.
pub const MATTERS: f64 = 6.3;
/// A surprise is at least so far from where it begins to show to as bad as it gets [1]: what only just shows at one
/// speed is nothing to practise on at another.
const PLAIN: f64 = 0.5;
/// Draws before it is given up to find a surprise.
const PATIENCE: usize = 60;

/// How far the gauges move from one state to another, all together [standard deviations of what each is good for].
pub fn moved(model: &Model, was: &State, is: &State) -> f64 {
    let dials = model.plant.gauge_ids().filter(|gauge| model.plant[*gauge].trips.is_none());
    let squares = dials.map(|gauge| {
        let read = |state| model.read(state, model.plant[gauge].tap);
        ((read(is) - read(was)) / reading_noise(&model.plant, gauge, read(was), false)).powi(2)
    });
    squares.sum::<f64>().sqrt()
}

impl World {
    /// Draws a vessel and puts her to sea, warm and at cruise.
    ///
    /// # Errors
    /// [`Unsolved`] if the drawn vessel has no state there.
    pub fn new(model: Model, seed: usize) -> Result<World, Unsolved> {
        let day = Day::of(model.plant.rated_speed, seed);
        let mut vessel = Simulation::draw(model, seed);
        let figures = vessel.figures.clone();
        let state = vessel.model.solve(&figures, &day.point(0.0), None)?;
        let wanted = figures.clone();
        Ok(World { vessel, day, state, time: 0.0, figures, wanted, wrong: None, readings: 0, surprises: 0, checks: 0 })
    }

    /// Time since she put to sea [s].
    pub fn time(&self) -> f64 {
        self.time
    }

    /// What is wrong, if anything is.
    pub fn wrong(&self) -> Option<Wrong> {
        self.wrong
    }

    /// The plant as described.
    fn plant(&self) -> &Plant {
        &self.vessel.model.plant
    }

    /// Puts something wrong; what was wrong before is mended. False if no such thing can be.
    pub fn introduce(&mut self, what: What, severity: f64) -> bool {
        let severity = severity.clamp(0.0, 1.0);
        let Some(change) = self.vessel.change_by(what, severity) else { return false };
        self.wanted = change.apply(&self.vessel.figures);
        self.wrong = Some(Wrong { what, severity, at: self.time });
        true
    }

    /// Mends all.
    pub fn mend(&mut self) {
        self.wanted.clone_from(&self.vessel.figures);
        self.wrong = None;
    }

    /// Puts something wrong by the rates at which things go wrong, among what these gauges would show, as bad as it takes
    /// or worse; `None` if nothing was found that would.
    pub fn surprise(&mut self) -> Option<Wrong> {
        let all = hypothesis::all(self.plant(), &self.vessel.model.layout, &Evidence::default());
        let causes: Vec<_> = all.into_iter().filter(|h| matches!(h.what, What::Cause(..))).collect();
        let whole: f64 = causes.iter().map(|h| h.prior).sum();
        for _ in 0..PATIENCE {
            let (pick, worse) = (self.uniform(0), self.uniform(1));
            self.surprises += 1;
            let mut left = pick * whole;
            let drawn = causes.iter().find(|h| {
                left -= h.prior;
                left < 0.0
            });
            let Some(what) = drawn.map(|h| h.what) else { continue };
            let Some(least) = self.least_that_matters(what) else { continue };
            let bad = PLAIN + (1.0 - PLAIN) * worse;
            if self.introduce(what, least + (1.0 - least) * bad) {
                return self.wrong;
            }
        }
        None
    }

    fn uniform(&self, k: usize) -> f64 {
        measure::figure::normal_below(quasi_normal(self.vessel.seed, SURPRISES + 2 * self.surprises + k))
    }

    /// Least severity at which the gauges would show a cause as she is run now.
    fn least_that_matters(&mut self, what: What) -> Option<f64> {
        let whole = cause_of(self.plant(), what)?.severity == Severity::Whole;
        if !self.matters(what, 1.0) {
            return None;
        }
        let (mut hidden, mut seen) = (0.0, 1.0);
        while !whole && seen - hidden > 0.02 {
            let middle = 0.5 * (hidden + seen);
            if self.matters(what, middle) { seen = middle } else { hidden = middle }
        }
        Some(seen)
    }

    fn matters(&mut self, what: What, severity: f64) -> bool {
        let point = self.day.point(self.time);
        let falsified = falsified(self.plant(), what);
        let lies = falsified.iter().any(|g| {
            let (low, high) = self.plant()[*g].scale;
            let reads = self.vessel.model.read(&self.state, self.plant()[*g].tap).clamp(low, high);
            let shown = self.lie(what, severity, *g, reads);
            (shown - reads).abs() > MATTERS * reading_noise(self.plant(), *g, reads, false)
        });
        if lies || !falsified.is_empty() {
            return lies;
        }
        let Some(change) = self.vessel.change_by(what, severity).filter(|change| !change.moves.is_empty()) else {
            return false;
        };
        let (figures, model) = (change.apply(&self.vessel.figures), &mut self.vessel.model);
        let Ok(sound) = model.solve(&self.vessel.figures, &point, None) else { return false };
        let Ok(troubled) = model.solve(&figures, &point, None) else { return false };
        moved(model, &sound, &troubled) > MATTERS
    }

    /// Lets so much time pass [s], and reads every gauge at the end of it.
    pub fn pass(&mut self, seconds: f64) -> Vec<Reading> {
        let mut left = seconds.max(0.0);
        while left > 1e-6 {
            let length = left.min(STEP);
            left -= length;
            self.time += length;
            self.come_about(length);
            let point = self.day.point(self.time);
            // A march that finds no step holds its breath: the next one begins from where this one stood.
            if let Ok(state) = self.vessel.model.advance(&self.state, &self.figures, &point, length) {
                self.state = state;
            }
        }
        self.read()
    }

    /// Figures move towards what is wanted of them.
    fn come_about(&mut self, length: f64) {
        let share = 1.0 - (-3.0 * length / ONSET).exp();
        for (figure, wanted) in self.figures.iter_mut().zip(&self.wanted) {
            let geometric = *figure > 1e-12 && *wanted > 1e-12;
            *figure = if geometric {
                *figure * (*wanted / *figure).powf(share)
            } else {
                *figure + (*wanted - *figure) * share
            };
        }
    }

    fn read(&mut self) -> Vec<Reading> {
        self.readings += 1;
        let gauges = self.plant().gauge_ids();
        gauges.map(|gauge| Reading { gauge, value: self.shows(gauge), at: self.time }).collect()
    }

    /// What a gauge shows at this moment [SI]; of an alarm whether it is on.
    fn shows(&self, gauge: GaugeId) -> f64 {
        let plant = self.plant();
        let lies = |wrong: Wrong| misreads(plant, wrong.what, gauge);
        if let Some((trip, when)) = plant[gauge].trips {
            let truth = self.vessel.model.read(&self.state, plant[gauge].tap);
            let on = match self.wrong.and_then(lies) {
                Some(Misreads::Silent) => false,
                Some(_) => true,
                None if when == When::High => truth > trip,
                None => truth < trip,
            };
            return f64::from(on);
        }
        let flicker = quasi_normal(self.vessel.seed, FLICKER + 1_000 * self.readings + gauge.0);
        let passing = (1.0 - LASTING_SHARE).sqrt() * self.wave(gauge);
        let shown = self.vessel.shown(&self.state, gauge, passing, flicker);
        match self.wrong {
            Some(wrong) => self.lie(wrong.what, wrong.severity, gauge, shown),
            None => shown,
        }
    }

    /// What a gauge shows when it lies.
    fn lie(&self, what: What, severity: f64, gauge: GaugeId, shown: f64) -> f64 {
        let (low, high) = self.plant()[gauge].scale;
        // A third of the scale is as far as a gauge is off before it counts as dead.
        let off = severity * (high - low) / 3.0;
        // One side for all that share the fault, each the way that its sender gives.
        let first = falsified(self.plant(), what).first().map_or(0, |first| first.0);
        let side = quasi_normal(self.vessel.seed, SIDES + first).signum() * lies::way(self.plant(), gauge);
        let lies = match misreads(self.plant(), what, gauge) {
            Some(Misreads::High) => shown + off,
            Some(Misreads::Low) => shown - off,
            Some(Misreads::Either) => shown + side * off,
            Some(Misreads::LowStop) => low,
            Some(Misreads::HighStop) => high,
            _ => shown,
        };
        lies.clamp(low, high)
    }

    /// What the model gets wrong at a gauge at this operating point and not at another: a unit variance over all of them.
    fn wave(&self, gauge: GaugeId) -> f64 {
        let Point { speed, sea, .. } = self.state.point;
        let along = speed / self.plant().rated_speed;
        let each = WAVES.iter().enumerate().map(|(k, often)| {
            let phase = quasi_normal(self.vessel.seed, PHASES + 10 * gauge.0 + k);
            (std::f64::consts::TAU * (often * along + sea / SEA_WAVE + phase)).sin()
        });
        each.sum()
    }

    /// Makes a repair: cures what was put wrong if that has the same remedy; else it was in vain, and is told.
    pub fn repair(&mut self, of: Named, cause: usize) -> Option<Renewal> {
        let repaired = What::Cause(of, cause);
        if self.wrong.is_some_and(|wrong| tried::mends(self.plant(), repaired, wrong.what) > 0.0) {
            self.mend();
            return None;
        }
        let what = cause_of(self.plant(), repaired)?.remedy.to_string();
        Some(Renewal { of, what, result: RenewalResult::NoChange })
    }

    /// Makes a check: what it shows, with its power to miss and to cry wolf.
    pub fn check(&mut self, of: Named, check: usize) -> Found {
        self.checks += 1;
        let kind = kind_of(self.plant(), of);
        let Some(made) = kind.checks.get(check) else { return Found::Clean };
        let wrong = self.wrong.map(|wrong| (wrong.what, wrong.severity));
        match self.vessel.shows(wrong, of, made, self.checks) {
            (false, _) => Found::Clean,
            (true, find) => {
                let named = find.and_then(|find| kind.causes.iter().position(|cause| cause.name == find.cause));
                named.map_or(Found::Something, Found::Cause)
            }
        }
    }
}
