//! Bore of a dry exhaust.

use crate::check::Check;
use crate::{near, refuses, value, work};
use measure::quantity::Quantity;
use measure::unit::parse;

const TOLD: [(&str, &str); 7] = [
    ("gas-flow", "0.17 kg/s"),
    ("gas-temperature", "420 °C"),
    ("stack-length", "7 m"),
    ("bends", "3"),
    ("silencer-drop", "2.0 kPa"),
    ("back-pressure-limit", "6.8 kPa"),
    ("stack-bore", "76.2 mm"),
];

#[test]
fn a_worked_question_comes_out_to_the_hundredth() {
    // Worked by hand from the printed formula: 7 m, three bends, 0.17 kg/s at 420 °C, silencer 2.0 kPa.
    let worked = work("dry-stack", &TOLD);
    let rows = &worked.tables[0].rows;
    for (bore, rough, clean) in
        [("76.2", "6.15", "4.99"), ("88.9", "4.02", "3.46"), ("101.6", "3.09", "2.79"), ("127", "2.39", "2.28")]
    {
        let row = rows.iter().find(|row| row[0] == format!("{bore} mm")).expect("it is on sale");
        assert_eq!((row[2].as_str(), row[3].as_str()), (&*format!("{rough} kPa"), &*format!("{clean} kPa")));
    }
    near(value(&worked, "velocity-there-76.2-mm"), 73.4, 0.2);
    near(value(&worked, "velocity-chosen-101.6-mm"), 41.3, 0.2);
    assert!(worked.says.contains("101.6 mm"), "{}", worked.says);
    assert!(
        worked.flags.iter().any(|flag| flag.contains("88.9 mm") && flag.contains("no margin")),
        "{:?}",
        worked.flags
    );
}

#[test]
fn the_law_of_the_model_is_told_beside_it_with_how_far_it_is_off() {
    let worked = work("dry-stack", &TOLD);
    let (rough, clean, model) = (
        value(&worked, "rough-there-76.2-mm"),
        value(&worked, "clean-there-76.2-mm"),
        value(&worked, "model-there-76.2-mm"),
    );
    // Darcy by hand: Re = 4 · 0.17/(π · 0.0762 · 3.3e-5) = 86 000, roughness 0.1 mm: f = 0.0238 by the chart of Moody.
    let pipe = model - 2_000.0;
    near(pipe / (rough - 2_000.0), 0.0238 / 0.02215 / 1.05, 0.06);
    assert!(clean < model, "a sooty wall costs more than a clean one");
    assert!(worked.working.iter().any(|one| one.with.contains("against 6.32") && one.with.contains("f = ")));
}

#[test]
fn the_law_of_the_model_is_that_of_the_check_values() {
    let check = Check::of("exh.backpressure");
    // Its fittings as straight pipe: K = f L/D by the friction that the pipe itself has.
    let bore = check.get("bore_m");
    let told = |extra: f64| {
        [
            ("gas-flow", format!("{} kg/s", check.get("gas_kg_per_s"))),
            ("gas-temperature", format!("{} °C", check.get("T_degC"))),
            ("stack-length", format!("{} m", check.get("length_m") + extra)),
            ("stack-bore", format!("{bore} m")),
        ]
    };
    let model = |extra: f64| {
        let told = told(extra);
        let told: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
        let worked = work("dry-stack", &told);
        let key = worked.results.iter().find(|one| one.key.starts_with("model-there")).expect("it is there");
        key.value
    };
    let metre = (model(4.0) - model(0.0)) / 4.0;
    // v²ρ/2 of the same pipe, from its own density and velocity.
    let (density, speed) = (Check::of("exh.rho.420").numbers()[0], Check::of("exh.velocity").numbers()[0]);
    let fittings = check.get("sum_K") * density * speed * speed / 2.0;
    check.holds(model(0.0) + fittings);
    assert!(metre > 0.0);
}

#[test]
fn the_needed_bore_just_meets_the_limit() {
    let mut told = TOLD.to_vec();
    told.push(("gas-velocity-limit", "150 m/s"));
    let needed = value(&work("dry-stack", &told), "needed-bore");
    let bore = format!("{} mm", needed * 1e3);
    told[6] = ("stack-bore", &bore);
    let worked = work("dry-stack", &told);
    let rough = worked.results.iter().find(|one| one.key.starts_with("rough-there")).expect("it is there");
    near(rough.value, parse("6.8 kPa", Quantity::PressureDifference).expect("a pressure"), 1.0);
}

#[test]
fn what_no_pipe_can_do_is_refused() {
    let mut told = TOLD.to_vec();
    told[4] = ("silencer-drop", "7 kPa");
    refuses("dry-stack", &told, "No pipe is wide enough");
    let mut told = TOLD.to_vec();
    told.push(("water-head", "600 mm"));
    refuses("dry-stack", &told, "less water in the riser");
    told[0] = ("gas-flow", "NaN kg/s");
    refuses("dry-stack", &told, "Write it such as 0.17 kg/s");
}
