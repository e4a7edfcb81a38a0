//! The oil pressure of a circuit, against its own balance and against a valve reckoned from spring and seat.

use physics::oil_pressure::{OilPressure, clearance_for, rise_for, sound};
use physics::pumps::ReliefValve;

const BAR: f64 = 1e5;

fn circuits() -> Vec<OilPressure> {
    let mut all = Vec::new();
    for free in [1.0, 2.9, 5.0, 30.0] {
        for cracks in [0.5, 2.5, 3.4, 6.0] {
            for rise in [0.05, 0.6, 2.0] {
                let circuit = OilPressure {
                    speed: 188.5,
                    viscosity: 0.018,
                    free: free * BAR,
                    cracks: cracks * BAR,
                    rise: rise * BAR,
                };
                all.push(circuit);
            }
        }
    }
    all
}

#[test]
fn what_is_pumped_is_what_goes() {
    for circuit in circuits() {
        for speed in [0.0, 20.0, 68.0, 188.5, 250.0] {
            for viscosity in [0.004, 0.018, 0.5] {
                let pressure = circuit.at(speed, viscosity);
                let pumped = speed / 188.5;
                // Clearances take pressure over viscosity, in the share that takes all at the pressure without a valve.
                let clearances = pressure / circuit.free * 0.018 / viscosity;
                let goes = clearances + circuit.relieved(pressure);
                assert!(
                    (pumped - goes).abs() < 1e-6 * (1.0 + pumped),
                    "{circuit:?} {speed} {viscosity}: {pumped} {goes}"
                );
            }
        }
    }
}

#[test]
fn it_rises_with_speed_viscosity_and_setting() {
    for circuit in circuits() {
        let at = |speed, viscosity| circuit.at(speed, viscosity);
        assert!(at(70.0, 0.018) < at(80.0, 0.018) && at(70.0, 0.018) < at(70.0, 0.020));
        let higher = OilPressure { cracks: circuit.cracks + 1e4, ..circuit };
        assert!(higher.at(188.5, 0.018) >= at(188.5, 0.018));
        assert!(at(188.5, 0.018) <= circuit.free);
    }
}

#[test]
fn a_setting_is_found_again_from_its_pressure() {
    for circuit in circuits() {
        let pressure = circuit.at(188.5, 0.018);
        let cracks = circuit.cracking_for(pressure, 188.5, 0.018).expect("it was so");
        let again = OilPressure { cracks, ..circuit }.at(188.5, 0.018);
        assert!((again - pressure).abs() < 1.0, "{circuit:?}: {again} {pressure}");
        assert_eq!(circuit.cracking_for(1.001 * circuit.free, 188.5, 0.018), None, "no valve can");
    }
}

#[test]
fn the_valve_is_that_of_its_spring_and_seat() {
    // A seat of 16 mm, 6 N/mm, pressed 12 mm: what it passes at any lift is what the share says.
    let valve = ReliefValve::on_round_seat(0.016, 6000.0, 0.012, 1.0, 0.62);
    let full = 80.0 / 60_000.0;
    let rise = rise_for(&valve, full, 860.0);
    let cracks = valve.pressure_at(0.0);
    let circuit = OilPressure { speed: 188.5, viscosity: 0.018, free: 10.0 * BAR, cracks, rise };
    for share in [0.1, 0.4, 0.8, 1.0, 1.3] {
        let pressure = cracks + share * rise;
        let by_spring = valve.flow(pressure, 860.0) / full;
        assert!((circuit.relieved(pressure) - by_spring).abs() < 2e-3 * share, "{share}: {by_spring}");
    }
}

#[test]
fn a_sound_circuit_passes_what_its_maker_says() {
    // By hand: 3.6 mL/rad at 188.5 rad/s is 678.6 mL/s; slip 8 % of it at 3 bar and 12 mPa s; bearings 450 mL/s at 3.5 bar
    // and 12 mPa s. At 12 mPa s: 678.6 / (54.3/3 + 450/3.5) = 4.627 bar; at half the viscosity, half of it.
    let of = |viscosity| sound((3.6e-6, 188.5), (0.08, 188.5, (3e5, 0.012)), (450e-6, (3.5e5, 0.012)), viscosity) / BAR;
    assert!((of(0.012) - 4.627).abs() < 2e-3, "{}", of(0.012));
    assert!((of(0.006) - of(0.012) / 2.0).abs() < 1e-9);
    assert!((clearance_for(8.0) - 2.0).abs() < 1e-9 && (clearance_for(1.0) - 1.0).abs() < 1e-9);
}
