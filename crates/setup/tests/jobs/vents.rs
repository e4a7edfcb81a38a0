//! Air of the engine space.

use crate::check::Check;
use crate::{near, refuses, value, work};

fn at(power: &str, more: &[(&'static str, String)]) -> setup::worked::Worked {
    let mut told = vec![("engine-power", power)];
    told.extend(more.iter().map(|(key, value)| (*key, value.as_str())));
    work("vents", &told)
}

#[test]
fn air_that_burns_and_air_that_cools_of_the_check_values() {
    let heat = Check::of("air.heat");
    let burnt = Check::of("air.combustion");
    let worked = at(
        "60 kW",
        &[
            ("heat-to-air", format!("{} W", heat.get("heat_W"))),
            ("combustion-air", format!("{} kg/s", burnt.get("air_kg_per_s"))),
            ("air-rise", format!("{} K", heat.get("dT_K"))),
        ],
    );
    // The checks have moist air of 1.129 kg/m³, this has dry air at 35 °C: 1.5 % denser.
    let moist = heat.get("rho_kg_per_m3") / physics::gas::density(0.0, 308.15, 101_325.0);
    heat.holds(value(&worked, "heat-air") * 3600.0 / moist);
    burnt.holds(value(&worked, "combustion") * 3600.0 / moist);
    assert!((0.97..1.0).contains(&moist));
    // Untold, what burns is ISO 8861's.
    let iso = Check::of("air.iso8861.comb");
    let worked = at(&format!("{} kW", iso.get("power_kW")), &[]);
    near(
        value(&worked, "combustion"),
        iso.numbers()[0] * iso.get("rho_kg_per_m3") / physics::gas::density(0.0, 308.15, 101_325.0),
        1e-5,
    );
}

#[test]
fn rules_of_thumb_stand_beside_it() {
    let worked = at("60 kW", &[]);
    let rows = &worked.tables[0].rows;
    let fan = Check::of("air.rule.fan").numbers()[0] * 60.0;
    assert_eq!(rows[0][1], format!("{fan:.0} m³/h"));
    assert_eq!(rows[0][2], format!("{:.1} cm²", Check::of("air.rule.area").numbers()[0]));
    // The balance lies between the two.
    assert!(value(&worked, "air") > fan / 3600.0);
}

#[test]
fn openings_that_are_there_are_judged() {
    let narrow = at("60 kW", &[("inlet-area", "60 cm²".into()), ("outlet-area", "40 cm²".into())]);
    assert!(narrow.flags.iter().any(|flag| flag.contains("inlet that is there is too small")));
    assert!(narrow.flags.iter().any(|flag| flag.contains("cannot leave")));
    // Depression by hand: (ρ/2) (Q/(0.6 A))².
    let flow = value(&narrow, "air");
    let by_hand = physics::gas::density(0.0, 308.15, 101_325.0) / 2.0 * (flow / (0.6 * 60e-4)).powi(2);
    near(value(&narrow, "depression-there") / by_hand, 1.0, 1e-3);
    // A shaft of three metres pulls by itself, through more area than a fan needs.
    let high = at("60 kW", &[("vent-height", "3 m".into())]);
    assert!(value(&high, "passive-area") > value(&high, "outlet"));
    assert!(at("60 kW", &[]).flags.iter().any(|flag| flag.contains("needs a fan")));
    refuses("vents", &[("engine-power", "60 kW"), ("air-rise", "0 K")], "cannot be");
}
