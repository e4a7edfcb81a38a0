//! One hour of one feed in one run of the clock: a column of times, and a column of steps for each series.

use crate::codec::{pack, pack_steps, sum, unpack, unpack_steps, verify};
use crate::error::Trouble;
use crate::reading::HOUR;
use rusqlite::{Connection, OptionalExtension, params};
use std::collections::BTreeMap;

/// Times and steps of one series, in order.
pub(crate) type Column = Vec<(i64, i64)>;

/// A chunk as it is worked on.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Chunk {
    pub feed: i64,
    pub run: i64,
    pub hour: i64,
    /// What was in it before was let go by retention.
    pub dropped: bool,
    pub columns: BTreeMap<i64, Column>,
}

/// The head of a chunk in the file.
pub(crate) struct Head {
    pub id: i64,
    pub feed: i64,
    pub run: i64,
    pub hour: i64,
    pub dropped: bool,
    count: usize,
    times: Option<Vec<u8>>,
    crc: u32,
}

const HEAD: &str = "SELECT id, feed, run, hour, dropped, count, times, crc FROM chunk";

fn head(row: &rusqlite::Row) -> rusqlite::Result<Head> {
    Ok(Head {
        id: row.get(0)?,
        feed: row.get(1)?,
        run: row.get(2)?,
        hour: row.get(3)?,
        dropped: row.get(4)?,
        count: row.get(5)?,
        times: row.get(6)?,
        crc: row.get(7)?,
    })
}

/// Heads of a feed's chunks from one hour to another, both in it, in every run of the clock.
pub(crate) fn heads(connection: &Connection, feed: i64, hours: (i64, i64)) -> Result<Vec<Head>, Trouble> {
    // Run by run, so that the index on feed, run and hour serves.
    let mut runs = connection.prepare_cached("SELECT id FROM run")?;
    let runs: Vec<i64> = runs.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    let mut query =
        connection.prepare_cached(&format!("{HEAD} WHERE feed = ?1 AND run = ?2 AND hour BETWEEN ?3 AND ?4"))?;
    let mut found = Vec::new();
    for run in runs {
        for row in query.query_map(params![feed, run, hours.0, hours.1], head)? {
            found.push(row?);
        }
    }
    Ok(found)
}

/// The last chunk of a feed in the last run of the clock that has one, before the place given as (run, hour).
pub(crate) fn last_before(connection: &Connection, feed: i64, place: (i64, i64)) -> Result<Option<Head>, Trouble> {
    let mut query = connection.prepare_cached(&format!(
        "{HEAD} WHERE feed = ?1 AND (run, hour) < (?2, ?3) ORDER BY run DESC, hour DESC LIMIT 1"
    ))?;
    Ok(query.query_row(params![feed, place.0, place.1], head).optional()?)
}

/// The latest time in the chunks of a run [ms since 1970].
pub(crate) fn latest_of(connection: &Connection, run: i64) -> Result<Option<i64>, Trouble> {
    let mut query = connection
        .prepare(&format!("{HEAD} WHERE run = ?1 AND hour = (SELECT max(hour) FROM chunk WHERE run = ?1)"))?;
    let mut latest = None;
    for head in query.query_map([run], head)? {
        // A damaged column of times costs no more than that its hour is known by its beginning.
        let head = head?;
        let last = head.times().ok().and_then(|times| times.last().copied());
        latest = latest.max(last.or(Some(head.hour * HOUR)));
    }
    Ok(latest)
}

impl Head {
    /// Where it stands, for whoever has to be told.
    pub(crate) fn place(&self) -> String {
        format!("feed {}, run {}, hour {} since 1970", self.feed, self.run, self.hour)
    }

    fn wrong(&self, trouble: Trouble) -> Trouble {
        match trouble {
            Trouble::Damaged(what) => Trouble::Damaged(format!("{what} ({})", self.place())),
            sqlite @ Trouble::Sqlite(_) => sqlite,
        }
    }

    /// Times of its slots [ms since 1970], in order; a time stands as often as one gauge has readings at it.
    pub(crate) fn times(&self) -> Result<Vec<i64>, Trouble> {
        let Some(blob) = &self.times else { return Ok(Vec::new()) };
        let read = verify(&[blob], self.crc).and_then(|()| unpack::<u32>(blob, self.count));
        let begin = self.hour * HOUR;
        Ok(read.map_err(|e| self.wrong(e))?.into_iter().map(|offset| begin + i64::from(offset)).collect())
    }

    /// One series' readings, if it has any here; `times` are this chunk's.
    pub(crate) fn column(
        &self,
        connection: &Connection,
        series: i64,
        times: &[i64],
    ) -> Result<Option<Column>, Trouble> {
        let mut query = connection
            .prepare_cached("SELECT count, slots, least, steps, crc FROM packed WHERE chunk = ?1 AND series = ?2")?;
        let written = |row: &rusqlite::Row| {
            let (count, slots, least) = (row.get(0)?, row.get(1)?, row.get(2)?);
            Ok(Written { count, slots, least, steps: row.get(3)?, crc: row.get(4)? })
        };
        let written = query.query_row(params![self.id, series], written).optional()?;
        written.map(|written| written.read(times).map_err(|e| self.wrong(e))).transpose()
    }

    /// All that is in it.
    pub(crate) fn load(&self, connection: &Connection) -> Result<Chunk, Trouble> {
        let times = self.times()?;
        let mut query = connection.prepare_cached("SELECT series FROM packed WHERE chunk = ?1 ORDER BY series")?;
        let members: Vec<i64> = query.query_map([self.id], |row| row.get(0))?.collect::<Result<_, _>>()?;
        let mut columns = BTreeMap::new();
        for series in members {
            if let Some(column) = self.column(connection, series, &times)? {
                columns.insert(series, column);
            }
        }
        Ok(Chunk { feed: self.feed, run: self.run, hour: self.hour, dropped: self.dropped, columns })
    }
}

/// A column as it stands in the file.
struct Written {
    count: usize,
    slots: Option<Vec<u8>>,
    least: Option<i64>,
    steps: Vec<u8>,
    crc: u32,
}

impl Written {
    fn read(&self, times: &[i64]) -> Result<Column, Trouble> {
        verify(&[self.slots.as_deref().unwrap_or_default(), &bytes(self.least), &self.steps], self.crc)?;
        let steps = unpack_steps(self.least, &self.steps, self.count)?;
        match &self.slots {
            None if self.count == times.len() => Ok(times.iter().copied().zip(steps).collect()),
            None => Err(Trouble::Damaged(format!("{} readings at {} times", self.count, times.len()))),
            Some(slots) => {
                let at = |slot: u32| times.get(slot as usize).copied();
                let times: Option<Vec<i64>> = unpack::<u32>(slots, self.count)?.into_iter().map(at).collect();
                let times = times.ok_or_else(|| Trouble::Damaged("a reading without a time".to_string()))?;
                Ok(times.into_iter().zip(steps).collect())
            }
        }
    }
}

/// What the check sum takes of the least of a column: a bit that turns in it would move all its readings.
fn bytes(least: Option<i64>) -> Vec<u8> {
    least.map_or(Vec::new(), |least| least.to_le_bytes().to_vec())
}

/// A time, and the how-many-eth reading of one gauge at it.
type Slot = (i64, u32);

fn slots_of(column: &Column) -> Vec<Slot> {
    let mut slots: Vec<Slot> = Vec::with_capacity(column.len());
    for &(time, _) in column {
        let nth = slots.last().map_or(0, |&(last, nth)| if last == time { nth + 1 } else { 0 });
        slots.push((time, nth));
    }
    slots
}

fn union(first: &[Slot], second: &[Slot]) -> Vec<Slot> {
    let mut all = Vec::with_capacity(first.len().max(second.len()));
    let (mut i, mut j) = (0, 0);
    while i < first.len() || j < second.len() {
        let next = match (first.get(i), second.get(j)) {
            (Some(a), Some(b)) => *a.min(b),
            (Some(a), None) => *a,
            (None, b) => *b.expect("one of the two is left"),
        };
        i += usize::from(first.get(i) == Some(&next));
        j += usize::from(second.get(j) == Some(&next));
        all.push(next);
    }
    all
}

impl Chunk {
    /// Writes it in place of what stands there under the same feed, run and hour.
    pub(crate) fn save(&self, connection: &Connection) -> Result<(), Trouble> {
        let each: Vec<(i64, Vec<Slot>)> = self.columns.iter().map(|(id, column)| (*id, slots_of(column))).collect();
        let mut all: Vec<Slot> = Vec::new();
        for (_, slots) in &each {
            if *slots != all {
                all = union(&all, slots);
            }
        }
        let begin = self.hour * HOUR;
        let times = pack(&all.iter().map(|slot| (slot.0 - begin) as u32).collect::<Vec<u32>>())?;
        let mut insert = connection.prepare_cached(
            "INSERT INTO chunk (feed, run, hour, dropped, count, times, crc) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
             ON CONFLICT DO UPDATE SET dropped = ?4, count = ?5, times = ?6, crc = ?7 RETURNING id",
        )?;
        let id: i64 = insert.query_row(
            params![self.feed, self.run, self.hour, self.dropped, all.len(), times, sum(&[&times])],
            |row| row.get(0),
        )?;
        let mut insert = connection.prepare_cached(
            "INSERT INTO packed (chunk, series, count, slots, least, steps, crc) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
             ON CONFLICT DO UPDATE SET count = ?3, slots = ?4, least = ?5, steps = ?6, crc = ?7",
        )?;
        for (series, own) in each {
            let slots = (own.len() != all.len()).then(|| pack(&places(&own, &all))).transpose()?;
            let (least, steps) =
                pack_steps(&self.columns[&series].iter().map(|(_, steps)| *steps).collect::<Vec<i64>>())?;
            let crc = sum(&[slots.as_deref().unwrap_or_default(), &bytes(least), &steps]);
            insert.execute(params![id, series, own.len(), slots, least, steps, crc])?;
        }
        Ok(())
    }
}

/// Where each of a column's slots stands among all of the chunk's.
fn places(own: &[Slot], all: &[Slot]) -> Vec<u32> {
    let mut at = 0;
    own.iter()
        .map(|slot| {
            while all[at] != *slot {
                at += 1;
            }
            at as u32
        })
        .collect()
}
