//! Numbers that others printed or computed, each against the law it belongs to.

mod drive;
mod electrical;
mod engine;
mod exhaust;
mod heat;
mod liquids;
mod oil;
mod pipes;
mod senders;
mod ventilation;

use toml::{Table, Value};

/// Our answer to a check, or `None` when no law is tried against it.
type Ours = fn(&Check) -> Option<Vec<f64>>;

/// Areas this crate answers for, and how.
const AREAS: [(&str, Ours); 12] = [
    ("seawater", liquids::sea_water),
    ("freshwater", liquids::fresh_water),
    ("coolant", liquids::coolant),
    ("pipe_flow", pipes::ours),
    ("heat_exchanger", heat::ours),
    ("lube_oil", oil::ours),
    ("engine", engine::ours),
    ("exhaust", exhaust::ours),
    ("belts", drive::belts),
    ("propulsion", drive::propulsion),
    ("ventilation", ventilation::ours),
    ("electrical", electrical::ours),
];

/// What is not tried here, by the start of its id, and why.
const LEFT_OUT: [(&str, &str); 5] = [
    ("sw.pub.sa", "needs the atlas of salinity anomaly, a table of the oceans and no law"),
    ("prop.holtrop.", "hull resistance by regression is not among the laws the model uses"),
    ("exh.cfr", "the text of a rule, not a number"),
    ("el.pub.sender", "what a maker tells of a sender, which the owner writes down"),
    ("oil.psi35", "units are converted by another crate"),
];

/// One value of the file.
pub struct Check {
    /// Its name in the file.
    pub id: String,
    area: String,
    label: String,
    source: String,
    note: String,
    expected: Option<Vec<f64>>,
    rel_tol: f64,
    abs_tol: f64,
    inputs: Table,
}

impl Check {
    fn read(table: &Table) -> Self {
        let text = |key: &str| table.get(key).and_then(Value::as_str).unwrap_or_default().to_owned();
        let number = |key: &str| table.get(key).and_then(as_number).unwrap_or(0.0);
        let expected = match &table["expected"] {
            Value::Array(list) => list.iter().map(as_number).collect(),
            one => as_number(one).map(|x| vec![x]),
        };
        let inputs = table.get("inputs").and_then(Value::as_table).cloned().unwrap_or_default();
        let (rel_tol, abs_tol) = (number("rel_tol"), number("abs_tol"));
        let (id, area, label) = (text("id"), text("area"), text("label"));
        Self { id, area, label, source: text("source"), note: text("note"), expected, rel_tol, abs_tol, inputs }
    }

    /// An input by name; a missing one fails the test.
    pub fn get(&self, name: &str) -> f64 {
        let value = self.inputs.get(name).and_then(as_number);
        value.unwrap_or_else(|| panic!("{} has no input {name}", self.id))
    }

    /// An input that is text.
    pub fn text(&self, name: &str) -> &str {
        self.inputs[name].as_str().unwrap_or_default()
    }

    /// Whether there is such an input.
    pub fn has(&self, name: &str) -> bool {
        self.inputs.contains_key(name)
    }

    /// What is wrong with our answer, if anything.
    fn fault(&self, ours: &[f64]) -> Option<String> {
        let expected = self.expected.as_ref()?;
        let close = |(a, b): (&f64, &f64)| (a - b).abs() <= self.abs_tol.max(self.rel_tol * b.abs());
        if ours.len() == expected.len() && ours.iter().zip(expected).all(close) {
            return None;
        }
        let Self { id, label, source, note, rel_tol, abs_tol, .. } = self;
        Some(format!("{id}: ours {ours:?}, {label} {expected:?} ± {rel_tol} rel, {abs_tol} abs [{source}] {note}"))
    }
}

#[allow(clippy::cast_precision_loss)]
fn as_number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}

fn checks() -> Vec<Check> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../reference/check-values.toml");
    let file: Table = std::fs::read_to_string(path).expect("the file of check values").parse().expect("valid TOML");
    file["check"].as_array().expect("checks").iter().filter_map(Value::as_table).map(Check::read).collect()
}

/// Tries every check that `wanted` lets through; returns the faults and how many were tried.
fn try_all(wanted: impl Fn(&Check) -> bool) -> (Vec<String>, usize) {
    let (mut faults, mut tried) = (Vec::new(), 0);
    for check in checks() {
        let Some((_, ours)) = AREAS.iter().find(|(area, _)| *area == check.area) else { continue };
        if LEFT_OUT.iter().any(|(start, _)| check.id.starts_with(start)) || !wanted(&check) {
            continue;
        }
        tried += 1;
        match ours(&check) {
            Some(answer) => faults.extend(check.fault(&answer)),
            None => faults.push(format!("{}: no law is tried against it", check.id)),
        }
    }
    (faults, tried)
}

fn weak(check: &Check) -> bool {
    check.label == "common-practice" || check.label == "from-memory"
}

#[test]
fn every_printed_or_computed_value_agrees() {
    let (faults, tried) = try_all(|check| !weak(check));
    assert!(faults.is_empty(), "{} of {tried} disagree:\n{}", faults.len(), faults.join("\n"));
    assert!(tried > 200, "only {tried} checks were found");
}

#[test]
fn values_from_memory_are_plausible() {
    let (faults, tried) = try_all(weak);
    assert!(faults.is_empty(), "{} of {tried} are implausible:\n{}", faults.len(), faults.join("\n"));
    assert!(tried >= 3, "only {tried} checks were found");
}

#[test]
fn what_is_left_out_is_there_and_has_a_reason() {
    let ids: Vec<String> = checks().into_iter().map(|check| check.id).collect();
    for (start, why) in LEFT_OUT {
        assert!(ids.iter().any(|id| id.starts_with(start)), "{start} is no longer in the file");
        assert!(why.len() > 10);
    }
}

/// Kelvin of a temperature in °C.
pub fn kelvin(celsius: f64) -> f64 {
    celsius + physics::constants::ZERO_CELSIUS
}

/// m³/s of litres a minute.
pub fn litres_per_minute(flow: f64) -> f64 {
    flow / 60_000.0
}

/// rad/s of revolutions a minute.
pub fn rpm(speed: f64) -> f64 {
    speed * std::f64::consts::TAU / 60.0
}

/// Where a rising function reaches zero.
pub fn solve(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if rising(middle) < 0.0 { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}
