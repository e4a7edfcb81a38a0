//! A propeller whose pitch can be set: the load is speed and pitch together, and pitch may be untold, wrong or stuck.

mod common;

use common::*;
use model::steady::Model;
use parts::laws::Point;
use plant::evidence::ToldPoint;

/// Reading of a gauge, in pitches from none to design, at this share of rated speed.
fn along_pitch(model: &mut Model, name: &str, speed: f64) -> Vec<f64> {
    [0.0, 0.25, 0.5, 0.75, 1.0]
        .map(|pitch| {
            let at = Point { pitch, ..point(model, speed, 1.0, 15.0) };
            let state = solved(model, &at);
            reads(model, &state, name)
        })
        .to_vec()
}

#[test]
fn exhaust_and_way_rise_with_pitch_at_every_speed() {
    let mut model = model(THRIFT);
    let mut hottest = Vec::new();
    for speed in [0.5, 0.7, 0.9, 1.0] {
        for gauge in ["exhaust", "log", "pitch"] {
            let along = along_pitch(&mut model, gauge, speed);
            assert!(along.is_sorted(), "{gauge} at {speed}: {along:?}");
        }
        hottest.push(along_pitch(&mut model, "exhaust", speed)[4]);
    }
    // [Trade] 2.15: the table is two-dimensional; at one pitch it rises with speed too.
    assert!(hottest.is_sorted(), "{hottest:?}");
    let at = Point { pitch: -0.6, ..point(&model, 0.6, 1.0, 15.0) };
    let astern = solved(&mut model, &at);
    assert!(reads(&model, &astern, "log") < -1.0, "she goes astern by pitch");
}

#[test]
fn a_pitch_that_nobody_told_widens_the_bands_of_what_hangs_on_it() {
    let mut model = model(THRIFT);
    let speed = Some(0.85 * model.plant.rated_speed);
    let mut width = |pitch| {
        let at = ToldPoint { speed, pitch, sea: Some(288.15), ..ToldPoint::default() };
        let expected = model.expect(&at, &model::fit::Seen::default()).expect("it is expected");
        let gauge = model.plant.gauge("exhaust").expect("a gauge");
        let band = expected.bands.iter().find(|band| band.gauge == gauge).expect("a band");
        band.high - band.low
    };
    let (told, untold) = (width(Some(1.0)), width(None));
    assert!(untold > 1.15 * told, "{told} K told, {untold} K untold");
}

#[test]
fn a_pitch_that_was_told_wrong_is_found_from_what_was_read() {
    let mut model = model(THRIFT);
    let truth = Point { pitch: 0.72, ..point(&model, 0.85, 1.0, 15.0) };
    let state = solved(&mut model, &truth);
    let at = ToldPoint {
        speed: Some(truth.speed),
        pitch: Some(0.75),
        sea: Some(truth.sea),
        load: Some(1.0),
        ..ToldPoint::default()
    };
    let (told, spread) = model::point::told(&model.plant, &at);
    let run = model::fit::Run { point: told, spread, warmth: model::warmth::Warmth::Settled, troubled: false };
    let observed = model.plant.gauge_ids().filter(|gauge| model.plant[*gauge].trips.is_none()).map(|gauge| {
        let value = model.read(&state, model.plant[gauge].tap);
        let noise = model::expect::reading_noise(&model.plant, gauge, value, false);
        model::fit::Observed { terms: vec![(0, gauge, 1.0)], value, noise }
    });
    let seen = model::fit::Seen { runs: vec![run], observed: observed.collect(), ..Default::default() };
    let fit = model.fit(&seen, &model::under::Under::default(), None, 12).expect("a fit");
    let found = fit.states[0].point.pitch;
    // One round of gauges with errors of their own: a good part of the way, and not beyond.
    assert!(found < 0.75 - 0.25 * (0.75 - truth.pitch) && found > truth.pitch, "found {found}, was {}", truth.pitch);
}

#[test]
fn a_vessel_of_fixed_pitch_has_no_pitch_to_be_uncertain_of() {
    let (fixed, set) = (model(MARRAM), model(THRIFT));
    assert_eq!(model::point::count(&fixed.plant) + 1, model::point::count(&set.plant));
    let (point, spread) = model::point::told(&fixed.plant, &ToldPoint::default());
    assert!(point.pitch == 1.0 && spread.0[5] == 0.0);
    assert!(model::point::told(&set.plant, &ToldPoint::default()).1.0[5] > 0.0);
}
