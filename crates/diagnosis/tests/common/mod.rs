//! A small raw-water line and evidence told of it.

use plant::evidence::Evidence;
use plant::plant::Plant;

/// An engine with its raw water and four gauges.
const VESSEL: &str = "[vessel]\nname = \"x\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
    [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
    [gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n\
    [gauge.raw-out]\nat = \"exchanger.raw-out\"\nreads = \"temperature\"\n\
    [gauge.suction]\nat = \"raw-pump.in\"\nreads = \"vacuum\"\n\
    [gauge.oil]\nat = \"engine.oil-in\"\nreads = \"pressure\"\n";

/// The plant.
pub fn plant() -> Plant {
    plant::reader::read(VESSEL).0.expect("a plant")
}

/// Evidence in the words of a file.
pub fn told(text: &str) -> Evidence {
    let (evidence, findings) = plant::evidence_reader::read(text, &plant());
    assert!(findings.iter().all(|finding| !finding.is_fatal()), "{findings:?}");
    evidence
}
