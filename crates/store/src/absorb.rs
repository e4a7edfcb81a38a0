//! Readings into chunks and summaries: what is there already is left out, the rest is merged into its hour.

use crate::chunk::{Chunk, Column, Head, heads};
use crate::error::Trouble;
use crate::reading::{Row, Taken};
use crate::summary::{self, LEVELS, Stretches};
use rusqlite::Connection;
use std::collections::BTreeMap;

/// Whether readings of an hour that was let go are taken all the same.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Late {
    Taken,
    Refused,
}

/// Packs readings away, in whatever order they are. All or nothing is the caller's to see to, by a transaction.
pub(crate) fn absorb(connection: &Connection, rows: &mut [Row], late: Late) -> Result<Taken, Trouble> {
    let key = |row: &Row| (row.feed, row.hour(), row.run, row.series, row.time, row.steps);
    if !rows.is_sorted_by_key(key) {
        rows.sort_unstable_by_key(key);
    }
    let mut taken = Taken::default();
    let mut minutes: BTreeMap<i64, Stretches> = BTreeMap::new();
    for bucket in rows.chunk_by(|a, b| (a.feed, a.hour()) == (b.feed, b.hour())) {
        let (feed, hour) = (bucket[0].feed, bucket[0].hour());
        let there = heads(connection, feed, (hour, hour))?;
        if late == Late::Refused && there.iter().any(|head| head.dropped) {
            taken.too_old += bucket.len();
            continue;
        }
        let mut chunks = there.iter().map(|head| head.load(connection)).collect::<Result<Vec<Chunk>, _>>()?;
        for same_run in bucket.chunk_by(|a, b| a.run == b.run) {
            let fresh = fresh(same_run, &chunks);
            let count: usize = fresh.values().map(Vec::len).sum();
            taken.stored += count;
            taken.repeated += same_run.len() - count;
            if count == 0 {
                continue;
            }
            for (series, column) in &fresh {
                summary::summarise(column, LEVELS[0].width, minutes.entry(*series).or_default());
            }
            let run = same_run[0].run;
            let at = chunks.iter().position(|chunk| chunk.run == run).unwrap_or_else(|| {
                chunks.push(Chunk { feed, run, hour, ..Chunk::default() });
                chunks.len() - 1
            });
            merge(&mut chunks[at].columns, fresh);
            chunks[at].save(connection)?;
        }
    }
    for (series, minutes) in &minutes {
        add_to_pages(connection, *series, minutes)?;
    }
    Ok(taken)
}

/// What none of these chunks has, by series, in order. The rows are in order and of one hour and run.
fn fresh(rows: &[Row], chunks: &[Chunk]) -> BTreeMap<i64, Column> {
    let mut found = BTreeMap::new();
    for own in rows.chunk_by(|a, b| a.series == b.series) {
        let series = own[0].series;
        let mut column: Column = own.iter().map(|row| (row.time, row.steps)).collect();
        column.dedup();
        for there in chunks.iter().filter_map(|chunk| chunk.columns.get(&series)) {
            column.retain(|reading| there.binary_search(reading).is_err());
        }
        if !column.is_empty() {
            found.insert(series, column);
        }
    }
    found
}

fn merge(columns: &mut BTreeMap<i64, Column>, fresh: BTreeMap<i64, Column>) {
    for (series, mut column) in fresh {
        let there = columns.entry(series).or_default();
        let in_order = there.last() <= column.first();
        there.append(&mut column);
        if !in_order {
            there.sort_unstable();
        }
    }
}

/// Adds summaries of minutes to what the file has, and so for the longer stretches.
fn add_to_pages(connection: &Connection, series: i64, minutes: &Stretches) -> Result<(), Trouble> {
    for level in LEVELS {
        let factor = level.width / LEVELS[0].width;
        let stretches: Vec<_> = summary::coarser(minutes, factor).into_iter().collect();
        let a_page = level.page / level.width;
        for page in stretches.chunk_by(|a, b| a.0.div_euclid(a_page) == b.0.div_euclid(a_page)) {
            let number = page[0].0.div_euclid(a_page);
            let mut there = summary::load(connection, series, level, number)?;
            for (at, added) in page {
                summary::add(&mut there, *at, *added);
            }
            summary::save(connection, series, level, number, &there)?;
        }
    }
    Ok(())
}

/// What stands in the chunks of one hour, to tell what repeats it.
pub(crate) struct Sealed {
    heads: Vec<Head>,
    /// Of all its chunks; nothing later can repeat them.
    last: Option<i64>,
    chunks: Option<Vec<Chunk>>,
}

impl Sealed {
    pub(crate) fn read(connection: &Connection, feed: i64, hour: i64) -> Result<Sealed, Trouble> {
        let heads = heads(connection, feed, (hour, hour))?;
        let mut last = None;
        for head in &heads {
            // Of a damaged column of times nothing is known, so that all could be in it.
            last = last.max(match head.times() {
                Err(Trouble::Damaged(_)) => Some(i64::MAX),
                times => times?.last().copied(),
            });
        }
        Ok(Sealed { heads, last, chunks: None })
    }

    pub(crate) fn dropped(&self) -> bool {
        self.heads.iter().any(|head| head.dropped)
    }

    pub(crate) fn has(&mut self, connection: &Connection, row: &Row) -> Result<bool, Trouble> {
        if self.last < Some(row.time) {
            return Ok(false);
        }
        if self.chunks.is_none() {
            self.chunks = Some(self.heads.iter().map(|h| h.load(connection)).collect::<Result<_, _>>()?);
        }
        let of_series = self.chunks.iter().flatten().filter_map(|chunk| chunk.columns.get(&row.series));
        Ok(of_series.into_iter().any(|column| column.binary_search(&(row.time, row.steps)).is_ok()))
    }
}
