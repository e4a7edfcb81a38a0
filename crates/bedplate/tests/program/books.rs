//! Ledger and samples on the command line, and what they say when causes are weighed.

use crate::run::{Ran, answered, bedplate, json, marram, refuses};
use serde_json::Value;

/// A folder of its own with the demonstration vessel in it, her tanks told.
fn tanked(name: &str) -> String {
    let work = "[tank.fuel]\nvolume = \"1000 L\"\nsounding = [[\"0 cm\", \"0 L\"], [\"50 cm\", \"400 L\"]]\n\
                [burn.main]\nrate = \"10 L/h\"\nwithin = \"0.5 L/h\"\n[limit.sump]\niron = \"15 ppm\"\n";
    marram(name, work)
}

fn note(folder: &str, at: &str, told: &[&str]) -> String {
    answered(&[&["ledger", folder, "--zone", "UTC", "--at", at], told].concat())
}

#[test]
fn entries_are_kept_balanced_corrected_and_taken_back() {
    let folder = tanked("books-ledger");
    assert!(answered(&["ledger", &folder]).contains("Nothing stands in the ledger yet"));
    note(&folder, "2026-05-01 08:00", &["--sounded", "fuel=500 L", "--hours", "1800 h", "--within", "5 L"]);
    let said = note(&folder, "2026-05-03", &["--taken", "fuel=300 L", "--where", "Westhaven", "--price", "450 EUR"]);
    assert!(said.contains("300 L taken into fuel, Westhaven, 450 EUR"), "{said}");
    // By mass with its density: 84 kg of 840 kg/m³ are 100 L.
    note(&folder, "2026-05-04", &["--taken", "fuel=84 kg", "--density", "840 kg/m³"]);
    note(&folder, "2026-05-09 08:00", &["--sounded", "fuel=800 L", "--hours", "main=1810 h", "--within", "5 L"]);
    let shape = json(&["ledger", &folder]);
    // 500 + 400 − 800 = 100 L in 10 h at 10 L/h.
    let stretch = &shape["stretches"][0];
    assert!((stretch["drawn_l"]["value"].as_f64().expect("a number") - 100.0).abs() < 1e-6, "{stretch}");
    assert!(stretch["unaccounted_l"]["value"].as_f64().expect("a number").abs() < 1e-6);
    assert_eq!(stretch["burnt_by"], "rate");
    let text = answered(&["ledger", &folder]);
    assert!(text.contains("All the fuel is accounted for"), "{text}");
    // A sounding was misread: another stands instead, and sixty litres are missing.
    let of = |shape: &Value, what: &str| {
        let all = shape["entries"].as_array().expect("a list").clone();
        let found = all.iter().rfind(|entry| entry["entry"]["is"] == what).expect("it is there");
        found["key"].as_str().expect("a key").to_string()
    };
    let key = of(&shape, "sounded");
    note(&folder, "2026-05-09 08:00", &["--correct", &key[..8], "--sounded", "fuel=740 L", "--within", "5 L"]);
    let text = answered(&["ledger", &folder, "--all"]);
    assert!(text.contains("60 L of the 160 L that left the tanks are unaccounted for"), "{text}");
    assert!(text.contains("Corrected or taken back, and kept") && text.contains("fuel sounded: 800 L"), "{text}");
    refuses(&["ledger", &folder, "--correct", &key[..8], "--sounded", "fuel=1 L"], &["stands no more"]);
    refuses(&["ledger", &folder, "--take-back", "ffff"], &["no entry has the key"]);
    let taken = of(&json(&["ledger", &folder]), "taken");
    answered(&["ledger", &folder, "--take-back", &taken]);
    assert_eq!(json(&["ledger", &folder])["corrected"].as_array().map(Vec::len), Some(2));
    // Depth by the tank's table, across a change of the meter.
    note(&folder, "2026-06-01", &["--sounded", "fuel=25 cm", "--meter-changed", "1815 h=0 h"]);
    note(&folder, "2026-06-05", &["--hours", "5 h"]);
    let shape = json(&["ledger", &folder]);
    assert_eq!(shape["engines"][0]["hours"], 1820.0);
    assert!((shape["tanks"][0]["holds_l"]["value"].as_f64().expect("a number") - 200.0).abs() < 1e-9);
}

#[test]
fn what_cannot_be_written_down_is_told_with_what_to_write_instead() {
    let folder = tanked("books-refused");
    let cases: &[(&[&str], &[&str])] = &[
        (&["--taken", "fule=3 L"], &["--taken: fault", "fule", "fuel, "]),
        (&["--taken", "fuel=3 bar"], &["bar"]),
        (&["--taken", "fuel=-3 L"], &["-3 L"]),
        (&["--taken", "fuel=84 kg"], &["density"]),
        (&["--taken", "fuel"], &["TANK=AMOUNT"]),
        (&["--moved", "fuel=fuel=3 L"], &["into itself"]),
        (&["--sounded", "day-tank=30 cm"], &["sounding ="]),
        (&["--added", "strainer-port=1 L"], &["holds no oil or coolant", "sump"]),
        (&["--hours", "gearbox=3 h"], &["no engine", "main"]),
        (&["--hours", "many"], &["--hours: fault"]),
        (&["--hours", "5 h", "--at", "yesterday"], &["--at: fault"]),
        (&["--hours", "5 h", "--zone", "Nowhere/Here"], &["--zone: fault"]),
        (&["--correct", "abcd1234"], &["nothing is told"]),
    ];
    for (told, says) in cases {
        refuses(&[&["ledger", &folder], *told].concat(), says);
    }
    assert!(!std::path::Path::new(&format!("{folder}/log.db")).exists(), "nothing was kept");
    // Absurd, and kept all the same.
    note(&folder, "2026-05-01", &["--hours", "100 h"]);
    note(&folder, "2026-05-02", &["--hours", "900 h", "--sounded", "fuel=3000 L"]);
    note(&folder, "2026-05-20", &["--hours", "110 h"]);
    let odd = json(&["ledger", &folder])["odd"].to_string();
    assert!(odd.contains("more hours than have passed") && odd.contains("which holds 1000 L"), "{odd}");
}

const SHEET: &str = r#"
[[sample]]
number = "A-7"
of = "sump"
taken = "2026-05-03 10:00"
hours-on-fill = 100
hours = 1850
grade = "15W-40"
volume = "16 L"
iron = 20
silicon = 6
aluminium = 3
lead = 3
copper = 5
sodium = "< 5 ppm"
potassium = 2
magnesium = 40
fuel = "6.5 %"
viscosity-100 = "11.2 mm²/s"
counts = [1100, 300, 35]
"#;

#[test]
fn results_of_a_laboratory_are_kept_judged_and_corrected() {
    let folder = tanked("books-samples");
    assert!(answered(&["samples", &folder]).contains("No sample is kept yet"));
    let sheet = format!("{folder}/sheet.toml");
    std::fs::write(&sheet, SHEET).expect("a folder for tests");
    let text = answered(&["samples", &folder, "--add", &sheet, "--zone", "UTC"]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("fuel 6.5 %") && text.contains("17/15/12"), "{text}");
    assert!(text.contains("what has got in: fuel"), "{text}");
    let shape = json(&["samples", &folder]);
    let sample = &shape["samples"][0];
    let stands = |what: &str| {
        let all = sample["standing"].as_array().expect("a list");
        all.iter().find(|one| one["what"] == what).expect("it has a limit").clone()
    };
    assert_eq!((&stands("iron")["stands"], &stands("iron")["source"]), (&"act".into(), &"your own".into()));
    assert_eq!(stands("fuel")["stands"], "act");
    assert_eq!(stands("lead")["stands"], "within");
    let iron = &sample["wear"][0];
    assert!((iron["ppm_per_100_h"].as_f64().expect("a number") - 20.0).abs() < 1e-9, "{iron}");
    let key = sample["key"].as_str().expect("a key").to_string();
    std::fs::write(&sheet, SHEET.replace("6.5 %", "0.5 %").replace("11.2", "14.3")).expect("a folder for tests");
    let text = answered(&["samples", &folder, "--correct", &key, "--add", &sheet, "--all"]);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("nothing foreign has got in") && text.contains("Corrected or taken back"), "{text}");
    std::fs::write(&sheet, SHEET.replace("sump", "sunp").replace("6.5 %", "much")).expect("a folder for tests");
    refuses(&["samples", &folder, "--add", &sheet], &["sunp", "much"]);
    refuses(&["samples", &folder, "--add", "nowhere.toml"], &["no such file"]);
}

/// Oil that has thinned, and little said beside.
const EVIDENCE: &str =
    "[[occasion]]\nat = { speed = \"1500 rpm\", sea = \"15 °C\" }\nreadings = { oil-pressure = \"1.9 bar\" }\n";

fn chance(folder: &str, evidence: &str, part: &str, cause: &str) -> f64 {
    let shape = json(&["explain", folder, evidence]);
    let all = shape["causes"].as_array().expect("a list");
    let of =
        |one: &&Value| one["part"] == part && one["cause"].as_str().is_some_and(|own| own.replace('-', "_") == cause);
    all.iter().find(of).and_then(|one| one["probability"].as_f64()).unwrap_or(0.0)
}

#[test]
fn what_the_laboratory_found_counts_when_causes_are_weighed_and_no_entry_changes_nothing() {
    let folder = tanked("books-explain");
    let evidence = format!("{folder}/evidence.toml");
    std::fs::write(&evidence, EVIDENCE).expect("a folder for tests");
    let bare = answered(&["explain", &folder, &evidence, "--exact"]);
    let before = chance(&folder, &evidence, "main", "fuel_in_oil");
    // An entry that says nothing of causes changes nothing.
    note(&folder, "2026-05-01", &["--hours", "1800 h"]);
    assert_eq!(answered(&["explain", &folder, &evidence, "--exact"]), bare);
    let sheet = format!("{folder}/sheet.toml");
    std::fs::write(&sheet, SHEET).expect("a folder for tests");
    answered(&["samples", &folder, "--add", &sheet]);
    let Ran { code, err, .. } = bedplate(&["explain", &folder, &evidence]);
    assert_eq!(code, 0, "{err}");
    assert!(err.contains("from the laboratory: sample A-7: fuel in it"), "{err}");
    let after = chance(&folder, &evidence, "main", "fuel_in_oil");
    assert!(after > 2.0 * before && after > 0.05, "{before} {after}");
}
