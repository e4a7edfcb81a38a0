//! Two engines of one make: what is typical of it both have, what wears each has by itself, and what both get from one
//! place is the likeliest when both are ill.

use diagnosis::explain::{Answer, explain};
use diagnosis::hypothesis::{What, cause_of, name_of};
use measure::reading::ReadingText;
use model::scores::Scores;
use model::steady::Model;
use plant::plant::{Plant, Tap};

const TWO: &str = "[engine.port]\nrated = { power = \"120 kW\", speed = \"2200 rpm\" }\n\
    [engine.starboard]\nrated = { power = \"120 kW\", speed = \"2200 rpm\" }\n[part.sea-chest]\n[circuit]\n\
    raw-water-port = [\"sea-chest\", \"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
    raw-water-starboard = [\"sea-chest\", \"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
    [gauge.coolant-port]\nat = \"port.coolant-out\"\nreads = \"temperature\"\n\
    [gauge.coolant-starboard]\nat = \"starboard.coolant-out\"\nreads = \"temperature\"\n\
    [gauge.raw-port]\nat = \"exchanger-port.raw-out\"\nreads = \"temperature\"\n\
    [gauge.raw-starboard]\nat = \"exchanger-starboard.raw-out\"\nreads = \"temperature\"\n";

#[track_caller]
fn two() -> Plant {
    let (plant, findings) = plant::reader::read(TWO);
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

fn orache() -> Plant {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../vessels/orache/vessel.toml");
    let text = std::fs::read_to_string(path).expect("an example vessel");
    plant::reader::read(&text).0.expect("a plant")
}

#[track_caller]
fn answer(plant: &Plant, evidence: &str) -> Answer {
    let (evidence, findings) = plant::evidence_reader::read(evidence, plant);
    assert!(findings.iter().all(|finding| !finding.is_fatal()), "{findings:?}");
    explain(plant, &evidence).expect("an answer")
}

fn now(readings: &str) -> String {
    format!(
        "[[occasion]]\nwhen = \"now\"\nat = {{ speed = \"1900 rpm\", sea = \"15 C\" }}\nreadings = {{ {readings} }}\n"
    )
}

/// Chance of everything that may be wrong with the parts that `of` says yes to.
fn of(plant: &Plant, answer: &Answer, of: impl Fn(&str) -> bool) -> f64 {
    let named = |what: What| matches!(what, What::Cause(named, _) if of(name_of(plant, named)));
    answer.ranked.iter().filter(|ranked| named(ranked.what)).map(|ranked| ranked.probability).sum()
}

fn first(plant: &Plant, answer: &Answer) -> String {
    let named = |what: What| match what {
        What::Cause(named, _) => {
            Some(format!("{}.{}", name_of(plant, named), cause_of(plant, what).map_or("", |cause| cause.name)))
        }
        _ => None,
    };
    answer.ranked.iter().find_map(|ranked| named(ranked.what)).unwrap_or_default()
}

#[test]
fn what_is_typical_of_the_make_is_off_on_both_and_wear_on_one() {
    let plant = two();
    let model = Model::new(&plant).expect("a sound structure");
    let scores = Scores::of(&model, 0);
    let place = |part: &str, parameter: &str| {
        let id = plant.part(part).expect("a part");
        let k = plant[id].kind.parameters.iter().position(|p| p.name == parameter).expect("a parameter");
        model.layout.first_parameter(id) + k
    };
    // Covariance of two logarithms over all scores, one at a time: exact, for both are sums of scores.
    let correlation = |parameter: &str| {
        let at = ["exchanger-port", "exchanger-starboard"].map(|part| place(part, parameter));
        let base = scores.parameters(&model, &vec![0.0; scores.len()]);
        let mut sums = [0.0; 3];
        for k in 0..scores.len() {
            let mut one = vec![0.0; scores.len()];
            one[k] = 1.0;
            let moved = scores.parameters(&model, &one);
            let [a, b] = at.map(|at| (moved[at] / base[at]).ln());
            sums[0] += a * a;
            sums[1] += b * b;
            sums[2] += a * b;
        }
        sums[2] / (sums[0] * sums[1]).sqrt()
    };
    assert!((correlation("clean_conductance") - model::common::OF_ONE_MAKE).abs() < 1e-9);
    assert!(correlation("fouling_resistance").abs() < 1e-12);
}

#[test]
fn each_gauge_finds_its_like_and_a_generator_has_none() {
    let plant = orache();
    let like = |name: &str| {
        let gauge = plant.gauge(name).expect("a gauge");
        plant.sister_gauge(gauge).map(|like| plant[like].name.clone())
    };
    for what in ["coolant", "oil-pressure", "boost", "charge", "exhaust", "back-pressure", "speed"] {
        assert_eq!(like(&format!("{what}-port")), Some(format!("{what}-starboard")));
        assert_eq!(like(&format!("{what}-starboard")), Some(format!("{what}-port")));
    }
    for alone in ["coolant-generator", "volts", "sea"] {
        assert_eq!(like(alone), None, "{alone}");
    }
    assert!(plant.gauges.iter().all(|gauge| !matches!(gauge.tap, Tap::Sea) || gauge.name == "sea"));
}

#[test]
fn a_reading_over_the_sister_blames_that_engine_and_needs_a_sister() {
    let plant = orache();
    let hotter = answer(&plant, &now("coolant-port = \"+12 K over sister\""));
    let ends = |side: &'static str| move |name: &str| name == side || name.ends_with(&format!("-{side}"));
    let (port, starboard) = (of(&plant, &hotter, ends("port")), of(&plant, &hotter, ends("starboard")));
    assert!(port > 2.0 * starboard, "port {port}, starboard {starboard}");
    let colder = answer(&plant, &now("coolant-port = \"12 K below the other one\""));
    assert!(of(&plant, &colder, ends("starboard")) > of(&plant, &hotter, ends("starboard")));
    let text = now("coolant-generator = \"+8 K over sister\"");
    let (_, findings) = plant::evidence_reader::read(&text, &plant);
    let fatal: Vec<_> = findings.iter().filter(|finding| finding.is_fatal()).collect();
    assert!(fatal.len() == 1 && fatal[0].problem.to_string().contains("sister"), "{fatal:?}");
    // The difference is what counts, and it is kept as such.
    let (evidence, _) = plant::evidence_reader::read(&now("coolant-port = \"as the other engine\""), &plant);
    assert!(matches!(evidence.occasions[0].readings[0].1, ReadingText::OverSister { difference: 0.0, .. }));
}

#[test]
fn both_hot_points_to_what_both_draw_from() {
    let plant = two();
    let both =
        now("coolant-port = \"100 C\", coolant-starboard = \"101 C\", raw-port = \"55 C\", raw-starboard = \"56 C\"");
    let both = answer(&plant, &both);
    assert!(first(&plant, &both).starts_with("sea-chest."), "{}", first(&plant, &both));
    let one =
        now("coolant-port = \"100 C\", coolant-starboard = \"82 C\", raw-port = \"55 C\", raw-starboard = \"25 C\"");
    let one = answer(&plant, &one);
    let shared = |name: &str| name == "sea-chest" || name.starts_with("intake");
    assert!(of(&plant, &one, shared) < 0.05, "{}", of(&plant, &one, shared));
    assert!(first(&plant, &one).contains("-port"), "{}", first(&plant, &one));
}

#[test]
fn both_weak_on_orache_points_to_the_tank_and_one_to_its_own_pump() {
    let plant = orache();
    let weak = |engines: &[&str]| {
        let words: Vec<String> = engines
            .iter()
            .flat_map(|engine| ["weak", "stops by itself"].map(|word| format!("\"{engine}.{word}\"")))
            .collect();
        answer(&plant, &format!("[[occasion]]\nwhen = \"now\"\nsaid = [{}]\n", words.join(", ")))
    };
    let shares = |answer: &Answer| {
        [of(&plant, answer, |name| name == "day-tank"), of(&plant, answer, |name| name == "lift-pump-port")]
    };
    let [tank, pump] = shares(&weak(&["port", "starboard"]));
    assert!(tank > 0.4 && tank > 20.0 * pump, "both weak: tank {tank}, pump {pump}");
    let [tank_of_one, pump_of_one] = shares(&weak(&["port"]));
    assert!(pump_of_one > 5.0 * pump && tank_of_one < tank, "one weak: tank {tank_of_one}, pump {pump_of_one}");
}
