//! A vessel whose propeller's pitch can be set, started by hand, with a stack and no elbow.

use measure::quantity::Quantity;
use parts::kind::Circuit;
use plant::evidence_reader::{point_for, read};
use plant::finding::render;
use plant::plant::{PartId, Plant, Terminal};

const THRIFT: &str = include_str!("../../../vessels/thrift/vessel.toml");
const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");
const VESSEL: &str = r#"
[engine.main]
rated = { power = "74 kW", speed = "1700 rpm" }
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
"#;

fn vessel(text: &str) -> Plant {
    plant::reader::read(text).0.expect("a plant")
}

#[test]
fn pitch_is_told_only_where_it_can_be_set() {
    let pitched = format!("{VESSEL}\n[part.propeller]\nkind = \"controllable-pitch-propeller\"\n");
    let plant = vessel(&pitched);
    let told = |value: &str, plant: &Plant| point_for(&[("pitch".to_string(), value.to_string())], plant);
    let share = |value: &str| told(value, &plant).0.pitch.expect("a pitch");
    assert!((share("80%") - 0.8).abs() < 1e-12 && (share("-0.4") + 0.4).abs() < 1e-12);
    assert_eq!((share("design"), share("zero")), (1.0, 0.0));
    assert!(told("300 %", &plant).1[0].is_fatal() && told("steep", &plant).1[0].is_fatal());
    let fixed = vessel(VESSEL);
    let (at, findings) = told("80 %", &fixed);
    assert!(
        at.pitch.is_none() && render(&findings[0], "", "--at").contains("controllable-pitch-propeller"),
        "{findings:?}"
    );
    let evidence = "[[occasion]]\nwhen = \"now\"\nat = { speed = \"1200 rpm\", pitch = \"60 %\" }\nreadings = { coolant = \"80 °C\" }\n";
    let (evidence, findings) = read(evidence, &plant);
    assert!(findings.is_empty(), "{findings:?}");
    assert!(evidence.occasions[0].at.pitch.is_some_and(|pitch| (pitch - 0.6).abs() < 1e-12));
}

#[test]
fn thrift_has_a_pitch_to_set_an_exchanger_of_her_own_for_the_gear_and_no_elbow() {
    let thrift = vessel(THRIFT);
    assert!(thrift.sets_pitch() && !vessel(MARRAM).sets_pitch());
    let count = |kind: &str| thrift.parts.iter().filter(|part| part.kind.name == kind).count();
    assert_eq!((count("elbow"), count("overboard-discharge"), count("propeller")), (0, 1, 0));
    let pitch = thrift.gauge("pitch").expect("an indicator");
    assert!(thrift.is_pitch(thrift[pitch].tap));
    assert_eq!(thrift[pitch].quantity, Quantity::Ratio);
    let (on_a_branch, main) = (thrift.part("gear-exchanger").expect("told"), thrift.part("exchanger").expect("told"));
    let raw = |part: PartId| {
        let flows = thrift[part].flows.iter().flatten().map(|flow| &thrift.flows[flow.0]);
        flows.into_iter().find(|flow| flow.circuit == Circuit::RawWater).expect("raw water").from
    };
    assert_eq!(raw(on_a_branch), raw(main), "both begin behind the pump");
}

#[test]
fn raw_water_that_meets_no_exhaust_ends_overboard() {
    let text = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n[part.dry-stack]\n";
    let plant = vessel(text);
    let ends = plant.flows.iter().filter(|flow| flow.circuit == Circuit::RawWater && flow.to == Terminal::Air);
    let ends: Vec<&str> = ends.map(|flow| plant[flow.part].kind.name).collect();
    assert_eq!(ends, ["overboard-discharge"]);
}
