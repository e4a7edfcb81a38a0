//! Size of a keel cooler.

use crate::{near, refuses, value, work};

const TOLD: [(&str, &str); 2] = [("heat-to-sea", "40 kW"), ("cooler-flow", "90 L/min")];

fn with<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    TOLD.into_iter().chain(more.iter().copied()).collect()
}

#[test]
fn the_faster_she_goes_the_less_area_as_is_printed() {
    // [Trade] 2.2: 0.125 lying still, 0.062 slow, 0.050 below 8 kn, 0.042 above, of painted steel: their ratios.
    let area = |speed: &str| value(&work("keel-cooler", &with(&[("slowest", speed)])), "area");
    let seven = area("7 kn");
    for (speed, printed) in [("0 kn", 0.125), ("4 kn", 0.062), ("10 kn", 0.042)] {
        near(area(speed) / seven * 0.050, printed, 0.2 * printed);
    }
}

#[test]
fn the_heat_goes_over_as_many_small_steps_give() {
    let worked = work("keel-cooler", &with(&[("slowest", "6 kn"), ("cooler-inlet", "85 °C"), ("sea", "30 °C")]));
    // Independently: coolant followed along the pipe in a thousand steps, with U A found from nothing but the table's U.
    let row = worked.tables[0].rows.iter().find(|row| row[0] == "6 kn").expect("6 kn is there");
    let per_area: f64 = row[2].parse().expect("a number");
    let conductance = per_area * value(&worked, "area");
    let mix = physics::coolant::Coolant::by_volume(physics::coolant::Glycol::Ethylene, 0.5);
    let rate = 0.0015 * mix.density(358.15) * mix.heat_capacity(358.15);
    let mut over = 55.0;
    for _ in 0..10_000 {
        over -= conductance / 10_000.0 * over / rate;
    }
    near(rate * (55.0 - over) / 40e3, 1.0, 0.01);
    near(value(&worked, "back") - 303.15, over, 0.3);
}

#[test]
fn bare_tubes_need_less_and_a_small_one_is_told() {
    let steel =
        work("keel-cooler", &with(&[("wetted-width", "150 mm"), ("cooler-area", "1 m²"), ("passage-area", "60 cm²")]));
    let tube = work("keel-cooler", &with(&[("cooler-make", "tube")]));
    assert!(value(&tube, "area") < value(&steel, "area"));
    near(value(&steel, "length"), value(&steel, "area") / 0.15, 1e-9);
    assert!(
        steel.flags.iter().any(|flag| flag.contains("overheats"))
            && steel.flags.iter().any(|flag| flag.contains("0.250 m/s"))
    );
    refuses("keel-cooler", &[("heat-to-sea", "400 kW"), ("cooler-flow", "60 L/min")], "More flow");
    refuses("keel-cooler", &with(&[("cooler-inlet", "32 °C")]), "leaves the engine");
}
