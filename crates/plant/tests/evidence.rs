//! Evidence as an owner writes it, and every way to get it wrong.

use measure::figure::Figure;
use measure::quantity::Quantity;
use measure::reading::{Mark, ReadingText};
use parts::catalogue;
use parts::kind::When;
use plant::evidence::{Evidence, Found, Moment, Named, RenewalResult};
use plant::evidence_reader::{point, point_for, read, read_any, undoes};
use plant::finding::{Finding, Weight, line_and_column, render};
use plant::plant::{Gauge, Part, Plant, Tap};

/// A plant of names and kinds alone: evidence asks for nothing else.
fn small_plant() -> Plant {
    let part = |name: &str, kind: &str| {
        let kind = catalogue::find(kind).unwrap_or_else(|| panic!("no kind {kind}"));
        Part {
            name: name.into(),
            kind,
            figures: Vec::<Figure>::new(),
            links: Vec::new(),
            flows: Vec::new(),
            assumed: false,
            place: 0..0,
            notes: Vec::new(),
            hours_since: None,
        }
    };
    let gauge = |name: &str, kind: &str, quantity, scale, unit: &str, trips| Gauge {
        name: name.into(),
        kind: catalogue::find(kind).unwrap_or_else(|| panic!("no kind {kind}")),
        tap: Tap::Sea,
        quantity,
        accuracy: 1.0,
        noise: 1.0,
        scale,
        unit: unit.into(),
        trips,
        shares: None,
        place: 0..0,
        notes: Vec::new(),
    };
    let celsius = |low: f64, high: f64| (low + 273.15, high + 273.15);
    Plant {
        name: "Small".into(),
        parts: vec![
            part("main", "diesel"),
            part("strainer-port", "strainer"),
            part("strainer-starboard", "strainer"),
            part("raw-pump", "raw-pump"),
            part("coolant-exchanger", "exchanger"),
            part("overboard", "outlet"),
            part("drive-belt", "belt"),
        ],
        nodes: Vec::new(),
        flows: Vec::new(),
        pools: Vec::new(),
        gauges: vec![
            gauge("coolant", "temperature-gauge", Quantity::Temperature, celsius(40.0, 120.0), "°C", None),
            gauge("raw-out", "temperature-gauge", Quantity::Temperature, celsius(0.0, 100.0), "°C", None),
            gauge("oil-pressure", "pressure-gauge", Quantity::GaugePressure, (0.0, 1e6), "bar", None),
            gauge("oil-alarm", "alarm", Quantity::GaugePressure, (0.0, 1e6), "bar", Some((5e4, When::Low))),
        ],
        rated_power: 74e3,
        rated_speed: 178.0,
    }
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
    ("list.csv", "gauge,value,unit\ncoolant,82,C\ncolant,80,C\noil-pressure,3.1,psj\nraw-out,31,\ncoolant,84,C\nraw-out,3,5,C\n"),
    (
        "wide.csv",
        "time;coolant [°C];oil-pressure [°C];wind;rwa-out\n10:00;82;3;4;\n10:01;83;3;4;20\n10:02;130;3;4;20\n10:03;140;3;4;20\n",
    ),
    ("heading.csv", "a,b\n1,2\n"),
    (
        "lines.jsonl",
        "{\"gauge\":\"coolant\",\"value\":82,\"unit\":\"C\"}\n{\"gauge\":\"coolant\",\"value\":82\n[1]\n{\"gauge\":\"raw-out\",\"value\":31}\n{\"time\":1,\"colant\":\"82 C\"}\n",
    ),
];

#[test]
fn every_mistake_is_told_in_plain_words() {
    let plant = small_plant();
    let all: String = WRONG
        .iter()
        .map(|(name, text)| {
            let findings = read_any(name, text, &plant).1;
            assert!(!findings.is_empty(), "{name}");
            format!("{}\n", shown(&findings, text, name))
        })
        .collect();
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
