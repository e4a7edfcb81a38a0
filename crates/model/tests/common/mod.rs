//! The shipped vessels, solved, and how numbers are compared.
#![allow(dead_code)]

use model::steady::{Model, State};
use parts::laws::Point;
use plant::plant::{Gauge, PartId, Plant, Tap};
use std::f64::consts::PI;
use toml::{Table, Value};

pub const MARRAM: &str = include_str!("../../../../vessels/marram/vessel.toml");
pub const REFERENCE: &str = include_str!("../../../../vessels/reference/vessel.toml");
pub const TEN: &str = include_str!("../../../../vessels/first-ten-lines/vessel.toml");
pub const EELGRASS: &str = include_str!("../../../../vessels/eelgrass/vessel.toml");
pub const SAMPHIRE: &str = include_str!("../../../../vessels/samphire/vessel.toml");
pub const THRIFT: &str = include_str!("../../../../vessels/thrift/vessel.toml");
pub const ORACHE: &str = include_str!("../../../../vessels/orache/vessel.toml");

/// Zero of the Celsius scale [K].
pub const ICE: f64 = 273.15;

/// A plant from the text of a vessel file.
#[track_caller]
pub fn plant(text: &str) -> Plant {
    let (plant, findings) = plant::reader::read(text);
    plant.unwrap_or_else(|| panic!("no plant: {findings:?}"))
}

/// A model from the text of a vessel file.
#[track_caller]
pub fn model(text: &str) -> Model {
    Model::new(&plant(text)).expect("a sound structure")
}

/// Operating point: share of rated speed, load, sea [°C]; air 3 K over the sea.
pub fn point(model: &Model, speed: f64, load: f64, sea: f64) -> Point<f64> {
    let sea = sea + ICE;
    Point {
        speed: speed * model.plant.rated_speed,
        load,
        sea,
        air: sea + 3.0,
        atmosphere: physics::constants::ATMOSPHERE,
        pitch: 1.0,
    }
}

/// The steady state there, with the figures as described.
#[track_caller]
pub fn solved(model: &mut Model, at: &Point<f64>) -> State {
    let figures = model.figures.clone();
    model.solve(&figures, at, None).unwrap_or_else(|stuck| panic!("{}: {stuck} at {at:?}", model.plant.name))
}

/// What the gauge of this name would read without error [SI; pressures over the atmosphere].
#[track_caller]
pub fn reads(model: &Model, state: &State, name: &str) -> f64 {
    model.read(state, gauge(&model.plant, name).tap)
}

/// The gauge of that name.
#[track_caller]
pub fn gauge<'a>(plant: &'a Plant, name: &str) -> &'a Gauge {
    &plant[plant.gauge(name).unwrap_or_else(|| panic!("no gauge {name}"))]
}

/// The first part of a kind.
#[track_caller]
pub fn part(plant: &Plant, kind: &str) -> PartId {
    PartId(plant.parts.iter().position(|part| part.kind.name == kind).unwrap_or_else(|| panic!("no {kind}")))
}

/// Place of a parameter of the first part of a kind in the plant's list.
#[track_caller]
pub fn place(model: &Model, kind: &str, parameter: &str) -> usize {
    let part = part(&model.plant, kind);
    let within = model.plant[part].kind.parameters.iter().position(|p| p.name == parameter);
    model.layout.first_parameter(part) + within.unwrap_or_else(|| panic!("{kind} has no {parameter}"))
}

/// An inner unknown of the first part of a kind [SI].
#[track_caller]
pub fn inner(model: &Model, state: &State, kind: &str, unknown: &str) -> f64 {
    let part = part(&model.plant, kind);
    let within = model.plant[part].kind.unknowns.iter().position(|u| u.name == unknown);
    model.read(state, Tap::Unknown(part, within.unwrap_or_else(|| panic!("{kind} has no {unknown}"))))
}

/// Turns a minute [rpm] of a speed [rad/s].
pub fn rpm(speed: f64) -> f64 {
    speed * 30.0 / PI
}

#[track_caller]
pub fn agrees(ours: f64, theirs: f64, within: f64, source: &str) {
    assert!((ours - theirs).abs() <= within, "{source}: {theirs} stated, we compute {ours}");
}

/// One outside value and its tolerances.
pub struct Check {
    pub id: String,
    pub expected: f64,
    pub within: f64,
    pub inputs: Table,
}

impl Check {
    /// An input, or one number of a list of inputs.
    #[track_caller]
    pub fn get(&self, name: &str) -> f64 {
        number(&self.inputs[name]).unwrap_or_else(|| panic!("{} has no number {name}", self.id))
    }

    #[track_caller]
    pub fn list(&self, name: &str) -> Vec<f64> {
        self.inputs[name].as_array().expect("a list").iter().filter_map(number).collect()
    }

    #[track_caller]
    pub fn holds(&self, ours: f64) {
        agrees(ours, self.expected, self.within, &self.id);
    }
}

fn number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}

/// The outside values of an area, or those whose id begins so.
pub fn checks(wanted: impl Fn(&str, &str) -> bool) -> Vec<Check> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../reference/check-values.toml");
    let file: Table = std::fs::read_to_string(path).expect("the file of check values").parse().expect("valid TOML");
    let all = file["check"].as_array().expect("checks").iter().filter_map(Value::as_table);
    let text = |table: &Table, key: &str| table[key].as_str().unwrap_or_default().to_owned();
    let value = |table: &Table, key: &str| table.get(key).and_then(number);
    all.filter(|table| wanted(&text(table, "area"), &text(table, "id")))
        .map(|table| {
            let expected = value(table, "expected").expect("a number");
            let relative = value(table, "rel_tol").unwrap_or(0.0) * expected.abs();
            Check {
                id: text(table, "id"),
                expected,
                within: relative.max(value(table, "abs_tol").unwrap_or(0.0)),
                inputs: table.get("inputs").and_then(Value::as_table).cloned().unwrap_or_default(),
            }
        })
        .collect()
}
