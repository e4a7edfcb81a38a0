//! What a passage needs, against small cases worked out whole.

mod common;

use common::{TODAY, aboard, plant, stores};
use plant::evidence::Named;
use spares::need::USUAL_SHORT;
use spares::{Goal, ItemId, Need, Passage, Told, Wanted, need, order};

const PASSAGE: Passage = Passage { hours: 346.0, days: 15.0, departs: TODAY + 10 };

/// Impellers and belts that wear out often, told by the owner: 2 and 3 in 1000 h.
const RATES: &str = "[rates]\n\"raw-pump.worn\" = \"2 per 1000 h\"\n\"raw-pump.vanes_lost\" = \"1 per 1000 h\"\n\
    \"belt-raw.lost\" = \"3 per 1000 h\"\n";
const ITEMS: &str = "[item.impeller]\nweight = \"120 g\"\ncost = 38\nfits = \"raw-pump.impeller\"\n\
    [item.belt]\nweight = \"400 g\"\ncost = 15\nfits = \"belt-raw.belt\"\n\
    [item.pump]\nweight = \"6 kg\"\ncost = 450\nfits = \"lift-pump.lift-pump\"\n";

fn of(text: &str, planned: &[Wanted], goal: Goal, short: f64) -> (spares::Stores, Need) {
    let stores = stores(text);
    let need = need(&plant(RATES), &stores, &aboard(&stores), &PASSAGE, planned, goal, short);
    (stores, need)
}

fn wanted(item: &str, amount: f64, task: &str) -> Wanted {
    Wanted { told: Told { item: item.into(), amount, counted: None }, task: task.into() }
}

/// The line of an item.
fn line<'a>(stores: &spares::Stores, need: &'a Need, item: &str) -> &'a spares::need::Line {
    let id = stores.items.iter().position(|it| it.name == item).map(ItemId).expect("an item");
    need.lines.iter().find(|line| line.items.contains(&id)).expect("a line")
}

#[test]
fn it_is_the_least_of_all_lists_that_keep_the_chance() {
    for goal in [Goal::Weight, Goal::Cost] {
        for short in [0.3, 0.1, USUAL_SHORT, 0.01, 0.001] {
            let (stores, need) = of(ITEMS, &[], goal, short);
            assert!(need.short_then <= short && need.short_now > need.short_then, "{need:?}");
            // Every list of up to nineteen of each, with the chances as scipy-held counts give them.
            let (uses, _) = spares::uses::uses(&plant(RATES), &stores, &PASSAGE, &[]);
            let enough = |item: usize, stock: usize| -> f64 {
                let mut all = vec![1.0];
                for it in uses.iter().filter(|it| it.takes.iter().any(|(id, _)| id.0 == item)) {
                    let chances = it.count.chances();
                    let mut next = vec![0.0; all.len() + chances.len()];
                    for (a, p) in all.iter().enumerate() {
                        for (b, q) in chances.iter().enumerate() {
                            next[a + b] += p * q;
                        }
                    }
                    all = next;
                }
                all.iter().take(stock + 1).sum()
            };
            let price = |id: usize| if goal == Goal::Cost { stores.items[id].cost } else { stores.items[id].weight };
            let chances: Vec<Vec<f64>> =
                (0..3).map(|item| (0..20).map(|stock| enough(item, stock)).collect()).collect();
            let mut least = f64::INFINITY;
            for list in (0..20 * 20 * 20).map(|n| [n % 20, n / 20 % 20, n / 400]) {
                let chance: f64 = (0..3).map(|id| chances[id][list[id]]).product();
                if chance >= 1.0 - short {
                    least = least.min((0..3).map(|id| price(id).expect("told") * list[id] as f64).sum());
                }
            }
            assert!((need.price - least).abs() < 1e-9, "{goal:?} {short}: {} instead of {least}", need.price);
            assert!((need.at_least - need.price).abs() < 1e-9, "proved");
        }
    }
}

#[test]
fn planned_work_is_carried_whatever_may_fail() {
    // Oil, element and impeller fall due at sea: one change of each is carried, though nothing is ever likely to fail so often.
    let text = "[item.filter]\n[item.element]\naboard = 1\n[item.impeller]\n[item.oil]\naboard = \"4 L\"\npack = \"5 L\"\nper-use = \"16 L\"\n";
    let planned = [
        wanted("filter", 1.0, "oil"),
        wanted("oil", 1.0, "oil"),
        wanted("element", 1.0, "primary"),
        wanted("impeller", 1.0, "raw-impeller"),
        wanted("impelller", 1.0, "raw-impeller"),
    ];
    let (stores, need) = of(text, &planned, Goal::Weight, USUAL_SHORT);
    for (item, needed, packs, short) in
        [("filter", 1.0, 1.0, 1.0), ("element", 1.0, 0.0, 0.0), ("impeller", 1.0, 1.0, 1.0), ("oil", 0.016, 3.0, 1.0)]
    {
        let line = line(&stores, &need, item);
        assert!((line.needed() - needed).abs() < 1e-12, "{line:?}");
        assert_eq!((line.packs, line.short_now, line.short_then), (packs, short, 0.0), "{item}");
    }
    assert_eq!((need.short_now, need.short_then), (1.0, 0.0));
    assert_eq!(need.strangers, [wanted("impelller", 1.0, "raw-impeller")]);
    assert_eq!(line(&stores, &need, "oil").tasks, [("oil".to_string(), 0.016)]);
}

#[test]
fn what_serves_several_uses_is_counted_once_and_what_serves_as_well_is_pooled() {
    let one = "[item.impeller]\nnumber = \"RP 204\"\naboard = 1\nfits = \"raw-pump.impeller\"\n";
    let two = format!("{one}[item.other]\nequivalents = [\"rp-204\"]\naboard = 2\n");
    let (stores, need) = of(&two, &[], Goal::Weight, USUAL_SHORT);
    assert_eq!(need.lines.len(), 1);
    assert_eq!(line(&stores, &need, "impeller").aboard, 3.0);
    // Worn and vanes lost are both put right by it: 3 in 1000 h together, and the belief's mean is above its middle.
    let failures = need.lines[0].failures;
    assert!((3.0 * 0.346..5.0 * 0.346).contains(&failures), "{failures}");
}

#[test]
fn a_kit_runs_short_by_what_there_is_least_of_and_is_one_risk() {
    let kit = |impellers: f64, gaskets: f64| {
        let text = format!(
            "[item.impeller]\naboard = {impellers}\n[item.gasket]\naboard = {gaskets}\n[item.puller]\ntool = true\naboard = 1\n\
             [kit.k]\ncontents = {{ impeller = 1, gasket = 1, puller = 1 }}\nfits = \"raw-pump.impeller\"\n"
        );
        of(&text, &[], Goal::Weight, USUAL_SHORT).1
    };
    let alone = of("[item.impeller]\naboard = 2\nfits = \"raw-pump.impeller\"\n", &[], Goal::Weight, USUAL_SHORT).1;
    assert!((kit(2.0, 9.0).short_now - alone.short_now).abs() < 1e-12, "the gaskets are no risk of their own");
    assert!((kit(9.0, 2.0).short_now - alone.short_now).abs() < 1e-12);
    let need = kit(0.0, 9.0);
    assert_eq!(need.lines[2].packs, 0.0, "the puller is aboard and serves every time");
    assert!(need.lines[0].packs >= 2.0 && need.lines[1].packs == 0.0, "{need:?}");
    // One puller serves the planned work and what may fail.
    let text = "[item.impeller]\n[item.puller]\ntool = true\naboard = 1\n\
        [kit.k]\ncontents = { impeller = 1, puller = 1 }\nfits = \"raw-pump.impeller\"\n";
    let (stores, need) = of(text, &[wanted("raw-pump.impeller", 2.0, "impeller")], Goal::Weight, USUAL_SHORT);
    let puller = line(&stores, &need, "puller");
    assert_eq!((puller.planned, puller.needed(), puller.packs, puller.short_now), (1.0, 1.0, 0.0, 0.0));
}

#[test]
fn what_fits_a_word_is_taken_before_what_fits_the_whole() {
    let text = "[item.impeller]\nfits = \"raw-pump.impeller\"\n[item.pump]\nfits = \"raw-pump\"\n";
    let (stores, need) = of(text, &[], Goal::Weight, USUAL_SHORT);
    let names = |item: &str| -> Vec<&str> {
        line(&stores, &need, item).puts_right.iter().map(|(_, cause)| cause.name).collect()
    };
    assert_eq!(names("impeller"), ["vanes_lost", "worn"]);
    assert!(!names("pump").contains(&"worn") && !names("pump").is_empty(), "{:?}", names("pump"));
}

#[test]
fn each_rate_is_counted_by_what_drives_it() {
    let plant = plant("");
    let longer = Passage { hours: 692.0, ..PASSAGE };
    let slower = Passage { days: 30.0, ..PASSAGE };
    let mut seen = [0; 4];
    for (of, cause) in spares::uses::curable(&plant) {
        let rate = plant.rate(of, cause).expect("a rate");
        let mean = |passage: &Passage, jobs: f64| spares::uses::count(&rate, passage, jobs).mean;
        let base = mean(&PASSAGE, 1.0);
        let (hours, days, jobs) = (mean(&longer, 1.0) / base, mean(&slower, 1.0) / base, mean(&PASSAGE, 2.0) / base);
        let twice = |of: f64| (of - 2.0).abs() < 1e-9;
        let (place, as_it_should) = match rate.basis {
            parts::rates::Basis::RunningHour => (0, twice(hours) && days == 1.0 && jobs == 1.0),
            parts::rates::Basis::Calendar => (1, twice(days) && hours == 1.0 && jobs == 1.0),
            parts::rates::Basis::Event => (2, hours == 1.0 && days == 1.0 && (jobs == 1.0 || twice(jobs))),
            parts::rates::Basis::Prevalence => (3, base == 0.0),
        };
        assert!(as_it_should, "{}: {hours} {days} {jobs}", rate.key);
        seen[place] += 1;
    }
    assert!(seen[0] > 5 && seen[1] > 0, "{seen:?}");
}

#[test]
fn two_like_parts_share_one_belief_and_one_item() {
    let twins = "[vessel]\nname = \"x\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
        [part.belt-a]\nkind = \"belt\"\n[part.belt-b]\nkind = \"belt\"\n[part.alternator]\nkind = \"alternator\"\ndriven-by = \"belt-b\"\n\
        [part.raw-pump]\nkind = \"raw-pump\"\ndriven-by = \"belt-a\"\n\
        [circuit]\nraw-water = [\"seacock\", \"strainer\", \"raw-pump\", \"exchanger\", \"elbow\"]\n";
    let (plant, findings) = plant::reader::read(twins);
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    let of = |text: &str| {
        let (stores, findings) = spares::read(text, &plant);
        assert!(findings.is_empty(), "{findings:?}");
        spares::uses::uses(&plant, &stores, &PASSAGE, &[]).0
    };
    let (one, both) =
        (of("[item.b]\nfits = \"belt-a.lost\"\n"), of("[item.b]\nfits = [\"belt-a.lost\", \"belt-b.lost\"]\n"));
    assert_eq!((one.len(), both.len(), both[0].of.len()), (1, 1, 2));
    assert!((both[0].count.mean / one[0].count.mean - 2.0).abs() < 1e-9);
    assert_eq!(both[0].count.shape, one[0].count.shape, "the belief is one");
}

#[test]
fn what_no_spare_cures_is_told_the_likeliest_first() {
    let (_, need) = of(ITEMS, &[], Goal::Weight, USUAL_SHORT);
    assert!(need.uncured.windows(2).all(|two| two[0].chance >= two[1].chance) && need.uncured.len() > 5);
    let pump = Named::Part(plant("").part("raw-pump").expect("a pump"));
    assert!(!need.uncured.iter().any(|it| it.of == pump && it.cause.name == "worn"), "impellers are there");
}

#[test]
fn what_is_past_its_day_before_landfall_does_not_count() {
    let text = "[item.impeller]\naboard = 3\nby = 2026-12-10\nfits = \"raw-pump.impeller\"\n";
    let (_, need) = of(text, &[], Goal::Weight, USUAL_SHORT);
    assert_eq!((need.lines[0].aboard, need.lines[0].going_off), (0.0, 3.0));
    assert!(need.lines[0].packs > 0.0);
}

#[test]
fn the_order_sheet_has_what_is_below_and_what_the_passage_wants() {
    let text = "[item.impeller]\nsupplier = \"B\"\nlead = \"20 days\"\ncost = 38\nfits = \"raw-pump.impeller\"\n\
        [item.belt]\nsupplier = \"A\"\nlead = 3\nkeep = 2\naboard = 1\ncost = 15\n[item.rag]\nkeep = 10\n[item.wire]\naboard = 3\nkeep = 1\n";
    let (stores, need) = of(text, &[], Goal::Weight, USUAL_SHORT);
    let sheet = order::order(&stores, &aboard(&stores), TODAY, Some((&need, PASSAGE.departs)));
    let names: Vec<Option<&str>> = sheet.suppliers.iter().map(|it| it.name.as_deref()).collect();
    assert_eq!(names, [Some("A"), Some("B"), None]);
    let belt = &sheet.suppliers[0].lines[0];
    assert_eq!((belt.packs, belt.below, belt.for_passage, belt.too_late), (1.0, Some((1.0, 2.0)), false, false));
    let impeller = &sheet.suppliers[1].lines[0];
    assert!(impeller.too_late && impeller.for_passage && impeller.comes == Some(TODAY + 20), "{impeller:?}");
    assert_eq!((sheet.unpriced, sheet.cost), (1, 15.0 + 38.0 * impeller.packs));
    assert_eq!(sheet.suppliers[2].lines[0].packs, 10.0);
    let daily = order::order(&stores, &aboard(&stores), TODAY, None);
    assert_eq!(daily.suppliers.iter().map(|it| it.lines.len()).sum::<usize>(), 2, "belts and rags");
}

#[test]
fn absurd_stores_are_answered_all_the_same() {
    let long = Passage { hours: 20_000.0, days: 900.0, departs: TODAY };
    let mut text = ITEMS.to_string();
    for n in 0..30 {
        let (aboard, each) = (n, n + 11);
        let item = format!("aboard = \"{aboard}.37 m\"\nper-use = \"0.{each}1 m\"\nfits = \"raw-pump.impeller\"\n");
        text.extend([format!("[item.x{n}]\n"), item]);
    }
    let stores = stores(&text);
    let need = need(&plant(RATES), &stores, &aboard(&stores), &long, &[], Goal::Volume, 1e-9);
    assert!(need.short_then <= need.allowed && need.allowed >= 1e-4, "{} {}", need.short_then, need.allowed);
}
