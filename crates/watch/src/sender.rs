//! What a gauge's sender gives, and what the gauge was found to be off, in words.

use crate::dial;
use jiff::ToSpan as _;
use jiff::civil::date;
use plant::plant::{Gauge, Plant};
use plant::sends::{Calibration, Curve};

/// Places on the scale at which it is told what the sender gives [share of the scale].
const TOLD_AT: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// What is told of a gauge beside its notes: (what, in words).
pub fn facts(gauge: &Gauge) -> Vec<(String, String)> {
    let sends = gauge.sends.as_ref().map(|curve| ("Its sender gives".to_string(), gives(gauge, curve)));
    let tried = gauge.calibrated.iter().rev().map(|found| ("Tried".to_string(), tried(gauge, found)));
    sends.into_iter().chain(tried).collect()
}

/// One line for each gauge whose readings are corrected.
pub fn corrections(plant: &Plant) -> Vec<String> {
    let each = plant.gauges.iter().filter_map(|gauge| Some((gauge, gauge.calibrated.last()?)));
    each.map(|(gauge, found)| format!("{}: {}", gauge.name, tried(gauge, found))).collect()
}

/// What an ohmmeter, or whatever it takes, would show at some places of the scale.
fn gives(gauge: &Gauge, curve: &Curve) -> String {
    let (low, high) = gauge.scale;
    let at = |share: f64| {
        let value = low + share * (high - low);
        Some(format!("{} at {}", curve.shown(curve.sends(value)?), shown(gauge, value)))
    };
    let told = TOLD_AT.iter().filter_map(|share| at(*share)).collect::<Vec<_>>().join(", ");
    format!("{told}. Measure with the engine stopped and the wire off the sender.")
}

fn shown(gauge: &Gauge, value: f64) -> String {
    let on_dial = dial::on_dial(gauge, value);
    dial::with_unit(&dial::number(on_dial, dial::reading_step(gauge)), dial::unit(gauge))
}

/// "3 May 2026, ice and boiling water: shows 102 °C at 100 °C; readings are corrected by that, good to 0.5 °C".
fn tried(gauge: &Gauge, found: &Calibration) -> String {
    let day = date(1970, 1, 1)
        .checked_add(found.on.days())
        .map_or_else(|_| "once".into(), |day| day.strftime("%-d %B %Y").to_string());
    let by = found.by.as_ref().map_or_else(String::new, |by| format!(", {by}"));
    let off = found.found.iter().map(|&(reads, so)| format!("{} at {}", shown(gauge, reads), shown(gauge, so)));
    let off = off.collect::<Vec<_>>().join(", ");
    let good = found.within.map_or_else(String::new, |within| {
        let (change, unit) = dial::change(gauge, within);
        format!(", good to {}", dial::with_unit(&dial::number(change.abs(), dial::step(change)), unit))
    });
    format!("{day}{by}: shows {off}; its readings are corrected by that{good}")
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "[vessel]\nname = \"a plant\"\n[engine.main]\nrated = { power = \"60 kW\", speed = \"1800 rpm\" }\n\
        [gauge.coolant]\nat = \"main.coolant-out\"\nreads = \"temperature\"\nscale = [\"0 C\", \"120 C\"]\n\
        sends = { platinum = \"100 ohm\" }\n[[gauge.coolant.calibrated]]\non = 2026-05-03\nreads = \"83 C\"\n\
        true = \"80 C\"\nwithin = \"1 K\"\nby = \"boiling water\"\n";

    #[test]
    fn a_correction_and_a_sender_are_told() {
        let plant = plant::reader::read(TEXT).0.expect("a plant");
        let facts = facts(&plant.gauges[0]);
        assert_eq!(facts.len(), 2);
        // IEC 60751: 100.00, 123.24 ohm at 0 and 60 °C.
        assert!(facts[0].1.starts_with("100.0 Ω at 0 °C") && facts[0].1.contains("123.2 Ω at 60 °C"), "{}", facts[0].1);
        let told = &corrections(&plant)[0];
        assert_eq!(
            told,
            "coolant: 3 May 2026, boiling water: shows 83 °C at 80 °C; its readings are corrected by that, good to 1.0 °C"
        );
    }
}
