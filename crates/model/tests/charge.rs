//! Charged engines: the gas drives the air, what fails shows where it would, and an engine that draws its air unaided has none
//! of it.

mod common;

use common::*;
use model::steady::{Model, State};
use plant::plant::{Linked, Tap, Terminal};

/// A keel-cooled engine with turbocharger and charge-air cooler, half the size of an unblown one of its power.
const CHARGED: &str = r#"
[vessel]
name = "a charged engine"
[engine.main]
rated = { power = "140 kW", speed = "2200 rpm" }
cylinders = 6
bore = "105 mm"
stroke = "125 mm"
[part.turbocharger]
rated-boost = "1.0 bar"
rated-gas-flow = "0.21 kg/s"
[circuit]
fresh-water = ["coolant-pump", "charge-air-cooler", "engine", "thermostat", "keel-cooler"]
exhaust = ["engine", "turbocharger", "bellows", "dry-stack", "silencer", "outlet"]
"#;

/// The state at full load with figures changed: (kind, parameter, value).
#[track_caller]
fn changed(model: &mut Model, changes: &[(&str, &str, f64)]) -> State {
    let mut figures = model.figures.clone();
    for (kind, parameter, value) in changes {
        figures[place(model, kind, parameter)] = *value;
    }
    let at = point(model, 1.0, 1.0, 15.0);
    model.solve(&figures, &at, None).unwrap_or_else(|stuck| panic!("{changes:?}: {stuck}"))
}

/// Temperature at the end of the first way through a part of a kind [°C].
#[track_caller]
fn leaves(model: &Model, state: &State, kind: &str) -> f64 {
    let flow = model.plant[part(&model.plant, kind)].flows[0].expect("it is flowed through");
    let Terminal::Node(node) = model.plant.flows[flow.0].to else { panic!("it ends in the open") };
    model.read(state, Tap::Temperature(node)) - ICE
}

fn boost(model: &Model, state: &State) -> f64 {
    inner(model, state, "charge-air-cooler", "boost") / 1e5
}

#[test]
fn it_solves_from_rest_to_overload_and_boost_follows_the_load() {
    let mut model = model(CHARGED);
    let figures = model.figures.clone();
    let (mut stuck, mut last) = (Vec::new(), -1.0);
    for speed in [0.0, 0.3, 0.5, 0.65, 0.8, 0.9, 1.0] {
        for load in [0.0, 0.3, 1.0, 1.15] {
            for sea in [0.0, 15.0, 32.0] {
                let at = point(&model, speed, load, sea);
                match model.solve(&figures, &at, None) {
                    Err(why) => stuck.push(format!("{speed} of rated, load {load}, sea {sea} °C: {why}")),
                    Ok(state) if load == 1.0 && sea == 15.0 => {
                        let now = boost(&model, &state);
                        assert!(now > last, "{now} bar at {speed} of rated after {last}");
                        last = now;
                    }
                    Ok(_) => {}
                }
            }
        }
    }
    assert!(stuck.is_empty(), "{} stuck:\n{}", stuck.len(), stuck.join("\n"));
    let at_rest = point(&model, 0.0, 0.0, 15.0);
    let still = solved(&mut model, &at_rest);
    agrees(boost(&model, &still), 0.0, 0.01, "nothing turns");
    // Matched for 1.0 bar at full load; the propeller asks for nine tenths of it.
    assert!((0.6..=1.1).contains(&last), "{last} bar at full load");
}

#[test]
fn what_the_gas_gives_up_comes_back_with_the_air_and_leaves_as_printed() {
    let mut model = model(CHARGED);
    let state = changed(&mut model, &[]);
    let (before, behind) = (leaves(&model, &state, "bellows"), leaves(&model, &state, "dry-stack"));
    // [Trade] 2.5: behind the turbine no more than some 540 °C.
    assert!((300.0..=540.0).contains(&before) && behind < before, "{before} °C behind the turbine");
    // [Heywood1988] ch. 15: blown diesels burn their fuel in 25 to 30 times its air at full load; a fifth either way.
    let ratio = inner(&model, &state, "diesel", "air_fuel_ratio");
    assert!((20.0..=36.0).contains(&ratio), "{ratio} of air to fuel");
    let hot = inner(&model, &state, "turbocharger", "charge_temperature") - ICE;
    let cooled = inner(&model, &state, "charge-air-cooler", "charge_temperature") - ICE;
    assert!((80.0..=150.0).contains(&hot) && cooled < hot - 5.0, "{hot} °C, cooled to {cooled}");
    let part = part(&model.plant, "turbocharger");
    let taken = -model.balance(&model.figures, state.point).heat(part, &state.x)[0];
    let air = inner(&model, &state, "turbocharger", "air_flow");
    let drawn_in = state.point.air + 8.0;
    let given = air * 1005.0 * (hot + ICE - drawn_in);
    agrees(given, 0.97 * taken, 0.02 * taken, "the turbine's work less what the bearings take");
}

#[test]
fn each_way_to_fail_shows_where_it_would() {
    let mut model = model(CHARGED);
    let sound = changed(&mut model, &[]);
    let usual = (boost(&model, &sound), leaves(&model, &sound, "bellows"));
    let ratio = |model: &Model, state: &State| inner(model, state, "diesel", "air_fuel_ratio");
    let full = |model: &Model, state: &State| inner(model, state, "diesel", "full_speed_hand");
    for (kind, figure, value) in [
        ("turbocharger", "turbine_left", 0.3),
        ("turbocharger", "compressor_left", 0.75),
        ("turbocharger", "leak", 2.0),
        ("turbocharger", "filter_obstruction", 12.0),
    ] {
        let state = changed(&mut model, &[(kind, figure, value)]);
        let (now, hot) = (boost(&model, &state), leaves(&model, &state, "bellows"));
        assert!(now < 0.9 * usual.0, "{figure}: {now} of {} bar", usual.0);
        assert!(hot > usual.1 + 10.0, "{figure}: {hot} after {} °C", usual.1);
        assert!(ratio(&model, &state) < 0.95 * ratio(&model, &sound), "{figure}: less air");
        assert!(full(&model, &state) < full(&model, &sound), "{figure}: less left at full throttle");
    }
    let fouled = changed(&mut model, &[("charge-air-cooler", "fouling_resistance", 2e-2)]);
    let charge = |model: &Model, state: &State| inner(model, state, "charge-air-cooler", "charge_temperature");
    assert!(charge(&model, &fouled) > charge(&model, &sound) + 8.0, "fouled it cools less");
}

#[test]
fn the_charge_is_the_engines_own_and_unblown_ones_have_none() {
    let two = "[engine.port]\nrated = { power = \"140 kW\", speed = \"2200 rpm\" }\n\
        [engine.starboard]\nrated = { power = \"140 kW\", speed = \"2200 rpm\" }\n\
        [engine.generator]\nrated = { power = \"12 kW\", speed = \"1500 rpm\" }\ndrives = \"generator\"\n[circuit]\n\
        exhaust-port = [\"engine\", \"turbocharger\", \"dry-stack\", \"outlet\"]\n\
        exhaust-starboard = [\"engine\", \"turbocharger\", \"dry-stack\", \"outlet\"]\n\
        exhaust-generator = [\"engine\", \"dry-stack\", \"outlet\"]\n\
        fresh-water-port = [\"coolant-pump\", \"charge-air-cooler\", \"engine\", \"thermostat\", \"keel-cooler\"]\n\
        fresh-water-starboard = [\"coolant-pump\", \"engine\", \"thermostat\", \"keel-cooler\"]\n\
        fresh-water-generator = [\"coolant-pump\", \"engine\", \"thermostat\", \"keel-cooler\"]\n";
    let plant = plant(two);
    let gives = |engine: &str| {
        let engine = &plant[plant.part(engine).expect("it is there")];
        let place = engine.kind.links.iter().position(|link| *link == parts::kind::Link::Charge("boost"));
        match &engine.links[place.expect("an engine asks")] {
            Linked::Unknowns(found) => found.iter().map(|(part, _)| plant[*part].name.clone()).collect(),
            Linked::Constant(value) => vec![format!("{value}")],
            Linked::Flows(_) | Linked::Temperature(_) => Vec::new(),
        }
    };
    assert_eq!(gives("port"), ["charge-air-cooler-port"]);
    assert_eq!(gives("starboard"), ["turbocharger-starboard"]);
    assert_eq!(gives("generator"), ["0"]);
}
