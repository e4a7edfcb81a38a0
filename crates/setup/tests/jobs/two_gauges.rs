//! Which of two gauges lies, against gauges made to lie, a closed form, and the reader of her text.

use crate::check::Check;
use crate::{near, refuses, value, work};
use setup::worked::Worked;

/// A gauge that shows too much by an offset and a factor [°C].
fn shows(truth: f64, offset: f64, factor: f64) -> f64 {
    offset + factor * truth
}

fn list(values: &[f64]) -> String {
    values.iter().map(|value| format!("{value:.2} °C")).collect::<Vec<_>>().join(", ")
}

fn doubt(worked: &Worked, key: &str) -> f64 {
    worked.results.iter().find(|result| result.key == key).and_then(|result| result.doubt).expect("a doubt")
}

#[test]
fn a_gauge_made_to_lie_is_found_and_put_right() {
    for (offset, factor) in [(6.0, 1.0), (-9.0, 1.0), (1.0, 1.12), (12.0, 0.95)] {
        let truths = [78.0, 84.0, 90.0];
        let a = list(&truths.map(|truth| shows(truth, offset, factor)));
        let (b, ice, boil) =
            (list(&truths), list(&[shows(0.0, offset, factor)]), list(&[shows(100.0, offset, factor)]));
        let told = [
            ("a-temperatures", a.as_str()),
            ("b-temperatures", &b),
            ("a-in-ice", &ice),
            ("a-boiling", &boil),
            ("b-in-ice", "0 °C"),
            ("b-boiling", "100 °C"),
        ];
        let worked = work("two-gauges", &told);
        // Its error where it was read, the middle of what both showed, comes out within what is said to hold 95 %.
        let off = value(&worked, "a-offset");
        let middle = truths.iter().map(|truth| f64::midpoint(*truth, shows(*truth, offset, factor))).sum::<f64>() / 3.0;
        near(off, shows(middle, offset, factor) - middle, 2.0 * doubt(&worked, "a-offset"));
        near(value(&worked, "a-factor"), factor, 2.5 * doubt(&worked, "a-factor"));
        near(value(&worked, "b-offset"), 0.0, 2.0 * doubt(&worked, "b-offset"));
        assert!(worked.says.starts_with("A lies: "), "{offset} {factor}: {}", worked.says);
        assert!(worked.says.contains(if off > 0.0 { "too much" } else { "too little" }), "{}", worked.says);
        assert!(value(&worked, "b-lies") < 0.1);
    }
}

#[test]
fn one_look_alone_is_shared_by_what_each_promises() {
    // In closed form: offsets with variances of each way, the reading's scatter beside them; at the middle no scale counts.
    let apart = 9.0;
    let good = |within: f64| (within / 1.959964f64).powi(2);
    let (promised_a, promised_b, scatter) = (4.0, 2.0, 2.0 * 0.5f64.powi(2));
    let (mut chances, mut mean) = (0.0, 0.0);
    for (a, b, prior) in [(1.0, 1.0, 0.7225), (25.0, 1.0, 0.1275), (1.0, 25.0, 0.1275), (25.0, 25.0, 0.0225)] {
        let (a, b) = (a * good(promised_a), b * good(promised_b));
        let all = a + b + scatter;
        let likely = prior * (-0.5 * apart * apart / all).exp() / all.sqrt();
        chances += likely;
        mean += likely * apart * a / all;
    }
    let told = [("a-temperatures", "89 °C"), ("b-temperatures", "80 °C"), ("b-temperature-within", "2 K")];
    let worked = work("two-gauges", &told);
    near(value(&worked, "a-offset"), mean / chances, 0.02);
    assert!(worked.flags.iter().any(|flag| flag.contains("rests on what each promises alone")), "{:?}", worked.flags);
    // Alike in promise they are alike in blame, and nothing is pasted.
    let alike = work("two-gauges", &[("a-temperatures", "89 °C"), ("b-temperatures", "80 °C")]);
    near(value(&alike, "a-lies"), value(&alike, "b-lies"), 1e-9);
    assert!(alike.says.contains("nothing read tells which"), "{}", alike.says);
    assert!(alike.tables.iter().all(|table| !table.title.starts_with("The correction")));
}

#[test]
fn changed_over_the_place_is_told_from_the_gauge() {
    let stays = [
        ("a-temperatures", "84, 90 °C"),
        ("b-temperatures", "75, 81 °C"),
        ("a-temperatures-swapped", "75, 81 °C"),
        ("b-temperatures-swapped", "84, 90 °C"),
    ];
    let worked = work("two-gauges", &stays);
    near(value(&worked, "place"), 9.0, 0.1);
    assert!(value(&worked, "a-lies") < 0.1 && value(&worked, "b-lies") < 0.1, "{}", worked.says);
    assert!(worked.flags.iter().any(|flag| flag.contains("the first has 9.0 K more")), "{:?}", worked.flags);
    let follows = [
        ("a-temperatures", "84, 90 °C"),
        ("b-temperatures", "75, 81 °C"),
        ("a-temperatures-swapped", "84, 90 °C"),
        ("b-temperatures-swapped", "75, 81 °C"),
        ("b-in-ice", "0.2 °C"),
        ("b-boiling", "100.1 °C"),
    ];
    let worked = work("two-gauges", &follows);
    near(value(&worked, "place"), 0.0, 0.1);
    assert!(worked.says.starts_with("A lies: nearly certain. It shows 9."), "{}", worked.says);
}

#[test]
fn water_boils_where_the_air_says() {
    for id in ["fw.psat.90", "fw.pub.psat"] {
        let check = Check::of(id);
        let (pressure, truth) = match id {
            "fw.psat.90" => (check.numbers()[0], check.get("T_degC")),
            // Beyond any barometer: refused.
            _ => (check.numbers()[0] * 1e6, check.get("T_K") - 273.15),
        };
        let (air, boils) = (format!("{pressure} Pa_abs"), format!("{} °C", truth + 8.0));
        let told = [("a-boiling", boils.as_str()), ("air-pressure", &air)];
        if id == "fw.pub.psat" {
            refuses("two-gauges", &told, "cannot be");
            continue;
        }
        let worked = work("two-gauges", &told);
        let known = worked.tables.iter().find(|table| table.title.starts_with("Where the truth")).expect("a table");
        assert_eq!(known.rows[0][1..3], ["98.0 °C".to_string(), "90.0 °C".to_string()], "{known:?}");
    }
    // By height: 1 000 m of a standard day is 898.75 hPa [USSA76 table], where water boils at 96.65 °C.
    let worked = work("two-gauges", &[("a-boiling", "99 °C"), ("height-above-sea", "1000 m")]);
    let known = worked.tables.iter().find(|table| table.title.starts_with("Where the truth")).expect("a table");
    assert!(["96.6 °C", "96.7 °C"].contains(&known.rows[0][2].as_str()), "{known:?}");
}

#[test]
fn the_correction_is_taken_by_the_reader_of_her_text() {
    let told = [
        ("a-name", "coolant"),
        ("b-name", "hand"),
        ("day", "2026-05-03"),
        ("a-temperatures", "84, 90 °C"),
        ("b-temperatures", "78, 84 °C"),
        ("a-in-ice", "5 °C"),
        ("a-boiling", "107 °C"),
    ];
    let worked = work("two-gauges", &told);
    let table = worked.tables.iter().find(|table| table.title.starts_with("The correction of coolant")).expect("one");
    let entry: Vec<&str> = table.heads.iter().chain(table.rows.iter().flatten()).map(String::as_str).collect();
    let text = format!(
        "[vessel]\nname = \"a plant\"\n[engine.main]\nrated = {{ power = \"60 kW\", speed = \"1800 rpm\" }}\n[gauge.coolant]\nat = \"main.coolant-out\"\nreads = \"temperature\"\n{}\n",
        entry.join("\n")
    );
    let (plant, findings) = plant::reader::read(&text);
    let plant = plant.unwrap_or_else(|| panic!("{findings:?}"));
    let gauge = plant.gauges.iter().find(|gauge| gauge.name == "coolant").expect("the gauge");
    assert_eq!(gauge.calibrated.len(), 1, "{findings:?}\n{text}");
    let found = &gauge.calibrated[0].found;
    // What was read stands there as read.
    assert!(
        found.iter().any(|(shows, truth)| (shows - 278.15).abs() < 1e-6 && (truth - 273.15).abs() < 1e-6),
        "{found:?}"
    );
    // The reader's own correction agrees with ours between.
    near(gauge.calibrated[0].corrected(357.15) - 273.15, 78.0, 1.0);
}

#[test]
fn pressures_and_voltages_are_gauges_too() {
    let told = [
        ("a-pressures", "2.4, 3.1 bar"),
        ("b-pressures", "3.2, 3.9 bar"),
        ("a-stopped", "0 bar"),
        ("b-stopped", "0.8 bar"),
    ];
    let worked = work("two-gauges", &told);
    assert!(worked.says.starts_with("B lies: "), "{}", worked.says);
    near(value(&worked, "b-offset"), 0.8e5, 0.15e5);
    let volts = [("a-voltages", "12.4, 13.9 V"), ("b-voltages", "12.5, 14.0 V")];
    assert!(work("two-gauges", &volts).says.starts_with("Nothing says that either lies"));
}

#[test]
fn what_contradicts_is_refused() {
    refuses("two-gauges", &[], "No reading");
    refuses("two-gauges", &[("a-temperatures", "80, 81 °C"), ("b-temperatures", "80 °C")], "same minute");
    refuses("two-gauges", &[("a-temperatures", "80, 82, 95 °C"), ("b-temperatures", "84, 86, 70 °C")], "contradict");
    refuses("two-gauges", &[("a-temperatures", "80 °C"), ("b-temperatures", "300 °C")], "not two readings");
    let both = [("a-temperatures", "80 °C"), ("b-temperatures", "81 °C"), ("a-stopped", "0.1 bar")];
    refuses("two-gauges", &both, "more than one sort");
    let chosen = work("two-gauges", &[&both[..], &[("gauge-quantity", "temperature")]].concat());
    assert!(chosen.flags.iter().any(|flag| flag.contains("left out")), "{:?}", chosen.flags);
    refuses(
        "two-gauges",
        &[("a-pressures", "2 bar"), ("b-pressures", "2 bar"), ("gauge-quantity", "voltage")],
        "Choose",
    );
    refuses("two-gauges", &[("a-in-ice", "1 °C"), ("a-name", "x"), ("b-name", "x")], "one name");
    refuses("two-gauges", &[("a-in-ice", "1 °C"), ("a-name", "a\"] x")], "no gauge");
    refuses("two-gauges", &[("a-in-ice", "1 °C"), ("day", "yesterday")], "2026-05-03");
    refuses("two-gauges", &[("a-cold", "20 °C")], "one gauge alone");
    let many = vec!["80 °C"; 200].join(", ");
    refuses("two-gauges", &[("a-temperatures", &many), ("b-temperatures", &many)], "too many");
}
