//! Injection timing: angles and distances held to values from outside, the pump's way to the sense of turning, the cost of an
//! error to what an engine does.

use crate::check::Check;
use crate::{near, refuses, value, work};
use setup::worked::Worked;

fn with(told: &[(&str, String)]) -> Worked {
    let told: Vec<(&str, &str)> = told.iter().map(|(key, text)| (*key, text.as_str())).collect();
    work("timing", &told)
}

fn flywheel(check: &Check) -> (&'static str, String) {
    ("flywheel-diameter", format!("{} m", check.get("flywheel_diameter_m")))
}

#[test]
fn along_the_rim_and_across_it() {
    let check = Check::of("setup.rim.arc");
    let angle = ("crank-angle", format!("{} °", check.get("deg")));
    let worked = with(&[flywheel(&check), angle.clone()]);
    check.holds(value(&worked, "rim-of-angle") * 1e3);
    Check::of("setup.rim.deg").holds(value(&worked, "rim-per-degree") * 1e3);
    let check = Check::of("setup.rim.chord");
    let worked = with(&[flywheel(&check), angle, ("rim-by", "dividers".into())]);
    let chord = value(&worked, "rim-of-angle");
    check.holds(chord * 1e3);
    let back = with(&[flywheel(&check), ("rim-distance", format!("{chord} m")), ("rim-by", "dividers".into())]);
    near(value(&back, "angle-of-rim").to_degrees(), check.get("deg"), 1e-6);
}

#[test]
fn five_millimetres_on_the_rim_and_three_degrees_at_the_pump() {
    let check = Check::of("setup.spill.shift");
    let rim = check.get("rim_mm");
    let worked = with(&[
        flywheel(&check),
        ("spill-wanted-rim", "90 mm".into()),
        ("spill-found-rim", format!("{} mm", 90.0 + rim)),
    ]);
    check.holds(value(&worked, "error").to_degrees());
    near(value(&worked, "error-rim") * 1e3, rim, 1e-9);
    let check = Check::of("setup.pump.deg");
    let found = format!("{} °", 20.0 + check.get("crank_deg"));
    let worked = with(&[
        ("spill-wanted", "20 °".into()),
        ("spill-found", found.clone()),
        ("pump-flange-radius", "70 mm".into()),
    ]);
    check.holds(value(&worked, "pump-angle").to_degrees());
    near(value(&worked, "pump-move"), 0.070 * 1.5_f64.to_radians(), 1e-9);
    let worked = with(&[("spill-wanted", "20 °".into()), ("spill-found", found), ("strokes", "two".into())]);
    near(value(&worked, "pump-angle").to_degrees(), check.get("crank_deg"), 1e-9);
}

#[test]
fn a_dial_on_the_piston_says_the_same_as_the_rim() {
    let check = Check::of("eng.piston.24");
    let [drop] = check.numbers()[..] else { panic!("one number") };
    let told = [
        ("stroke", format!("{} m", 2.0 * check.get("crank_radius_m"))),
        ("rod-length", format!("{} m", check.get("rod_length_m"))),
        ("spill-found-drop", format!("{drop} mm")),
        ("spill-wanted", format!("{} °", check.get("crank_deg"))),
    ];
    let worked = with(&told);
    check.holds(value(&worked, "drop-wanted") * 1e3);
    near(value(&worked, "spill-found").to_degrees(), check.get("crank_deg"), 1e-5);
    assert!(worked.says.contains("let it be"), "{}", worked.says);
}

#[test]
fn the_pump_is_turned_the_way_that_mends() {
    let says = |found: &str, moved: &str, turns: &str| {
        work(
            "timing",
            &[("spill-wanted", "20 °"), ("spill-found", found), ("pump-moved", moved), ("pump-turns", turns)],
        )
        .says
    };
    // Early: the body follows its shaft, or the shaft is set back.
    let early = says("23 °", "body", "clockwise");
    assert!(
        early.contains("3.0° early") && early.contains("the way its shaft runs, clockwise") && early.contains("later"),
        "{early}"
    );
    let late = says("17 °", "body", "clockwise");
    assert!(
        late.contains("3.0° late")
            && late.contains("against the way its shaft runs, anticlockwise")
            && late.contains("earlier"),
        "{late}"
    );
    let early = says("23 °", "coupling", "anticlockwise");
    assert!(early.contains("against the way its shaft runs, clockwise") && early.contains("later"), "{early}");
    let late = says("17 °", "coupling", "anticlockwise");
    assert!(late.contains("coupling the way its shaft runs, anticlockwise") && late.contains("earlier"), "{late}");
}

#[test]
fn late_burning_costs_power_and_warms_the_exhaust() {
    let cost = |found: &str| {
        let worked = work("timing", &[("spill-wanted", "22 °"), ("spill-found", found)]);
        ["power-change", "exhaust-change", "peak-change"].map(|key| value(&worked, key))
    };
    let [power, exhaust, peak] = cost("18 °");
    // Some per cent of power and some tens of kelvin for four degrees; textbook curves of timing run so.
    assert!(
        (-0.04..-0.005).contains(&power) && (5.0..40.0).contains(&exhaust) && peak < -3e5,
        "{power} {exhaust} {peak}"
    );
    let [farther, hotter, lower] = cost("14 °");
    assert!(farther < 1.8 * power && hotter > 1.8 * exhaust && lower < peak, "it grows faster than the error");
    let [_, cooler, higher] = cost("26 °");
    assert!(cooler < 0.0 && higher > 3e5);
    let all = cost("22 °");
    assert!(all.iter().all(|change| change.abs() < 1e-9), "{all:?}");
}

#[test]
fn the_same_fuel_gives_power_or_heat() {
    // First law over the whole: what is not work goes out with the exhaust, here by heat capacities of warm gas.
    let worked = work("timing", &[("spill-wanted", "22 °"), ("spill-found", "14 °")]);
    let line = worked.working.iter().find(|one| one.formula.starts_with("c_v")).expect("it is worked");
    let numbers: Vec<f64> = line.with.split([' ', ',']).filter_map(|word| word.parse().ok()).collect();
    let [is, was, _, _, warm, hot] = numbers[..] else { panic!("six numbers: {}", line.with) };
    let lost = (is - was) * 1e3;
    near((hot - warm) * 1150.0, lost, 0.12 * lost);
}

#[test]
fn what_does_not_go_together_is_refused() {
    refuses("timing", &[], "Nothing is told");
    refuses("timing", &[("crank-angle", "24 °")], "needs it");
    refuses("timing", &[("spill-found", "20 °"), ("spill-found-drop", "6 mm")], "one way only");
    refuses("timing", &[("spill-found-drop", "6 mm")], "stroke and rod");
    refuses(
        "timing",
        &[("spill-found-drop", "80 mm"), ("stroke", "140 mm"), ("rod-length", "250 mm")],
        "half the stroke",
    );
    refuses(
        "timing",
        &[("spill-found-drop", "8 mm"), ("stroke", "140 mm"), ("rod-length", "60 mm")],
        "cannot turn over",
    );
    refuses("timing", &[("rim-distance", "900 mm"), ("flywheel-diameter", "480 mm")], "does not go on");
    refuses("timing", &[("spill-found", "200 °")], "cannot be");
    let far = work("timing", &[("spill-wanted", "22 °"), ("spill-found", "8 °"), ("pump-gear-teeth", "56")]);
    assert!(far.flags.iter().any(|flag| flag.contains("12.9°") && flag.contains("1.1 teeth")), "{:?}", far.flags);
    assert_eq!(far.kept[0].name, "spill point");
}
