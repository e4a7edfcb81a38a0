//! Gathers the kinds of part into one list, and turns the tables of failure rates, check powers and remedies into constants,
//! so that no file is read at run time.

use std::fmt::Write as _;

const TABLE: &str = "../../reference/failure-rates.toml";
const REMEDIES: &str = "../../reference/remedies.toml";

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    rates();
    remedies();
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
    let hours = table["assumptions"]["hours_per_year"].as_float().expect("hours of a year are assumed");
    writeln!(code, "];\n\n/// Hours run in a year, by which the table turns years into hours [h]; from memory.")
        .expect("writing to a string");
    writeln!(code, "pub const HOURS_A_YEAR: f64 = {hours:?};").expect("writing to a string");
    code.push_str("\n/// Every check power of the table.\npub static POWERS: &[Power] = &[\n");
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

/// Turns the table of remedies into constants.
fn remedies() {
    println!("cargo:rerun-if-changed={REMEDIES}");
    let text = std::fs::read_to_string(REMEDIES).expect("the table of remedies is part of the project");
    let table: toml::Table = text.parse().expect("the table of remedies is TOML");
    let mut code = String::from(
        "/// State of the engine in which a circuit can be opened, by its name.\npub static OPENED: &[(&str, State)] = &[\n",
    );
    for (circuit, state) in table["opened"].as_table().expect("`opened` is a table") {
        let state = state_of(state).expect("`opened` names a state");
        writeln!(code, "    ({circuit:?}, {state}),").expect("writing to a string");
    }
    code.push_str("];\n\n/// Every sort of job.\npub static SORTS: &[Sort] = &[\n");
    for row in rows(&table, "sort") {
        let words = row["words"].as_array().expect("a sort has words");
        let words: Vec<&str> = words.iter().filter_map(toml::Value::as_str).collect();
        let (name, state, flag) = (text_of(row, "name"), row.get("state").and_then(state_of), |key| {
            row.get(key).and_then(toml::Value::as_bool).unwrap_or(false)
        });
        writeln!(
            code,
            "    Sort {{ name: {name:?}, words: &{words:?}, minutes: {:?}, money: {:?}, state: {}, yard: {}, spare: {} }},",
            number(&row["minutes"]),
            number(&row["money"]),
            option(state),
            flag("yard"),
            flag("spare"),
        )
        .expect("writing to a string");
    }
    code.push_str("];\n\n/// Jobs that differ from their sort.\npub static JOBS: &[Job] = &[\n");
    for (kind, jobs) in table["job"].as_table().expect("`job` is a table") {
        for (remedy, row) in jobs.as_table().expect("jobs of a kind are a table") {
            let of = |key: &str| row.get(key);
            writeln!(
                code,
                "    Job {{ kind: {kind:?}, remedy: {remedy:?}, minutes: {}, money: {}, state: {}, yard: {}, spare: {} }},",
                option(of("minutes").map(|value| format!("{:?}", number(value)))),
                option(of("money").map(|value| format!("{:?}", number(value)))),
                option(of("state").and_then(state_of)),
                option(of("yard").map(toml::Value::to_string)),
                option(of("spare").map(toml::Value::to_string)),
            )
            .expect("writing to a string");
        }
    }
    code.push_str("];\n");
    write("remedies.rs", &code);
}

/// The state of the engine by its word; none for "as opened".
fn state_of(value: &toml::Value) -> Option<String> {
    let word = value.as_str().expect("a state is a word");
    let name = match word {
        "as opened" => return None,
        "running" => "Running",
        "idling" => "Idling",
        "stopped" => "Stopped",
        "stopped-and-shut" => "StoppedAndShut",
        "stopped-and-cold" => "StoppedCold",
        "under-water" => "UnderWater",
        other => panic!("no state `{other}`"),
    };
    Some(format!("State::{name}"))
}

fn option(value: Option<String>) -> String {
    value.map_or("None".into(), |value| format!("Some({value})"))
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
