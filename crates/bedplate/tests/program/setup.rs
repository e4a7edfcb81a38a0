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
