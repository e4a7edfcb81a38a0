//! What is due and what was done, on the command line.

use crate::run::{answered, bedplate, json, marram, refuses};
use serde_json::Value;
use std::path::Path;

/// A worked example: 1850 h, a passage of 346 h, what was done at which hours; the arithmetic is done by hand.
const WORKED: &str = r#"
[task.oil-change]
of = "sump"
hours = 250
uses = { oil = "14 L" }
last = { hours = 1760 }
[task.primary]
title = "Renew the primary fuel element"
hours = 300
uses = { "primary element" = 1 }
last = { hours = 1700 }
[task.impeller]
of = "raw-pump"
hours = 250
last = { hours = 1700 }
[task.renew]
of = "belt-raw"
hours = 600
last = { hours = 1500 }
[task.lash]
of = "main"
hours = 1000
last = { hours = 1250 }
"#;

#[test]
fn what_falls_due_on_a_passage_and_what_to_carry_are_told() {
    let folder = marram("work-passage", WORKED);
    let asked = ["due", &folder, "--hours", "1850", "--passage", "346 h", "--days", "16"];
    let shape = json(&asked);
    let falls = shape["passage"]["falls"].as_array().expect("a list");
    let rows: Vec<(&str, f64, f64, u64)> = falls
        .iter()
        .map(|fall| {
            let number = |key: &str| fall[key].as_f64().expect("a number");
            (
                fall["task"].as_str().expect("a name"),
                number("at_h"),
                number("next_h"),
                fall["times_if_done"].as_u64().expect("a count"),
            )
        })
        .collect();
    let worked = [
        ("raw-pump.impeller", 1950.0, 2100.0, 1),
        ("primary", 2000.0, 2150.0, 1),
        ("sump.oil-change", 2010.0, 2100.0, 1),
        ("belt-raw.renew", 2100.0, 2450.0, 0),
    ];
    assert_eq!(rows, worked);
    let text = answered(&asked).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("falls due at 2100 h, still at sea") && text.contains("at 2450 h, after the arrival"),
        "{text}"
    );
    for carried in ["14.0 L of oil of sump", "primary element × 1", "impeller of raw-pump × 1", "belt of belt-raw × 1"]
    {
        assert!(text.contains(carried), "{carried} of {text}");
    }
}

#[test]
fn work_is_written_down_with_its_measures_and_files_and_sets_the_next_time() {
    let folder = marram(
        "work-done",
        "[task.lash]\nof = \"main\"\nmeasures = [{ name = \"clearance\", unit = \"mm\", at = \"valves\", least = 0.2, most = 0.4 }]\nhours = 1000\n",
    );
    let photo = crate::run::file("rocker.jpg", b"not really a photo");
    let first = [
        "done",
        &folder,
        "main.lash",
        "--at",
        "2024-05-01",
        "--hours",
        "1000",
        "--found",
        "clearance cylinder 1 inlet=0.30",
    ];
    answered(&first);
    let said = answered(&[
        "done",
        &folder,
        "lash",
        "--at",
        "2025-05-01",
        "--hours",
        "1600 h",
        "--who",
        "A",
        "--found",
        "clearance cylinder 1 inlet=0.36 mm",
        "--left",
        "cylinder 1 inlet=0.30 mm",
        "--file",
        &photo,
        "--text",
        "cover weeps",
    ]);
    assert!(said.contains("Written down") && said.contains("at 2600 h") && said.contains("clearance"), "{said}");
    let shape = json(&["done", &folder]);
    let record = &shape["records"][1]["record"];
    assert_eq!(record["hours"], 1600.0);
    assert!((record["measured"][0]["found"].as_f64().expect("SI") - 0.36e-3).abs() < 1e-9);
    let file = record["files"][0]["name"].as_str().expect("a name");
    let sum = record["files"][0]["sha256"].as_str().expect("a sum");
    assert!(Path::new(&folder).join("kept").join(format!("{}-{file}", &sum[..12])).exists());
    // A correction stands, and what it corrects is kept.
    let key = shape["records"][1]["key"].as_str().expect("a key").to_string();
    answered(&["done", &folder, "lash", "--at", "2025-05-01", "--hours", "1610", "--correct", &key]);
    let shape = json(&["done", &folder]);
    assert_eq!(
        (shape["records"][1]["record"]["hours"].as_f64(), shape["corrected"][0]["key"].as_str()),
        (Some(1610.0), Some(key.as_str()))
    );
    refuses(&["done", &folder, "lash", "--correct", &key], &["was corrected already"]);
    // Hours that are corrected do not stand against their correction, though they were more.
    let key = shape["records"][1]["key"].as_str().expect("a key").to_string();
    answered(&["done", &folder, "lash", "--at", "2025-05-01", "--hours", "1590", "--correct", &key]);
    let shape = json(&["done", &folder]);
    assert_eq!(shape["records"][1]["record"]["hours"], 1590.0);
    let key = shape["records"][1]["key"].as_str().expect("a key").to_string();
    assert!(answered(&["done", &folder, "--take-back", &key]).contains("no longer counts"));
    assert_eq!(json(&["done", &folder])["records"].as_array().map(Vec::len), Some(1));
    assert!(answered(&["done", &folder, "--all"]).contains("Corrected or taken back"));
}

#[test]
fn a_table_of_measures_is_printed_filled_in_and_read_back() {
    let folder = marram("work-sheet", "");
    let blank = answered(&["done", &folder, "main.lash", "--blank"]);
    assert_eq!(blank.lines().count(), 11, "five cylinders, two valves each: {blank}");
    let filled: String = blank
        .lines()
        .enumerate()
        .map(|(place, line)| {
            if place == 0 {
                format!("{line}\n")
            } else {
                format!("{}0.3{place},0.30\n", line.trim_end_matches(',').to_string() + ",")
            }
        })
        .collect();
    let sheet = crate::run::file("lash.csv", filled);
    answered(&["done", &folder, "main.lash", "--at", "2025-05-01", "--sheet", &sheet]);
    let shape = json(&["done", &folder]);
    let measured = shape["records"][0]["record"]["measured"].as_array().expect("a list");
    assert_eq!(
        (measured.len(), measured[9]["at"].as_str(), measured[0]["found"].as_f64()),
        (10, Some("cylinder 5 exhaust"), Some(0.31e-3))
    );
    let bad = crate::run::file("bad.csv", "measure,place,unit,found,left\nclearance,cylinder 9 inlet,mm,0.3,\n");
    refuses(&["done", &folder, "main.lash", "--sheet", &bad], &["cylinder 9 inlet", "cylinder 1 inlet"]);
}

#[test]
fn what_cannot_be_is_refused_with_what_to_do_and_nothing_is_written() {
    let folder = marram("work-bad", "");
    let lash = ["done", folder.as_str(), "main.lash"];
    let with = |more: &[&'static str]| [&lash[..], more].concat();
    refuses(&["done", &folder, "impeler"], &["there is no task", "impeller"]);
    refuses(&["done", &folder, "look"], &["could be", "strainer-port.look"]);
    refuses(&with(&["--hours", "many"]), &["--hours", "no running hours"]);
    refuses(&with(&["--hours", "-5"]), &["no running hours"]);
    refuses(&with(&["--hours", "1e9"]), &["no running hours"]);
    refuses(&with(&["--at", "yesterday"]), &["--at", "2026-05-01"]);
    refuses(&with(&["--found", "clearance"]), &["has no ="]);
    refuses(&with(&["--found", "clearance=0.3"]), &["more than one place"]);
    refuses(&with(&["--found", "clearance cylinder 1 inlet=wide"]), &["wide", "mm"]);
    refuses(&with(&["--found", "smell=0.3"]), &["nothing called `smell`"]);
    refuses(&with(&["--used", "gasket=none"]), &["no amount"]);
    refuses(&with(&["--file", "/nowhere/at/all.jpg"]), &["there is no such file"]);
    refuses(&with(&["--correct", "ffffffff"]), &["no record has the key"]);
    refuses(&["done", &folder, "haul-out", "--blank"], &["is no task"]);
    refuses(&["due", &folder, "--hours", "soon"], &["--hours", "cannot be read"]);
    refuses(&["due", &folder, "--hours", "gearbox=5"], &["is no engine"]);
    refuses(&["due", &folder, "--passage", "346", "--days", "2"], &["do not fit into 2 days"]);
    refuses(&["due", &folder, "--passage", "nan"], &["cannot be read"]);
    refuses(&["due", &folder, "--passage", "30", "--leaves", "2001-01-01"], &["is past"]);
    assert!(!Path::new(&folder).join("log.db").exists(), "nothing is made by what is refused");
    answered(&["done", &folder, "main.lash", "--at", "2025-05-01", "--hours", "1000"]);
    refuses(&["done", &folder, "raw-pump.impeller", "--at", "2025-06-01", "--hours", "900"], &["fewer than before"]);
    refuses(
        &["done", &folder, "raw-pump.impeller", "--at", "2025-05-03", "--hours", "1100"],
        &["more than the days since allow"],
    );
    refuses(&["done", &folder, "raw-pump.impeller", "--at", "2025-04-03", "--hours", "1100"], &["more than later"]);
}

#[test]
fn a_vessel_just_taken_over_shows_ten_tasks_by_risk_and_none_overdue() {
    let folder = marram("work-new", "");
    let text = answered(&["due", &folder, "--hours", "3200"]);
    assert!(text.contains("Nothing is past") && text.contains("10 to begin with"), "{text}");
    let shape = json(&["due", &folder, "--hours", "3200"]);
    assert!(shape["tasks"].as_array().expect("a list").iter().all(|task| task["stands"] != "past"));
    let first: Vec<f64> =
        shape["first"].as_array().expect("a list").iter().map(|row| row["loss_eur"].as_f64().expect("money")).collect();
    assert!(first.len() > 30 && first[0] > 0.0, "{first:?}");
    // Faults of the texts are told at their place.
    std::fs::write(format!("{folder}/work.toml"), "[task.x]\nof = \"raw-pmp\"\nhours = 5\n").expect("written");
    refuses(&["due", &folder], &["work.toml:2", "raw-pump"]);
}

#[test]
fn what_was_done_counts_when_causes_are_weighed() {
    let folder = marram("work-explain", "");
    let evidence =
        crate::run::file("weak.toml", "[[occasion]]\nat = { speed = \"1500 rpm\" }\nsaid = [\"outlet.flow weak\"]\n");
    let chance = || {
        let shape = json(&["explain", &folder, &evidence]);
        let causes = shape["causes"].as_array().expect("a list").clone();
        let of = |part: &str| -> f64 {
            causes.iter().filter(|cause| cause["part"] == part).filter_map(|cause| cause["probability"].as_f64()).sum()
        };
        (of("raw-pump"), of("strainer-port"))
    };
    let before = chance();
    answered(&["done", &folder, "strainer-port.look", "--at", "2025-05-01", "--hours", "1000"]);
    answered(&["done", &folder, "raw-pump.impeller", "--at", "2025-05-01", "--hours", "1000"]);
    let ran = bedplate(&["explain", &folder, &evidence]);
    assert!(ran.err.contains("lately worked on: ") && ran.err.contains("strainer-port, 0 h ago"), "{}", ran.err);
    let after = chance();
    assert!(before.0 + before.1 > 0.2 && before != after, "{before:?} {after:?}");
    // What the pump's vanes did before matters less once they were renewed and 1000 h later more again.
    answered(&["done", &folder, "main.lash", "--at", "2026-10-01", "--hours", "2500"]);
    let later = chance();
    assert!(later.0 > after.0 || later.1 > after.1, "{after:?} {later:?}");
}

#[test]
fn a_list_of_the_owners_own_is_shown_first_and_then_kept_and_does_no_harm_twice() {
    let folder = marram("work-list", "");
    let list = "Day;Job;Machine;Engine hours;By;Weather\n\
                03/05/2025;Renew the impeller;raw pump;1 500;A;calm\n\
                2025-06-14;impeller;raw-pump;1520,5;A;\n\
                2025-07-01;Painted the bilge;;;B;hot\n\
                soon;impeller;raw-pump;1600;;\n\
                2025-08-01;lash;main;many;;\n";
    let file = crate::run::file("jobs.csv", list);
    let asked = ["import", &folder, &file, "--list", "work", "--dates", "day-first"];
    let seen = answered(&[&asked[..], &["--preview"]].concat());
    for says in [
        "5 rows",
        "Weather",
        "goes into the note",
        "is the hours",
        "line 5 is left out: `soon` is no day",
        "line 6 is left out",
        "Nothing is kept yet",
    ] {
        assert!(seen.contains(says), "{says} of {seen}");
    }
    assert!(!Path::new(&folder).join("log.db").exists());
    assert!(answered(&asked).contains("3 records written down, 0 there already, 2 left out"));
    assert!(answered(&asked).contains("0 records written down, 3 there already, 2 left out"));
    let shape = json(&["done", &folder]);
    let of = |place: usize, key: &str| shape["records"][place]["record"][key].clone();
    assert_eq!((of(0, "of").as_str(), of(0, "hours").as_f64()), (Some("raw-pump"), Some(1500.0)));
    assert!(of(0, "text").as_str().expect("words").contains("Weather: calm"), "{shape}");
    assert_eq!((of(1, "task").as_str(), of(1, "hours").as_f64()), (Some("raw-pump.impeller"), Some(1520.5)));
    assert!(of(2, "text").as_str().expect("words").contains("Painted the bilge"));
    refuses(&["import", &folder, &file, "--list", "work", "--as", "Job=tsk"], &["`tsk` is no field", "task"]);
    refuses(&["import", &folder, &file, "--list", "work", "--as", "Jobs=task"], &["there is no column `Jobs`"]);
    refuses(&["import", &folder, &file, "--list", "work", "--as", "Day="], &["no column is the date"]);
}

#[test]
fn tasks_and_stores_are_brought_into_the_text_and_are_due() {
    let folder = marram("work-bring", "# kept\n[task.look]\ntitle = \"Look\"\nmonths = 1\n");
    let tasks = crate::run::file(
        "tasks.csv",
        "Task,Part,Interval hours,Interval months,Last hours,Remarks\nGrease the cardan,gearbox,100,,1800,two strokes\nCompass swung,,,24,,\nNothing,,,,,\n",
    );
    let asked = ["import", &folder, &tasks, "--list", "tasks"];
    answered(&[&asked[..], &["--preview"]].concat());
    let before = std::fs::read_to_string(format!("{folder}/work.toml")).expect("there");
    assert!(!before.contains("cardan"));
    let said = answered(&asked);
    assert!(said.contains("2 sections added") && said.contains("line 4 is left out"), "{said}");
    assert!(answered(&asked).contains("0 sections added"));
    let after = std::fs::read_to_string(format!("{folder}/work.toml")).expect("there");
    assert!(after.starts_with(&before), "what stood there stays as it is");
    let due = json(&["due", &folder, "--hours", "1850"]);
    let task = due["tasks"].as_array().expect("a list").iter().find(|task| task["task"] == "gearbox-grease-the-cardan");
    assert_eq!(task.expect("it is there")["due_h"], 1900.0);
    let stores = crate::run::file(
        "stores.csv",
        "Item,Part number,Qty,Min,Location\n\"Belt, raw pump\",A-1,2,1,locker \"\"x\"\" 3\nOil,,14 L,10 L,bilge\n",
    );
    assert!(answered(&["import", &folder, &stores, "--list", "stores"]).contains("2 sections added"));
    let text = std::fs::read_to_string(format!("{folder}/work.toml")).expect("there");
    assert!(text.contains("[item.belt-raw-pump]") && text.contains("aboard = \"14 L\""), "{text}");
    text.parse::<toml_edit::DocumentMut>().expect("it is TOML");
}

#[test]
fn what_was_written_down_goes_out_again_and_comes_back_the_same() {
    let folder = marram("work-out", "");
    answered(&[
        "done",
        &folder,
        "main.lash",
        "--at",
        "2025-05-01",
        "--hours",
        "1000",
        "--who",
        "A",
        "--found",
        "cylinder 1 inlet=0.3",
        "--text",
        "a \"b\", c; d",
    ]);
    answered(&["done", &folder, "haul-out", "--at", "2025-06-01"]);
    let file = crate::run::file("out.csv", "");
    answered(&["export", &folder, "--list", "work", "--csv", &file]);
    let text = std::fs::read_to_string(&file).expect("written");
    assert!(
        text.contains("clearance cylinder 1 inlet: found 0.3 mm") && text.contains("\"a \"\"b\"\", c; d\""),
        "{text}"
    );
    let other = marram("work-in", "");
    assert!(answered(&["import", &other, &file, "--list", "work"]).contains("2 records written down"));
    let (first, second) = (json(&["done", &folder]), json(&["done", &other]));
    for place in 0..2 {
        let of = |shape: &Value, key: &str| shape["records"][place]["record"][key].clone();
        for key in ["task", "happened", "hours"] {
            assert_eq!(of(&first, key), of(&second, key), "{key} of {place}");
        }
        assert_eq!(
            first["records"][place]["time"].as_i64().map(|t| t / 1000),
            second["records"][place]["time"].as_i64().map(|t| t / 1000)
        );
    }
    assert!(answered(&["export", &folder, "--list", "tasks", "--csv", "-"]).contains("raw-pump.impeller"));
    let lines = answered(&["export", &folder, "--list", "entries", "--csv", "-"]);
    assert_eq!(lines.lines().filter(|line| line.contains("\"kind\":\"work\"")).count(), 2);
}
