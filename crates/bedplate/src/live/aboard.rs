//! A real vessel behind the watch: what came in, on a clock that nobody sets, and what is told of her wires and her store.

use crate::inbox::{Inbox, Moment};
use alerts::Change;
use std::sync::Arc;
use watch::recent::Reading;

/// The clocks, as the program has them.
pub trait Clocks: Send + Sync {
    /// What it is by both of them.
    fn now(&self) -> Moment;
}

/// A real vessel.
pub struct Aboard {
    inbox: Arc<Inbox>,
    clocks: Arc<dyn Clocks>,
    /// What is told of wires and store at this moment.
    tell: Box<dyn Fn(Moment) -> web::Aboard + Send>,
    told: Arc<web::Aboard>,
    told_at: f64,
    /// Where changes of alerts go, by the day's clock.
    note: Box<dyn Fn(Change) + Send>,
}

/// Wires and store are looked at so often [s].
const TELL_EVERY: f64 = 1.0;

impl Aboard {
    /// Readings from the inbox, by these clocks; `tell` says what there is to be said of wires and store.
    pub fn new(
        inbox: Arc<Inbox>,
        clocks: Arc<dyn Clocks>,
        tell: impl Fn(Moment) -> web::Aboard + Send + 'static,
    ) -> Aboard {
        let now = clocks.now();
        let told = Arc::new(tell(now));
        Aboard { inbox, clocks, tell: Box::new(tell), told, told_at: now.since, note: Box::new(drop) }
    }

    /// Changes of alerts go there, told by the day's clock [s since 1970, UTC]; whoever takes them may not wait.
    #[must_use]
    pub fn noting(mut self, note: impl Fn(Change) + Send + 'static) -> Aboard {
        self.note = Box::new(note);
        self
    }

    pub(crate) fn note(&self, changes: Vec<Change>) {
        if changes.is_empty() {
            return;
        }
        let now = self.clocks.now();
        for change in changes {
            (self.note)(shifted(change, now.day()));
        }
    }

    /// What came in since it was last asked, as much of it as the watch can use.
    pub(crate) fn news(&self) -> Vec<Reading> {
        self.inbox.news(self.clocks.now().since)
    }

    /// How late it is on the watch's clock [s].
    pub(crate) fn time(&self) -> f64 {
        self.clocks.now().since
    }

    /// What is told of wires and store, no more than a second old.
    pub(crate) fn told(&mut self) -> Arc<web::Aboard> {
        let now = self.clocks.now();
        if now.since - self.told_at >= TELL_EVERY {
            self.told = Arc::new((self.tell)(now));
            self.told_at = now.since;
        }
        self.told.clone()
    }
}

/// A change told by a clock that is so much ahead [s].
pub fn shifted(change: Change, ahead: f64) -> Change {
    Change { at: change.at + ahead, until: change.until.map(|until| until + ahead), ..change }
}
