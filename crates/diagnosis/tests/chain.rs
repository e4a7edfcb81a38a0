//! The chain of a gauge: what gauges share they suffer together, each the way that its own sender and head give.

use diagnosis::explain::{Answer, explain};
use diagnosis::hypothesis::{What, cause_of, name_of};
use diagnosis::lies::{falsified, lie};
use plant::plant::Plant;

const ENGINE: &str = "[vessel]\nname = \"x\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
    [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n";

#[track_caller]
fn plant(gauges: &str) -> Plant {
    let (plant, findings) = plant::reader::read(&format!("{ENGINE}{gauges}"));
    plant.unwrap_or_else(|| panic!("{findings:?}"))
}

#[track_caller]
fn answer(plant: &Plant, readings: &str) -> Answer {
    let text = format!(
        "[[occasion]]\nwhen = \"now\"\nat = {{ speed = \"1500 rpm\", sea = \"15 C\" }}\nreadings = {{ {readings} }}\n"
    );
    let (evidence, findings) = plant::evidence_reader::read(&text, plant);
    assert!(findings.iter().all(|finding| !finding.is_fatal()), "{findings:?}");
    explain(plant, &evidence).expect("an answer")
}

/// Chance of this cause.
#[track_caller]
fn odds(plant: &Plant, answer: &Answer, of: &str, cause: &str) -> f64 {
    what(plant, answer, of, cause).map_or_else(|| panic!("no {of}.{cause}"), |(_, chance)| chance)
}

fn what(plant: &Plant, answer: &Answer, of: &str, cause: &str) -> Option<(What, f64)> {
    let is = |what: What| match what {
        What::Cause(named, _) => {
            name_of(plant, named) == of && cause_of(plant, what).is_some_and(|row| row.name == cause)
        }
        _ => false,
    };
    answer.ranked.iter().find(|ranked| is(ranked.what)).map(|ranked| (ranked.what, ranked.probability))
}

/// Two dials for the coolant and one for oil, with these lines of the chain for each.
fn two_stations(each: &str, helm: &str, oil: &str) -> Plant {
    plant(&format!(
        "[gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n{each}\n\
         [gauge.helm]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n{helm}\n\
         [gauge.oil]\nat = \"engine.oil-in\"\nreads = \"pressure\"\n{oil}\n\
         [gauge.raw-out]\nat = \"exchanger.raw-out\"\nreads = \"temperature\"\n"
    ))
}

#[test]
fn two_dials_on_one_sender_prove_nothing_about_each_other() {
    let hot = "coolant = \"116 C\", helm = \"116 C\", oil = \"4 bar\", raw-out = \"24 C\"";
    let apart = two_stations("", "", "");
    let shared = two_stations("sender = \"s1\"", "sender = \"s1\"", "");
    let (of_two, of_one) = (answer(&apart, hot), answer(&shared, hot));
    // Two senders are not wrong by the same amount at the same time; one is for both its dials.
    let lies = ["coolant", "helm"].map(|gauge| odds(&apart, &of_two, gauge, "reads_high"));
    let lied = odds(&shared, &of_one, "s1", "reads_high");
    assert!(lied > 100.0 * lies[0].max(lies[1]), "{lied} against {lies:?}");
    // What the sender suffers is told of it, once.
    assert!(what(&shared, &of_one, "coolant", "reads_high").is_none());
    assert!(what(&shared, &of_one, "coolant", "head_faulty").is_some());
    // Dials that part cannot both be the sender's fault.
    let part = "coolant = \"116 C\", helm = \"78 C\", oil = \"4 bar\", raw-out = \"24 C\"";
    let parted = answer(&shared, part);
    let head = odds(&shared, &parted, "coolant", "head_faulty");
    assert!(head > 10.0 * odds(&shared, &parted, "s1", "reads_high"), "{head}");
}

#[test]
fn the_error_of_a_shared_sender_is_one_error() {
    use model::fit::{Observed, Run, Seen};
    use model::point;
    use model::scores::Scores;
    use model::steady::Model;
    use model::under::Under;
    let read_both = |plant: &Plant| {
        let mut model = Model::new(plant).expect("a sound structure");
        let (at, spread) = point::told(plant, &plant::evidence::ToldPoint::default());
        let [coolant, helm] = ["coolant", "helm"].map(|name| plant.gauge(name).expect("a gauge"));
        let run = Run { point: at, spread, warmth: model::warmth::Warmth::Settled, troubled: false };
        let one = |gauge| Observed { terms: vec![(0, gauge, 1.0)], value: 358.15, noise: 0.5 };
        let seen = Seen { runs: vec![run], observed: vec![one(coolant), one(helm)], ..Seen::default() };
        let fit = model.fit(&seen, &Under::default(), None, 8).expect("a fit");
        let scores = Scores::of(&model, 1);
        [coolant, helm].map(|gauge| model.lasting(gauge) * scores.off(gauge, fit.scores.as_slice()))
    };
    // Both dials 6 K over what is expected: with one sender more of it is the sender's than with two the senders'.
    let apart = read_both(&two_stations("", "", ""));
    let shared = read_both(&two_stations("sender = \"s1\"", "sender = \"s1\"", ""));
    assert!((shared[0] - shared[1]).abs() < 0.05, "{shared:?}");
    assert!(shared[0].abs() > 1.15 * apart[0].abs(), "{shared:?} {apart:?}");
}

#[test]
fn a_poor_ground_moves_each_gauge_the_way_its_sender_gives() {
    let on_block = |sends: &str| format!("ground = \"block\"\nsender-resistance = \"{sends}\"");
    let plant = two_stations(&on_block("falling"), "", &on_block("rising"));
    // Cold and high together: more resistance, read by two families of sender.
    let crossed = answer(&plant, "coolant = \"58 C\", helm = \"79 C\", oil = \"6.2 bar\", raw-out = \"24 C\"");
    let ground = odds(&plant, &crossed, "block", "poor");
    assert!(ground > 0.3, "{ground}");
    // Both low is not what that ground can do.
    let low = answer(&plant, "coolant = \"58 C\", helm = \"79 C\", oil = \"2 bar\", raw-out = \"24 C\"");
    assert!(odds(&plant, &low, "block", "poor") < 0.1 * ground);
    // And a gauge without a wire has no part in it.
    let mechanical = two_stations(&on_block("falling"), "", "ground = \"block\"\nhead = \"mechanical\"");
    let (poor, _) = what(&mechanical, &crossed_of(&mechanical), "block", "poor").expect("the ground");
    assert_eq!(falsified(&mechanical, poor), [mechanical.gauge("coolant").expect("a gauge")]);
    assert!(what(&mechanical, &crossed_of(&mechanical), "oil", "wire_open").is_none());
}

#[track_caller]
fn crossed_of(plant: &Plant) -> Answer {
    answer(plant, "coolant = \"58 C\"")
}

#[test]
fn a_supply_that_is_lost_takes_all_its_gauges_to_their_rest() {
    let fed = "supply = \"panel\"";
    let plant = two_stations(fed, "", fed);
    let dead = answer(&plant, "coolant = \"40 C\", helm = \"79 C\", oil = \"0 bar\", raw-out = \"24 C\"");
    let lost = odds(&plant, &dead, "panel", "lost");
    assert!(lost > 0.5, "{lost}");
    let (lost, _) = what(&plant, &dead, "panel", "lost").expect("the supply");
    let lie = lie(&plant, lost).expect("it falsifies");
    assert!(lie.gauges.len() == 2 && lie.gauges.iter().all(|one| one.stands_at == Some(plant[one.gauge].scale.0)));
}

#[test]
fn gauges_on_one_plug_err_together_each_on_its_own_scale() {
    let on_plug = "plug = \"harness\"";
    let plant = two_stations(on_plug, "", &format!("{on_plug}\nsender-resistance = \"10-180\""));
    let any = answer(&plant, "coolant = \"79 C\"");
    let (corroded, _) = what(&plant, &any, "harness", "corroded").expect("the plug");
    let lie = lie(&plant, corroded).expect("it falsifies");
    let share = |name: &str| {
        let gauge = plant.gauge(name).expect("a gauge");
        let (low, high) = plant[gauge].scale;
        lie.of(gauge).map(|one| one.sigma / (high - low)).expect("it lies")
    };
    assert!((share("coolant") + share("oil")).abs() < 1e-12 && share("oil") > 0.1);
}
