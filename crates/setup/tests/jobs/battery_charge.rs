//! Charging a bank.

use crate::{near, refuses, value, work};
use physics::electrical::{CHARGING_AT, cell_current};

const TOLD: [(&str, &str); 6] = [
    ("bank-capacity", "800 A·h"),
    ("charge-now", "50 %"),
    ("charge-wanted", "85 %"),
    ("charge-current", "120 A"),
    ("derating", "75 %"),
    ("house-load", "18 A"),
];

fn but<'a>(key: &str, value: &'a str) -> Vec<(&'static str, &'a str)> {
    TOLD.into_iter().map(|(other, old)| (other, if other == key { value } else { old })).collect()
}

#[test]
fn a_worked_question_comes_out() {
    // By hand: 120 · 0.75 − 18 = 72 A; 280/(0.9 · 72) = 4.32 h; τ = 120/(0.9 · 72) = 1.85 h, times ln 3 and ln 7.5.
    let worked = work("battery-charge", &TOLD);
    near(value(&worked, "net-current"), 72.0, 1e-9);
    for (key, hours) in [("time", 4.3), ("time-to-95", 6.4), ("time-to-98", 8.1)] {
        near(value(&worked, key) / 3600.0, hours, 0.05);
    }
}

#[test]
fn the_cells_of_the_model_are_followed_step_by_step() {
    // Independently: steps of half a minute at the voltage that holds 72 A or 2.37 V, found by trying millivolts.
    let worked = work("battery-charge", &TOLD);
    let most = 72.0 / (800.0 * 3600.0);
    let (mut charge, mut time) = (0.5, 0.0);
    while charge < 0.85 {
        let mut voltage = 2.37;
        while cell_current(voltage, charge, CHARGING_AT) > most {
            voltage -= 1e-3;
        }
        let gas = physics::electrical::gassing(voltage, CHARGING_AT);
        charge += (cell_current(voltage, charge, CHARGING_AT) - gas) * 30.0;
        time += 30.0;
    }
    near(value(&worked, "time-by-cells") / 3600.0, time / 3600.0, 0.05);
}

#[test]
fn a_bank_already_in_its_tail_takes_the_tail_alone() {
    let told: Vec<_> = but("charge-now", "90 %")
        .into_iter()
        .map(|(k, v)| if k == "charge-wanted" { (k, "95 %") } else { (k, v) })
        .collect();
    let worked = work("battery-charge", &told);
    // Missing 80 A·h at 72 A: τ = 80/(0.9 · 72), half of it missing after τ ln 2.
    near(value(&worked, "time") / 3600.0, 80.0 / 64.8 * 2.0_f64.ln(), 1e-9);
}

#[test]
fn nothing_left_or_nothing_to_do_is_refused() {
    refuses("battery-charge", &but("house-load", "90 A"), "Switch loads off");
    refuses("battery-charge", &but("charge-wanted", "40 %"), "Tell more than charge-now");
    let worked = work("battery-charge", &but("charge-current", "400 A"));
    assert!(worked.flags.iter().any(|flag| flag.contains("more than a fifth")));
}
