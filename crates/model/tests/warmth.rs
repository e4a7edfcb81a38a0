//! On the way to a steady state: one long step against marching in short ones.

mod common;

use common::*;
use model::steady::{Model, State};
use model::warmth::Warmth;
use parts::kind::Probe;
use parts::laws::Point;

const GAUGES: [&str; 2] = ["coolant", "oil-temperature"];

fn temperatures(model: &Model, state: &State) -> [f64; 2] {
    GAUGES.map(|name| reads(model, state, name))
}

/// Furthest that one step is off a march, as a share of the way from cold to settled, over the first forty minutes.
fn furthest_off(model: &mut Model, point: &Point<f64>) -> f64 {
    let figures = model.figures.clone();
    let mut warm = |minutes| model.solve_warm(&figures, point, Warmth::Started(minutes), None).expect("a state");
    let (cold, states) = (warm(0.01), [2.0, 5.0, 10.0, 20.0, 40.0].map(|minutes| (minutes, warm(minutes))));
    let settled = solved(model, point);
    let mut furthest: f64 = 0.0;
    for (minutes, one) in states {
        let march = model.march(&cold, &figures, &figures, point, 60.0 * minutes, |_, _| false).expect("a march");
        let (from, to) = (temperatures(model, &cold), temperatures(model, &settled));
        let (one, march) = (temperatures(model, &one), temperatures(model, &march.state));
        for k in 0..GAUGES.len() {
            furthest = furthest.max(((one[k] - march[k]) / (to[k] - from[k])).abs());
        }
    }
    furthest
}

#[test]
fn one_step_goes_as_far_as_a_march() {
    let mut model = model(MARRAM);
    let (hard, easy) = (point(&model, 0.93, 1.0, 17.0), point(&model, 0.4, 1.0, 17.0));
    let (hard, easy) = (furthest_off(&mut model, &hard), furthest_off(&mut model, &easy));
    assert!(hard < 0.13, "{hard}");
    assert!(easy < 0.36, "{easy}");
}

#[test]
fn oil_is_still_hot_when_she_is_eased() {
    let mut model = model(MARRAM);
    let figures = model.figures.clone();
    let (cruise, idle) = (point(&model, 0.93, 1.0, 17.0), point(&model, 0.35, 0.0, 17.0));
    let before = solved(&mut model, &cruise);
    let march = model.march(&before, &figures, &figures, &idle, 120.0, |_, _| false).expect("a march").state;
    let eased = model.solve_warm(&figures, &idle, Warmth::Eased(cruise.speed), None).expect("a state");
    for (one, other) in temperatures(&model, &eased).into_iter().zip(temperatures(&model, &march)) {
        assert!((one - other).abs() < 1.5, "{one} K, by a march {other} K");
    }
    // Hot oil is thin: the same idle shows less pressure than once she has cooled down.
    let settled = solved(&mut model, &idle);
    let (hot, cool) = (reads(&model, &eased, "oil-pressure"), reads(&model, &settled, "oil-pressure"));
    assert!(hot < 0.85 * cool, "{hot} Pa against {cool} Pa");
}

#[test]
fn coolant_that_stands_is_heated_all_along_the_jacket() {
    let mut model = model(MARRAM);
    let cruise = point(&model, 0.8, 1.0, 17.0);
    let mut figures = model.figures.clone();
    figures[place(&model, "coolant-pump", "impeller")] = 1e-6;
    let engine = part(&model.plant, "diesel");
    let state = model.solve_warm(&figures, &cruise, Warmth::Started(20.0), None).expect("a state");
    let see = |probe| model.probe(&state, engine, probe).expect("a jacket");
    let (from, to) = (see(Probe::InletTemperature(0)), see(Probe::OutletTemperature(0)));
    assert!(from > 368.0 && to > 368.0 && (from - to).abs() < 15.0, "{from} K and {to} K");
}

#[test]
fn slopes_on_the_way_are_those_of_the_step() {
    let mut model = model(MARRAM);
    let at = point(&model, 0.8, 1.0, 17.0);
    let figures = model.figures.clone();
    let warmth = Warmth::Started(8.0);
    let taps = GAUGES.map(|name| gauge(&model.plant, name).tap);
    let state = model.solve_warm(&figures, &at, warmth, None).expect("a state");
    let slopes = model.slopes(&figures, &state, &taps).expect("slopes");
    let diesel = model.plant.parts.iter().position(|part| part.kind.name == "diesel").expect("an engine");
    let engine = plant::plant::PartId(diesel);
    let first = model.layout.first_parameter(engine);
    for name in ["rated_power", "jacket_share", "block_conductance"] {
        let named = |p: &parts::kind::Parameter| p.name == name;
        let place = first + model.plant[engine].kind.parameters.iter().position(named).expect("a parameter");
        let step = 1e-4 * figures[place];
        let mut solve = |by: f64| {
            let mut moved = figures.clone();
            moved[place] += by;
            let state = model.solve_warm(&moved, &at, warmth, Some(&state)).expect("a state");
            temperatures(&model, &state)
        };
        let (up, down) = (solve(step), solve(-step));
        for k in 0..taps.len() {
            let by_hand = (up[k] - down[k]) / (2.0 * step);
            let off = (slopes[k].parameters[place] - by_hand).abs() * figures[place];
            assert!(off < 0.02 + 0.01 * (by_hand * figures[place]).abs(), "{name}: {off} K");
        }
    }
}
