//! A reading at a bend: an alternator that only just reaches its regulated voltage at one speed tells that it makes
//! enough there, and not that it makes no more. What is then believed at idle is held against plants drawn by the
//! thousand and weighed by what was read, with no straight line anywhere.

mod common;

use common::*;
use model::expect::{quasi_normal, reading_noise, usual};
use model::fit::Seen;
use model::scores::Scores;
use model::steady::Model;
use plant::evidence::{Evidence, Moment, Occasion, ToldPoint};
use plant::plant::GaugeId;

const TOLD: &str = "[vessel]\nname = \"a plant that charges\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \
    \"1800 rpm\" }\n[part.alternator]\nkind = \"alternator\"\nrated = { current = \"60 A\" }\n[part.loads]\nkind = \
    \"load\"\npower = { value = \"300 W\", within = 1.5, from = \"log\" }\n[circuit.charging]\npath = [\"alternator\", \
    \"loads\"]\n[gauge.volts]\nat = \"alternator\"\nreads = \"voltage\"\n[gauge.speed]\nat = \"main\"\nreads = \"speed\"\n";
const DRAWS: usize = 3000;

fn read(model: &Model, volts: f64, speed: f64) -> Occasion {
    let gauge = model.plant.gauge("volts").expect("a voltmeter");
    let value =
        measure::reading::ReadingText::Value { value: volts, mark: measure::reading::Mark::Steady, rough: false };
    Occasion { when: Moment::Usual, at: told(model, speed), readings: vec![(gauge, value)], ..Occasion::default() }
}

fn told(model: &Model, speed: f64) -> ToldPoint {
    ToldPoint { speed: Some(speed * model.plant.rated_speed), ..ToldPoint::default() }
}

/// Share of drawn plants that read less than each of these at the last run, every one counting by how well it agrees with
/// what was read on the runs before.
fn by_drawing(model: &mut Model, seen: &Seen, gauge: GaugeId, places: [f64; 2]) -> [f64; 2] {
    let scores = Scores::of(model, seen.runs.len());
    let now = seen.runs.len() - 1;
    let (mut whole, mut below) = (0.0, [0.0; 2]);
    for draw in 0..DRAWS {
        let normals: Vec<f64> = (0..scores.len()).map(|k| quasi_normal(draw, k)).collect();
        let parameters = scores.parameters(model, &normals);
        let lasting = model.lasting(gauge) * scores.off(gauge, &normals);
        let mut shows = |run: usize| {
            let state = model.solve(&parameters, &scores.point(run, &seen.runs[run], &normals), None).ok()?;
            Some(model.read(&state, model.plant[gauge].tap) + lasting)
        };
        let shown: Option<Vec<f64>> = (0..=now).map(&mut shows).collect();
        let Some(shown) = shown else { continue };
        let off = |o: &model::fit::Observed| (o.value - shown[o.terms[0].0]) / o.noise;
        let weight = seen.observed.iter().map(|o| (-0.5 * off(o).powi(2)).exp()).product::<f64>();
        let noise = reading_noise(&model.plant, gauge, shown[now], false) * quasi_normal(draw, scores.len() + 7);
        whole += weight;
        for (share, place) in below.iter_mut().zip(places) {
            *share += if shown[now] + noise < place { weight } else { 0.0 };
        }
    }
    below.map(|share| share / whole)
}

#[test]
fn what_only_just_holds_may_hold_with_much_to_spare() {
    let mut model = model(TOLD);
    let gauge = model.plant.gauge("volts").expect("a voltmeter");
    let occasions = vec![read(&model, 14.15, 0.9), read(&model, 14.15, 0.75), read(&model, 14.1, 0.5)];
    let mut seen = usual(&model.plant, &Evidence { occasions, ..Evidence::default() });
    let idle = told(&model, 0.4);
    let band = model.expect(&idle, &seen).expect("a state").bands[gauge.0];
    let (point, spread) = model::point::told(&model.plant, &idle);
    let warmth = model::warmth::Warmth::Settled;
    seen.runs.push(model::fit::Run { point, spread, warmth, troubled: false });
    let [low, high] = by_drawing(&mut model, &seen, gauge, [band.low, band.high]);
    println!("{band:?}: {low} below, {high} below the upper end");
    assert!(low < 0.06 && (0.94..0.998).contains(&high), "{band:?} holds {low} to {high}");
}
