//! The order of the house: arrows go down, licences fit, the core is handed everything it reads, files stay short, and
//! every source cited is known.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

/// Decks, lowest first; a crate may import from lower decks only, never from its own.
const DECKS: [(&str, u8); 25] = [
    ("measure", 0),
    ("physics", 0),
    ("solver", 0),
    ("diary", 0),
    ("parts", 1),
    ("bus", 1),
    ("alerts", 1),
    ("plant", 2),
    ("model", 3),
    ("ledger", 3),
    ("samples", 3),
    ("spares", 3),
    ("setup", 3),
    ("diagnosis", 4),
    ("jobs", 4),
    ("intake", 4),
    ("work", 4),
    ("watch", 5),
    ("trial", 6),
    ("drawing", 6),
    ("store", 6),
    ("book", 7),
    ("web", 8),
    ("press", 8),
    ("bedplate", 9),
];
/// The one crate that may open files, look at the clock and print.
const PROGRAM: &str = "bedplate";
/// The one beside it that keeps a file, and what it may use for that; it imports none of ours.
const STORE: (&str, [&str; 3]) = ("store", ["std::fs", "std::io", "std::time"]);
/// What the others never touch.
const FORBIDDEN: [&str; 11] = [
    "std::fs",
    "std::net",
    "std::env",
    "std::time",
    "std::process",
    "std::io",
    "println!",
    "eprintln!",
    "print!",
    "eprint!",
    "dbg!",
];
const LONGEST_FILE: usize = 400;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn metadata(arguments: &[&str]) -> Option<Value> {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked"])
        .args(arguments)
        .current_dir(root())
        .output()
        .expect("cargo ran this test, so it can be run");
    output.status.success().then(|| serde_json::from_slice(&output.stdout).expect("cargo prints JSON"))
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

/// Every Rust file below `folder` of every crate, with its text.
fn files(folder: &str) -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    for (name, _) in DECKS {
        let mut folders = vec![root().join("crates").join(name).join(folder)];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(&folder).into_iter().flatten().flatten() {
                let path = entry.path();
                if path.is_dir() {
                    folders.push(path);
                } else if path.extension().is_some_and(|e| e == "rs") {
                    let text = std::fs::read_to_string(&path).expect("a file of ours can be read");
                    found.push((path, text));
                }
            }
        }
    }
    found
}

#[track_caller]
fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn arrows_go_down() {
    let metadata = metadata(&["--no-deps", "--offline"]).expect("the workspace can be read");
    let decks = BTreeMap::from(DECKS);
    let packages = list(&metadata["packages"]);
    let names: BTreeSet<&str> = packages.iter().map(|p| text(&p["name"])).collect();
    assert_eq!(names, decks.keys().copied().collect(), "every crate has a deck");
    let mut wrong = Vec::new();
    for package in packages {
        let own = text(&package["name"]);
        let ours = list(&package["dependencies"]).iter().map(|d| text(&d["name"])).filter(|d| decks.contains_key(d));
        wrong.extend(ours.filter(|other| decks[other] >= decks[own]).map(|other| format!("{own} imports {other}")));
    }
    none(&wrong);
}

/// Whether one of the choices a licence expression leaves is allowed, in every one of its parts.
fn allowed(expression: &str, list: &BTreeSet<String>) -> bool {
    let plain = expression.replace(['(', ')'], "").replace('/', " OR ");
    plain.split(" AND ").all(|part| part.split(" OR ").any(|choice| list.contains(choice.trim())))
}

#[test]
fn licences_fit() {
    let deny = std::fs::read_to_string(root().join("deny.toml")).expect("deny.toml is part of the project");
    let deny: toml_edit::DocumentMut = deny.parse().expect("deny.toml is TOML");
    let list_allowed = deny["licenses"]["allow"].as_array().expect("deny.toml lists licences");
    let list_allowed: BTreeSet<String> = list_allowed.iter().filter_map(|l| l.as_str()).map(str::to_string).collect();
    // What no build here has needed yet may have to be fetched for its manifest.
    let metadata = metadata(&["--offline"]).or_else(|| metadata(&[])).expect("the dependencies can be read");
    let packages = list(&metadata["packages"]);
    assert!(packages.len() > DECKS.len(), "no dependency was read");
    let wrong: Vec<String> = packages
        .iter()
        .filter(|p| !allowed(text(&p["license"]), &list_allowed))
        .map(|p| format!("{} {}: {}", text(&p["name"]), text(&p["version"]), p["license"]))
        .collect();
    none(&wrong);
}

#[test]
fn licence_expressions_are_read() {
    let list = BTreeSet::from(["MIT".to_string(), "Zlib".to_string()]);
    assert!(
        allowed("MIT OR Apache-2.0", &list)
            && allowed("Apache-2.0/MIT", &list)
            && allowed("(MIT OR X) AND Zlib", &list)
    );
    assert!(!allowed("GPL-3.0", &list) && !allowed("(MIT OR X) AND Y", &list) && !allowed("", &list));
}

#[test]
fn the_core_is_handed_all_it_reads() {
    let mut wrong = Vec::new();
    let program = root().join("crates").join(PROGRAM);
    let store = root().join("crates").join(STORE.0);
    for (path, text) in files("src").iter().filter(|(path, _)| !path.starts_with(&program)) {
        for (number, line) in text.lines().enumerate() {
            let code = line.split("//").next().unwrap_or_default();
            wrong.extend(
                FORBIDDEN
                    .iter()
                    .filter(|f| code.contains(*f) && !(path.starts_with(&store) && STORE.1.contains(f)))
                    .map(|f| format!("{}:{}: {f}", path.display(), number + 1)),
            );
        }
    }
    none(&wrong);
}

#[test]
fn files_are_short() {
    let lengths = files("src").into_iter().map(|(path, text)| (path, text.lines().count()));
    let wrong: Vec<String> = lengths
        .filter(|(_, lines)| *lines > LONGEST_FILE)
        .map(|(path, lines)| format!("{}: {lines} lines", path.display()))
        .collect();
    none(&wrong);
}

/// Keys cited in a line: `[Key]` in a comment or a string, except units, links in the docs and things in brackets.
fn cited(line: &str) -> Vec<&str> {
    let comment = line.find("//").map(|at| &line[at..]);
    let strings = line.split('"').skip(1).step_by(2);
    let mut keys = Vec::new();
    for text in strings.chain(comment) {
        for (at, _) in text.match_indices('[') {
            let Some((key, _)) = text[at + 1..].split_once(']') else { continue };
            let shaped = key.len() > 2
                && key.starts_with(|c: char| c.is_ascii_uppercase())
                && key.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
                && key.chars().any(|c| c.is_ascii_lowercase() || c.is_ascii_digit());
            if shaped {
                keys.push(key);
            }
        }
    }
    keys
}

#[test]
fn citations_are_told_from_units() {
    assert_eq!(cited("/// Pressure [Pa], speed [rad/s], [SI]. `[White7]` eq. 6.10; see [`Link`]."), ["White7"]);
    assert_eq!(cited(r#"source: "[Trade] 2.5", list: &[Cause]"#), ["Trade"]);
}

#[test]
fn every_citation_has_its_source_and_every_source_is_cited() {
    let sources = std::fs::read_to_string(root().join("SOURCES.md")).expect("SOURCES.md is part of the project");
    let keys: Vec<&str> =
        sources.lines().filter_map(|l| l.strip_prefix("- **[")?.split_once("]**")).map(|(key, _)| key).collect();
    let mut sorted = keys.clone();
    sorted.sort_by_key(|key| key.to_lowercase());
    assert_eq!(keys, sorted, "keys stand in alphabetical order");
    let known: BTreeSet<&str> = keys.iter().copied().collect();
    assert_eq!(known.len(), keys.len(), "a key stands twice");

    let (code, tests) = (files("src"), files("tests"));
    let mut wrong = Vec::new();
    let mut used = BTreeSet::new();
    for (path, text) in &code {
        for key in text.lines().flat_map(cited) {
            used.insert(key);
            if !known.contains(key) {
                wrong.push(format!("{}: [{key}] is not in SOURCES.md", path.display()));
            }
        }
    }
    used.extend(tests.iter().flat_map(|(_, text)| text.lines().flat_map(cited)));
    wrong.extend(known.difference(&used).map(|key| format!("SOURCES.md: nothing cites [{key}]")));
    none(&wrong);
}

#[test]
fn every_trade_figure_cited_is_written_down() {
    let figures =
        std::fs::read_to_string(root().join("reference/trade-figures.md")).expect("the trade figures are there");
    let sections: BTreeSet<&str> =
        figures.lines().filter_map(|l| l.strip_prefix("## ")?.split_once(' ')).map(|(number, _)| number).collect();
    let code = files("src");
    let cited: BTreeSet<&str> = code
        .iter()
        .flat_map(|(_, text)| text.split("[Trade] ").skip(1))
        .map(|rest| rest.trim_start_matches(|c: char| !c.is_ascii_digit()))
        .map(|rest| &rest[..rest.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(rest.len())])
        .map(|number| number.trim_end_matches('.'))
        .collect();
    assert_eq!(cited.difference(&sections).collect::<Vec<_>>(), Vec::<&&str>::new(), "cited, not in trade-figures.md");
    assert_eq!(
        sections.difference(&cited).collect::<Vec<_>>(),
        Vec::<&&str>::new(),
        "in trade-figures.md, never cited"
    );
}
