//! The simulated world and the loop around it: what leaves it are readings, and they are not the model's own.

use diagnosis::hypothesis::{What, kind_of};
use live::world::World;
use live::{Event, Live, PACES};
use model::steady::Model;
use plant::evidence::{Found, Named};
use plant::plant::{GaugeId, Plant};
use std::sync::Arc;
use watch::recent::Reading;
use web::Order;

const MARRAM: &str = include_str!("../../../vessels/marram/vessel.toml");

fn plant() -> Plant {
    plant::reader::read(MARRAM).0.expect("the demonstration vessel loads")
}

fn world(seed: usize) -> World {
    World::new(Model::new(&plant()).expect("it has a structure"), seed).expect("she puts to sea")
}

fn cause(plant: &Plant, part: &str, cause: &str) -> What {
    let of = plant.part(part).map(Named::Part).or_else(|| plant.gauge(part).map(Named::Gauge)).expect("it is there");
    What::Cause(of, kind_of(plant, of).causes.iter().position(|c| c.name == cause).expect("it fails so"))
}

/// What one gauge showed.
fn of(readings: &[Reading], gauge: GaugeId) -> f64 {
    readings.iter().find(|reading| reading.gauge == gauge).expect("every gauge is read").value
}

#[test]
fn the_same_seed_is_the_same_vessel_and_another_is_another() {
    let (mut a, mut b, mut c) = (world(4), world(4), world(5));
    let (a, b, c) = (a.pass(30.0), b.pass(30.0), c.pass(30.0));
    assert_eq!(a, b);
    assert!(a.iter().zip(&c).filter(|(a, c)| a.value != c.value).count() > 15);
}

#[test]
fn gauges_flicker_as_described_about_something_that_no_vessel_file_tells() {
    let plant = plant();
    let mut model = Model::new(&plant).expect("it has a structure");
    let mut world = world(2);
    let rounds: Vec<Vec<Reading>> = (0..60).map(|_| world.pass(1.0)).collect();
    let point = model::point::told(&plant, &plant::evidence::ToldPoint::default()).0;
    let figures = model.figures.clone();
    let sound = model.solve(&figures, &point, None).expect("it has a state");
    let mut apart = 0;
    for gauge in plant.gauge_ids().filter(|g| plant[*g].trips.is_none()) {
        let shown: Vec<f64> = rounds.iter().map(|round| of(round, gauge)).collect();
        let mean = shown.iter().sum::<f64>() / shown.len() as f64;
        let sigma = (shown.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (shown.len() - 1) as f64).sqrt();
        let noise = plant[gauge].noise;
        // A gauge at the end of its scale flickers less; 60 readings tell a spread to a tenth, and draws from a
        // sequence fill it evenly.
        assert!(sigma < 1.5 * noise, "{} flickers by {sigma} and not by {noise}", plant[gauge].name);
        apart += usize::from((mean - model.read(&sound, plant[gauge].tap)).abs() > 3.0 * noise / 60f64.sqrt());
    }
    assert!(apart >= 14, "only {apart} of 18 gauges are off what the vessel file makes of them");
}

#[test]
fn a_fault_comes_about_shows_and_is_mended() {
    let plant = plant();
    let gauge = plant.gauge("raw-pressure").expect("it is there");
    let mut world = world(1);
    let sound = of(&world.pass(60.0), gauge);
    assert!(world.introduce(cause(&plant, "raw-pump", "worn"), 0.9));
    let first = of(&world.pass(5.0), gauge);
    let later = of(&world.pass(600.0), gauge);
    assert!(later < 0.7 * sound, "{later} of {sound}");
    assert!(first > later, "it is there at once: {first}, {later}");
    world.mend();
    let mended = of(&world.pass(900.0), gauge);
    assert!((mended - sound).abs() < 0.1 * sound, "{mended} and not {sound}");
}

#[test]
fn a_lying_gauge_lies_alone() {
    let plant = plant();
    let (lying, beside) =
        (plant.gauge("coolant").expect("it is there"), plant.gauge("coolant-helm").expect("it is there"));
    let mut world = world(1);
    let before = world.pass(60.0);
    world.introduce(cause(&plant, "coolant", "wire_grounded"), 1.0);
    let after = world.pass(60.0);
    assert!((of(&after, lying) - plant[lying].scale.1).abs() < 1e-6, "{}", of(&after, lying));
    assert!((of(&after, beside) - of(&before, beside)).abs() < 6.0 * plant[beside].noise);
}

#[test]
fn a_check_in_the_world_finds_what_is_there_and_seldom_what_is_not() {
    let plant = plant();
    let strainer = plant.part("strainer-port").map(Named::Part).expect("it is there");
    let kind = kind_of(&plant, strainer);
    let check = kind.checks.iter().position(|c| c.finds.iter().any(|f| f.cause == "blocked")).expect("one finds it");
    let mut world = world(1);
    let found = |world: &mut World| (0..40).filter(|_| world.check(strainer, check) != Found::Clean).count();
    assert!(found(&mut world) <= 4, "a clean strainer is found blocked");
    world.introduce(cause(&plant, "strainer-port", "blocked"), 0.9);
    assert!(found(&mut world) >= 30, "a blocked strainer is not found");
    assert_eq!(world.check(strainer, 999), Found::Clean);
}

#[test]
fn a_surprise_is_bad_enough_to_show_and_is_not_told() {
    let plant = Arc::new(plant());
    let mut live = Live::new(plant, 3).expect("she puts to sea");
    live.handle(Event::Order(Order::Surprise));
    let told = |live: &mut Live| live.scene().simulated.and_then(|simulated| simulated.wrong);
    let wrong = told(&mut live).expect("something is wrong");
    assert!(wrong.hidden && (0.0..=1.0).contains(&wrong.severity));
    live.handle(Event::Order(Order::Reveal));
    assert!(told(&mut live).is_some_and(|wrong| !wrong.hidden));
    live.handle(Event::Order(Order::Mend));
    assert_eq!(told(&mut live), None);
}

#[test]
fn absurd_orders_are_kept_in_bounds() {
    let plant = Arc::new(plant());
    let mut live = Live::new(plant.clone(), 1).expect("she puts to sea");
    let pace = |live: &mut Live| live.scene().simulated.expect("it is simulated").pace;
    for (asked, kept) in [(1e9, PACES.1), (-5.0, PACES.0), (f64::NAN, PACES.0), (f64::INFINITY, PACES.0)] {
        live.handle(Event::Order(Order::Pace(asked)));
        assert_eq!(pace(&mut live), kept, "{asked}");
    }
    let nothing = What::Cause(Named::Gauge(plant.gauge("coolant").expect("it is there")), 999);
    live.handle(Event::Order(Order::Fault { what: nothing, severity: f64::NAN }));
    live.handle(Event::Tick(1.0));
    let scene = live.scene();
    assert!(scene.picture.gauges.iter().all(|gauge| gauge.reading.is_none_or(|shown| shown.value.is_finite())));
    assert_eq!(scene.asked, 5);
}

#[test]
fn a_pump_that_stands_is_never_seen_to_turn() {
    let plant = plant();
    let pump = plant.part("raw-pump").map(Named::Part).expect("it is there");
    let check = kind_of(&plant, pump).checks.iter().position(|c| c.name == "does_it_turn").expect("one looks");
    let mut world = world(1);
    // However bad it was said to be: a belt is on or off.
    world.introduce(cause(&plant, "belt-raw", "lost"), 0.1);
    world.pass(120.0);
    assert!((0..60).all(|_| world.check(pump, check) != Found::Clean), "a standing pump was cleared");
}
