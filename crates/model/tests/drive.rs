//! The drive line: power is followed from the engine to the propeller and to what is taken off, and none of it is lost.

mod common;

use common::*;
use model::steady::{Model, State};
use parts::laws::Point;
use plant::follow::{turned_by, turns};
use plant::plant::{PartId, Tap};

fn thrift(take_off: f64) -> Model {
    let mut plant = plant(THRIFT);
    let lever = plant.part("take-off").expect("a take-off");
    plant.turn(&[(lever, take_off)]);
    Model::new(&plant).expect("a sound structure")
}

#[track_caller]
fn inner(model: &Model, state: &State, part: &str, unknown: &str) -> f64 {
    let part = model.plant.part(part).unwrap_or_else(|| panic!("no part {part}"));
    let place = model.plant[part].kind.unknowns.iter().position(|u| u.name == unknown);
    model.read(state, Tap::Unknown(part, place.unwrap_or_else(|| panic!("no unknown {unknown}"))))
}

fn at(model: &Model, speed: f64, pitch: f64) -> Point<f64> {
    Point { pitch, ..point(model, speed, 1.0, 15.0) }
}

#[test]
fn what_the_engine_gives_ends_in_propeller_gear_bearings_and_take_off() {
    for (speed, pitch, lever) in [(0.9, 1.0, 0.0), (0.9, 1.0, 1.0), (0.5, 0.4, 1.0), (1.0, 0.8, 1.0)] {
        let mut model = thrift(lever);
        let at = at(&model, speed, pitch);
        let state = solved(&mut model, &at);
        let of = |part: &str, unknown: &str| inner(&model, &state, part, unknown);
        let figure = |part: &str, name: &str| {
            let part = model.plant.part(part).expect("it is there");
            let place = model.plant[part].kind.parameters.iter().position(|p| p.name == name).expect("a figure");
            model.plant[part].figures[place].value
        };
        let brake = of("main", "brake_power");
        let taken = of("take-off", "taken") + of("hydraulics", "taken");
        // The first law along the shaft, [Heywood1988] eq. 12.2 for what is turned and not burnt.
        let geared = (brake - taken) * (1.0 - figure("gearbox", "loss"));
        agrees(of("gearbox", "shaft_power"), geared, 1e-6 * brake, "behind the gearbox");
        let drags: f64 = ["thrust-bearing", "shaft-bearing", "stern-gland"].iter().map(|part| of(part, "drag")).sum();
        agrees(of("stern-gland", "shaft_power"), geared - drags, 1e-6 * brake, "behind the gland");
        let share = speed;
        let asked =
            figure("main", "rated_power") * figure("main", "absorbed") * share.powi(3) * of("propeller", "demand");
        agrees(brake, asked + taken + drags, 2e-3 * brake, "what is asked of the engine");
        assert!(if lever > 0.0 { taken > 200.0 } else { taken.abs() < 5.0 }, "{taken} W taken off, lever {lever}");
    }
}

#[test]
fn power_taken_off_burns_fuel_and_warms_the_exhaust() {
    let mut burnt = Vec::new();
    for lever in [0.0, 1.0] {
        let mut model = thrift(lever);
        let at = at(&model, 0.8, 0.7);
        let state = solved(&mut model, &at);
        burnt.push((inner(&model, &state, "main", "fuel_flow"), reads(&model, &state, "exhaust")));
        let turns = inner(&model, &state, "take-off", "speed");
        assert!(if lever > 0.0 { turns > 80.0 } else { turns.abs() < 1e-6 }, "{turns} rad/s, lever {lever}");
    }
    assert!(burnt[1].0 > 1.005 * burnt[0].0 && burnt[1].1 > burnt[0].1, "{burnt:?}");
}

#[test]
fn power_is_followed_from_the_engine_to_the_propeller_and_back() {
    let plant = plant(THRIFT);
    let id = |name: &str| plant.part(name).expect("it is there");
    let mut chain = vec![id("propeller")];
    while let Some(driver) = turned_by(&plant, chain[chain.len() - 1]) {
        chain.push(driver);
    }
    let names: Vec<&str> = chain.iter().map(|part| plant[*part].name.as_str()).collect();
    assert_eq!(names, ["propeller", "stern-gland", "shaft-bearing", "thrust-bearing", "gearbox", "main"]);
    let driven: Vec<PartId> = turns(&plant, id("main"));
    for part in ["gearbox", "belt", "take-off", "pump", "coolant-pump"] {
        assert!(driven.contains(&id(part)), "{part}");
    }
    assert_eq!(turns(&plant, id("take-off")), [id("hydraulics")]);
    // A vessel that tells nothing of her shaft has it as it was.
    let marram = common::plant(MARRAM);
    let of = |name: &str| marram.part(name).expect("it is there");
    assert_eq!(turned_by(&marram, of("propeller")), Some(of("gearbox")));
    assert_eq!(turned_by(&marram, of("gearbox")), Some(of("main")));
}

#[test]
fn a_tired_tensioner_lets_the_alternator_stand() {
    let mut model = thrift(0.0);
    let at = at(&model, 0.8, 1.0);
    let sound = solved(&mut model, &at);
    let mut figures = model.figures.clone();
    figures[place(&model, "belt-tensioner", "spring")] *= 0.02;
    let tired = model.solve(&figures, &at, None).expect("a state");
    let speed = |state: &State| inner(&model, state, "belt", "speed");
    assert!(speed(&tired) < 0.5 * speed(&sound), "{} and {} rad/s", speed(&tired), speed(&sound));
    assert!(reads(&model, &tired, "volts") < reads(&model, &sound, "volts") - 1.0);
}

/// A keel-cooled plant with this in its shaft line.
fn keel_cooled(parts: &str) -> Model {
    model(&format!(
        "[vessel]\nname = \"a shaft line\"\n[engine.main]\nrated = {{ power = \"60 kW\", speed = \"1800 rpm\" }}\n\
         [part.gearbox]\nkind = \"gearbox\"\n{parts}[circuit]\n\
         fresh-water = [\"coolant-pump\", \"engine\", \"thermostat\", \"keel-cooler\"]\n\
         exhaust = [\"engine\", \"dry-stack\", \"outlet\"]\n"
    ))
}

#[test]
fn seals_and_bearings_solve_everywhere_and_ask_for_no_raw_water_pump() {
    let mut model = keel_cooled(
        "[part.bearing]\nkind = \"water-bearing\"\n[part.seal]\nkind = \"face-seal\"\n[part.chain]\nkind = \"chain-drive\"\n\
         [part.compressor]\nkind = \"air-compressor\"\ndriven-by = \"chain\"\n[part.bottle]\nkind = \"air-receiver\"\n\
         [part.air]\nkind = \"starting-air-valve\"\n",
    );
    assert!(model.plant.parts.iter().all(|part| part.kind.name != "raw-pump" && part.kind.name != "intake"));
    let figures = model.figures.clone();
    for (speed, load) in [(0.0, 0.0), (0.35, 0.0), (0.6, 1.0), (1.0, 1.0)] {
        for sea in [0.0, 15.0, 32.0] {
            let at = point(&model, speed, load, sea);
            let state = model.solve(&figures, &at, None).expect("a state");
            // [Trade] 2.8: no more than 17 K over the sea.
            let rise = inner(&model, &state, "seal", "temperature") - at.sea;
            assert!((-0.5..17.0).contains(&rise), "{rise} K at {speed}");
        }
    }
    let at = point(&model, 0.9, 1.0, 15.0);
    let mut torn = figures.clone();
    torn[place(&model, "face-seal", "leak")] = 1.5;
    let state = model.solve(&torn, &at, None).expect("a state");
    let seal = model.plant[model.plant.part("seal").expect("a seal")].flows[0].expect("its drip");
    assert!(model.read(&state, Tap::Flow(seal)) > 0.5, "a torn bellows lets the sea in");
}

#[test]
fn water_fed_to_the_stern_tube_cools_the_gland() {
    let with = |feed: &str| {
        let mut model = model(&format!(
            "[vessel]\nname = \"fed\"\n[engine.main]\nrated = {{ power = \"60 kW\", speed = \"1800 rpm\" }}\n\
             [part.gearbox]\nkind = \"gearbox\"\n[part.gland]\nkind = \"stuffing-box\"\n{feed}"
        ));
        let at = point(&model, 1.0, 1.0, 15.0);
        let state = solved(&mut model, &at);
        inner(&model, &state, "gland", "rise")
    };
    let (fed, dry) = (with("[part.feed]\nkind = \"stern-tube-feed\"\n"), with(""));
    assert!(fed < 0.5 * dry && dry < 17.0, "{fed} K fed, {dry} K not");
}
