//! The thread that writes: it gathers what is given for a quarter of a second at most, commits it, and only then says so;
//! between commits it packs away what is complete.

use crate::absorb::{Late, Sealed, absorb};
use crate::clock::Runs;
use crate::error::{StoreError, Trouble};
use crate::event::{self, Event};
use crate::reading::{Arrival, Gauge, Reading, Row, Series, Taken};
use crate::retain;
use rusqlite::{Connection, TransactionBehavior, params};
use std::collections::{HashMap, HashSet};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender};
use std::time::{Duration, Instant};

/// A commit follows the first reading it holds by no more than this.
pub(crate) const COMMIT_WITHIN: Duration = Duration::from_millis(250);
/// So many readings are committed at once, without waiting for more.
const A_COMMIT: usize = 8_192;
/// So many in one import are packed away directly: the log of single readings would cost more than it saves.
const DIRECT: usize = 20_000;
/// So many open readings are worth packing away once an hour is complete, and so many complete or not.
const WORTH_SEALING: usize = 4_096;
const MOST_OPEN: usize = 32_768;
/// Hours whose chunks are remembered to tell what repeats them.
const REMEMBERED: usize = 256;

/// Where an answer goes.
pub(crate) type Reply<T> = SyncSender<Result<T, StoreError>>;

/// What the thread is asked for.
pub(crate) enum Order {
    Append(Vec<Reading>, Arrival, Reply<Taken>),
    Note(Vec<Event>, Arrival, Reply<Taken>),
    Register(Gauge, Reply<Series>),
    Seal(Reply<()>),
    Retain(i64, Reply<usize>),
    Stop,
}

/// The thread's own.
pub(crate) struct Writer {
    connection: Connection,
    path: PathBuf,
    feeds: HashMap<i64, i64>,
    runs: Runs,
    sealed: HashMap<(i64, i64), Sealed>,
    open: usize,
    /// Open readings that the last sealing left.
    left: usize,
    hours: Hours,
    hour_complete: bool,
}

/// The latest hour of each feed in each run of the clock.
type Hours = HashMap<(i64, i64), i64>;
/// What is given and not yet committed.
type Waiting = Vec<(Vec<Reading>, Arrival, Reply<Taken>)>;

impl Writer {
    pub(crate) fn new(connection: Connection, path: PathBuf) -> Result<Writer, StoreError> {
        let begin = || -> Result<_, Trouble> {
            let feeds = connection
                .prepare("SELECT id, feed FROM series")?
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
                .collect::<Result<_, _>>()?;
            Ok((feeds, Runs::read(&connection)?, count_open(&connection)?))
        };
        let (feeds, runs, open) = begin().map_err(|trouble| trouble.at(&path))?;
        let (sealed, hours) = (HashMap::new(), HashMap::new());
        Ok(Writer { connection, path, feeds, runs, sealed, open, left: 0, hours, hour_complete: true })
    }

    /// Every series the file has.
    pub(crate) fn series(&self) -> impl Iterator<Item = Series> {
        self.feeds.keys().map(|id| Series(*id))
    }

    /// Serves orders until it is told to stop or nobody is left to give any.
    pub(crate) fn serve(mut self, orders: &Receiver<Order>) {
        while let Ok(order) = orders.recv() {
            match order {
                Order::Append(readings, arrival, reply) => {
                    let (waiting, next) = gather(orders, (readings, arrival, reply));
                    self.take(waiting);
                    if next.is_some_and(|next| !self.obey(next)) {
                        break;
                    }
                }
                other => {
                    if !self.obey(other) {
                        break;
                    }
                }
            }
        }
        // What stays open is as safe as what is packed, so a failure here is none.
        let _ = self.seal(true);
        let _ = retain::give_back(&self.connection);
    }

    /// Carries out an order that is no reading; whether there is more to come.
    fn obey(&mut self, order: Order) -> bool {
        // Whoever asked may have gone: an answer nobody waits for is dropped.
        match order {
            Order::Append(readings, arrival, reply) => self.take(vec![(readings, arrival, reply)]),
            Order::Note(events, arrival, reply) => drop(reply.send(self.note(&events, arrival))),
            Order::Register(gauge, reply) => drop(reply.send(self.register(&gauge))),
            Order::Seal(reply) => drop(reply.send(self.seal(true))),
            Order::Retain(before, reply) => {
                let done = self.seal(true).and_then(|()| {
                    self.sealed.clear();
                    retain::drop_before(&mut self.connection, before).map_err(|trouble| trouble.at(&self.path))
                });
                drop(reply.send(done));
            }
            Order::Stop => return false,
        }
        true
    }

    fn register(&mut self, gauge: &Gauge) -> Result<Series, StoreError> {
        let work = |connection: &mut Connection| -> Result<(i64, i64), Trouble> {
            let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
            change.execute("INSERT INTO feed (name) VALUES (?1) ON CONFLICT DO NOTHING", [&gauge.feed])?;
            let feed: i64 = change.query_row("SELECT id FROM feed WHERE name = ?1", [&gauge.feed], |r| r.get(0))?;
            let of = params![gauge.name, feed, gauge.step, gauge.zero];
            change.execute(
                "INSERT INTO series (gauge, feed, step, zero) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING",
                of,
            )?;
            let series = change.query_row(
                "SELECT id FROM series WHERE gauge = ?1 AND feed = ?2 AND step = ?3 AND zero = ?4",
                of,
                |row| row.get(0),
            )?;
            change.commit()?;
            Ok((series, feed))
        };
        let (series, feed) = work(&mut self.connection).map_err(|trouble| trouble.at(&self.path))?;
        self.feeds.insert(series, feed);
        Ok(Series(series))
    }

    fn note(&mut self, events: &[Event], arrival: Arrival) -> Result<Taken, StoreError> {
        if let Some(bad) = events.iter().find_map(|event| event.is_json(&self.connection).err()) {
            return Err(bad);
        }
        let before = self.runs.clone();
        event::write(&mut self.connection, &mut self.runs, events, arrival).map_err(|trouble| {
            self.runs = before;
            trouble.at(&self.path)
        })
    }

    /// Commits what is waiting and answers; then packs away what is due.
    fn take(&mut self, waiting: Waiting) {
        let before = self.runs.clone();
        let (replies, batches): (Vec<_>, Vec<_>) = waiting.into_iter().map(|(r, a, reply)| (reply, (r, a))).unzip();
        match self.commit(&batches) {
            Ok(taken) => replies.into_iter().zip(taken).for_each(|(reply, taken)| drop(reply.send(Ok(taken)))),
            Err(trouble) => {
                self.runs = before;
                self.sealed.clear();
                let error = trouble.at(&self.path);
                for reply in replies {
                    drop(reply.send(Err(error.clone())));
                }
                return;
            }
        }
        let more = self.open.saturating_sub(self.left);
        if more >= MOST_OPEN || (self.hour_complete && more >= WORTH_SEALING) {
            // If it fails, the readings stay open and safe, and it is tried again after the next commit.
            let _ = self.seal(false);
        }
    }

    fn commit(&mut self, batches: &[(Vec<Reading>, Arrival)]) -> Result<Vec<Taken>, Trouble> {
        let change = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut taken = Vec::with_capacity(batches.len());
        let (mut stored, mut direct) = (0, false);
        for (readings, arrival) in batches {
            let mut rows = Vec::with_capacity(readings.len());
            for reading in readings {
                let Some(&feed) = self.feeds.get(&reading.series.0) else {
                    return Err(Trouble::Damaged(format!("series {} is unknown", reading.series.0)));
                };
                let run = match arrival {
                    Arrival::Live => self.runs.of(&change, reading.time)?,
                    Arrival::Import => 0,
                };
                rows.push(Row { feed, series: reading.series.0, run, time: reading.time, steps: reading.steps });
            }
            if *arrival == Arrival::Import && rows.len() >= DIRECT {
                // An open reading could be among them.
                seal_all(&change)?;
                self.sealed.clear();
                taken.push(absorb(&change, &mut rows, Late::Refused)?);
                direct = true;
                continue;
            }
            let mut sum = Taken::default();
            let mut insert = change.prepare_cached(
                "INSERT INTO open_reading (time, series, steps, run) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING",
            )?;
            if self.sealed.len() > REMEMBERED {
                self.sealed.clear();
            }
            for row in rows {
                let sealed = sealed(&mut self.sealed, &change, &row)?;
                let repeats = match sealed.has(&change, &row) {
                    // What cannot be read cannot be repeated.
                    Err(Trouble::Damaged(_)) => false,
                    other => other?,
                };
                if *arrival == Arrival::Import && sealed.dropped() {
                    sum.too_old += 1;
                } else if repeats || insert.execute(params![row.time, row.series, row.steps, row.run])? == 0 {
                    sum.repeated += 1;
                } else {
                    sum.stored += 1;
                    let hour = self.hours.entry((row.feed, row.run)).or_insert(row.hour());
                    self.hour_complete |= *hour < row.hour();
                    *hour = row.hour().max(*hour);
                }
            }
            stored += sum.stored;
            taken.push(sum);
        }
        change.commit()?;
        self.open += stored;
        if direct {
            self.open = count_open(&self.connection)?;
            self.left = self.open;
        }
        Ok(taken)
    }

    /// Packs open readings away: all, or those of complete hours and, if there are too many, the rest as well.
    fn seal(&mut self, all: bool) -> Result<(), StoreError> {
        self.sealed.clear();
        let hours = (!all && self.open - self.left.min(self.open) < MOST_OPEN).then_some(&self.hours);
        let done = seal(&mut self.connection, hours).and_then(|()| count_open(&self.connection));
        self.open = done.map_err(|trouble| trouble.at(&self.path))?;
        self.left = self.open;
        self.hour_complete = false;
        Ok(())
    }
}

/// Gathers readings for one commit, and the order that ended it, if one did.
fn gather(orders: &Receiver<Order>, first: (Vec<Reading>, Arrival, Reply<Taken>)) -> (Waiting, Option<Order>) {
    let until = Instant::now() + COMMIT_WITHIN;
    let mut count = first.0.len();
    let mut waiting = vec![first];
    while count < A_COMMIT {
        match orders.recv_timeout(until.saturating_duration_since(Instant::now())) {
            Ok(Order::Append(readings, arrival, reply)) => {
                count += readings.len();
                waiting.push((readings, arrival, reply));
            }
            Ok(other) => return (waiting, Some(other)),
            Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => break,
        }
    }
    (waiting, None)
}

fn sealed<'a>(
    known: &'a mut HashMap<(i64, i64), Sealed>,
    connection: &Connection,
    row: &Row,
) -> Result<&'a mut Sealed, Trouble> {
    match known.entry((row.feed, row.hour())) {
        std::collections::hash_map::Entry::Occupied(there) => Ok(there.into_mut()),
        std::collections::hash_map::Entry::Vacant(none) => {
            Ok(none.insert(Sealed::read(connection, row.feed, row.hour())?))
        }
    }
}

fn count_open(connection: &Connection) -> Result<usize, Trouble> {
    Ok(connection.query_row("SELECT count(*) FROM open_reading", [], |row| row.get(0))?)
}

fn seal_all(connection: &Connection) -> Result<(), Trouble> {
    seal_within(connection, None)
}

fn seal(connection: &mut Connection, not_from: Option<&Hours>) -> Result<(), Trouble> {
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    seal_within(&change, not_from)?;
    Ok(change.commit()?)
}

/// Packs away open readings, except those from the hour on that is given for their feed. An hour whose chunk is damaged
/// keeps its readings open: neither they nor what is left of the chunk are put at risk.
fn seal_within(connection: &Connection, not_from: Option<&Hours>) -> Result<(), Trouble> {
    let mut rows: Vec<Row> = connection
        .prepare_cached(
            "SELECT s.feed, o.series, o.run, o.time, o.steps FROM open_reading o JOIN series s ON s.id = o.series",
        )?
        .query_map([], |row| {
            let (feed, series, run) = (row.get(0)?, row.get(1)?, row.get(2)?);
            Ok(Row { feed, series, run, time: row.get(3)?, steps: row.get(4)? })
        })?
        .collect::<Result<_, _>>()?;
    if let Some(hours) = not_from {
        rows.retain(|row| hours.get(&(row.feed, row.run)).is_none_or(|hour| row.hour() < *hour));
    }
    rows.sort_unstable_by_key(|row| (row.feed, row.hour(), row.run, row.series, row.time, row.steps));
    let mut damaged = HashSet::new();
    for bucket in rows.chunk_by_mut(|a, b| (a.feed, a.hour()) == (b.feed, b.hour())) {
        let hour = (bucket[0].feed, bucket[0].hour());
        connection.execute_batch("SAVEPOINT bucket")?;
        match absorb(connection, bucket, Late::Taken) {
            Ok(_) => connection.execute_batch("RELEASE bucket")?,
            Err(Trouble::Damaged(_)) => {
                damaged.insert(hour);
                connection.execute_batch("ROLLBACK TO bucket; RELEASE bucket")?;
            }
            Err(sqlite) => return Err(sqlite),
        }
    }
    rows.retain(|row| !damaged.contains(&(row.feed, row.hour())));
    let mut delete =
        connection.prepare_cached("DELETE FROM open_reading WHERE time = ?1 AND series = ?2 AND steps = ?3")?;
    for row in rows {
        delete.execute(params![row.time, row.series, row.steps])?;
    }
    Ok(())
}
