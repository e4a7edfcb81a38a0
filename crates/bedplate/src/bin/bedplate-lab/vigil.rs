//! Long hours at sea on many vessels, watched by the watch itself: how often a sound one is accused, and whether what matters is
//! found. An alarm is a gauge that has departed from its band, look after look; beside it stands what the odds alone would do.
//!
//! The world is quick: from one steady state to the next with speed, sea, air and load, nothing marched in between; the gauges'
//! errors last, the model's wander with the operating point, flicker is new at every reading. What the watch has asked before
//! (bands at this point, odds on much the same readings) is answered from memory.

use crate::chance::Chance;
use crate::faults::{Fault, Faults};
use crate::memory::Memory;
use crate::world::{AS_BELIEVED, Vessel, dials};
use diagnosis::hypothesis::What;
use model::expect::Expected;
use model::steady::{Model, State};
use parts::kind::When;
use parts::laws::Point;
use plant::plant::{GaugeId, Plant};
use std::fmt::Write as _;
use std::sync::Arc;
use watch::job::Outcome as Done;
use watch::recent::Reading;
use watch::watch::Watch;

/// Legs of a day, over and over: how long [s], share of rated speed, load.
const LEGS: [(f64, f64, f64); 6] = [
    (4800.0, 0.85, 1.0),
    (3000.0, 0.65, 1.0),
    (2400.0, 0.95, 1.0),
    (2700.0, 0.53, 1.0),
    (1800.0, 0.40, 0.0),
    (3300.0, 0.75, 1.0),
];
/// Between two readings, and between two states [s].
const READ: f64 = 30.0;
const MOVE: f64 = 300.0;
/// Time a fault is given to be found [s].
const GIVEN: f64 = 3.0 * 3600.0;
/// A fault matters where it moves one gauge by so many standard deviations of its band, as wide as it is by then: what is found
/// nine times in ten by a watch that lets a gauge be off by five.
const MATTERS: f64 = 6.3;
/// Chances of all being well at which an alarm might be given [1]; the watch's own is the first.
pub const THRESHOLDS: [f64; 5] = [0.5, 0.2, 0.1, 0.03, 0.01];

/// What came of one vessel.
pub struct Watched {
    /// Hours sound [h].
    pub hours: f64,
    /// Times that the chance of all being well fell below each threshold while she was sound.
    pub alarms: [usize; THRESHOLDS.len()],
    /// Every time that a gauge departed while she was sound, in words.
    pub departures: Vec<String>,
    /// Odds worked out, and answered from memory.
    pub weighed: [usize; 2],
    /// What was then put wrong, as bad as matters.
    pub fault: Option<Outcome>,
}

/// What came of a fault.
pub struct Outcome {
    /// Which.
    pub what: What,
    /// How bad [1].
    pub severity: f64,
    /// Minutes until a gauge departed [min].
    pub departed: Option<f64>,
    /// The least chance of all being well that was told of it [1].
    pub least: f64,
}

/// What is heard of the watch.
enum Heard {
    /// The chance that all is well.
    Well(f64),
    /// Whether any gauge has departed.
    Departed(Option<String>),
}

/// A vessel at sea.
struct AtSea<'a> {
    model: &'a mut Model,
    chance: &'a mut Chance,
    vessel: Vessel,
    figures: Vec<f64>,
    fault: Option<Fault>,
    watch: Watch,
    memory: Memory,
    plant: Arc<Plant>,
    time: f64,
    sea: f64,
    phases: [f64; 3],
    state: State,
    /// What each gauge shows without flicker [SI].
    shows: Vec<f64>,
}

/// Watches a drawn vessel for so many hours, then puts something wrong that matters. Departures need no odds but those of
/// readings that are nothing odd: with `departures_only` no others are worked out, in a third of the time.
pub fn watch(
    model: &mut Model,
    faults: &Faults,
    hours: f64,
    departures_only: bool,
    chance: &mut Chance,
) -> Option<Watched> {
    let plant = Arc::new(model.plant.clone());
    let vessel = Vessel::draw(model, AS_BELIEVED, chance);
    let watch = Watch::new(plant.clone(), false).ok()?;
    let (sea, phases) = (288.15 + 3.0 * chance.normal().clamp(-2.0, 2.0), [0.0; 3].map(|_: f64| chance.uniform()));
    let point = point(0.0, sea, phases, plant.rated_speed);
    let state = model.solve(&vessel.parameters, &point, None).ok()?;
    let figures = vessel.parameters.clone();
    let mut memory = Memory::default();
    memory.of_plain_only = departures_only;
    let mut at_sea = AtSea {
        model,
        chance,
        vessel,
        figures,
        fault: None,
        watch,
        memory,
        plant,
        time: 0.0,
        sea,
        phases,
        state,
        shows: Vec::new(),
    };
    let (mut alarms, mut was) = ([0; THRESHOLDS.len()], 1.0);
    let (mut departures, mut gone) = (Vec::new(), false);
    at_sea.run(3600.0 * hours, &mut |_, heard| match heard {
        Heard::Well(well) => {
            for (count, threshold) in alarms.iter_mut().zip(THRESHOLDS) {
                *count += usize::from(well < threshold && was >= threshold);
            }
            was = well;
        }
        Heard::Departed(what) => {
            let again = gone;
            gone = what.is_some();
            departures.extend(what.filter(|_| !again));
        }
    });
    let fault = at_sea.put_wrong(faults).map(|(what, severity)| {
        let (mut least, mut departed) = (1.0_f64, None);
        at_sea.run(GIVEN, &mut |minutes, heard| match heard {
            Heard::Well(well) => least = least.min(well),
            Heard::Departed(what) => departed = departed.or(what.map(|_| minutes)),
        });
        Outcome { what, severity, departed, least }
    });
    Some(Watched { hours, alarms, departures, weighed: at_sea.memory.weighed, fault })
}

/// Where she is run after so long [s]: sea and air swing with the hours, weather takes and gives a little load.
fn point(time: f64, sea: f64, phases: [f64; 3], rated: f64) -> Point<f64> {
    let whole: f64 = LEGS.iter().map(|leg| leg.0).sum();
    let mut left = time % whole;
    let leg = LEGS.iter().find(|leg| {
        left -= leg.0;
        left < 0.0
    });
    let (_, share, load) = *leg.unwrap_or(&LEGS[0]);
    let swing = |k: usize, hours: f64| (std::f64::consts::TAU * (time / 3600.0 / hours + phases[k])).sin();
    let sea = sea + 0.6 * swing(0, 9.0);
    let (air, load) = (sea + 3.0 + 2.0 * swing(1, 24.0), load * (1.0 + 0.04 * swing(2, 5.0)));
    Point { speed: share * rated, load, sea, air, atmosphere: 101_325.0, pitch: 1.0 }
}

impl AtSea<'_> {
    /// Lets so much time pass [s]; `told` hears of every look, after so many minutes.
    fn run(&mut self, seconds: f64, told: &mut dyn FnMut(f64, Heard)) {
        let (since, until) = (self.time, self.time + seconds);
        let mut moved = f64::NEG_INFINITY;
        while self.time < until {
            self.time += READ;
            if self.time - moved >= MOVE {
                moved = self.time;
                self.move_on();
            }
            self.read();
            self.watch.tick(self.time);
            while let Some(job) = self.watch.job() {
                let outcome = self.memory.answer(&self.plant, &job);
                let weighed = matches!(outcome, Done::Weighed(Some(_)));
                self.watch.done(outcome);
                if weighed && let Some(explained) = &self.watch.picture().explained {
                    told((self.time - since) / 60.0, Heard::Well(explained.well()));
                }
            }
            let departed = self.watch.departed().first().map(|gauge| self.in_words(*gauge));
            told((self.time - since) / 60.0, Heard::Departed(departed));
        }
    }

    /// A gauge that has departed, with what it shows and how far out that is.
    fn in_words(&self, gauge: GaugeId) -> String {
        let (hours, share) = (self.time / 3600.0, self.state.point.speed / self.plant.rated_speed);
        let (name, shows) = (&self.plant[gauge].name, self.shows[gauge.0]);
        format!("{name} shows {shows:.4} after {hours:.1} h, at {share:.2} of rated speed")
    }

    /// The next steady state, and what every gauge shows there.
    fn move_on(&mut self) {
        let point = point(self.time, self.sea, self.phases, self.plant.rated_speed);
        if let Ok(state) = self.model.solve(&self.figures, &point, Some(&self.state)) {
            self.state = state;
        }
        self.shows = self.vessel.shows(self.model, &self.state);
        if let Some(fault) = &self.fault {
            fault.falsify(&self.plant, &mut self.shows);
        }
    }

    fn read(&mut self) {
        for (gauge, shows) in self.plant.gauge_ids().zip(&self.shows) {
            let own = &self.plant[gauge];
            let value = match own.trips {
                Some((trip, when)) => {
                    let truth = self.model.read(&self.state, own.tap);
                    f64::from(if when == When::High { truth > trip } else { truth < trip })
                }
                None => (shows + own.noise * self.chance.normal()).clamp(own.scale.0, own.scale.1),
            };
            self.watch.take(Reading { gauge, value, at: self.time });
        }
    }

    /// Puts something wrong that these gauges show, just as bad as matters; nothing if none was found, or no bands hold here.
    fn put_wrong(&mut self, faults: &Faults) -> Option<(What, f64)> {
        let expected = self.watch.picture().expected.clone()?;
        for _ in 0..60 {
            let mut fault = faults.draw(self.chance);
            let gauges: Vec<_> = dials(&self.plant).collect();
            if fault.what != fault.acts || !fault.acts_on(&self.plant, &gauges) {
                continue;
            }
            let Some(bad) = self.least_that_matters(&mut fault, &expected) else { continue };
            let what = fault.what;
            self.figures = fault.worsen(&self.vessel.parameters);
            self.fault = Some(fault);
            return Some((what, bad));
        }
        None
    }

    /// How bad it must be to matter as she is run now; sets it so.
    fn least_that_matters(&mut self, fault: &mut Fault, expected: &Expected) -> Option<f64> {
        fault.set_bad(1.0);
        if self.moves(fault, expected)? < MATTERS {
            return None;
        }
        let (mut hidden, mut seen) = (0.0, 1.0);
        while fault.is_graded() && seen - hidden > 0.01 {
            let middle = 0.5 * (hidden + seen);
            fault.set_bad(middle);
            if self.moves(fault, expected)? < MATTERS { hidden = middle } else { seen = middle }
        }
        fault.set_bad(seen);
        Some(seen)
    }

    /// How far it would move one gauge on its dial at most [standard deviations of its band].
    fn moves(&mut self, fault: &Fault, expected: &Expected) -> Option<f64> {
        let sound = self.model.solve(&self.vessel.parameters, &self.state.point, Some(&self.state)).ok()?;
        let worse = fault.worsen(&self.vessel.parameters);
        let state = self.model.solve(&worse, &self.state.point, Some(&sound)).ok()?;
        let honest_before = self.vessel.shows(self.model, &sound);
        let mut shows = self.vessel.shows(self.model, &state);
        fault.falsify(&self.plant, &mut shows);
        let moved = |gauge: GaugeId| {
            let (low, high) = self.plant[gauge].scale;
            let change = shows[gauge.0].clamp(low, high) - honest_before[gauge.0].clamp(low, high);
            let band = &expected.bands[gauge.0];
            band.off(band.value + change).abs()
        };
        Some(dials(&self.plant).map(moved).fold(0.0, f64::max))
    }
}

/// Sums over vessels, in words.
pub fn report(plant: &Plant, list: &[Watched], departures_only: bool) -> String {
    let hours: f64 = list.iter().map(|w| w.hours).sum();
    let given: Vec<&Outcome> = list.iter().filter_map(|w| w.fault.as_ref()).collect();
    let weighed = |k: usize| list.iter().map(|w| w.weighed[k]).sum::<usize>();
    let mut text = format!(
        "{} vessels, {hours:.0} h sound; odds worked out {} times, from memory {}; {} faults that matter\n",
        list.len(),
        weighed(0),
        weighed(1),
        given.len()
    );
    let mut line = |what: &str, alarms: &dyn Fn(&Watched) -> usize, found: &dyn Fn(&Outcome) -> bool| {
        let (count, vessels) = (list.iter().map(alarms).sum::<usize>(), list.iter().filter(|w| alarms(w) > 0).count());
        let found = given.iter().filter(|outcome| found(outcome)).count();
        let (low, high) = crate::cases::wilson(found, given.len().max(1));
        let _ = writeln!(
            text,
            "  {what}: {count} false alarms on {vessels} vessels, {:.2} in 1,000 h; {:.1} % found ({:.1} to {:.1})",
            1000.0 * count as f64 / hours.max(1e-9),
            100.0 * found as f64 / given.len().max(1) as f64,
            100.0 * low,
            100.0 * high
        );
    };
    line("a gauge departs", &|w| w.departures.len(), &|outcome| outcome.departed.is_some());
    for (k, threshold) in THRESHOLDS.iter().enumerate().filter(|_| !departures_only) {
        line(&format!("all is well under {threshold}"), &|w| w.alarms[k], &|outcome| outcome.least < *threshold);
    }
    for (k, one) in list.iter().enumerate() {
        for departure in &one.departures {
            let _ = writeln!(text, "  vessel {k}, sound: {departure}");
        }
    }
    for one in &given {
        let when = one.departed.map_or("never".into(), |minutes| format!("after {minutes:.0} min"));
        let what = crate::cases::label(plant, one.what);
        let least = if departures_only { String::new() } else { format!(", well at least {:.3}", one.least) };
        let _ = writeln!(text, "  {what} at {:.2}: departs {when}{least}", one.severity);
    }
    text
}
