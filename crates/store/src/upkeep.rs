//! Backup, restore and check.

use crate::chunk::{self, Head};
use crate::error::{StoreError, Trouble};
use crate::reader::Reader;
use crate::reading::HOUR;
use crate::schema::{self, beside};
use crate::summary::{self, LEVELS, Stretches};
use rusqlite::Connection;
use rusqlite::backup::Backup;
use std::collections::BTreeMap;
use std::path::Path;

/// What a check found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Health {
    /// What is wrong, in words; nothing if all is well.
    pub problems: Vec<String>,
    /// Chunks whose readings were gone through.
    pub chunks: usize,
    /// Readings in them.
    pub readings: u64,
    /// Readings that are not packed yet.
    pub open: u64,
}

impl Reader {
    /// Copies the store as it is at this moment to a new file, while it is written.
    ///
    /// # Errors
    /// If there is a file of that name, or it cannot be written.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        if to.exists() {
            return Err(StoreError::Exists { path: to.to_path_buf() });
        }
        let from = schema::open_to_read(&self.path().to_path_buf())?;
        let unfinished = beside(to, ".unfinished");
        copy(&from, &unfinished)?;
        std::fs::rename(&unfinished, to).map_err(|error| StoreError::of_file(&error, to))
    }

    /// Goes through the whole file: its structure, every check sum, and that all summaries are those of the readings.
    ///
    /// # Errors
    /// If the file cannot be read at all.
    pub fn check(&self) -> Result<Health, StoreError> {
        self.with(|connection| {
            let mut health = Health::default();
            let mut query = connection.prepare("PRAGMA integrity_check")?;
            let said: Vec<String> = query.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
            health.problems.extend(said.into_iter().filter(|line| line != "ok"));
            health.open = connection.query_row("SELECT count(*) FROM open_reading", [], |row| row.get(0))?;
            let mut feeds = connection.prepare("SELECT id FROM feed")?;
            let feeds: Vec<i64> = feeds.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
            for feed in feeds {
                check_feed(connection, feed, &mut health)?;
            }
            Ok(health)
        })
    }
}

/// Puts a backup in the place of a store that nobody has open. What was there is kept beside it as `….before-restore`.
///
/// # Errors
/// If the backup is no sound store, the store is open, or a file cannot be written; then nothing has changed.
pub fn restore(backup: &Path, to: &Path) -> Result<(), StoreError> {
    let _alone = crate::alone(to)?;
    let health = Reader::open(backup)?.check()?;
    if let Some(first) = health.problems.first() {
        return Err(StoreError::Damaged { what: format!("the backup itself: {first}") });
    }
    let unfinished = beside(to, ".unfinished");
    copy(&schema::open_to_read(backup)?, &unfinished)?;
    let file = |error: std::io::Error| StoreError::of_file(&error, to);
    // The log of the old file goes with it: on the new one it would be another's.
    for ending in ["-wal", "-shm", ""] {
        let old = beside(to, ending);
        if old.exists() {
            std::fs::rename(&old, beside(&beside(to, ".before-restore"), ending)).map_err(file)?;
        }
    }
    std::fs::rename(&unfinished, to).map_err(file)
}

/// Copies in one go: step by step, a store that is being written would begin again each time.
fn copy(from: &Connection, to: &Path) -> Result<(), StoreError> {
    let copied = || -> rusqlite::Result<()> {
        if to.exists() {
            // Left by a copy that was cut off.
            drop(std::fs::remove_file(to));
        }
        let mut into = Connection::open(to)?;
        into.execute_batch("PRAGMA synchronous = FULL;")?;
        Backup::new(from, &mut into)?.step(-1)?;
        // As one file, with no log beside it.
        into.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))
    };
    copied().map_err(|error| {
        drop(std::fs::remove_file(to));
        StoreError::of(&error, to)
    })
}

/// A page of one level: series and number.
type Page = (i64, i64);

fn check_feed(connection: &Connection, feed: i64, health: &mut Health) -> Result<(), Trouble> {
    let mut found: BTreeMap<Page, Stretches> = BTreeMap::new();
    let mut gone: BTreeMap<i64, ()> = BTreeMap::new();
    let all = chunk::heads(connection, feed, (i64::MIN, i64::MAX))?;
    let a_day = LEVELS[0].page / HOUR;
    for head in &all {
        if head.dropped {
            gone.insert(head.hour, ());
        }
        match packed(connection, head) {
            Ok(columns) => {
                health.chunks += 1;
                for (series, column) in columns {
                    health.readings += column.len() as u64;
                    let page = found.entry((series, head.hour.div_euclid(a_day))).or_default();
                    summary::summarise(&column, LEVELS[0].width, page);
                }
            }
            Err(Trouble::Damaged(what)) => {
                gone.insert(head.hour, ());
                health.problems.push(what);
            }
            Err(sqlite) => return Err(sqlite),
        }
    }
    check_minutes(connection, feed, (&found, &gone), health)?;
    check_hours(connection, feed, health)
}

fn packed(connection: &Connection, head: &Head) -> Result<BTreeMap<i64, chunk::Column>, Trouble> {
    let columns = head.load(connection)?.columns;
    let begin = head.hour * HOUR;
    let hour = begin..begin + HOUR;
    let in_order = |column: &chunk::Column| column.is_sorted() && column.iter().all(|(time, _)| hour.contains(time));
    if columns.values().all(in_order) {
        Ok(columns)
    } else {
        Err(Trouble::Damaged(format!("readings out of order ({})", head.place())))
    }
}

/// Minutes against the readings, where those are there.
fn check_minutes(
    connection: &Connection,
    feed: i64,
    (found, gone): (&BTreeMap<Page, Stretches>, &BTreeMap<i64, ()>),
    health: &mut Health,
) -> Result<(), Trouble> {
    let minutes_an_hour = HOUR / LEVELS[0].width;
    let mut pages = pages(connection, feed, LEVELS[0].width)?;
    pages.extend(found.keys().copied());
    pages.sort_unstable();
    pages.dedup();
    for (series, number) in pages {
        let Some(written) = sound(summary::load(connection, series, LEVELS[0], number), health)? else { continue };
        let there = found.get(&(series, number));
        let differs = |at: &i64| {
            !gone.contains_key(&at.div_euclid(minutes_an_hour))
                && written.get(at) != there.and_then(|there| there.get(at))
        };
        let wrong = written.keys().chain(there.into_iter().flat_map(Stretches::keys)).filter(|at| differs(at)).count();
        if wrong > 0 {
            health
                .problems
                .push(format!("{wrong} minutes of series {series}, day {number}, are not those of its readings"));
        }
    }
    Ok(())
}

/// Hours against the minutes, which are kept as long as they.
fn check_hours(connection: &Connection, feed: i64, health: &mut Health) -> Result<(), Trouble> {
    let factor = LEVELS[1].width / LEVELS[0].width;
    let mut expected: BTreeMap<Page, Stretches> = BTreeMap::new();
    let a_page = LEVELS[1].page / LEVELS[0].page;
    for (series, day) in pages(connection, feed, LEVELS[0].width)? {
        if let Some(minutes) = sound(summary::load(connection, series, LEVELS[0], day), &mut Health::default())? {
            expected
                .entry((series, day.div_euclid(a_page)))
                .or_default()
                .append(&mut summary::coarser(&minutes, factor));
        }
    }
    for (series, number) in pages(connection, feed, LEVELS[1].width)? {
        let Some(written) = sound(summary::load(connection, series, LEVELS[1], number), health)? else { continue };
        if expected.get(&(series, number)) != Some(&written) {
            health.problems.push(format!("hours of series {series}, page {number}, are not those of its minutes"));
        }
    }
    Ok(())
}

fn pages(connection: &Connection, feed: i64, width: i64) -> Result<Vec<Page>, Trouble> {
    let mut query = connection.prepare_cached(
        "SELECT p.series, p.page FROM summary p JOIN series s ON s.id = p.series WHERE s.feed = ?1 AND p.width = ?2",
    )?;
    Ok(query.query_map([feed, width], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?)
}

fn sound<T>(read: Result<T, Trouble>, health: &mut Health) -> Result<Option<T>, Trouble> {
    match read {
        Ok(read) => Ok(Some(read)),
        Err(Trouble::Damaged(what)) => {
            health.problems.push(what);
            Ok(None)
        }
        Err(sqlite) => Err(sqlite),
    }
}
