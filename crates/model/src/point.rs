//! The operating point and its errors.

use parts::laws::Point;
use physics::number::Dual;
use plant::evidence::ToldPoint;
use plant::plant::Plant;

/// The operating point's parts, in the order of [`to_array`].
pub const SIZE: usize = 6;

/// Standard atmosphere [Pa].
const ATMOSPHERE: f64 = physics::constants::ATMOSPHERE;

/// How many of these parts an operating point of this plant has: pitch, the last, only where it can be set.
pub fn count(plant: &Plant) -> usize {
    if plant.sets_pitch() { SIZE } else { SIZE - 1 }
}

/// How well a told or untold operating point is known: one standard deviation of each part.
#[derive(Copy, Clone, Debug)]
pub struct PointSpread(pub [f64; SIZE]);

/// A part of the point off by so many standard deviations, drawn only where it is not exact.
pub fn off(told: f64, sigma: f64, normal: impl FnOnce() -> f64) -> f64 {
    if sigma > 0.0 { told + sigma * normal() } else { told }
}

/// As an array: speed, load, sea, air, atmosphere, pitch [SI].
pub fn to_array(point: &Point<f64>) -> [f64; SIZE] {
    [point.speed, point.load, point.sea, point.air, point.atmosphere, point.pitch]
}

/// From such an array [SI].
pub fn from_array(a: [f64; SIZE]) -> Point<f64> {
    Point { speed: a[0], load: a[1], sea: a[2], air: a[3], atmosphere: a[4], pitch: a[5] }
}

/// With slopes in its own parts, the first of them in direction `first`.
pub(crate) fn seeded(point: &Point<f64>, first: usize) -> Point<Dual> {
    let at = to_array(point);
    let part = |k: usize| Dual::variable(at[k], first.wrapping_add(k));
    Point { speed: part(0), load: part(1), sea: part(2), air: part(3), atmosphere: part(4), pitch: part(5) }
}

/// The operating point as told, the rest as common: cruise at 80 % of rated speed and design pitch, sea 15 °C, air 18 °C.
///
/// Spreads are common practice, no source: a told speed is good to 2 %, a told sea to 1 K, a told pitch to the
/// 3 % of its indicator; an untold one is wide.
pub fn told(plant: &Plant, at: &ToldPoint) -> (Point<f64>, PointSpread) {
    let speed = at.speed.unwrap_or(0.8 * plant.rated_speed);
    let stopped = speed <= 0.0;
    let load = at.load.unwrap_or(if stopped { 0.0 } else { 1.0 });
    let sea = at.sea.unwrap_or(288.15);
    let air = at.air.unwrap_or(sea + 3.0);
    let pitch = at.pitch.unwrap_or(1.0);
    let point = Point { speed, load, sea, air, atmosphere: ATMOSPHERE, pitch };
    let spread = PointSpread([
        if stopped {
            0.0
        } else if at.speed.is_some() {
            0.012 * plant.rated_speed
        } else {
            0.12 * plant.rated_speed
        },
        if load == 0.0 {
            0.01
        } else if at.load.is_some() {
            0.05
        } else {
            0.08
        },
        if at.sea.is_some() { 0.7 } else { 5.0 },
        if at.air.is_some() { 1.5 } else { 5.0 },
        1_000.0,
        match at.pitch {
            _ if !plant.sets_pitch() => 0.0,
            Some(_) => 0.015,
            None => 0.08,
        },
    ]);
    (point, spread)
}
