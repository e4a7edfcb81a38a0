//! Propellers and hulls: the open-water series, at any pitch, slip, friction lines.
//!
//! Revolutions are a second [1/s], as the coefficients are defined; speeds [m/s].

use crate::number::Number;
use std::f64::consts::TAU;

/// One open-water propeller of the Wageningen B-series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BSeries {
    /// Pitch over diameter [1], 0.5 ..= 1.4.
    pub pitch_ratio: f64,
    /// Expanded blade area over disc area [1], 0.3 ..= 1.05.
    pub area_ratio: f64,
    /// Number of blades, 2 ..= 7.
    pub blades: u32,
}

/// Least pitch over diameter of the series [1].
pub const LEAST_PITCH: f64 = 0.5;
/// Rounding where the series ends [1].
const SEAM: f64 = 0.01;
/// Width about no pitch over which ahead passes into astern [1].
const NO_PITCH: f64 = 0.05;

/// Coefficient, then powers of advance ratio, pitch ratio, area ratio and blades.
type Term = (f64, i32, i32, i32, i32);

impl BSeries {
    /// Thrust coefficient [1] at an advance ratio [1], 0 ..= 1.5.
    ///
    /// # Source
    /// `[Oosterveld1975]` table 5, at a Reynolds number of 2e6.
    pub fn thrust_coefficient<N: Number>(&self, advance: N) -> N {
        self.sum(&THRUST, advance, N::constant(self.pitch_ratio))
    }

    /// Torque coefficient [1] at an advance ratio [1], 0 ..= 1.5.
    ///
    /// # Source
    /// `[Oosterveld1975]` table 5, at a Reynolds number of 2e6.
    pub fn torque_coefficient<N: Number>(&self, advance: N) -> N {
        self.sum(&TORQUE, advance, N::constant(self.pitch_ratio))
    }

    /// Open-water efficiency [1] at an advance ratio [1].
    pub fn efficiency<N: Number>(&self, advance: N) -> N {
        advance * self.thrust_coefficient(advance) / (self.torque_coefficient(advance) * TAU)
    }

    /// Coefficients of thrust and torque [1] with the blades turned to any pitch ratio [1], ahead and astern; `advance` with
    /// its sign. What the series holds of its own pitch is not used.
    ///
    /// The series ends at [`LEAST_PITCH`]. Below it a blade meets the water at the angle it would have there with the advance
    /// raised by what the pitch lacks: the thrust is that one, and the torque less by what turning the thrust through the
    /// lacking pitch takes (a screw without loss, 2π Q = T P). Astern it is the same mirrored, and about no pitch one passes
    /// into the other.
    ///
    /// # Source
    /// `[Oosterveld1975]` table 5 within the series; momentum beyond, `[Carlton4]` ch. 8, in the form used here from memory.
    pub fn at_pitch<N: Number>(&self, advance: N, pitch: N) -> (N, N) {
        let ahead = self.ahead(advance, pitch);
        let astern = self.ahead(-advance, -pitch);
        let share = crate::smooth::step(pitch, NO_PITCH);
        let other = -share + 1.0;
        (ahead.0 * share - astern.0 * other, ahead.1 * share + astern.1 * other)
    }

    fn ahead<N: Number>(&self, advance: N, pitch: N) -> (N, N) {
        let lacking = crate::smooth::softplus(-pitch + LEAST_PITCH, SEAM);
        let (advance, pitch) = (advance + lacking, pitch + lacking);
        let thrust = self.sum(&THRUST, advance, pitch);
        (thrust, self.sum(&TORQUE, advance, pitch) - thrust * lacking / TAU)
    }

    fn sum<N: Number>(&self, terms: &[Term], advance: N, pitch: N) -> N {
        // Powers once: the advance ratio comes in powers up to three, the pitch ratio up to six.
        let mut powers = [N::constant(1.0); 7];
        for k in 1..powers.len() {
            powers[k] = powers[k - 1] * pitch;
        }
        let mut by_advance = [N::constant(0.0); 4];
        for &(c, j, p, a, z) in terms {
            let blades = f64::from(self.blades).powi(z);
            let place = j as usize;
            by_advance[place] += powers[p as usize] * (c * self.area_ratio.powi(a) * blades);
        }
        by_advance.into_iter().rev().fold(N::constant(0.0), |sum, next| sum * advance + next)
    }
}

/// Advance ratio [1]; `speed` of the water through the disc [m/s], `turns` a second [1/s], `diameter` [m].
pub fn advance_ratio<N: Number>(speed: N, turns: N, diameter: N) -> N {
    speed / (turns * diameter)
}

/// Thrust [N] of a thrust coefficient [1]; `density` [kg/m³]. Source: `[Carlton4]` eq. 6.2.
pub fn thrust<N: Number>(coefficient: N, density: N, turns: N, diameter: N) -> N {
    coefficient * density * turns * turns * diameter.powi(4)
}

/// Torque [N m] of a torque coefficient [1]; `density` [kg/m³]. Source: `[Carlton4]` eq. 6.2.
pub fn torque<N: Number>(coefficient: N, density: N, turns: N, diameter: N) -> N {
    coefficient * density * turns * turns * diameter.powi(5)
}

/// Speed behind a reduction gear, in the unit of `speed`.
pub fn geared<N: Number>(speed: N, ratio: N) -> N {
    speed / ratio
}

/// Speed of the water through the disc [m/s] behind a hull with a `wake_fraction` [1]. Source: `[Carlton4]` eq. 5.1.
pub fn advance_speed<N: Number>(ship: N, wake_fraction: N) -> N {
    ship * (-wake_fraction + 1.0)
}

/// Slip [1] of a screw of `pitch` [m]: apparent with the ship's speed, real with the speed of advance [m/s].
///
/// # Source
/// `[Carlton4]` ch. 3.
pub fn slip<N: Number>(speed: N, pitch: N, turns: N) -> N {
    -(speed / (pitch * turns)) + 1.0
}

/// Power by the admiralty coefficient, in the units the coefficient was made for (kW, t and kn usually).
///
/// # Source
/// `[Carlton4]` ch. 17: displacement^(2/3) speed³ over the coefficient.
pub fn admiralty_power<N: Number>(displacement: N, speed: N, coefficient: N) -> N {
    displacement.powf(2.0 / 3.0) * speed.powi(3) / coefficient
}

/// Friction coefficient of a hull [1]; Reynolds number on length [1], above 1e5.
///
/// # Source
/// `[ITTC57]`: 0.075/(log10 Re − 2)².
pub fn hull_friction<N: Number>(reynolds: N) -> N {
    let log = reynolds.ln() / std::f64::consts::LN_10 - 2.0;
    (log * log).recip() * 0.075
}

/// Least clearance of the blade tips over diameter [1]; from memory, rules of thumb run from 0.10 to 0.20.
pub const USUAL_TIP_CLEARANCE: f64 = 0.15;

/// Source: [Oosterveld1975] table 5, thrust.
const THRUST: [Term; 39] = [
    (0.00880496, 0, 0, 0, 0),
    (-0.204554, 1, 0, 0, 0),
    (0.166351, 0, 1, 0, 0),
    (0.158114, 0, 2, 0, 0),
    (-0.147581, 2, 0, 1, 0),
    (-0.481497, 1, 1, 1, 0),
    (0.415437, 0, 2, 1, 0),
    (0.0144043, 0, 0, 0, 1),
    (-0.0530054, 2, 0, 0, 1),
    (0.0143481, 0, 1, 0, 1),
    (0.0606826, 1, 1, 0, 1),
    (-0.0125894, 0, 0, 1, 1),
    (0.0109689, 1, 0, 1, 1),
    (-0.133698, 0, 3, 0, 0),
    (0.00638407, 0, 6, 0, 0),
    (-0.00132718, 2, 6, 0, 0),
    (0.168496, 3, 0, 1, 0),
    (-0.0507214, 0, 0, 2, 0),
    (0.0854559, 2, 0, 2, 0),
    (-0.0504475, 3, 0, 2, 0),
    (0.010465, 1, 6, 2, 0),
    (-0.00648272, 2, 6, 2, 0),
    (-0.00841728, 0, 3, 0, 1),
    (0.0168424, 1, 3, 0, 1),
    (-0.00102296, 3, 3, 0, 1),
    (-0.0317791, 0, 3, 1, 1),
    (0.018604, 1, 0, 2, 1),
    (-0.00410798, 0, 2, 2, 1),
    (-0.000606848, 0, 0, 0, 2),
    (-0.0049819, 1, 0, 0, 2),
    (0.0025983, 2, 0, 0, 2),
    (-0.000560528, 3, 0, 0, 2),
    (-0.00163652, 1, 2, 0, 2),
    (-0.000328787, 1, 6, 0, 2),
    (0.000116502, 2, 6, 0, 2),
    (0.000690904, 0, 0, 1, 2),
    (0.00421749, 0, 3, 1, 2),
    (0.0000565229, 3, 6, 1, 2),
    (-0.00146564, 0, 3, 2, 2),
];

/// Source: [Oosterveld1975] table 5, torque.
const TORQUE: [Term; 47] = [
    (0.00379368, 0, 0, 0, 0),
    (0.00886523, 2, 0, 0, 0),
    (-0.032241, 1, 1, 0, 0),
    (0.00344778, 0, 2, 0, 0),
    (-0.0408811, 0, 1, 1, 0),
    (-0.108009, 1, 1, 1, 0),
    (-0.0885381, 2, 1, 1, 0),
    (0.188561, 0, 2, 1, 0),
    (-0.00370871, 1, 0, 0, 1),
    (0.00513696, 0, 1, 0, 1),
    (0.0209449, 1, 1, 0, 1),
    (0.00474319, 2, 1, 0, 1),
    (-0.00723408, 2, 0, 1, 1),
    (0.00438388, 1, 1, 1, 1),
    (-0.0269403, 0, 2, 1, 1),
    (0.0558082, 3, 0, 1, 0),
    (0.0161886, 0, 3, 1, 0),
    (0.00318086, 1, 3, 1, 0),
    (0.015896, 0, 0, 2, 0),
    (0.0471729, 1, 0, 2, 0),
    (0.0196283, 3, 0, 2, 0),
    (-0.0502782, 0, 1, 2, 0),
    (-0.030055, 3, 1, 2, 0),
    (0.0417122, 2, 2, 2, 0),
    (-0.0397722, 0, 3, 2, 0),
    (-0.00350024, 0, 6, 2, 0),
    (-0.0106854, 3, 0, 0, 1),
    (0.00110903, 3, 3, 0, 1),
    (-0.000313912, 0, 6, 0, 1),
    (0.0035985, 3, 0, 1, 1),
    (-0.00142121, 0, 6, 1, 1),
    (-0.00383637, 1, 0, 2, 1),
    (0.0126803, 0, 2, 2, 1),
    (-0.00318278, 2, 3, 2, 1),
    (0.00334268, 0, 6, 2, 1),
    (-0.00183491, 1, 1, 0, 2),
    (0.000112451, 3, 2, 0, 2),
    (-0.0000297228, 3, 6, 0, 2),
    (0.000269551, 1, 0, 1, 2),
    (0.00083265, 2, 0, 1, 2),
    (0.00155334, 0, 2, 1, 2),
    (0.000302683, 0, 6, 1, 2),
    (-0.0001843, 0, 0, 2, 2),
    (-0.000425399, 0, 3, 2, 2),
    (0.0000869243, 3, 3, 2, 2),
    (-0.0004659, 0, 6, 2, 2),
    (0.0000554194, 1, 6, 2, 2),
];
