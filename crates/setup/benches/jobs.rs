//! How long each set-up job takes, its doubt included, on values such as its form shows.

#![allow(missing_docs)] // The macros of the bench make undocumented functions.

use criterion::{Criterion, criterion_group, criterion_main};
use setup::ask::{Ask, Need, Sort};
use setup::doubt;
use setup::given::Given;
use setup::job::Job;
use setup::jobs::JOBS;
use std::hint::black_box;

/// As a form shows it could be told; of a list six of them.
fn example(ask: &Ask) -> String {
    match ask.sort {
        Sort::Choice(words) => words[0].0.into(),
        Sort::Many(_) if !ask.example().contains(", ") || ask.example().contains('…') => {
            let one = ask.example().replace(", …", "");
            [one.as_str(); 6].join(", ")
        }
        _ => ask.example(),
    }
}

/// What must be told, and as much of the rest as it takes before there is an answer.
fn answered(job: &Job) -> Option<Given> {
    let pair = |ask: &Ask| (ask.key.to_string(), example(ask));
    let must: Vec<_> = job.asks.iter().filter(|ask| ask.need == Need::Must).map(pair).collect();
    let rest: Vec<_> = job.asks.iter().filter(|ask| ask.need == Need::May).map(pair).collect();
    (0..=rest.len()).rev().find_map(|count| {
        let told: Vec<_> = must.iter().chain(&rest[..count]).cloned().collect();
        let given = Given::read(job, &told, &[]).ok()?;
        doubt::work(job, &given).is_ok().then_some(given)
    })
}

fn jobs(criterion: &mut Criterion) {
    for job in JOBS {
        let Some(given) = answered(job) else {
            println!("{}: its examples do not go together", job.word);
            continue;
        };
        criterion.bench_function(job.word, |bench| bench.iter(|| doubt::work(job, black_box(&given))));
    }
}

criterion_group!(benches, jobs);
criterion_main!(benches);
