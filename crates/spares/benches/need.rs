//! How long it takes to find what a passage needs, of three hundred items on Marram: every way to fail that wants a spare has
//! its item, and half of them another one besides.

#![allow(missing_docs)] // criterion writes functions of its own

use criterion::{Criterion, criterion_group, criterion_main};
use diary::Diary;
use spares::said::way;
use spares::uses::curable;
use spares::{Goal, Passage, need, read, stock};
use std::fmt::Write as _;
use std::hint::black_box;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
const ITEMS: usize = 300;

fn passage(criterion: &mut Criterion) {
    let plant = plant::reader::read(MARRAM).0.expect("a plant");
    let ways: Vec<String> = curable(&plant).map(|(of, cause)| way(&plant, of, cause).replace('_', "-")).collect();
    let mut text = String::new();
    for n in 0..ITEMS {
        let (fits, weight, aboard) = (&ways[n % ways.len()], 100 + n * 37 % 900, n % 3);
        writeln!(text, "[item.i{n}]\nnumber = \"N{n}\"\nweight = \"{weight} g\"\naboard = {aboard}\nfits = \"{fits}\"")
            .expect("a string grows");
    }
    let (stores, findings) = read(&text, &plant);
    assert!(findings.is_empty() && stores.items.len() == ITEMS, "{findings:?}");
    criterion.bench_function("300 items read", |bencher| bencher.iter(|| read(black_box(&text), &plant)));
    let aboard = stock(&plant, &stores, &Diary::default(), &[]);
    for (name, hours, days) in [("a fortnight", 346.0, 15.0), ("a season", 2_000.0, 180.0)] {
        let leg = Passage { hours, days, departs: 20_783 };
        criterion.bench_function(&format!("300 items, {name}"), |bencher| {
            bencher.iter(|| need(&plant, &stores, &aboard, black_box(&leg), &[], Goal::Weight, 0.05));
        });
    }
}

criterion_group!(benches, passage);
criterion_main!(benches);
