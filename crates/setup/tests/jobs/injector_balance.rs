//! The balance of the cylinders, against an engine whose cuts are worked out by another way.

use crate::{near, refuses, value, work};

/// An engine out of gear or on its propeller, torque over its indicated whole, solved here by walking down in speed.
struct Engine {
    mechanical: f64,
    governor: f64,
}

impl Engine {
    /// Friction as of a stroke of 120 mm and 90 kPa at rest [kPa].
    fn friction(rpm: f64) -> f64 {
        let piston = 2.0 * 0.120 * rpm / 60.0;
        90.0 + 48.0 * rpm / 1000.0 + 0.4 * piston * piston
    }

    /// Drop of speed [rpm] when a cylinder that gives that share is cut at 1200 rpm.
    fn drop(&self, share: f64) -> f64 {
        let mut rpm: f64 = 1200.0;
        loop {
            let load = self.mechanical * (rpm / 1200.0).powi(2);
            let friction = (1.0 - self.mechanical) * Self::friction(rpm) / Self::friction(1200.0);
            let more = 1.0 + self.governor * (1200.0 - rpm) / 1200.0;
            if (1.0 - share) * more >= load + friction || rpm < 100.0 {
                return 1200.0 - rpm;
            }
            rpm -= 0.01;
        }
    }

    fn drops(&self, shares: &[f64]) -> String {
        shares.iter().map(|share| format!("{:.2} rpm", self.drop(*share))).collect::<Vec<_>>().join(", ")
    }
}

const PORTS: &str = "350, 352, 349, 351 °C";

#[test]
fn what_a_cylinder_gives_is_found_again() {
    let shares = [0.25, 0.24, 0.33, 0.18];
    // The rack held in gear; a governor in gear; a governor out of gear.
    for (mechanical, governor, load) in [(0.7, 0.0, "in-gear"), (0.7, 4.0, "in-gear"), (0.0, 9.0, "out-of-gear")] {
        let engine = Engine { mechanical, governor };
        let drops = engine.drops(&shares);
        let told = [("uncut-speed", "1200 rpm"), ("cut-drops", &drops), ("cut-load", load)];
        let worked = work("injector-balance", &told);
        near(value(&worked, "pull-3"), 0.33 / 0.245, 0.01);
        near(value(&worked, "pull-4"), 0.18 / 0.245, 0.01);
        assert!(worked.value("pull-1").is_none(), "a sound one is not named");
        // Without a governor all of the cuts is seen.
        let seen = value(&worked, "seen");
        if governor == 0.0 {
            near(seen, 1.0, 0.01);
        } else {
            assert!(seen < 0.9, "{seen}");
        }
    }
}

#[test]
fn a_dead_cylinder_changes_nothing() {
    let engine = Engine { mechanical: 0.0, governor: 9.0 };
    let drops = engine.drops(&[1.0 / 3.0, 1.0 / 3.0, 0.0, 1.0 / 3.0]);
    let told =
        [("uncut-speed", "1200 rpm"), ("cut-drops", drops.as_str()), ("port-temperatures", "380, 385, 140, 382 °C")];
    let worked = work("injector-balance", &told);
    assert!(worked.says.starts_with("Cylinder 3 stands out (nearly certain): dead"), "{}", worked.says);
    near(value(&worked, "pull-3"), 0.0, 1e-6);
    assert!(worked.value("fuel-3").is_none(), "no trim for what does not fire");
}

#[test]
fn power_at_one_speed_tells_it_too() {
    // 20 kW at the shaft of 25 kW indicated: cylinders of 6.25, 6.25, 5 and 7.5 kW.
    let told = [
        ("uncut-power", "20 kW"),
        ("cut-powers", "13.75, 13.75, 15, 12.5 kW"),
        ("mechanical-efficiency", "80 %"),
        ("fuel-step", "5 %"),
    ];
    let worked = work("injector-balance", &told);
    near(value(&worked, "pull-3"), 0.8, 1e-9);
    near(value(&worked, "fuel-3"), -0.2, 1e-9);
    near(value(&worked, "steps-3"), 4.0, 1e-9);
    near(value(&worked, "seen"), 1.0, 1e-9);
    let more = worked.results.iter().find(|result| result.key == "steps-3").expect("steps");
    assert!(more.says.contains("more fuel"), "{}", more.says);
    let less = worked.results.iter().find(|result| result.key == "steps-4").expect("steps");
    assert!(less.says.contains("less fuel"), "{}", less.says);
}

#[test]
fn both_readings_together_tell_which_way() {
    let says = |ports: &str, drops: &str, more: &[(&str, &str)]| {
        let mut told = vec![("port-temperatures", ports), ("uncut-speed", "700 rpm"), ("cut-drops", drops)];
        told.extend(more);
        work("injector-balance", &told).says
    };
    let alike = "45, 46, 45, 46 rpm";
    assert!(says(PORTS, alike, &[]).contains("none stands out"));
    assert!(says("350, 352, 410, 351 °C", "45, 46, 62, 46 rpm", &[]).contains("too much fuel"));
    assert!(says("350, 352, 290, 351 °C", "45, 46, 30, 46 rpm", &[]).contains("too little fuel"));
    assert!(says("350, 352, 410, 351 °C", "45, 46, 30, 46 rpm", &[]).contains("burns late"));
    assert!(says("350, 352, 290, 351 °C", "45, 46, 62, 46 rpm", &[]).contains("burns early"));
    assert!(says("350, 352, 410, 351 °C", alike, &[]).contains("its sensor"));
    let weak = [("compressions", "27, 28, 20, 27 bar")];
    assert!(says("350, 352, 290, 351 °C", "45, 46, 30, 46 rpm", &weak).contains("weak compression"));
    // A sensor that shows 60 K too much cold shows it warm.
    let cold = [("port-temperatures-cold", "20, 20, 80, 20 °C")];
    assert!(says("350, 352, 410, 351 °C", alike, &cold).contains("none stands out"));
}

#[test]
fn fuel_by_temperature_follows_the_first_law() {
    // 320 K above the air: 40 K more is an eighth more fuel.
    let told = [("port-temperatures", "355, 355, 395, 355, 355, 355 °C"), ("air-in", "35 °C")];
    let worked = work("injector-balance", &told);
    near(value(&worked, "apart-3"), 40.0, 1e-9);
    assert!(worked.says.contains("one reading alone cannot tell"), "{}", worked.says);
    let chance = |ports: &str| work("injector-balance", &[("port-temperatures", ports)]).says;
    assert!(chance("355, 355, 387, 355 °C").contains("(about 2 in 3)"), "{}", chance("355, 355, 387, 355 °C"));
    let both = [
        ("port-temperatures", "355, 355, 395, 355, 355, 355 °C"),
        ("uncut-speed", "1200 rpm"),
        ("cut-drops", "40, 40, 45.5 ± 0.5, 40, 40, 40 rpm"),
        ("pull-limit", "10 %"),
    ];
    let fuel = value(&work("injector-balance", &both), "fuel-3");
    assert!((0.11..0.16).contains(&fuel), "{fuel}");
}

#[test]
fn what_cannot_be_is_refused() {
    refuses("injector-balance", &[], "Nothing by cylinder");
    refuses("injector-balance", &[("port-temperatures", "355 °C")], "none to be compared");
    refuses(
        "injector-balance",
        &[("port-temperatures", PORTS), ("cut-drops", "40, 40 rpm"), ("uncut-speed", "700 rpm")],
        "same order",
    );
    refuses(
        "injector-balance",
        &[("cut-drops", "650, 40 rpm"), ("uncut-speed", "700 rpm")],
        "not the speed that is left",
    );
    refuses("injector-balance", &[("cut-drops", "0, 0, 40 rpm"), ("uncut-speed", "700 rpm")], "governor makes up");
    refuses("injector-balance", &[("cut-drops", "40, 40 rpm")], "not told");
    refuses(
        "injector-balance",
        &[("cut-drops", "40, 40 rpm"), ("cut-powers", "1, 1 kW"), ("uncut-speed", "700 rpm")],
        "both told",
    );
    let many = vec!["355 °C"; 200].join(", ");
    refuses("injector-balance", &[("port-temperatures", &many)], "too many");
    let apart = work("injector-balance", &[("port-temperatures", "300, 500, 350, 450, 250 °C")]);
    assert!(apart.says.contains("the middle itself means little"), "{}", apart.says);
}
