//! With several engines a cause stays with its own.

use diagnosis::hypothesis::{self, What, cause_of, name_of};
use model::steady::Model;
use plant::evidence::Evidence;

const TWO: &str = "[engine.port]\nrated = { power = \"120 kW\", speed = \"2200 rpm\" }\n\
    [engine.starboard]\nrated = { power = \"120 kW\", speed = \"2200 rpm\" }\n[part.sea-chest]\n[circuit]\n\
    raw-water-port = [\"sea-chest\", \"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
    raw-water-starboard = [\"sea-chest\", \"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n";

#[test]
fn what_a_cause_moves_serves_the_same_engine() {
    let plant = plant::reader::read(TWO).0.expect("a plant");
    let model = Model::new(&plant).expect("a sound structure");
    let whose = |place: usize| {
        let mut parts = (0..plant.parts.len()).rev().map(plant::plant::PartId);
        parts.find(|part| model.layout.first_parameter(*part) <= place).expect("a part before it")
    };
    let mut tried = 0;
    for hypothesis in hypothesis::all(&plant, &model.layout, &Evidence::default()) {
        let What::Cause(named, _) = hypothesis.what else { continue };
        let name = name_of(&plant, named);
        let (own, other) =
            if name.ends_with("-port") || name == "port" { ("port", "starboard") } else { ("starboard", "port") };
        if !(name.ends_with(own) || name.ends_with(other)) {
            continue;
        }
        for (place, _) in &hypothesis.moves {
            let engine = plant[whose(*place)].engine.map(|engine| plant[engine].name.as_str());
            let cause = cause_of(&plant, hypothesis.what).map_or("", |cause| cause.name);
            assert_eq!(engine, Some(own), "{name}.{cause} moves {}", plant[whose(*place)].name);
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried} moves");
}
