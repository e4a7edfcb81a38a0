//! A day at sea: at which speed she is run, and how sea, air and load change while she is.

use model::expect::quasi_normal;
use parts::laws::Point;

/// Legs of a day, over and over: how long [min], at what share of rated speed [1], in gear or not.
const LEGS: [(f64, f64, bool); 7] = [
    (70.0, 0.88, true),  // cruise
    (45.0, 0.65, true),  // through a narrow
    (40.0, 1.00, true),  // making up for it
    (60.0, 0.88, true),  // cruise
    (35.0, 0.53, true),  // slow approach
    (30.0, 0.40, false), // idling in harbour
    (40.0, 0.65, true),  // out again
];
/// The throttle is moved over this time [s].
const MOVED_IN: f64 = 60.0;
/// Spring tides, sun and shelter: the sea swings by this much over so long [K, s]. Common practice, no source.
const SEA_SWING: f64 = 1.5;
const SEA_PERIOD: f64 = 9.0 * 3600.0;
const AIR_SWING: f64 = 2.0;
const AIR_PERIOD: f64 = 24.0 * 3600.0;
/// Wind and waves take so much of the load, and come and go over so long [1, s]. From memory.
const LOAD_SWING: f64 = 0.04;
const LOAD_PERIOD: f64 = 5.0 * 3600.0;
/// Mean temperature of the sea [K].
const SEA: f64 = 288.15;
/// Which draws are for the day.
const DRAWS: usize = 60_000;

/// A day's plan.
#[derive(Copy, Clone, Debug)]
pub struct Day {
    rated_speed: f64,
    phases: [f64; 3],
    sea: f64,
}

impl Day {
    /// A vessel's days, from the same seed the same.
    pub fn of(rated_speed: f64, seed: usize) -> Day {
        let normal = |k: usize| quasi_normal(seed, DRAWS + k);
        Day { rated_speed, phases: [normal(0), normal(1), normal(2)], sea: SEA + 2.0 * normal(3).clamp(-2.0, 2.0) }
    }

    /// Where she is run after so long [s].
    pub fn point(&self, time: f64) -> Point<f64> {
        let (speed, geared) = Self::leg(time);
        let wave = |k: usize, period: f64| (std::f64::consts::TAU * time / period + self.phases[k]).sin();
        let sea = self.sea + SEA_SWING * wave(0, SEA_PERIOD);
        Point {
            speed: speed * self.rated_speed,
            load: geared * (1.0 + LOAD_SWING * wave(1, LOAD_PERIOD)),
            sea,
            air: sea + 3.0 + AIR_SWING * wave(2, AIR_PERIOD),
            atmosphere: physics::constants::ATMOSPHERE,
            pitch: 1.0,
        }
    }

    /// Share of rated speed, and of being in gear, with the throttle moved smoothly.
    fn leg(time: f64) -> (f64, f64) {
        let whole: f64 = LEGS.iter().map(|leg| 60.0 * leg.0).sum();
        let mut left = time.max(0.0) % whole;
        let first = time < whole;
        for (k, &(minutes, speed, geared)) in LEGS.iter().enumerate() {
            if left > 60.0 * minutes {
                left -= 60.0 * minutes;
                continue;
            }
            let (_, was, was_geared) = LEGS[(k + LEGS.len() - 1) % LEGS.len()];
            // A day begins under way: nothing is moved at its very start.
            let t = if first && k == 0 { 1.0 } else { (left / MOVED_IN).min(1.0) };
            let share = t * t * (3.0 - 2.0 * t);
            let mix = |from: f64, to: f64| from + (to - from) * share;
            return (mix(was, speed), mix(f64::from(was_geared), f64::from(geared)));
        }
        (LEGS[0].1, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_moves_smoothly() {
        let day = Day::of(178.0, 3);
        let mut was = day.point(0.0);
        for second in 1..40_000 {
            let now = day.point(f64::from(second));
            assert!((now.speed - was.speed).abs() < 0.03 * 178.0, "speed jumps after {second} s");
            assert!((now.load - was.load).abs() < 0.04, "load jumps after {second} s");
            assert!((now.sea - was.sea).abs() < 0.01 && (now.air - was.air).abs() < 0.01);
            was = now;
        }
    }
}
