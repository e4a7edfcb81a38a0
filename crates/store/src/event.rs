//! What happened: events that are written down once, in order, and never changed.

use crate::clock::{Runs, code};
use crate::error::{StoreError, Trouble};
use crate::reader::Reader;
use crate::reading::{Arrival, Clock, FURTHEST, Taken};
use crate::schema;
use rusqlite::{Connection, TransactionBehavior, params};
use std::collections::VecDeque;
use std::ops::Range;
use std::path::Path;

/// A body may be this long [bytes]: an event is a line of a log, not a file.
const LONGEST: usize = 65_536;
/// The version of the layout from which on there are events.
const SINCE: i64 = 2;

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// When [ms since 1970, UTC], as the clock had it.
    pub time: i64,
    /// What sort of event: a word, "alert" say. Whoever writes a sort of event says what its body holds.
    pub kind: String,
    /// Which version of that sort's body this is.
    pub version: u32,
    /// What happened, as JSON.
    pub body: String,
}

/// An event, as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Noted {
    /// Its number: they count up in the order in which events were written down.
    pub id: i64,
    /// What was given.
    pub event: Event,
    /// In which run of the clock, as of a reading.
    pub run: i64,
    /// Whether that clock can be trusted.
    pub clock: Clock,
}

/// Events that were read back.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Events {
    /// In the order in which they were written down.
    pub list: Vec<Noted>,
    /// What could not be read, in words; the rest is as it should be.
    pub damaged: Vec<String>,
}

impl Event {
    /// That it has a kind, a time and a length that can be kept.
    pub(crate) fn in_range(&self) -> Result<(), StoreError> {
        let refused = |what: String| Err(StoreError::BadEvent { kind: self.kind.clone(), what });
        match self {
            Event { kind, .. } if kind.is_empty() || kind.len() > 64 => refused("a kind has 1 to 64 bytes".into()),
            Event { time, .. } if time.unsigned_abs() >= FURTHEST as u64 => {
                refused(format!("its time, {time} ms, is beyond the year 9999"))
            }
            Event { body, .. } if body.len() > LONGEST => {
                refused(format!("its body has {} bytes; the most is {LONGEST}", body.len()))
            }
            _ => Ok(()),
        }
    }

    /// That its body is JSON, in the database's own judgement, which holds it to that too.
    pub(crate) fn is_json(&self, connection: &Connection) -> Result<(), StoreError> {
        let valid = connection.query_row("SELECT json_valid(?1)", [&self.body], |row| row.get::<_, bool>(0));
        if valid.unwrap_or(false) {
            Ok(())
        } else {
            Err(StoreError::BadEvent { kind: self.kind.clone(), what: "its body is not JSON".into() })
        }
    }

    /// Check sum of all of it.
    fn crc(&self) -> i64 {
        let mut crc = crc32fast::Hasher::new();
        crc.update(&self.time.to_le_bytes());
        crc.update(self.kind.as_bytes());
        crc.update(&self.version.to_le_bytes());
        crc.update(self.body.as_bytes());
        i64::from(crc.finalize())
    }
}

/// Writes events down in one commit; what is there already, to the letter, is left out.
pub(crate) fn write(
    connection: &mut Connection,
    runs: &mut Runs,
    events: &[Event],
    arrival: Arrival,
) -> Result<Taken, Trouble> {
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let mut taken = Taken::default();
    for event in events {
        let Event { time, kind, version, body } = event;
        let there = change
            .prepare_cached(
                "SELECT EXISTS (SELECT 1 FROM event WHERE time = ?1 AND kind = ?2 AND version = ?3 AND body = ?4)",
            )?
            .query_row(params![time, kind, version, body], |row| row.get::<_, bool>(0))?;
        if there {
            taken.repeated += 1;
            continue;
        }
        let run = match arrival {
            Arrival::Live => runs.of(&change, *time)?,
            Arrival::Import => 0,
        };
        change
            .prepare_cached("INSERT INTO event (time, run, kind, version, body, crc) VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?
            .execute(params![time, run, kind, version, body, event.crc()])?;
        taken.stored += 1;
    }
    change.commit()?;
    Ok(taken)
}

/// Events of one kind, or of any, in a span of time; of more than `most` those written down last.
pub(crate) fn read(
    connection: &Connection,
    kind: Option<&str>,
    span: &Range<i64>,
    most: usize,
) -> Result<Events, Trouble> {
    let version: i64 = connection.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    if version < SINCE {
        return Ok(Events::default());
    }
    let mut query = connection.prepare_cached(
        "SELECT e.id, e.time, e.kind, e.version, e.body, e.crc, e.run, r.clock FROM event e LEFT JOIN run r ON r.id = e.run
         WHERE e.time >= ?1 AND e.time < ?2 AND (?3 IS NULL OR e.kind = ?3) ORDER BY e.id DESC LIMIT ?4",
    )?;
    let limit = i64::try_from(most).unwrap_or(i64::MAX);
    let mut rows = query.query(params![span.start, span.end, kind, limit])?;
    let (mut list, mut damaged) = (VecDeque::new(), VecDeque::new());
    while let Some(row) = rows.next()? {
        let id: i64 = row.get(0)?;
        let event = || -> rusqlite::Result<Event> {
            Ok(Event { time: row.get(1)?, kind: row.get(2)?, version: row.get(3)?, body: row.get(4)? })
        };
        // A changed byte may be no text any more.
        match event() {
            Ok(event) if event.crc() == row.get::<_, i64>(5)? => {
                let clock = row.get::<_, Option<i64>>(7)?.map_or(Clock::Sound, code);
                list.push_front(Noted { id, event, run: row.get(6)?, clock });
            }
            _ => damaged.push_front(format!("event {id} is not as it was written")),
        }
    }
    Ok(Events { list: list.into(), damaged: damaged.into() })
}

/// Notes events in a store that another program holds open: it keeps taking readings meanwhile, and sees them when it looks
/// again. The store must be there, and of the present version. They are on the disk once this has returned.
///
/// # Errors
/// As [`crate::Store::note`], and if the file cannot be written.
pub fn note_beside(path: &Path, events: &[Event]) -> Result<Taken, StoreError> {
    events.iter().try_for_each(Event::in_range)?;
    let mut connection = schema::open_beside(path)?;
    events.iter().try_for_each(|event| event.is_json(&connection))?;
    let note = |connection: &mut Connection| {
        let mut runs = Runs::read(connection)?;
        // Told by hand, as an imported one is: it may have happened at any time.
        write(connection, &mut runs, events, Arrival::Import)
    };
    note(&mut connection).map_err(|trouble| trouble.at(path))
}

impl Reader {
    /// The number of the event written down last, 0 if there is none: a look that costs nothing tells whether there are new ones.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn last_event(&self) -> Result<i64, StoreError> {
        self.with(|connection| {
            let version: i64 = connection.query_row("PRAGMA user_version", [], |row| row.get(0))?;
            if version < SINCE {
                return Ok(0);
            }
            Ok(connection.query_row("SELECT coalesce(max(id), 0) FROM event", [], |row| row.get(0))?)
        })
    }

    /// Events of one kind, or of any, in a span of time [ms since 1970], in the order in which they were written down; if
    /// there are more than `most`, the last of them. A file of version 1 has none.
    ///
    /// # Errors
    /// If the file cannot be read. A damaged event is told beside the others.
    pub fn events(&self, kind: Option<&str>, span: Range<i64>, most: usize) -> Result<Events, StoreError> {
        self.with(|connection| read(connection, kind, &span, most))
    }
}
