//! What cannot be used is refused at its place, with a remedy and exit code 2, and never with a crash.

use crate::run::{HOT, SMALL, bedplate, file, folder, vessel};
use std::time::{Duration, Instant};

/// Refused, with each of these in what it says.
#[track_caller]
fn refused(arguments: &[&str], says: &[&str]) {
    let ran = bedplate(arguments);
    assert_eq!(ran.code, 2, "{arguments:?} printed {} {}", ran.out, ran.err);
    assert!(ran.out.is_empty(), "{arguments:?} answered all the same: {}", ran.out);
    for words in says {
        assert!(ran.err.contains(words), "{arguments:?}: no “{words}” in\n{}", ran.err);
    }
}

#[test]
fn a_file_that_cannot_be_read_is_named() {
    refused(&["expect", "no/such/vessel.toml"], &["no/such/vessel.toml", "no such file"]);
    let empty = folder("empty-folder");
    refused(&["expect", &empty], &["empty-folder", "no vessel.toml in this folder"]);
    let evidence = folder("a-folder-of-evidence");
    refused(&["explain", &vessel("first-ten-lines"), &evidence], &["a folder, not a file"]);
    refused(&["expect", &file("latin.toml", b"[vessel]\nname = \"Caf\xe9\"\n")], &["latin.toml", "not a text file"]);
    refused(&["expect", &file("zeros.toml", "[vessel]\0")], &["not a text file"]);
    refused(&["expect", &file("nothing.toml", "\n# nothing\n")], &["nothing in this file"]);
}

#[test]
fn a_huge_file_is_refused_before_it_is_read() {
    let path = file("huge.toml", "");
    let huge = std::fs::File::options().write(true).open(&path).expect("just written");
    huge.set_len(100_000_000).expect("a sparse file costs nothing");
    let start = Instant::now();
    refused(&["expect", &path], &["100 MB", "never over 5 MB"]);
    refused(&["explain", &vessel("first-ten-lines"), &path], &["100 MB"]);
    // Two starts of the program: far less than reading 200 MB and parsing them.
    assert!(start.elapsed() < Duration::from_secs(1), "{:?}", start.elapsed());
    std::fs::remove_file(path).expect("just written");
}

#[cfg(unix)]
#[test]
fn an_endless_device_is_refused() {
    refused(&["expect", "/dev/zero"], &["never over 5 MB"]);
    refused(&["expect", "/dev/null"], &["nothing in this file"]);
}

#[test]
fn every_fault_is_shown_at_its_line_all_at_once() {
    let text =
        SMALL.replace("strainer", "strayner").replace("60 kW", "60").replace("exchanger.raw-out", "exchanger.nowhere");
    let ran = bedplate(&["expect", &file("three-faults.toml", text)]);
    assert_eq!(ran.code, 2);
    for (place, words) in [(":6:", "no unit"), (":8:", "strainer"), (":13:", "nowhere")] {
        assert!(ran.err.contains(&format!("three-faults.toml{place}")), "{place} is missing in\n{}", ran.err);
        assert!(ran.err.contains(words), "{words} is missing in\n{}", ran.err);
    }
    assert!(ran.err.matches('^').count() >= 3 && ran.err.contains("Did you mean `strainer`?"), "{}", ran.err);
}

#[test]
fn a_bad_operating_point_is_refused() {
    let vessel = vessel("first-ten-lines");
    for (at, says) in [
        ("speed", "equals sign"),
        ("speed=fast", "fast"),
        ("speed=18C", "temperature"),
        ("speed=1500", "unit"),
        ("speed=1e300rpm", "speed"),
        ("speed=nan rpm", "speed"),
        ("sea=900C", "sea"),
        ("sea=-300C", "absolute zero"),
        ("wind=3kn", "wind"),
        ("=", "key"),
        ("speed=\u{202e}", "speed"),
    ] {
        refused(&["expect", &vessel, "--at", at], &["--at", says]);
    }
}

#[test]
fn bad_evidence_is_refused() {
    let vessel = file("for-evidence.toml", SMALL);
    let evidence = |name: &str, text: &str| file(name, text);
    for (name, text, says) in [
        ("no-gauge.toml", "[[occasion]]\nreadings = { coolent = \"80 °C\" }\n", "Did you mean `coolant`?"),
        ("no-word.toml", "[[occasion]]\nsaid = [\"strainer.weed in the bowel\"]\n", "weed in the bowl"),
        ("no-unit.toml", "[[occasion]]\nreadings = { coolant = \"80\" }\n", "no unit"),
        ("no-check.toml", "[[check]]\npart = \"strainer\"\ncheck = \"stare\"\nfound = \"clean\"\n", "stare"),
        ("absurd.toml", "[[occasion]]\nreadings = { coolant = \"1e308 °C\" }\n", "coolant"),
        ("silent.toml", "\n", "nothing in this evidence"),
        ("torn.toml", "[[occasion\n", "torn.toml:1"),
        ("torn.jsonl", "{\"gauge\": \n", "torn.jsonl:1"),
    ] {
        refused(&["explain", &vessel, &evidence(name, text)], &[name, says]);
        refused(&["expect", &vessel, "--usual", &evidence(name, text)], &[name, says]);
    }
}

#[test]
fn an_unknown_part_is_answered_with_the_nearest() {
    refused(&["words", &vessel("first-ten-lines"), "strayner"], &["strayner", "Did you mean `strainer`?"]);
}

#[test]
fn the_command_line_itself_is_checked() {
    refused(&[], &["Usage"]);
    refused(&["guess"], &["guess"]);
    refused(&["expect"], &["PLANT"]);
    refused(&["demo", "--seed", "minus one"], &["--seed"]);
}

#[test]
fn absurd_files_end_in_findings_not_in_a_crash() {
    let deep = format!("a = {}", "[".repeat(100_000));
    let long = format!("[engine.main]\nkind = \"{}\"\n", "diesel".repeat(100_000));
    let many = (0..20_000).map(|k| format!("[part.p{k}]\nkind = \"nonsense\"")).collect::<Vec<_>>().join("\n");
    let sizes = SMALL.replace("60 kW", "1e300 kW");
    let negative = SMALL.replace("60 kW", "-60 kW");
    let twice = format!("{SMALL}{}", SMALL.replace("[circuit]", "[circuits]"));
    let right_to_left = SMALL.replace("strainer", "\u{202e}\u{200b}");
    let texts = [deep, long, many, sizes, negative, twice, right_to_left];
    for (k, text) in texts.iter().enumerate() {
        refused(&["expect", &file(&format!("absurd-{k}.toml"), text)], &[&format!("absurd-{k}.toml")]);
    }
}

#[test]
fn notes_go_to_the_error_stream_and_the_answer_stays_whole() {
    let vessel = file("with-notes.toml", SMALL);
    let ran = bedplate(&["expect", &vessel, "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("note"), "{}", ran.err);
    assert!(serde_json::from_str::<serde_json::Value>(&ran.out).is_ok(), "{}", ran.out);
    let evidence = file("hot-for-notes.toml", HOT);
    let ran = bedplate(&["explain", &vessel, &evidence, "--json"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(serde_json::from_str::<serde_json::Value>(&ran.out).is_ok(), "{}", ran.out);
}
