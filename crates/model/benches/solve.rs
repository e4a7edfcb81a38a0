//! How long one steady state of Marram takes: from cold, from a state nearby, and with every slope of every gauge.

#![allow(missing_docs)] // criterion writes functions of its own

use criterion::{Criterion, criterion_group, criterion_main};
use model::steady::Model;
use parts::laws::Point;
use std::hint::black_box;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");

fn solve(criterion: &mut Criterion) {
    let plant = plant::reader::read(MARRAM).0.expect("a plant");
    let mut model = Model::new(&plant).expect("a sound structure");
    let figures = model.figures.clone();
    let cruise = Point {
        speed: 0.8 * plant.rated_speed,
        load: 1.0,
        sea: 288.15,
        air: 291.15,
        atmosphere: 101_325.0,
        pitch: 1.0,
    };
    println!("{} unknowns, {} figures, {} gauges", model.layout.len(), figures.len(), plant.gauges.len());

    criterion.bench_function("marram cold", |bencher| {
        bencher.iter(|| model.solve(&figures, black_box(&cruise), None).expect("a state"));
    });
    let near = model.solve(&figures, &cruise, None).expect("a state");
    let faster = Point { speed: cruise.speed * 1.01, ..cruise };
    // Factors of the state nearby are at hand, as they are when a band is drawn.
    criterion.bench_function("marram warm, speed 1 % up", |bencher| {
        bencher.iter(|| model.solve(&figures, black_box(&faster), Some(&near)).expect("a state"));
    });
    let taps: Vec<_> = plant.gauges.iter().map(|gauge| gauge.tap).collect();
    criterion.bench_function("marram, all slopes of all gauges", |bencher| {
        bencher.iter(|| model.slopes(&figures, black_box(&near), &taps).expect("slopes"));
    });
}

criterion_group!(benches, solve);
criterion_main!(benches);
