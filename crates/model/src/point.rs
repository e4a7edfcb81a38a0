//! The operating point and its errors.

use parts::laws::Point;
use physics::number::Dual;
use plant::evidence::ToldPoint;
use plant::plant::Plant;

/// The operating point's parts, in the order of [`to_array`].
pub const SIZE: usize = 5;

/// Standard atmosphere [Pa].
const ATMOSPHERE: f64 = physics::constants::ATMOSPHERE;

/// How well a told or untold operating point is known: one standard deviation of each part.
#[derive(Copy, Clone, Debug)]
pub struct PointSpread(pub [f64; SIZE]);

/// As an array: speed, load, sea, air, atmosphere [SI].
pub fn to_array(point: &Point<f64>) -> [f64; SIZE] {
    [point.speed, point.load, point.sea, point.air, point.atmosphere]
}

/// From such an array [SI].
pub fn from_array(a: [f64; SIZE]) -> Point<f64> {
    Point { speed: a[0], load: a[1], sea: a[2], air: a[3], atmosphere: a[4] }
}

/// With slopes in its own parts, the first of them in direction `first`.
pub(crate) fn seeded(point: &Point<f64>, first: usize) -> Point<Dual> {
    let at = to_array(point);
    let part = |k: usize| Dual::variable(at[k], first.wrapping_add(k));
    Point { speed: part(0), load: part(1), sea: part(2), air: part(3), atmosphere: part(4) }
}

/// The operating point as told, the rest as common: cruise at 80 % of rated speed, sea 15 °C, air 18 °C.
///
/// Spreads are common practice, no source: a told speed is good to 2 %, a told sea to 1 K; an untold one is wide.
pub fn told(plant: &Plant, at: &ToldPoint) -> (Point<f64>, PointSpread) {
    let speed = at.speed.unwrap_or(0.8 * plant.rated_speed);
    let stopped = speed <= 0.0;
    let load = at.load.unwrap_or(if stopped { 0.0 } else { 1.0 });
    let sea = at.sea.unwrap_or(288.15);
    let air = at.air.unwrap_or(sea + 3.0);
    let point = Point { speed, load, sea, air, atmosphere: ATMOSPHERE };
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
    ]);
    (point, spread)
}
