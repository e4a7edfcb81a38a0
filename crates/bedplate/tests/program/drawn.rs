//! The schematic from the command line.

use crate::run::{SMALL, answered, bedplate, file, folder, vessel};
use serde_json::Value;

#[test]
fn a_drawing_stands_alone() {
    let drawing = answered(&["draw", &vessel("first-ten-lines")]);
    assert!(drawing.starts_with("<svg xmlns=") && drawing.ends_with("</svg>\n"), "{drawing}");
    assert!(drawing.contains("<style>") && !drawing.contains("style="), "one style, and none at a line");
    assert!(!drawing.contains("http://www.w3.org/1999") && !drawing.contains("url("), "nothing is fetched");
    for part in ["seacock", "strainer", "raw-pump", "exchanger", "elbow"] {
        assert_eq!(drawing.matches(&format!("data-part=\"{part}\"")).count(), 1, "{part}");
    }
}

#[test]
fn a_drawing_goes_into_a_file() {
    let vessel = file("to-draw.toml", SMALL);
    let path = file("drawing.svg", "");
    assert_eq!(answered(&["draw", &vessel, "--out", &path]), "");
    let written = std::fs::read_to_string(&path).expect("it was written");
    assert_eq!(written, answered(&["draw", &vessel]));
    for (out, says) in
        [(folder("no-drawing"), "a folder, not a file"), ("no/such/folder/a.svg".into(), "no such folder")]
    {
        let ran = bedplate(&["draw", &vessel, "--out", &out]);
        assert_eq!(ran.code, 2, "{}", ran.err);
        assert!(ran.err.contains(says) && ran.err.contains("--out"), "{}", ran.err);
    }
}

#[test]
fn what_cannot_be_read_is_not_drawn() {
    let ran = bedplate(&["draw", &file("not-drawn.toml", SMALL.replace("strainer", "strayner"))]);
    assert_eq!(ran.code, 2);
    assert!(ran.out.is_empty() && ran.err.contains("Did you mean `strainer`?"), "{}", ran.err);
}

#[test]
fn every_run_for_programs_joins_two_ports() {
    let drawing: Value = serde_json::from_str(&answered(&["draw", &vessel("marram"), "--json"])).expect("it is JSON");
    let list = |value: &Value| value.as_array().cloned().expect("a list");
    let ports: Vec<(Value, Value, Value)> = list(&drawing["parts"])
        .iter()
        .flat_map(|part| {
            list(&part["ports"]).into_iter().map(|p| (part["part"].clone(), p["port"].clone(), p["at"].clone()))
        })
        .collect();
    let runs = list(&drawing["runs"]);
    assert!(runs.len() > 25, "{}", runs.len());
    for run in &runs {
        let points = list(&run["points"]);
        for (end, at) in [("from", points.first()), ("to", points.last())] {
            let port = (run[end][0].clone(), run[end][1].clone(), at.cloned().expect("a run has ends"));
            assert!(ports.contains(&port), "{run}");
        }
    }
}
