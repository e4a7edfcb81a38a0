//! Gathers the kinds of part into one list, and turns the table of failure rates and check powers into constants, so that
//! no file is read at run time.

use std::fmt::Write as _;

const TABLE: &str = "../../reference/failure-rates.toml";

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    rates();
    catalogue();
}

/// Lists every kind that a file of `src` makes public.
fn catalogue() {
    println!("cargo:rerun-if-changed=src");
    let files = std::fs::read_dir("src").expect("a crate has sources");
    let mut files: Vec<_> = files.map(|file| file.expect("sources can be read").path()).collect();
    files.sort();
    let mut code = String::from("/// Every kind of part.\npub static KINDS: &[&Kind] = &[\n");
    for file in files.iter().filter(|file| file.extension().is_some_and(|end| end == "rs")) {
        let text = std::fs::read_to_string(file).expect("sources can be read");
        let module = file.file_stem().expect("a source has a name").to_string_lossy().into_owned();
        for line in text.lines() {
            let name = line.strip_prefix("pub const ").and_then(|rest| rest.split_once(": Kind = "));
            if let Some((name, _)) = name {
                writeln!(code, "    &crate::{module}::{name},").expect("writing to a string");
            }
        }
    }
    code.push_str("];\n");
    write("catalogue.rs", &code);
}

/// Turns the table of rates into constants.
fn rates() {
    println!("cargo:rerun-if-changed={TABLE}");
    let text = std::fs::read_to_string(TABLE).expect("the table of failure rates is part of the project");
    let table: toml::Table = text.parse().expect("the table of failure rates is TOML");
    let mut code = String::from("/// Every rate of the table.\npub static RATES: &[Rate] = &[\n");
    for row in rows(&table, "rate").filter(|row| text_of(row, "level") == "part") {
        let per_hours = triple(row.get("per_1000_h"));
        let factor = row.get("use_factor").map_or(1.0, |f| if f.is_array() { triple(Some(f))[1] } else { number(f) });
        let native = row.get("native");
        let unit = native.and_then(|n| n.get("unit")).and_then(toml::Value::as_str).unwrap_or("");
        let values = native.map_or([0.0; 3], |n| triple(n.get("value")));
        let label = text_of(row, "label");
        let comes = match text_of(row, "comes") {
            "at once" => "AtOnce",
            "by degrees" => "ByDegrees",
            "on and off" => "OnAndOff",
            "" => "Either",
            other => panic!("{}: comes {other:?}", key(row)),
        };
        let both = row.get("both_engines").and_then(toml::Value::as_bool).unwrap_or(false);
        writeln!(
            code,
            "    Rate {{ key: {:?}, circuit: {:?}, per_1000_h: {:?}, use_factor: {:?}, basis: Basis::{}, native_unit: {unit:?}, native: {values:?}, label: {label:?}, comes: Comes::{comes}, both_engines: {both} }},",
            key(row),
            text_of(row, "circuit"),
            per_hours,
            factor,
            match text_of(row, "basis") {
                "calendar" => "Calendar",
                "event" => "Event",
                "prevalence" => "Prevalence",
                _ => "RunningHour",
            },
        )
        .expect("writing to a string");
    }
    code.push_str("];\n\n/// Every check power of the table.\npub static POWERS: &[Power] = &[\n");
    for row in rows(&table, "check_power") {
        writeln!(
            code,
            "    Power {{ key: {:?}, miss: {:?}, false_find: {:?}, label: {:?} }},",
            text_of(row, "id"),
            triple(row.get("miss"))[1],
            triple(row.get("false_alarm"))[1],
            text_of(row, "label"),
        )
        .expect("writing to a string");
    }
    code.push_str("];\n");
    write("rates.rs", &code);
}

fn write(name: &str, code: &str) {
    let out = std::env::var("OUT_DIR").expect("cargo sets OUT_DIR");
    std::fs::write(std::path::Path::new(&out).join(name), code).expect("cargo's OUT_DIR can be written");
}

fn rows<'a>(table: &'a toml::Table, name: &str) -> impl Iterator<Item = &'a toml::Table> {
    table.get(name).and_then(toml::Value::as_array).into_iter().flatten().filter_map(toml::Value::as_table)
}

fn key(row: &toml::Table) -> &str {
    let kind = text_of(row, "cause_kind");
    if kind.is_empty() { text_of(row, "id") } else { kind }
}

fn text_of<'a>(row: &'a toml::Table, name: &str) -> &'a str {
    row.get(name).and_then(toml::Value::as_str).unwrap_or("")
}

fn number(value: &toml::Value) -> f64 {
    value.as_float().or_else(|| value.as_integer().map(|i| i as f64)).unwrap_or(f64::NAN)
}

fn triple(value: Option<&toml::Value>) -> [f64; 3] {
    let list = value.and_then(toml::Value::as_array);
    std::array::from_fn(|i| list.and_then(|l| l.get(i)).map_or(f64::NAN, number))
}
