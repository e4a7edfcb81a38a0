//! Shaft alignment: held to published sheets, and to a coupling built and measured in numbers.

use crate::check::Check;
use crate::{near, refuses, try_work, value, work};
use setup::worked::Worked;
use std::f64::consts::TAU;

const HUNDREDTH: f64 = 1e-5;

fn with(told: &[(&str, String)]) -> Worked {
    let told: Vec<(&str, &str)> = told.iter().map(|(key, text)| (*key, text.as_str())).collect();
    work("alignment", &told)
}

/// A rim and face sheet, in the unit of the check.
fn rim_and_face(check: &Check, unit: &str, names: [&str; 5]) -> Worked {
    let get = |name: &str| format!("{} {unit}", check.get(name));
    let mut told = vec![
        ("method", "rim-and-face".to_string()),
        ("flange-diameter", get(names[2])),
        ("rim-bottom", get(names[0])),
        ("face-bottom", get(names[1])),
        ("face-swing", get(names[2])),
        ("aft-feet", get(names[3])),
        ("forward-feet", get(names[4])),
    ];
    if check.id.ends_with("sag") {
        told.push(("sag", get("sag_bottom_mm")));
    }
    with(&told)
}

const IN_MM: [&str; 5] =
    ["rim_bottom_mm", "face_bottom_mm", "face_swing_diameter_mm", "to_front_feet_mm", "to_rear_feet_mm"];
const IN_INCHES: [&str; 5] = ["rim_bottom", "face_bottom", "face_swing_diameter", "to_front_feet", "to_rear_feet"];

#[test]
fn rim_and_face_are_as_published() {
    for (id, key) in [
        ("align.rf.front", "shim-aft"),
        ("align.rf.front.sag", "shim-aft"),
        ("align.rf.zero", "shim-aft"),
        ("align.rf.rear", "shim-forward"),
    ] {
        let check = Check::of(id);
        check.holds(value(&rim_and_face(&check, "mm", IN_MM), key) * 1e3);
    }
    let check = Check::of("align.rf.formula");
    let worked = rim_and_face(&check, "in", IN_INCHES);
    check.hold(&["shim-aft", "shim-forward"].map(|key| value(&worked, key) / 0.0254));
}

#[test]
fn reverse_dials_are_a_straight_line_through_two_offsets() {
    for (id, key) in [("align.rd.front", "shim-aft"), ("align.rd.rear", "shim-forward")] {
        let check = Check::of(id);
        let mm = |name: &str| format!("{} mm", check.get(name));
        // Twice the offset is read: on the shaft's rim from the gear with its sign, the other way round against it.
        let worked = with(&[
            ("method", "reverse-dial".into()),
            ("flange-diameter", "150 mm".into()),
            ("shaft-dial-bottom", format!("{} mm", 2.0 * check.get("offset_plane_a_mm"))),
            ("gear-dial-bottom", format!("{} mm", -2.0 * check.get("offset_plane_b_mm"))),
            ("dials-apart", mm("planes_apart_mm")),
            ("aft-feet", mm("b_to_front_feet_mm")),
            ("forward-feet", mm("b_to_rear_feet_mm")),
        ]);
        check.holds(value(&worked, key) * 1e3);
    }
}

#[test]
fn a_rim_dial_shows_twice_the_offset_and_a_flange_may_gape_by_a_thousandth() {
    let check = Check::of("align.tir");
    let worked = with(&[
        ("method", "rim-and-face".into()),
        ("flange-diameter", "127 mm".into()),
        ("face-swing", "127 mm".into()),
        ("rim-bottom", format!("{} mm", check.get("TIR_mm"))),
        ("face-bottom", "0 mm".into()),
        ("aft-feet", "550 mm".into()),
        ("forward-feet", "1550 mm".into()),
    ]);
    check.holds(value(&worked, "offset") * 1e3);
    let check = Check::of("align.gap.angle");
    assert_eq!(check.get("flange_diameter_mm"), 127.0);
    check.holds(value(&worked, "gap-allowed") * 1e3);
    Check::of("align.flange.tol").holds(value(&worked, "gap-allowed") / 0.127);
}

const ASKED: [(&str, &str); 9] = [
    ("flange-diameter", "127 mm"),
    ("gap-top", "0.05 mm"),
    ("gap-bottom", "0.30 mm"),
    ("gap-port", "0.10 mm"),
    ("gap-starboard", "0.20 mm"),
    ("flange-above", "-0.20 mm"),
    ("aft-feet", "550 mm"),
    ("forward-feet", "1550 mm"),
    ("shaft-speed", "640 rpm"),
];

#[test]
fn feelers_as_in_the_worked_question() {
    let worked = work("alignment", &ASKED);
    for (key, mm) in [("shim-aft", -0.88), ("shim-forward", -2.85), ("side-aft", 0.43), ("side-forward", 1.22)] {
        near(value(&worked, key), mm * 1e-3, 0.5 * HUNDREDTH);
    }
    assert!(worked.says.contains("aft feet lower 0.88 mm, forward feet lower 2.85 mm"), "{}", worked.says);
    assert!(
        worked.says.contains("aft feet 0.43 mm to starboard, forward feet 1.22 mm to starboard"),
        "{}",
        worked.says
    );
    assert!(worked.says.starts_with("Out of line"), "{}", worked.says);
    // Two leaves of 0.015 mm over 127 mm, 1.55 m ahead, and the straight edge; top and bottom miss port and starboard by
    // 0.05 mm where four leaves have them miss by 0.03.
    let doubt = worked.results[1].doubt.expect("leaves are uncertain");
    near(doubt, (0.015e-3 * 2f64.sqrt() / 0.127 * 1.55 * 0.05 / 0.03).hypot(0.02e-3), 0.01e-3);
    let kept = worked.kept.iter().find(|kept| kept.name == "gap, bottom").expect("it is kept");
    assert_eq!(kept.found, Some(0.30e-3));
}

/// A gear flange whose middle is `o` off and whose axis leans by `s` from the shaft's, up and to starboard, and what dials
/// and feelers find there, point by point in space.
struct Coupling {
    o: [f64; 2],
    s: [f64; 2],
}

/// top, bottom, port, starboard
const ROUND: [[f64; 2]; 4] = [[1.0, 0.0], [-1.0, 0.0], [0.0, -1.0], [0.0, 1.0]];

impl Coupling {
    /// Dial on a rim of radius `r` standing `ahead` of the gear's face, its bracket on the other half: how far it is pressed in
    /// at each place, set to nothing at the top.
    fn rim(&self, r: f64, ahead: f64, bracket_on_gear: bool) -> [f64; 4] {
        let sign = if bracket_on_gear { -1.0 } else { 1.0 };
        let middle = [0, 1].map(|i| sign * (self.o[i] + self.s[i] * ahead));
        // From the axis the dial swings about, along its spoke to a circle of radius r about the other middle.
        let reach = |u: [f64; 2]| {
            let along = middle[0] * u[0] + middle[1] * u[1];
            let across = middle[0] * u[1] - middle[1] * u[0];
            along + (r * r - across * across).sqrt()
        };
        ROUND.map(|u| reach(u) - reach(ROUND[0]))
    }

    /// Gap between the faces on a circle of diameter `d`.
    fn gaps(&self, d: f64, clear: f64) -> [f64; 4] {
        ROUND.map(|u| clear - (self.s[0] * u[0] + self.s[1] * u[1]) * d / 2.0)
    }
}

fn list(values: impl IntoIterator<Item = f64>) -> String {
    values.into_iter().map(|value| format!("{:.7} mm", value * 1e3)).collect::<Vec<_>>().join(", ")
}

/// What must come out, whatever was measured with.
#[track_caller]
fn moves(worked: &Worked, coupling: &Coupling, aft: f64, forward: f64) {
    for (plane, key) in ["shim", "side"].iter().enumerate() {
        for (end, ahead) in [("aft", aft), ("forward", forward)] {
            let wanted = -(coupling.o[plane] + coupling.s[plane] * ahead);
            near(value(worked, &format!("{key}-{end}")), wanted, 0.1 * HUNDREDTH);
        }
    }
}

#[test]
fn every_way_of_measuring_finds_the_coupling_that_was_built() {
    let built = [
        Coupling { o: [0.21e-3, -0.08e-3], s: [0.7e-3, -1.1e-3] },
        Coupling { o: [-0.35e-3, 0.12e-3], s: [-0.4e-3, 0.2e-3] },
    ];
    let feet = [("aft-feet", "550 mm".to_string()), ("forward-feet", "1550 mm".to_string())];
    for coupling in &built {
        let [top, bottom, port, starboard] = coupling.gaps(0.127, 0.9e-3);
        let mut told = vec![("flange-diameter", "127 mm".to_string())];
        told.extend(feet.clone());
        for (key, gap) in [("gap-top", top), ("gap-bottom", bottom), ("gap-port", port), ("gap-starboard", starboard)] {
            told.push((key, list([gap])));
        }
        told.push(("flange-above", list([coupling.o[0]])));
        told.push(("flange-starboard", list([coupling.o[1]])));
        moves(&with(&told), coupling, 0.55, 1.55);
        for (bracket, on_gear) in [("engine", true), ("shaft", false)] {
            for (face, sign) in [("front", -1.0), ("back", 1.0)] {
                let rim = coupling.rim(0.0635, 0.0, on_gear);
                let gaps = coupling.gaps(0.11, 0.0);
                // A gap that narrows presses a dial on the face before it in, and one on the back of that flange out.
                let press = gaps.map(|gap| sign * (gap - gaps[0]));
                let sag = -0.05e-3;
                let mut told = vec![
                    ("method", "rim-and-face".to_string()),
                    ("flange-diameter", "127 mm".into()),
                    ("face-swing", "110 mm".into()),
                    ("bracket", bracket.into()),
                    ("face-touched", face.into()),
                    ("sag", list([sag])),
                    ("rim-bottom", list([rim[1] + sag])),
                    ("rim-port", list([rim[2] + sag / 2.0])),
                    ("rim-starboard", list([rim[3] + sag / 2.0])),
                    ("face-bottom", list([press[1]])),
                    ("face-port", list([press[2]])),
                    ("face-starboard", list([press[3]])),
                ];
                told.extend(feet.clone());
                moves(&with(&told), coupling, 0.55, 1.55);
            }
        }
        let (shaft, gear) = (coupling.rim(0.06, -0.2, true), coupling.rim(0.06, 0.0, false));
        let mut told = vec![
            ("method", "reverse-dial".to_string()),
            ("flange-diameter", "127 mm".into()),
            ("dials-apart", "200 mm".into()),
            ("shaft-dial-bottom", list([shaft[1]])),
            ("shaft-dial-port", list([shaft[2]])),
            ("shaft-dial-starboard", list([shaft[3]])),
            ("gear-dial-bottom", list([gear[1]])),
            ("gear-dial-port", list([gear[2]])),
            ("gear-dial-starboard", list([gear[3]])),
        ];
        told.extend(feet.clone());
        moves(&with(&told), coupling, 0.55, 1.55);
    }
}

#[test]
fn a_wobbling_flange_is_told_from_a_crooked_engine_whichever_way_it_is_turned() {
    let coupling = Coupling { o: [0.0; 2], s: [1.1e-3, -0.6e-3] };
    for (way, turns) in [(1.0, 4_usize), (-1.0, 4), (1.0, 2), (-1.0, 3)] {
        let mut gaps = vec![Vec::new(); 4];
        for turn in 0..turns {
            let at = way * TAU * turn as f64 / turns as f64 + 0.4;
            // The shaft lies a little farther aft each time.
            let true_gaps = coupling.gaps(0.127, 0.5e-3 + 0.1e-3 * turn as f64);
            for (place, gap) in true_gaps.iter().enumerate() {
                let wobble = 0.12e-3 * (ROUND[place][0] * at.cos() + ROUND[place][1] * at.sin());
                gaps[place].push(gap + wobble);
            }
        }
        let mut told = vec![
            ("flange-diameter", "127 mm".to_string()),
            ("flange-above", "0 mm".into()),
            ("aft-feet", "550 mm".into()),
            ("forward-feet", "1550 mm".into()),
        ];
        for (key, gaps) in ["gap-top", "gap-bottom", "gap-port", "gap-starboard"].into_iter().zip(gaps) {
            told.push((key, list(gaps)));
        }
        let worked = with(&told);
        moves(&worked, &coupling, 0.55, 1.55);
        let says = worked.flags.iter().any(|flag| flag.contains("out of true by 0.24 mm"));
        assert!(says, "{turns} turns: {:?}", worked.flags);
        assert!(!worked.flags.iter().any(|flag| flag.contains("do not go together")), "{:?}", worked.flags);
    }
}

#[test]
fn more_turns_are_surer() {
    let told = |gaps: [&'static str; 4]| {
        let mut told = ASKED.to_vec();
        for (key, gap) in ["gap-top", "gap-bottom", "gap-port", "gap-starboard"].into_iter().zip(gaps) {
            told.retain(|(other, _)| *other != key);
            told.push((key, gap));
        }
        work("alignment", &told).results[3].doubt.unwrap_or(0.0)
    };
    let once = told(["0.05 mm", "0.30 mm", "0.12 mm", "0.22 mm"]);
    let four = told([
        "0.05, 0.05, 0.05, 0.05 mm",
        "0.30, 0.30, 0.30, 0.30 mm",
        "0.12, 0.12, 0.12, 0.12 mm",
        "0.22, 0.22, 0.22, 0.22 mm",
    ]);
    near(four, once / 2.0, 0.03 * once);
}

#[test]
fn what_contradicts_itself_is_flagged_then_refused() {
    let told = |port: &'static str| {
        let mut told = ASKED.to_vec();
        told.retain(|(key, _)| *key != "gap-port");
        told.push(("gap-port", port));
        told
    };
    let odd = work("alignment", &told("0.22 mm"));
    assert!(
        odd.flags.iter().any(|flag| flag.contains("add up to 0.35 mm, port and starboard to 0.42 mm")),
        "{:?}",
        odd.flags
    );
    let doubt = |worked: &Worked| worked.results[3].doubt.unwrap_or(0.0);
    let even = work("alignment", &told("0.15 mm"));
    near(doubt(&odd) / doubt(&even), 0.07 / 0.03, 0.05);
    refuses("alignment", &told("0.60 mm"), "do not go together");
}

#[test]
fn one_pair_of_feet_alone_is_offered_only_where_it_does() {
    let slope = 2e-3;
    let d = 0.127;
    let told = [
        ("flange-diameter", "127 mm".to_string()),
        ("gap-top", list([0.3e-3 - slope * d / 2.0])),
        ("gap-bottom", list([0.3e-3 + slope * d / 2.0])),
        ("gap-port", list([0.3e-3])),
        ("gap-starboard", list([0.3e-3])),
        // The engine is right at its aft feet.
        ("flange-above", list([-slope * 0.55])),
        ("aft-feet", "550 mm".to_string()),
        ("forward-feet", "1550 mm".to_string()),
    ];
    let worked = with(&told);
    assert!(worked.says.contains("the forward feet alone, lower 2.00 mm"), "{}", worked.says);
    // Brute force over moves of either pair finds the same least.
    let off = |aft: f64, forward: f64| {
        let (o, s) = (-slope * 0.55, slope);
        let turn = forward - aft;
        let left = (o + aft - turn * 0.55, s + turn);
        (left.0 / 0.1e-3).abs().max((left.1 * 1000.0).abs())
    };
    let scan = |of: &dyn Fn(f64) -> f64| {
        (-40_000..40_000).map(|step| of(f64::from(step) * 1e-7)).fold(f64::INFINITY, f64::min)
    };
    assert!(scan(&|by| off(by, 0.0)) > 1.0 && scan(&|by| off(0.0, by)) < 1e-3);
    assert!(worked.tables[0].rows[0][4] == "not within" && worked.tables[0].rows[1][4] == "within");
    assert!(work("alignment", &ASKED).says.contains("No single pair"), "the question needs both");
}

#[test]
fn what_will_yet_rise_is_set_low() {
    let mut told = ASKED.to_vec();
    told.extend([("warm-rise-aft", "0.10 mm"), ("warm-rise-forward", "0.25 mm"), ("afloat-rise-forward", "0.05 mm")]);
    let (cold, warm) = (work("alignment", &ASKED), work("alignment", &told));
    near(value(&warm, "shim-aft"), value(&cold, "shim-aft") - 0.10e-3, 1e-9);
    near(value(&warm, "shim-forward"), value(&cold, "shim-forward") - 0.30e-3, 1e-9);
    near(value(&warm, "side-aft"), value(&cold, "side-aft"), 1e-12);
}

#[test]
fn a_soft_foot_comes_first() {
    let mut told = ASKED.to_vec();
    told.extend([("soft-foot", "0.02, 0.14, 0, 0.03 mm"), ("feet-across", "560 mm")]);
    let worked = work("alignment", &told);
    assert!(worked.steps[1].says.contains("aft starboard 0.14 mm"), "{:?}", worked.steps);
    assert!(worked.flags.iter().any(|flag| flag.contains("0.25 mm/m")), "{:?}", worked.flags);
}

#[test]
fn what_cannot_be_is_refused() {
    let told = |changes: &[(&'static str, &'static str)]| {
        let mut told = ASKED.to_vec();
        told.retain(|(key, _)| changes.iter().all(|(other, _)| other != key));
        told.extend(changes.iter().filter(|(_, value)| !value.is_empty()));
        told
    };
    refuses("alignment", &told(&[("gap-bottom", "15 mm")]), "no gap between flanges");
    refuses("alignment", &told(&[("gap-bottom", "150 mm")]), "cannot be");
    refuses("alignment", &told(&[("aft-feet", "1550 mm")]), "stand at one place");
    refuses("alignment", &told(&[("gap-top", "0.1, 0.2 mm")]), "where others have 2");
    refuses(
        "alignment",
        &told(&[("gap-top", ""), ("gap-bottom", ""), ("gap-port", ""), ("gap-starboard", "")]),
        "nothing is read",
    );
    refuses("alignment", &told(&[("gap-bottom", ""), ("gap-port", "")]), "too little");
    refuses("alignment", &told(&[("method", "rim-and-face")]), "needs it");
    refuses("alignment", &told(&[("gap-top", "NaN mm")]), "");
    refuses(
        "alignment",
        &told(&[("gap-top", "0 mm"), ("gap-bottom", "5 mm"), ("gap-port", "2.5 mm"), ("gap-starboard", "2.5 mm")]),
        "over each metre",
    );
    let many = vec!["0.1"; 200].join(", ") + " mm";
    let mut all = ASKED.to_vec();
    all.retain(|(key, _)| *key != "gap-top");
    all.push(("gap-top", &many));
    assert!(try_work("alignment", &all).is_err());
    // One plane alone is worked, and said.
    let one = work("alignment", &told(&[("gap-port", ""), ("gap-starboard", "")]));
    assert!(one.value("side-aft").is_none() && one.flags.iter().any(|flag| flag.contains("Only one plane")));
    near(value(&one, "shim-aft"), -0.88e-3, 0.5 * HUNDREDTH);
}
