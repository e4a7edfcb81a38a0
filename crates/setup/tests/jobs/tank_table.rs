//! Table of a tank.

use crate::check::Check;
use crate::{near, refuses, value, work};
use setup::worked::Worked;

fn told(pairs: &[(&'static str, String)]) -> Worked {
    let told: Vec<(&str, &str)> = pairs.iter().map(|(key, value)| (*key, value.as_str())).collect();
    work("tank-table", &told)
}

fn metres(key: &'static str, value: f64) -> (&'static str, String) {
    (key, format!("{value} m"))
}

#[test]
fn a_lying_cylinder_of_the_check_values() {
    for id in ["tank.cyl.10", "tank.cyl.25", "tank.cyl.50", "tank.cyl.80"] {
        let check = Check::of(id);
        let worked = told(&[
            ("tank-shape", "lying".into()),
            metres("tank-length", check.get("L_m")),
            metres("tank-diameter", check.get("D_m")),
            metres("dip", check.get("depth_m")),
        ]);
        check.holds(value(&worked, "volume") * 1e3);
    }
    // The dip for 100 L, the other way round: what it says there is 100 L.
    let check = Check::of("tank.cyl.half_litres");
    let worked = told(&[
        ("tank-shape", "lying".into()),
        metres("tank-length", check.get("L_m")),
        metres("tank-diameter", check.get("D_m")),
        metres("dip", check.numbers()[0]),
    ]);
    near(value(&worked, "volume") * 1e3, check.get("volume_L"), 1e-2);
}

#[test]
fn a_published_worked_tank() {
    // 64 in by 128 in with its ends counted in; 231 in³ to the gallon.
    let (full, dipped) = (Check::of("tank.kates.full"), Check::of("tank.kates.25in"));
    let worked = told(&[
        ("tank-shape", "lying".into()),
        ("tank-length", format!("{} in", full.get("length_in"))),
        ("tank-diameter", format!("{} in", dipped.get("diameter_in"))),
        ("dip", format!("{} in", dipped.get("depth_in"))),
    ]);
    let gallon = 231.0 * 0.0254_f64.powi(3);
    full.holds(value(&worked, "whole") / gallon);
    dipped.holds(value(&worked, "volume") / gallon);
}

/// Counts small boxes of a tank below a slanting surface: forward, to starboard, up; slow and without any formula.
fn counted(half: (f64, f64, f64), inside: impl Fn(f64, f64, f64) -> bool, below: impl Fn(f64, f64) -> f64) -> f64 {
    let count = 160;
    let mut held = 0.0;
    let at = |k: usize, half: f64| half * ((2 * k + 1) as f64 / f64::from(count) - 1.0);
    for i in 0..count as usize {
        for j in 0..count as usize {
            let (x, y) = (at(i, half.0), at(j, half.1));
            for k in 0..count as usize {
                let z = half.2 * (2 * k + 1) as f64 / f64::from(count);
                held += f64::from(u8::from(inside(x, y, z) && z < below(x, y)));
            }
        }
    }
    held * 8.0 * half.0 * half.1 * half.2 / f64::from(count).powi(3)
}

#[test]
fn a_tilted_surface_is_what_counting_small_boxes_gives() {
    let (heel, trim) = (8.0_f64.to_radians(), 3.0_f64.to_radians());
    let lies = [
        ("heel", "8°".to_string()),
        ("trim", "3°".into()),
        metres("pipe-along", -0.4),
        metres("pipe-across", 0.2),
        metres("pipe-foot", 0.0),
        metres("dip", 0.35),
    ];
    // To starboard it stands higher, aft it stands higher.
    let below = |x: f64, y: f64| 0.35 + (y - 0.2) * heel.tan() - (x + 0.4) * trim.tan();
    let case = |shape: &[(&'static str, String)], half, inside: &dyn Fn(f64, f64, f64) -> bool| {
        let mut all = shape.to_vec();
        all.extend(lies.iter().cloned());
        let ours = value(&told(&all), "volume");
        near(ours / counted(half, inside, below), 1.0, 3e-3);
    };
    case(
        &[
            ("tank-shape", "box".into()),
            metres("tank-length", 1.6),
            metres("tank-width", 0.8),
            metres("tank-height", 0.6),
        ],
        (0.8, 0.4, 0.3),
        &|_, _, _| true,
    );
    case(
        &[("tank-shape", "lying".into()), metres("tank-length", 1.6), metres("tank-diameter", 0.8)],
        (0.8, 0.4, 0.4),
        &|_, y, z| y * y + (z - 0.4).powi(2) < 0.16,
    );
    case(
        &[
            ("tank-shape", "lying".into()),
            ("tank-lies", "across".into()),
            metres("tank-length", 1.0),
            metres("tank-diameter", 0.9),
        ],
        (0.45, 0.5, 0.45),
        &|x, _, z| x * x + (z - 0.45).powi(2) < 0.2025,
    );
    case(
        &[("tank-shape", "standing".into()), metres("tank-height", 0.6), metres("tank-diameter", 1.0)],
        (0.5, 0.5, 0.3),
        &|x, y, _| x * x + y * y < 0.25,
    );
    let width = |z: f64| if z < 0.3 { 0.2 + z } else { 0.5 + (z - 0.3) * 0.5 / 0.3 };
    let wing = |side: &str| {
        vec![
            ("tank-shape", "sections".to_string()),
            ("straight-side", side.to_string()),
            metres("tank-length", 1.4),
            ("section-heights", "0, 300, 600 mm".into()),
            ("section-widths", "200, 500, 1000 mm".into()),
        ]
    };
    case(&wing("none"), (0.7, 0.5, 0.3), &|_, y, z| y.abs() < width(z) / 2.0);
    case(&wing("port"), (0.7, 0.5, 0.3), &|_, y, z| y < width(z) - 0.5);
    case(&wing("starboard"), (0.7, 0.5, 0.3), &|_, y, z| y > 0.5 - width(z));
}

#[test]
fn a_pipe_in_the_middle_of_a_box_reads_true_however_she_lies() {
    // Closed form: as long as the surface meets neither bottom nor top, length · width · height in the middle.
    let shape = [
        ("tank-shape", "box".to_string()),
        metres("tank-length", 1.0),
        metres("tank-width", 0.8),
        metres("tank-height", 0.6),
        metres("dip", 0.3),
    ];
    let mut aslant = shape.to_vec();
    aslant.extend([("heel", "12°".into()), ("trim", "4°".into())]);
    near(value(&told(&aslant), "volume"), 0.24, 1e-9);
    near(value(&told(&shape), "volume"), 0.24, 1e-9);
    // At the side it does not: 0.4 m to starboard of the middle, 12° to starboard.
    aslant.push(metres("pipe-across", 0.4));
    near(value(&told(&aslant), "volume"), 0.8 * (0.3 - 0.4 * 12.0_f64.to_radians().tan()), 1e-9);
    near(value(&told(&aslant), "read-level"), 0.24, 1e-9);
}

#[test]
fn free_surface_and_what_the_pick_up_leaves() {
    let mut shape = vec![
        ("tank-shape", "box".to_string()),
        metres("tank-length", 2.0),
        metres("tank-width", 0.9),
        metres("tank-height", 0.6),
        metres("dip", 0.3),
    ];
    shape.extend([("displacement", "30 t".to_string()), ("pick-up", "25 mm".into())]);
    let worked = told(&shape);
    // i = l b³/12; ρ i / displacement.
    near(value(&worked, "gm-loss"), 840.0 * 2.0 * 0.9_f64.powi(3) / 12.0 / 30e3, 1e-9);
    near(value(&worked, "unusable"), 2.0 * 0.9 * 0.025, 1e-9);
    near(value(&worked, "usable"), 2.0 * 0.9 * 0.275, 1e-9);
    // A pick-up forward, the stern down: more is out of its reach.
    shape.extend([("trim", "3°".to_string()), metres("pick-up-along", 0.9)]);
    assert!(value(&told(&shape), "unusable") > 2.5 * 2.0 * 0.9 * 0.025);
}

#[test]
fn a_tank_filled_by_known_amounts_is_read_between() {
    let worked = told(&[
        ("tank-shape", "filled".into()),
        ("fill-dips", "0, 120, 260, 410 mm".into()),
        ("fill-litres", "0, 50, 100, 150 L".into()),
        ("dip", "190 mm".into()),
    ]);
    near(value(&worked, "volume"), 0.075, 1e-9);
    near(value(&worked, "whole"), 0.150, 1e-9);
}

#[test]
fn tables_end_at_the_top_and_nonsense_is_refused() {
    let shape = [("tank-shape", "lying".to_string()), metres("tank-length", 1.5), metres("tank-diameter", 0.61)];
    let worked = told(&shape);
    let rows = &worked.tables[0].rows;
    assert_eq!((rows[0][1].as_str(), rows[rows.len() - 1][0].as_str()), ("0.0 L", "610 mm"));
    let litres: Vec<f64> = rows.iter().map(|row| row[1].trim_end_matches(" L").parse().expect("a number")).collect();
    assert!(litres.windows(2).all(|pair| pair[0] < pair[1]));
    let bad = |more: &[(&'static str, &str)], says: &str| {
        let mut all: Vec<(&str, &str)> =
            vec![("tank-shape", "box"), ("tank-length", "1 m"), ("tank-width", "0.8 m"), ("tank-height", "0.6 m")];
        all.extend(more.iter().copied());
        refuses("tank-table", &all, says);
    };
    bad(&[("dip", "700 mm")], "more than the tank is high");
    bad(&[("pipe-across", "0.5 m")], "outside the tank");
    bad(&[("pick-up", "700 mm")], "above the tank");
    bad(&[("dip-step", "1 mm")], "Larger steps");
    refuses("tank-table", &[("tank-shape", "lying"), ("tank-length", "1 m")], "this shape needs it");
    refuses(
        "tank-table",
        &[
            ("tank-shape", "sections"),
            ("tank-length", "1 m"),
            ("section-heights", "0, 100 mm"),
            ("section-widths", "200 mm"),
        ],
        "One width for each",
    );
    refuses(
        "tank-table",
        &[
            ("tank-shape", "sections"),
            ("tank-length", "1 m"),
            ("section-heights", "0, 0 mm"),
            ("section-widths", "200, 100 mm"),
        ],
        "rising order",
    );
    refuses(
        "tank-table",
        &[("tank-shape", "filled"), ("fill-dips", "0, 100 mm"), ("fill-litres", "0 L")],
        "rising order",
    );
}

#[test]
fn a_rod_strikes_the_bottom_under_its_pipe() {
    // A lying cylinder of 0.8 m, the pipe 0.24 m off its middle: the bottom there is 0.4 − √(0.4² − 0.24²) = 0.08 m up.
    let shape = [
        ("tank-shape", "lying".to_string()),
        metres("tank-length", 1.0),
        metres("tank-diameter", 0.8),
        metres("pipe-across", 0.24),
    ];
    let of = |more: &[(&'static str, String)]| {
        let mut all = shape.to_vec();
        all.extend(more.iter().cloned());
        value(&told(&all), "volume")
    };
    near(of(&[metres("dip", 0.25)]), of(&[metres("dip", 0.33), metres("pipe-foot", 0.0)]), 1e-9);
    // A wing tank, its hull from 0.2 m at the bottom to 1.0 m at 0.6 m up: at 0.1 m to starboard of the middle it is 0.3 m up.
    let wing = [
        ("tank-shape", "sections".to_string()),
        ("straight-side", "port".into()),
        metres("tank-length", 1.0),
        ("section-heights", "0, 600 mm".into()),
        ("section-widths", "200, 1000 mm".into()),
        metres("pipe-across", 0.1),
    ];
    let rows = told(&wing).tables[0].rows.clone();
    assert_eq!(rows[rows.len() - 1][0], "300 mm");
}

#[test]
fn as_many_widths_as_there_may_be_are_summed_aslant_in_time() {
    // Half an ellipse told by forty widths: what it holds is π/4 · width · height · length but for the corners between them.
    let heights: Vec<f64> = (0..40).map(|k| 0.6 * f64::from(k) / 39.0).collect();
    let widths: Vec<String> =
        heights.iter().map(|z| format!("{}", (1.0 - (1.0 - z / 0.6).powi(2)).max(0.0).sqrt())).collect();
    let heights: Vec<String> = heights.iter().map(f64::to_string).collect();
    let begun = std::time::Instant::now();
    let worked = told(&[
        ("tank-shape", "sections".into()),
        metres("tank-length", 2.0),
        ("section-heights", format!("{} m", heights.join(", "))),
        ("section-widths", format!("{} m", widths.join(", "))),
        metres("dip", 0.3),
        ("heel", "10 ± 1°".into()),
        ("trim", "3 ± 1°".into()),
    ]);
    println!("{:?}", begun.elapsed());
    near(value(&worked, "whole"), std::f64::consts::PI / 4.0 * 0.6 * 2.0, 0.003);
    assert!(worked.results.iter().any(|one| one.key == "volume" && one.doubt.is_some()));
    assert!(begun.elapsed() < std::time::Duration::from_secs(1), "{:?}", begun.elapsed());
}
