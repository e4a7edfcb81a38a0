//! What comes in of a real vessel, between the threads that hear and the loop that watches.
//!
//! However fast a bus talks, what waits here is one reading a gauge for the loop, and a queue of a fixed length for the
//! store: memory does not follow what is sent, and the loop is never kept from its beat.

use plant::plant::GaugeId;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use watch::recent::Reading;

/// A moment, by both clocks.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Moment {
    /// Since the program began, by a clock that nobody sets [s].
    pub since: f64,
    /// By the machine's clock, which may be set at any time [ms since 1970, UTC].
    pub time: i64,
}

impl Moment {
    /// How far the day's clock is ahead of the other [s since 1970].
    pub fn day(self) -> f64 {
        self.time as f64 * 1e-3 - self.since
    }
}

/// A reading to be kept.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct ToKeep {
    /// Which gauge.
    pub gauge: GaugeId,
    /// Value [SI; pressures over the atmosphere].
    pub value: f64,
    /// When it was heard, by the machine's clock [ms since 1970, UTC].
    pub time: i64,
}

/// So many readings of a gauge are kept in a second, on average over a second or two [1/s]: what engines send of the
/// quickest there is. Common practice, no source. What a device sends beyond that repeats itself.
pub const KEPT_A_SECOND: f64 = 10.0;
/// The loop is told of a gauge no more often than this [s]: the watch averages over minutes, and a page is read by people.
const TOLD_EVERY: f64 = 0.75;
/// Readings that may wait for the store: a minute and more of a hundred gauges at their quickest, while a disk is stuck.
const WAITING: usize = 1 << 16;

/// What has come in and is not yet taken.
pub struct Inbox {
    gauges: Mutex<Vec<Slot>>,
    keeper: Option<SyncSender<ToKeep>>,
    heard: AtomicU64,
    thinned: AtomicU64,
    lost: AtomicU64,
}

/// One gauge.
#[derive(Clone, Debug)]
struct Slot {
    /// The last reading: value [SI] and when [s].
    last: Option<(f64, f64)>,
    /// Whether the loop has not seen it.
    fresh: bool,
    /// When the loop was told last [s].
    told: f64,
    /// Readings that may be kept at once, and when that was so [s].
    credit: f64,
    counted: f64,
}

/// How many readings came to what.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Heard of the vessel's gauges.
    pub heard: u64,
    /// Of these, more than are kept of a gauge in a second.
    pub thinned: u64,
    /// Of these, without room in the queue of what is to be kept.
    pub lost: u64,
}

impl Inbox {
    /// For so many gauges; what is to be kept comes out of the receiver.
    pub fn new(gauges: usize) -> (Inbox, Receiver<ToKeep>) {
        let (keeper, kept) = sync_channel(WAITING);
        (Inbox { keeper: Some(keeper), ..Inbox::unkept(gauges) }, kept)
    }

    /// For so many gauges, none of which is kept.
    pub fn unkept(gauges: usize) -> Inbox {
        let slot = Slot { last: None, fresh: false, told: f64::NEG_INFINITY, credit: KEPT_A_SECOND, counted: 0.0 };
        Inbox {
            gauges: Mutex::new(vec![slot; gauges]),
            keeper: None,
            heard: AtomicU64::new(0),
            thinned: AtomicU64::new(0),
            lost: AtomicU64::new(0),
        }
    }

    /// Takes in what a gauge of the vessel was heard to read [SI]; to be kept where that is asked.
    pub fn take(&self, gauge: GaugeId, value: f64, at: Moment, keep: bool) {
        if !value.is_finite() {
            return;
        }
        let worth_keeping = {
            let Some(mut slots) = self.gauges.lock().ok() else { return };
            let Some(slot) = slots.get_mut(gauge.0) else { return };
            slot.last = Some((value, at.since));
            slot.fresh = true;
            slot.may_be_kept(at.since)
        };
        self.heard.fetch_add(1, Ordering::Relaxed);
        let (true, Some(keeper)) = (keep, &self.keeper) else { return };
        if !worth_keeping {
            self.thinned.fetch_add(1, Ordering::Relaxed);
        } else if keeper.try_send(ToKeep { gauge, value, time: at.time }).is_err() {
            self.lost.fetch_add(1, Ordering::Relaxed);
        }
    }

    /// For the watch alone: what a gauge read [SI], and when [s]; before the program began, below zero.
    pub fn show(&self, gauge: GaugeId, value: f64, since: f64) {
        let Ok(mut slots) = self.gauges.lock() else { return };
        let Some(slot) = slots.get_mut(gauge.0).filter(|slot| slot.last.is_none_or(|(_, at)| at <= since)) else {
            return;
        };
        slot.last = Some((value, since));
        slot.fresh = true;
    }

    /// What the watch has not been told, and may be told now [s].
    pub fn news(&self, now: f64) -> Vec<Reading> {
        let Ok(mut slots) = self.gauges.lock() else { return Vec::new() };
        let due = slots.iter_mut().enumerate().filter(|(_, slot)| slot.fresh && now - slot.told >= TOLD_EVERY);
        let told = due.filter_map(|(gauge, slot)| {
            let (value, at) = slot.last?;
            (slot.fresh, slot.told) = (false, now);
            Some(Reading { gauge: GaugeId(gauge), value, at })
        });
        told.collect()
    }

    /// How many came to what so far.
    pub fn counts(&self) -> Counts {
        let count = |counter: &AtomicU64| counter.load(Ordering::Relaxed);
        Counts { heard: count(&self.heard), thinned: count(&self.thinned), lost: count(&self.lost) }
    }
}

impl Slot {
    /// Whether one more reading of it is kept.
    fn may_be_kept(&mut self, now: f64) -> bool {
        self.credit = (self.credit + KEPT_A_SECOND * (now - self.counted).max(0.0)).min(KEPT_A_SECOND);
        self.counted = self.counted.max(now);
        let may = self.credit >= 1.0;
        if may {
            self.credit -= 1.0;
        }
        may
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(since: f64) -> Moment {
        Moment { since, time: (since * 1e3) as i64 }
    }

    #[test]
    fn all_of_a_quick_gauge_are_kept_and_what_floods_is_thinned() {
        let (inbox, kept) = Inbox::new(2);
        // Ten a second, unevenly.
        for k in 0..600 {
            inbox.take(GaugeId(0), f64::from(k), at(f64::from(k) * 0.1 + if k % 2 == 0 { 0.0 } else { 0.03 }), true);
        }
        assert_eq!(kept.try_iter().count(), 600);
        for k in 0..100_000 {
            inbox.take(GaugeId(1), 1.0, at(60.0 + f64::from(k) * 1e-4), true);
        }
        let count = kept.try_iter().count();
        assert!((100..=111).contains(&count), "{count} of a gauge in ten seconds");
        let counts = inbox.counts();
        assert_eq!((counts.heard, counts.thinned, counts.lost), (100_600, 100_000 - count as u64, 0));
    }

    #[test]
    fn what_waits_for_a_stuck_store_is_bounded_and_what_is_lost_is_counted() {
        let (inbox, kept) = Inbox::new(100);
        for k in 0..2_000 {
            for gauge in 0..100 {
                inbox.take(GaugeId(gauge), 1.0, at(f64::from(k) * 0.1), true);
            }
        }
        assert_eq!(kept.try_iter().count(), WAITING);
        assert_eq!(inbox.counts().lost, 200_000 - WAITING as u64);
    }

    #[test]
    fn the_watch_is_told_the_last_of_each_and_no_more_than_it_can_use() {
        let inbox = Inbox::unkept(2);
        for k in 0..1_000 {
            inbox.take(GaugeId(1), f64::from(k), at(f64::from(k) * 0.01), true);
        }
        let last = Reading { gauge: GaugeId(1), value: 999.0, at: 9.99 };
        assert_eq!(inbox.news(10.0), [last]);
        inbox.take(GaugeId(1), 7.0, at(10.1), true);
        assert_eq!(inbox.news(10.25), [], "a moment later");
        assert_eq!(inbox.news(10.75).len(), 1);
        assert_eq!(inbox.news(20.0), [], "nothing is told twice");
    }

    #[test]
    fn what_was_kept_before_is_shown_until_something_is_heard() {
        let inbox = Inbox::unkept(1);
        inbox.take(GaugeId(0), 2.0, at(1.0), true);
        inbox.show(GaugeId(0), 1.0, -3600.0);
        assert_eq!(inbox.news(5.0).first().map(|reading| reading.value), Some(2.0));
        inbox.take(GaugeId(0), f64::NAN, at(6.0), true);
        assert_eq!(inbox.news(7.0), []);
    }
}
