//! The next step on plants: what is aboard, where she is, what was tried.

use diagnosis::act::Act;
use diagnosis::explain::Ranked;
use diagnosis::hypothesis::{What, cause_of, kind_of};
use diagnosis::next_step::{Ahead, Deed, NextStep, Way, lay_out, next};
use diagnosis::tried;
use parts::kind::State;
use plant::evidence::{CheckMade, Evidence, Found, Named, Renewal, RenewalResult, Situation};
use plant::plant::Plant;

const SMALL: &str = r#"
[engine.main]
kind = "diesel"
rated = { power = "60 kW", speed = "1800 rpm" }
[circuit]
raw-water = ["seacock", "strainer", "raw-pump", "exchanger", "elbow"]
"#;

fn read(text: &str) -> Plant {
    let (plant, findings) = plant::reader::read(text);
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

fn small(more: &str) -> Plant {
    read(&format!("{SMALL}{more}"))
}

fn what(plant: &Plant, part: &str, cause: &str) -> What {
    let of = Named::find(plant, part).unwrap_or_else(|| panic!("no {part}"));
    let k = kind_of(plant, of).causes.iter().position(|c| c.name == cause).unwrap_or_else(|| panic!("no {cause}"));
    What::Cause(of, k)
}

fn ranked(what: What, probability: f64) -> Ranked {
    Ranked {
        what,
        circuit: None,
        probability,
        by_rate: probability,
        severity: 0.9,
        severity_range: (0.8, 1.0),
        weight: 0.0,
        beside: None,
        beside_severity: 0.0,
        readings: Vec::new(),
        reasons: None,
    }
}

/// What the small vessel may have, likeliest first.
fn odds(plant: &Plant, each: &[(&str, &str, f64)]) -> Vec<Ranked> {
    each.iter().map(|(part, cause, chance)| ranked(what(plant, part, cause), *chance)).collect()
}

fn step(plant: &Plant, evidence: &Evidence, ranked: &[Ranked]) -> NextStep {
    next(plant, evidence, ranked, &[], None).expect("there is something to weigh")
}

fn sea(cannot_stop: bool, hours: f64) -> Evidence {
    let situation = Situation { at_sea: true, cannot_stop, haven_hours: Some(hours) };
    Evidence { situation, ..Evidence::default() }
}

/// Every step of a plan.
fn every<'a>(ahead: &'a Ahead, list: &mut Vec<&'a Ahead>) {
    list.push(ahead);
    ahead.then.iter().for_each(|(_, then)| every(then, list));
}

#[test]
fn a_near_certain_cause_with_a_short_cure_is_simply_cured() {
    let plant = small("");
    let odds = odds(&plant, &[("strainer", "blocked", 0.93), ("raw-pump", "worn", 0.05)]);
    let step = step(&plant, &Evidence::default(), &odds);
    let Deed::Repair { causes, effort, .. } = &step.then.does else { panic!("{:?}", step.then.does) };
    assert_eq!((causes[0], effort.state), (what(&plant, "strainer", "blocked"), State::StoppedAndShut));
    // Twelve minutes, ten to stop, two to shut and two to open, three to start, ten to see.
    assert!((step.then.price.minutes - 39.0).abs() < 1e-9, "{:?}", step.then.price);
}

#[test]
fn causes_with_one_remedy_are_one_repair() {
    let plant = small("");
    let odds = odds(
        &plant,
        &[("thermostat", "stuck_shut", 0.4), ("thermostat", "stuck_open", 0.3), ("strainer", "blocked", 0.3)],
    );
    let laid = lay_out(&plant, &Evidence::default(), &odds, &[]).expect("it is laid out");
    let renewals: Vec<&Vec<What>> = laid
        .deeds
        .iter()
        .filter_map(|deed| if let Deed::Repair { causes, .. } = deed { Some(causes) } else { None })
        .filter(|causes| cause_of(&plant, causes[0]).is_some_and(|cause| cause.remedy == "renew the thermostat"))
        .collect();
    assert_eq!(renewals, [&vec![odds[0].what, odds[1].what]]);
}

#[test]
fn a_check_is_asked_for_only_if_its_tools_are_aboard() {
    let doubt = [("coolant", "reads_high", 0.5), ("thermostat", "stuck_shut", 0.5)];
    let gauge = "[gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n";
    let (all, none) = (small(gauge), small(&format!("{gauge}[aboard]\ntools = []\n")));
    let told = |plant: &Plant| step(plant, &Evidence::default(), &odds(plant, &doubt));
    let mut steps = Vec::new();
    let bare = told(&none);
    every(&bare.then, &mut steps);
    for ahead in steps {
        if let Deed::Check { of, check, .. } = &ahead.does {
            assert!(none.missing(*of, check).is_empty(), "{} wants {:?}", check.name, check.tool);
        }
    }
    let (with, without) = (told(&all), bare);
    assert!(with.lacking.is_none(), "where tools are not told none is missing");
    assert!(without.then.expected.worth(40.0) >= with.then.expected.worth(40.0));
    let lacking = without.lacking.expect("a gauge would settle much of this");
    assert!(!lacking.tools.is_empty() && lacking.saves > 0.0, "{lacking:?}");
}

#[test]
fn the_owners_own_minutes_count() {
    let plant = small("[aboard.minutes]\n\"strainer.clean\" = 4\n");
    let odds = odds(&plant, &[("strainer", "blocked", 0.95)]);
    assert_eq!(step(&plant, &Evidence::default(), &odds).then.hands_on, 4.0);
}

#[test]
fn a_spare_that_is_not_aboard_waits_for_the_haven() {
    let doubt = [("raw-pump", "worn", 0.95)];
    let (aboard, not) = (small("[aboard]\nspares = [\"raw-pump.impeller\"]\n"), small("[aboard]\nspares = []\n"));
    let at_sea = |plant: &Plant| {
        let laid = lay_out(plant, &sea(false, 3.0), &odds(plant, &doubt), &[]).expect("it is laid out");
        let place = laid.deeds.iter().position(|deed| matches!(deed, Deed::Repair { .. })).expect("it can be renewed");
        laid.problem.price(laid.here.standing, place).0.minutes
    };
    // Three hours to the haven, two to fetch it.
    assert!((at_sea(&not) - at_sea(&aboard) - 300.0).abs() < 1e-9, "{} {}", at_sea(&not), at_sea(&aboard));
}

/// Whatever stops her says that it waits six hours; what follows that is in the haven.
fn stops_only_in_haven(ahead: &Ahead, in_haven: bool) {
    let waits = matches!(ahead.way, Way::Waits(minutes) if (minutes - 360.0).abs() < 1e-9);
    let stops = ahead.does.state().is_some_and(|state| state >= State::Stopped);
    assert!(!stops || in_haven || waits, "{:?}", ahead.does);
    for (_, then) in &ahead.then {
        stops_only_in_haven(then, in_haven || waits);
    }
}

#[test]
fn off_a_lee_shore_nothing_stops_her_before_the_haven() {
    let plant = small("");
    let odds = odds(&plant, &[("strainer", "blocked", 0.5), ("raw-pump", "worn", 0.3), ("outlet", "blocked", 0.2)]);
    let (port, lee) = (step(&plant, &Evidence::default(), &odds), step(&plant, &sea(true, 6.0), &odds));
    assert_eq!(port.then.way, Way::Kept);
    assert!(lee.then.expected.minutes > port.then.expected.minutes + 100.0);
    stops_only_in_haven(&lee.then, false);
}

#[test]
fn one_of_two_engines_may_be_stopped_for_the_other_takes_her_on() {
    let plant = read(include_str!("../../../vessels/orache/vessel.toml"));
    let twin = step(&plant, &sea(true, 6.0), &odds(&plant, &[("thermostat-port", "stuck_shut", 0.95)]));
    let single = small("");
    let alone = step(&single, &sea(true, 6.0), &odds(&single, &[("thermostat", "stuck_shut", 0.95)]));
    let mut steps = Vec::new();
    every(&twin.then, &mut steps);
    assert!(steps.iter().all(|ahead| !matches!(ahead.way, Way::Waits(_) | Way::Drifts)), "{steps:?}");
    assert!(twin.then.expected.minutes + 300.0 < alone.then.expected.minutes);
}

#[test]
fn what_is_to_be_stopped_this_minute_is_not_run_for_a_look() {
    let plant = small("");
    let odds = odds(&plant, &[("strainer", "blocked", 0.4), ("raw-pump", "worn", 0.3), ("outlet", "blocked", 0.3)]);
    let stop = [Act { line: "Stop now.".into(), because: "oil is past its limit".into() }];
    let told = next(&plant, &Evidence::default(), &odds, &stop, None).expect("there is something to weigh");
    let mut steps = Vec::new();
    every(&told.then, &mut steps);
    let runs = |ahead: &&&Ahead| matches!(ahead.does, Deed::Check { check, .. } if check.state < State::Stopped);
    assert!(steps.iter().find(runs).is_none(), "{steps:?}");
}

#[test]
fn what_was_renewed_in_vain_is_not_renewed_again() {
    let plant = small("");
    let odds = odds(&plant, &[("raw-pump", "worn", 0.6), ("strainer", "blocked", 0.4)]);
    let What::Cause(of, _) = odds[0].what else { panic!("it is a cause") };
    let renewed = vec![Renewal { of, what: "impeller".into(), result: RenewalResult::NoChange }];
    let evidence = Evidence { renewed, ..Evidence::default() };
    let laid = lay_out(&plant, &evidence, &odds, &[]).expect("it is laid out");
    assert!(!laid.deeds.iter().any(|deed| matches!(deed, Deed::Repair { of: other, .. } if *other == of)));
}

#[test]
fn an_answer_given_two_ways_leaves_both_in_doubt() {
    let plant = small("");
    let blocked = what(&plant, "strainer", "blocked");
    let What::Cause(of, k) = blocked else { panic!("it is a cause") };
    let weight = |found: &[Found]| {
        let checks = found.iter().map(|found| CheckMade { of, check: 0, found: found.clone() }).collect();
        tried::log_likelihood(&plant, &Evidence { checks, ..Evidence::default() }, (blocked, 0.9), None)
    };
    let (clean, found) = (weight(&[Found::Clean]), weight(&[Found::Cause(k)]));
    let both = [weight(&[Found::Clean, Found::Cause(k)]), weight(&[Found::Cause(k), Found::Clean])];
    assert!(clean < 0.0 && found > 0.0);
    for both in both {
        assert!(clean < both && both < found, "{clean} {both} {found}");
    }
    // Told twice it is still one look, and no surer.
    assert_eq!(weight(&[Found::Cause(k), Found::Cause(k)]), found);
    assert_eq!(weight(&[Found::Clean, Found::Clean, Found::Clean]), clean);
}

#[test]
fn nobody_is_called_for_what_is_cured_or_is_to_be_read_again() {
    let plant = small("");
    // All that is on the list is too unlikely to be worth a step.
    let scaled = what(&plant, "exchanger", "scaled");
    let odds = [ranked(scaled, 0.006), ranked(What::Else(parts::kind::Circuit::RawWater), 0.994)];
    let told = |evidence: &Evidence, odd| next(&plant, evidence, &odds, &[], odd).expect("it is weighed").then.does;
    assert!(matches!(told(&Evidence::default(), None), Deed::Help), "nothing else to be done");
    let again = told(&Evidence::default(), Some(&[0, 2][..]));
    assert!(matches!(&again, Deed::ReadAgain(readings) if *readings == [0, 2]), "{again:?}");
    let pump = Named::Part(plant.part("raw-pump").expect("a pump"));
    let made = |result| Renewal { of: pump, what: "impeller".into(), result };
    let renewed = |results: &[RenewalResult]| Evidence {
        renewed: results.iter().map(|result| made(*result)).collect(),
        ..Evidence::default()
    };
    assert!(matches!(told(&renewed(&[RenewalResult::Cured]), None), Deed::Cured));
    let both = told(&renewed(&[RenewalResult::Cured, RenewalResult::NoChange]), None);
    assert!(matches!(both, Deed::Help), "what is told both ways is not taken as cured: {both:?}");
    // Beside something worth doing too, for what was cured needs nothing.
    let likely = [ranked(what(&plant, "strainer", "blocked"), 0.9)];
    let cured = next(&plant, &renewed(&[RenewalResult::Cured]), &likely, &[], None).expect("it is weighed");
    assert!(matches!(cured.then.does, Deed::Cured) && cured.instead.is_none());
}
