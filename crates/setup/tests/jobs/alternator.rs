//! Alternator and its pulleys.

use crate::{near, refuses, value, work};

const TOLD: [(&str, &str); 5] = [
    ("engine-pulley", "180 mm"),
    ("alternator-pulley", "75 mm"),
    ("idle-speed", "650 rpm"),
    ("cruise-speed", "1500 rpm"),
    ("alternator-rated", "120 A"),
];
const RPM: f64 = std::f64::consts::TAU / 60.0;

fn with<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    TOLD.into_iter().filter(|(key, _)| more.iter().all(|(other, _)| other != key)).chain(more.iter().copied()).collect()
}

#[test]
fn the_power_of_a_worked_question() {
    // By hand: 120 A at 28.4 V with 0.58: 5.88 kW, on full plate current.
    let told = with(&[("charging-voltage", "28.4 V"), ("alternator-efficiency", "0.58")]);
    near(value(&work("alternator", &told), "belt-power-cold"), 5.88e3, 5.0);
}

#[test]
fn speed_and_current_by_hand() {
    let worked = work("alternator", &TOLD);
    // 650 · 2.4 · 0.985 = 1537 rpm; 120 · 0.75 · (1 − 20 · 0.003) = 84.6 A; 1 − e^(−(1537 − 1050)/879) = 0.425.
    near(value(&worked, "ratio"), 2.4, 1e-9);
    near(value(&worked, "speed-at-idle") / RPM, 1536.6, 0.1);
    near(value(&worked, "current-at-idle"), 84.6 * 0.425, 0.4);
    near(value(&worked, "current-at-cruise"), 84.6 * (1.0 - (-(3546.0_f64 - 1050.0) / 878.5).exp()), 0.4);
}

#[test]
fn the_pulley_found_gives_what_was_wanted() {
    let worked = work("alternator", &with(&[("wanted-current", "50 A")]));
    let pulley = format!("{} mm", value(&worked, "pulley") * 1e3);
    let there = work("alternator", &with(&[("alternator-pulley", &pulley)]));
    near(value(&there, "current-at-idle"), 50.0, 0.01);
    assert!(value(&worked, "pulley") < 75e-3);
}

#[test]
fn too_much_and_too_fast_are_told() {
    refuses("alternator", &with(&[("wanted-current", "100 A")]), "larger alternator");
    refuses("alternator", &with(&[("idle-speed", "1600 rpm")]), "lower speed");
    let fast = work("alternator", &with(&[("cruise-speed", "6000 rpm")]));
    assert!(fast.flags.iter().any(|flag| flag.contains("it stands")));
    let slow = work("alternator", &with(&[("idle-speed", "300 rpm")]));
    assert!(slow.flags.iter().any(|flag| flag.contains("too slowly")));
}
