//! Propellers of the series with their blades turned.

use physics::number::Dual;
use physics::propeller;

/// Slopes of both coefficients in advance and pitch against differences.
fn at_pitch_agrees(advance: f64, pitch: f64) {
    let series = propeller::BSeries { pitch_ratio: 0.7, area_ratio: 0.5, blades: 3 };
    let (thrust, torque) = series.at_pitch(Dual::variable(advance, 0), Dual::variable(pitch, 1));
    let step = 1e-6;
    for (direction, (j, p)) in [(step, 0.0), (0.0, step)].into_iter().enumerate() {
        let (up, down) = (series.at_pitch(advance + j, pitch + p), series.at_pitch(advance - j, pitch - p));
        for (exact, up, down) in [(thrust, up.0, down.0), (torque, up.1, down.1)] {
            let (exact, difference) = (exact.slope(direction), (up - down) / (2.0 * step));
            let allowed = 1e-6 * (1.0 + exact.abs());
            assert!((exact - difference).abs() < allowed, "at {advance}, {pitch}: {exact} against {difference}");
        }
    }
}

#[test]
fn a_propeller_whose_pitch_is_turned_agrees_with_the_series_and_passes_smoothly_through_none() {
    for pitch in [-0.9, -0.51, -0.3, -0.02, 0.0, 0.07, 0.3, 0.495, 0.52, 0.8, 1.1] {
        for advance in [-0.6, -0.2, 0.0, 0.3, 0.7] {
            at_pitch_agrees(advance, pitch);
        }
    }
    // Within the series it is the series ([Oosterveld1975], held to outside values elsewhere).
    let turned = propeller::BSeries { pitch_ratio: 0.7, area_ratio: 0.5, blades: 3 };
    for pitch in [0.6, 0.8, 1.0, 1.3] {
        let built = propeller::BSeries { pitch_ratio: pitch, ..turned };
        for advance in [0.0, 0.3, 0.6] {
            let (thrust, torque) = turned.at_pitch(advance, pitch);
            assert!((thrust - built.thrust_coefficient(advance)).abs() < 1e-4, "thrust at {advance}, {pitch}");
            assert!((torque - built.torque_coefficient(advance)).abs() < 1e-5, "torque at {advance}, {pitch}");
        }
    }
    // Without pitch a propeller at rest gives no thrust, and takes some torque by friction alone.
    let (thrust, torque) = turned.at_pitch(0.0, 0.0);
    assert!(thrust.abs() < 1e-12 && torque > 0.0 && torque < 0.2 * turned.at_pitch(0.0, 0.7).1);
    // At no pitch it is idle at no advance, and a finer pitch gives no thrust at a smaller advance.
    let idle = |pitch: f64| (0..2_000).map(|k| f64::from(k) * 1e-3).find(|j| turned.at_pitch(*j, pitch).0 < 0.0);
    let advances: Vec<f64> = [0.1, 0.2, 0.3, 0.4, 0.5, 0.7].into_iter().filter_map(idle).collect();
    assert!(advances.len() == 6 && advances.is_sorted(), "{advances:?}");
}
