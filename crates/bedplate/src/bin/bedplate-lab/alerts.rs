//! Alerts on simulated vessels at sea: how much sooner a growing fault is told than by fixed limits alone, how many alerts
//! it makes, and how often a sound vessel is given one.
//!
//! The world of the demonstration, run through its day, a vessel drawn anew for each fault. A fault is drawn by how often it
//! happens among those that the gauges would show, three of four of parts and one of gauges, and grows evenly from nothing to
//! as bad as it gets over [`GROWS`]; what comes all at once comes at its beginning.

use crate::cases::label;
use ::alerts::{Alert, State};
use ::live::world::World;
use diagnosis::hypothesis::{What, cause_of};
use model::steady::Model;
use parts::kind::Severity;
use plant::evidence::Named;
use plant::plant::Plant;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use watch::watch::Watch;

/// Hours she is watched while nothing is wrong [h]: long enough to be seen at three speeds.
const SOUND: f64 = 5.0;
/// A fault grows over so long, and is then watched for so much longer [h].
const GROWS: f64 = 4.0;
const AFTER: f64 = 0.5;
/// Between two readings [s], and between two steps of a fault [s].
const READ: f64 = 15.0;
const STEP: f64 = 120.0;

/// Draws until one is of the sort that is wanted.
const PATIENCE: usize = 60;

/// Whose fault it is.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
enum Whose {
    /// A part's.
    Part,
    /// A gauge's, that lies.
    Gauge,
}

impl Whose {
    fn of(what: What) -> Whose {
        if matches!(what, What::Cause(Named::Gauge(_), _)) { Whose::Gauge } else { Whose::Part }
    }
}

/// What came of a vessel.
struct Came {
    hours: f64,
    /// Alerts given while she was sound: when [h], and which.
    falsely: Vec<(f64, String)>,
    fault: Option<Found>,
}

/// What came of a fault.
struct Found {
    what: What,
    at_once: bool,
    /// Minutes from its beginning until the first alert of any sort [min].
    ours: Option<f64>,
    /// And until the first fixed limit or alarm, with the same delays [min].
    limit: Option<f64>,
    /// Alerts that it made, and the lines that they were told in at the end.
    alerts: usize,
    lines: usize,
    /// The most lines at once.
    most: usize,
}

/// A vessel at sea, and who watches her.
struct AtSea {
    plant: Arc<Plant>,
    world: World,
    watch: Watch,
}

impl AtSea {
    fn new(plant: &Arc<Plant>, seed: usize) -> Option<AtSea> {
        let model = Model::new(plant).ok()?;
        let world = World::new(model, seed).ok()?;
        let watch = Watch::new(plant.clone(), true).ok()?;
        Some(AtSea { plant: plant.clone(), world, watch })
    }

    /// Lets time pass [s].
    fn pass(&mut self, seconds: f64) {
        let until = self.world.time() + seconds;
        while self.world.time() < until - 1e-6 {
            for reading in self.world.pass(READ.min(until - self.world.time())) {
                self.watch.take(reading);
            }
            self.watch.tick(self.world.time());
            while let Some(job) = self.watch.job() {
                self.watch.done(job.run(&self.plant));
            }
        }
    }

    /// Watches her sound, then with a fault that grows.
    fn watched(mut self, sound: f64, fault: Option<Whose>) -> Came {
        self.pass(3600.0 * sound);
        let falsely: Vec<(f64, String)> = self
            .watch
            .changes()
            .iter()
            .filter(|c| c.to == State::Unacknowledged)
            .map(|c| (c.at / 3600.0, c.key.clone()))
            .collect();
        let fault = fault.and_then(|whose| self.fault(&falsely, whose));
        Came { hours: sound, falsely, fault }
    }

    fn fault(&mut self, falsely: &[(f64, String)], whose: Whose) -> Option<Found> {
        let drawn = (0..PATIENCE).filter_map(|_| self.world.surprise()).map(|wrong| wrong.what);
        let what = drawn.into_iter().find(|what| Whose::of(*what) == whose)?;
        let at_once = cause_of(&self.plant, what)?.severity == Severity::Whole;
        self.world.mend();
        let old: BTreeSet<&str> = falsely.iter().map(|(_, key)| key.as_str()).collect();
        let began = self.world.time();
        let mut found = Found { what, at_once, ours: None, limit: None, alerts: 0, lines: 0, most: 0 };
        let mut made = BTreeSet::new();
        while self.world.time() < began + 3600.0 * (GROWS + AFTER) {
            let grown = ((self.world.time() - began + STEP) / (3600.0 * GROWS)).min(1.0);
            self.world.introduce(what, if at_once { 1.0 } else { grown });
            self.pass(STEP);
            for change in self.watch.changes() {
                // What she was given falsely before tells nothing of the fault.
                if change.to != State::Unacknowledged || old.contains(change.key.as_str()) {
                    continue;
                }
                let minutes = Some((change.at - began) / 60.0);
                found.ours = found.ours.or(minutes);
                if is_fixed(&change.key) {
                    found.limit = found.limit.or(minutes);
                }
                made.insert(change.key);
            }
            let picture = self.watch.picture();
            let new = |alert: &&Alert| made.contains(&alert.sign.key);
            let lines = picture.alerts.lines(&picture.groups);
            found.lines = lines.iter().filter(|line| line.alerts.iter().any(new)).count();
            found.most = found.most.max(found.lines);
        }
        found.alerts = made.len();
        Some(found)
    }
}

/// Watches so many drawn vessels with a fault each, and so many hours of others with none; on every core.
pub fn alerts(plant: Plant, faults: usize, seed: usize, sound: f64) -> String {
    let plant = Arc::new(plant);
    // Long watches of sound ones are cut into days.
    let days = (sound / 24.0).ceil() as usize;
    let (next, all) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..cores {
            scope.spawn(|| {
                loop {
                    let which = next.fetch_add(1, Ordering::Relaxed);
                    if which >= faults + days {
                        return;
                    }
                    let Some(at_sea) = AtSea::new(&plant, 1000 * seed + which) else { continue };
                    let whose = if which % 4 == 3 { Whose::Gauge } else { Whose::Part };
                    let came = if which < faults {
                        at_sea.watched(SOUND, Some(whose))
                    } else {
                        at_sea.watched(sound / days as f64, None)
                    };
                    eprintln!("{which}: {}", tell(&plant, &came));
                    if let Ok(mut all) = all.lock() {
                        all.push((which, came));
                    }
                }
            });
        }
    });
    let mut all = all.into_inner().unwrap_or_default();
    all.sort_by_key(|(which, _)| *which);
    report(&plant, &all.into_iter().map(|(_, came)| came).collect::<Vec<_>>())
}

/// Whether an alert is of a fixed limit or an alarm of the vessel's own.
fn is_fixed(key: &str) -> bool {
    key.contains(".limit-") || key.ends_with(".sounds")
}

fn tell(plant: &Plant, came: &Came) -> String {
    let falsely: Vec<String> = came.falsely.iter().map(|(hour, key)| format!("{key} at {hour:.1} h")).collect();
    let minutes = |m: Option<f64>| m.map_or("never".to_string(), |m| format!("{m:.0} min"));
    let fault = came.fault.as_ref().map_or(String::new(), |f| {
        format!(
            "{}{}: ours {}, limit {}, {} alerts, {} lines, {} at most",
            label(plant, f.what),
            if f.at_once { " (at once)" } else { "" },
            minutes(f.ours),
            minutes(f.limit),
            f.alerts,
            f.lines,
            f.most
        )
    });
    format!("sound {:.0} h, falsely: [{}]; {fault}", came.hours, falsely.join(", "))
}

fn report(plant: &Plant, all: &[Came]) -> String {
    let mut text = String::new();
    let hours: f64 = all.iter().map(|came| came.hours).sum();
    for (name, fixed) in [("from what is expected", false), ("from fixed limits", true)] {
        let of = |came: &Came| came.falsely.iter().filter(|(_, key)| is_fixed(key) == fixed).count();
        let falsely: usize = all.iter().map(of).sum();
        let (low, high) = poisson(falsely);
        let vessels = all.iter().filter(|came| of(came) > 0).count();
        let _ = writeln!(
            text,
            "sound, {name}: {hours:.0} h on {} vessels, {falsely} alerts on {vessels} of them, {:.1} in 1,000 h (95 %: {:.1} to {:.1})",
            all.len(),
            1000.0 * falsely as f64 / hours,
            1000.0 * low / hours,
            1000.0 * high / hours
        );
    }
    let faults: Vec<&Found> = all.iter().filter_map(|came| came.fault.as_ref()).collect();
    for (name, whose, at_once) in [
        ("parts, growing over 4 h", Whose::Part, false),
        ("parts, at once", Whose::Part, true),
        ("gauges that lie, growing over 4 h", Whose::Gauge, false),
        ("gauges that lie, at once", Whose::Gauge, true),
    ] {
        let sort = |f: &&Found| (Whose::of(f.what), f.at_once) == (whose, at_once);
        let these: Vec<&Found> = faults.iter().copied().filter(sort).collect();
        let told = these.iter().filter(|f| f.ours.is_some()).count();
        let limits = these.iter().filter(|f| f.limit.is_some()).count();
        let _ = writeln!(text, "{name}: {} faults, told of {told}, a fixed limit passed by {limits}", these.len());
        let mut gained: Vec<f64> = these.iter().filter_map(|f| Some(f.limit? - f.ours?)).collect();
        let _ = writeln!(text, "  minutes gained on the fixed limit: {}", spread(&mut gained));
        let mut alone: Vec<f64> = these.iter().filter(|f| f.limit.is_none()).filter_map(|f| f.ours).collect();
        let _ = writeln!(
            text,
            "  minutes from the beginning to the alert where no limit is ever passed: {}",
            spread(&mut alone)
        );
        let mut lines: Vec<f64> = these.iter().filter(|f| f.ours.is_some()).map(|f| f.most as f64).collect();
        let one = lines.iter().filter(|lines| **lines <= 1.0).count();
        let _ =
            writeln!(text, "  lines at most at once: {}; one alone in {one} of {}", spread(&mut lines), lines.len());
        let mut alerts: Vec<f64> = these.iter().filter(|f| f.ours.is_some()).map(|f| f.alerts as f64).collect();
        let _ = writeln!(text, "  alerts gathered in them: {}", spread(&mut alerts));
    }
    let missed: Vec<String> = faults.iter().filter(|f| f.ours.is_none()).map(|f| label(plant, f.what)).collect();
    let _ = writeln!(text, "not told of at all: {}", missed.join(", "));
    text
}

/// Least, lower quarter, middle, upper quarter, most.
fn spread(values: &mut [f64]) -> String {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| values[(share * (values.len() - 1) as f64).round() as usize];
    if values.is_empty() {
        return "none".into();
    }
    let [least, low, middle, high, most] = [0.0, 0.25, 0.5, 0.75, 1.0].map(at);
    format!("median {middle:.0} ({low:.0} to {high:.0}; {least:.0} to {most:.0}), of {}", values.len())
}

/// Between which means so many come 19 times in 20 (exact for none, by the square root for more).
fn poisson(count: usize) -> (f64, f64) {
    let n = count as f64;
    let root = |k: f64| (k.max(0.0)).sqrt();
    if count == 0 { (0.0, 3.0) } else { ((root(n) - 0.98).powi(2), (root(n + 1.0) + 0.98).powi(2)) }
}
