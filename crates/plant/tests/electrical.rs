//! The electrical circuit as it is described, followed, switched and taken apart.

use plant::finding::{Finding, Problem};
use plant::follow::{Along, End, Trail, follow};
use plant::isolate::{Shutting, Source, isolate};
use plant::plant::{PartId, Plant, Tap};
use plant::reader::read;

const TWO_BANKS: &str = r#"
[engine.main]
rated = { power = "60 kW", speed = "1800 rpm" }
[part.alternator]
kind = "alternator"
[part.house]
kind = "battery"
[part.start]
kind = "battery"
[part.main-switch]
kind = "battery-switch"
[part.lights]
kind = "load"
[circuit.charging]
path = ["alternator", "charge-relay", "start"]
paths = [["alternator", "house", "main-switch", "lights"]]
"#;

fn plant(text: &str) -> Plant {
    let (plant, findings) = read(text);
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

fn id(plant: &Plant, name: &str) -> PartId {
    plant.part(name).unwrap_or_else(|| panic!("no {name}"))
}

/// Every part of a trail, branches and all.
fn passed<'a>(plant: &'a Plant, trail: &Trail) -> Vec<&'a str> {
    trail.ways(plant).iter().map(|(part, _)| plant[*part].name.as_str()).collect()
}

fn way(plant: &Plant, from: &str, along: Along) -> Trail {
    follow(plant, id(plant, from), along).remove(0).1
}

#[test]
fn current_is_followed_from_what_makes_it_and_from_what_stores_it() {
    let plant = plant(TWO_BANKS);
    let onward = passed(&plant, &way(&plant, "alternator", Along::Onward));
    for name in ["alternator", "house", "start", "main-switch", "lights"] {
        assert!(onward.contains(&name), "{name} in {onward:?}");
    }
    assert_eq!(passed(&plant, &way(&plant, "lights", Along::Onward)), ["lights"]);
    assert_eq!(way(&plant, "lights", Along::Onward).end, End::Ground);
    // A bank feeds what hangs on it, and is fed by what charges it.
    assert!(passed(&plant, &way(&plant, "house", Along::Onward)).contains(&"lights"));
    let back = passed(&plant, &way(&plant, "house", Along::Back));
    assert!(back.contains(&"alternator") && !back.contains(&"lights"), "{back:?}");
    let sources = passed(&plant, &way(&plant, "lights", Along::Back));
    assert!(sources.contains(&"alternator") && sources.contains(&"house"), "{sources:?}");
}

#[test]
fn a_switch_is_on_or_off_and_an_open_one_is_asked_again() {
    let mut plant = plant(TWO_BANKS);
    let switch = id(&plant, "main-switch");
    assert_eq!(plant.opening(switch), Some(1.0));
    for (told, stands) in [("off", 0.0), ("on", 1.0)] {
        let (part, at) = plant::reader::line_ups::stand(&plant, "main-switch", told).expect("a position");
        assert_eq!((part, at), (switch, stands));
        plant.turn(&[(part, at)]);
        assert_eq!(plant[switch].kind.stands(at), told);
    }
    // An open valve lets through and an open switch does not: neither word is taken for the other.
    for told in ["open", "shut", "closed"] {
        assert!(
            matches!(plant::reader::line_ups::stand(&plant, "main-switch", told), Err(Problem::Unreasonable { .. })),
            "{told}"
        );
    }
    plant.turn(&[(switch, 0.0)]);
    let trail = way(&plant, "lights", Along::Back);
    assert_eq!(trail.end, End::Shut(switch));
}

#[test]
fn a_part_is_cut_off_from_every_bank() {
    let plant = plant(TWO_BANKS);
    let closing = isolate(&plant, id(&plant, "lights")).remove(0);
    let Shutting::Valves { fewest, .. } = closing.by else { panic!("a switch stands between: {closing:?}") };
    assert_eq!(fewest.shut, [id(&plant, "main-switch")]);
    // The relay closes by itself: it is nothing to trust a hand to.
    let relay = isolate(&plant, id(&plant, "charge-relay")).remove(0);
    assert!(matches!(relay.by, Shutting::Open { source: Source::Pool(_), .. }), "{relay:?}");
}

#[test]
fn gauges_read_volts_and_amperes_and_nothing_else_there() {
    let with = |gauges: &str| read(&format!("{TWO_BANKS}{gauges}"));
    let (sound, _) = with(
        "[gauge.v]\nat = \"house\"\nreads = \"voltage\"\n[gauge.a]\nat = \"main-switch\"\nreads = \"current\"\n\
         [gauge.old]\nat = \"alternator\"\nreads = \"voltage\"\n",
    );
    let sound = sound.expect("gauges that fit");
    let tap = |name: &str| sound[sound.gauge(name).expect("it is there")].tap;
    assert!(matches!((tap("v"), tap("a"), tap("old")), (Tap::Voltage(_), Tap::Flow(_), Tap::Unknown(..))));
    for (at, reads) in
        [("house", "pressure"), ("main-switch", "flow"), ("raw-pump", "current"), ("raw-pump", "voltage")]
    {
        let (plant, findings) = with(&format!("[gauge.x]\nat = \"{at}\"\nreads = \"{reads}\"\n"));
        let refused = findings.iter().any(|f| matches!(f.problem, Problem::TapDoesNotFit { .. }));
        assert!(refused && plant.is_none() == findings.iter().any(Finding::is_fatal), "{reads} at {at}: {findings:?}");
    }
}

#[test]
fn a_lead_to_nowhere_and_an_unknown_figure_are_findings() {
    let nowhere = TWO_BANKS
        .replace("\"main-switch\", \"lights\"", "\"main-switch\"")
        .replace("[part.lights]\nkind = \"load\"\n", "");
    let (_, findings) = read(&nowhere);
    assert!(findings.iter().any(|f| matches!(f.problem, Problem::LeadsNowhere { .. })), "{findings:?}");
    let (_, findings) = read(&TWO_BANKS.replace("kind = \"load\"", "kind = \"load\"\npower = \"12 V\""));
    assert!(findings.iter().any(|f| matches!(f.problem, Problem::BadUnit { .. })), "{findings:?}");
}
