//! Every broken file shows all its findings, worded as they stand in the file beside it.
//!
//! The `*.expected` files were read by eye; with the variable `READ_BY_EYE` set the test writes them anew.

use plant::finding::{Finding, Problem, line_and_column, render};
use plant::reader::read;
use plant::told::LARGEST;
use std::fs;
use std::path::Path;

fn rendered(text: &str, name: &str) -> String {
    let (plant, findings) = read(text);
    assert_eq!(plant.is_some(), !findings.iter().any(Finding::is_fatal), "{name}");
    findings.iter().map(|finding| render(finding, text, name)).collect::<Vec<_>>().join("\n")
}

#[test]
fn each_broken_file_shows_all_its_findings() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/findings");
    let mut seen = 0;
    for entry in fs::read_dir(&folder).expect("the folder of broken files") {
        let path = entry.expect("its entry").path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        seen += 1;
        let text = fs::read_to_string(&path).expect("a broken file");
        let name = path.file_name().and_then(|name| name.to_str()).expect("its name");
        let shown = rendered(&text, name);
        let expected = path.with_extension("expected");
        if std::env::var_os("READ_BY_EYE").is_some() {
            fs::write(&expected, &shown).expect("the expected file");
        }
        let wanted = fs::read_to_string(&expected).unwrap_or_default();
        assert!(shown == wanted, "{name}: shown\n{shown}\nbut expected\n{wanted}");
        for finding in read(&text).1 {
            for (place, _) in &finding.places {
                assert!(text.get(place.clone()).is_some(), "{name}: {finding:?} lies outside the file");
            }
        }
    }
    assert!(seen >= 12, "only {seen} broken files");
}

#[test]
fn places_point_at_the_word_that_is_wrong() {
    let text = "[engine.main]\nbore = \"118 bar\"\n[circuit]\nraw-water = [\"seacock\", \"straner\", \"elbow\"]\n";
    let (_, findings) = read(text);
    let words: Vec<&str> =
        findings.iter().filter_map(|f| f.places.first()).map(|(place, _)| &text[place.clone()]).collect();
    assert!(words.contains(&"\"118 bar\"") && words.contains(&"\"straner\""), "{words:?}");
}

#[test]
fn lines_and_columns_count_characters_from_one() {
    let text = "höhe = 1\nbore = 2";
    assert_eq!(line_and_column(text, 0), (1, 1));
    assert_eq!(line_and_column(text, text.find('=').expect("a sign")), (1, 6));
    assert_eq!(line_and_column(text, text.find('2').expect("a two")), (2, 8));
    assert_eq!(line_and_column(text, 2), (1, 2), "inside a letter");
    assert_eq!(line_and_column(text, 10_000), (2, 9));
}

#[test]
fn what_is_no_vessel_file_is_refused_at_once() {
    let only = |text: &str| {
        let (plant, mut findings) = read(text);
        assert!(plant.is_none() && findings.len() == 1);
        findings.remove(0).problem
    };
    assert_eq!(only(""), Problem::Empty);
    assert_eq!(only("\0\0PNG"), Problem::NotText);
    assert!(matches!(only(&"#".repeat(LARGEST + 1)), Problem::TooLarge { limit: 5, .. }));
    assert!(matches!(only(&"[".repeat(100_000)), Problem::NotToml { .. }));
    assert!(matches!(only(&format!("a = {}", "[".repeat(50_000))), Problem::NotToml { .. }));
}

#[test]
fn a_long_line_is_cut_to_what_matters() {
    let text = "[circuit]\nraw-water = [\"seacock\", \"straner\"]\n".to_string();
    let many: Vec<String> = (0..500).map(|k| format!("\"seacock-{k}\"")).collect();
    let long = format!("[circuit]\nraw-water = [{}, \"straner\"]\n", many.join(", "));
    for text in [text, long] {
        let (_, findings) = read(&text);
        let about = |f: &&Finding| matches!(&f.problem, Problem::UnknownPart { name, .. } if name == "straner");
        let shown = render(findings.iter().find(about).expect("the slip"), &text, "vessel.toml");
        let lines: Vec<&str> = shown.lines().collect();
        assert!(lines.iter().all(|line| line.chars().count() <= 140), "{shown}");
        let at = lines[2].find('^').expect("carets");
        assert!(lines[1][at..].starts_with("\"straner\""), "{shown}");
    }
}

#[test]
fn a_file_that_goes_on_and_on_is_cut_short() {
    let parts: String = (0..5000).fold(String::new(), |all, k| all + &format!("[part.strainer-{k}]\nmesh = 1\n"));
    let path: Vec<String> = (0..5000).map(|k| format!("\"exhaust-hose-{k}\"")).collect();
    let text = format!("[engine.main]\n{parts}[circuit]\nexhaust = [{}]\n", path.join(", "));
    let (plant, findings) = read(&text);
    assert!(plant.is_none() && findings.len() < 300, "{} findings", findings.len());
    assert!(matches!(findings.last().map(|f| &f.problem), Some(Problem::MoreFaults { .. })));
    let hoses = format!("[engine.main]\n[circuit]\nexhaust = [{}]\n", path.join(", "));
    assert!(read(&hoses).1.iter().any(|f| matches!(f.problem, Problem::TooMany { .. })));
}

#[test]
fn a_fuel_path_through_what_is_only_spoken_of_says_what_to_write() {
    let text = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n[circuit]\nfuel = [\"day-tank\", \"lift-pump\"]\n";
    let shown = rendered(text, "vessel.toml");
    assert!(shown.contains("`fuel-tank`") && shown.contains("`feed-pump`"), "{shown}");
    let (plant, _) = read(&text.replace("day-tank", "fuel-tank").replace("lift-pump", "feed-pump"));
    assert!(plant.is_some_and(|plant| plant.parts.iter().any(|part| part.kind.name == "injection-pump")));
}
