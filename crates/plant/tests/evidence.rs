//! Evidence as an owner writes it, and every way to get it wrong.

use measure::reading::{Mark, ReadingText};
use plant::evidence::{Evidence, Found, Moment, Named, RenewalResult};
use plant::evidence_reader::{point, point_for, read, read_any, undoes};
use plant::finding::{Finding, Weight, line_and_column, render};
use plant::plant::Plant;

#[path = "evidence/odd.rs"]
mod odd;

const VESSEL: &str = r#"
[vessel]
name = "Small"
[engine.main]
kind = "diesel"
rated = { power = "74 kW", speed = "1700 rpm" }
[part.belt-raw]
kind = "belt"
[part.strainer-port]
kind = "strainer"
[part.strainer-starboard]
kind = "strainer"
[part.overboard]
kind = "outlet"
[part.raw-pump]
kind = "raw-pump"
driven-by = "belt-raw"
[circuit.raw-water]
path = ["seacock", "strainer-port", "strainer-starboard", "raw-pump", "exchanger", "elbow"]
[gauge.coolant]
at = "engine.coolant-out"
reads = "temperature"
scale = ["40 °C", "120 °C"]
[gauge.raw-out]
at = "exchanger.raw-out"
reads = "temperature"
scale = ["0 °C", "100 °C"]
[gauge.oil-pressure]
at = "engine.oil-in"
reads = "pressure"
scale = ["0 bar", "10 bar"]
[gauge.suction]
at = "raw-pump.in"
reads = "vacuum"
scale = ["0 kPa", "100 kPa"]
[alarm.oil-alarm]
at = "engine.oil-in"
reads = "pressure"
trips-below = "0.5 bar"
"#;

fn small_plant() -> Plant {
    let (plant, findings) = plant::reader::read(VESSEL);
    plant.unwrap_or_else(|| panic!("{}", shown(&findings, VESSEL, "vessel.toml")))
}

const RICH: &str = r#"
[[occasion]]
when = "before"
at = { speed = "1200 rpm", load = "80 %", sea = "14 C", air = "20 C", minutes = 40 }
readings = { coolant = "78 C", raw-out = "+4 K over usual", oil-pressure = "about 3.2 bar" }
said = ["overboard.flow weak", "exhaust-outlet.Note_Hollow", "oil-alarm.silent", "flow pulsing"]
not = ["overboard.steam"]

[[occasion]]
at = { speed = "full", load = "half" }
readings = { Coolant = "96 C and climbing", "raw_out" = "usual", oil-pressure = "off the scale high" }

[[check]]
part = "strainer_port"
check = "open-and-look"
found = "clean"

[[check]]
part = "raw-pump"
check = "cover_off"
found = "vanes lost"

[[renewed]]
part = "raw-pump.impeller"
result = "no change"

[[work]]
part = "raw-pump"
hours_ago = 12

[[work]]
part = "coolant"
hours-ago = "30 min"
"#;

#[track_caller]
fn without_findings((evidence, findings): (Evidence, Vec<Finding>)) -> Evidence {
    assert_eq!(findings, []);
    evidence
}

/// The findings as an owner sees them.
fn shown(findings: &[Finding], text: &str, name: &str) -> String {
    findings.iter().map(|finding| render(finding, text, name)).collect()
}

#[test]
fn a_rich_file_is_read_in_full() {
    let plant = small_plant();
    let evidence = without_findings(read(RICH, &plant));
    let [before, now] = &evidence.occasions[..] else { panic!("two occasions") };
    assert_eq!((before.when, now.when), (Moment::Before, Moment::Now));
    let rpm = 2.0 * std::f64::consts::PI / 60.0;
    assert!(before.at.speed.is_some_and(|speed| (speed - 1200.0 * rpm).abs() < 1e-9));
    assert!(before.at.sea.is_some_and(|sea| (sea - 287.15).abs() < 1e-9));
    assert!(before.at.load.is_some_and(|load| (load - 0.8).abs() < 1e-12));
    assert!(before.at.minutes.is_some_and(|minutes| (minutes - 40.0).abs() < 1e-9));
    assert_eq!((now.at.speed, now.at.load, now.at.sea), (Some(plant.rated_speed), Some(0.5), None));

    let over = ReadingText::OverUsual { difference: 4.0, mark: Mark::Steady, rough: false };
    assert_eq!(before.readings[1], (plant.gauge("raw-out").unwrap(), over));
    assert_eq!(now.readings[1].1, ReadingText::AsUsual);
    assert_eq!(now.readings[2].1, ReadingText::OffScale { mark: Mark::OffScaleHigh });
    assert!(matches!(now.readings[0].1, ReadingText::Value { mark: Mark::Climbing, .. }));

    let words: Vec<&str> = before.said.iter().map(|said| word(&plant, said.of, said.word)).collect();
    assert_eq!(words, ["flow weak", "note hollow", "silent", "flow pulsing"]);
    assert_eq!(before.not.len(), 1);
    assert_eq!(before.said[2].of, Named::Gauge(plant.gauge("oil-alarm").unwrap()));

    assert_eq!(evidence.checks[0].found, Found::Clean);
    let Found::Cause(cause) = evidence.checks[1].found else { panic!("a cause") };
    let pump = &plant[plant.part("raw-pump").unwrap()];
    assert_eq!(pump.kind.causes[cause].name, "vanes_lost");
    assert_eq!(evidence.renewed[0].result, RenewalResult::NoChange);
    let undone: Vec<&str> =
        pump.kind.causes.iter().filter(|cause| undoes(&evidence.renewed[0], cause)).map(|cause| cause.name).collect();
    assert_eq!(undone, ["vanes_lost", "worn"]);
    assert!((evidence.work[0].hours_ago - 12.0).abs() < 1e-9 && (evidence.work[1].hours_ago - 0.5).abs() < 1e-9);
}

fn word(plant: &Plant, of: Named, word: usize) -> &'static str {
    let kind = match of {
        Named::Part(part) => plant[part].kind,
        Named::Gauge(gauge) => plant[gauge].kind,
    };
    kind.words[word].name
}

/// Files with mistakes, each with the name it has.
const WRONG: &[(&str, &str)] = &[
    ("nothing.toml", ""),
    ("remarks.toml", "# to be written\n"),
    ("sections.toml", "[[ocasion]]\nsaid = []\n[vessel]\nname = \"x\"\n"),
    ("outside.toml", "readings = { coolant = \"80 C\" }\n"),
    ("empty-occasion.toml", "[[occasion]]\n"),
    ("stopped.toml", "[[occasion]]\nat = { speed = \"stopped\" }\nsaid = [\"engine.no more at full throttle\"]\n"),
    ("only-before.toml", "[[occasion]]\nwhen = \"before\"\nreadings = { coolant = \"80 C\" }\n"),
    ("when.toml", "[[occasion]]\nwhen = \"yesterday\"\nreading = { coolant = \"80 C\" }\n"),
    (
        "point.toml",
        "[[occasion]]\nat = { speed = 1500, load = 80, see = \"14 C\", sea = \"14\", air = \"200 C\", minutes = \"long\", side = \"port\" }\n\
         said = [\"overboard.flow weak\"]\n\
         [[occasion]]\nat = { speed = \"3000 rpm\", load = \"lots\" }\nsaid = [\"overboard.flow weak\"]\n\
         [[occasion]]\nat = \"1500 rpm\"\n",
    ),
    (
        "readings.toml",
        "[[occasion]]\nreadings = { colant = \"80 C\", raw-out = 82, oil-pressure = \"80 C\", oil-alarm = \"on\" }\n\
         [[occasion]]\nreadings = { coolant = \"NaN C\", raw-out = \"115 C\", oil-pressure = \"300 bar\" }\n\
         [[occasion]]\nreadings = { coolant = \"82\", raw-out = true, oil-pressure = \"3,2 bar\", wheelhouse = \"80 C\" }\n",
    ),
    (
        "usual.toml",
        "[[occasion]]\nwhen = \"usual\"\nreadings = { coolant = \"usual\" }\n[[occasion]]\nsaid = [\"overboard.steam\"]\n",
    ),
    (
        "said.toml",
        "[[occasion]]\nsaid = [\"overboard.flow week\", \"overbord.flow weak\", \"strainer.weed in the bowl\", \"raw-pump.flow weak\"]\n\
         not = [\"overboard\", \"needle wanders\", \"smells of roses\", 3]\n\
         [[occasion]]\nsaid = [\"overboard.steam\", \"overboard.Steam\"]\nnot = [\"overboard.steam\"]\n",
    ),
    (
        "checks.toml",
        "[[check]]\npart = \"strainer-port\"\ncheck = \"open_and_lok\"\nfound = \"clean\"\n\
         [[check]]\npart = \"strainer-port\"\n\
         [[check]]\npart = \"raw-pump\"\ncheck = \"cover_off\"\nfound = \"wron\"\n\
         [[check]]\npart = \"raw-pump\"\ncheck = \"suction_from_bucket\"\nfound = \"strainer/blocked\"\nwhen = \"now\"\n",
    ),
    (
        "renewed.toml",
        "[[renewed]]\npart = \"raw-pump.impeler\"\nresult = \"fixed\"\n[[renewed]]\npart = \"starter\"\nresult = \"better\"\n\
         [[work]]\npart = \"raw-pump\"\nhours_ago = \"-3 h\"\n[[work]]\npart = \"raw-pump\"\nhours = 3\n\
         [[work]]\npart = \"raw-pump\"\nhours_ago = 3\nhours-ago = 4\n",
    ),
    (
        "broken.toml",
        "[[occasion]]\nreadings = { coolant = 78 C }\n[[occasion]]\nwhen = \"now\"\nwhen = \"before\"\nsaid = [\"overboard.stem\"]\n\
         [work]\npart = \"raw-pump\"\nhours_ago = 3\n[work]\npart = \"raw-pump\"\nhours_ago = 4\n",
    ),
    (
        "list.csv",
        "gauge,value,unit\ncoolant,82,C\ncolant,80,C\noil-pressure,3.1,psj\nraw-out,31,\ncoolant,84,C\nraw-out,3,5,C\n",
    ),
    (
        "wide.csv",
        "time;coolant [°C];oil-pressure [°C];wind;rwa-out\n10:00;82;3;4;\n10:01;83;3;4;20\n10:02;130;3;4;20\n10:03;140;3;4;20\n",
    ),
    ("heading.csv", "a,b\n1,2\n"),
    ("situation.toml", "said = []\n[situation]\nat-sea = false\ncannot-stop = true\nhaven-hours = -3\nwind = \"6\"\n"),
    (
        "lines.jsonl",
        "{\"gauge\":\"coolant\",\"value\":82,\"unit\":\"C\"}\n{\"gauge\":\"coolant\",\"value\":82\n[1]\n{\"gauge\":\"raw-out\",\"value\":31}\n{\"time\":1,\"colant\":\"82 C\"}\n\
         {\"gauge\":\"coolant\",\"value\":82,\"value\":92,\"unit\":\"C\"}\n{\"coolant\":\"8\\\"2 C\",\"raw-out\":\"30 C\",\"Coolant\":\"85 C\"}\n",
    ),
];

#[test]
fn every_mistake_is_told_in_plain_words() {
    let plant = small_plant();
    let mut all = String::new();
    for (name, text) in WRONG {
        let findings = read_any(name, text, &plant).1;
        assert!(!findings.is_empty(), "{name}");
        all += &shown(&findings, text, name);
        all.push('\n');
    }
    let kept = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/findings/evidence.txt");
    if std::env::var_os("KEEP_FINDINGS").is_some() {
        std::fs::write(&kept, &all).expect("the folder of findings can be written");
    }
    let kept = std::fs::read_to_string(&kept).unwrap_or_default();
    for (number, (ours, kept)) in all.lines().zip(kept.lines()).enumerate() {
        assert_eq!(ours, kept, "line {}: read it, then run once with KEEP_FINDINGS=1", number + 1);
    }
    assert_eq!(all.lines().count(), kept.lines().count(), "run once with KEEP_FINDINGS=1 and read what changed");
}

#[test]
fn places_are_lines_and_columns_of_the_text() {
    let text = "[[occasion]]\nreadings = { colant = \"80 C\" }\n\n[[check]]\npart = \"nowhere\"\ncheck = \"x\"\nfound = \"clean\"\n";
    let places: Vec<_> =
        read(text, &small_plant()).1.iter().map(|f| line_and_column(text, f.places[0].0.start)).collect();
    assert_eq!(places, [(2, 14), (5, 8)]);
}

#[test]
fn a_file_that_is_no_evidence_is_refused_whole() {
    let plant = small_plant();
    for text in [String::new(), "[[occasion]]\0".into(), format!("# {}", "x".repeat(5_000_001))] {
        let (evidence, findings) = read(&text, &plant);
        assert!(evidence.occasions.is_empty());
        assert!(findings.len() == 1 && findings[0].is_fatal() && findings[0].places.is_empty());
    }
}

#[test]
fn a_table_of_gauges_is_one_occasion() {
    let plant = small_plant();
    for (name, text) in [
        ("a.csv", "gauge,value,unit\nspeed,1500,rpm\ncoolant,82,C\nOil_Pressure,3.2 bar,\nraw-out,usual,C\n"),
        ("a.csv", "gauge;value;unit\nspeed;1500;rpm\ncoolant;82,0;C\noil-pressure;3,2;bar\nraw-out;usual;\n"),
        ("a", "coolant,82,C\noil-pressure,3.2,bar\nraw-out,usual\nspeed,1500,rpm\n"),
        (
            "a.log",
            "\u{feff}# by hand\ngauge\tvalue\ncoolant\t82 C\noil-pressure\t3.2 bar\nraw-out\tusual\nspeed\t1500 rpm\n",
        ),
        (
            "a.ndjson",
            "{\"gauge\":\"coolant\",\"value\":82,\"unit\":\"C\"}\n{\"gauge\":\"oil-pressure\",\"value\":\"3.2 bar\"}\n\
             {\"gauge\":\"speed\",\"value\":1500,\"unit\":\"rpm\"}\n{\"gauge\":\"raw-out\",\"value\":\"usual\"}\n",
        ),
    ] {
        let evidence = without_findings(read_any(name, text, &plant));
        let [now] = &evidence.occasions[..] else { panic!("one occasion: {text}") };
        assert!(now.at.speed.is_some_and(|speed| (speed - 50.0 * std::f64::consts::PI).abs() < 1e-9), "{text}");
        let coolant = ReadingText::Value { value: 355.15, mark: Mark::Steady, rough: false };
        let read =
            |name: &str| now.readings.iter().find(|(gauge, _)| plant[*gauge].name == name).map(|(_, read)| *read);
        assert_eq!(read("coolant"), Some(coolant), "{text}");
        assert_eq!(read("raw-out"), Some(ReadingText::AsUsual), "{text}");
        assert!(matches!(read("oil-pressure"), Some(ReadingText::Value { value, .. }) if (value - 3.2e5).abs() < 1e-6));
    }
}

#[test]
fn a_series_is_an_occasion_a_row() {
    let plant = small_plant();
    for (name, text) in [
        ("a.csv", "time,gauge,value,unit\n1,coolant,82,C\n1,speed,1500,rpm\n2,coolant,83,C\n2,raw-out,30,C\n"),
        ("a.csv", "time,coolant [°C],raw-out (C),speed [rpm]\n1,82,,1500\n2,83,30,\n"),
        (
            "a.jsonl",
            "{\"time\":1,\"coolant\":\"82 C\",\"speed [rpm]\":1500}\n{\"time\":2,\"coolant\":\"83 C\",\"raw-out\":\"30 C\"}\n",
        ),
    ] {
        let evidence = without_findings(read_any(name, text, &plant));
        let counts: Vec<_> = evidence.occasions.iter().map(|o| (o.readings.len(), o.at.speed.is_some())).collect();
        assert_eq!(counts, [(1, true), (2, false)], "{text}");
    }
}

#[test]
fn a_long_series_is_thinned_evenly() {
    let rows: Vec<String> = (0..1000).map(|row| format!("{row},{}", 50.0 + f64::from(row) * 0.05)).collect();
    let text = format!("time,coolant [C]\n{}\n", rows.join("\n"));
    let (evidence, findings) = read_any("a.csv", &text, &small_plant());
    assert_eq!(evidence.occasions.len(), 200);
    assert!(findings.len() == 1 && findings[0].problem.weight() == Weight::Note, "{findings:?}");
    let values: Vec<f64> = evidence
        .occasions
        .iter()
        .filter_map(|occasion| match occasion.readings[0].1 {
            ReadingText::Value { value, .. } => Some(value - 273.15),
            _ => None,
        })
        .collect();
    assert!((values[0] - 50.0).abs() < 1e-9 && (values[199] - 99.95).abs() < 1e-9);
    // 999 steps of 0.05 over 199 intervals: five or six rows apart.
    assert!(values.windows(2).all(|pair| (0.2499..0.3001).contains(&(pair[1] - pair[0]))));
}

#[test]
fn a_vacuum_gauge_shows_suction_as_positive() {
    let plant = small_plant();
    for written in ["20 kPa and climbing", "-20 kPa and climbing"] {
        let text = format!("[[occasion]]\nreadings = {{ suction = \"{written}\" }}\n");
        let evidence = without_findings(read(&text, &plant));
        let falling = ReadingText::Value { value: -2e4, mark: Mark::Falling, rough: false };
        assert_eq!(evidence.occasions[0].readings[0].1, falling);
    }
    let text = "[[occasion]]\nreadings = { suction = \"101 kPa\" }\n";
    let shown = shown(&read(text, &plant).1, text, "a");
    assert!(shown.contains("its scale goes from 0 kPa to 100 kPa"), "{shown}");
}

#[test]
fn a_point_is_read_from_keys_and_values() {
    let items =
        |told: &[(&str, &str)]| told.iter().map(|(k, v)| ((*k).to_string(), (*v).to_string())).collect::<Vec<_>>();
    let (at, findings) =
        point(&items(&[("speed", "1500rpm"), ("sea", "18C"), ("load", "neutral"), ("minutes", "2 h")]));
    assert_eq!(findings, []);
    assert!(at.speed.is_some_and(|speed| (speed - 50.0 * std::f64::consts::PI).abs() < 1e-9));
    assert!(at.sea.is_some_and(|sea| (sea - 291.15).abs() < 1e-9));
    assert_eq!(at.load, Some(0.0));
    assert!(at.minutes.is_some_and(|minutes| (minutes - 120.0).abs() < 1e-9));

    let full = items(&[("speed", "full")]);
    assert!(point(&full).1[0].is_fatal());
    let plant = small_plant();
    assert_eq!(point_for(&full, &plant).0.speed, Some(plant.rated_speed));
    let (at, findings) = point(&items(&[("sped", "1500 rpm"), ("sea", "18"), ("sea", "19 C"), ("air", "inf C")]));
    assert_eq!(findings.len(), 4, "{findings:?}");
    assert!(at.sea.is_some_and(|sea| (sea - 292.15).abs() < 1e-9));
}

#[test]
fn no_mutant_of_a_file_makes_the_reader_panic() {
    let plant = small_plant();
    let wide = WRONG.iter().find(|(name, _)| *name == "wide.csv").map_or("", |(_, text)| *text);
    let lines = WRONG.iter().find(|(name, _)| *name == "lines.jsonl").map_or("", |(_, text)| *text);
    let spare: Vec<char> = "\"'[]{}=.,;#\n\t\r-+0919eE°µ\u{feff}\u{1F6A2}\\ NaN".chars().collect();
    // A plain congruential generator: the same mutants on every run.
    let mut state = 1_u64;
    let mut random = |below: usize| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % below.max(1)
    };
    let mut found = 0;
    for number in 0..2_000 {
        let (name, text) = [("a.toml", RICH), ("a.toml", RICH), ("a.csv", wide), ("a.jsonl", lines)][number % 4];
        let mut letters: Vec<char> = text.chars().collect();
        for _ in 0..=random(6) {
            let at = random(letters.len());
            match random(4) {
                0 => drop(letters.remove(at)),
                1 => letters.insert(at, spare[random(spare.len())]),
                2 => letters[at] = spare[random(spare.len())],
                _ => {
                    let to = (at + random(40)).min(letters.len());
                    let piece: Vec<char> = letters[at..to].to_vec();
                    letters.splice(at..at, piece);
                }
            }
        }
        let text: String = letters.into_iter().collect();
        let (_, findings) = read_any(name, &text, &plant);
        found += findings.len();
        // Drawing a finding walks its places, which must lie in the text.
        assert_eq!(shown(&findings, &text, name).is_empty(), findings.is_empty());
    }
    assert!(found > 2_000, "mutants are noticed: {found}");
}
