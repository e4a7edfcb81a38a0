//! State of a battery.

use crate::check::Check;
use crate::{near, refuses, value, work};

#[test]
fn both_printed_tables_come_back() {
    for (id, second) in [
        ("el.pub.battery.100", 12.6),
        ("el.pub.battery.75", 12.4),
        ("el.pub.battery.50", 12.2),
        ("el.pub.battery.25", 12.0),
    ] {
        let check = Check::of(id);
        let full = check.get("state_of_charge_percent") / 100.0;
        let worked = work("battery-state", &[("rest-voltage", &format!("{} V", check.numbers()[0]))]);
        near(value(&worked, "charge-first"), full, 1e-6);
        let worked = work("battery-state", &[("rest-voltage", &format!("{second} V"))]);
        near(value(&worked, "charge-second"), full, 1e-6);
        // The law of the model, through the rows' own tolerance: 0.16 V is all of half a battery.
        let volts = check.numbers()[0];
        let worked = work("battery-state", &[("rest-voltage", &format!("{volts} V"))]);
        let by_law = physics::electrical::cell_emf(value(&worked, "charge-model"), 298.15) * 6.0;
        check.holds(by_law);
    }
}

#[test]
fn two_tables_that_differ_leave_doubt() {
    let worked = work("battery-state", &[("rest-voltage", "12.40 V")]);
    let (first, second) = (value(&worked, "charge-first"), value(&worked, "charge-second"));
    // 12.40 is two thirds of the way from a half to three quarters in one, three quarters in the other.
    near(first, 0.5 + 0.25 * 2.0 / 3.0, 1e-9);
    near(second, 0.75, 1e-9);
    let doubt = worked.results[0].doubt.expect("it is in doubt");
    assert!(doubt >= (first - second).abs() / 2.0 && doubt < 0.1, "{doubt}");
}

#[test]
fn it_lasts_as_the_check_values_say() {
    let check = Check::of("el.peukert");
    let told = [
        ("rest-voltage", "12.66 V".to_string()),
        ("bank-capacity", format!("{} A·h", check.get("capacity_Ah"))),
        ("capacity-hours", format!("{} h", check.get("rate_h"))),
        ("draw", format!("{} A", check.get("amps"))),
        ("peukert", format!("{}", check.get("exponent"))),
    ];
    let told: Vec<(&str, &str)> = told.iter().map(|(key, value)| (*key, value.as_str())).collect();
    let worked = work("battery-state", &told);
    check.holds(value(&worked, "full-run") / 3600.0);
    near(value(&worked, "run") / value(&worked, "full-run"), 0.5, 1e-9);
}

#[test]
fn a_battery_on_charge_or_dead_is_told() {
    refuses("battery-state", &[("rest-voltage", "13.8 V")], "Charger off");
    refuses("battery-state", &[("rest-voltage", "25.2 V")], "battery-voltage");
    let worked = work("battery-state", &[("rest-voltage", "10.6 V")]);
    assert!(worked.flags.iter().any(|flag| flag.contains("shorted")));
    near(value(&worked, "charge"), 0.0, 1e-9);
    let worked =
        work("battery-state", &[("rest-voltage", "25.2 V"), ("battery-voltage", "24 V"), ("rested-for", "20 min")]);
    near(value(&worked, "charge-second"), 1.0, 1e-9);
    assert!(worked.flags.iter().any(|flag| flag.contains("four hours")));
}
