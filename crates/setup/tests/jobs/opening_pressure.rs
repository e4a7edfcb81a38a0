//! Opening pressure and shims, against the balance worked by hand.

use crate::check::Check;
use crate::{near, refuses, value, work};

const BAR: f64 = 1e5;
const MM: f64 = 1e-3;

#[test]
fn shims_follow_the_slope_that_is_told() {
    let told = [
        ("opening-pressures", "238, 251, 265, 247 bar"),
        ("wanted-opening", "250 bar"),
        ("bar-per-shim", "12 bar"),
        ("shim-step", "0.05 mm"),
        ("shims-now", "1.20, 1.20, 1.30, 1.20 mm"),
    ];
    let worked = work("opening-pressure", &told);
    near(value(&worked, "shim-1"), 0.1 * MM, 1e-9);
    // 15 bar too high is 0.125 mm too much; whole steps that leave it above: 0.10 mm.
    near(value(&worked, "shim-3"), 0.125 * MM, 1e-9);
    assert!(
        worked.says.contains("injector 1: add 0.10 mm") && worked.says.contains("injector 3: take 0.10 mm out"),
        "{}",
        worked.says
    );
    assert!(worked.value("shim-2").is_none(), "within its band it is left");
    let rows = &worked.tables[0].rows;
    assert_eq!(rows[2][4..], ["253 bar".to_string(), "1.30 mm → 1.20 mm".to_string()]);
    // The doubt: 2 bar of 12 a 0.1 mm, and 0.5 of 12 of what it is.
    let doubt = worked.results[0].doubt.expect("read on a tester");
    near(doubt, 0.1 * MM * ((2.0f64 / 12.0).powi(2) + (0.5f64 / 12.0).powi(2)).sqrt(), 2e-7);
}

#[test]
fn every_step_leaves_it_in_the_band_where_one_can() {
    for found in 180..250 {
        let found = format!("{found}.3 bar");
        let told = [
            ("opening-pressures", found.as_str()),
            ("wanted-opening", "250 bar"),
            ("bar-per-shim", "11.5 bar"),
            ("shim-step", "0.05 mm"),
        ];
        let then = &work("opening-pressure", &told).tables[0].rows[0][4];
        let then: f64 = then.trim_end_matches(" bar").parse().expect("a pressure");
        // A step is 5.75 bar: one of them lands within 8 bar above.
        assert!((250.0..=258.0).contains(&then), "{found}: {then}");
    }
}

#[test]
fn the_spring_over_its_ring_tells_the_slope() {
    // 200 N/mm by 0.1 mm is 20 N, over π/4 (6² − 3²) = 21.21 mm²: 9.43 bar. Open it is lifted by all of 28.27 mm²: shuts at 75 %.
    let told = [
        ("opening-pressures", "238 bar"),
        ("wanted-opening", "250 bar"),
        ("injector-spring-rate", "200 N/mm"),
        ("needle-guide", "6 mm"),
        ("needle-seat", "3 mm"),
    ];
    let worked = work("opening-pressure", &told);
    near(value(&worked, "per-shim") / BAR, 9.431, 1e-3);
    near(value(&worked, "shuts-at"), 0.75, 1e-9);
    near(value(&worked, "shim-1"), 12.0 / 94.31 * MM, 1e-6);
}

#[test]
fn the_same_balance_as_a_published_valve() {
    // A needle with no seat to speak of is a plain valve: 2500 lbf/in pressed 0.2 in on 0.75 in² opens at 667 psi.
    let check = Check::of("oil.esposito8.1.crack");
    let guide = (check.get("area_in2") * 4.0 / std::f64::consts::PI).sqrt() * 0.0254;
    let needle = physics::injector::Needle { guide, seat: 0.0 };
    let rate = check.get("rate_lb_per_in") * 4.448_222 / 0.0254;
    check.holds(needle.opens(rate, check.get("preload_in") * 0.0254) / 6894.757);
    near(needle.shuts_at(), 1.0, 1e-12);
}

#[test]
fn new_springs_are_set_higher() {
    let told = [
        ("opening-pressures", "250 bar"),
        ("wanted-opening", "250 bar"),
        ("bar-per-shim", "10 bar"),
        ("injector-springs", "new"),
        ("new-spring-drop", "12 bar"),
    ];
    let worked = work("opening-pressure", &told);
    near(value(&worked, "target"), 262.0 * BAR, 1e-3);
    near(value(&worked, "shim-1"), 0.12 * MM, 1e-9);
    assert!(worked.flags.iter().any(|flag| flag.contains("come down to 250 bar")), "{:?}", worked.flags);
}

#[test]
fn no_shim_mends_a_nozzle_or_a_broken_spring() {
    let told = [
        ("opening-pressures", "238, 110, 238, 238 bar"),
        ("wanted-opening", "250 bar"),
        ("sprays", "drips, good, stuck, good"),
    ];
    let worked = work("opening-pressure", &told);
    assert!(worked.value("shim-4").is_some());
    for key in ["shim-1", "shim-2", "shim-3"] {
        assert!(worked.value(key).is_none(), "{key}");
    }
    assert!(worked.says.contains("Injector 1 is to be cleaned"), "{}", worked.says);
    assert!(worked.says.contains("Injectors 2 and 3 are to be taken apart"), "{}", worked.says);
    assert!(worked.flags.iter().any(|flag| flag.contains("10 bar is taken")), "{:?}", worked.flags);
    assert!(worked.steps[0].caution.is_some_and(|caution| caution.contains("hospital at once")));
}

#[test]
fn found_and_left_are_kept() {
    let told =
        [("opening-pressures", "238, 251 bar"), ("wanted-opening", "250 bar"), ("left-openings", "252, 240 bar")];
    let worked = work("opening-pressure", &told);
    assert_eq!(worked.kept[0].name, "opening pressure cylinder 1");
    assert_eq!((worked.kept[0].found, worked.kept[0].left), (Some(238.0 * BAR), Some(252.0 * BAR)));
    assert!(
        worked.flags.iter().any(|flag| flag.contains("Injector 2 was left at 240 bar, outside")),
        "{:?}",
        worked.flags
    );
}

#[test]
fn what_cannot_be_is_refused() {
    let with = |more: &[(&'static str, &'static str)]| {
        let mut told = vec![("opening-pressures", "238, 251 bar"), ("wanted-opening", "250 bar")];
        told.retain(|(key, _)| more.iter().all(|(other, _)| key != other));
        told.extend(more);
        told
    };
    refuses("opening-pressure", &with(&[("sprays", "good")]), "same order");
    refuses("opening-pressure", &with(&[("sprays", "good, lovely")]), "none of the words");
    refuses("opening-pressure", &with(&[("needle-guide", "3 mm"), ("needle-seat", "3 mm")]), "never opens");
    refuses(
        "opening-pressure",
        &with(&[("opening-pressures", "400, 251 bar"), ("shims-now", "0.5, 1 mm")]),
        "fewer shims",
    );
    refuses("opening-pressure", &with(&[("wanted-opening", "2.5 bar")]), "cannot be");
    let many: &'static str = Box::leak(vec!["250 bar"; 200].join(", ").into_boxed_str());
    refuses("opening-pressure", &with(&[("opening-pressures", many)]), "Tell one to");
    let coarse = work("opening-pressure", &with(&[("shim-step", "0.5 mm")]));
    assert!(coarse.flags.iter().any(|flag| flag.contains("Finer shims")), "{:?}", coarse.flags);
}
