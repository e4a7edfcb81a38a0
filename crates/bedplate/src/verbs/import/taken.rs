//! From readings to the log, some hours at a time; and what came of them.

use crate::keeping::Keeping;
use intake::fault::Fault;
use intake::intake::{Reading, Sink};
use std::collections::{BTreeMap, VecDeque};
use store::{Arrival, Pending, StoreError};

/// So many readings are handed over at once: the store packs them away directly.
const BATCH: usize = 500_000;
/// So many batches may wait to be written.
const WAITING: usize = 1;
/// Faults that are told with their line.
const EXAMPLES: usize = 20;
/// An hour is packed as one [ms].
const HOUR: i64 = 3_600_000;

/// What came of a file, as far as it was read.
#[derive(Default)]
pub struct Taken {
    /// Readings in it.
    pub readings: u64,
    /// Kept.
    pub stored: u64,
    /// The log had them.
    pub repeated: u64,
    /// Of hours of which only summaries are kept.
    pub too_old: u64,
    /// First and last time [ms since 1970].
    pub span: Option<(i64, i64)>,
    /// The first faults, with their lines.
    pub examples: Vec<(u64, Fault)>,
    /// How many of each sort.
    pub faults: BTreeMap<&'static str, u64>,
}

impl Taken {
    /// All that could not be used.
    pub fn faulty(&self) -> u64 {
        self.faults.values().sum()
    }
}

/// Keeps what comes.
pub struct Keeper<'a> {
    keeping: &'a Keeping,
    batch: Vec<store::Reading>,
    waiting: VecDeque<Pending>,
    taken: Taken,
}

impl<'a> Keeper<'a> {
    /// Into this log.
    pub fn new(keeping: &'a Keeping) -> Keeper<'a> {
        Keeper { keeping, batch: Vec::new(), waiting: VecDeque::new(), taken: Taken::default() }
    }

    /// What has come of it so far.
    pub fn taken(&self) -> &Taken {
        &self.taken
    }

    /// Hands over what is ready: whole hours, so that each is packed once.
    ///
    /// # Errors
    /// [`StoreError`] if it could not be written.
    pub fn flow(&mut self) -> Result<(), StoreError> {
        if self.batch.len() < BATCH {
            return Ok(());
        }
        let latest = self.batch.iter().map(|reading| reading.time).max().unwrap_or(0).div_euclid(HOUR) * HOUR;
        let (rest, whole): (Vec<_>, Vec<_>) = self.batch.drain(..).partition(|reading| reading.time >= latest);
        // What is in no order, or all of one hour, waits for nothing.
        let (whole, rest) = if whole.len() < BATCH / 2 { ([rest, whole].concat(), Vec::new()) } else { (whole, rest) };
        self.batch = rest;
        self.give(whole)
    }

    /// Hands over the rest, and waits until all is on the disk.
    ///
    /// # Errors
    /// [`StoreError`] if it could not be written.
    pub fn done(mut self) -> Result<Taken, StoreError> {
        let rest = std::mem::take(&mut self.batch);
        self.give(rest)?;
        self.settle(0)?;
        Ok(self.taken)
    }

    fn give(&mut self, readings: Vec<store::Reading>) -> Result<(), StoreError> {
        if !readings.is_empty() {
            self.settle(WAITING)?;
            self.waiting.push_back(self.keeping.append(readings, Arrival::Import)?);
        }
        Ok(())
    }

    /// Waits until no more than so many batches wait.
    fn settle(&mut self, most: usize) -> Result<(), StoreError> {
        while self.waiting.len() > most {
            let Some(pending) = self.waiting.pop_front() else { break };
            let taken = pending.wait()?;
            self.taken.stored += taken.stored as u64;
            self.taken.repeated += taken.repeated as u64;
            self.taken.too_old += taken.too_old as u64;
        }
        Ok(())
    }
}

impl Sink for Keeper<'_> {
    fn reading(&mut self, line: u64, reading: Reading) {
        let Reading { gauge, time, value } = reading;
        match self.keeping.reading(gauge, time, value) {
            Some(kept) => {
                self.taken.readings += 1;
                let (first, last) = self.taken.span.unwrap_or((time, time));
                self.taken.span = Some((first.min(time), last.max(time)));
                self.batch.push(kept);
            }
            None => self.fault(line, Fault::BadValue { column: "a value".into(), text: value.to_string() }),
        }
    }

    fn fault(&mut self, line: u64, fault: Fault) {
        *self.taken.faults.entry(fault.name()).or_default() += 1;
        if self.taken.examples.len() < EXAMPLES {
            self.taken.examples.push((line, fault));
        }
    }
}
