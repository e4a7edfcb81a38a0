//! Books of a vessel: what balances, what is missing, and what it says of causes.

use diary::{Diary, Entry, Key};
use ledger::balance::By;
use ledger::posting::Posting;
use ledger::told::{self, Told};
use ledger::{Ledger, What};
use plant::evidence::Found;
use plant::plant::Plant;

const DAY: i64 = 86_400_000;
const LITRE: f64 = 1e-3;

fn plant() -> Plant {
    plant::reader::read(include_str!("../../../vessels/marram/vessel.toml")).0.expect("the example is sound")
}

fn told(text: &str) -> Told {
    let (told, findings) = told::read(text, &plant());
    assert!(findings.is_empty(), "{findings:?}");
    told
}

const TANKS: &str = "[tank.port]\nvolume = \"1000 L\"\nsounding = [[\"0 cm\", \"0 L\"], [\"20 cm\", \"100 L\"], [\"100 cm\", \"1000 L\"]]\n\
                     [tank.day-tank]\nvolume = \"220 L\"\n";

fn ledger(told: &Told, postings: &[(i64, Posting)], now: i64) -> Ledger {
    let entries = postings.iter().enumerate().map(|(k, (day, what))| Entry {
        key: Key(format!("{k}")),
        time: day * DAY,
        who: None,
        corrects: None,
        what: what.clone(),
    });
    let diary = Diary { entries: entries.collect(), struck: Vec::new(), unread: Vec::new() };
    Ledger::of(diary, told, &plant(), now * DAY)
}

fn sounded(tank: &str, litres: f64) -> Posting {
    Posting::Sounded { tank: tank.into(), volume: litres * LITRE, within: Some(4.0 * LITRE) }
}

fn taken(tank: &str, litres: f64) -> Posting {
    Posting::Taken {
        tank: tank.into(),
        volume: litres * LITRE,
        within: Some(0.0),
        density: None,
        place: None,
        price: None,
    }
}

fn moved(litres: f64) -> Posting {
    Posting::Moved { from: "port".into(), to: "day-tank".into(), volume: litres * LITRE, within: Some(3.0 * LITRE) }
}

fn burnt(litres: f64) -> Posting {
    Posting::Burnt { tank: None, volume: litres * LITRE, within: Some(0.02 * litres * LITRE) }
}

fn hours(hours: f64) -> Posting {
    Posting::Hours { engine: "main".into(), hours }
}

fn added(part: &str, litres: f64) -> Posting {
    Posting::Added { part: part.into(), volume: litres * LITRE }
}

#[test]
fn tanks_balance_one_by_one_and_together() {
    let books = [
        (0, burnt(0.0)),
        (0, sounded("port", 500.0)),
        (0, sounded("day-tank", 100.0)),
        (2, taken("port", 300.0)),
        (3, moved(150.0)),
        (9, burnt(200.0)),
        (9, sounded("port", 648.0)),
        (9, sounded("day-tank", 48.0)),
    ];
    let ledger = ledger(&told(TANKS), &books, 10);
    let [all] = ledger.balance.all.as_slice() else { panic!("one stretch: {:?}", ledger.balance.all) };
    // 600 + 300 − 696 = 204 drawn, 200 burnt by the meter.
    assert!((all.drawn.value - 0.204).abs() < 1e-9 && all.moved.value == 0.0);
    assert_eq!(all.burnt.map(|(_, by)| by), Some(By::Meter));
    let missing = all.unaccounted().expect("metered");
    assert!((missing.value - 0.004).abs() < 1e-9);
    // Four soundings within 4 L, and a meter within 2 %: √(4·4² + 4²) = 8.94 L.
    assert!((missing.band() / LITRE - 80f64.sqrt()).abs() < 1e-6, "{}", missing.band());
    let (name, port) = &ledger.balance.tanks[0];
    assert_eq!(name, "port");
    assert!((port[0].drawn.value - 0.002).abs() < 1e-9, "500 + 300 − 150 − 648");
    assert!((port[0].moved.value + 0.150).abs() < 1e-9 && port[0].burnt.is_none(), "the meter is not its own");
    assert_eq!(ledger.odd, []);
}

#[test]
fn without_a_meter_the_rate_told_says_what_was_burnt_and_without_that_what_is_usual() {
    let round = |day: i64, meter: f64, port: f64| {
        [(day, hours(meter)), (day, sounded("port", port)), (day, sounded("day-tank", 100.0))]
    };
    let mut books: Vec<(i64, Posting)> = Vec::new();
    // 10 L/h, up to a litre; in the last stretch 60 L more are gone.
    for (k, gone) in (0_i32..).zip([0.0, 101.0, 199.0, 301.0, 400.0, 560.0]) {
        books.extend(round(10 * i64::from(k), 10.0 * f64::from(k), 900.0 - gone));
    }
    let usual = ledger(&told(TANKS), &books, 60);
    let last = usual.balance.all.last().expect("five stretches");
    let (burnt, by) = last.burnt.expect("usual");
    assert_eq!(by, By::Usual);
    assert!((burnt.value / LITRE - 100.0).abs() < 0.5);
    let missing = last.unaccounted().expect("usual");
    assert!((missing.value / LITRE - 60.0).abs() < 0.5 && missing.low() > 0.0, "{missing:?}");
    assert_eq!(usual.balance.all[0].burnt, None, "nothing is usual yet");
    let rated = ledger(&told(&format!("{TANKS}[burn.main]\nrate = \"10 L/h\"\nwithin = \"0.5 L/h\"\n")), &books, 60);
    assert_eq!(rated.balance.all[0].burnt.map(|(_, by)| by), Some(By::Rate));
    assert!((rated.burn.expect("50 h").value / LITRE - 11.2).abs() < 1e-9, "by the soundings, all of it");
    // Sixty litres of a hundred and sixty are missing for certain: it speaks of leaks.
    let made = rated.evidence(&plant());
    let check = |check: usize| plant()[plant().part("day-tank").expect("there")].kind.checks[check].name;
    assert!(made.iter().any(|made| check(made.check) == "fuel_balance" && made.found == Found::Something), "{made:?}");
}

#[test]
fn oil_and_coolant_are_told_in_a_hundred_hours_and_as_a_share_of_the_fuel() {
    let mut books = vec![(0, hours(0.0)), (0, sounded("day-tank", 200.0)), (0, added("sump", 5.0))];
    for k in 1..=5_i64 {
        let day = 20 * k;
        books.extend([(day, hours(50.0 * k as f64)), (day, added("sump", 1.0))]);
    }
    books.insert(1, (0, burnt(0.0)));
    books.push((100, burnt(2_500.0)));
    books.push((100, sounded("day-tank", 200.0)));
    books.push((99, taken("day-tank", 2_500.0)));
    books.sort_by_key(|(day, _)| *day);
    let ledger = ledger(&told(TANKS), &books, 101);
    let sump = &ledger.topping[0];
    // The five litres at the beginning fill it to the mark; then 5 L in 250 h.
    assert!((sump.rate.value * 100.0 / LITRE - 2.0).abs() < 1e-9, "{sump:?}");
    let share = ledger.oil_for_fuel(sump).expect("burnt is known");
    assert!((share.value - 0.002).abs() < 1e-5, "5 L of 2500 L: {share:?}");
    let evidence = ledger.told(&plant());
    assert!(
        evidence.iter().any(|told| told.made.found == Found::Clean && told.because.contains("0.20 %")),
        "{evidence:?}"
    );
    // A year later nobody knows.
    assert_eq!(self::ledger(&told(TANKS), &books, 466).evidence(&plant()), []);
}

#[test]
fn a_change_of_oil_is_no_consumption() {
    let books = [
        (0, hours(0.0)),
        (0, added("sump", 1.0)),
        (10, hours(100.0)),
        (10, added("sump", 1.0)),
        (20, hours(150.0)),
        (20, Posting::Renewed { part: "sump".into(), volume: 16.0 * LITRE }),
        (30, hours(250.0)),
        (30, added("sump", 1.0)),
    ];
    let ledger = ledger(&told(TANKS), &books, 31);
    assert!((ledger.topping[0].rate.value * 100.0 / LITRE - 1.0).abs() < 1e-9, "2 L in 200 h: {:?}", ledger.topping);
}

#[test]
fn what_cannot_be_is_told_and_kept() {
    let books = [
        (0, sounded("port", 1_500.0)),
        (1, sounded("sternboard", 10.0)),
        (2, added("sump", -1.0)),
        (3, hours(100.0)),
        (4, hours(90.0)),
        (5, hours(110.0)),
        (6, hours(900.0)),
        (7, hours(115.0)),
        (90, added("sump", 1.0)),
        (8, added("sump", f64::NAN)),
    ];
    let ledger = ledger(&told(TANKS), &books, 10);
    assert_eq!(ledger.diary.entries.len(), 10);
    let has = |of: &dyn Fn(&What) -> bool| ledger.odd.iter().filter(|odd| of(&odd.what)).count();
    assert_eq!(has(&|what| matches!(what, What::Overfull { .. })), 1);
    assert_eq!(has(&|what| *what == What::Nameless("sternboard".into())), 1);
    assert_eq!(has(&|what| *what == What::Below), 2);
    assert_eq!(has(&|what| matches!(what, What::Hours(..))), 2);
    assert_eq!(has(&|what| *what == What::Ahead), 1);
    assert_eq!(ledger.hours["main"].readings().len(), 3);
}

#[test]
fn nothing_written_down_says_nothing() {
    let ledger = ledger(&told(""), &[], 10);
    assert_eq!(ledger.evidence(&plant()), []);
    assert!(ledger.balance.all.is_empty() && ledger.topping.is_empty() && ledger.burn.is_none());
}

#[test]
fn soundings_by_depth_go_by_the_tanks_table() {
    // A horizontal cylinder, rows tank.cyl.* of reference/check-values.toml, as the table of a tank of 1.5 m by 0.6 m.
    let rows = "[[\"0 m\", \"0 L\"], [\"0.06 m\", \"22.07 L\"], [\"0.15 m\", \"82.91 L\"], [\"0.3 m\", \"212.06 L\"], \
                [\"0.48 m\", \"363.73 L\"], [\"0.6 m\", \"424.12 L\"]]";
    let told = told(&format!("[tank.aft]\nvolume = \"424 L\"\nsounding = {rows}\n"));
    let tank = told.tank("Aft").expect("told");
    for (depth, litres) in [("6 cm", 22.07), ("30 cm", 212.06), ("0.6 m", 424.12), ("22.5 cm", 147.485)] {
        assert!((tank.holds(depth).expect("in the table") / LITRE - litres).abs() < 1e-6, "{depth}");
    }
    // Row tank.cyl.half_litres: 100 L stand at 0.1714 m; straight between rows of 0.15 and 0.3 m it is 102 L.
    assert!((tank.holds("0.17144 m").expect("in it") / LITRE - 100.0).abs() < 2.0);
    assert!((tank.holds("50 %").expect("volume is told") / LITRE - 212.0).abs() < 1e-9);
    assert!(tank.holds("61 cm").expect_err("over it").contains("goes from"));
    assert!(tank.holds("3 bar").is_err());
    assert!(told.tank("day-tank").expect("a part").holds("30 cm").expect_err("no table").contains("sounding ="));
}

#[test]
fn mistakes_about_tanks_are_found_all_at_once() {
    let text = "[tank.port]\nvolume = \"3 bar\"\nsounding = [[\"0 cm\", \"0 L\"]]\ncolour = \"red\"\n[burn.mian]\nrate = \"9 L/h\"\n\
                [burn.main]\nwithin = \"1 L/h\"\n[tank.other]\nvolume = \"-1 L\"\n";
    let (_, findings) = told::read(text, &plant());
    let all: Vec<String> = findings.iter().map(|finding| finding.problem.to_string()).collect();
    for wrong in ["bar", "two rows", "colour", "mian", "`rate`", "-1 L"] {
        assert!(all.iter().any(|line| line.contains(wrong)), "{wrong}: {all:#?}");
    }
}
