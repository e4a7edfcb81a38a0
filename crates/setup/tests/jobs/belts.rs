//! Belts: the general way held to the two-pulley laws and their checks, tension to textbooks, everything else to a drive
//! reckoned another way.

use crate::check::Check;
use crate::{near, refuses, try_work, value, work};
use physics::drive::crossed_belt_length;
use setup::worked::Worked;
use std::f64::consts::PI;

fn with(told: &[(&str, String)]) -> Worked {
    let told: Vec<(&str, &str)> = told.iter().map(|(key, text)| (*key, text.as_str())).collect();
    work("belts", &told)
}

/// The two pulleys of a check, the big one driving.
fn pair(check: &Check) -> Vec<(&'static str, String)> {
    vec![
        ("pulley-diameter", format!("{}, {} m", check.get("big_m"), check.get("small_m"))),
        ("centres", format!("{} m", check.get("centres_m"))),
    ]
}

#[test]
fn the_general_way_is_that_of_two_pulleys() {
    let check = Check::of("belt.length");
    check.holds(value(&with(&pair(&check)), "length") * 1e3);
    let check = Check::of("belt.wrap.small");
    check.holds(value(&with(&pair(&check)), "wrap-2").to_degrees());
    // A belt of 1400 mm asks for the centres of the check: from 420 mm the small one moves the rest.
    let check = Check::of("belt.centres");
    let told = [
        ("pulley-diameter", format!("{}, {} m", check.get("big_m"), check.get("small_m"))),
        ("centres", "420 mm".into()),
        ("belt-length", format!("{} mm", check.get("length_mm"))),
    ];
    check.holds(420.0 + value(&with(&told), "tensioner-move") * 1e3);
}

#[test]
fn tension_at_the_limit_of_slip_is_that_of_the_books() {
    for (id, sum) in [("belt.tight", false), ("belt.hub", true)] {
        let check = Check::of(id);
        let mut told = pair(&check);
        told.extend([
            ("driver-speed", format!("{} rpm", check.get("big_pulley_rpm"))),
            ("pulley-power", format!("0, {} W", check.get("power_W"))),
            ("friction", check.get("mu").to_string()),
            ("groove", format!("{} °", check.get("groove_deg"))),
            ("slip-margin", "1".into()),
            // The check leaves what is flung out.
            ("belt-mass", "0.005 kg".into()),
        ]);
        let worked = with(&told);
        let speed = value(&worked, "belt-speed");
        let flung = 0.005 / value(&worked, "length") * speed * speed;
        let (tight, slack) = (value(&worked, "tight") - flung, value(&worked, "slack") - flung);
        check.holds(if sum { tight + slack } else { tight });
    }
    let check = Check::of("belt.frequency");
    let mut told = pair(&check);
    told.extend([
        ("driver-speed", "1000 rpm".into()),
        ("tension-set", format!("{} N", check.get("tension_N"))),
        ("belt-mass", format!("{} kg", check.get("mass_kg_per_m") * value(&with(&pair(&check)), "length"))),
    ]);
    let worked = with(&told);
    check.holds(value(&worked, "frequency"));
    // And back by ear.
    told.retain(|(key, _)| *key != "tension-set");
    told.push(("frequency-set", format!("{} Hz", value(&worked, "frequency"))));
    near(value(&with(&told), "rest"), check.get("tension_N"), 1e-6);
}

#[test]
fn books_of_flat_belts_are_met() {
    // Their greatest tension is given and the power sought: told that power, ours must be tight to their tension.
    let check = Check::of("belt.khurmi11.11.p");
    let power = check.numbers()[0];
    let mass = check.get("mass_kg_per_m");
    let base = vec![
        ("pulley-diameter", format!("{}, {} m", check.get("d1_m"), check.get("d2_m"))),
        ("centres", format!("{} m", check.get("centres_m"))),
    ];
    let length = value(&with(&base), "length");
    let mut told = base;
    told.extend([
        ("belt-kind", "flat".into()),
        ("belt-mass", format!("{} kg", mass * length)),
        ("driver-speed", format!("{} rpm", check.get("rpm1"))),
        ("pulley-power", format!("0, {power} kW")),
        ("friction", check.get("mu").to_string()),
        ("slip-margin", "1".into()),
    ]);
    near(value(&with(&told), "tight") / check.get("T_max_N"), 1.0, 0.003);
    let check = Check::of("belt.alternator.power");
    let told = [
        ("pulley-diameter", "180, 75 mm".into()),
        ("centres", "290 mm".into()),
        ("driver-speed", "1500 rpm".into()),
        ("alternator-current", format!("{} A", check.get("amps"))),
        ("alternator-voltage", format!("{} V", check.get("volts"))),
        ("alternator-efficiency", check.get("efficiency").to_string()),
    ];
    check.holds(value(&with(&told), "power"));
}

#[test]
fn the_charging_belt_of_the_worked_question() {
    let worked = work(
        "belts",
        &[
            ("pulley-diameter", "180, 75 mm"),
            ("pulley-names", "crank, alternator"),
            ("centres", "290 mm"),
            ("driver-speed", "1500 rpm"),
            ("alternator-current", "120 A"),
            ("alternator-voltage", "28.4 V"),
            ("alternator-efficiency", "0.58"),
            ("belt-width", "13 mm"),
        ],
    );
    near(value(&worked, "wrap-2").to_degrees(), 159.0, 0.5);
    near(value(&worked, "span"), 0.285, 0.5e-3);
    near(value(&worked, "deflection"), 4.5e-3, 0.05e-3);
    near(value(&worked, "power"), 5.9e3, 50.0);
    near(value(&worked, "belt-speed"), 14.1, 0.05);
    near(value(&worked, "pull"), 416.0, 0.5);
    let flag = worked.flags.iter().find(|flag| flag.starts_with("Too much")).expect("one belt is too little");
    assert!(flag.contains("2 side by side") && flag.contains("[Trade] 2.7"), "{flag}");
    let two = work(
        "belts",
        &[
            ("pulley-diameter", "180, 75 mm"),
            ("centres", "290 mm"),
            ("driver-speed", "1500 rpm"),
            ("pulley-power", "0, 5.876 kW"),
            ("belts", "2"),
        ],
    );
    assert!(!two.flags.iter().any(|flag| flag.starts_with("Too much")), "{:?}", two.flags);
    near(value(&two, "pull"), 416.0, 0.5);
}

const SERPENTINE: [(&str, &str); 8] = [
    ("pulley-diameter", "160, 60, 120, 60 mm"),
    ("pulley-names", "crank, idler, pump, alternator"),
    ("pulley-x", "0, 110, 40, -200 mm"),
    ("pulley-y", "0, 130, 260, 180 mm"),
    ("pulley-side", "inside, outside, inside, inside"),
    ("belt-kind", "ribbed"),
    ("driver-speed", "1800 rpm"),
    ("pulley-power", "0, 0, 0.8, 2.4 kW"),
];

/// Length of the shortest loop about circles: the hull of very many points of them, and which of them it touches.
fn hull(circles: &[(f64, f64, f64)]) -> (f64, Vec<bool>) {
    let around = |place: usize| {
        let (x, y, r) = circles[place];
        (0..3600).map(move |step| {
            let angle = f64::from(step) * PI / 1800.0;
            (x + r * angle.cos(), y + r * angle.sin(), place)
        })
    };
    let mut points: Vec<(f64, f64, usize)> = (0..circles.len()).flat_map(around).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let half = |points: &mut dyn Iterator<Item = (f64, f64, usize)>| {
        let mut kept: Vec<(f64, f64, usize)> = Vec::new();
        for c in points {
            while let [.., a, b] = kept[..]
                && (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0) <= 0.0
            {
                kept.pop();
            }
            kept.push(c);
        }
        kept.pop();
        kept
    };
    let mut all = half(&mut points.iter().copied());
    all.extend(half(&mut points.iter().rev().copied()));
    let next = all.iter().cycle().skip(1);
    let length = all.iter().zip(next).map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1)).sum();
    (length, (0..circles.len()).map(|place| all.iter().any(|point| point.2 == place)).collect())
}

#[test]
fn the_belt_is_the_shortest_loop_about_its_pulleys() {
    let mut seed = 7_u64;
    let mut random = move |from: f64, to: f64| {
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        from + (to - from) * (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let (mut worked_out, mut refused) = (0, 0);
    for _ in 0..60 {
        let count = random(3.0, 9.0) as usize;
        let circles: Vec<(f64, f64, f64)> = (0..count)
            .map(|place| {
                let angle = 2.0 * PI * (place as f64 + random(0.0, 0.5)) / count as f64;
                let far = random(0.25, 0.6);
                (far * angle.cos(), far * angle.sin(), random(0.02, 0.09))
            })
            .collect();
        let join = |of: &dyn Fn(&(f64, f64, f64)) -> f64| {
            circles.iter().map(|one| format!("{:.9}", of(one) * 1e3)).collect::<Vec<_>>().join(", ") + " mm"
        };
        let told = [
            ("pulley-diameter", join(&|one| 2.0 * one.2)),
            ("pulley-x", join(&|one| one.0)),
            ("pulley-y", join(&|one| one.1)),
        ];
        let told: Vec<(&str, &str)> = told.iter().map(|(key, text)| (*key, text.as_str())).collect();
        let (length, touched) = hull(&circles);
        match try_work("belts", &told) {
            Ok(worked) => {
                near(value(&worked, "length") / length, 1.0, 1e-5);
                worked_out += 1;
            }
            Err(no) => {
                assert!(touched.contains(&false), "{no:?} but every pulley is touched: {told:?}");
                refused += 1;
            }
        }
    }
    assert!(worked_out > 20 && refused > 2, "{worked_out} {refused}");
}

#[test]
fn power_is_handed_on_from_span_to_span() {
    let worked = work("belts", &SERPENTINE);
    let speed = value(&worked, "belt-speed");
    let spans = worked.tables.iter().find(|table| table.title.starts_with("Spans")).expect("spans");
    let tension = |place: usize| -> f64 { spans.rows[place][3].trim_end_matches(" N").parse().expect("newtons") };
    // Crank → idler → pump → alternator → crank; an idler takes nothing.
    near(tension(1) - tension(0), 0.0, 1.0);
    near(tension(2) - tension(1), 800.0 / speed, 1.0);
    near(tension(3) - tension(2), 2400.0 / speed, 1.0);
    // The pulley that decides has the margin that is usual in grooves, the others more.
    let pulleys = worked.tables.iter().find(|table| table.title.starts_with("Pulleys, running")).expect("pulleys");
    let margins = pulleys.rows.iter().filter_map(|row| row[2].parse::<f64>().ok()).collect::<Vec<_>>();
    assert_eq!(margins.len(), 3, "the idler carries nothing");
    near(margins.iter().copied().fold(f64::INFINITY, f64::min), 3.0, 1e-9);
    // At rest as long as running.
    let lengths: Vec<f64> =
        spans.rows.iter().map(|row| row[1].trim_end_matches(" mm").parse().expect("millimetres")).collect();
    let mean = (0..4).map(|place| tension(place) * lengths[place]).sum::<f64>() / lengths.iter().sum::<f64>();
    near(value(&worked, "rest"), mean, 1.0);
    // A hub between parallel spans of 180° bears twice the tension; round less, less.
    for (place, wrap) in
        [(1, "wrap-1"), (2, "wrap-2"), (3, "wrap-3"), (4, "wrap-4")].map(|(place, key)| (place, value(&worked, key)))
    {
        let hub = value(&worked, &format!("hub-{place}"));
        near(hub, 2.0 * value(&worked, "rest") * (wrap / 2.0).sin(), 1e-6 * hub.max(1.0));
    }
}

#[test]
fn a_slack_belt_slips_and_is_told_of() {
    let mut told = SERPENTINE.to_vec();
    told.push(("tension-set", "60 N"));
    let worked = work("belts", &told);
    assert!(value(&worked, "margin") < 1.0);
    assert!(worked.flags.iter().any(|flag| flag.contains("slips on")), "{:?}", worked.flags);
    near(value(&worked, "rest"), 60.0, 1e-9);
}

#[test]
fn told_the_other_way_round_it_is_turned() {
    // Seen so the order above runs anticlockwise; told clockwise, the alternator comes first.
    let mut told = SERPENTINE.to_vec();
    told.push(("driver-turns", "clockwise"));
    let (one, other) = (work("belts", &SERPENTINE), work("belts", &told));
    near(value(&other, "length"), value(&one, "length"), 1e-12);
    assert!(other.flags.iter().any(|flag| flag.contains("other way round")), "{:?}", other.flags);
    assert_eq!(other.tables[0].rows[1][0], "alternator");
    // Then the alternator stands on the slack side.
    let slack = |worked: &Worked| {
        worked.tables.iter().find(|table| table.title.starts_with("Spans")).map(|table| table.rows[0][0].clone())
    };
    assert_eq!(slack(&other).as_deref(), Some("crank to alternator"));
}

#[test]
fn the_tensioner_goes_where_the_belt_fits() {
    let mut told = SERPENTINE.to_vec();
    told.extend([("tensioner", "4"), ("tensioner-moves", "150 °")]);
    let length = value(&work("belts", &told), "length");
    let moved = 0.0123_f64;
    let angle = 150f64.to_radians();
    let x = format!("0, 110, 40, {} mm", -200.0 + moved * 1e3 * angle.cos());
    let y = format!("0, 130, 260, {} mm", 180.0 + moved * 1e3 * angle.sin());
    let mut there = told.clone();
    there.retain(|(key, _)| *key != "pulley-x" && *key != "pulley-y");
    there.extend([("pulley-x", x.as_str()), ("pulley-y", y.as_str())]);
    let longer = value(&work("belts", &there), "length");
    assert!(longer > length + 0.01);
    let text = format!("{} mm", longer * 1e3);
    told.push(("belt-length", &text));
    near(value(&work("belts", &told), "tensioner-move"), moved, 1e-8);
    refuses(
        "belts",
        &[("pulley-diameter", "180, 75 mm"), ("centres", "290 mm"), ("belt-length", "5 m")],
        "finds no place",
    );
}

#[test]
fn teeth_are_whole() {
    // 20 and 40 teeth of 9.525 mm at equal pitch: 100 teeth reach over centres by the two-pulley law.
    let diameter = |teeth: f64| teeth * 9.525 / PI;
    let told = [
        ("pulley-diameter", format!("{}, {} mm", diameter(40.0), diameter(20.0))),
        ("centres", "330 mm".to_string()),
        ("belt-kind", "toothed".into()),
        ("tooth-pitch", "9.525 mm".into()),
    ];
    let worked = with(&told);
    let made = worked.tables.iter().find(|table| table.title.starts_with("Lengths")).expect("lengths");
    let teeth = value(&worked, "length") / 9.525e-3;
    assert!(made.rows.iter().any(|row| row[1] == format!("{:.0} teeth", teeth.floor())), "{made:?}");
    assert!(!worked.flags.iter().any(|flag| flag.contains("would have")), "{:?}", worked.flags);
    let mut odd = told.to_vec();
    odd[0].1 = "121, 60 mm".into();
    assert!(with(&odd).flags.iter().any(|flag| flag.contains("would have")));
}

#[test]
fn what_cannot_be_is_refused() {
    let pair = |diameters, centres| [("pulley-diameter", diameters), ("centres", centres)];
    refuses("belts", &pair("180, 75 mm", "120 mm"), "overlap");
    refuses("belts", &pair("180 mm", "290 mm"), "1 pulleys");
    refuses("belts", &[("pulley-diameter", "180, 75 mm")], "centres will do");
    refuses("belts", &[("pulley-diameter", "180, 75, 60 mm"), ("centres", "290 mm")], "two pulleys only");
    let crossed = [("pulley-diameter", "450, 200 mm"), ("centres", "1.95 m"), ("pulley-side", "inside, outside")];
    refuses("belts", &crossed, "cross itself");
    assert!(crossed_belt_length(0.45, 0.2, 1.95) > 4.9, "such a belt has a length, and is not one of an engine");
    let bow = [
        ("pulley-diameter", "80, 80, 80, 80 mm"),
        ("pulley-x", "0, 300, 300, 0 mm"),
        ("pulley-y", "0, 300, 0, 300 mm"),
    ];
    refuses("belts", &bow, "");
    refuses("belts", &[("pulley-diameter", "80, 80, 80 mm"), ("pulley-x", "0, 300 mm")], "2 values for 3");
    let many = vec!["50"; 200].join(", ") + " mm";
    refuses("belts", &[("pulley-diameter", &many), ("pulley-x", "0 mm")], "200 pulleys");
    refuses("belts", &[("pulley-diameter", "180, 75 mm"), ("centres", "290 mm"), ("tensioner", "3")], "no pulley 3");
}
