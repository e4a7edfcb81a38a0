//! The shapes of `--json` are part of the interface: each path and its type stands in `tests/snapshots`.
//!
//! A line is a path and its types; `?` before it says that it may be missing (an empty list, nothing to tell).

use crate::run::{HOT, SMALL, answered, file, vessel};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

type Shape = BTreeMap<String, BTreeSet<&'static str>>;

fn walk(value: &Value, path: &str, shape: &mut Shape) {
    let kind = match value {
        Value::Null => "null",
        Value::Bool(_) => "bool",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(items) => {
            for item in items {
                walk(item, &format!("{path}[]"), shape);
            }
            "list"
        }
        Value::Object(keys) => {
            for (key, item) in keys {
                walk(item, &format!("{path}.{key}"), shape);
            }
            "object"
        }
    };
    shape.entry(path.to_string()).or_default().insert(kind);
}

#[track_caller]
fn has_the_shape(snapshot: &str, arguments: &[&str]) {
    let value: Value = serde_json::from_str(&answered(arguments)).expect("it is JSON");
    assert_eq!(value["version"], 1);
    let mut shape = Shape::new();
    walk(&value, "", &mut shape);
    let mut told = BTreeSet::new();
    for line in snapshot.lines().filter(|line| !line.is_empty()) {
        let (path, types) = line.trim_start_matches('?').split_once(' ').expect("a path and its types");
        let path = path.trim_start_matches('$');
        told.insert(path.to_string());
        match shape.get(path) {
            Some(found) => {
                let allowed: BTreeSet<&str> = types.split('|').collect();
                assert!(found.is_subset(&allowed), "{path} is {found:?}, not {allowed:?}");
            }
            None => assert!(line.starts_with('?'), "{path} is missing"),
        }
    }
    let new: Vec<&String> = shape.keys().filter(|path| !told.contains(*path)).collect();
    assert!(new.is_empty(), "not in the snapshot: {new:?}");
}

#[test]
fn expect_keeps_its_shape() {
    let snapshot = include_str!("../snapshots/expect.txt");
    has_the_shape(snapshot, &["expect", &vessel("marram"), "--at", "speed=1500rpm", "--json"]);
    has_the_shape(snapshot, &["expect", &vessel("first-ten-lines"), "--at", "speed=0rpm", "--json"]);
}

#[test]
fn explain_keeps_its_shape() {
    let snapshot = include_str!("../snapshots/explain.txt");
    has_the_shape(snapshot, &["explain", &file("shape.toml", SMALL), &file("shape-hot.toml", HOT), "--json"]);
}

#[test]
fn words_keeps_its_shape() {
    has_the_shape(include_str!("../snapshots/words.txt"), &["words", &vessel("marram"), "--json"]);
}

#[test]
fn draw_keeps_its_shape() {
    has_the_shape(include_str!("../snapshots/draw.txt"), &["draw", &vessel("marram"), "--json"]);
}

#[test]
fn margins_keeps_its_shape() {
    has_the_shape(include_str!("../snapshots/margins.txt"), &["margins", &vessel("marram"), "--json"]);
}

#[test]
fn stores_keeps_its_shape() {
    let asked = ["stores", &vessel("marram"), "--passage", "346 h", "--days", "15", "--order", "--rates", "--json"];
    has_the_shape(include_str!("../snapshots/stores.txt"), &asked);
}
