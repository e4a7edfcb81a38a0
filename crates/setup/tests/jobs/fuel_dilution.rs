//! Fuel in the oil.

use crate::check::Check;
use crate::{near, refuses, value, work};
use physics::oil::Oil;

fn told(dilution: f64) -> Vec<(&'static str, String)> {
    let oil = Oil::diluted(110e-6, 14.7e-6, dilution);
    vec![
        ("sample-viscosity-40", format!("{} cSt", oil.nu40_m2s * 1e6)),
        ("sample-viscosity-100", format!("{} cSt", oil.nu100_m2s * 1e6)),
        ("viscosity-40", "110 cSt".into()),
        ("viscosity-100", "14.7 cSt".into()),
        ("sump-volume", "18 L".into()),
    ]
}

fn worked(told: &[(&'static str, String)]) -> setup::worked::Worked {
    let told: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
    work("fuel-dilution", &told)
}

#[test]
fn what_was_blended_is_found_again() {
    for share in [0.0, 0.01, 0.03, 0.08, 0.2] {
        let worked = worked(&told(share));
        near(value(&worked, "fuel-by-40"), share, 1e-9);
        near(value(&worked, "fuel-by-100"), share, 1e-9);
    }
    // By hand: 110 and 3 cSt, 5 %: (0.95 · 4.7914 + 0.05 · 1.4422)³ = 98.86 cSt.
    let told = [
        ("sample-viscosity-40", "98.86 cSt".to_string()),
        ("viscosity-40", "110 cSt".into()),
        ("viscosity-100", "14.7 cSt".into()),
    ];
    near(value(&worked(&told), "fuel"), 0.05, 2e-4);
}

#[test]
fn it_calls_for_action_where_the_check_values_do() {
    let act = Check::of("smp.fuel.flash").numbers()[0] / 100.0;
    assert!(worked(&told(act + 0.001)).says.contains("find the leak now"));
    assert!(worked(&told(act - 0.001)).says.contains("look into it"));
    assert!(worked(&told(0.01)).says.contains("usual"));
}

#[test]
fn what_is_not_fuel_is_told() {
    let mut thick = told(0.0);
    thick[0].1 = "130 cSt".into();
    thick[1].1 = "15.9 cSt".into();
    assert!(worked(&thick).says.contains("thicker than new"));
    let mut odd = told(0.08);
    odd[1].1 = "14.6 cSt".into();
    assert!(worked(&odd).flags.iter().any(|flag| flag.contains("not fuel alone")));
    refuses("fuel-dilution", &[("oil-grade", "15W-40")], "better both");
    refuses("fuel-dilution", &[("sample-viscosity-40", "90 cSt")], "oil-grade=15W-40");
    refuses("fuel-dilution", &[("oil-grade", "15W-40"), ("sample-viscosity-40", "9 cSt")], "mostly fuel");
}
