//! Items, kits and what is aboard of them.

mod common;

use common::{DAY, TODAY, aboard, faults, moved, stores};
use plant::evidence::Named;
use plant::finding::Problem;
use spares::amount::Counted;
use spares::{ItemId, Move, Movement, Taken, Told, stock};

const IMPELLER: &str = r#"
[item.impeller]
what = "Impeller, 8 vanes"
number = "RP-204"
equivalents = ["204-B", "N 204"]
supplier = "Chandler"
lead = "2 weeks"
stowed = "locker 3"
aboard = 2
keep = 2
shelf-life = "36 months"
bought = 2025-03-01
weight = "120 g"
cost = "38 EUR"
volume = "0.2 L"
[item.gasket]
aboard = 4
[item.puller]
tool = true
aboard = 1
[item.oil]
aboard = "14 L"
pack = "5 L"
[kit.impeller-kit]
contents = { impeller = 1, gasket = 1, puller = 1 }
fits = "raw-pump.impeller"
"#;

fn movement(item: &str, what: Move) -> Movement {
    Movement { item: item.into(), counted_in: None, what, note: None }
}

#[test]
fn items_and_kits_are_read_with_their_units() {
    let plant = common::plant("");
    let stores = stores(IMPELLER);
    let impeller = &stores[ItemId(0)];
    assert_eq!((impeller.lead, impeller.aboard, impeller.counted), (Some(14.0), 2.0, Counted::Pieces));
    assert!(
        (impeller.weight.expect("told") - 0.12).abs() < 1e-12 && (impeller.volume.expect("told") - 2e-4).abs() < 1e-12
    );
    // 36 months after 2025-03-01 is 2028-02-29 by months of equal length.
    assert_eq!(impeller.good_until, Some(20_148 + 1_096));
    let oil = &stores[ItemId(3)];
    assert_eq!(
        (oil.counted, oil.counted.print(oil.aboard), oil.counted.print(oil.pack)),
        (Counted::Volume, "14 L".into(), "5 L".into())
    );
    let pump = Named::Part(plant.part("raw-pump").expect("a pump"));
    assert_eq!(stores.kits[0].fits, [(pump, "impeller".to_string())]);
    assert_eq!(stores.kits[0].contents, [(ItemId(0), 1.0), (ItemId(1), 1.0), (ItemId(2), 1.0)]);
}

#[test]
fn every_mistake_is_found_at_its_place() {
    let found = faults(
        "[item.a]\naborad = 2\nkeep = \"many\"\n[item.b]\naboard = \"3 L\"\nkeep = 2\n[item.c]\naboard = 1.5\ncost = \"cheap\"\nlead = \"soon\"\n\
         [item.d]\nfits = [\"raw-pmp.impeller\", \"raw-pump.wheels\"]\nweight = \"3 L\"\nbought = \"lately\"\ntool = 1\naboard = -2\n\
         [item.e]\naboard = \"2 m\"\nfits = \"raw-pump\"\n[item.f]\nnumber = \"7\"\n[item.g]\nequivalents = \"7\"\naboard = \"2 kg\"\n\
         [kit.k]\ncontents = { a = 1, bb = 1, b = 2 }\n[kit.empty]\nfits = \"raw-pump.impeller\"\n[kit.a]\ncontents = { a = 1 }\n",
    );
    let is = |at: usize, is: &dyn Fn(&Problem) -> bool| assert!(is(&found[at]), "{at}: {:?} of {found:?}", found[at]);
    is(0, &|it| matches!(it, Problem::UnknownKey { nearest: Some(near), .. } if near == "aboard"));
    is(1, &|it| matches!(it, Problem::WrongType { .. }));
    is(2, &|it| matches!(it, Problem::Unfit { what, .. } if what.contains("pieces")));
    is(3, &|it| matches!(it, Problem::WrongType { expected, .. } if expected.contains("whole")));
    is(4, &|it| matches!(it, Problem::WrongType { expected, .. } if expected.contains("euro")));
    is(5, &|it| matches!(it, Problem::WrongType { expected, .. } if expected.contains("days")));
    is(6, &|it| matches!(it, Problem::UnknownName { nearest: Some(near), .. } if near == "raw-pump"));
    is(7, &|it| matches!(it, Problem::UnknownRenewal { .. }));
    is(8, &|it| matches!(it, Problem::BadUnit { .. }));
    is(9, &|it| matches!(it, Problem::WrongType { expected, .. } if expected.contains("day")));
    is(10, &|it| matches!(it, Problem::WrongType { expected, .. } if expected.contains("true")));
    is(11, &|it| matches!(it, Problem::Unreasonable { .. }));
    is(12, &|it| matches!(it, Problem::MissingKey { key: "per-use", .. }));
    is(13, &|it| matches!(it, Problem::Unfit { what, .. } if what.contains("serves as well")));
    is(14, &|it| matches!(it, Problem::Unknown { sort: "item", .. }));
    is(15, &|it| matches!(it, Problem::Unfit { .. }));
    is(16, &|it| matches!(it, Problem::MissingKey { key: "contents", .. }));
    is(17, &|it| matches!(it, Problem::Unfit { what, .. } if what.contains("already")));
    assert_eq!(found.len(), 18, "{found:?}");
}

#[test]
fn what_is_aboard_is_the_texts_count_and_what_was_moved_since() {
    let stores = stores(IMPELLER);
    let of = |name: &str| stores.items.iter().position(|item| item.name == name).map(ItemId).expect("an item");
    let day = |days: i64| (TODAY + days) * DAY;
    let mut poured = movement("oil", Move::Discarded(0.004));
    poured.counted_in = Some(Counted::Volume);
    let stock = moved(
        &stores,
        &[
            (day(-9), movement("impeller", Move::Used(1.0))),
            (day(-8), movement("impeller", Move::Received { amount: 3.0, good_until: None })),
            (day(-7), movement("impeller-kit", Move::Used(2.0))),
            (day(-6), movement("gasket", Move::Counted(5.0))),
            (day(-5), poured),
            (day(-4), movement("gasket", Move::Stowed("drawer 2".into()))),
        ],
    );
    assert_eq!(stock.amount(of("impeller")), 2.0, "2 − 1 + 3 − 2");
    assert_eq!(stock.amount(of("gasket")), 5.0, "counted");
    assert_eq!(stock.amount(of("puller")), 1.0, "a tool comes back");
    assert!((stock.amount(of("oil")) - 0.01).abs() < 1e-9);
    assert_eq!(stock.held[of("gasket").0].stowed.as_deref(), Some("drawer 2"));
    assert_eq!(stock.held[of("impeller").0].stowed.as_deref(), Some("locker 3"));
    assert_eq!(stock.notices, []);
    // What goes off first is used first: of those received 36 months last.
    assert_eq!(stock.held[of("impeller").0].lots.len(), 1);
    assert_eq!(stock.good_on(of("impeller"), TODAY - 8 + 1_095), 2.0);
    assert_eq!(stock.good_on(of("impeller"), TODAY - 8 + 1_100), 0.0);
    assert_eq!(stock.kits_on(&stores, &stores.kits[0], TODAY), 2.0);
}

#[test]
fn a_count_of_the_text_with_its_day_holds_what_was_moved_before() {
    let text = IMPELLER.replace("aboard = 2", "aboard = 2\ncounted = 2026-11-20");
    let stores = stores(&text);
    let before = (TODAY - 20) * DAY;
    let after = (TODAY - 1) * DAY;
    let used = || movement("impeller", Move::Used(1.0));
    assert_eq!(moved(&stores, &[(before, used())]).amount(ItemId(0)), 2.0);
    assert_eq!(moved(&stores, &[(after, used())]).amount(ItemId(0)), 1.0);
}

#[test]
fn more_used_than_was_there_is_told_and_leaves_nothing() {
    let stores = stores(IMPELLER);
    let told = Told { item: "impeller".into(), amount: 3.0, counted: None };
    let taken = Taken { time: TODAY * DAY, told, by: "raw-impeller".into() };
    let stock = stock(&common::plant(""), &stores, &diary::Diary::default(), &[taken]);
    assert_eq!(stock.amount(ItemId(0)), 0.0);
    let told = &stock.notices[0].what;
    assert!(
        told.contains("3 of `impeller` used for raw-impeller on 2026-11-26") && told.contains("only 2 aboard"),
        "{told}"
    );
    // Ten years of it are one line, and a count ends it.
    let each = |day: i64| ((TODAY - 10 + day) * DAY, movement("impeller", Move::Used(1.0)));
    let often: Vec<_> = (0..7).map(each).collect();
    let told = moved(&stores, &often).notices;
    assert_eq!((told.len(), told[0].before), (1, 4), "{told:?}");
    assert!(told[0].said().ends_with("(and 4 times before)"), "{told:?}");
    let counted = [often, vec![(TODAY * DAY, movement("impeller", Move::Counted(3.0)))]].concat();
    assert_eq!(moved(&stores, &counted).notices, []);
    let strange = moved(&stores, &[(0, movement("impelller", Move::Used(1.0)))]);
    assert!(strange.notices[0].what.contains("was `impeller` meant?"), "{:?}", strange.notices);
    let mut litres = movement("impeller", Move::Counted(0.002));
    litres.counted_in = Some(Counted::Volume);
    let other = moved(&stores, &[(0, litres)]);
    assert_eq!((other.amount(ItemId(0)), other.notices.len()), (2.0, 1));
}

#[test]
fn movements_are_kept_as_they_are_documented() {
    let body = |what: Move| serde_json::to_string(&movement("a", what)).expect("JSON");
    assert_eq!(body(Move::Counted(2.0)), r#"{"item":"a","what":{"counted":2.0}}"#);
    let received = Move::Received { amount: 2.0, good_until: Some(20_783) };
    assert_eq!(body(received), r#"{"item":"a","what":{"received":{"amount":2.0,"good_until":20783}}}"#);
    assert_eq!(body(Move::Stowed("bin".into())), r#"{"item":"a","what":{"stowed":"bin"}}"#);
}

#[test]
fn what_is_aboard_tells_what_can_be_renewed() {
    let stores = stores(IMPELLER);
    let fits = aboard(&stores).spares(&stores, TODAY);
    assert_eq!(fits.iter().map(|(_, what)| what.as_str()).collect::<Vec<_>>(), ["impeller"]);
    assert!(aboard(&stores).spares(&stores, TODAY + 5_000).is_empty(), "past their day");
}

#[test]
fn what_a_task_says_it_uses_is_found_by_part_and_word() {
    let plant = common::plant("");
    let text = format!("{IMPELLER}[item.coupling-belt]\nfits = \"belt-raw\"\n[item.grease]\naboard = \"1 L\"\n");
    let stores = stores(&text);
    let apart = |item: &str, amount: f64, counted: Option<Counted>| {
        let told = Told { item: item.into(), amount, counted };
        let apart = stores.taken_apart(&plant, &told)?;
        Some(apart.iter().map(|(id, amount)| (stores[*id].name.clone(), *amount)).collect::<Vec<_>>())
    };
    let named =
        |list: &[(&str, f64)]| Some(list.iter().map(|(name, amount)| (name.to_string(), *amount)).collect::<Vec<_>>());
    assert_eq!(apart("raw-pump.impeller", 1.0, None), named(&[("impeller", 1.0), ("gasket", 1.0), ("puller", 1.0)]));
    assert_eq!(apart("raw-pump.cover gasket", 2.0, None), named(&[("gasket", 2.0)]), "it is in the kit of that part");
    assert_eq!(apart("belt-raw.belt", 1.0, None), named(&[("coupling-belt", 1.0)]));
    assert_eq!(apart("raw-pump.wear plate", 1.0, None), None);
    assert_eq!(
        apart("raw-pump.coupling belt", 1.0, None),
        named(&[("coupling-belt", 1.0)]),
        "by its name, wherever it fits"
    );
    assert_eq!(apart("grease", 0.001, Some(Counted::Volume)), named(&[("grease", 0.001)]));
    assert_eq!(apart("grease", 1.0, None), None, "nobody knows how much one job takes");
    assert_eq!(apart("grease", 1.0, Some(Counted::Mass)), None);
}

#[test]
fn an_item_may_fit_what_a_service_task_uses() {
    let plant = common::plant("");
    let pump = Named::Part(plant.part("raw-pump").expect("a pump"));
    let text = "[item.g]\nfits = \"raw-pump.cover gasket\"\n";
    assert!(matches!(&faults(text)[..], [Problem::UnknownRenewal { .. }]));
    let used = [(pump, "cover gasket".to_string())];
    let (stores, findings) = spares::read_beside(text, &plant, &used, spares::Stores::default());
    assert_eq!((findings.len(), &stores.items[0].fits), (0, &vec![(pump, "cover-gasket".to_string())]));
}
