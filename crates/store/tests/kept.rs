//! What is given is read back to the step, once, in order, whatever the order and the clock it came with.

mod common;

use common::*;
use std::collections::BTreeMap;
use std::collections::BTreeSet;
use store::{Arrival, Clock, Reading, StoreError, Taken};

#[test]
fn whatever_comes_is_read_back_to_the_step_and_its_plots_are_those_of_its_readings() {
    // Most of the time is waiting for commits.
    std::thread::scope(|scope| {
        for seed in 0..12 {
            scope.spawn(move || comes_and_is_read_back(seed));
        }
    });
}

fn comes_and_is_read_back(seed: u64) {
    let mut draw = Draw(seed);
    let (_folder, path) = place();
    let mut store = Some(open(&path));
    // Two gauges read together, one alone, one of them with two resolutions.
    let gauges = [
        gauge("oil", "engine", 0.5),
        gauge("coolant", "engine", 0.1),
        gauge("tank", "tank", 1.0),
        gauge("oil", "engine", 0.25),
    ];
    let series = gauges.each_ref().map(|g| store.as_ref().expect("open").register(g).expect("a series"));
    let mut told: BTreeMap<usize, BTreeSet<(i64, i64)>> = BTreeMap::new();
    let mut repeats: Vec<Reading> = Vec::new();
    for _ in 0..30 {
        let begin = JUNE + draw.below(3 * DAY) - DAY;
        let (count, every) = (1 + draw.below(400), [1, 250, 1000, 60_000, HOUR][draw.below(5) as usize]);
        let mut batch = Vec::new();
        for i in 0..count {
            let time = begin + i * every + if draw.below(10) == 0 { draw.below(5_000) - 2_500 } else { 0 };
            for which in 0..4 {
                if draw.below(4) > 0 {
                    let wild = draw.below(200) == 0;
                    let steps = if wild { draw.below(1 << 41) - (1 << 40) } else { 800 + draw.below(7) };
                    batch.push(reading(series[which], time, steps));
                    told.entry(which).or_default().insert((time, steps));
                }
            }
        }
        if draw.below(3) == 0 {
            batch.reverse();
        }
        batch.extend(repeats.iter().take(50));
        repeats.clone_from(&batch);
        let arrival = if draw.below(2) == 0 { Arrival::Live } else { Arrival::Import };
        let count = batch.len();
        let open_store = store.as_ref().expect("open");
        let taken = give(open_store, batch, arrival);
        assert_eq!(taken.stored + taken.repeated, count);
        match draw.below(6) {
            0 => open_store.seal().expect("sealed"),
            1 => {
                drop(store.take());
                store = Some(open(&path));
            }
            _ => {}
        }
    }
    let store = store.expect("open");
    for round in 0..2 {
        for (name, of) in [("coolant", vec![1]), ("tank", vec![2]), ("oil", vec![0, 3])] {
            let kept = all(store.reader(), name);
            assert!(kept.is_sorted_by_key(|k| k.time));
            let expected: usize = of.iter().map(|which| told[which].len()).sum();
            assert_eq!(kept.len(), expected, "{name} of seed {seed}, round {round}");
            for which in &of {
                let values: BTreeSet<_> = kept.iter().map(|k| (k.time, k.steps, k.value.to_bits())).collect();
                let step = gauges[*which].step;
                assert!(told[which].iter().all(|&(t, s)| values.contains(&(t, s, (s as f64 * step).to_bits()))));
            }
            for (days, points) in [(0.001, 100), (0.5, 900), (3.0, 1000), (40.0, 1000), (3650.0, 1000)] {
                let from = JUNE - draw.below(2 * DAY);
                let span = from..from + (days * DAY as f64) as i64;
                let plot = store.reader().query(name, span.clone(), points).expect("a plot");
                assert!(plot.points.len() <= points + 1);
                is_made_of(&plot, &kept, span);
            }
        }
        store.seal().expect("sealed");
    }
    assert_eq!(sound(store.reader()).open, 0);
}

fn a_day_by_the_second(series: &[store::Series]) -> Vec<Reading> {
    let mut draw = Draw(7);
    let at = |second: i64| JUNE + second * 1000;
    (0..86_400)
        .flat_map(|second| series.iter().map(move |s| (second, *s)))
        .map(|(second, s)| reading(s, at(second), 700 + second / 3600 + draw.below(5)))
        .collect()
}

#[test]
fn importing_twice_changes_nothing() {
    let (_folder, path) = place();
    let store = open(&path);
    let series = ["a", "b"].map(|name| store.register(&gauge(name, "both", 0.1)).expect("a series"));
    let day = a_day_by_the_second(&series);
    assert_eq!(give(&store, day.clone(), Arrival::Import), Taken { stored: 172_800, ..Taken::default() });
    let first = all(store.reader(), "a");
    let plot = store.reader().query("a", JUNE..JUNE + DAY, 500).expect("a plot");
    // All at once, in pieces that end anywhere, and as if it were read now.
    assert_eq!(give(&store, day.clone(), Arrival::Import).repeated, 172_800);
    for piece in day.chunks(17_001) {
        assert_eq!(give(&store, piece.to_vec(), Arrival::Import).repeated, piece.len());
    }
    assert_eq!(give(&store, day[..1000].to_vec(), Arrival::Live).repeated, 1000);
    store.seal().expect("sealed");
    assert_eq!(all(store.reader(), "a"), first);
    assert_eq!(store.reader().query("a", JUNE..JUNE + DAY, 500).expect("a plot"), plot);
    assert_eq!(sound(store.reader()).readings, 172_800);
}

#[test]
fn small_and_large_imports_in_any_order_come_to_the_same() {
    let kept = [3_000, 30_000, 172_800].map(|size| {
        let (_folder, path) = place();
        let store = open(&path);
        let series = ["a", "b"].map(|name| store.register(&gauge(name, "both", 0.1)).expect("a series"));
        let mut pieces: Vec<Vec<Reading>> = a_day_by_the_second(&series).chunks(size).map(<[_]>::to_vec).collect();
        pieces.reverse();
        let pending: Vec<_> = pieces.into_iter().map(|p| store.append(p, Arrival::Import).expect("in range")).collect();
        let stored: usize = pending.into_iter().map(|p| p.wait().expect("kept").stored).sum();
        assert_eq!(stored, 172_800);
        store.seal().expect("sealed");
        sound(store.reader());
        (all(store.reader(), "b"), store.reader().query("b", JUNE..JUNE + DAY, 700).expect("a plot"))
    });
    assert!(kept[0] == kept[1] && kept[1] == kept[2]);
}

#[test]
fn a_clock_that_jumps_costs_no_reading_and_no_order_and_is_told() {
    let (_folder, path) = place();
    let mut steps = 0;
    let mut given = Vec::new();
    let far = JUNE + 75 * 365 * DAY;
    // In order; unset after a power cut; set; far ahead; put back; back by a minute; by less than wires overtake each other.
    let begins =
        [JUNE, 5_000, JUNE + HOUR, far, JUNE + 2 * HOUR, JUNE + 2 * HOUR - 60_000, JUNE + 2 * HOUR - 60_000 + 95_000];
    for (i, begin) in begins.into_iter().enumerate() {
        let store = open(&path);
        let series = store.register(&gauge("oil", "engine", 0.5)).expect("a series");
        let batch: Vec<_> = (0..100).map(|i| reading(series, begin + i * 1000, steps + i)).collect();
        steps += 100;
        given.extend(batch.iter().map(|r| (r.time, r.steps)));
        assert_eq!(give(&store, batch, Arrival::Live).stored, 100);
        let latest = store.reader().latest("oil").expect("read").expect("there");
        assert_eq!(latest.steps, steps - 1, "the latest is the last one given, whatever the clock");
        if i % 2 == 0 {
            store.seal().expect("sealed");
        }
    }
    let store = open(&path);
    let kept = all(store.reader(), "oil");
    assert_eq!(pairs(&kept), given.iter().copied().collect());
    assert!(kept.is_sorted_by_key(|k| k.time));
    let clock = |steps: i64| kept.iter().find(|k| k.steps == steps).map(|k| (k.run, k.clock));
    assert_eq!(clock(0), Some((1, Clock::Sound)));
    assert_eq!(clock(100), Some((2, Clock::Unset)));
    assert_eq!(clock(200), Some((3, Clock::Sound)));
    assert_eq!(clock(300), Some((3, Clock::Sound)), "a leap ahead cannot be told from a long stop");
    assert_eq!(clock(400), Some((4, Clock::PutBack)));
    assert_eq!(clock(500), Some((5, Clock::PutBack)));
    assert_eq!(clock(600), Some((5, Clock::PutBack)), "no new run for what wires may overtake");
    sound(store.reader());
}

#[test]
fn readings_let_go_leave_their_summaries_and_are_not_imported_again() {
    let (_folder, path) = place();
    let store = open(&path);
    let series = ["a", "b"].map(|name| store.register(&gauge(name, "both", 0.1)).expect("a series"));
    let unset = reading(series[0], 1_000, 3);
    give(&store, vec![unset], Arrival::Live);
    let day = a_day_by_the_second(&series);
    give(&store, day.clone(), Arrival::Import);
    let kept = all(store.reader(), "a");
    let before = store.reader().query("a", JUNE..JUNE + DAY, 1440).expect("a plot");
    let size = || std::fs::metadata(&path).expect("a file").len();
    // The log goes into the file when it is closed.
    drop(store);
    let store = open(&path);
    let full = size();
    let fine = |span: std::ops::Range<i64>| store.reader().query("a", span, 1440).expect("a plot");
    assert_eq!(store.retain(JUNE + 20 * HOUR + 1).expect("let go"), 20);
    assert_eq!(fine(JUNE..JUNE + DAY), before, "minutes are as they were");
    assert_eq!(fine(JUNE..JUNE + HOUR).points.len(), 60, "no finer than a minute where readings were let go");
    let left = all(store.reader(), "a");
    assert_eq!(left.len(), 4 * 3600 + 1, "the last hours, and what came while the clock was not set");
    assert_eq!(left[1..], kept[1 + 20 * 3600..]);
    let again = give(&store, day.clone(), Arrival::Import);
    assert_eq!(again, Taken { stored: 0, repeated: 4 * 7200, too_old: 20 * 7200 });
    assert_eq!(give(&store, day[..10].to_vec(), Arrival::Import).too_old, 10);
    // Live ones are never turned away.
    let late = give(&store, vec![reading(series[0], JUNE + 5, 123)], Arrival::Live);
    assert_eq!(late.stored, 1);
    store.seal().expect("sealed");
    assert_eq!(fine(JUNE..JUNE + DAY).points[0].count, 61);
    sound(store.reader());
    drop(store);
    let store = open(&path);
    assert!(size() + 30_000 < full, "the room goes back to the disk: {} of {full}", size());
    drop(store);
}

#[test]
fn a_slip_in_what_is_given_is_refused_and_takes_nothing_with_it() {
    let (_folder, path) = place();
    let store = open(&path);
    let series = store.register(&gauge("oil", "engine", 0.5)).expect("a series");
    for (time, steps) in [(i64::MAX, 0), (i64::MIN, 0), (0, i64::MAX), (0, i64::MIN), (0, (1 << 40) + 1)] {
        let given = vec![reading(series, JUNE, 1), reading(series, time, steps)];
        assert!(matches!(store.append(given, Arrival::Live), Err(StoreError::OutOfRange { .. })));
    }
    for step in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(store.register(&gauge("x", "x", step)), Err(StoreError::BadScale { .. })));
    }
    let (_other_folder, other) = place();
    let other = open(&other);
    let foreign = (0..2).map(|i| other.register(&gauge(&format!("g{i}"), "x", 1.0)).expect("a series")).last();
    let given = vec![reading(foreign.expect("two"), JUNE, 1)];
    assert!(matches!(store.append(given, Arrival::Live), Err(StoreError::UnknownSeries { .. })));
    assert!(matches!(store.reader().latest("water"), Err(StoreError::UnknownGauge { .. })));
    assert_eq!(store.reader().latest("oil"), Ok(None));
    assert_eq!(all(store.reader(), "oil").len(), 0);
    let empty = store.reader().query("oil", 10..10, 100).expect("nothing");
    assert!(empty.points.is_empty());
    assert!(store.reader().query("oil", i64::MIN..i64::MAX, usize::MAX).expect("nothing").points.is_empty());
}
