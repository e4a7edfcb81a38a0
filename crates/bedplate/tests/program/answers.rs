//! What the answers say: enough to see that each verb answers its question, on numbers that physics fixes.

use crate::run::{HOT, SMALL, answered, bedplate, file, vessel};
use serde_json::Value;
use std::process::{Command, Stdio};

#[track_caller]
fn json(arguments: &[&str]) -> Value {
    let text = answered(arguments);
    serde_json::from_str(&text).expect("it is JSON")
}

fn gauge<'a>(answer: &'a Value, name: &str) -> &'a Value {
    let gauges = answer["gauges"].as_array().expect("a list of gauges");
    gauges.iter().find(|gauge| gauge["gauge"] == name).expect("a gauge of the vessel")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[test]
fn every_band_holds_its_value_and_names_its_unit() {
    let answer = json(&["expect", &vessel("marram"), "--at", "speed=1500rpm", "--at", "sea=18C", "--json"]);
    let gauges = answer["gauges"].as_array().expect("a list of gauges");
    assert!(gauges.len() > 10);
    for gauge in gauges {
        let (low, value, high) = (number(&gauge["low"]), number(&gauge["value"]), number(&gauge["high"]));
        assert!(low <= value && value <= high, "{gauge}");
        assert!(!gauge["unit"].as_str().expect("a unit").is_empty(), "{gauge}");
    }
}

#[test]
fn the_point_asked_for_is_the_point_answered() {
    let answer = json(&["expect", &vessel("marram"), "--at", "speed=1500rpm", "--at", "sea=64.4F", "--json"]);
    assert!((number(&answer["at"]["speed_rpm"]) - 1500.0).abs() < 0.1, "{}", answer["at"]);
    assert!((number(&answer["at"]["sea_c"]) - 18.0).abs() < 0.01, "{}", answer["at"]);
}

#[test]
fn stopped_and_cold_gauges_read_nothing() {
    let answer = json(&["expect", &vessel("marram"), "--at", "speed=0rpm", "--at", "sea=15C", "--json"]);
    let oil = gauge(&answer, "oil-pressure");
    assert!(number(&oil["low"]) <= 0.0 && number(&oil["high"]) < 0.7, "{oil}");
    assert!(number(&gauge(&answer, "coolant")["value"]) < 50.0, "no thermometer shows an engine that runs");
    assert_eq!(answer["engine"], Value::Null, "nothing is burnt");
    let text = answered(&["expect", &vessel("marram"), "--at", "speed=0rpm"]);
    assert!(text.contains("stopped and cold"), "{text}");
}

#[test]
fn the_limit_of_an_alarm_is_told_as_the_owner_told_it() {
    let marram = std::fs::read_to_string(format!("{}/vessel.toml", vessel("marram"))).expect("a vessel");
    assert!(
        marram.contains("trips-above = \"96 °C\"") && marram.contains("trips-above = \"75 °C\""),
        "not rounded figures"
    );
    let text =
        answered(&["expect", &vessel("marram"), "--at", "speed=1500rpm", "--at", "sea=18C"]).replace("\n    ", " ");
    for told in ["trips above 96 °C", "trips above 75 °C", "trips below 0.7 bar"] {
        assert!(text.contains(told), "{told}: {text}");
    }
}

#[test]
fn a_needle_off_its_scale_has_a_row_and_an_order() {
    let told = HOT.replace("coolant = \"99 °C\"", "coolant = \"off the scale high\"");
    let text = answered(&["explain", &file("off-scale-vessel.toml", SMALL), &file("off-scale.toml", told)]);
    assert!(text.starts_with("NOW: ") && text.contains("coolant is past its limit"), "{text}");
    let row = text.lines().find(|line| line.contains("coolant") && line.contains("at least 120")).unwrap_or_default();
    assert!(row.contains("far too high"), "{text}");
}

#[test]
fn the_heat_of_the_fuel_is_shared_out_whole() {
    let answer = json(&["expect", &vessel("marram"), "--at", "speed=1500rpm", "--json"]);
    let shares = answer["engine"]["shares"].as_array().expect("shares");
    let sum: f64 = shares.iter().map(|share| number(&share["share"])).sum();
    assert!((sum - 1.0).abs() < 1e-3, "{sum}");
    assert!(shares.iter().all(|share| (0.0..0.6).contains(&number(&share["share"]))), "{shares:?}");
}

#[test]
fn a_good_round_narrows_the_band() {
    let vessel = file("to-narrow.toml", SMALL);
    let round = file("good-round.csv", "gauge,value,unit\ncoolant,80,°C\nraw-out,30,°C\n");
    let point = ["--at", "speed=1500rpm", "--at", "sea=15C", "--json"];
    let width = |answer: &Value| number(&gauge(answer, "coolant")["high"]) - number(&gauge(answer, "coolant")["low"]);
    let alone = json(&[&["expect", &vessel][..], &point].concat());
    let with = json(&[&["expect", &vessel, "--usual", &round][..], &point].concat());
    assert!(width(&with) < 0.9 * width(&alone), "{} against {}", width(&with), width(&alone));
}

#[test]
fn chances_are_chances_and_hot_water_is_acted_upon() {
    let answer = json(&["explain", &file("hot-vessel.toml", SMALL), &file("hot.toml", HOT), "--json"]);
    let causes = answer["causes"].as_array().expect("causes");
    let sum: f64 = causes.iter().map(|cause| number(&cause["probability"])).sum();
    assert!(causes.iter().all(|cause| (0.0..=1.0).contains(&number(&cause["probability"]))));
    assert!(sum <= 1.0 + 1e-3, "{sum}");
    assert!(causes.iter().any(|cause| cause["title"] == "all is well"), "{causes:?}");
    assert!(!answer["act"].as_array().expect("a list").is_empty(), "99 °C is past the limit of any engine");
    let coolant = gauge(&answer, "coolant");
    assert!(number(&coolant["z"]) > 2.0 && number(&coolant["read"]) > number(&coolant["high"]), "{coolant}");
}

#[test]
fn what_to_do_this_minute_comes_first_and_the_caveat_last() {
    let text = answered(&["explain", &file("hot-vessel-2.toml", SMALL), &file("hot-2.toml", HOT)]);
    assert!(text.starts_with("NOW: "), "{text}");
    let unwrapped = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(unwrapped.matches("never replaces the oil-pressure switch").count(), 1, "{text}");
    assert!(unwrapped.ends_with("oil-pressure switch and its bell."), "{text}");
    let exact = answered(&["explain", &file("hot-vessel-3.toml", SMALL), &file("hot-3.toml", HOT), "--exact"]);
    assert!(!exact.contains("about 1 in ") && exact.contains(" %"), "{exact}");
}

#[test]
fn readings_as_they_should_be_accuse_nothing() {
    let vessel = file("sound.toml", SMALL);
    let expected = json(&["expect", &vessel, "--at", "speed=1500rpm", "--at", "sea=15C", "--json"]);
    let value = |name| number(&gauge(&expected, name)["value"]);
    let readings = format!("coolant = \"{} °C\", raw-out = \"{} °C\"", value("coolant"), value("raw-out"));
    let text = format!("[[occasion]]\nat = {{ speed = \"1500 rpm\", sea = \"15 °C\" }}\nreadings = {{ {readings} }}\n");
    let answer = json(&["explain", &vessel, &file("sound-round.toml", text), "--json"]);
    let well = answer["causes"].as_array().expect("causes").iter().find(|cause| cause["title"] == "all is well");
    assert!(number(&well.expect("always there")["probability"]) > 0.5, "{well:?}");
    assert!(answer["act"].as_array().expect("a list").is_empty(), "{}", answer["act"]);
}

#[test]
fn an_engine_that_boils_gets_minutes_and_no_readings() {
    let blocked = SMALL.replace("[gauge.coolant]", "[part.exchanger]\nclean-conductance = \"50 W/K\"\n[gauge.coolant]");
    let vessel = file("boils.toml", blocked);
    let text = answered(&["expect", &vessel, "--at", "speed=1800rpm"]);
    assert!(text.contains("no steady state") && text.contains("boils"), "{text}");
    let answer = json(&["expect", &vessel, "--at", "speed=1800rpm", "--json"]);
    assert!(answer["gauges"].as_array().expect("a list").is_empty());
    assert!(answer["unsteady"]["boils_at"].is_string(), "{}", answer["unsteady"]);
}

#[test]
fn words_lists_what_evidence_may_say() {
    let vessel = file("to-say.toml", SMALL);
    let words = json(&["words", &vessel, "strainer", "--json"]);
    let said = words["parts"][0]["said"].as_array().expect("a list");
    // Every word that is listed is understood.
    let quoted: Vec<String> =
        said.iter().map(|word| format!("\"strainer.{}\"", word.as_str().expect("text"))).collect();
    let evidence = file("said.toml", format!("[[occasion]]\nnot = [{}]\n", quoted.join(", ")));
    assert_eq!(bedplate(&["explain", &vessel, &evidence]).code, 0);
    assert!(answered(&["words", &vessel]).contains("strainer: "));
}

#[test]
fn a_check_takes_the_owners_own_minutes_wherever_it_is_told_of() {
    let own = format!("{SMALL}[aboard.minutes]\n\"raw-pump.suction_and_delivery\" = 2\n");
    let vessel = file("own-minutes.toml", own);
    let words = json(&["words", &vessel, "raw-pump", "--json"]);
    let is_it = |check: &&Value| check["check"] == "suction_and_delivery";
    let listed = words["parts"][0]["checks"].as_array().expect("a list").iter().find(is_it);
    assert!((number(&listed.expect("a check of the pump")["minutes"]) - 2.0).abs() < 1e-9, "{listed:?}");
    let told = answered(&["words", &vessel, "raw-pump"]);
    let lines = told.lines().skip_while(|line| !line.contains("suction_and_delivery: "));
    let minutes = lines.skip(1).find(|line| line.contains(" min, ")).expect("what it takes");
    assert!(minutes.trim_start().starts_with("2 min, running"), "{told}");
    // The check that would tell alike causes apart is the same one, in the same time.
    let answer = json(&["explain", &vessel, &file("own-minutes-hot.toml", HOT), "--json"]);
    let group = &answer["alike"][0];
    assert_eq!(group["check"]["check"], "suction_and_delivery", "{group}");
    assert!(group["text"].as_str().expect("text").contains("(raw-pump, 2 min)"), "{group}");
    let advised = answer["checks"].as_array().expect("a list").iter().find(is_it).expect("it is advised too");
    assert!((number(&advised["minutes"]) - 2.0).abs() < 1e-9, "{advised}");
}

#[test]
fn nobody_reading_on_is_no_trouble() {
    let mut running = Command::new(env!("CARGO_BIN_EXE_bedplate"))
        .args(["words", &vessel("marram")])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program was built");
    drop(running.stdout.take());
    let ran = running.wait_with_output().expect("it ends");
    assert!(ran.status.success(), "{:?}", ran.status);
    assert!(ran.stderr.is_empty(), "{}", String::from_utf8_lossy(&ran.stderr));
}

/// An occasion at cruise of the small vessel with these readings.
fn cruise(readings: &str) -> String {
    format!("[[occasion]]\nat = {{ speed = \"1500 rpm\", sea = \"15 °C\" }}\nreadings = {{ {readings} }}\n")
}

#[test]
fn each_cause_says_what_speaks_for_and_against_it_and_by_how_much() {
    let vessel = file("to-reason.toml", SMALL);
    let evidence = file("to-reason-hot.toml", cruise("coolant = \"99 °C\", raw-out = \"52 °C\""));
    let answer = json(&["explain", &vessel, &evidence, "--json"]);
    let causes = answer["causes"].as_array().expect("causes");
    let sides = |cause: &Value, side: &str| cause[side].as_array().expect("a list").clone();
    for cause in causes {
        for line in sides(cause, "for").iter().chain(&sides(cause, "against")) {
            assert!(number(&line["times"]) >= 1.5 && !line["text"].as_str().expect("text").is_empty(), "{line}");
        }
        assert!(sides(cause, "for").len() <= 3 && sides(cause, "against").len() <= 3);
    }
    let well = causes.iter().find(|cause| cause["title"] == "all is well").expect("always there");
    let against = sides(well, "against");
    assert!(against[0]["text"].as_str().expect("text").contains("coolant") || against.len() > 1, "{against:?}");
    let text = answered(&["explain", &vessel, &evidence]);
    assert!(text.contains("How firmly that stands") && text.contains("for it: "), "{text}");
}

#[test]
fn what_was_read_cannot_tell_apart_is_told_with_what_would() {
    let vessel = file("to-tell.toml", SMALL);
    let evidence = file("to-tell-hot.toml", cruise("coolant = \"99 °C\", raw-out = \"52 °C\""));
    let answer = json(&["explain", &vessel, &evidence, "--json"]);
    // Whatever lets too little raw water through looks the same to two thermometers behind it.
    let group = &answer["alike"].as_array().expect("a list")[0];
    let parts: Vec<&str> =
        group["causes"].as_array().expect("a list").iter().filter_map(|cause| cause["part"].as_str()).collect();
    assert!(parts.len() > 1 && parts.contains(&"strainer"), "{parts:?}");
    assert!(number(&group["far"]) < 2.0, "{group}");
    assert!(group["check"].is_object() || group["reading"].is_object(), "{group}");
}

#[test]
fn what_nothing_explains_is_said_first_and_no_part_is_accused() {
    let vessel = file("to-doubt.toml", SMALL);
    let odd = cruise("coolant = \"21 °C\"") + &cruise("coolant = \"95 °C\"");
    let evidence = file("odd.toml", odd);
    let text = answered(&["explain", &vessel, &evidence]);
    let first = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(first.starts_with("coolant on occasion") || first.starts_with("Nothing on the list explains"), "{text}");
    let answer = json(&["explain", &vessel, &evidence, "--json"]);
    assert!(answer["unexplained"]["readings"].as_array().is_some_and(|list| !list.is_empty()), "{answer}");
}

#[test]
fn a_thousand_occasions_are_answered_and_said_to_be_gathered() {
    let vessel = file("to-gather.toml", SMALL);
    let many: Vec<String> = (0..1000)
        .map(|k| {
            let at = format!("at = {{ speed = \"{} rpm\", sea = \"15 °C\" }}", 900 + k % 9 * 100);
            format!("[[occasion]]\n{at}\nreadings = {{ coolant = \"82 °C\" }}\n")
        })
        .collect();
    let many = many.concat();
    let ran = bedplate(&["explain", &vessel, &file("many.toml", many)]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.err.contains("of 1000 occasions 991 repeat") && ran.err.contains("Keep those that matter"),
        "{}",
        ran.err
    );
}

#[test]
fn expect_says_what_all_in_their_bands_would_not_tell() {
    let vessel = file("to-escape.toml", SMALL);
    let point = ["--at", "speed=1500rpm", "--at", "sea=15C"];
    let answer = json(&[&["expect", &vessel][..], &point, &["--json"]].concat());
    let escapes = answer["would_not_show"].as_array().expect("a list");
    let strainer = escapes.iter().find(|escape| escape["cause"]["part"] == "strainer").expect("it hides for long");
    let below = number(&strainer["below"]);
    assert!((0.3..1.0).contains(&below), "{strainer}");
    let text = answered(&[&["expect", &vessel][..], &point].concat());
    assert!(text.contains("would still not show") && text.contains("would look alike"), "{text}");
    let stopped = json(&["expect", &vessel, "--at", "speed=0rpm", "--json"]);
    assert!(stopped["would_not_show"].as_array().expect("a list").is_empty());
}
