//! Words of the code that never reach a printed line, and numbers that are none.

use crate::run::{HOT, SMALL, answered, bedplate, file, vessel};

const NEVER: [&str; 12] = [
    "posterior",
    "prior",
    "likelihood",
    "z",
    "bits",
    "residual",
    "hypothesis",
    "hypotheses",
    "identifiability",
    "nan",
    "inf",
    "infinity",
];

#[track_caller]
fn plain(text: &str) {
    for line in text.lines() {
        // Pieces of rubber are called so in the trade; what is banned is the unit.
        let line = line.replace("rubber bits", "rubber pieces");
        let mut words = line.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase);
        assert!(!words.any(|word| NEVER.contains(&word.as_str())), "{line}");
    }
}

#[test]
fn expect_speaks_plainly() {
    for vessel in [vessel("marram"), vessel("first-ten-lines"), vessel("reference")] {
        for speed in ["speed=0rpm", "speed=1000rpm", "speed=full"] {
            let ran = bedplate(&["expect", &vessel, "--at", speed, "--figures"]);
            assert_eq!(ran.code, 0, "{vessel} {speed}: {}", ran.err);
            plain(&ran.out);
            plain(&ran.err);
        }
    }
}

#[test]
fn explain_speaks_plainly() {
    for exact in [&[][..], &["--exact"]] {
        let (vessel, evidence) = (file("plain.toml", SMALL), file("plain-hot.toml", HOT));
        plain(&answered(&[&["explain", &vessel, &evidence], exact].concat()));
    }
}

#[test]
fn words_speaks_plainly_of_every_part() {
    let vessel = vessel("marram");
    plain(&answered(&["words", &vessel]));
    let listed: serde_json::Value = serde_json::from_str(&answered(&["words", &vessel, "--json"])).expect("it is JSON");
    let mut told = 0;
    for part in listed["parts"].as_array().expect("a list of parts") {
        plain(&answered(&["words", &vessel, part["part"].as_str().expect("a name")]));
        told += 1;
    }
    assert!(told > 40, "{told}");
}

#[test]
fn the_demonstration_speaks_plainly_and_says_that_it_is_simulated() {
    let text = answered(&["demo", "--terminal", "--seed", "1"]);
    plain(&text);
    assert!(text.trim_start().starts_with("=== Simulated"), "{text}");
    assert!(text.matches("imulated").count() >= 3, "{text}");
}

#[test]
fn help_speaks_plainly() {
    for verb in ["expect", "explain", "words", "demo"] {
        plain(&answered(&[verb, "--help"]));
    }
    plain(&answered(&["--help"]));
}

#[test]
fn what_is_said_of_valves_is_plain() {
    for vessel in [vessel("marram"), vessel("samphire"), vessel("eelgrass"), vessel("thrift")] {
        let listed: serde_json::Value =
            serde_json::from_str(&answered(&["words", &vessel, "--json"])).expect("it is JSON");
        for part in listed["parts"].as_array().expect("a list of parts").iter().step_by(4) {
            let part = part["part"].as_str().expect("a name");
            // What is told by a name of ours may be a gauge, which nothing flows through.
            for verb in [&["follow"][..], &["isolate"]] {
                let ran = bedplate(&[verb, &[&vessel, part]].concat());
                assert!(ran.code == 0 || ran.err.contains("there is no part"), "{vessel} {part}: {}", ran.err);
                plain(&ran.out);
            }
        }
        plain(&answered(&["line-up", &vessel]));
    }
}

#[test]
fn stores_speak_plainly() {
    plain(&answered(&["stores", &vessel("marram"), "--passage", "346 h", "--days", "15", "--order", "--rates"]));
}
