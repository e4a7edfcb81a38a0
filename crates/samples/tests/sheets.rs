//! Sheets of a laboratory, from the text an owner copies to what follows.

use diary::{Diary, Entry, Key};
use parts::kind::Circuit;
use plant::evidence::Found;
use plant::plant::Plant;
use samples::origin::{Origin, origin};
use samples::reading::read;
use samples::{Analyte, Limits, Results, Sample, Source, Standing, Toppings};

const DAY: i64 = 86_400_000;

fn plant() -> Plant {
    plant::reader::read(include_str!("../../../vessels/marram/vessel.toml")).0.expect("the example is sound")
}

fn sample(text: &str) -> Sample {
    let text = format!("[[sample]]\nnumber = \"1\"\n{text}");
    let (told, findings) = read(&text, &plant());
    assert!(findings.is_empty(), "{findings:?}");
    told.into_iter().next().expect("one sample").sample
}

/// A sound engine's oil after 150 h, all that a sheet has; further lines stand in the place of the same here.
fn oil(other: &[(&str, &str)]) -> Sample {
    let sheet = [
        ("of", "\"sump\""),
        ("grade", "\"15W-40\""),
        ("hours-on-fill", "150"),
        ("iron", "22"),
        ("copper", "6"),
        ("lead", "3"),
        ("aluminium", "3"),
        ("chromium", "2"),
        ("tin", "\"< 1 ppm\""),
        ("silicon", "6"),
        ("sodium", "6"),
        ("potassium", "2"),
        ("magnesium", "40"),
        ("boron", "15"),
        ("fuel", "\"0.5 %\""),
        ("water", "\"< 0.05 %\""),
        ("glycol", "\"< 0.01 %\""),
        ("viscosity-100", "14.3"),
    ];
    let own = |key: &str| other.iter().find(|(of, _)| *of == key).map(|(_, value)| *value);
    let lines: Vec<String> =
        sheet.iter().map(|(key, value)| format!("{key} = {}", own(key).unwrap_or(value))).collect();
    let more: Vec<String> = other
        .iter()
        .filter(|(key, _)| !sheet.iter().any(|(of, _)| of == key))
        .map(|(key, value)| format!("{key} = {value}"))
        .collect();
    sample(&[lines, more].concat().join("\n"))
}

const SEA: &[(&str, &str)] =
    &[("sodium", "222"), ("magnesium", "66"), ("potassium", "10"), ("chloride", "400"), ("water", "\"0.2 %\"")];

fn odds(sample: &Sample) -> Origin {
    origin(sample, Circuit::Oil, None).expect("something was measured")
}

fn chance(origin: &Origin, source: Source) -> f64 {
    origin.of(source).expect("it can get in")
}

#[test]
fn nothing_is_found_in_a_sound_oil() {
    let origin = odds(&oil(&[]));
    assert!(origin.none > 0.8, "{origin:?}");
    let sum = origin.sources.iter().map(|(_, chance)| chance).fold(origin.none + origin.other, |sum, one| sum + one);
    assert!(sum >= 0.999, "alone, together, none and other are all there is: {origin:?}");
}

#[test]
fn each_source_is_told_by_what_it_brings() {
    // Sea water 2 %: sodium 216 ppm over, magnesium 26, chloride 387, of the Reference Composition; most of its water has boiled off.
    let sea = odds(&oil(SEA));
    assert!(chance(&sea, Source::SeaWater) > 0.8, "{sea:?}");
    // Coolant on potassium.
    let coolant = odds(&oil(&[("potassium", "90"), ("sodium", "25"), ("glycol", "\"0.15 %\""), ("silicon", "9")]));
    assert!(chance(&coolant, Source::Coolant) > 0.8, "{coolant:?}");
    // And on sodium, with boron, and less magnesium than so much of the salt of the sea would bring.
    let coolant =
        odds(&oil(&[("sodium", "160"), ("boron", "40"), ("potassium", "16"), ("silicon", "14"), ("magnesium", "6")]));
    assert!(chance(&coolant, Source::Coolant) > chance(&coolant, Source::SeaWater), "{coolant:?}");
    // Fuel thins it.
    let fuel = odds(&oil(&[("fuel", "\"5.5 %\""), ("viscosity-100", "11.6")]));
    assert!(chance(&fuel, Source::Fuel) > 0.9, "{fuel:?}");
    // Dust: silicon with a fifth of aluminium.
    let dirt = odds(&oil(&[("silicon", "55"), ("aluminium", "13"), ("iron", "70"), ("chromium", "4")]));
    assert!(chance(&dirt, Source::Dirt) > 0.8, "{dirt:?}");
    // Bearings.
    let bearings = odds(&oil(&[("lead", "45"), ("copper", "38"), ("tin", "7")]));
    assert!(chance(&bearings, Source::BearingWear) > 0.8, "{bearings:?}");
    // Rings and liners.
    let rings = odds(&oil(&[("iron", "150"), ("chromium", "11"), ("aluminium", "12")]));
    assert!(chance(&rings, Source::CylinderWear) > chance(&rings, Source::BearingWear), "{rings:?}");
}

#[test]
fn magnesium_alone_is_an_additive_and_sodium_without_it_is_no_sea_water() {
    let additive = odds(&oil(&[("magnesium", "900")]));
    assert!(chance(&additive, Source::SeaWater) < 0.05, "{additive:?}");
    let coolant = odds(&oil(&[("sodium", "200"), ("magnesium", "5"), ("chloride", "12")]));
    assert!(chance(&coolant, Source::SeaWater) < 0.05, "{coolant:?}");
}

#[test]
fn what_fits_no_source_is_something_else() {
    // Tin and vanadium of fifty times the usual, and nothing with them.
    let odd = odds(&oil(&[("tin", "60"), ("vanadium", "30")]));
    assert!(odd.other > 0.5, "{odd:?}");
}

#[test]
fn fresh_oil_tells_what_was_in_it_from_the_beginning() {
    // An oil on boron and magnesium: much of both is no coolant, where fresh oil has them too.
    let fresh =
        sample("of = \"sump\"\ngrade = \"15W-40\"\nhours-on-fill = 0\nboron = 110\nmagnesium = 800\nsodium = 5");
    let used = oil(&[("boron", "100"), ("magnesium", "790")]);
    let with = origin(&used, Circuit::Oil, Some(&fresh)).expect("measured");
    let without = odds(&used);
    assert!(chance(&with, Source::Coolant) <= chance(&without, Source::Coolant));
    assert!(with.none > 0.8, "{with:?}");
}

fn results(samples: &[(i64, Sample)], toppings: &Toppings, now: i64) -> Results {
    let entry = |(time, what): &(i64, Sample)| Entry {
        key: Key(format!("{time}")),
        time: *time,
        who: None,
        corrects: None,
        what: what.clone(),
    };
    let diary = Diary { entries: samples.iter().map(entry).collect(), struck: Vec::new(), unread: Vec::new() };
    Results::of(diary, &Limits::default(), toppings, &plant(), now)
}

#[test]
fn wear_is_reckoned_back_over_what_was_topped_up() {
    let with = |hours: f64, iron: f64, meter: f64| {
        let mut sample = oil(&[]);
        sample.hours_on_fill = Some(hours);
        sample.hours = Some(meter);
        sample.values.insert(Analyte::Iron, iron);
        sample
    };
    let rate =
        |results: &Results| results.judged[0].wear.iter().find(|metal| metal.of == Analyte::Iron).expect("iron").rate;
    // 16 L, 20 ppm in 200 h: 10 ppm in 100 h.
    let plain = results(&[(0, with(200.0, 20e-6, 1_000.0))], &Toppings::new(), DAY);
    assert!((rate(&plain) - 1e-7).abs() < 1e-15);
    // The same found, and 4 L topped up on the way: there was more.
    let toppings: Toppings =
        [("sump".to_string(), vec![(700.0, 3e-3), (850.0, 1e-3), (900.0, 2e-3), (950.0, 1e-3)])].into();
    let topped = results(&[(0, with(200.0, 20e-6, 1_000.0))], &toppings, DAY);
    // With an even make-up of 4 L it would be x/(1 − e⁻ˣ) with x = 4/16: 1.13 times; what was lost after the last is not known.
    let more = rate(&topped) / rate(&plain);
    assert!((1.05..1.13).contains(&more), "{more}");
    // What went in before this filling does not count.
    let before: Toppings = [("sump".to_string(), vec![(700.0, 3e-3)])].into();
    assert_eq!(rate(&results(&[(0, with(200.0, 20e-6, 1_000.0))], &before, DAY)), rate(&plain));
    // A limit of 100 ppm of iron is reached at 1000 h at this rate, and three samples give a band about it.
    let three: Vec<(i64, Sample)> = (0..4).map(|k| (k * DAY, with(200.0, 20e-6, 1_000.0 + 200.0 * k as f64))).collect();
    let all = results(&three, &Toppings::new(), 9 * DAY);
    let iron = all.ahead.iter().find(|ahead| ahead.of == Analyte::Iron).expect("iron");
    let [_, likely, _] = iron.reached;
    assert!((likely.expect("reached") - 1_000.0).abs() < 1.0, "{iron:?}");
    assert!(iron.trend.is_some_and(|trend| !trend.goes()), "it goes neither up nor down");
}

#[test]
fn limits_stand_as_they_are_printed_and_the_owners_come_first() {
    let standing = |results: &Results, analyte| {
        results.judged[0].standing.iter().find(|(of, _, _)| *of == analyte).map(|(_, standing, _)| *standing)
    };
    let high =
        results(&[(0, oil(&[("iron", "120"), ("fuel", "\"6 %\""), ("viscosity-100", "12")]))], &Toppings::new(), DAY);
    assert_eq!(standing(&high, Analyte::Iron), Some(Standing::Look));
    assert_eq!(standing(&high, Analyte::Fuel), Some(Standing::Act), "row smp.fuel.flash: action at 5 %");
    assert_eq!(standing(&high, Analyte::Viscosity100), Some(Standing::Look), "J300: SAE 40 has 12.5 mm²/s at least");
    let mut limits = Limits::default();
    assert_eq!(limits.read("[limit.sump]\niron = [\"150 ppm\", \"250 ppm\"]\n", &plant()), []);
    assert_eq!(limits.of("sump", Circuit::Oil, Analyte::Iron).map(|limit| limit.look), Some(150e-6));
    assert!(!limits.read("[limit.sumpf]\niron = \"1 kg\"\n[limit.sump]\nyron = 3\n", &plant()).is_empty());
}

#[test]
fn what_is_found_and_what_is_not_become_evidence_and_what_is_old_or_undecided_does_not() {
    let plant = plant();
    let sump = plant.part("sump").expect("described");
    let check = plant[sump].kind.checks.iter().position(|check| check.name == "oil_sample").expect("it has one");
    let finds = plant[sump].kind.checks[check].finds;
    let place = |cause: &str| finds.iter().position(|find| find.cause == cause).expect("it finds that");
    let each = |results: &Results| match results.evidence(&plant).first().map(|made| made.found.clone()) {
        Some(Found::Each(each)) => each,
        _ => Vec::new(),
    };
    let sea = oil(SEA);
    let found = each(&results(&[(0, sea.clone())], &Toppings::new(), DAY));
    assert!(found.contains(&(place("raw-pump/seals_pass_to_oil"), true)), "{found:?}");
    let clean = each(&results(&[(0, oil(&[]))], &Toppings::new(), DAY));
    assert!(clean.contains(&(place("diesel/fuel_in_oil"), false)), "{clean:?}");
    assert!(clean.iter().all(|(_, there)| !there));
    // Clean a year ago says nothing of today; found a year ago stands until another sample says otherwise.
    assert_eq!(each(&results(&[(0, oil(&[]))], &Toppings::new(), 365 * DAY)), []);
    assert!(!each(&results(&[(0, sea.clone())], &Toppings::new(), 365 * DAY)).is_empty());
    assert!(each(&results(&[(0, sea), (DAY, oil(&[]))], &Toppings::new(), 2 * DAY)).iter().all(|(_, there)| !there));
    // Iron alone tells nothing of fuel or salt.
    let little = sample("of = \"sump\"\nhours-on-fill = 100\niron = 20");
    let said = each(&results(&[(0, little)], &Toppings::new(), DAY));
    assert!(!said.iter().any(|(k, _)| finds[*k].power != "oil-lab-wear"), "{said:?}");
}

#[test]
fn fuel_and_coolant_and_gear_oil_have_their_own_sources() {
    let wet = sample("of = \"day-tank\"\nwater = \"900 ppm\"\nbacteria = 400000");
    let fuel = origin(&wet, Circuit::Fuel, None).expect("measured");
    assert!(fuel.none < 0.05 && chance(&fuel, Source::Growth) + chance(&fuel, Source::Water) > 0.8, "{fuel:?}");
    let salt = sample("of = \"header-tank\"\nchloride = 400\nmagnesium = 28\nsodium = 1700\nph = 7.9");
    let coolant = origin(&salt, Circuit::FreshWater, None).expect("measured");
    assert!(chance(&coolant, Source::SeaWater) > 0.9, "{coolant:?}");
    let gears = sample("of = \"gearbox\"\niron = 900\ncopper = 300");
    assert!(chance(&origin(&gears, Circuit::GearOil, None).expect("measured"), Source::GearWear) > 0.8);
}

#[test]
fn mistakes_on_a_sheet_are_found_all_at_once() {
    let text = "[[sample]]\nof = \"sunp\"\niron = \"21 bar\"\nyron = 3\nwater = \"140 %\"\nparticles = \"12/17\"\ncounts = [1, 2, 3]\n\
                hours-on-fill = -3\nadded = \"-2 L\"\n[[sample]]\nnumber = 7\n[other]\n";
    let (told, findings) = read(text, &plant());
    assert_eq!(told.len(), 0, "{told:?}");
    let all: Vec<String> = findings.iter().map(|finding| finding.problem.to_string()).collect();
    for wrong in ["sunp", "bar", "yron", "140 %", "12/17", "counts", "below nothing", "`of`", "other"] {
        assert!(all.iter().any(|line| line.contains(wrong)), "{wrong}: {all:#?}");
    }
    for text in ["", "[[sample]]", "sample = 3", "[[sample]]\nof = 3", "[[sample]]\nof = \"sump\"\niron = nan"] {
        assert!(!read(text, &plant()).1.is_empty(), "{text}");
    }
}

#[test]
fn a_gearbox_holds_gear_oil_though_it_belongs_to_the_drive() {
    let gears = sample("of = \"gearbox\"\niron = 900\ncopper = 300\nhours-on-fill = 300");
    let results = results(&[(0, gears)], &Toppings::new(), DAY);
    assert_eq!(results.judged[0].circuit, Circuit::GearOil);
    assert!(results.judged[0].origin.as_ref().is_some_and(|origin| chance(origin, Source::GearWear) > 0.8));
    let plant = plant();
    let made = results.evidence(&plant);
    let Some(Found::Each(each)) = made.first().map(|made| made.found.clone()) else { panic!("{made:?}") };
    let plant::evidence::Named::Part(part) = made[0].of else { panic!("a part") };
    let finds = plant[part].kind.checks[made[0].check].finds;
    assert!(each.iter().any(|(k, there)| finds[*k].cause == "internal" && *there), "{each:?}");
}
