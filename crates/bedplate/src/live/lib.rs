//! The live loop: readings, entries, orders and what was worked out come in one by one, pictures go out.
//!
//! One thread owns the watch and, when it is simulated, the world; what takes long is worked out on another and comes
//! back as an event. The side that watches is handed readings and nothing else of the world.
//!
//! Start with [`Live`]; `world.rs` is the simulated vessel at sea, `simulation.rs` how she is drawn, `day.rs` how she is
//! run; `aboard.rs` is a real one, `inbox.rs` what has come in of her, `hearing.rs` a wire as it is heard.

pub mod aboard;
pub mod attached;
pub mod books;
mod day;
pub mod desk;
pub mod hearing;
pub mod history;
pub mod inbox;
pub mod keeper;
#[path = "../keeping.rs"]
pub mod keeping;
pub mod kept_alerts;
pub mod papers;
pub mod shelf;
pub mod simulation;
pub mod world;

use aboard::Aboard;
use alerts::Change;

use model::steady::Model;
use plant::evidence::CheckMade;
use plant::plant::Plant;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};
use watch::job::{Job, Outcome};
use watch::picture::{Entry, Picture};
use watch::recent::Reading;
use watch::watch::{Unwatchable, Watch};
use web::{Introduced, Order, Scene, Simulated};
use world::{World, Wrong};

/// What happens, one thing at a time.
pub enum Event {
    /// A gauge was read.
    Reading(Reading),
    /// A person entered something.
    Entry(Entry),
    /// What is written down of her says this of causes.
    Kept(Vec<CheckMade>),
    /// The simulated world is told something.
    Order(Order),
    /// What came of a job.
    Outcome(Outcome),
    /// So much time has passed [s].
    Tick(f64),
}

/// Seconds that pass in one where nothing else is asked: a minute in two seconds. A fault then comes on in two seconds,
/// coolant and oil settle in twenty, and a leg of the day's plan takes one or two minutes: quick enough to watch, slow
/// enough to follow.
pub const PACE: f64 = 30.0;
/// Slowest and quickest [1].
pub const PACES: (f64, f64) = (1.0, 120.0);
/// Between two readings on the loop's own clock: four pictures a second.
const BEAT: Duration = Duration::from_millis(250);
/// However late a beat comes, no more of it passes in the world: after a machine slept, time goes on, not jumps [s].
const LATEST: f64 = 1.0;

/// A vessel and who watches her.
pub struct Live {
    watch: Watch,
    behind: Behind,
    /// Entries and orders dealt with.
    asked: u64,
}

/// Where readings come from.
enum Behind {
    /// They are made up.
    Simulated(Box<Simulator>),
    /// They are real.
    Real(Aboard),
}

/// A simulated world, and how it is run.
struct Simulator {
    world: World,
    pace: f64,
    /// What is wrong is not to be told.
    hidden: bool,
    /// Where what is read goes besides.
    keep: Option<Keep>,
}

/// Takes what was read in.
type Keep = Box<dyn Fn(&[Reading]) + Send>;

impl Behind {
    /// Lets so much time pass [s], and hands over what was read meanwhile.
    fn pass(&mut self, seconds: f64) -> Vec<Reading> {
        match self {
            Behind::Simulated(simulator) => {
                let read = simulator.world.pass(seconds * simulator.pace);
                if let Some(keep) = &simulator.keep {
                    keep(&read);
                }
                read
            }
            // It passes of itself.
            Behind::Real(aboard) => aboard.news(),
        }
    }

    /// Keeps changes of alerts; nothing of a simulated vessel is kept beyond the pages' own memory.
    fn note(&self, changes: Vec<Change>) {
        if let Behind::Real(aboard) = self {
            aboard.note(changes);
        }
    }

    /// On the clock that readings are stamped by [s].
    fn time(&self) -> f64 {
        match self {
            Behind::Simulated(simulator) => simulator.world.time(),
            Behind::Real(aboard) => aboard.time(),
        }
    }
}

impl Live {
    /// Puts a drawn vessel to sea and begins to watch her.
    ///
    /// # Errors
    /// [`Unwatchable`].
    pub fn new(plant: Arc<Plant>, seed: usize) -> Result<Live, Unwatchable> {
        let model = Model::new(&plant).map_err(|_| Unwatchable::Unready)?;
        let world = World::new(model, seed).map_err(|why| Unwatchable::NoState(why.to_string()))?;
        let watch = Watch::new(plant, true)?;
        let simulator = Simulator { world, pace: PACE, hidden: false, keep: None };
        Ok(Live { watch, behind: Behind::Simulated(Box::new(simulator)), asked: 0 })
    }

    /// Begins to watch a real vessel: on which wire each gauge is, and the alerts of an earlier run, the oldest change first.
    ///
    /// # Errors
    /// [`Unwatchable`].
    pub fn aboard(
        plant: Arc<Plant>,
        aboard: Aboard,
        wires: Vec<Option<String>>,
        history: &[Change],
    ) -> Result<Live, Unwatchable> {
        let mut watch = Watch::new(plant, false)?;
        watch.on_wires(wires);
        watch.resume(aboard.time(), history);
        Ok(Live { watch, behind: Behind::Real(aboard), asked: 0 })
    }

    /// Sets how many seconds pass in one [1].
    #[must_use]
    pub fn at_pace(mut self, pace: f64) -> Live {
        self.handle(Event::Order(Order::Pace(pace)));
        self
    }

    /// What is read of a simulated vessel goes there too.
    #[must_use]
    pub fn keeping(mut self, keep: impl Fn(&[Reading]) + Send + 'static) -> Live {
        if let Behind::Simulated(simulator) = &mut self.behind {
            simulator.keep = Some(Box::new(keep));
        }
        self
    }

    /// Takes one event in.
    pub fn handle(&mut self, event: Event) {
        match event {
            Event::Reading(reading) => self.watch.take(reading),
            Event::Entry(entry) => {
                self.watch.enter(entry);
                self.asked += 1;
            }
            Event::Kept(kept) => self.watch.written_down(kept),
            Event::Order(order) => {
                self.obey(order);
                self.asked += 1;
            }
            Event::Outcome(outcome) => self.watch.done(outcome),
            Event::Tick(seconds) => {
                for reading in self.behind.pass(seconds) {
                    self.handle(Event::Reading(reading));
                }
                self.watch.tick(self.behind.time());
                let changes = self.watch.changes();
                self.behind.note(changes);
            }
        }
    }

    /// What is ordered of a simulator; nobody orders anything of a real vessel.
    fn obey(&mut self, order: Order) {
        let Behind::Simulated(simulator) = &mut self.behind else { return };
        match order {
            Order::Fault { what, severity } => {
                simulator.world.introduce(what, severity);
                simulator.hidden = false;
            }
            Order::Surprise => {
                simulator.world.surprise();
                simulator.hidden = true;
            }
            Order::Reveal => simulator.hidden = false,
            Order::Mend => simulator.world.mend(),
            Order::Check { of, check } => {
                let found = simulator.world.check(of, check);
                self.watch.enter(Entry::Checked { of, check, found });
            }
            Order::Repair { of, cause } => {
                if let Some(in_vain) = simulator.world.repair(of, cause) {
                    self.watch.enter(Entry::Repaired(in_vain));
                }
            }
            Order::Pace(pace) if pace.is_finite() => simulator.pace = pace.clamp(PACES.0, PACES.1),
            Order::Pace(_) => {}
        }
    }

    /// The next thing to work out, if nothing is being worked out.
    pub fn job(&mut self) -> Option<Job> {
        self.watch.job()
    }

    /// The picture as it is now.
    pub fn picture(&mut self) -> Arc<Picture> {
        self.watch.picture()
    }

    /// The same with what stands behind it: what the simulator's own page may know, or wires and store.
    pub fn scene(&mut self) -> Scene {
        let (simulated, aboard) = match &mut self.behind {
            Behind::Simulated(simulator) => {
                let hidden = simulator.hidden;
                let wrong = simulator.world.wrong();
                let wrong = wrong.map(|Wrong { what, severity, at }| Introduced { what, severity, at, hidden });
                (Some(Simulated { pace: simulator.pace, wrong }), None)
            }
            Behind::Real(aboard) => (None, Some(aboard.told())),
        };
        Scene { picture: self.picture(), simulated, aboard, asked: self.asked }
    }

    /// On the clock that readings are stamped by [s].
    pub fn time(&self) -> f64 {
        self.behind.time()
    }

    /// Draws something that could go wrong and puts it wrong; nothing in a real vessel.
    pub fn surprise(&mut self) -> Option<Wrong> {
        match &mut self.behind {
            Behind::Simulated(simulator) => simulator.world.surprise(),
            Behind::Real(_) => None,
        }
    }

    /// Seconds that pass in one [1].
    fn pace(&self) -> f64 {
        match &self.behind {
            Behind::Simulated(simulator) => simulator.pace,
            Behind::Real(_) => 1.0,
        }
    }
}

/// Runs until everybody who could send an event is gone or `show` has had enough: on the caller's thread, with another
/// one for jobs. `show` is handed the scene after every beat and after every other event.
pub fn run(mut live: Live, events: &Receiver<Event>, mut show: impl FnMut(Scene) -> bool) {
    let plant = live.picture().plant.clone();
    let (jobs, outcomes) = worker(plant);
    let mut beat = Instant::now();
    loop {
        if let Some(job) = live.job()
            && jobs.send(job).is_err()
        {
            return;
        }
        let event = if let Ok(outcome) = outcomes.try_recv() {
            Event::Outcome(outcome)
        } else {
            match events.recv_timeout(BEAT.saturating_sub(beat.elapsed())) {
                Ok(event) => event,
                Err(RecvTimeoutError::Timeout) => {
                    let passed = beat.elapsed().as_secs_f64().min(LATEST);
                    beat = Instant::now();
                    Event::Tick(passed)
                }
                Err(RecvTimeoutError::Disconnected) => return,
            }
        };
        live.handle(event);
        if !show(live.scene()) {
            return;
        }
    }
}

/// A thread that does jobs one at a time; it ends when nobody sends any.
fn worker(plant: Arc<Plant>) -> (Sender<Job>, Receiver<Outcome>) {
    let (jobs, todo) = channel::<Job>();
    let (done, outcomes) = channel();
    thread::spawn(move || {
        for job in todo {
            if done.send(job.run(&plant)).is_err() {
                return;
            }
        }
    });
    (jobs, outcomes)
}

/// Lets so much time pass in the world [s], as fast as it can, with a reading every `every` [s] and each job done by
/// `work` before time goes on; `see` is handed the picture whenever causes were weighed.
pub fn as_fast_as_it_can(
    live: &mut Live,
    seconds: f64,
    every: f64,
    work: &mut dyn FnMut(&Job, &Plant) -> Outcome,
    see: &mut dyn FnMut(&Arc<Picture>),
) {
    let until = live.time() + seconds;
    let plant = live.picture().plant.clone();
    while live.time() < until - 1e-6 {
        let tick = every.min(until - live.time()) / live.pace();
        live.handle(Event::Tick(tick));
        while let Some(job) = live.job() {
            let outcome = work(&job, &plant);
            let weighed = matches!(outcome, Outcome::Weighed(Some(_)));
            live.handle(Event::Outcome(outcome));
            if weighed {
                see(&live.picture());
            }
        }
    }
}
