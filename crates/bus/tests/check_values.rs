//! Values that others printed or computed: every one of `reference/check-values.toml` that is of data links.

mod common;

use bus::can::{Frame, Identifier};
use bus::decoder::Decoder;
use bus::heard::{Fault, Reading};
use bus::stamp::Stamp;
use common::{Gathered, si};
use toml::{Table, Value};

fn bytes(hex: &str) -> Vec<u8> {
    (0..hex.len() / 2).map(|at| u8::from_str_radix(&hex[at * 2..at * 2 + 2], 16).expect("digits")).collect()
}

/// A message of J1939 from engine 0, filled up with ones.
fn message(pgn: u32, payload: &[u8]) -> Gathered {
    let mut data = [0xFF; 8];
    data[..payload.len()].copy_from_slice(payload);
    let mut gathered = Gathered::default();
    Decoder::new().frame(Stamp::None, &Frame { id: 6 << 26 | pgn << 8, len: 8, data, bus: 0 }, &mut gathered);
    gathered
}

fn reading(pgn: u32, payload: &[u8], field: &str) -> Reading {
    message(pgn, payload).reads.iter().find(|read| read.field == field).expect("a field of it").reading
}

fn line(text: &str) -> Vec<(u64, Fault)> {
    let mut gathered = Gathered::default();
    Decoder::new().line(text.as_bytes(), &mut gathered);
    assert!(gathered.faults.is_empty() != gathered.reads.is_empty(), "{text}");
    gathered.faults
}

#[test]
fn what_others_found_of_data_links_is_what_we_find() {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../reference/check-values.toml"));
    let table: Table = text.expect("it is part of the project").parse().expect("it is TOML");
    let mut seen = 0;
    for check in
        table["check"].as_array().expect("a list").iter().filter(|check| check["area"].as_str() == Some("data_links"))
    {
        let id = check["id"].as_str().expect("an id");
        let input = |key: &str| check["inputs"].get(key).and_then(Value::as_str);
        let expected = &check["expected"];
        let integers =
            || expected.as_array().expect("a list").iter().map(|n| n.as_integer().unwrap_or(-1)).collect::<Vec<_>>();
        if let Some(body) = input("between_dollar_and_star") {
            let right = expected.as_str().expect("digits");
            assert_eq!(line(&format!("${body}*{right}")), [], "{id}");
            let wrong = u8::from_str_radix(right, 16).expect("digits") ^ 1;
            assert!(matches!(line(&format!("${body}*{wrong:02X}"))[0].1, Fault::Checksum { .. }), "{id}");
        } else if let Some(sentence) = input("sentence") {
            assert_eq!(
                matches!(line(sentence)[..], [(1, Fault::Checksum { .. })]),
                expected.as_bool().expect("yes or no"),
                "{id}"
            );
        } else if let Some(identifier) = input("can_id_hex") {
            let found = Identifier::of(u32::from_str_radix(identifier, 16).expect("digits"));
            assert_eq!(
                [i64::from(found.priority), i64::from(found.pgn), i64::from(found.source)],
                integers()[..],
                "{id}"
            );
        } else {
            let data = bytes(input("data_hex").expect("data"));
            let (pgn, field) = match id {
                "link.j1939.rpm" | "link.pub.j1939.rpm" => (61444, "engine-speed"),
                "link.j1939.ect" => (65262, "coolant-temperature"),
                "link.j1939.oilp" => (65263, "oil-pressure"),
                "link.j1939.hours" => (65253, "engine-hours"),
                "link.j1939.dtc" => (65226, "code"),
                "link.j1939.na" => (65266, "fuel-rate"),
                other => panic!("a check that this test does not know: {other}"),
            };
            let data = if field == "code" { [&[0, 0xFF][..], &data].concat() } else { data };
            match (reading(pgn, &data, field), expected) {
                (Reading::Value(ours), Value::Float(theirs)) => {
                    let (factor, offset) = si(check["unit"].as_str().expect("a unit"));
                    assert!(((ours - offset) / factor - theirs).abs() <= 1e-6, "{id}: {ours}, {theirs}");
                }
                (Reading::Trouble(code), _) => {
                    let ours = [i64::from(code.spn), i64::from(code.fmi), i64::from(code.occurrences.expect("told"))];
                    assert_eq!(ours, integers()[..], "{id}");
                }
                (Reading::Absent(why), Value::String(theirs)) => assert_eq!(why.name(), theirs, "{id}"),
                (ours, theirs) => panic!("{id}: {ours:?}, {theirs}"),
            }
        }
        seen += 1;
    }
    assert!(seen >= 16, "only {seen}");
}
