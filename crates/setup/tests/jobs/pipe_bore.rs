//! Bore of a pipe or hose.

use crate::check::Check;
use crate::{near, refuses, value, work};

#[test]
fn loss_speed_and_head_of_the_check_values() {
    let check = Check::of("pipe.rw.dp");
    let bore = check.get("bore_m");
    // The entrance is counted by the job; the rest of the fittings is told.
    let told = [
        ("pipe-flow", format!("{} L/min", check.get("flow_L_per_min"))),
        ("pipe-length", format!("{} m", check.get("length_m"))),
        ("pipe-roughness", format!("{} m", check.get("roughness_m"))),
        ("fitting-loss", format!("{}", check.get("sum_K") - 0.5)),
        ("bore", format!("{bore} m")),
        ("liquid-temperature", "25 °C".into()),
        ("pump-height", format!("{} m", -Check::of("pipe.rw.npsha").get("static_head_m"))),
    ];
    let told: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
    let worked = work("pipe-bore", &told);
    check.holds(value(&worked, "drop-there-52.5-mm"));
    Check::of("pipe.rw.velocity").holds(value(&worked, "velocity-there-52.5-mm"));
    Check::of("pipe.rw.npsha").holds(value(&worked, "suction-head-there-52.5-mm"));
    // What a gauge shows: loss and speed, less the head it lies under.
    let speed: f64 = Check::of("pipe.rw.velocity").numbers()[0];
    near(
        value(&worked, "vacuum-there-52.5-mm"),
        check.numbers()[0] + 1023.0 * (speed * speed / 2.0 - 9.80665 * 0.4),
        80.0,
    );
}

#[test]
fn the_hose_chosen_is_the_next_on_sale() {
    // By hand: 150 L/min at 1.5 m/s: √(4 · 0.0025/(π · 1.5)) = 46.1 mm, so 51 mm; at 3 m/s 32.6 mm, so 38 mm.
    let told = [("pipe-flow", "150 L/min"), ("pipe-length", "4 m")];
    let worked = work("pipe-bore", &told);
    near(value(&worked, "needed-bore"), 46.07e-3, 0.05e-3);
    assert!(worked.says.starts_with("Take 51 mm"), "{}", worked.says);
    let behind: Vec<_> = told.into_iter().chain([("pipe-side", "discharge")]).collect();
    assert!(work("pipe-bore", &behind).says.starts_with("Take 38 mm"));
    let strict: Vec<_> = told.into_iter().chain([("drop-limit", "1 kPa")]).collect();
    assert!(value(&work("pipe-bore", &strict), "needed-bore") > 50e-3);
}

#[test]
fn a_suction_that_cannot_be_drawn_is_told() {
    let told =
        [("pipe-flow", "150 L/min"), ("pipe-length", "4 m"), ("pump-height", "5 m"), ("liquid-temperature", "60 °C")];
    let worked = work("pipe-bore", &told);
    assert!(
        worked.flags.iter().any(|flag| flag.contains("cavitate"))
            && worked.flags.iter().any(|flag| flag.contains("pump lower"))
    );
    let told = [("pipe-flow", "2 L/min"), ("pipe-length", "12 m"), ("liquid", "diesel"), ("bore", "4 mm")];
    assert!(work("pipe-bore", &told).flags.iter().any(|flag| flag.contains("17.0 kPa")));
    refuses(
        "pipe-bore",
        &[("pipe-flow", "150 L/min"), ("pipe-length", "4 m"), ("liquid", "beer")],
        "none of its words",
    );
    refuses(
        "pipe-bore",
        &[("pipe-flow", "60000 L/min"), ("pipe-length", "200 m"), ("velocity-limit", "0.1 m/s")],
        "Look at flow",
    );
}
