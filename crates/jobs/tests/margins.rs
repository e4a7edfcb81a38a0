//! Is everything sized right: what the margins find follows from how the plant is described.

use jobs::margins::{Answer, Margins, TRIALS, margins};
use model::steady::Model;
use plant::plant::Tap;
use plant::reader::read;

/// A plant of ten lines with a suction hose of this bore and this much water for each turn.
fn asked(bore: &str, rest: &str) -> (Model, Margins) {
    let text = format!(
        "[engine.main]\nrated = {{ power = \"60 kW\", speed = \"1800 rpm\" }}\n\
         [part.suction]\nkind = \"hose\"\nbore = \"{bore}\"\nlength = \"3 m\"\nrise = \"1 m\"\n{rest}\
         [circuit]\nraw-water = [\"seacock\", \"suction\", \"raw-pump\", \"exchanger\", \"elbow\"]\n"
    );
    let (plant, findings) = read(&text);
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    let mut model = Model::new(&plant).expect("it can be worked out");
    let found = margins(&mut model);
    assert!(found.unsolved.is_empty(), "{:?}", found.unsolved);
    (model, found)
}

#[track_caller]
fn answer<'a>(model: &Model, found: &'a Margins, part: &str, margin: &str) -> &'a Answer {
    let part = model.plant.part(part).expect("it is there");
    let found = found.answers.iter().find(|answer| answer.part == part && answer.margin.name == margin);
    found.unwrap_or_else(|| panic!("{margin} is not asked"))
}

#[test]
fn a_narrow_suction_is_found_and_a_wide_one_is_not() {
    let (model, found) = asked("20 mm", "");
    let narrow = answer(&model, &found, "suction", "suction velocity");
    assert!(narrow.holds < 0.1, "{narrow:?}");
    let (model, found) = asked("50 mm", "");
    let wide = answer(&model, &found, "suction", "suction velocity");
    assert!(wide.holds > 0.95, "{wide:?}");
    // Nearly the same water through 6.25 times the area.
    assert!((5.5..6.25).contains(&(narrow.value / wide.value)), "{} and {}", narrow.value, wide.value);
}

#[test]
fn the_velocity_is_flow_over_area() {
    let (mut model, found) = asked("32 mm", "");
    let answer = answer(&model, &found, "suction", "suction velocity").clone();
    let trial = &TRIALS[answer.trial];
    let speed = trial.speed * model.plant.rated_speed;
    let point = parts::laws::Point {
        speed,
        load: trial.load,
        sea: trial.sea,
        air: trial.air,
        atmosphere: 101_325.0,
        pitch: 1.0,
    };
    let figures = model.figures.clone();
    let state = model.solve(&figures, &point, None).expect("it has a state");
    let flow = model.plant[answer.part].flows[0].expect("it is flowed through");
    let litres = model.read(&state, Tap::Meter(flow));
    let area = std::f64::consts::PI / 4.0 * 0.032_f64.powi(2);
    // Sea water differs by a per cent in density between its metering and its own temperature.
    assert!((answer.value / (litres / area) - 1.0).abs() < 0.01, "{} and {}", answer.value, litres / area);
}

#[test]
fn what_is_told_settles_a_question() {
    let (model, found) = asked("32 mm", "");
    let untold = answer(&model, &found, "thermostat", "reserve");
    let cooler = "[part.exchanger]\nkind = \"exchanger\"\nclean-conductance = \"6 kW/K\"\n";
    let (told_model, found) = asked("32 mm", cooler);
    let told = answer(&told_model, &found, "thermostat", "reserve");
    assert!(told.holds > untold.holds && told.high - told.low < untold.high - untold.low, "{told:?} and {untold:?}");
}

#[test]
fn the_worst_come_first() {
    let (_, found) = asked("25 mm", "");
    assert!(found.answers.len() > 10);
    assert!(found.answers.windows(2).all(|pair| pair[0].holds <= pair[1].holds));
}
