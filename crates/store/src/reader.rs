//! What is read back: a plot of any span, single readings, the latest. Never waits for the thread that writes.

use crate::chunk::{Head, heads, last_before};
use crate::clock::code;
use crate::error::{StoreError, Trouble};
use crate::reading::{Clock, FURTHEST, Gauge, HOUR, Kept, Plot, Point};
use crate::schema;
use crate::summary::{self, LEVELS, Summary};
use rusqlite::{Connection, OptionalExtension, params};
use std::collections::HashMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// More points than any picture shows; a slip in asking must not ask for all the memory.
const MOST_POINTS: usize = 100_000;

/// Reads a store, while it is written or not; on a read-only disk too.
pub struct Reader {
    path: PathBuf,
    idle: Mutex<Vec<Connection>>,
}

/// A gauge at one resolution.
pub(crate) struct Scale {
    pub id: i64,
    pub feed: i64,
    pub step: f64,
    pub zero: f64,
}

impl Reader {
    /// Opens a store for reading only.
    ///
    /// # Errors
    /// If there is none, it is of a later version, or it cannot be read.
    pub fn open(path: &Path) -> Result<Reader, StoreError> {
        let first = schema::open_to_read(path)?;
        Ok(Reader { path: path.to_path_buf(), idle: Mutex::new(vec![first]) })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Every gauge that was ever registered, once for each resolution.
    pub fn gauges(&self) -> Result<Vec<Gauge>, StoreError> {
        self.with(|connection| {
            let mut query = connection.prepare_cached(
                "SELECT s.gauge, f.name, s.step, s.zero FROM series s JOIN feed f ON f.id = s.feed ORDER BY s.gauge, s.id",
            )?;
            let gauge = |row: &rusqlite::Row| {
                Ok(Gauge { name: row.get(0)?, feed: row.get(1)?, step: row.get(2)?, zero: row.get(3)? })
            };
            Ok(query.query_map([], gauge)?.collect::<Result<_, _>>()?)
        })
    }

    /// What a gauge showed over a span of time [ms since 1970], in about so many points, never more than one over it, and
    /// 100,000 at most.
    ///
    /// Each point covers a multiple of its width since 1970, so the first and the last may reach beyond the span. From a
    /// width of a minute on they are made of summaries, and so are those of hours whose single readings were let go.
    ///
    /// # Errors
    /// If the gauge is unknown or the file cannot be read. A damaged chunk is left out and told of in the plot.
    pub fn query(&self, gauge: &str, span: Range<i64>, points: usize) -> Result<Plot, StoreError> {
        let scales = self.scales(gauge)?;
        let span = span.start.max(-FURTHEST)..span.end.min(FURTHEST);
        self.with(|connection| plot(connection, &scales, &span, points.clamp(1, MOST_POINTS)))
    }

    /// Every single reading of a gauge in a span of time [ms since 1970], in order of time. Hours whose readings were let
    /// go have none. All of them are held in memory: ask for a long span piece by piece.
    ///
    /// # Errors
    /// If the gauge is unknown, the file cannot be read, or a chunk is damaged.
    pub fn readings(&self, gauge: &str, span: Range<i64>) -> Result<Vec<Kept>, StoreError> {
        let scales = self.scales(gauge)?;
        let span = span.start.max(-FURTHEST)..span.end.min(FURTHEST);
        self.with(|connection| {
            let clocks = clocks(connection)?;
            let mut kept = Vec::new();
            for scale in &scales {
                let mut keep = |run: i64, time: i64, steps: i64| {
                    if span.contains(&time) {
                        kept.push(scale.kept(&clocks, run, time, steps));
                    }
                };
                for head in heads(connection, scale.feed, hours(&span))? {
                    let column = head.column(connection, scale.id, &head.times()?)?;
                    column.into_iter().flatten().for_each(|(time, steps)| keep(head.run, time, steps));
                }
                open(connection, scale.id, &span, |time, steps, run| keep(run, time, steps))?;
            }
            kept.sort_by_key(|kept| (kept.time, kept.run, kept.steps));
            Ok(kept)
        })
    }

    /// The last reading of a gauge: of the last run of the clock in which it was read, and imported only if it never was.
    ///
    /// # Errors
    /// If the gauge is unknown, the file cannot be read, or the chunk is damaged.
    pub fn latest(&self, gauge: &str) -> Result<Option<Kept>, StoreError> {
        let scales = self.scales(gauge)?;
        self.with(|connection| {
            let clocks = clocks(connection)?;
            let mut best: Option<Kept> = None;
            for scale in &scales {
                let found = [last_open(connection, scale)?, last_packed(connection, scale)?];
                for (run, time, steps) in found.into_iter().flatten() {
                    if best.is_none_or(|best| (best.run, best.time) < (run, time)) {
                        best = Some(scale.kept(&clocks, run, time, steps));
                    }
                }
            }
            Ok(best)
        })
    }

    /// Closes connections that nobody uses now.
    pub(crate) fn rest(&self) {
        if let Ok(mut idle) = self.idle.lock() {
            idle.clear();
        }
    }

    fn scales(&self, gauge: &str) -> Result<Vec<Scale>, StoreError> {
        let scales = self.with(|connection| {
            let mut query =
                connection.prepare_cached("SELECT id, feed, step, zero FROM series WHERE gauge = ?1 ORDER BY id")?;
            let scale = |row: &rusqlite::Row| {
                Ok(Scale { id: row.get(0)?, feed: row.get(1)?, step: row.get(2)?, zero: row.get(3)? })
            };
            Ok(query.query_map([gauge], scale)?.collect::<Result<Vec<_>, _>>()?)
        })?;
        if scales.is_empty() { Err(StoreError::UnknownGauge { name: gauge.to_string() }) } else { Ok(scales) }
    }

    /// Does work on one state of the file, with a connection that nobody else uses meanwhile.
    pub(crate) fn with<T>(&self, work: impl FnOnce(&Connection) -> Result<T, Trouble>) -> Result<T, StoreError> {
        let idle = self.idle.lock().map_err(|_| StoreError::Closed)?.pop();
        let mut connection = idle.map_or_else(|| schema::open_to_read(&self.path), Ok)?;
        let done = connection.transaction().map_err(Trouble::from).and_then(|reading| work(&reading));
        if done.is_ok() {
            self.idle.lock().map_err(|_| StoreError::Closed)?.push(connection);
        }
        done.map_err(|trouble| trouble.at(&self.path))
    }
}

impl Scale {
    fn value(&self, steps: f64) -> f64 {
        self.zero + self.step * steps
    }

    fn kept(&self, clocks: &HashMap<i64, Clock>, run: i64, time: i64, steps: i64) -> Kept {
        let clock = clocks.get(&run).copied().unwrap_or(Clock::Sound);
        Kept { time, steps, value: self.value(steps as f64), run, clock }
    }
}

fn clocks(connection: &Connection) -> Result<HashMap<i64, Clock>, Trouble> {
    let mut query = connection.prepare_cached("SELECT id, clock FROM run")?;
    Ok(query.query_map([], |row| Ok((row.get(0)?, code(row.get(1)?))))?.collect::<Result<_, _>>()?)
}

fn hours(span: &Range<i64>) -> (i64, i64) {
    (span.start.div_euclid(HOUR), (span.end - 1).div_euclid(HOUR))
}

/// Open readings of a series in a span: time, steps, run.
fn open(
    connection: &Connection,
    series: i64,
    span: &Range<i64>,
    mut each: impl FnMut(i64, i64, i64),
) -> Result<(), Trouble> {
    let mut query = connection
        .prepare_cached("SELECT time, steps, run FROM open_reading WHERE time >= ?1 AND time < ?2 AND series = ?3")?;
    let mut rows = query.query(params![span.start, span.end, series])?;
    while let Some(row) = rows.next()? {
        each(row.get(0)?, row.get(1)?, row.get(2)?);
    }
    Ok(())
}

type Last = Option<(i64, i64, i64)>;

fn last_open(connection: &Connection, scale: &Scale) -> Result<Last, Trouble> {
    let mut query = connection.prepare_cached(
        "SELECT run, time, steps FROM open_reading WHERE series = ?1 ORDER BY run DESC, time DESC, steps DESC LIMIT 1",
    )?;
    Ok(query.query_row([scale.id], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).optional()?)
}

fn last_packed(connection: &Connection, scale: &Scale) -> Result<Last, Trouble> {
    let mut before = (i64::MAX, i64::MAX);
    while let Some(head) = last_before(connection, scale.feed, before)? {
        let column = head.column(connection, scale.id, &head.times()?)?;
        if let Some(&(time, steps)) = column.iter().flatten().next_back() {
            return Ok(Some((head.run, time, steps)));
        }
        before = (head.run, head.hour);
    }
    Ok(None)
}

fn plot(connection: &Connection, scales: &[Scale], span: &Range<i64>, points: usize) -> Result<Plot, Trouble> {
    let wanted = span.end.saturating_sub(span.start);
    if wanted <= 0 {
        return Ok(Plot::default());
    }
    let width = (wanted as u64).div_ceil(points as u64) as i64;
    let shortest = LEVELS[0].width;
    let width = if width < shortest && let_go(connection, scales, span)? { shortest } else { width };
    let level = LEVELS.iter().rev().find(|level| level.width <= width);
    let unit = level.map_or(1, |level| level.width);
    let width = (width as u64).div_ceil(unit as u64) as i64 * unit;
    let begin = span.start.div_euclid(width) * width;
    let count = ((span.end - begin) as u64).div_ceil(width as u64) as usize;
    let whole = begin..begin + width * count as i64;
    let mut damaged = Vec::new();
    let mut all: Vec<Option<Point>> = vec![None; count];
    for scale in scales {
        let mut sums: Vec<Option<Summary>> = vec![None; count];
        let mut add = |time: i64, summary: Summary| {
            if whole.contains(&time) {
                let place = &mut sums[((time - begin) / width) as usize];
                *place = Some(place.map_or(summary, |there| there.with(summary)));
            }
        };
        if let Some(level) = level {
            for page in whole.start.div_euclid(level.page)..=(whole.end - 1).div_euclid(level.page) {
                if let Some(page) = passed(summary::load(connection, scale.id, *level, page), &mut damaged)? {
                    for (at, summary) in page {
                        add(at * level.width, summary);
                    }
                }
            }
        } else {
            for head in heads(connection, scale.feed, hours(&whole))? {
                if let Some(column) = passed(column_of(&head, connection, scale.id), &mut damaged)?.flatten() {
                    for (time, steps) in column {
                        add(time, Summary::of(steps));
                    }
                }
            }
        }
        open(connection, scale.id, &whole, |time, steps, _| add(time, Summary::of(steps)))?;
        for (i, sum) in sums.into_iter().enumerate() {
            let Some(sum) = sum else { continue };
            let from = begin + width * i as i64;
            let point = scale.point(from..from + width, sum);
            all[i] = Some(all[i].map_or(point, |there| together(there, point)));
        }
    }
    damaged.dedup();
    Ok(Plot { width, points: all.into_iter().flatten().collect(), damaged })
}

/// Whether single readings of this span were let go.
fn let_go(connection: &Connection, scales: &[Scale], span: &Range<i64>) -> Result<bool, Trouble> {
    let (first, last) = hours(span);
    let mut query = connection.prepare_cached(
        "SELECT EXISTS (SELECT 1 FROM run r CROSS JOIN chunk c
         WHERE c.feed = ?1 AND c.run = r.id AND c.hour BETWEEN ?2 AND ?3 AND c.dropped = 1)",
    )?;
    for scale in scales {
        if query.query_row(params![scale.feed, first, last], |row| row.get(0))? {
            return Ok(true);
        }
    }
    Ok(false)
}

fn column_of(head: &Head, connection: &Connection, series: i64) -> Result<Option<Vec<(i64, i64)>>, Trouble> {
    head.column(connection, series, &head.times()?)
}

/// What was read; nothing, and a word of it, where it is damaged.
fn passed<T>(read: Result<T, Trouble>, damaged: &mut Vec<String>) -> Result<Option<T>, Trouble> {
    match read {
        Ok(read) => Ok(Some(read)),
        Err(Trouble::Damaged(what)) => {
            damaged.push(what);
            Ok(None)
        }
        Err(sqlite) => Err(sqlite),
    }
}

impl Scale {
    fn point(&self, stretch: Range<i64>, sum: Summary) -> Point {
        Point {
            from: stretch.start,
            until: stretch.end,
            min: self.value(sum.min as f64),
            max: self.value(sum.max as f64),
            mean: self.value(sum.total as f64 / sum.count as f64),
            count: sum.count,
        }
    }
}

/// One point of a gauge at two resolutions.
fn together(first: Point, second: Point) -> Point {
    let count = first.count + second.count;
    let mean = (first.mean * first.count as f64 + second.mean * second.count as f64) / count as f64;
    Point { min: first.min.min(second.min), max: first.max.max(second.max), mean, count, ..first }
}
