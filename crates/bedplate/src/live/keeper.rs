//! What is heard goes to the disk: gathered for a moment, given to the store, counted once it is safe.

use crate::inbox::ToKeep;
use crate::keeping::Keeping;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::thread;
use std::time::{Duration, Instant};
use store::{Arrival, Event, Reading, StoreError};

/// Readings are given together that come within this time.
const GATHERED: Duration = Duration::from_millis(200);
/// So many are given at once without waiting for more.
const AT_ONCE: usize = 8_192;
/// A disk that does not take readings is asked again after this, and then after twice as long each time, up to the last.
const PAUSES: (Duration, Duration) = (Duration::from_secs(1), Duration::from_secs(30));

/// Keeps readings, and says how that goes.
pub struct Keeper {
    keeping: Keeping,
    state: Mutex<State>,
}

/// How it goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct State {
    /// On the disk.
    pub stored: u64,
    /// There already.
    pub repeated: u64,
    /// What no gauge of the store can show, or could not be written by the end.
    pub lost: u64,
    /// Why nothing can be kept at this moment.
    pub trouble: Option<String>,
}

impl Keeper {
    /// In this store.
    pub fn new(keeping: Keeping) -> Keeper {
        Keeper { keeping, state: Mutex::default() }
    }

    /// The store.
    pub fn keeping(&self) -> &Keeping {
        &self.keeping
    }

    /// How it goes.
    pub fn state(&self) -> State {
        self.state.lock().map(|state| state.clone()).unwrap_or_default()
    }

    /// Keeps what comes in until nobody sends any more, or it is told to stop; then what waits is kept, and it returns.
    pub fn run(&self, received: &Receiver<ToKeep>, stop: &AtomicBool) {
        let stopped = || stop.load(Ordering::Relaxed);
        loop {
            let first = received.recv_timeout(GATHERED);
            match first {
                Ok(first) => self.keep(&self.gather(first, received, stop), &stopped),
                Err(RecvTimeoutError::Timeout) if !stopped() => {}
                Err(_) => return,
            }
        }
    }

    /// What comes in within a moment.
    fn gather(&self, first: ToKeep, received: &Receiver<ToKeep>, stop: &AtomicBool) -> Vec<Reading> {
        let until = Instant::now() + GATHERED;
        let mut gathered = Vec::new();
        let mut next = Some(first);
        while let Some(ToKeep { gauge, value, time }) = next {
            match self.keeping.reading(gauge, time, value) {
                Some(reading) => gathered.push(reading),
                None => self.note(|state| state.lost += 1),
            }
            next = if gathered.len() >= AT_ONCE {
                None
            } else if stop.load(Ordering::Relaxed) {
                // What waits goes together, and nothing more is waited for.
                received.try_recv().ok()
            } else {
                received.recv_timeout(until.saturating_duration_since(Instant::now())).ok()
            };
        }
        gathered
    }

    /// Gives readings to the store until it has taken them: who waits meanwhile waits in a queue of a fixed length.
    fn keep(&self, readings: &[Reading], stopped: &impl Fn() -> bool) {
        if !until_taken(|| self.give(readings.to_vec(), Arrival::Live).is_ok(), stopped) {
            self.note(|state| state.lost += readings.len() as u64);
        }
    }

    /// Notes events one by one as they come in, until nobody sends any more or it is told to stop and none waits.
    pub fn run_events(&self, received: &Receiver<Event>, stop: &AtomicBool) {
        let stopped = || stop.load(Ordering::Relaxed);
        loop {
            match received.recv_timeout(GATHERED) {
                Ok(event) => {
                    let note = || self.keeping.note(vec![event.clone()]).and_then(store::Pending::wait).is_ok();
                    until_taken(note, &stopped);
                }
                Err(RecvTimeoutError::Timeout) if !stopped() => {}
                Err(_) => return,
            }
        }
    }

    /// Gives readings to the store and waits until they are on the disk.
    ///
    /// # Errors
    /// As the store says; then none of them is kept.
    pub fn give(&self, readings: Vec<Reading>, arrival: Arrival) -> Result<store::Taken, StoreError> {
        let taken = self.keeping.append(readings, arrival).and_then(store::Pending::wait);
        self.note(|state| match &taken {
            Ok(taken) => {
                state.stored += taken.stored as u64;
                state.repeated += taken.repeated as u64;
                state.trouble = None;
            }
            Err(why) => state.trouble = Some(why.to_string()),
        });
        taken
    }

    fn note(&self, change: impl FnOnce(&mut State)) {
        if let Ok(mut state) = self.state.lock() {
            change(&mut state);
        }
    }
}

/// Tries until it is done, with growing pauses; once more and no longer when it is told to stop. Whether it was done.
fn until_taken(attempt: impl Fn() -> bool, stopped: &impl Fn() -> bool) -> bool {
    let mut pause = PAUSES.0;
    loop {
        let last_try = stopped();
        if attempt() {
            return true;
        }
        if last_try {
            return false;
        }
        let again = Instant::now() + pause;
        while Instant::now() < again && !stopped() {
            thread::sleep(GATHERED);
        }
        pause = (2 * pause).min(PAUSES.1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inbox::{Inbox, Moment};
    use plant::plant::GaugeId;

    const VESSEL: &str = "[vessel]\nname = \"Small\"\n[engine.main]\nkind = \"diesel\"\nrated = { power = \"60 kW\", speed = \
                          \"1800 rpm\" }\n[circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \
                          \"elbow\"]\n[gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n";

    #[test]
    fn what_waits_when_it_is_told_to_stop_is_kept_at_once() {
        let folder = tempfile::tempdir().expect("a folder");
        let plant = plant::reader::read(VESSEL).0.expect("the small vessel loads");
        let keeper = Keeper::new(Keeping::open(folder.path(), &plant, None).expect("a new store"));
        let (inbox, received) = Inbox::new(plant.gauges.len());
        for k in 0..3_000 {
            let since = f64::from(k) * 0.1;
            inbox.take(GaugeId(0), 350.0, Moment { since, time: 1_782_972_000_000 + i64::from(k) * 100 }, true);
        }
        let begun = Instant::now();
        keeper.run(&received, &AtomicBool::new(true));
        assert!(begun.elapsed() < Duration::from_secs(10), "it took {:?}", begun.elapsed());
        assert_eq!(keeper.state(), State { stored: 3_000, ..State::default() });
    }
}
