//! Summaries: count, least, greatest and sum of the readings of each minute and of each hour, exact, in whole steps.

use crate::codec::{pack, sum, unpack, verify};
use crate::error::Trouble;
use rusqlite::{Connection, OptionalExtension, params};
use std::collections::BTreeMap;

/// One minute [ms].
pub(crate) const MINUTE: i64 = 60_000;
const DAY: i64 = 86_400_000;

/// Stretches that are summarised, shortest first, and how many of them stand on one page.
pub(crate) const LEVELS: [Level; 2] =
    [Level { width: MINUTE, page: DAY }, Level { width: crate::reading::HOUR, page: 30 * DAY }];

/// How long a stretch is [ms], and what a page of them covers [ms].
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Level {
    pub width: i64,
    pub page: i64,
}

/// Readings of one stretch, taken together [steps].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Summary {
    pub count: u64,
    pub min: i64,
    pub max: i64,
    /// Of all of them.
    pub total: i128,
}

impl Summary {
    pub(crate) fn of(steps: i64) -> Summary {
        Summary { count: 1, min: steps, max: steps, total: i128::from(steps) }
    }

    pub(crate) fn with(self, other: Summary) -> Summary {
        Summary {
            count: self.count + other.count,
            min: self.min.min(other.min),
            max: self.max.max(other.max),
            total: self.total + other.total,
        }
    }
}

/// Summaries of one series by the number of their stretch since 1970.
pub(crate) type Stretches = BTreeMap<i64, Summary>;

/// Adds a summary to what stands at this stretch.
pub(crate) fn add(stretches: &mut Stretches, at: i64, summary: Summary) {
    stretches.entry(at).and_modify(|there| *there = there.with(summary)).or_insert(summary);
}

/// Summaries of readings in order of time, for one level.
pub(crate) fn summarise(column: &[(i64, i64)], width: i64, into: &mut Stretches) {
    for run in column.chunk_by(|a, b| a.0.div_euclid(width) == b.0.div_euclid(width)) {
        let all = run[1..].iter().fold(Summary::of(run[0].1), |all, &(_, steps)| all.with(Summary::of(steps)));
        add(into, run[0].0.div_euclid(width), all);
    }
}

/// The same for stretches that are made of shorter ones.
pub(crate) fn coarser(fine: &Stretches, factor: i64) -> Stretches {
    let mut coarse = Stretches::new();
    for (at, summary) in fine {
        add(&mut coarse, at.div_euclid(factor), *summary);
    }
    coarse
}

type Blobs = (usize, [Vec<u8>; 5], u32);

/// A page as it stands in the file; none there is an empty one.
pub(crate) fn load(connection: &Connection, series: i64, level: Level, page: i64) -> Result<Stretches, Trouble> {
    let mut query = connection.prepare_cached(
        "SELECT count, slots, counts, lows, spreads, excesses, crc FROM summary
         WHERE series = ?1 AND width = ?2 AND page = ?3",
    )?;
    let row: Option<Blobs> = query
        .query_row(params![series, level.width, page], |row| {
            let blobs = [row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?, row.get(5)?];
            Ok((row.get(0)?, blobs, row.get(6)?))
        })
        .optional()?;
    let Some((count, blobs, crc)) = row else { return Ok(Stretches::new()) };
    let first = page * (level.page / level.width);
    read(&blobs, count, crc, first).map_err(|trouble| match trouble {
        Trouble::Damaged(what) => {
            Trouble::Damaged(format!("{what} (summary of series {series}, width {} ms, page {page})", level.width))
        }
        sqlite @ Trouble::Sqlite(_) => sqlite,
    })
}

fn read(blobs: &[Vec<u8>; 5], count: usize, crc: u32, first: i64) -> Result<Stretches, Trouble> {
    let [slots, counts, lows, spreads, excesses] = blobs;
    verify(&blobs.each_ref().map(Vec::as_slice), crc)?;
    let (slots, counts) = (unpack::<u32>(slots, count)?, unpack::<u64>(counts, count)?);
    let (lows, spreads) = (unpack::<i64>(lows, count)?, unpack::<u64>(spreads, count)?);
    let excesses = unpack::<u64>(excesses, count)?;
    Ok((0..count)
        .map(|i| {
            let total = i128::from(lows[i]) * i128::from(counts[i]) + i128::from(excesses[i]);
            let max = lows[i].wrapping_add_unsigned(spreads[i]);
            (first + i64::from(slots[i]), Summary { count: counts[i], min: lows[i], max, total })
        })
        .collect())
}

/// Writes a page in place of what stands there.
pub(crate) fn save(
    connection: &Connection,
    series: i64,
    level: Level,
    page: i64,
    stretches: &Stretches,
) -> Result<(), Trouble> {
    let first = page * (level.page / level.width);
    let slots = pack(&stretches.keys().map(|at| (at - first) as u32).collect::<Vec<_>>())?;
    let counts = pack(&stretches.values().map(|s| s.count).collect::<Vec<_>>())?;
    let lows = pack(&stretches.values().map(|s| s.min).collect::<Vec<_>>())?;
    // Over the least they are small, and small numbers pack well.
    let spreads = pack(&stretches.values().map(|s| s.max.abs_diff(s.min)).collect::<Vec<_>>())?;
    let excess = |s: &Summary| (s.total - i128::from(s.min) * i128::from(s.count)) as u64;
    let excesses = pack(&stretches.values().map(excess).collect::<Vec<_>>())?;
    let crc = sum(&[&slots, &counts, &lows, &spreads, &excesses]);
    let mut insert = connection.prepare_cached(
        "INSERT INTO summary (series, width, page, count, slots, counts, lows, spreads, excesses, crc)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)
         ON CONFLICT DO UPDATE SET count = ?4, slots = ?5, counts = ?6, lows = ?7, spreads = ?8, excesses = ?9, crc = ?10",
    )?;
    insert.execute(params![series, level.width, page, stretches.len(), slots, counts, lows, spreads, excesses, crc])?;
    Ok(())
}
