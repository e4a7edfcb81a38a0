//! Section of a cable.

use crate::check::Check;
use crate::{near, refuses, value, work};

#[test]
fn the_drop_of_the_check_values() {
    let check = Check::of("el.drop");
    let told = [
        ("cable-current", format!("{} A", check.get("amps"))),
        ("cable-length", format!("{} m", check.get("one_way_m"))),
        ("cable-section", format!("{} mm²", check.get("area_mm2"))),
        ("cable-temperature", "20 °C".into()),
    ];
    let told: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
    let worked = work("cable", &told);
    check.holds(value(&worked, "drop"));
    near(value(&worked, "drop-share"), check.numbers()[0] / 12.0, 1e-4);
    // Warm copper resists more: 30 K by 0.393 % each, [IEC60028].
    let warm: Vec<_> =
        told.iter().copied().map(|(k, v)| if k == "cable-temperature" { (k, "50 °C") } else { (k, v) }).collect();
    near(value(&work("cable", &warm), "drop") / value(&worked, "drop"), 1.0 + 30.0 * 3.93e-3, 1e-6);
}

#[test]
fn the_section_chosen_is_the_next_that_loses_less() {
    // By hand: 75 A · 6 m · 0.017241/(0.03 · 12 V) = 21.55 mm² at 20 °C: 25 mm² is on sale. For a starter 5 %: 12.93, so 16.
    let told = [("cable-current", "75 A"), ("cable-length", "3 m"), ("cable-temperature", "20 °C")];
    let worked = work("cable", &told);
    near(value(&worked, "needed-section") * 1e6, 21.55, 0.01);
    assert!(worked.says.contains("take 25 mm²"), "{}", worked.says);
    let starter: Vec<_> = told.into_iter().chain([("cable-duty", "starting")]).collect();
    assert!(work("cable", &starter).says.contains("take 16 mm²"));
    assert!(worked.flags.iter().any(|flag| flag.contains("insulation")), "it says what it does not tell");
}

#[test]
fn a_thin_cable_and_nonsense_are_told() {
    let told = [("cable-current", "400 A"), ("cable-length", "8 m"), ("cable-section", "4 mm²")];
    assert!(work("cable", &told).flags.iter().any(|flag| flag.contains("more than half")));
    refuses("cable", &[("cable-current", "0 A"), ("cable-length", "3 m")], "cannot be");
    refuses(
        "cable",
        &[("cable-current", "10 A"), ("cable-length", "3 m"), ("cable-duty", "chargin")],
        "Did you mean charging",
    );
}
