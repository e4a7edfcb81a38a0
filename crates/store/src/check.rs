//! The check: that the file is as it was written, and that its summaries are those of its readings.

use crate::chunk::{self, Head};
use crate::error::{StoreError, Trouble};
use crate::event;
use crate::reader::Reader;
use crate::reading::HOUR;
use crate::summary::{self, LEVELS, Level, Stretches};
use rusqlite::Connection;
use std::collections::{BTreeMap, BTreeSet};

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
    /// Events.
    pub events: u64,
}

impl Reader {
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
            let events = event::read(connection, None, &(i64::MIN..i64::MAX), usize::MAX)?;
            health.events = events.list.len() as u64;
            health.problems.extend(events.damaged);
            Ok(health)
        })
    }
}

/// Summaries by series.
type BySeries = BTreeMap<i64, Stretches>;

/// Goes through a feed day by day, so that no more than a month of summaries is ever held.
fn check_feed(connection: &Connection, feed: i64, health: &mut Health) -> Result<(), Trouble> {
    let mut heads = chunk::heads(connection, feed, (i64::MIN, i64::MAX))?;
    heads.sort_by_key(|head| head.hour);
    let day_of = |head: &Head| head.hour.div_euclid(LEVELS[0].page / HOUR);
    let minutes = pages(connection, feed, LEVELS[0])?;
    let hours = pages(connection, feed, LEVELS[1])?;
    let days: BTreeSet<i64> = heads.iter().map(day_of).chain(minutes.keys().copied()).collect();
    let days: Vec<i64> = days.into_iter().collect();
    let in_page = LEVELS[1].page / LEVELS[0].page;
    let mut gone_through = BTreeSet::new();
    for month in days.chunk_by(|a, b| a.div_euclid(in_page) == b.div_euclid(in_page)) {
        let mut expected = BySeries::new();
        for &day in month {
            let first = heads.partition_point(|head| day_of(head) < day);
            let last = heads.partition_point(|head| day_of(head) <= day);
            let written = check_day(connection, day, (&heads[first..last], minutes.get(&day)), health)?;
            for (series, minutes) in written {
                let mut hours = summary::coarser(&minutes, LEVELS[1].width / LEVELS[0].width);
                expected.entry(series).or_default().append(&mut hours);
            }
        }
        let page = month[0].div_euclid(in_page);
        gone_through.insert(page);
        check_hours(connection, page, (hours.get(&page), &expected), health)?;
    }
    for (page, series) in hours.iter().filter(|(page, _)| !gone_through.contains(page)) {
        check_hours(connection, *page, (Some(series), &BySeries::new()), health)?;
    }
    Ok(())
}

/// One day's chunks against the minutes written of it, where readings are there; those minutes.
fn check_day(
    connection: &Connection,
    day: i64,
    (heads, pages): (&[Head], Option<&BTreeSet<i64>>),
    health: &mut Health,
) -> Result<BySeries, Trouble> {
    let (mut found, mut gone) = (BySeries::new(), BTreeSet::new());
    for head in heads {
        if head.dropped {
            gone.insert(head.hour);
        }
        let Some(columns) = sound(columns(connection, head), health)? else {
            gone.insert(head.hour);
            continue;
        };
        health.chunks += 1;
        for (series, column) in columns {
            health.readings += column.len() as u64;
            summary::summarise(&column, LEVELS[0].width, found.entry(series).or_default());
        }
    }
    let mut all = BySeries::new();
    let series: BTreeSet<i64> = found.keys().chain(pages.into_iter().flatten()).copied().collect();
    for series in series {
        let Some(written) = sound(summary::load(connection, series, LEVELS[0], day), health)? else { continue };
        let there = found.remove(&series).unwrap_or_default();
        let differs =
            |at: &&i64| !gone.contains(&at.div_euclid(HOUR / LEVELS[0].width)) && written.get(at) != there.get(at);
        let wrong = written.keys().chain(there.keys()).filter(differs).collect::<BTreeSet<_>>().len();
        if wrong > 0 {
            let what =
                format!("{wrong} minutes of series {series}, day {day} since 1970, are not those of its readings");
            health.problems.push(what);
        }
        all.insert(series, written);
    }
    Ok(all)
}

fn columns(connection: &Connection, head: &Head) -> Result<BTreeMap<i64, chunk::Column>, Trouble> {
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

/// Hours against the minutes, which are kept as long as they.
fn check_hours(
    connection: &Connection,
    page: i64,
    (pages, expected): (Option<&BTreeSet<i64>>, &BySeries),
    health: &mut Health,
) -> Result<(), Trouble> {
    let series: BTreeSet<i64> = expected.keys().chain(pages.into_iter().flatten()).copied().collect();
    for series in series {
        let Some(written) = sound(summary::load(connection, series, LEVELS[1], page), health)? else { continue };
        if expected.get(&series).cloned().unwrap_or_default() != written {
            health.problems.push(format!("hours of series {series}, page {page}, are not those of its minutes"));
        }
    }
    Ok(())
}

/// Which pages of a level there are in a feed, and of which series.
fn pages(connection: &Connection, feed: i64, level: Level) -> Result<BTreeMap<i64, BTreeSet<i64>>, Trouble> {
    let mut query = connection.prepare_cached(
        "SELECT p.page, p.series FROM summary p JOIN series s ON s.id = p.series WHERE s.feed = ?1 AND p.width = ?2",
    )?;
    let mut found: BTreeMap<i64, BTreeSet<i64>> = BTreeMap::new();
    for row in query.query_map([feed, level.width], |row| Ok((row.get(0)?, row.get(1)?)))? {
        let (page, series) = row?;
        found.entry(page).or_default().insert(series);
    }
    Ok(found)
}

/// What was read; nothing, and a problem more, where it is damaged.
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
