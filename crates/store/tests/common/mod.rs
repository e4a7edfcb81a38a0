//! What the tests share: a store in a folder of its own, numbers that are the same each time, a plot made the slow way.
#![allow(dead_code, clippy::cast_possible_wrap)] // each test file uses some of it; numbers stay small

use std::collections::BTreeSet;
use std::path::PathBuf;
use store::{Arrival, Gauge, Kept, Plot, Reading, Series, Store, Taken};
use tempfile::TempDir;

/// 1 June 2024, 00:00 UTC [ms since 1970].
pub const JUNE: i64 = 1_717_200_000_000;
pub const HOUR: i64 = 3_600_000;
pub const DAY: i64 = 24 * HOUR;

/// A folder that goes when the test ends, and the store's place in it.
pub fn place() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder for the test");
    let path = folder.path().join("log.db");
    (folder, path)
}

pub fn gauge(name: &str, feed: &str, step: f64) -> Gauge {
    Gauge { name: name.to_string(), feed: feed.to_string(), step, zero: 0.0 }
}

pub fn open(path: &std::path::Path) -> Store {
    Store::open(path).expect("the store opens")
}

#[track_caller]
pub fn give(store: &Store, readings: Vec<Reading>, arrival: Arrival) -> Taken {
    store.append(readings, arrival).expect("readings in range").wait().expect("readings are kept")
}

pub fn reading(series: Series, time: i64, steps: i64) -> Reading {
    Reading { series, time, steps }
}

/// Splitmix64: numbers that look drawn and are the same each time.
pub struct Draw(pub u64);

impl Draw {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, bound: i64) -> i64 {
        (self.next() % bound as u64) as i64
    }
}

#[track_caller]
pub fn sound(store: &store::Reader) -> store::Health {
    let health = store.check().expect("the check runs");
    assert_eq!(health.problems, Vec::<String>::new());
    health
}

pub fn all(store: &store::Reader, name: &str) -> Vec<Kept> {
    store.readings(name, i64::MIN..i64::MAX).expect("readings are read")
}

pub fn pairs(kept: &[Kept]) -> BTreeSet<(i64, i64)> {
    kept.iter().map(|kept| (kept.time, kept.steps)).collect()
}

/// That a plot is what its readings give, point by point, and misses none of them.
#[track_caller]
pub fn is_made_of(plot: &Plot, kept: &[Kept], span: std::ops::Range<i64>) {
    assert_eq!(plot.damaged, Vec::<String>::new());
    for point in &plot.points {
        let at = |time: i64| kept.partition_point(|k| k.time < time);
        let own: Vec<f64> = kept[at(point.from)..at(point.until)].iter().map(|k| k.value).collect();
        assert_eq!(point.count, own.len() as u64, "count from {} to {}", point.from, point.until);
        assert_eq!(point.min, own.iter().copied().fold(f64::INFINITY, f64::min));
        assert_eq!(point.max, own.iter().copied().fold(f64::NEG_INFINITY, f64::max));
        let mean = own.iter().sum::<f64>() / own.len() as f64;
        // The sum of the slow way is rounded at each step; ours is not.
        assert!((point.mean - mean).abs() <= 1e-9 * mean.abs().max(1.0), "{} is not {mean}", point.mean);
    }
    let in_points = |time: i64| {
        let next = plot.points.partition_point(|p| p.until <= time);
        plot.points.get(next).is_some_and(|p| p.from <= time)
    };
    assert!(plot.points.is_sorted_by_key(|p| p.from));
    assert!(kept.iter().filter(|k| span.contains(&k.time)).all(|k| in_points(k.time)), "a reading is in no point");
}
