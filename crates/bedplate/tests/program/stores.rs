//! What is aboard and what must be, on the command line.

use crate::run::{Ran, answered, bedplate, json, marram_with, refuses, vessel};
use serde_json::Value;

fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The worked passage of 346 h from 1850 h: oil, element and impeller fall due at sea even if done on departure.
const WORKED: &str = r#"
[task.oil-change]
of = "sump"
hours = 250
uses = { "engine oil" = "14 L", "oil filter" = 1 }
last = { hours = 1760 }
[task.element]
of = "lift-pump"
hours = 300
uses = { element = 1 }
last = { hours = 1700 }
[task.impeller]
of = "raw-pump"
hours = 250
last = { hours = 1700 }
[item.engine-oil]
aboard = "0 L"
pack = "5 L"
per-use = "14 L"
fits = "sump.engine oil"
lead = 40
[item.oil-filter]
keep = 1
supplier = "A"
cost = 18
[item.primary-element]
fits = "lift-pump.element"
aboard = 1
[item.impeller]
[item.gasket]
aboard = 9
[kit.impeller-kit]
contents = { impeller = 1, gasket = 1 }
fits = "raw-pump.impeller"
"#;

fn line<'a>(shape: &'a Value, item: &str) -> &'a Value {
    let lines = shape["passage"]["lines"].as_array().expect("a list");
    lines.iter().find(|line| line["item"] == item).unwrap_or_else(|| panic!("no {item} in {shape:#}"))
}

#[test]
fn one_change_of_each_is_carried_for_what_falls_due_at_sea() {
    let folder = marram_with("stores-passage", WORKED, "");
    let asked = ["stores", &folder, "--hours", "1850", "--passage", "346 h", "--days", "16", "--at", "2099-01-01"];
    let shape = json(&asked);
    let number = |item: &str, key: &str| line(&shape, item)[key].as_f64().expect("a number");
    for (item, planned, least) in [
        ("engine-oil", 0.014, 0.014),
        ("oil-filter", 1.0, 1.0),
        ("primary-element", 1.0, 1.0),
        ("impeller", 1.0, 2.0),
        ("gasket", 1.0, 2.0),
    ] {
        assert!((number(item, "planned") - planned).abs() < 1e-9, "{item}: {}", line(&shape, item));
        assert!(number(item, "needed") >= least - 1e-9, "{item} beside what may fail: {}", line(&shape, item));
    }
    assert!((number("engine-oil", "buy") - 0.015).abs() < 1e-9, "three cans of 5 L");
    let passage = &shape["passage"];
    assert_eq!(passage["short_now"], 1.0, "the work alone wants more than is aboard");
    let then = passage["short_then"].as_f64().expect("a number");
    assert!(then <= 0.05 && passage["price"] == passage["at_least"], "{passage:#}");
    let text = words(&answered(&asked));
    assert!(text.contains("wants more than is aboard of engine-oil, oil-filter, impeller"), "{text}");
    // The order sheet knows what comes too late.
    let sheet = words(&answered(&[&asked[..], &["--order"]].concat()));
    assert!(sheet.contains("comes 2099-02-10: TOO LATE") && sheet.contains("Order: A"), "{sheet}");
}

#[test]
fn what_is_allowed_and_what_is_to_be_least_change_the_list() {
    let folder = vessel("marram");
    let at = |more: &[&str]| {
        json(&[&["stores", &folder, "--passage", "600 h", "--days", "30"], more].concat())["passage"].clone()
    };
    let number = |passage: &Value, key: &str| passage[key].as_f64().expect("a number");
    let (usual, careful) = (at(&[]), at(&["--short", "1%"]));
    assert!(number(&careful, "price") > number(&usual, "price"), "{usual:#}");
    assert!(number(&careful, "short_then") <= 0.01 && number(&usual, "short_then") <= 0.05);
    let cheap = at(&["--least", "cost"]);
    assert_eq!((&cheap["least"], &usual["least"]), (&"cost".into(), &"weight".into()));
    assert!(usual["uncured"].as_array().is_some_and(|list| list.len() > 10));
}

#[test]
fn what_is_counted_is_written_down_and_stands() {
    let folder = marram_with("stores-count", WORKED, "");
    let text =
        words(&answered(&["stores", &folder, "--count", "impeller=2", "--received", "engine-oil=20 L", "--who", "A"]));
    assert!(text.starts_with("Written down on") && text.contains("impeller, engine-oil"), "{text}");
    answered(&["stores", &folder, "--used", "impeller-kit=1", "--stowed", "gasket=drawer 2"]);
    let shape = json(&["stores", &folder]);
    let of = |name: &str, key: &str| {
        let items = shape["items"].as_array().expect("a list");
        items.iter().find(|item| item["name"] == name).expect("an item")[key].clone()
    };
    assert_eq!((of("impeller", "aboard"), of("gasket", "aboard")), (1.0.into(), 8.0.into()));
    assert_eq!((of("gasket", "stowed"), of("engine-oil", "unit")), ("drawer 2".into(), "m³".into()));
    assert!((of("engine-oil", "aboard").as_f64().expect("a number") - 0.02).abs() < 1e-9);
    // Work that is written down takes out what its task uses.
    answered(&["done", &folder, "raw-pump.impeller", "--hours", "1900"]);
    answered(&["stores", &folder, "--used", "impeller=3"]);
    let shape = json(&["stores", &folder]);
    let notices = shape["notices"].to_string();
    assert!(notices.contains("3 of `impeller` used") && notices.contains("only 0 aboard"), "{notices}");
}

#[test]
fn what_cannot_be_is_refused_with_what_to_write_instead() {
    let folder = marram_with("stores-bad", WORKED, "");
    refuses(&["stores", &folder, "--count", "impelller=2"], &["no item or kit `impelller`", "Is `impeller` meant?"]);
    refuses(&["stores", &folder, "--count", "impeller"], &["tells not how much"]);
    refuses(&["stores", &folder, "--count", "impeller=2 L"], &["counted in pieces"]);
    refuses(&["stores", &folder, "--used", "impeller=0"], &["nothing is no movement"]);
    refuses(&["stores", &folder, "--used", "impeller=1.5"], &["whole pieces"]);
    refuses(&["stores", &folder, "--count", "impeller-kit=1"], &["is a kit"]);
    refuses(&["stores", &folder, "--count", "impeller=1e99"], &["no amount"]);
    refuses(&["stores", &folder, "--passage", "346 h", "--short", "90%"], &["--short", "from 0.01% to 50%"]);
    refuses(&["stores", &folder, "--passage", "800 h", "--days", "3"], &["do not fit into 3 days"]);
    let shape = json(&["stores", &folder]);
    assert!(shape["notices"].as_array().is_some_and(Vec::is_empty), "nothing of it was kept: {shape:#}");
    let folder = marram_with("stores-faulty", "[item.x]\nkepp = 2\n[kit.k]\ncontents = { y = 1 }\n", "");
    refuses(&["stores", &folder], &["work.toml", "`kepp` is not a key of item `x`", "keep", "there is no item `y`"]);
}

#[test]
fn an_owners_rate_counts_and_is_told_as_his() {
    let (plain, own) = (
        marram_with("stores-rates", WORKED, ""),
        marram_with("stores-own", WORKED, "\n[rates]\n\"raw-pump.worn\" = \"9 per 1000 h\"\n"),
    );
    let rates = json(&["stores", &own, "--rates"])["rates"].clone();
    let worn = rates.as_array().expect("a list").iter().find(|rate| rate["way"] == "raw-pump.worn").expect("a rate");
    assert_eq!((&worn["told"], &worn["belief"][1]), (&"9 per 1000 h".into(), &9.0.into()));
    let failures = |folder: &str| {
        let shape = json(&["stores", folder, "--passage", "346 h", "--days", "16"]);
        line(&shape, "impeller")["failures"].as_f64().expect("a number")
    };
    assert!(failures(&own) > failures(&plain) + 2.0, "{} {}", failures(&own), failures(&plain));
    let text = words(&answered(&["stores", &own, "--rates"]));
    assert!(text.contains("\"raw-pump.worn\" = \"9 per 1000 h\""), "{text}");
}

#[test]
fn the_demonstrations_lockers_are_sound() {
    let Ran { code, out, err } = bedplate(&["stores", &vessel("marram"), "--order"]);
    assert_eq!(code, 0, "{err}");
    assert!(!err.contains("work.toml"), "{err}");
    for told in ["Engine space, locker 1", "engine space, locker 1", "impeller-kit", "Order: Quayside Engine Parts"] {
        assert!(out.to_lowercase().contains(&told.to_lowercase()), "{told} of {out}");
    }
}

#[test]
fn a_vessel_without_stores_is_told_what_to_write() {
    let text = answered(&["stores", &vessel("first-ten-lines"), "--passage", "100 h"]);
    assert!(
        words(&text).contains("nothing is described as kept aboard; write it under [item.…] in work.toml"),
        "{text}"
    );
}
