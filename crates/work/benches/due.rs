//! How long what is due takes, with ten years of history: 5,000 records on the demonstration vessel.

#![allow(missing_docs)] // The macros of the bench make undocumented functions.

use criterion::{Criterion, criterion_group, criterion_main};
use diary::{Line, read};
use std::hint::black_box;
use work::date::DAY;
use work::due::{Asked, list};
use work::record::Record;
use work::{risk, tasks};

fn due(criterion: &mut Criterion) {
    let text = include_str!("../../../vessels/marram/vessel.toml");
    let own = include_str!("../../../vessels/marram/work.toml");
    let plant = plant::reader::read(text).0.expect("the example is sound");
    let names: Vec<String> = tasks(&plant, &[text, own]).0.iter().map(|task| task.name.clone()).collect();
    let record = |place: i64| {
        let record = Record {
            task: Some(names[place as usize % names.len()].clone()),
            hours: Some(0.5 * place as f64),
            text: "as usual".into(),
            ..Record::default()
        };
        Line::of(place * DAY * 3650 / 5000, Some("A"), None, &record)
    };
    let lines: Vec<Line> = (0..5000).map(record).collect();
    let now = 3650 * DAY;
    criterion.bench_function("read 5000 records", |bench| bench.iter(|| read::<Record>(black_box(&lines))));
    criterion.bench_function("read the tasks", |bench| bench.iter(|| tasks(&plant, black_box(&[text, own]))));
    let records = read::<Record>(&lines);
    let tasks = tasks(&plant, &[text, own]).0;
    let meter = records.entries.iter().map(|entry| (entry.time, entry.what.hours.unwrap_or(0.0))).collect();
    let meters = [(plant.part("main").expect("an engine"), meter)];
    let readings = |_, _| Vec::new();
    let asked = Asked {
        plant: &plant,
        tasks: &tasks,
        records: &records,
        meters: &meters,
        readings: &readings,
        now,
        planned: None,
    };
    criterion.bench_function("what is due of 5000 records", |bench| {
        bench.iter(|| {
            let list = list(black_box(&asked));
            risk::first(&plant, &tasks, &list.rows).len()
        });
    });
}

criterion_group!(benches, due);
criterion_main!(benches);
