//! Slip, admiralty coefficient, and pitch for rated speed.

use crate::check::Check;
use crate::{near, refuses, value, work};
use physics::propeller::BSeries;

const TRIED: [(&str, &str); 4] =
    [("boat-speed", "7.2 kn"), ("engine-speed", "1500 rpm"), ("reduction", "2.80"), ("propeller-pitch", "0.61 m")];
const KNOT: f64 = 1852.0 / 3600.0;

fn with<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    TRIED.into_iter().chain(more.iter().copied()).collect()
}

#[test]
fn a_worked_question_comes_out() {
    // Worked by hand: 0.61 m · 1500/2.80/60 s = 5.446 m/s; 30^(2/3) · 7.2³/51.4; 51.4 · 1.1^(2/3).
    let told = with(&[("displacement", "30 t"), ("shaft-power", "51.4 kW"), ("other-displacement", "33 t")]);
    let worked = work("propeller", &told);
    near(value(&worked, "pitch-speed") / KNOT, 10.59, 0.005);
    near(value(&worked, "slip"), 0.320, 0.0005);
    near(value(&worked, "admiralty"), 70.1, 0.05);
    near(value(&worked, "other-power"), 54.8e3, 50.0);
}

#[test]
fn slip_and_power_of_the_check_values() {
    for (apparent, real, percent) in
        [("prop.slip.apparent", "prop.slip.real", 1.0), ("prop.slip.apparent.pub", "prop.slip.real.pub", 100.0)]
    {
        let (check, second) = (Check::of(apparent), Check::of(real));
        let rpm = if percent > 1.0 { check.get("rpm") } else { check.get("shaft_rpm") };
        let told = [
            ("boat-speed", format!("{} kn", check.get("speed_kn"))),
            ("engine-speed", format!("{rpm} rpm")),
            ("reduction", "1".into()),
            ("propeller-pitch", format!("{} m", check.get("pitch_m"))),
            ("wake", format!("{}", second.get("wake_fraction"))),
        ];
        let told: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
        let worked = work("propeller", &told);
        check.holds(value(&worked, "slip") * percent);
        second.holds(value(&worked, "real-slip") * percent);
    }
    // The check states the coefficient; here it is found from the power and gives it back at another weight.
    let check = Check::of("prop.admiralty");
    let told = with(&[("displacement", "60 t"), ("shaft-power", "49.73642951 kW"), ("other-displacement", "60 t")]);
    let told: Vec<_> =
        told.into_iter().map(|(key, value)| if key == "boat-speed" { (key, "7.5 kn") } else { (key, value) }).collect();
    let worked = work("propeller", &told);
    near(value(&worked, "admiralty"), check.get("coefficient"), 1e-4);
    check.holds(value(&worked, "other-power") / 1e3);
}

#[test]
fn the_pitch_found_takes_the_torque_that_the_engine_has() {
    let more = [
        ("propeller-diameter", "760 mm"),
        ("blades", "4"),
        ("area-ratio", "0.55"),
        ("rated-speed", "1800 rpm"),
        ("reached-speed", "1680 rpm"),
        ("speed-reached", "7.9 kn"),
        ("wake", "0.2"),
    ];
    let worked = work("propeller", &with(&more));
    near(value(&worked, "demand"), (1800.0_f64 / 1680.0).powi(3), 1e-9);
    // Held to a search by brute force: every pitch and speed on a grid, torque and thrust as defined.
    let (d, gear, wake) = (0.76_f64, 2.80, 0.2);
    let at = |pitch: f64, speed: f64, rpm: f64| {
        let n = rpm / gear / 60.0;
        let j = speed * (1.0 - wake) / (n * d);
        let screw = BSeries { pitch_ratio: pitch / d, area_ratio: 0.55, blades: 4 };
        let (thrust, torque) =
            (screw.thrust_coefficient(j) * n * n * d.powi(4), screw.torque_coefficient(j) * n * n * d.powi(5));
        (thrust / speed.powi(2), torque)
    };
    let (drag, torque) = at(0.61, 7.9 * KNOT, 1680.0);
    let mut best = (f64::INFINITY, 0.0);
    for p in 0..600 {
        let pitch = 0.40 + 0.21 * f64::from(p) / 600.0;
        for s in 0..300 {
            let speed = 3.0 + 2.0 * f64::from(s) / 300.0;
            let (thrust, took) = at(pitch, speed, 1800.0);
            let off = (thrust / drag - 1.0).abs() + (took / torque - 1.0).abs();
            if off < best.0 {
                best = (off, pitch);
            }
        }
    }
    near(value(&worked, "new-pitch"), best.1, 2e-3);
    assert!(value(&worked, "new-pitch") < 0.61 && value(&worked, "new-diameter") < 0.76);
    near(value(&worked, "thumb-pitch"), 0.61 * 1680.0 / 1800.0, 1e-9);
    assert!(worked.sketch.is_some());
}

#[test]
fn one_that_reaches_rated_speed_is_left_alone() {
    let worked = work("propeller", &with(&[("rated-speed", "1800 rpm"), ("reached-speed", "1820 rpm")]));
    assert!(worked.says.contains("reaches rated speed") && worked.value("new-pitch").is_none());
}

#[test]
fn what_cannot_be_is_refused() {
    let fast: Vec<_> =
        with(&[]).into_iter().map(|(k, v)| if k == "boat-speed" { (k, "14 kn") } else { (k, v) }).collect();
    refuses("propeller", &fast, "no propeller runs ahead of itself");
    refuses("propeller", &with(&[("displacement", "30 t")]), "Tell both");
    refuses("propeller", &with(&[("other-speed", "8 kn")]), "as tried");
    refuses("propeller", &with(&[("rated-speed", "1800 rpm"), ("reached-speed", "180 rpm")]), "cannot be");
    let told = with(&[("rated-speed", "1800 rpm"), ("reached-speed", "1700 rpm"), ("propeller-diameter", "2 m")]);
    refuses("propeller", &told, "propeller series");
}
