//! Mix of the coolant.

use crate::check::Check;
use crate::{near, refuses, value, work};
use measure::quantity::Quantity::Temperature;
use measure::unit::convert_to;

#[test]
fn it_freezes_where_the_check_values_say() {
    for glycol in ["eg", "pg"] {
        for share in [40, 50, 60] {
            let check = Check::of(&format!("cool.pub.{glycol}.{share}"));
            let sort = if glycol == "eg" { "ethylene" } else { "propylene" };
            let now = format!("{} %", check.get("volume_percent"));
            let told = [
                ("glycol", sort),
                ("circuit-volume", "40 L"),
                ("share-now", now.as_str()),
                ("freeze-wanted", "-20 °C"),
            ];
            let worked = work("coolant-mix", &told);
            check.holds(convert_to(value(&worked, "freezes-now"), Temperature, "°C").expect("a temperature"));
        }
    }
    for share in [30, 40, 50] {
        let check = Check::of(&format!("cool.pub.lange.pg.{share}"));
        let wanted = format!("{} °C", check.numbers()[0]);
        let told = [
            ("glycol", "propylene"),
            ("circuit-volume", "40 L"),
            ("share-now", "10 %"),
            ("freeze-wanted", wanted.as_str()),
        ];
        // The other way: what share that takes, 0.6 K being 0.8 % of it at most.
        near(value(&work("coolant-mix", &told), "share-wanted"), check.get("volume_percent") / 100.0, 0.008);
    }
}

#[test]
fn what_is_drained_and_filled_makes_the_mix() {
    let told = [
        ("circuit-volume", "40 L"),
        ("freeze-now", "-12 °C"),
        ("freeze-wanted", "-37 °C"),
        ("cap-pressure", "0.5 bar"),
    ];
    let worked = work("coolant-mix", &told);
    let (now, wanted, swap) = (value(&worked, "share-now"), value(&worked, "share-wanted"), value(&worked, "swap"));
    // The glycol is counted: what stays and what comes.
    near(((0.040 - swap) * now + swap * 0.95) / 0.040, wanted, 1e-9);
    // Published: half and half boils at about 108 °C at the atmosphere, 0.23 K more for each kPa (from memory).
    let boils = convert_to(value(&worked, "boils"), Temperature, "°C").expect("a temperature");
    near(boils, 108.0 + 0.23 * 50.0, 3.0);
    // Weaker: water is filled.
    let told = [("circuit-volume", "40 L"), ("freeze-now", "-45 °C"), ("freeze-wanted", "-30 °C")];
    let worked = work("coolant-mix", &told);
    near((0.040 - value(&worked, "swap")) * value(&worked, "share-now") / 0.040, value(&worked, "share-wanted"), 1e-9);
    assert!(worked.says.contains("water"));
}

#[test]
fn too_strong_too_weak_and_contradictions_are_told() {
    let told = [("circuit-volume", "40 L"), ("share-now", "75 %"), ("freeze-wanted", "-37 °C")];
    let worked = work("coolant-mix", &told);
    assert!(
        worked.flags.iter().any(|flag| flag.contains("freezes higher again")) && worked.value("freezes-now").is_none()
    );
    near(value(&worked, "swap"), 0.040 * (1.0 - value(&worked, "share-wanted") / 0.75), 1e-9);
    let told =
        [("circuit-volume", "40 L"), ("share-now", "50 %"), ("freeze-now", "-15 °C"), ("freeze-wanted", "-37 °C")];
    assert!(work("coolant-mix", &told).flags.iter().any(|flag| flag.contains("refractometer that is off")));
    refuses(
        "coolant-mix",
        &[("circuit-volume", "40 L"), ("freeze-now", "-70 °C"), ("freeze-wanted", "-37 °C")],
        "60 %",
    );
    refuses(
        "coolant-mix",
        &[("circuit-volume", "40 L"), ("share-now", "30 %"), ("freeze-wanted", "-72 °C")],
        "as low as one goes",
    );
    refuses("coolant-mix", &[("circuit-volume", "40 L"), ("freeze-wanted", "-37 °C")], "share-now");
    refuses(
        "coolant-mix",
        &[("circuit-volume", "40 L"), ("share-now", "30 %"), ("concentrate", "40 %"), ("freeze-wanted", "-37 °C")],
        "stronger concentrate",
    );
}
