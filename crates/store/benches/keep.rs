//! How many readings are kept a second, how small they are, and how soon a span of ten years or of ten seconds is drawn.
//!
//! The store is put where `BEDPLATE_STORE_BENCH` says, else in the folder for temporary files: name that disk beside the
//! figures. `BEDPLATE_STORE_DAYS` says how many days of the synthetic year are imported (10 if it says nothing).

#![allow(missing_docs, clippy::cast_possible_wrap)] // criterion writes functions of its own; numbers stay small

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::Instant;
use store::{Arrival, Gauge, Reading, Series, Store};

/// 17 May 2024, where a page of hours begins [ms since 1970].
const BEGIN: i64 = 19_860 * DAY;
const HOUR: i64 = 3_600_000;
const DAY: i64 = 24 * HOUR;
const YEAR: i64 = 365 * DAY;
const GAUGES: usize = 40;

fn folder() -> PathBuf {
    let under = std::env::var("BEDPLATE_STORE_BENCH").map_or_else(|_| std::env::temp_dir(), PathBuf::from);
    let folder = under.join("bedplate-store-bench");
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder for the store");
    folder
}

fn open(path: &Path) -> (Store, Vec<Series>) {
    let store = Store::open(path).expect("a store");
    let gauge = |i| Gauge { name: format!("g{i}"), feed: "engine".to_string(), step: 0.1, zero: 0.0 };
    let series = (0..GAUGES).map(|i| store.register(&gauge(i)).expect("a series")).collect();
    (store, series)
}

/// Splitmix64.
fn draw(seed: u64) -> u64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// A gauge at a second: a swing over the day and one over a quarter of an hour, and noise of about one step (a sum of
/// three draws, standard deviation 1.0 step), as a gauge shows that is read at its own resolution.
fn steps(gauge: usize, second: i64) -> i64 {
    let (t, g) = (second as f64, gauge as f64);
    let slow = 60.0 * (t / 86_400.0 * std::f64::consts::TAU + g).sin() + 8.0 * (t / 900.0 + g * g).sin();
    let bits = draw(second as u64 * 64 + gauge as u64);
    let even = |shift: u32| ((bits >> shift) & 0xF_FFFF) as f64 / f64::from(1 << 20) - 0.5;
    (800.0 + 20.0 * g + slow + 2.0 * (even(0) + even(20) + even(40))).round() as i64
}

/// Readings of some seconds; the clock that stamps them is a few milliseconds off the second, all gauges alike.
fn seconds(series: &[Series], from: i64, count: i64) -> Vec<Reading> {
    (from..from + count)
        .flat_map(|second| {
            let time = BEGIN + second * 1000 + (draw(second as u64) % 8) as i64;
            series.iter().enumerate().map(move |(i, s)| Reading { series: *s, time, steps: steps(i, second) })
        })
        .collect()
}

fn size(path: &Path) -> u64 {
    std::fs::metadata(path).map_or(0, |file| file.len())
}

/// Live readings, each moment of 40 gauges given by itself and acknowledged once it is on the disk.
fn live(folder: &Path) {
    for a_batch in [1, 25] {
        let path = folder.join(format!("live-{a_batch}.db"));
        let (store, series) = open(&path);
        let ready: Vec<_> = (0..60_000 / a_batch).map(|i| seconds(&series, i * a_batch, a_batch)).collect();
        let begin = Instant::now();
        let mut waiting = std::collections::VecDeque::new();
        let (mut count, mut longest) = (0, std::time::Duration::ZERO);
        for batch in ready {
            count += batch.len();
            waiting.push_back((Instant::now(), store.append(batch, Arrival::Live).expect("in range")));
            if waiting.len() * a_batch as usize > 1000 {
                let (given, pending) = waiting.pop_front().expect("some");
                pending.wait().expect("kept");
                longest = longest.max(given.elapsed());
            }
        }
        for (_, pending) in waiting {
            pending.wait().expect("kept");
        }
        let took = begin.elapsed().as_secs_f64();
        println!(
            "live, {} readings a batch: {count} kept in {took:.2} s, {:.0} a second, acknowledged within {:.0} ms",
            a_batch * GAUGES as i64,
            count as f64 / took,
            longest.as_secs_f64() * 1e3
        );
        drop(store);
        println!("  {:.3} bytes a reading in the whole file", size(&path) as f64 / count as f64);
    }
}

/// Days of the synthetic year, imported six hours at a time.
fn import(path: &Path, days: i64) {
    let (store, series) = open(path);
    let (mut took, mut count) = (0.0, 0_usize);
    for part in 0..days * 4 {
        let batch = seconds(&series, part * 21_600, 21_600);
        count += batch.len();
        let begin = Instant::now();
        store.append(batch, Arrival::Import).expect("in range").wait().expect("kept");
        took += begin.elapsed().as_secs_f64();
    }
    drop(store);
    parts(path, count);
    println!(
        "import: {count} kept in {took:.1} s, {:.0} a second; {:.3} bytes a reading in the whole file, {:.2} GB a year",
        count as f64 / took,
        size(path) as f64 / count as f64,
        size(path) as f64 / days as f64 * 365.0 / 1e9
    );
}

/// A day of gauges that are not read together: each has a feed and times of its own.
fn apart(path: &Path) {
    let store = Store::open(path).expect("a store");
    let gauge = |i| Gauge { name: format!("g{i}"), feed: format!("g{i}"), step: 0.1, zero: 0.0 };
    let series: Vec<Series> = (0..GAUGES).map(|i| store.register(&gauge(i)).expect("a series")).collect();
    for (i, series) in series.into_iter().enumerate() {
        let time = |second: i64| BEGIN + second * 1000 + (draw(second as u64 * 64 + i as u64) % 8) as i64;
        let day = (0..86_400).map(|second| Reading { series, time: time(second), steps: steps(i, second) }).collect();
        store.append(day, Arrival::Import).expect("in range").wait().expect("kept");
    }
    drop(store);
    let count = GAUGES as f64 * 86_400.0;
    println!(
        "a day of gauges with times of their own: {:.3} bytes a reading in the whole file",
        size(path) as f64 / count
    );
}

/// Where the bytes are.
fn parts(path: &Path, count: usize) {
    let file = rusqlite::Connection::open(path).expect("the store");
    for (what, sum) in [
        ("steps", "SELECT sum(length(steps)) FROM packed"),
        ("times", "SELECT sum(length(times)) FROM chunk"),
        (
            "minutes",
            "SELECT sum(length(slots) + length(counts) + length(lows) + length(spreads) + length(excesses)) FROM summary WHERE width = 60000",
        ),
        (
            "hours",
            "SELECT sum(length(slots) + length(counts) + length(lows) + length(spreads) + length(excesses)) FROM summary WHERE width = 3600000",
        ),
    ] {
        let bytes: i64 = file.query_row(sum, [], |row| row.get(0)).expect("a sum");
        println!("  {what}: {:.3} bytes a reading", bytes as f64 / count as f64);
    }
}

/// Where a store of those days is repeated, moved on each time, until it holds ten years of the hours it has: the chunks
/// and pages are copied as they stand, for packing 12.6 thousand million readings would take an hour.
fn ten_years(path: &Path, days: i64) {
    let file = rusqlite::Connection::open(path).expect("the store");
    let copies = 10 * 365 / days;
    file.execute_batch("PRAGMA synchronous = OFF; PRAGMA cache_size = -200000;").expect("quick");
    let ids: i64 = file.query_row("SELECT max(id) FROM chunk", [], |row| row.get(0)).expect("chunks");
    for copy in 1..copies {
        let (on, hours) = (copy * ids, copy * days * 24);
        file.execute_batch(&format!(
            "BEGIN;
             INSERT INTO chunk SELECT id + {on}, feed, run, hour + {hours}, dropped, count, times, crc
                FROM chunk WHERE id <= {ids};
             INSERT INTO packed (chunk, series, count, slots, least, steps, crc)
                SELECT chunk + {on}, series, count, slots, least, steps, crc FROM packed WHERE chunk <= {ids};
             INSERT INTO summary (series, width, page, count, slots, counts, lows, spreads, excesses, crc)
                SELECT series, width, page + {}, count, slots, counts, lows, spreads, excesses, crc
                FROM summary WHERE width = 60000 AND page < {};
             INSERT INTO summary (series, width, page, count, slots, counts, lows, spreads, excesses, crc)
                SELECT series, width, page + {}, count, slots, counts, lows, spreads, excesses, crc
                FROM summary WHERE width = 3600000 AND page < {};
             COMMIT;",
            copy * days,
            BEGIN / DAY + days,
            copy * days / 30,
            BEGIN / (30 * DAY) + days / 30,
        ))
        .expect("copied");
    }
}

fn keep(criterion: &mut Criterion) {
    let folder = folder();
    // In whole pages of the summaries, so that a copy moved on fits.
    let days = std::env::var("BEDPLATE_STORE_DAYS").ok().and_then(|days| days.parse().ok()).unwrap_or(10);
    live(&folder);
    apart(&folder.join("apart.db"));
    let path = folder.join("year.db");
    import(&path, days);
    if days % 30 == 0 {
        ten_years(&path, days);
    }
    let (store, _) = open(&path);
    let all = store.reader().query("g7", BEGIN..BEGIN + 10 * YEAR, 1000).expect("a plot");
    let count: u64 = all.points.iter().map(|point| point.count).sum();
    let hours = store.reader().latest("g7").expect("read").map_or(0, |kept| (kept.time - BEGIN) / HOUR);
    println!(
        "to query: {:.2} GB, {count} readings of each of {GAUGES} gauges over {hours} hours",
        size(&path) as f64 / 1e9
    );
    for (name, span) in [
        ("ten years", 10 * YEAR),
        ("one year", YEAR),
        ("41 days", 41 * DAY),
        ("one day", DAY),
        ("16 hours", 16 * HOUR),
        ("one hour", HOUR),
        ("ten seconds", 10_000),
    ] {
        // A place of its own each time, so that no answer is at hand.
        let mut turn = 0_u64;
        criterion.bench_function(&format!("1,000 points of {name}"), |bencher| {
            bencher.iter(|| {
                turn += 1;
                let room = ((hours * HOUR - span).max(1)) as u64;
                let from = BEGIN + (draw(turn) % room) as i64;
                let gauge = format!("g{}", turn % GAUGES as u64);
                let plot = store.reader().query(black_box(&gauge), from..from + span, 1000).expect("a plot");
                assert!(!plot.points.is_empty());
                plot
            });
        });
    }
    drop(store);
    cold(&path, hours);
    let _ = std::fs::remove_dir_all(&folder);
}

/// The same just after a start: nothing of the file is in memory, and a reader opens it first.
fn cold(path: &Path, hours: i64) {
    for (name, span) in
        [("ten years", 10 * YEAR), ("41 days", 41 * DAY), ("16 hours", 16 * HOUR), ("ten seconds", 10_000)]
    {
        let mut took: Vec<f64> = (0..11_u64)
            .map(|turn| {
                // Has the system forget the file.
                let forgot = std::process::Command::new("dd")
                    .args([&format!("if={}", path.display()), "iflag=nocache", "count=0", "status=none"])
                    .status();
                assert!(forgot.is_ok_and(|status| status.success()), "dd is needed to measure this");
                let room = ((hours * HOUR - span).max(1)) as u64;
                let from = BEGIN + (draw(turn) % room) as i64;
                let begin = Instant::now();
                let reader = store::Reader::open(path).expect("a store");
                reader.query(&format!("g{}", turn % 40), from..from + span, 1000).expect("a plot");
                begin.elapsed().as_secs_f64() * 1e3
            })
            .collect();
        took.sort_by(f64::total_cmp);
        println!("1,000 points of {name}, nothing in memory: middle {:.1} ms, longest {:.1} ms", took[5], took[10]);
    }
}

criterion_group! { name = benches; config = Criterion::default().sample_size(20); targets = keep }
criterion_main!(benches);
