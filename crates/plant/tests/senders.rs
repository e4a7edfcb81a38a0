//! What a sender gives as a reading, and what a gauge was found to be off: told in the description, used wherever a
//! reading is given.

use measure::reading::{Mark, ReadingText};
use physics::constants::ZERO_CELSIUS;
use plant::evidence_reader;
use plant::finding::{Finding, Problem};
use plant::plant::{Gauge, Plant};
use plant::sends::NoReading;

const VESSEL: &str =
    "[vessel]\nname = \"a plant\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n";

fn read(gauges: &str) -> (Option<Plant>, Vec<Finding>) {
    let (plant, findings) = plant::reader::read(&format!("{VESSEL}{gauges}"));
    (plant, findings.into_iter().filter(|f| !matches!(f.problem, Problem::Assumed { .. })).collect())
}

#[track_caller]
fn plant(gauges: &str) -> Plant {
    let (plant, findings) = read(gauges);
    assert!(findings.is_empty(), "{findings:?}");
    plant.expect("a plant")
}

#[track_caller]
fn coolant(plant: &Plant) -> &Gauge {
    &plant[plant.gauge("coolant").expect("a gauge")]
}

fn with(sends: &str) -> String {
    format!("[gauge.coolant]\nat = \"main.coolant-out\"\nreads = \"temperature\"\nunit = \"C\"\n{sends}\n")
}

#[test]
fn every_sort_of_sender_is_read() {
    // IEC 60751, table of Pt100: 138.5055 ohm at 100 °C (see reference/check-values.toml).
    let celsius =
        |sends: &str, given: &str| coolant(&plant(&with(sends))).given(given).map(|kelvin| kelvin - ZERO_CELSIUS);
    let near = |sends: &str, given: &str, celsius_there: f64| {
        let read = celsius(sends, given).unwrap_or_else(|error| panic!("{sends}: {error}"));
        assert!((read - celsius_there).abs() < 0.02, "{sends}: {given} is {read}");
    };
    near("sends = { platinum = \"100 ohm\" }", "138.5055 ohm", 100.0);
    near("sends = { platinum = \"1000 ohm\" }", "1385.055 ohm", 100.0);
    // The beta equation, el.ntc.beta of the check values.
    near("sends = { thermistor = \"10 kohm\", at = \"25 C\", beta = \"3950 K\" }", "2316.3386 ohm", 62.0);
    // Type K by ITS-90: 4.0962 mV at 100 °C over 0 °C.
    near("sends = { thermocouple = \"K\", terminals = \"0 C\" }", "4.0962 mV", 100.0);
    near(
        "sends = { points = [[\"291 ohm\", \"40 C\"], [\"69 ohm\", \"85 C\"], [\"22 ohm\", \"120 C\"]] }",
        "180 ohm",
        62.5,
    );
    near("sends = { points = [[\"291 ohm\", \"40 C\"], [\"69 ohm\", \"85 C\"]], stations = 2 }", "90 ohm", 62.5);
    near("sends = { ends = [\"4 mA\", \"20 mA\"] }\nscale = [\"0 C\", \"120 C\"]", "12 mA", 60.0);
    near("sends = { ends = [\"0.5 V\", \"4.5 V\"] }\nscale = [\"0 C\", \"120 C\"]", "2.5 V", 60.0);
    // What the gauge itself shows stays what it is.
    near("sends = { platinum = \"100 ohm\" }", "80 C", 80.0);
    let open = celsius("sends = { ends = [\"4 mA\", \"20 mA\"] }\nscale = [\"0 C\", \"120 C\"]", "1 mA");
    assert!(matches!(open, Err(NoReading::Beyond { .. })), "{open:?}");
    assert!(matches!(celsius("", "100 ohm"), Err(NoReading::Unit(_))));
}

#[test]
fn a_sender_that_cannot_be_is_told_with_its_place() {
    for (sends, says) in [
        ("sends = { }", "does not say how"),
        ("sends = { platinum = \"100 C\" }", "resistance is wanted"),
        ("sends = { thermistor = \"10 kohm\" }", "needs its beta"),
        ("sends = { thermistor = \"10 kohm\", beta = \"3 K\" }", "thousands of kelvin"),
        ("sends = { thermistor = [[\"1 ohm\", \"0 C\"], [\"2 ohm\", \"50 C\"], [\"3 ohm\", \"90 C\"]] }", "thermistor"),
        ("sends = { points = [[\"240 ohm\", \"0 C\"]] }", "does not rise or fall"),
        ("sends = { points = [[\"240 ohm\", \"0 C\"], [\"240 ohm\", \"50 C\"]] }", "does not rise or fall"),
        ("sends = { points = [[\"3 bar\", \"0 C\"], [\"5 bar\", \"50 C\"]] }", "nothing that a sender gives"),
        ("sends = { points = 7 }", "points"),
        ("sends = { ends = [\"4 mA\"] }", "ends"),
        ("sends = { platinum = \"100 ohm\", stations = 2 }", "halved"),
        ("sends = { colour = \"red\" }", "colour"),
    ] {
        let (_, findings) = read(&with(sends));
        let text = findings.iter().map(|f| f.problem.to_string()).collect::<Vec<_>>().join("; ");
        assert!(text.contains(says), "{sends}: {text}");
        assert!(findings.iter().all(|f| !f.places.is_empty()), "{sends}");
    }
}

fn now(plant: &Plant, reads: &str) -> Result<ReadingText, String> {
    let text = format!("[[occasion]]\nat = {{ speed = \"1500 rpm\" }}\nreadings = {{ coolant = \"{reads}\" }}\n");
    let (evidence, findings) = evidence_reader::read(&text, plant);
    let told = findings.iter().map(|f| f.problem.to_string()).collect::<Vec<_>>().join("; ");
    let reading = evidence.occasions.first().and_then(|occasion| occasion.readings.first()).map(|reading| reading.1);
    reading.ok_or(told)
}

#[test]
fn ohms_are_evidence_and_what_was_found_off_is_taken_away() {
    let found = "sends = { platinum = \"100 ohm\" }\n[[gauge.coolant.calibrated]]\non = 2025-04-01\nreads = \"70 C\"\n\
        true = \"60 C\"\n[[gauge.coolant.calibrated]]\non = \"2026-05-03\"\nreads = [\"1.5 C\", \"102 C\"]\n\
        true = [\"0 C\", \"100 C\"]\nwithin = \"0.5 K\"\nby = \"ice and boiling water\"\n";
    let plant = plant(&with(found));
    let gauge = coolant(&plant);
    assert_eq!(gauge.calibrated.len(), 2);
    // 3 May 2026: 56 years of 365 days, 14 leap days, 122 days from 1 January.
    assert_eq!(gauge.calibrated[1].on, 56 * 365 + 14 + 122);
    assert!((gauge.accuracy - 0.5).abs() < 1e-12, "the last trial says how good it is");
    let celsius = |reads: &str| match now(&plant, reads) {
        Ok(ReadingText::Value { value, mark: Mark::Steady, .. }) => value - ZERO_CELSIUS,
        other => panic!("{reads}: {other:?}"),
    };
    assert!((celsius("102 C") - 100.0).abs() < 1e-9 && (celsius("51.75 C") - 50.0).abs() < 1e-9);
    assert!((celsius("138.5055 ohm") - celsius("100 C")).abs() < 0.02);
    let broken = now(&plant, "5 kohm").expect_err("an open wire is no reading");
    assert!(broken.contains("not what the sender of `coolant` gives"), "{broken}");
}

#[test]
fn a_trial_that_cannot_be_is_told() {
    for (found, says) in [
        ("on = 2026-05-03\nreads = \"83 C\"\n", "true"),
        ("reads = \"83 C\"\ntrue = \"80 C\"\n", "on"),
        ("on = \"yesterday\"\nreads = \"83 C\"\ntrue = \"80 C\"\n", "on"),
        ("on = \"2026-02-30\"\nreads = \"83 C\"\ntrue = \"80 C\"\n", "on"),
        ("on = 2026-05-03\nreads = [\"83 C\", \"90 C\"]\ntrue = \"80 C\"\n", "do not go together"),
        ("on = 2026-05-03\nreads = [\"80 C\", \"90 C\"]\ntrue = [\"90 C\", \"80 C\"]\n", "do not go together"),
        ("on = 2026-05-03\nreads = \"110 C\"\ntrue = \"10 C\"\n", "more than half of its scale"),
        ("on = 2026-05-03\nreads = \"83 bar\"\ntrue = \"80 C\"\n", "gauge pressure"),
    ] {
        let (_, findings) = read(&with(&format!("[[gauge.coolant.calibrated]]\n{found}")));
        let text = findings.iter().map(|f| f.problem.to_string()).collect::<Vec<_>>().join("; ");
        assert!(text.contains(says), "{found}: {text}");
    }
}
