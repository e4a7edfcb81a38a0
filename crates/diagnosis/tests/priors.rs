//! Chances before anything is read: each rate by what drives it, work done lately, and faults found besides.

use diagnosis::hypothesis::{self, Hypothesis, What, cause_of, name_of};
use model::steady::Model;
use parts::rates;
use plant::plant::Plant;

const VESSEL: &str = "[vessel]\nname = \"x\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
    [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n\
    [gauge.coolant]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\n\
    [alarm.bell]\nat = \"engine.coolant-out\"\nreads = \"temperature\"\ntrips-above = \"96 °C\"\n";

fn plant() -> Plant {
    plant::reader::read(VESSEL).0.expect("a plant")
}

/// Every hypothesis given this evidence.
fn given(evidence: &str) -> Vec<Hypothesis> {
    let plant = plant();
    let model = Model::new(&plant).expect("a sound structure");
    let (evidence, findings) = plant::evidence_reader::read(evidence, &plant);
    assert!(findings.iter().all(|finding| !finding.is_fatal()), "{findings:?}");
    hypothesis::all(&plant, &model.layout, &evidence)
}

/// The one of this part or gauge and cause.
fn one(list: &[Hypothesis], of: &str, cause: &str) -> Hypothesis {
    let plant = plant();
    let is = |h: &&Hypothesis| match h.what {
        What::Cause(named, _) => {
            name_of(&plant, named) == of && cause_of(&plant, h.what).is_some_and(|row| row.name == cause)
        }
        _ => false,
    };
    list.iter().find(is).unwrap_or_else(|| panic!("no {of}.{cause}")).clone()
}

fn native(rate: &str) -> f64 {
    rates::rate(rate).expect("a rate of the table").native[1]
}

#[test]
fn what_plants_have_from_the_start_counts_by_their_share_and_not_by_the_hour() {
    let share = native("propeller-over-pitched");
    let complaint = "[[occasion]]\nsaid = [\"engine.hot\"]\n";
    let met_now = one(&given(complaint), "propeller", "over_pitched").prior;
    assert!((share * 0.02..share * 0.2).contains(&met_now), "{met_now} of a share of {share}");
    // She ran well before: then she was not pitched wrongly, or hardly.
    let before = "[[occasion]]\nwhen = \"usual\"\nreadings = { coolant = \"80 C\" }\n";
    let known = one(&given(&format!("{before}{complaint}")), "propeller", "over_pitched").prior;
    assert!(known < met_now / 5.0, "{known} after {met_now}");
}

#[test]
fn a_pump_just_opened_is_unprimed_as_often_as_the_table_says() {
    let opened = |part: &str, hours: f64| {
        let work = format!("[[occasion]]\nsaid = [\"engine.hot\"]\n[[work]]\npart = \"{part}\"\nhours_ago = {hours}\n");
        one(&given(&work), "raw-pump", "not_primed").prior
    };
    let table = native("raw-pump-not-primed");
    assert!((opened("raw-pump", 0.0) / table - 1.0).abs() < 0.2, "{} against {table}", opened("raw-pump", 0.0));
    // A strainer opened lets air in too, less surely; and next week's trouble is no opening's.
    assert!((0.05..0.9).contains(&(opened("strainer", 0.0) / table)));
    assert!(opened("raw-pump", 40.0) < table / 4.0);
}

#[test]
fn a_dead_alarm_is_asked_for_beside_what_was_found() {
    let told = "[[occasion]]\nsaid = [\"bell.silent\"]\n";
    let found = "[[check]]\npart = \"raw-pump\"\ncheck = \"cover_off\"\nfound = \"vanes_lost\"\n";
    let (alone, with) = (given(told), given(&format!("{told}{found}")));
    let vanes = one(&with, "raw-pump", "vanes_lost");
    let dead = one(&with, "bell", "switch_dead");
    assert_eq!((dead.beside, vanes.beside), (Some(vanes.what), None));
    assert_eq!(dead.moves.len(), vanes.moves.len());
    // Two per cent a year, tested every few years, beside the vanes: [Rates], hidden faults.
    let hidden = dead.prior / vanes.prior;
    assert!((native("alarm-switch-dead")..native("alarm-switch-dead") * 10.0).contains(&hidden), "{hidden}");
    assert_eq!(one(&alone, "bell", "switch_dead").beside, None);
}

#[test]
fn what_is_found_by_name_counts_by_what_that_find_is_wrong_about() {
    let plant = plant();
    let found = "[[check]]\npart = \"raw-pump\"\ncheck = \"cover_off\"\nfound = \"vanes_lost\"\n";
    let told = format!("[[occasion]]\nsaid = [\"engine.hot\"]\n{found}");
    let vanes = one(&given(&told), "raw-pump", "vanes_lost").what;
    let strainer = one(&given(&told), "strainer", "blocked").what;
    let (evidence, _) = plant::evidence_reader::read(&told, &plant);
    let weight = |what| diagnosis::tried::log_likelihood(&plant, &evidence, (what, 1.0), None);
    // The cover of an impeller: what the table says of a face that looks whole, and of one that looks broken and is not.
    let power = rates::power("impeller-cover").expect("a power of the table");
    let table = ((1.0 - power.miss) / power.false_find).ln();
    let ours = weight(vanes) - weight(strainer);
    // One check in twenty reported was not really made.
    assert!((ours - table).abs() < 0.1, "{ours} against {table}");
}

#[test]
fn a_relief_valve_that_sticks_open_is_to_blame_though_a_sound_one_passes_nothing() {
    let text = VESSEL.replace(
        "[alarm.bell]",
        "[alarm.lamp]\nat = \"engine.oil-in\"\nreads = \"pressure\"\ntrips-below = \"0.7 bar\"\n[alarm.bell]",
    );
    let plant = plant::reader::read(&text).0.expect("a plant");
    let idle = "[[occasion]]\nat = { speed = \"idle\", load = \"neutral\" }\nsaid = [\"lamp.on\"]\n";
    let (evidence, _) = plant::evidence_reader::read(idle, &plant);
    let answer = diagnosis::explain::explain(&plant, &evidence).expect("an answer");
    let is = |what: What| cause_of(&plant, what).is_some_and(|cause| cause.rate == "oil-relief-valve-stuck-open");
    let stuck = answer.ranked.iter().find(|r| is(r.what)).expect("a relief valve");
    // By rates, and untouched by what shut lines lose: 0.02 in a thousand hours, an hour in a hundred of them.
    let table = rates::rate("oil-relief-valve-stuck-open").expect("a rate").per_1000_h[1] / 100.0;
    assert!((0.3..1.1).contains(&(stuck.by_rate / table)), "{} against {table}", stuck.by_rate);
}

#[test]
fn what_a_described_turbocharger_suffers_is_not_laid_to_the_engine_besides() {
    let causes = |text: &str| -> Vec<String> {
        let plant = plant::reader::read(text).0.expect("a plant");
        let model = Model::new(&plant).expect("a sound structure");
        let (evidence, _) = plant::evidence_reader::read("", &plant);
        let list = hypothesis::all(&plant, &model.layout, &evidence);
        let named = |h: &Hypothesis| match h.what {
            What::Cause(named, _) => {
                let kind = hypothesis::kind_of(&plant, named).name;
                cause_of(&plant, h.what).map(|cause| format!("{kind}/{}", cause.name))
            }
            _ => None,
        };
        list.iter().filter_map(named).collect()
    };
    let engine = "[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n";
    let told = format!("{engine}[part.turbocharger]\n");
    let (unblown, blown) = (causes(engine), causes(&told));
    let has = |list: &[String], cause: &str| list.iter().any(|name| name == cause);
    for (general, own) in [
        ("diesel/turbo_failed", "turbocharger/failed"),
        ("diesel/charge_air_leaks", "turbocharger/charge_air_leaks"),
        ("diesel/air_filter_clogged", "turbocharger/filter_clogged"),
    ] {
        assert!(has(&unblown, general) && !has(&unblown, own), "{general} of an engine alone");
        assert!(has(&blown, own) && !has(&blown, general), "{own} of a turbocharger that is told");
    }
    // No cooler is told: that one stays with the engine.
    assert!(has(&blown, "diesel/charge_cooler_fouled"));
}

#[test]
fn a_rate_that_the_owner_tells_is_the_chance_before_anything_is_read() {
    let evidence = plant::evidence::Evidence::default();
    let of_vessel = |text: &str| {
        let (plant, findings) = plant::reader::read(text);
        let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
        let model = Model::new(&plant).expect("a sound structure");
        let list = hypothesis::all(&plant, &model.layout, &evidence);
        let is = |h: &&Hypothesis| {
            matches!(h.what, What::Cause(named, _) if name_of(&plant, named) == "raw-pump")
                && cause_of(&plant, h.what).is_some_and(|row| row.name == "worn")
        };
        let worn = list.iter().find(is).expect("impellers wear").prior;
        let others: Vec<f64> = list.iter().filter(|h| !is(h)).map(|h| h.prior).collect();
        (worn, others)
    };
    let (table, others) = of_vessel(VESSEL);
    let rate = rates::rate("impeller-worn").expect("a rate");
    let told = 3.0 * rate.per_1000_h[1] * rate.use_factor;
    let (own, same) = of_vessel(&format!("{VESSEL}[rates]\n\"raw-pump.worn\" = \"{told} per 1000 h\"\n"));
    assert!((own / table - 3.0).abs() < 1e-9, "{own} of {table}");
    let named = others.len() - parts::kind::Circuit::ALL.len() - 1;
    assert_eq!(same[..named], others[..named], "no other way to fail moves");
}
