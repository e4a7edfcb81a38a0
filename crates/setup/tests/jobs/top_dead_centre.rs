//! Top dead centre by the stop method.

use crate::{near, refuses, value, work};

#[test]
fn it_lies_midway_whatever_the_rod() {
    // Geometry: a stop met at the same depth on both sides of the top, from a crank and rod reckoned by hand.
    // r = 73 mm, l = 260 mm, 40° either side: x = 73 (1 − cos 40°) + 260 − √(260² − (73 sin 40°)²) = 21.36 mm.
    let rim = |degrees: f64| format!("{} mm", std::f64::consts::PI * 480.0 * degrees / 360.0);
    let told = [
        ("flywheel-diameter", "480 mm"),
        ("stop-ahead", &rim(43.0)),
        ("stop-astern", &rim(-37.0)),
        ("stroke", "146 mm"),
        ("rod-length", "260 mm"),
    ];
    let worked = work("top-dead-centre", &told);
    near(value(&worked, "angle-to-top").to_degrees(), 3.0, 1e-9);
    near(value(&worked, "stop-depth"), 21.36e-3, 0.02e-3);
    // Two marks of 0.5 mm each: the middle is sure to 0.5 / √2.
    let doubt = worked.results[0].doubt.expect("the marks are uncertain");
    near(doubt, 0.5e-3 / 2f64.sqrt(), 1e-6);
}

#[test]
fn stops_that_cannot_be_are_refused() {
    let told = [("flywheel-diameter", "480 mm"), ("stop-ahead", "3 mm"), ("stop-astern", "1 mm")];
    refuses("top-dead-centre", &told, "apart");
    let told = [("flywheel-diameter", "480"), ("stop-ahead", "3 mm"), ("stop-astern", "NaN mm")];
    refuses("top-dead-centre", &told, "no unit");
}
