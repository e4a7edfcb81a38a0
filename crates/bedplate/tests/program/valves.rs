//! Valves: followed, turned and shut on the command line, and how they stand kept in the vessel's folder.

use crate::run::{answered, bedplate, file, folder, json, vessel};
use serde_json::Value;

/// A folder of its own with the demonstration vessel in it.
fn marram(name: &str) -> String {
    let folder = folder(name);
    std::fs::remove_dir_all(&folder).expect("left by the run before");
    std::fs::create_dir_all(&folder).expect("a folder for tests");
    let text = std::fs::read_to_string(format!("{}/vessel.toml", vessel("marram"))).expect("it is shipped");
    std::fs::write(format!("{folder}/vessel.toml"), text).expect("a folder for tests");
    folder
}

#[test]
fn follow_tells_the_way_from_the_sea_overboard() {
    let told = answered(&["follow", &vessel("marram"), "intake-port"]);
    let order =
        ["intake-port", "seacock-port", "strainer-port", "raw-pump", "exchanger", "elbow", "silencer", "outlet"];
    let places: Vec<usize> =
        order.iter().map(|part| told.find(part).unwrap_or_else(|| panic!("{part}\n{told}"))).collect();
    // The vessel's first line names where it begins.
    assert!(places[1..].is_sorted(), "{told}");
    let back = answered(&["follow", &vessel("marram"), "raw-pump", "--back"]);
    assert!(
        back.contains("seacock-starboard is shut")
            && back.contains("raw-pump is turned by belt-raw, which is turned by main"),
        "{back}"
    );
    let shut = answered(&["follow", &vessel("marram"), "intake-port", "--line-up", "starboard"]);
    assert!(shut.contains("seacock-port is shut") && !shut.contains("exchanger"), "{shut}");
    let shape = json(&["follow", &vessel("marram"), "gearbox"]);
    assert_eq!(shape["line_up"], "port");
    assert_eq!(shape["trails"][0]["circuit"], "gear-oil");
    assert_eq!(shape["turned_by"], "main");
}

#[test]
fn what_is_followed_is_drawn_under_a_band() {
    let path = file("followed.svg", "");
    answered(&["follow", &vessel("marram"), "intake-port", "--draw", &path]);
    let drawn = std::fs::read_to_string(&path).expect("it was written");
    let bands = drawn.matches("class=\"band\"").count();
    // From the intake to the outlet it passes 12 parts, one of them a hose that is drawn as the run itself.
    assert_eq!(bands, 11);
    answered(&["isolate", &vessel("marram"), "strainer-port", "--draw", &path]);
    let drawn = std::fs::read_to_string(&path).expect("it was written");
    assert!(drawn.contains("SHUT") && drawn.contains("OUT"), "the valve and the part are marked");
}

#[test]
fn isolate_says_stop_where_the_pump_would_run_dry() {
    let told = answered(&["isolate", &vessel("marram"), "strainer-port"]);
    for words in [
        "engine must be stopped",
        "runs dry",
        "boils in about",
        "Shut seacock-port",
        "Leave seacock-starboard shut",
        "Proof",
        "floods",
    ] {
        assert!(told.contains(words), "no “{words}” in\n{told}");
    }
    let shape = json(&["isolate", &vessel("marram"), "exchanger"]);
    assert_eq!(shape["running"], Value::Null);
    assert_eq!(shape["open"][0]["from"], "header-tank");
    let wall = shape["walls"][0]["says"].as_str().expect("words");
    assert!(wall.contains("coolant goes into the raw water"), "{wall}");
    let told = answered(&["isolate", &vessel("marram"), "seacock-port"]);
    assert!(told.contains("not for taking out afloat"), "{told}");
}

#[test]
fn how_the_valves_stand_is_kept_and_used() {
    let folder = marram("line-up-kept");
    let told = answered(&["line-up", &folder, "--line-up", "starboard", "--keep", "--who", "mate"]);
    assert!(told.contains("line-up starboard") && told.contains("mate"), "{told}");
    let kept = std::fs::read_to_string(format!("{folder}/line-up.toml")).expect("it was written");
    for words in ["line-up = \"starboard\"", "who = \"mate\"", "seacock-port = \"shut\""] {
        assert!(kept.contains(words), "{kept}");
    }
    // The other strainer gets the water now, in every answer, by folder or by file.
    for path in [folder.clone(), format!("{folder}/vessel.toml")] {
        let shape = json(&["follow", &path, "raw-pump", "--back"]);
        assert_eq!(shape["line_up"], "starboard", "{path}");
        let expected = json(&["expect", &path]);
        let raw = &expected["circuits"][0];
        let ways = raw["ways"].as_array().expect("ways").iter().map(|way| way["part"].clone());
        assert!(ways.into_iter().any(|part| part == "strainer-starboard"), "{raw}");
    }
    answered(&["line-up", &folder, "--turn", "seacock-port=40 %", "--keep"]);
    let shape = json(&["line-up", &folder]);
    let port = shape["valves"].as_array().expect("valves").iter().find(|v| v["valve"] == "seacock-port").expect("it");
    assert_eq!((port["opening"].as_f64(), port["who"].as_str()), (Some(0.4), Some("")));
    assert_eq!(shape["line_up"], Value::Null);
    let left: Vec<_> = std::fs::read_dir(&folder).expect("a folder").flatten().map(|entry| entry.file_name()).collect();
    assert_eq!(left.len(), 2, "nothing half written lies about: {left:?}");
}

#[test]
fn a_turn_that_harms_says_so_and_is_not_kept_unasked() {
    let folder = marram("line-up-tried");
    let shape = json(&["line-up", &folder, "--turn", "seacock-port=shut"]);
    assert_eq!(shape["harms"], true);
    assert!(!std::path::Path::new(&format!("{folder}/line-up.toml")).exists());
    let shape = json(&["line-up", &folder, "--turn", "seacock-starboard=open"]);
    assert_eq!((&shape["harms"], &shape["turned"][0]["to"]), (&Value::Bool(false), &Value::from(1.0)));
}

#[track_caller]
fn refused(arguments: &[&str], says: &[&str]) {
    let ran = bedplate(arguments);
    assert_eq!(ran.code, 2, "{arguments:?} printed {} {}", ran.out, ran.err);
    for words in says {
        assert!(ran.err.contains(words), "{arguments:?}: no “{words}” in\n{}", ran.err);
    }
}

#[test]
fn what_is_no_valve_no_part_and_no_line_up_is_refused() {
    let vessel = vessel("marram");
    refused(&["follow", &vessel, "strainer-prt"], &["there is no part `strainer-prt`", "strainer-port"]);
    refused(&["isolate", &vessel, "coolant"], &["there is no part `coolant`"]);
    refused(
        &["line-up", &vessel, "--turn", "raw-pump=shut"],
        &["`raw-pump` cannot be opened and shut", "seacock-port"],
    );
    refused(&["line-up", &vessel, "--turn", "seacock-port=ajar"], &["seacock-port"]);
    refused(&["line-up", &vessel, "--turn", "seacock-port=200 %"], &["200 %"]);
    refused(&["line-up", &vessel, "--turn", "seacock-port=-5 %"], &["-5 %", "shut to open"]);
    refused(&["line-up", &vessel, "--turn", "seacock-port"], &["no equals sign", "--turn seacock-port=shut"]);
    refused(&["line-up", &vessel, "--turn", "seacock-port=shut", "--turn", "seacock-port=open"], &["given twice"]);
    refused(&["expect", &vessel, "--line-up", "stbd"], &["there is no line-up `stbd`", "starboard"]);
    refused(&["line-up", &vessel, "--keep"], &["nothing to keep"]);
    let few = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
               [circuit]\nraw-water = [\"raw-pump\", \"exchanger\", \"elbow\"]\n";
    let none = file("no-valves.toml", few);
    refused(&["line-up", &none, "--turn", "seacock=shut"], &["`seacock` cannot be opened", "None is known here"]);
    let text = std::fs::read_to_string(format!("{vessel}/vessel.toml")).expect("it is shipped");
    let alone = file("no-folder-of-its-own.toml", text);
    refused(&["line-up", &alone, "--turn", "seacock-port=shut", "--keep"], &["beside this file nothing is kept"]);
    let folder = marram("line-up-broken");
    // A valve that is gone since is left out with a word; a position that is none is a fault.
    let kept = format!("{folder}/line-up.toml");
    std::fs::write(&kept, "[[turned]]\nvalves = { old-cock = \"shut\", seacock-starboard = \"open\" }\n")
        .expect("a file");
    let ran = bedplate(&["line-up", &folder]);
    assert!(
        ran.code == 0 && ran.err.contains("line-up.toml:2") && ran.err.contains("`old-cock` was turned"),
        "{}",
        ran.err
    );
    std::fs::write(&kept, "[[turned]]\nvalves = { seacock-port = \"ajar\" }\n").expect("a file");
    refused(&["expect", &folder], &["line-up.toml:2", "seacock-port"]);
}
