//! Several engines in one plant: alike they run alike, apart they do not disturb each other, and one may be held at a
//! speed of its own.

use model::steady::Model;
use parts::kind::Probe;
use plant::evidence::ToldPoint;
use plant::plant::{PartId, Plant};
use plant::reader::read;

const TWO: &str = r#"
[engine.port]
rated = { power = "120 kW", speed = "2200 rpm" }
[engine.starboard]
rated = { power = "120 kW", speed = "2200 rpm" }
[engine.generator]
rated = { power = "12 kW", speed = "1500 rpm" }
fixed-speed = "1500 rpm"
fixed-load = 0.6
drives = "generator"
[part.sea-chest]
[circuit]
raw-water-port = ["sea-chest", "seacock", "strainer", "raw-pump", "exchanger", "elbow"]
raw-water-starboard = ["sea-chest", "seacock", "strainer", "raw-pump", "exchanger", "elbow"]
raw-water-generator = ["sea-chest", "seacock", "strainer", "raw-pump", "exchanger", "elbow"]
"#;

#[track_caller]
fn plant() -> Plant {
    let (plant, findings) = read(TWO);
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

#[track_caller]
fn id(plant: &Plant, name: &str) -> PartId {
    plant.part(name).unwrap_or_else(|| panic!("{name} is there"))
}

/// An unknown of a part by its name [SI].
fn unknown(model: &Model, state: &model::steady::State, part: PartId, name: &str) -> f64 {
    let place = model.plant[part].kind.unknowns.iter().position(|unknown| unknown.name == name).expect("it has one");
    model.probe(state, part, Probe::Unknown(place)).expect("an unknown is always there")
}

#[test]
fn from_idling_to_rated_twins_run_alike_and_the_generator_keeps_its_speed() {
    let plant = plant();
    let mut model = Model::new(&plant).expect("it can be worked out");
    let figures = model.figures.clone();
    let [port, starboard, generator] = ["port", "starboard", "generator"].map(|name| id(&plant, name));
    for share in [0.35, 0.5, 0.65, 0.8, 1.0] {
        let at = ToldPoint { speed: Some(share * plant.rated_speed), ..ToldPoint::default() };
        let point = model::point::told(&plant, &at).0;
        let state = model.solve(&figures, &point, None).expect("it runs");
        for name in ["speed", "brake_power", "fuel_flow"] {
            let (a, b) = (unknown(&model, &state, port, name), unknown(&model, &state, starboard, name));
            assert!((a - b).abs() <= 1e-6 * a.abs().max(1e-9), "{name} at {share}: {a} and {b}");
        }
        // 1500 rpm and six tenths of 12 kW, as described; droop and the rounding of its power in hand take under 1 %.
        let speed = unknown(&model, &state, generator, "speed");
        let power = unknown(&model, &state, generator, "brake_power");
        assert!((speed - 157.08).abs() < 1.6, "{speed} at {share}");
        assert!((power - 7200.0).abs() < 220.0, "{power} at {share}");
    }
    let at = ToldPoint { speed: Some(0.0), ..ToldPoint::default() };
    let point = model::point::told(&plant, &at).0;
    let still = model.solve(&figures, &point, None).expect("it stands");
    assert!(unknown(&model, &still, generator, "speed").abs() < 0.1, "stopped is stopped for all of them");
}

#[test]
fn what_is_shut_for_one_engine_leaves_the_others_be() {
    let mut plant = plant();
    let mut model = Model::new(&plant).expect("it can be worked out");
    let point = model::point::told(&plant, &ToldPoint::default()).0;
    let before = model.solve(&model.figures.clone(), &point, None).expect("it runs");
    plant.turn(&[(id(&plant, "seacock-port"), 0.0)]);
    let mut shut = Model::new(&plant).expect("it can be worked out");
    let after = shut.solve(&shut.figures.clone(), &point, None).expect("there is a state, however hot");
    let flow = |model: &Model, state, name: &str| model.probe(state, id(&plant, name), Probe::Flow(0)).expect("joined");
    let hot = |model: &Model, state, name: &str| {
        model.probe(state, id(&plant, name), Probe::OutletTemperature(0)).expect("joined")
    };
    assert!(flow(&shut, &after, "raw-pump-port") < 0.02 * flow(&model, &before, "raw-pump-port"));
    assert!(hot(&shut, &after, "port") > hot(&model, &before, "port") + 10.0);
    for name in ["raw-pump-starboard", "raw-pump-generator"] {
        // They have the chest to themselves: a little more, never less.
        let (was, is) = (flow(&model, &before, name), flow(&shut, &after, name));
        assert!(is >= was * 0.999 && is < was * 1.05, "{name}: {was} then {is}");
    }
    for name in ["starboard", "generator"] {
        assert!((hot(&shut, &after, name) - hot(&model, &before, name)).abs() < 1.0, "{name}");
    }
}
