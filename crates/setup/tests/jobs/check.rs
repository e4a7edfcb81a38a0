//! Values of `reference/check-values.toml`.

#![allow(dead_code)] // Not every job has every sort of value.

use toml::{Table, Value};

/// One value.
pub struct Check {
    pub id: String,
    inputs: Table,
    expected: Value,
    tolerances: (f64, f64),
}

impl Check {
    /// The value with this name.
    pub fn of(id: &str) -> Check {
        let text = include_str!("../../../../reference/check-values.toml");
        let all: Table = toml::from_str(text).expect("the check values are TOML");
        let rows = all["check"].as_array().expect("a table of checks");
        let row = rows.iter().find(|row| row["id"].as_str() == Some(id)).unwrap_or_else(|| panic!("no check {id}"));
        let number = |key: &str| row.get(key).and_then(number).unwrap_or(0.0);
        Check {
            id: id.into(),
            inputs: row["inputs"].as_table().cloned().unwrap_or_default(),
            expected: row["expected"].clone(),
            tolerances: (number("rel_tol"), number("abs_tol")),
        }
    }

    /// A number that goes in.
    #[track_caller]
    pub fn get(&self, key: &str) -> f64 {
        self.inputs.get(key).and_then(number).unwrap_or_else(|| panic!("{}: no {key}", self.id))
    }

    /// A word that goes in.
    #[track_caller]
    pub fn word(&self, key: &str) -> &str {
        self.inputs.get(key).and_then(Value::as_str).unwrap_or_else(|| panic!("{}: no {key}", self.id))
    }

    /// Words that come out.
    pub fn words(&self) -> Vec<String> {
        let all = self.expected.as_array().map_or(&[][..], Vec::as_slice);
        all.iter().map(|one| one.as_str().map_or_else(|| one.to_string(), str::to_string)).collect()
    }

    /// Numbers that come out.
    pub fn numbers(&self) -> Vec<f64> {
        match &self.expected {
            Value::Array(all) => all.iter().filter_map(number).collect(),
            one => number(one).into_iter().collect(),
        }
    }

    /// Ours must be theirs, in their unit and within their tolerance.
    #[track_caller]
    pub fn holds(&self, ours: f64) {
        self.hold(&[ours]);
    }

    /// The same of several.
    #[track_caller]
    pub fn hold(&self, ours: &[f64]) {
        let theirs = self.numbers();
        assert_eq!(ours.len(), theirs.len(), "{}", self.id);
        let (rel, abs) = self.tolerances;
        for (ours, theirs) in ours.iter().zip(theirs) {
            let most = (rel * theirs.abs()).max(abs).max(1e-12);
            assert!((ours - theirs).abs() <= most, "{}: {ours} is not {theirs} within {most}", self.id);
        }
    }
}

fn number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}
