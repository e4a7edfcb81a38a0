//! Set-up on the command line: jobs listed, asked, worked from line, file and vessel, drawn and kept; and the sea trial.

use crate::run::{answered, file, json, marram, marram_with, refuses, vessel};

const TOP: [&str; 3] = ["flywheel-diameter=480 mm", "stop-ahead=142 mm", "stop-astern=-131 mm"];

fn top<'a>(more: &[&'a str]) -> Vec<&'a str> {
    [&["setup", "top-dead-centre"], more, &TOP[..]].concat()
}

#[test]
fn every_job_is_listed_and_tells_what_it_takes() {
    let told = answered(&["setup"]);
    let listed = json(&["setup"]);
    let jobs = listed["jobs"].as_array().expect("jobs");
    assert!(jobs.len() > 20, "{told}");
    for job in jobs {
        let word = job["job"].as_str().expect("a word");
        assert!(told.contains(word), "{word}");
        if word != "sea-trial" {
            let asks = json(&["setup", word, "--asks"]);
            assert!(!asks["asks"].as_array().expect("asks").is_empty(), "{word}");
            // Nothing told, or a value of nothing, is told as a fault and is no panic.
            let known = answered(&["setup", word, &vessel("marram"), "--asks"]);
            assert!(
                known.contains("Must be told") || known.contains("Left out") || known.contains("May be"),
                "{known}"
            );
        }
    }
}

#[test]
fn a_job_takes_what_the_vessel_tells_and_says_from_where() {
    let told = answered(&top(&[&vessel("marram"), "rod-length=260 mm"]));
    for words in ["5.5 mm", "CAUTION", "146 mm (main, maker)", "maker's manual", "± "] {
        assert!(told.contains(words), "no “{words}” in\n{told}");
    }
    let section = "\n[setup.main]\nflywheel-diameter = \"480 mm\"\nrod-length = \"260 ± 2 mm\"\n";
    let folder = marram_with("setup-section", "", section);
    let shape = json(&["setup", "top-dead-centre", &folder, "stop-ahead=142 mm", "stop-astern=-131 mm"]);
    let from = shape["from"].as_array().expect("a list").iter();
    let by_section = from.filter(|one| one["from"] == "[setup.main]").count();
    assert_eq!((by_section, shape["of"].as_str()), (2, Some("main")));
    let wrong =
        marram_with("setup-wrong", "", "\n[setup.main]\nflywheel-diametre = \"480 mm\"\n[setup.man]\nstroke = 3\n");
    refuses(&["setup", "top-dead-centre", &wrong], &["flywheel-diametre", "flywheel-diameter", "man"]);
}

#[test]
fn a_job_is_worked_from_a_file_drawn_and_kept() {
    let folder = marram("setup-kept", "");
    let sheet = file("top.toml", "flywheel-diameter = \"480 mm\"\nstop-ahead = \"142 mm\"\nstop-astern = \"0 mm\"\n");
    let drawing = file("top.svg", "");
    // What stands on the line counts before what stands in the file.
    let told = answered(&[
        "setup",
        "top-dead-centre",
        &folder,
        "stop-astern=-131 mm",
        "--from",
        &sheet,
        "--draw",
        &drawing,
        "--keep",
        "--who",
        "mate",
        "--hours",
        "1850",
    ]);
    assert!(told.contains("5.5 mm") && told.contains("Its key is"), "{told}");
    let drawn = std::fs::read_to_string(&drawing).expect("it was written");
    assert!(drawn.starts_with("<svg") && drawn.contains("<style>") && drawn.contains("pointer"), "{drawn}");
    let records = answered(&["done", &folder]);
    assert!(records.contains("Top dead centre") && records.contains("mate"), "{records}");
    let shape = json(&["done", &folder]);
    assert!(shape.to_string().contains("pointer from top dead centre"), "{shape}");
}

#[test]
fn what_cannot_be_is_refused_with_what_to_do() {
    refuses(&["setup", "valve-lush"], &["valve-lash"]);
    refuses(&["setup", "top-dead-centre", "stop-ahaed=3 mm"], &["stop-ahead", "not told"]);
    refuses(&["setup", "top-dead-centre", "flywheel-diameter=480"], &["no unit", "480 mm"]);
    refuses(&top(&["rod-length=NaN mm"]), &["rod-length"]);
    refuses(&top(&["rod-length=1e9 km"]), &["rod-length"]);
    refuses(&top(&["--keep"]), &["no vessel"]);
    refuses(&top(&["--of", "main"]), &["no vessel"]);
    refuses(&top(&[&vessel("marram"), "--of", "mian"]), &["main"]);
    refuses(&top(&["--against", "x"]), &["no sea trial"]);
    refuses(&top(&["--from", "nowhere.toml"]), &["nowhere.toml"]);
}

const TRIAL: &str = r#"
[[occasion]]
at = { speed = "1200 rpm", sea = "14 C" }
readings = { coolant = "79 C", raw-out = "21 C", oil-pressure = "3.4 bar" }
[[occasion]]
at = { speed = "1690 rpm", sea = "14 C" }
readings = { coolant = "81 C", raw-out = "26 C", oil-pressure = "3.5 bar", suction = "4 kPa" }
[[occasion]]
at = { speed = "1690 rpm", sea = "14 C" }
readings = { coolant = "81.5 C", raw-out = "26 C", oil-pressure = "3.5 bar" }
"#;

#[test]
fn a_trial_is_judged_kept_for_good_and_held_against() {
    let folder = marram("trial-kept", "");
    let sheet = answered(&["setup", "sea-trial", &folder, "sea=18C"]);
    for words in ["Full speed", "CAUTION", "raw-out", "95 of 100"] {
        assert!(sheet.contains(words), "no “{words}” in\n{sheet}");
    }
    let first = file("trial.toml", TRIAL);
    let told = answered(&["setup", "sea-trial", &folder, "--from", &first, "--keep", "--name", "as commissioned"]);
    assert!(told.contains("0 failed") && told.contains("Reaches her rated 1700 rpm"), "{told}");
    // As it stands on the dial: a vacuum is no pressure below nothing.
    assert!(told.contains("suction reads what she was described to read: 4 kPa"), "{told}");
    refuses(
        &["setup", "sea-trial", &folder, "--from", &first, "--keep", "--name", "as commissioned"],
        &["never changed"],
    );
    let later = file("trial-later.toml", TRIAL.replace("26 C", "33 C"));
    let shape = json(&["setup", "sea-trial", &folder, "--from", &later, "--against", "as commissioned"]);
    let gauges = shape["steps"][1]["gauges"].as_array().expect("gauges");
    let out = gauges.iter().find(|gauge| gauge["gauge"] == "raw-out").expect("it");
    let width = |of: &str| out[of]["high"].as_f64().expect("a number") - out[of]["low"].as_f64().expect("a number");
    assert!(width("commissioned") < 0.8 * width("designed"), "{out}");
    assert_eq!(out["off"], "over");
    let failed = shape["items"].as_array().expect("items").iter().filter(|item| item["verdict"] == "failed");
    assert!(failed.count() >= 2, "{shape}");
    refuses(&["setup", "sea-trial", &folder, "--trial", "as comissioned"], &["as commissioned"]);
    refuses(&["setup", "sea-trial"], &["one vessel"]);
    refuses(&["setup", "sea-trial", &folder, "--keep"], &["nothing was read"]);
    refuses(&["setup", "sea-trial", &folder, "--from", &first, "--keep"], &["no name"]);
}

/// A result of a job as it is shown, by its key.
fn shown(answer: &serde_json::Value, key: &str) -> String {
    let all = answer["results"].as_array().expect("results");
    let one = all.iter().find(|one| one["key"] == key).unwrap_or_else(|| panic!("no {key} in {answer}"));
    one["shown"].as_str().expect("words").to_string()
}

/// The same in its unit.
fn number(answer: &serde_json::Value, key: &str) -> f64 {
    let all = answer["results"].as_array().expect("results");
    let one = all.iter().find(|one| one["key"] == key).unwrap_or_else(|| panic!("no {key} in {answer}"));
    one["value"].as_f64().expect("a number")
}

// Questions of an invented vessel, worked by hand from printed formulas; what is asked for is exact to the last place told.
#[test]
fn worked_questions_are_answered_by_command() {
    let near = |ours: f64, theirs: f64, within: f64| assert!((ours - theirs).abs() <= within, "{ours} is not {theirs}");
    // How wide a dry stack must be.
    let stack = json(&[
        "setup",
        "dry-stack",
        "gas-flow=0.17 kg/s",
        "gas-temperature=420 C",
        "stack-length=7 m",
        "bends=3",
        "silencer-drop=2 kPa",
        "back-pressure-limit=6.8 kPa",
        "stack-bore=76.2 mm",
    ]);
    assert!(stack["says"].as_str().expect("a sentence").contains("101.6 mm"), "{stack}");
    let told = stack["tables"].to_string();
    for pressure in ["6.15 kPa", "4.99 kPa", "4.02 kPa", "3.46 kPa", "3.09 kPa", "2.79 kPa", "2.39 kPa", "2.28 kPa"] {
        assert!(told.contains(pressure), "{pressure}: {told}");
    }
    // Shims.
    let shims = json(&[
        "setup",
        "alignment",
        "flange-diameter=127 mm",
        "gap-top=0.05 mm",
        "gap-bottom=0.30 mm",
        "gap-port=0.10 mm",
        "gap-starboard=0.20 mm",
        "flange-above=-0.20 mm",
        "aft-feet=550 mm",
        "forward-feet=1550 mm",
    ]);
    let says = shims["says"].as_str().expect("a sentence");
    for words in ["ower", "0.88 mm", "2.85 mm", "0.43 mm", "1.22 mm", "starboard"] {
        assert!(says.contains(words), "{words}: {says}");
    }
    // Charge, and the belt that carries it.
    let charge = json(&[
        "setup",
        "battery-charge",
        "bank-capacity=800 A·h",
        "charge-now=50 %",
        "charge-wanted=85 %",
        "charge-current=120 A",
        "derating=75 %",
        "house-load=18 A",
        "charge-efficiency=0.90",
    ]);
    near(number(&charge, "net-current"), 72.0, 1e-9);
    for (key, hours) in [("time", 4.3), ("time-to-95", 6.4), ("time-to-98", 8.1)] {
        near(number(&charge, key), hours, 0.05);
    }
    let belt = json(&[
        "setup",
        "belts",
        "pulley-diameter=180, 75 mm",
        "centres=290 mm",
        "driver-speed=1500 rpm",
        "alternator-place=2",
        "alternator-current=120 A",
        "alternator-voltage=28.4 V",
        "alternator-efficiency=0.58",
        "belt-width=13 mm",
    ]);
    let all = belt.to_string();
    for figure in ["159", "285", "4.5", "5.9", "14.1", "416"] {
        assert!(all.contains(figure), "{figure}: {all}");
    }
    // Slip, and what three tonnes more would ask.
    let slip = json(&[
        "setup",
        "propeller",
        "boat-speed=7.2 kn",
        "engine-speed=1500 rpm",
        "reduction=2.80",
        "propeller-pitch=0.61 m",
        "displacement=30 t",
        "shaft-power=51.4 kW",
        "other-displacement=33 t",
    ]);
    near(number(&slip, "pitch-speed"), 10.59, 0.005);
    near(number(&slip, "admiralty"), 70.1, 0.05);
    near(number(&slip, "other-power"), 54.8, 0.05);
    assert!(shown(&slip, "slip").starts_with("32"), "{slip}");
}
