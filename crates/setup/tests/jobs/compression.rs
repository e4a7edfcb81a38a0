//! Compression against closed forms, and against cylinders made to leak.

use crate::check::Check;
use crate::{near, refuses, try_work, value, work};

const BAR: f64 = 1e5;

#[test]
fn what_ought_to_be_follows_the_power_law() {
    // Tight (no leak can be told, so as good as none: an orifice of 0.2 mm), the valve shut at the bottom: 17 to the 1.3.
    let told = [
        ("compressions", "30, 30 bar"),
        ("compression-ratio", "17"),
        ("inlet-closes", "0 °"),
        ("compression-exponent", "1.3"),
        ("leak-down-orifice", "0.2 mm"),
    ];
    let expected = value(&work("compression", &told), "expected") / BAR;
    near(expected, 1.01325 * 17f64.powf(1.3) - 1.01325, 0.2);
    // By a smaller ratio and thinner air, in proportion to the air.
    let mut high = told.to_vec();
    high.push(("air-pressure", "0.9 bar_abs"));
    near(value(&work("compression", &high), "expected") / BAR, expected * 0.9 / 1.01325, 0.05);
    // The tester's own space: 17 becomes 1 + 16 V / (V + v); a bore and stroke of 100 and 120 mm leave 58.9 mL at the top.
    let mut with = told.to_vec();
    with.push(("tester-volume", "5.89 mL"));
    let ratio: f64 = 1.0 + 16.0 / 1.1;
    near(value(&work("compression", &with), "expected") / BAR, 1.01325 * ratio.powf(1.3) - 1.01325, 0.2);
}

#[test]
fn the_valve_shuts_where_the_piston_then_is() {
    // From outside: how far down the piston is 90° after the top, more than half of its stroke. Shut there, the valve traps
    // no more than that.
    let check = Check::of("eng.piston.90");
    let stroke = 2.0 * check.get("crank_radius_m");
    let told = [
        ("compressions", "30, 30 bar"),
        ("compression-ratio", "17"),
        ("stroke", &format!("{stroke} m")),
        ("rod-length", &format!("{} m", check.get("rod_length_m"))),
        ("inlet-closes", "90 °"),
        ("compression-exponent", "1.2"),
        ("leak-down-orifice", "0.2 mm"),
    ];
    let ratio = 1.0 + 16.0 * check.numbers()[0] / 1e3 / stroke;
    near(value(&work("compression", &told), "expected") / BAR, 1.01325 * (ratio.powf(1.2) - 1.0), 0.1);
}

fn says(dry: &str, more: &[(&str, &str)]) -> String {
    let mut told = vec![("compressions", dry)];
    told.extend(more);
    work("compression", &told).says
}

#[test]
fn weak_ones_are_found_whatever_the_others_do() {
    assert!(says("27, 28, 26, 27.5 bar", &[]).starts_with("No cylinder is more than 15 % under"));
    let weak = work("compression", &[("compressions", "27, 28, 21, 27.5 bar")]);
    assert!(weak.says.contains("cylinder 3 (nearly certain)"), "{}", weak.says);
    // The better half is 27.5 and 28.
    near(value(&weak, "good"), 27.75 * BAR, 1.0);
    near(value(&weak, "under-3"), 1.0 - 21.0 / 27.75, 1e-9);
    near(value(&weak, "spread"), 0.25, 1e-9);
    // Half of them bad does not make the good ones odd.
    let half = work("compression", &[("compressions", "18, 28, 19, 27.5, 18.5, 28 bar")]);
    for key in ["under-1", "under-3", "under-5"] {
        assert!(half.value(key).is_some(), "{key}");
    }
    assert!(half.value("under-2").is_none());
    // At the limit it is as likely as not: 15 % under 28 is 23.8 bar.
    assert!(says("28, 28, 23.79, 28 bar", &[]).contains("an even chance"));
    let high = work("compression", &[("compressions", "27, 34, 27, 27.5, 27, 27 bar")]);
    assert!(high.flags.iter().any(|flag| flag.starts_with("Cylinder 2 is higher")), "{:?}", high.flags);
}

#[test]
fn oil_tells_rings_from_valves() {
    // All rise by a tenth from the oil's own volume; what counts is what comes back beside that.
    let wet = |third: &str| format!("30.5, 30.5, {third}, 30.5 bar");
    let with = |third: &str| says("27.7, 27.7, 20, 27.7 bar", &[("wet-compressions", &wet(third))]);
    assert!(with("28.5").contains("rings or bore"), "{}", with("28.5"));
    assert!(with("22").contains("valves or gasket"), "{}", with("22"));
    assert!(with("26").contains("rings and valves both"), "{}", with("26"));
}

#[test]
fn neighbours_weak_alike_share_a_gasket() {
    let gasket = says("28, 14, 14.5, 28 bar", &[("wet-compressions", "30, 15, 15.5, 30 bar")]);
    assert!(gasket.starts_with("Cylinders 2 and 3 are weak, side by side and alike: the head gasket"), "{gasket}");
    // Not side by side, or brought back by oil: not the gasket.
    assert!(!says("14, 28, 14.5, 28 bar", &[]).contains("gasket between"));
    assert!(!says("28, 18, 18.5, 28 bar", &[("wet-compressions", "30, 28, 28, 30 bar")]).contains("gasket between"));
}

#[test]
fn a_leak_down_is_held_against_the_compression() {
    let mut told =
        vec![("compressions", "28, 28, 19, 28 bar"), ("compression-ratio", "17"), ("leak-downs", "8, 8, 8, 8 %")];
    // It holds air as well as the others, and yet it is weak: no leak.
    let worked = work("compression", &told);
    assert!(worked.says.contains("not by a leak"), "{}", worked.says);
    told[2].1 = "8, 8, 60, 8 %";
    let worked = work("compression", &told);
    assert!(!worked.says.contains("not by a leak"), "{}", worked.says);
    // 7 bar before a hole of 1 mm, 2.8 bar held: both flows are sonic, so areas go as the pressures, 8.013 over 3.813 bar.
    let hole = (8.01325f64 / 3.81325).sqrt();
    near(value(&worked, "hole-3"), hole * 1e-3, 0.02e-3);
    // Slower cranking leaves the same leak more time.
    let with = |speed: &str| {
        let mut told = told.clone();
        told.push(("cranking-speed", speed));
        let table = work("compression", &told).tables[0].rows[2][5].clone();
        table.trim_end_matches(" bar").parse::<f64>().expect("a pressure")
    };
    assert!(with("100 rpm") < with("200 rpm") - 1.0, "{} {}", with("100 rpm"), with("200 rpm"));
}

#[test]
fn all_of_them_low_is_said() {
    let low = work("compression", &[("compressions", "19, 20, 19.5, 20 bar"), ("wanted-compression", "28 bar")]);
    assert!(low.says.contains("All of them are lower"), "{}", low.says);
    let worn = [
        ("compressions", "19, 20, 19.5, 20 bar"),
        ("wanted-compression", "28 bar"),
        ("wet-compressions", "26, 27, 26, 27 bar"),
    ];
    assert!(work("compression", &worn).flags.iter().any(|flag| flag.contains("worn all round")));
    let least = work("compression", &[("compressions", "19, 20, 19.5, 20 bar"), ("least-compression", "19.8 bar")]);
    assert!(least.flags.iter().any(|flag| flag.contains("Cylinders 1 and 3 are under the least")), "{:?}", least.flags);
    let tires = work("compression", &[("compressions", "28, 27, 26.5, 26 bar")]);
    assert!(tires.flags.iter().any(|flag| flag.contains("battery that tires")));
}

#[test]
fn it_is_kept_by_cylinder() {
    let worked = work("compression", &[("compressions", "28, 27, 26.5 bar")]);
    let names: Vec<&str> = worked.kept.iter().map(|kept| kept.name.as_str()).collect();
    assert_eq!(names, ["compression cylinder 1", "compression cylinder 2", "compression cylinder 3"]);
    near(worked.kept[1].found.expect("it was read"), 27.0 * BAR, 1e-6);
}

#[test]
fn what_cannot_be_is_refused() {
    refuses("compression", &[("compressions", "28 bar")], "none to be compared");
    refuses("compression", &[("compressions", ", bar")], "");
    refuses("compression", &[("compressions", "0, 0, 0 bar")], "Look at the tester");
    refuses("compression", &[("compressions", "28, 27 bar"), ("wet-compressions", "29 bar")], "same order");
    refuses("compression", &[("compressions", "28, 27 bar"), ("wet-compressions", "29, 15 bar")], "less wet than dry");
    refuses("compression", &[("compressions", "28, NaN bar")], "");
    let told = [("compressions", "28, 27 bar"), ("compression-ratio", "17"), ("rod-length", "55 mm")];
    refuses("compression", &told, "cannot turn over");
    let many = vec!["28 bar"; 200].join(", ");
    refuses("compression", &[("compressions", &many)], "too many");
    let odd = [("compressions", "0, 28, 28, 28 bar"), ("leak-downs", "100, 0, 0, 8 %"), ("compression-ratio", "17")];
    let worked = try_work("compression", &odd).expect("a dead cylinder is no reason to refuse");
    assert!(worked.results.iter().all(|result| result.value.is_finite()), "{:?}", worked.results);
}
