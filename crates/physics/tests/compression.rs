//! Compression with leakage, against closed forms.

use physics::compression::{Cranked, leak_area, nozzle_flow};

const AIR: f64 = 101_325.0;

fn cylinder() -> Cranked {
    let swept = 9.42e-4;
    Cranked {
        swept,
        clearance: swept / 16.0,
        rod: 3.5,
        shut: std::f64::consts::PI,
        pressure: AIR,
        temperature: 330.0,
        exponent: 1.3,
        speed: 21.0,
        leak: 0.0,
    }
}

#[test]
fn without_leak_it_is_the_power_of_the_ratio() {
    let tight = cylinder();
    assert!((tight.highest() / (AIR * 17f64.powf(1.3)) - 1.0).abs() < 1e-9);
    // The valve shut later traps less.
    let late = Cranked { shut: 2.4, ..tight };
    let ratio = late.volume(2.4) / late.clearance;
    assert!((late.highest() / (AIR * ratio.powf(1.3)) - 1.0).abs() < 1e-9 && ratio < 17.0);
}

#[test]
fn a_small_leak_takes_what_its_integral_says() {
    // Weak leak, sonic most of the way: ln m falls by A Γ √(R T) / V over time, and the pressure by its power n; summed here
    // by plain rectangles at the state without a leak, from where the flow is sonic on.
    let small = Cranked { leak: 2e-8, ..cylinder() };
    let (steps, mut lost) = (200_000, 0.0);
    let step = small.shut / f64::from(steps);
    for turn in 0..steps {
        let before = small.shut - step * (f64::from(turn) + 0.5);
        let squeezed = small.volume(small.shut) / small.volume(before);
        let (pressure, temperature) = (AIR * squeezed.powf(1.3), 330.0 * squeezed.powf(0.3));
        let mass = pressure * small.volume(before) / (287.05 * temperature);
        let flow = if pressure > 1.893 * AIR {
            0.68473 * small.leak * pressure / (287.05 * temperature).sqrt()
        } else {
            nozzle_flow(small.leak, pressure, temperature, AIR)
        };
        lost += flow / mass * step / small.speed;
    }
    let share = small.highest() / Cranked { leak: 0.0, ..small }.highest();
    assert!((share - (-1.3 * lost).exp()).abs() < 1e-4 * (1.0 - share) + 2e-6, "{share} {lost}");
}

#[test]
fn more_leak_and_slower_cranking_give_less() {
    let at = |leak: f64, speed: f64| Cranked { leak, speed, ..cylinder() }.highest();
    assert!(at(1e-6, 21.0) < at(5e-7, 21.0) && at(1e-6, 15.0) < at(1e-6, 21.0));
    // A hole as wide as a pipe holds nothing, and nothing is odd.
    let open = at(1e-2, 21.0);
    assert!((AIR..1.3 * AIR).contains(&open), "{open}");
}

#[test]
fn air_through_a_hole_is_as_tabled() {
    // Sonic: 0.0404 A p / √T, [White7] eq. 9.46b for air.
    let flow = nozzle_flow(1e-6, 8e5, 293.0, AIR);
    assert!((flow / (0.0404 * 1e-6 * 8e5 / 293f64.sqrt()) - 1.0).abs() < 2e-3, "{flow}");
    assert_eq!(nozzle_flow(1e-6, AIR, 293.0, 2.0 * AIR), 0.0);
}

#[test]
fn a_leak_as_large_as_the_orifice_holds_what_it_must() {
    // Equal areas: what goes in at the speed of sound would need as much pressure inside; so it is found again from the flows.
    let (supply, d) = (8e5, 1e-3);
    for held in [7.5e5, 6e5, 4.5e5, 2e5] {
        let area = leak_area(supply, held, AIR, d).expect("it flows");
        let orifice = std::f64::consts::PI / 4.0 * d * d;
        let (goes_in, goes_out) = (nozzle_flow(orifice, supply, 293.0, held), nozzle_flow(area, held, 293.0, AIR));
        assert!((goes_in / goes_out - 1.0).abs() < 1e-9);
    }
    assert_eq!(leak_area(supply, 0.9 * AIR, AIR, d), None);
    assert_eq!(leak_area(supply, supply, AIR, d), Some(0.0));
    let (tight, open) = (leak_area(supply, 7.8e5, AIR, d), leak_area(supply, 5e5, AIR, d));
    assert!(tight < open);
}
