//! A store that is open for writing, and the answers it owes.

use crate::error::StoreError;
use crate::event::Event;
use crate::reader::Reader;
use crate::reading::{Arrival, FURTHEST, Gauge, MOST_STEPS, Reading, Series, Taken};
use crate::schema;
use crate::writer::{Order, Reply, Writer};
use std::collections::HashSet;
use std::fs::{File, OpenOptions, TryLockError};
use std::path::Path;
use std::sync::RwLock;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::JoinHandle;

/// So many orders may wait for the thread that writes before who gives more has to wait.
const MOST_WAITING: usize = 256;

/// A store, open for writing. Only one may be at a time; when it is dropped, all it was given is on the disk.
///
/// ```
/// # fn main() -> Result<(), store::StoreError> {
/// # let folder = tempfile::tempdir().expect("a folder");
/// # let path = folder.path().join("log.db");
/// use store::{Arrival, Gauge, Reading, Store};
/// let store = Store::open(&path)?;
/// // Steps of half a kelvin over 273.15 K, read alone.
/// let gauge = Gauge { name: "coolant".into(), feed: "coolant".into(), step: 0.5, zero: 273.15 };
/// let series = store.register(&gauge)?;
/// let time = 1_717_200_000_000;
/// let pending = store.append(vec![Reading { series, time, steps: 164 }], Arrival::Live)?;
/// assert_eq!(pending.wait()?.stored, 1); // on the disk from here on
/// let plot = store.reader().query("coolant", time..time + 3_600_000, 1_000)?;
/// assert_eq!(plot.points[0].mean, 273.15 + 82.0);
/// # Ok(())
/// # }
/// ```
pub struct Store {
    reader: Reader,
    orders: SyncSender<Order>,
    writer: Option<JoinHandle<()>>,
    known: RwLock<HashSet<Series>>,
    /// Held as long as the store is open.
    _alone: File,
}

/// Readings or events on their way to the disk.
#[must_use = "what is given is safe only once `wait` has said so"]
pub struct Pending(Receiver<Result<Taken, StoreError>>);

impl Pending {
    /// Waits until all is on the disk, a quarter of a second or so; what came of it.
    ///
    /// # Errors
    /// If it could not be written. Then none of it is kept, and it may be given again.
    pub fn wait(self) -> Result<Taken, StoreError> {
        self.0.recv().unwrap_or(Err(StoreError::Closed))
    }
}

/// Takes the lock that only one who writes can have.
pub(crate) fn alone(path: &Path) -> Result<File, StoreError> {
    let lock = schema::beside(path, ".lock");
    let file = OpenOptions::new().create(true).truncate(false).write(true).open(&lock);
    let file = file.map_err(|error| StoreError::of_file(&error, path))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(StoreError::InUse { path: path.to_path_buf() }),
        Err(TryLockError::Error(error)) => Err(StoreError::of_file(&error, path)),
    }
}

impl Store {
    /// Opens a store for writing; makes it if there is none, and brings an older one to the present layout.
    ///
    /// # Errors
    /// If it is in use, of a later version or no store, or if it cannot be written. A store on a read-only disk can still
    /// be read by [`Reader::open`].
    pub fn open(path: &Path) -> Result<Store, StoreError> {
        let alone = alone(path)?;
        let connection = schema::open_to_write(path)?;
        let writer = Writer::new(connection, path.to_path_buf())?;
        let known = RwLock::new(writer.series().collect());
        let reader = Reader::open(path)?;
        let (orders, taken) = sync_channel(MOST_WAITING);
        let thread = std::thread::Builder::new().name("store".to_string());
        let writer = thread.spawn(move || writer.serve(&taken));
        let writer = Some(writer.map_err(|error| StoreError::of_file(&error, path))?);
        Ok(Store { reader, orders, writer, known, _alone: alone })
    }

    /// Where to read.
    pub fn reader(&self) -> &Reader {
        &self.reader
    }

    /// The number of a gauge at its resolution, a new one if it has none. Readings at another resolution are kept under
    /// another number, and read back together under the gauge's name.
    ///
    /// # Errors
    /// If the step is no step, or it cannot be written.
    pub fn register(&self, gauge: &Gauge) -> Result<Series, StoreError> {
        if !(gauge.step > 0.0 && gauge.step.is_finite() && gauge.zero.is_finite()) {
            return Err(StoreError::BadScale { name: gauge.name.clone(), step: gauge.step, zero: gauge.zero });
        }
        let series = self.ask(|reply| Order::Register(gauge.clone(), reply))?;
        self.known.write().map_err(|_| StoreError::Closed)?.insert(series);
        Ok(series)
    }

    /// Gives readings to be kept. They are safe once [`Pending::wait`] has returned; until then more may be given.
    ///
    /// Who imports gives some hours at a time: from 20,000 readings on they are packed away at once.
    ///
    /// # Errors
    /// If a series is not of this store or a reading is out of range; then none of them is taken.
    pub fn append(&self, readings: Vec<Reading>, arrival: Arrival) -> Result<Pending, StoreError> {
        {
            let known = self.known.read().map_err(|_| StoreError::Closed)?;
            for Reading { series, time, steps } in &readings {
                if !known.contains(series) {
                    return Err(StoreError::UnknownSeries { series: series.0 });
                }
                if time.unsigned_abs() >= FURTHEST as u64 || steps.unsigned_abs() > MOST_STEPS as u64 {
                    return Err(StoreError::OutOfRange { time: *time, steps: *steps });
                }
            }
        }
        let (reply, answer) = sync_channel(1);
        self.orders.send(Order::Append(readings, arrival, reply)).map_err(|_| StoreError::Closed)?;
        Ok(Pending(answer))
    }

    /// Gives events to be kept for ever, in the order given. They are safe once [`Pending::wait`] has returned. One that is
    /// there already, to the letter, is counted and left out, so that it does no harm to give them again.
    ///
    /// # Errors
    /// If one of them is out of range or no JSON; then none of them is taken. What is no JSON is told by the answer.
    pub fn note(&self, events: Vec<Event>, arrival: Arrival) -> Result<Pending, StoreError> {
        events.iter().try_for_each(Event::in_range)?;
        let (reply, answer) = sync_channel(1);
        self.orders.send(Order::Note(events, arrival, reply)).map_err(|_| StoreError::Closed)?;
        Ok(Pending(answer))
    }

    /// Packs all readings away now, complete hours or not.
    ///
    /// # Errors
    /// If it cannot be written; then they stay as they are, and safe.
    pub fn seal(&self) -> Result<(), StoreError> {
        self.ask(Order::Seal)
    }

    /// Lets go of single readings of hours that ended before a time [ms since 1970] and keeps their summaries; how many
    /// chunks went. What came while the clock was not set stays.
    ///
    /// # Errors
    /// If it cannot be written.
    pub fn retain(&self, from: i64) -> Result<usize, StoreError> {
        self.ask(|reply| Order::Retain(from, reply))
    }

    fn ask<T>(&self, order: impl FnOnce(Reply<T>) -> Order) -> Result<T, StoreError> {
        let (reply, answer) = sync_channel(1);
        self.orders.send(order(reply)).map_err(|_| StoreError::Closed)?;
        answer.recv().unwrap_or(Err(StoreError::Closed))
    }
}

impl Drop for Store {
    fn drop(&mut self) {
        // The last to close leaves one file with no log beside it, if it may write.
        self.reader.rest();
        // A thread that has ended already needs no telling.
        let _ = self.orders.send(Order::Stop);
        if let Some(writer) = self.writer.take() {
            let _ = writer.join();
        }
    }
}
