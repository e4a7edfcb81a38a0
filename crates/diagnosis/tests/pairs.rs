//! Two things wrong at once, and readings misread: what one cause leaves is explained where something explains it, and one
//! absurd reading excuses nothing else. Readings are the model's own.

use diagnosis::explain::{Answer, Ranked, explain};
use diagnosis::hypothesis::{self, What, cause_of, kind_of, name_of};
use measure::reading::{Mark, ReadingText};
use model::point;
use model::steady::Model;
use model::under::{Change, Under};
use plant::evidence::{CheckMade, Evidence, Found, Moment, Named, Occasion, Said, ToldPoint};
use plant::plant::Plant;

const VESSEL: &str = "[vessel]\nname = \"x\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
    [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
    [gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n\
    [gauge.helm]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n\
    [gauge.oil]\nat = \"engine.oil-in\"\nreads = \"pressure\"\n\
    [gauge.suction]\nat = \"raw-pump.in\"\nreads = \"pressure\"\n\
    [gauge.raw-out]\nat = \"exchanger.raw-out\"\nreads = \"temperature\"\n\
    [gauge.exhaust]\nat = \"engine.gas-out\"\nreads = \"temperature\"\n";

fn plant() -> Plant {
    let (plant, findings) = plant::reader::read(VESSEL);
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

/// What every gauge reads with these causes at these severities.
fn readings(plant: &Plant, told: &ToldPoint, causes: &[(&str, &str, f64)]) -> Vec<f64> {
    let mut model = Model::new(plant).expect("a sound structure");
    let all = hypothesis::all(plant, &model.layout, &Evidence::default());
    let change = |&(of, cause, severity): &(&str, &str, f64)| {
        let h = all.iter().find(|h| is(plant, h.what, of, cause)).expect("a cause");
        Change { moves: h.moves.clone(), severity }
    };
    let under = Under { changes: causes.iter().map(change).collect(), lie: None };
    let figures = under.apply(&model.figures.clone(), &[]).values;
    let state = model.solve(&figures, &point::told(plant, told).0, None).expect("a state");
    plant.gauge_ids().map(|gauge| model.read(&state, plant[gauge].tap)).collect()
}

fn is(plant: &Plant, what: What, of: &str, cause: &str) -> bool {
    matches!(what, What::Cause(named, _) if name_of(plant, named) == of)
        && cause_of(plant, what).is_some_and(|row| row.name == cause)
}

fn occasion(plant: &Plant, when: Moment, at: &ToldPoint, values: &[f64]) -> Occasion {
    let value = |value: &f64| ReadingText::Value { value: *value, mark: Mark::Steady, rough: false };
    let readings = plant.gauge_ids().zip(values).map(|(gauge, v)| (gauge, value(v))).collect();
    Occasion { when, at: at.clone(), readings, ..Occasion::default() }
}

/// Cruise, and easier.
fn points() -> [ToldPoint; 2] {
    [157.0, 115.0].map(|speed| ToldPoint {
        speed: Some(speed),
        sea: Some(288.15),
        load: Some(1.0),
        ..ToldPoint::default()
    })
}

/// The answer to readings of a good day at two speeds, and to these of now.
fn answer(plant: &Plant, now: &[Vec<f64>]) -> Answer {
    let before = points().map(|at| occasion(plant, Moment::Usual, &at, &readings(plant, &at, &[])));
    let now = points().into_iter().zip(now).map(|(at, now)| occasion(plant, Moment::Now, &at, now));
    let occasions = before.into_iter().chain(now).collect();
    explain(plant, &Evidence { occasions, ..Evidence::default() }).expect("an answer")
}

fn now(plant: &Plant, causes: &[(&str, &str, f64)]) -> Vec<Vec<f64>> {
    points().iter().map(|at| readings(plant, at, causes)).collect()
}

/// Chance of all that names this, alone or with another.
fn named(plant: &Plant, answer: &Answer, of: &str, cause: &str) -> f64 {
    let names =
        |r: &&Ranked| is(plant, r.what, of, cause) || r.beside.is_some_and(|beside| is(plant, beside, of, cause));
    answer.ranked.iter().filter(names).map(|r| r.probability).sum()
}

fn gauge(plant: &Plant, name: &str) -> usize {
    plant.gauge(name).expect("a gauge").0
}

#[test]
fn a_fault_and_a_lying_gauge_are_both_named() {
    let plant = plant();
    let mut read = now(&plant, &[("raw-pump", "vanes_lost", 0.5)]);
    // The oil gauge has dropped to its stop besides; no impeller does that.
    let oil = plant.gauge("oil").expect("a gauge");
    for read in &mut read {
        read[oil.0] = plant[oil].scale.0;
    }
    let answer = answer(&plant, &read);
    // A worn pump and one that has lost vanes read alike here; that it is the pump, and the gauge besides, is what can be known.
    let of = |what: What, name: &str| matches!(what, What::Cause(of, _) if name_of(&plant, of) == name);
    let both = |r: &&Ranked| of(r.what, "raw-pump") && r.beside.is_some_and(|beside| of(beside, "oil"));
    let both: f64 = answer.ranked.iter().filter(both).map(|r| r.probability).sum();
    assert!(both > 0.8, "{:?}", top(&plant, &answer));
}

#[test]
fn two_faults_in_two_circuits_are_both_named() {
    let plant = plant();
    let read = now(&plant, &[("raw-pump", "vanes_lost", 0.5), ("relief-valve", "stuck_open", 0.8)]);
    let answer = answer(&plant, &read);
    let pairs = answer.ranked.iter().filter(|r| r.beside.is_some());
    let of_oil = |what: What| matches!(what, What::Cause(of, _) if name_of(&plant, of) == "relief-valve");
    let both: f64 = pairs.filter(|r| of_oil(r.what) || r.beside.is_some_and(of_oil)).map(|r| r.probability).sum();
    assert!(both > 0.2, "{:?}", top(&plant, &answer));
}

#[test]
fn one_thing_wrong_is_told_as_one() {
    let plant = plant();
    let answer = answer(&plant, &now(&plant, &[("raw-pump", "vanes_lost", 0.5)]));
    let pairs: f64 = answer.ranked.iter().filter(|r| r.beside.is_some()).map(|r| r.probability).sum();
    assert!(pairs < 0.05, "{:?}", top(&plant, &answer));
}

#[test]
fn the_same_evidence_gives_the_same_answer_to_the_last_digit() {
    // Which thread weighs what is left to chance; what it weighed before must not show.
    let plant = plant();
    let read = now(&plant, &[("raw-pump", "vanes_lost", 0.5), ("relief-valve", "stuck_open", 0.8)]);
    let digits = || -> Vec<u64> { answer(&plant, &read).ranked.iter().map(|r| r.probability.to_bits()).collect() };
    let first = digits();
    assert!((0..3).all(|_| digits() == first));
}

#[test]
fn an_absurd_reading_does_not_hide_what_the_others_say() {
    let plant = plant();
    let plain = answer(&plant, &now(&plant, &[("raw-pump", "vanes_lost", 0.5)]));
    let mut read = now(&plant, &[("raw-pump", "vanes_lost", 0.5)]);
    // Written down a hundred degrees too high, as of another engine's other end.
    read[0][gauge(&plant, "exhaust")] += 150.0;
    let slipped = answer(&plant, &read);
    let (with, without) =
        (named(&plant, &slipped, "raw-pump", "vanes_lost"), named(&plant, &plain, "raw-pump", "vanes_lost"));
    assert!(with > 0.5 * without, "{with} of {without}: {:?}", top(&plant, &slipped));
}

fn top(plant: &Plant, answer: &Answer) -> Vec<String> {
    let name = |what: What| match (what, cause_of(plant, what)) {
        (What::Cause(of, _), Some(cause)) => format!("{}.{}", name_of(plant, of), cause.name),
        (other, _) => format!("{other:?}"),
    };
    let line = |r: &Ranked| format!("{} + {:?} {:.3}", name(r.what), r.beside.map(name), r.probability);
    answer.ranked.iter().take(6).map(line).collect()
}

#[test]
fn what_a_check_found_is_fitted_as_closely_as_before() {
    // Eighteen gauges, each of which could lie besides.
    let (plant, findings) = plant::reader::read(include_str!("../../../vessels/marram/vessel.toml"));
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    let at = points()[0].clone();
    let word = |of: &str, word: &str| {
        let of = Named::all(&plant).find(|named| name_of(&plant, *named) == of).expect("a part");
        let said = kind_of(&plant, of).words.iter().position(|row| row.name == word).expect("a word");
        (of, Said { of, word: said })
    };
    let (strainer, weed) = word("strainer-port", "weed in the bowl");
    let usual = occasion(&plant, Moment::Usual, &at, &readings(&plant, &at, &[]));
    let mut now = occasion(&plant, Moment::Now, &at, &readings(&plant, &at, &[("strainer-port", "blocked", 0.85)]));
    now.said = vec![weed, word("raw-pump", "hot to the touch").1];
    let kind = kind_of(&plant, strainer);
    let check = kind.checks.iter().position(|check| check.name == "open_and_look").expect("a check");
    let blocked = kind.causes.iter().position(|cause| cause.name == "blocked").expect("a cause");
    let checks = vec![CheckMade { of: strainer, check, found: Found::Cause(blocked) }];
    let told = Evidence { occasions: vec![usual, now], ..Evidence::default() };
    let found = explain(&plant, &Evidence { checks, ..told.clone() }).expect("an answer");
    let before = explain(&plant, &told).expect("an answer");
    let of = |answer: &Answer| {
        let all = answer.ranked.iter();
        let one = all.clone().find(|r| is(&plant, r.what, "strainer-port", "blocked") && r.beside.is_none());
        one.map(|r| (r.probability, r.severity)).expect("on the list")
    };
    assert!(of(&found).0 > of(&before).0 && of(&found).0 > 0.8, "{:?}", top(&plant, &found));
    assert!((of(&found).1 - of(&before).1).abs() < 0.01);
    assert!(found.unexplained.is_none());
}
