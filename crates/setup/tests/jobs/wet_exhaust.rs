//! Bore of a wet exhaust.

use crate::check::Check;
use crate::{near, refuses, value, work};
use measure::quantity::Quantity::Temperature;
use measure::unit::convert_to;

fn told(litres: f64) -> Vec<(&'static str, String)> {
    [
        ("gas-flow", "0.096 kg/s"),
        ("gas-temperature", "420 °C"),
        ("exhaust-water-temperature", "38 °C"),
        ("hose-length", "4 m"),
        ("bends", "3"),
        ("water-lift", "400 mm"),
    ]
    .map(|(key, value)| (key, value.to_string()))
    .into_iter()
    .chain([("exhaust-water", format!("{litres} L/min"))])
    .collect()
}

fn worked(litres: f64, more: &[(&'static str, &str)]) -> setup::worked::Worked {
    let told = told(litres);
    let all: Vec<(&str, &str)> =
        told.iter().map(|(key, value)| (*key, value.as_str())).chain(more.iter().copied()).collect();
    work("wet-exhaust", &all)
}

#[test]
fn the_mix_lies_between_the_bounds_of_the_check_values() {
    // 1.1, 0.3 and 0.1 kg/s of water: at least what leaves the gas saturated, with the little that the spray misses over it.
    for (id, flow) in [("exh.mix.sat.1.10", 1.1), ("exh.mix.sat.0.30", 0.3), ("exh.mix.sat.0.10", 0.1)] {
        let check = Check::of(id);
        near(check.get("water_kg_per_s"), flow, 1e-9);
        let worked = worked(flow / 1.019 * 60.0, &[]);
        let mixed = convert_to(value(&worked, "mixed-temperature"), Temperature, "°C").expect("a temperature");
        let saturated = check.numbers()[0];
        // What is missed: 2.5 %, and e^(−water/gas/1.5) of a thin spray, at 420 °C.
        let missed = 1.0 - 0.975 * (1.0 - (-flow / 0.096 / 1.5_f64).exp());
        near(mixed, saturated + missed * (420.0 - saturated), 2.5);
    }
}

#[test]
fn little_water_is_told_of() {
    assert!(worked(5.0, &[]).flags.iter().any(|flag| flag.contains("too little water")));
    let plenty = worked(66.0, &[]);
    assert!(!plenty.flags.iter().any(|flag| flag.contains("too little water")));
    // By hand: √(4 · 0.096/(352/693 · π · 50)) = 69.4 mm, times 1.4.
    near(value(&plenty, "rule-bore"), 97.1e-3, 0.2e-3);
}

#[test]
fn the_needed_bore_takes_its_share_and_wider_takes_less() {
    let first = worked(66.0, &[]);
    let needed = value(&first, "needed-bore");
    let bore = format!("{} mm", needed * 1e3);
    let there = worked(66.0, &[("hose-bore", &bore)]);
    let drop = there.results.iter().find(|one| one.key.contains("there")).expect("it is there").value;
    // The lift: 0.4 m, 0.55 full, and 1.12/(1.12 + 0.19) of that.
    let lift = 0.4 * 0.55 * 1025.0 * 9.80665 * 1.121 / (1.121 + 0.192);
    near(drop, lift + 0.75 * (6_800.0 - lift), 20.0);
    // Twice the drop of the same pipe dry, about ([Trade] 2.5): more water costs more.
    let share = |litres: f64| {
        let one = worked(litres, &[("hose-bore", "76 mm")]);
        one.results.iter().find(|one| one.key.contains("there")).expect("it is there").value
    };
    assert!(share(66.0) > share(66.0 * 0.5));
}

#[test]
fn what_no_hose_can_do_is_refused() {
    let told = told(66.0);
    let mut all: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
    all.retain(|(key, _)| *key != "water-lift");
    all.push(("water-lift", "2 m"));
    refuses("wet-exhaust", &all, "a lower rise");
    all.push(("water-lift", "1 m"));
    refuses("wet-exhaust", &all, "Tell it once");
}
