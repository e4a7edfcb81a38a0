//! The air of the engine space and the cylinders one by one, in a plant: what they change, and what they leave alone.

mod common;

use common::*;
use model::steady::{Model, State};
use parts::kind::Link;

const ENGINE: &str = "[vessel]\nname = \"a plant with it\"\n[engine.main]\ncylinders = 4\n\
                      rated = { power = \"60 kW\", speed = \"1800 rpm\" }\n";
const SPACE: &str = "[part.engine-space]\nkind = \"engine-space\"\n";
const CYLINDERS: &str = "[part.cylinder-1]\nkind = \"cylinder\"\n[part.cylinder-2]\nkind = \"cylinder\"\n\
                         [part.cylinder-3]\nkind = \"cylinder\"\n[part.cylinder-4]\nkind = \"cylinder\"\n";

fn told(rest: &str) -> Model {
    model(&format!("{ENGINE}{rest}"))
}

/// The state at a share of rated speed with figures changed: (part, parameter, value).
#[track_caller]
fn changed(model: &mut Model, speed: f64, changes: &[(&str, &str, f64)]) -> State {
    let mut figures = model.figures.clone();
    for (name, parameter, value) in changes {
        let part = model.plant.part(name).expect("a part of that name");
        let within = model.plant[part].kind.parameters.iter().position(|p| p.name == *parameter).expect("a figure");
        figures[model.layout.first_parameter(part) + within] = *value;
    }
    let at = point(model, speed, 1.0, 15.0);
    model.solve(&figures, &at, None).unwrap_or_else(|stuck| panic!("{changes:?}: {stuck}"))
}

/// An inner quantity of a part by its name.
#[track_caller]
fn of(model: &Model, state: &State, name: &str, unknown: &str) -> f64 {
    let part = model.plant.part(name).expect("a part of that name");
    let place = model.plant[part].kind.unknowns.iter().position(|u| u.name == unknown).expect("an inner quantity");
    model.read(state, plant::plant::Tap::Unknown(part, place))
}

/// Gas where it leaves the engine [K].
fn gas(model: &Model, state: &State) -> f64 {
    let ports = model.plant[part(&model.plant, "diesel")].flows[2].expect("gas");
    let plant::plant::Terminal::Node(node) = model.plant.flows[ports.0].to else { panic!("gas leaves to a node") };
    model.read(state, plant::plant::Tap::Temperature(node))
}

#[test]
fn sound_cylinders_and_a_space_change_nothing_of_the_engine_but_by_the_air_it_draws() {
    let (mut bare, mut with) = (told(""), told(CYLINDERS));
    for speed in [0.0, 0.4, 0.8, 1.0] {
        let (alone, told) = (changed(&mut bare, speed, &[]), changed(&mut with, speed, &[]));
        for unknown in ["speed", "brake_power", "fuel_flow", "power_in_hand", "full_rack_ratio"] {
            let (a, b) = (of(&bare, &alone, "main", unknown), of(&with, &told, "main", unknown));
            agrees(a, b, 1e-6 * a.abs().max(1e-6), unknown);
        }
        agrees(of(&with, &told, "cylinder-3", "port_temperature"), gas(&bare, &alone), 0.01, "each port is the mean");
    }
}

#[test]
fn one_odd_cylinder_shows_at_its_port_and_all_ports_together_make_the_manifold() {
    let mut model = told(CYLINDERS);
    let sound = changed(&mut model, 0.8, &[]);
    for (changes, hotter) in [
        (vec![("cylinder-3", "passes", 0.1)], false),
        (vec![("cylinder-3", "burns", 0.2)], false),
        (vec![("cylinder-3", "works", 0.6)], true),
        (vec![("cylinder-3", "passes", 1.25), ("cylinder-3", "works", 0.93)], true),
    ] {
        let odd = changed(&mut model, 0.8, &changes);
        let ports: Vec<f64> = (1..=4).map(|k| of(&model, &odd, &format!("cylinder-{k}"), "port_temperature")).collect();
        agrees(ports.iter().sum::<f64>() / 4.0, gas(&model, &odd), 0.5, "the mean of the ports");
        assert_eq!(ports[2] > ports[0] + 20.0, hotter, "{changes:?}: {ports:?}");
        assert_eq!(ports[2] < ports[0] - 20.0, !hotter, "{changes:?}: {ports:?}");
        // The governor keeps the power up out of the others: more fuel, less in hand.
        let fuel = |state: &State| of(&model, state, "main", "fuel_flow");
        let hand = |state: &State| of(&model, state, "main", "full_speed_hand");
        if changes.iter().any(|(_, what, value)| *what != "passes" && *value < 0.9) {
            assert!(fuel(&odd) > 1.05 * fuel(&sound), "{changes:?}");
        }
        if !hotter {
            assert!(hand(&odd) < hand(&sound) - 0.1, "{changes:?}: a quarter of the engine is gone");
        }
    }
}

#[test]
fn a_shut_vent_costs_air_and_a_dead_fan_makes_the_space_hot() {
    let mut model = told(&format!("{SPACE}[part.air-filter]\nkind = \"air-filter\"\n"));
    for speed in [0.0, 0.3, 0.6, 1.0] {
        let state = changed(&mut model, speed, &[]);
        let rise = of(&model, &state, "engine-space", "space_temperature") - 291.15;
        // [Trade] 2.14: no more than 17 K over outside, with what its own doubt leaves.
        assert!((-0.1..=24.0).contains(&rise), "{rise} K at {speed}");
        assert!(speed == 0.0 || rise > 1.0, "{rise} K at {speed}");
    }
    let sound = changed(&mut model, 1.0, &[]);
    let of = |state: &State, part: &str, what: &str| of(&model, state, part, what);
    let (hot, drop) = ("space_temperature", "space_depression");
    assert!((0.0..150.0).contains(&of(&sound, "engine-space", drop)), "{} Pa", of(&sound, "engine-space", drop));
    let mut again = told(&format!("{SPACE}[part.air-filter]\nkind = \"air-filter\"\n"));
    let dead = changed(&mut again, 1.0, &[("engine-space", "fan_turns", 0.0)]);
    assert!(of(&dead, "engine-space", hot) > of(&sound, "engine-space", hot) + 4.0);
    let covers = [("engine-space", "inlet_obstruction", 6e6), ("engine-space", "outlet_obstruction", 6e6)];
    let shut = changed(&mut again, 1.0, &covers);
    assert!(of(&shut, "engine-space", drop) > 800.0, "{} Pa", of(&shut, "engine-space", drop));
    let clogged = changed(&mut again, 1.0, &[("air-filter", "obstruction", 15.0)]);
    for worse in [&dead, &shut, &clogged] {
        assert!(gas(&again, worse) > gas(&model, &sound) + 4.0, "less air, hotter gas");
        assert!(of(worse, "main", "full_rack_ratio") < of(&sound, "main", "full_rack_ratio") - 0.1, "nearer to smoke");
    }
    assert!(of(&clogged, "main", "full_speed_hand") < of(&sound, "main", "full_speed_hand") - 0.005);
}

#[test]
fn what_an_engine_reads_of_its_space_is_there_for_every_engine_aboard() {
    let text = format!("{ORACHE}\n[part.engine-space]\nkind = \"engine-space\"\n");
    let mut model = model(&text);
    for part in model.plant.parts.iter().filter(|part| part.kind.name == "diesel") {
        let place = part.kind.links.iter().position(|link| *link == Link::All("space_temperature")).expect("it asks");
        assert!(matches!(&part.links[place], plant::plant::Linked::Unknowns(found) if found.len() == 1));
    }
    let figures = model.figures.clone();
    for (speed, load) in [(0.0, 0.0), (0.3, 1.0), (0.8, 1.0), (1.0, 1.0)] {
        let at = point(&model, speed, load, 20.0);
        let state = model.solve(&figures, &at, None).unwrap_or_else(|stuck| panic!("{speed}: {stuck}"));
        let rise = inner(&model, &state, "engine-space", "space_temperature") - at.air;
        assert!((-0.1..40.0).contains(&rise), "{rise} K at {speed}");
    }
}

#[test]
fn a_bilge_pump_lifts_overboard_and_a_dead_one_lets_the_sea_siphon_in() {
    // Told by its pump alone, the bilge and the way overboard are what every vessel has.
    let mut model = told("[part.bilge-pump]\nkind = \"bilge-pump\"\n");
    let flow = |model: &Model, state: &State| {
        let pump = model.plant[part(&model.plant, "bilge-pump")].flows[0].expect("water flows through it");
        model.read(state, plant::plant::Tap::Flow(pump))
    };
    let sound = changed(&mut model, 0.8, &[]);
    // [Trade] 2.11: 5 m³/h on the plate, about half of it with lift and hose.
    let share = flow(&model, &sound) / 1.4;
    assert!((0.35..=0.8).contains(&share), "{share} of its plate");
    agrees(of(&model, &sound, "bilge", "level"), 0.15, 0.02, "held at its float");
    let dead = changed(&mut model, 0.8, &[("bilge-pump", "supply", 0.0)]);
    assert!(flow(&model, &dead).abs() < 0.02, "its mouth is above the sea: {} kg/s", flow(&model, &dead));
    assert!(of(&model, &dead, "bilge", "level") > 0.9, "nobody lifts what seeps in");
    let under = [("bilge-pump", "supply", 0.0), ("overboard", "height", -0.4)];
    let sunk = changed(&mut model, 0.8, &under);
    // Check: 6 kPa against pump and hose, by hand: 1.4 kg/s x sqrt(6 / 30) and less.
    assert!((-0.7..-0.2).contains(&flow(&model, &sunk)), "{} kg/s", flow(&model, &sunk));
    assert!(of(&model, &sunk, "overboard", "comes_in") > 0.2);
    let vented = changed(&mut model, 0.8, &[under[0], under[1], ("overboard", "vent", 1.0)]);
    assert!(flow(&model, &vented).abs() < 0.02, "the vent breaks it: {} kg/s", flow(&model, &vented));
    let flooded = changed(&mut model, 0.8, &[("bilge", "inflow", 3.0)]);
    assert!(of(&model, &flooded, "bilge", "level") > 0.9, "more comes than it lifts");
}

#[test]
fn a_check_valve_and_a_hand_pump_stand_in_the_way_overboard() {
    let circuits = "[part.electric]\nkind = \"bilge-pump\"\n[part.by-hand]\nkind = \"hand-bilge-pump\"\n[circuit.bilge]\n\
                    path = [\"bilge\", \"electric\", \"check-valve\", \"seacock\", \"overboard\"]\n\
                    paths = [[\"bilge\", \"by-hand\", \"seacock-hand\", \"overboard-hand\"]]\n";
    let mut model = told(circuits);
    for speed in [0.0, 0.5, 1.0] {
        let state = changed(&mut model, speed, &[]);
        assert!(of(&model, &state, "bilge", "level") < 0.3);
    }
    let worst = [("electric", "supply", 0.0), ("overboard", "height", -0.4)];
    let held = changed(&mut model, 0.8, &worst);
    assert!(of(&model, &held, "overboard", "comes_in") < 0.05, "the check valve holds");
    let passes = changed(&mut model, 0.8, &[worst[0], worst[1], ("check-valve", "leak", 0.9)]);
    assert!(of(&model, &passes, "overboard", "comes_in") > 0.2, "and one that does not seat does not");
    let pump = model.plant.part("electric").expect("it is there");
    let closings = plant::isolate::isolate(&model.plant, pump);
    let plant::isolate::Shutting::Valves { fewest, .. } = &closings[0].by else { panic!("{closings:?}") };
    let shut: Vec<&str> = fewest.shut.iter().map(|valve| model.plant[*valve].name.as_str()).collect();
    assert_eq!(shut, ["seacock", "seacock-hand"], "what keeps the sea off it");
    let trail = plant::follow::follow(&model.plant, pump, plant::follow::Along::Onward);
    assert_eq!(trail[0].1.end, plant::follow::End::Sea);
}
