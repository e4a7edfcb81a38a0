//! Curve of a sender.

use crate::check::Check;
use crate::{near, refuses, value, work};
use setup::worked::Worked;

fn told(pairs: &[(&'static str, String)]) -> Worked {
    let told: Vec<(&str, &str)> = pairs.iter().map(|(key, value)| (*key, value.as_str())).collect();
    work("sender-curve", &told)
}

#[test]
fn readings_of_the_check_values() {
    let check = Check::of("el.pt100.inverse");
    let worked = told(&[("sender-sort", "platinum".into()), ("read-ohms", format!("{} ohm", check.get("R_ohm")))]);
    check.holds(value(&worked, "value") - 273.15);
    Check::of("el.pub.pt100.classb").holds(value(&worked, "class-b"));
    for id in ["el.pub.pt100.0", "el.pub.pt100.50", "el.pub.pt100.100", "el.pub.pt100.150", "el.pub.pt100.400"] {
        let check = Check::of(id);
        let worked = told(&[("sender-sort", "platinum".into()), ("read-ohms", format!("{} ohm", check.numbers()[0]))]);
        // The table is rounded to 0.01 Ω: 0.03 K.
        near(value(&worked, "value") - 273.15, check.get("T_degC"), 0.03);
    }
    let check = Check::of("el.typek.cjc");
    let worked = told(&[
        ("sender-sort", "type-k".into()),
        ("terminals", format!("{} °C", check.get("T_terminal_degC"))),
        ("read-millivolts", format!("{} mV", check.get("emf_mV"))),
    ]);
    check.holds(value(&worked, "value") - 273.15);
    let check = Check::of("el.ntc.beta");
    let worked = told(&[
        ("sender-sort", "thermistor".into()),
        ("sender-ohms", format!("{} ohm", check.get("R25_ohm"))),
        ("beta", format!("{} K", check.get("beta_K"))),
        ("read-ohms", format!("{} ohm", check.numbers()[0])),
    ]);
    near(value(&worked, "value") - 273.15, check.get("T_degC"), 1e-4);
    let check = Check::of("el.sender.eu.level");
    let worked = told(&[("sender-sort", "level-10-180".into()), ("read-ohms", format!("{} ohm", check.get("R_ohm")))]);
    check.holds(value(&worked, "value"));
    let check = Check::of("el.sender.us.half");
    let worked = told(&[("sender-sort", "level-240-33".into()), ("read-ohms", format!("{} ohm", check.numbers()[0]))]);
    near(value(&worked, "value"), check.get("fraction"), 1e-9);
}

/// The entry of an answer, read as part of a vessel's text.
fn entry(worked: &Worked) -> String {
    let step = worked.steps.last().expect("there are steps");
    step.says.split_once(": ").expect("it has an entry").1.to_string()
}

/// What a gauge reads, at which port, and what is told of its sender.
type Case = (&'static str, &'static str, &'static [(&'static str, &'static str)]);

#[test]
fn its_entry_is_read_by_the_reader_of_descriptions_and_means_the_same() {
    let cases: [Case; 5] = [
        ("temperature", "coolant-out", &[("sender-sort", "platinum")]),
        (
            "temperature",
            "coolant-out",
            &[
                ("sender-sort", "thermistor"),
                ("given-ohms", "5500, 700, 180 ohm"),
                ("meant-temperatures", "0, 50, 95 °C"),
            ],
        ),
        (
            "temperature",
            "coolant-out",
            &[("sender-sort", "thermistor"), ("sender-ohms", "10 kohm"), ("beta", "3435 K")],
        ),
        (
            "temperature",
            "coolant-out",
            &[("sender-sort", "points"), ("given-ohms", "700, 90, 30 ohm"), ("meant-temperatures", "20, 80, 120 °C")],
        ),
        (
            "pressure",
            "oil-in",
            &[("sender-sort", "points"), ("given-milliamps", "4, 20 mA"), ("meant-pressures", "0, 10 bar")],
        ),
    ];
    let base = include_str!("../../../../vessels/reference/vessel.toml");
    let (plant, _) = plant::reader::read(base);
    let plant = plant.expect("the reference vessel is read");
    let engine = &plant.parts.iter().find(|part| part.kind.name == "diesel").expect("she has an engine").name;
    for (reads, port, asks) in cases {
        let pairs: Vec<(&'static str, String)> = asks.iter().map(|(key, value)| (*key, (*value).to_string())).collect();
        let worked = told(&pairs);
        let text =
            format!("{base}\n[gauge.tried]\nat = \"{engine}.{port}\"\nreads = \"{reads}\"\n{}\n", entry(&worked));
        let (plant, findings) = plant::reader::read(&text);
        let plant = plant.unwrap_or_else(|| panic!("{findings:?} in {}", entry(&worked)));
        let gauge = plant.gauges.iter().find(|gauge| gauge.name == "tried").unwrap_or_else(|| panic!("{findings:?}"));
        let curve = gauge.sends.as_ref().unwrap_or_else(|| panic!("{findings:?} in {}", entry(&worked)));
        let ends = (value(&worked, "least"), value(&worked, "most"));
        near(curve.ends().0 / ends.0.max(1e-12), 1.0, 1e-3);
        near(curve.ends().1 / ends.1, 1.0, 1e-3);
    }
}

#[test]
fn a_resistor_in_its_place_shows_what_stands_beside_it() {
    let worked = told(&[("sender-sort", "level-240-33".into())]);
    // 240 Ω is on sale itself; half way is 136.5 Ω, and 130 Ω the nearest on sale: (240 − 130)/207 = 53.1 %.
    let row = |level: &str| worked.tables[0].rows.iter().find(|row| row[0] == level).expect("a row").clone();
    assert_eq!(row("0 %")[2], "240 Ω");
    assert_eq!(
        (row("50 %")[1].as_str(), row("50 %")[2].as_str(), row("50 %")[3].as_str()),
        ("136.5 Ω", "130 Ω", "53.1 %")
    );
}

#[test]
fn which_sender_it_is_and_what_is_none_is_told() {
    let float = |ohms: &str| {
        told(&[("sender-sort", "points".into()), ("given-ohms", ohms.into()), ("meant-levels", "0, 50, 100 %".into())])
    };
    assert!(float("236, 104, 35 ohm").flags[0].contains("240 Ω empty, 33 Ω full"));
    assert!(float("500, 300, 100 ohm").flags[0].contains("no usual float"));
    let points = |ohms: &str, at: &str, says: &str| {
        refuses("sender-curve", &[("sender-sort", "points"), ("given-ohms", ohms), ("meant-temperatures", at)], says);
    };
    points("100, 100 ohm", "20, 80 °C", "Each signal must mean one thing");
    points("100, 80, 90 ohm", "20, 80, 100 °C", "rise or fall");
    points("100 ohm", "20 °C", "Two or more");
    refuses("sender-curve", &[("sender-sort", "platinum"), ("read-ohms", "900 ohm")], "open or shorted");
    refuses("sender-curve", &[("sender-sort", "platinum"), ("read-milliamps", "9 mA")], "of what it gives");
    refuses("sender-curve", &[("sender-sort", "thermistor")], "three points");
    refuses(
        "sender-curve",
        &[("sender-sort", "points"), ("given-ohms", "1, 2 ohm"), ("given-volts", "1, 2 V")],
        "two ways",
    );
}
