//! Compression of a cylinder turned by its starter, with what leaks past rings and valves.

use crate::constants::GAS_CONSTANT;
use crate::engine::piston_travel;
use crate::gas::AIR_MOLAR_MASS;
use std::f64::consts::PI;

/// Ratio of specific heats of air [1].
const GAMMA: f64 = 1.4;
/// Steps of the crank from closing to top.
const STEPS: usize = 100;

/// Mass flow of air [kg/s] through a hole of `area` [m²], from `up` [Pa] at `temperature` [K] to `down` [Pa], both absolute;
/// none the other way.
///
/// # Source
/// `[White7]` eq. 9.46 and 9.47: no more than at the speed of sound, below a pressure ratio of 0.528.
pub fn nozzle_flow(area: f64, up: f64, temperature: f64, down: f64) -> f64 {
    area * up / (GAS_CONSTANT / AIR_MOLAR_MASS * temperature.max(1.0)).sqrt() * nozzle_factor(down / up.max(1.0))
}

/// Pressure ratio of air at the speed of sound, (2 / (γ + 1))^(γ / (γ − 1)), and what [`nozzle_factor`] is there [1].
const SONIC: (f64, f64) = (0.528_281_787, 0.684_731_457);

/// How much of the density and of the speed a pressure ratio leaves [1].
fn nozzle_factor(ratio: f64) -> f64 {
    if ratio <= SONIC.0 {
        return SONIC.1;
    }
    let ratio = ratio.min(1.0);
    (2.0 * GAMMA / (GAMMA - 1.0) * (ratio.powf(2.0 / GAMMA) - ratio.powf((GAMMA + 1.0) / GAMMA))).max(0.0).sqrt()
}

/// Area [m²] through which a cylinder leaks, from a leak-down test: `supply` before an orifice of that `diameter` [m] and `held`
/// in the cylinder behind it, both absolute [Pa], out to `air` [Pa].
///
/// Nothing where nothing is held or nothing flows.
///
/// # Source
/// What flows in flows out, both by [`nozzle_flow`] at one temperature.
pub fn leak_area(supply: f64, held: f64, air: f64, diameter: f64) -> Option<f64> {
    let flows = |up: f64, down: f64| up * nozzle_factor(down / up);
    let (in_flow, out_flow) = (flows(supply, held), flows(held, air));
    (held > air && out_flow > 0.0 && held <= supply).then(|| PI / 4.0 * diameter * diameter * in_flow / out_flow)
}

/// A cylinder turned by its starter.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Cranked {
    /// Swept volume [m³].
    pub swept: f64,
    /// What is left at the top, with the tester's own space [m³].
    pub clearance: f64,
    /// Length of the rod over the throw of the crank [1].
    pub rod: f64,
    /// Angle before top dead centre at which the inlet valve is shut [rad].
    pub shut: f64,
    /// Pressure of the air when it shuts [Pa, absolute].
    pub pressure: f64,
    /// Temperature of the air then [K].
    pub temperature: f64,
    /// Exponent of the compression [1].
    pub exponent: f64,
    /// Speed of the crank [rad/s].
    pub speed: f64,
    /// Area it leaks through [m²].
    pub leak: f64,
}

impl Cranked {
    /// Volume above the piston [m³] at an angle before top dead centre [rad].
    pub fn volume(&self, before: f64) -> f64 {
        self.clearance + self.swept / 2.0 * piston_travel(1.0, self.rod, before)
    }

    /// Highest pressure [Pa, absolute] that a tester with a non-return valve keeps.
    ///
    /// What stays in the cylinder is compressed by a power of its own specific volume; what leaks goes out through the area at
    /// the pressure of the moment. Stepped over the crank by the midpoint rule.
    ///
    /// # Source
    /// Polytropic compression, `[Heywood1988]` sec. 9.2; leakage [`nozzle_flow`].
    pub fn highest(&self) -> f64 {
        let start = self.volume(self.shut);
        let state = |before: f64, mass: f64| {
            let squeezed = start / self.volume(before) * mass;
            let hotter = squeezed.powf(self.exponent - 1.0);
            (self.pressure * squeezed * hotter, self.temperature * hotter)
        };
        let filled = self.pressure * start * AIR_MOLAR_MASS / (GAS_CONSTANT * self.temperature);
        let loss = |before: f64, mass: f64| {
            let (pressure, temperature) = state(before, mass);
            nozzle_flow(self.leak, pressure, temperature, self.pressure) / (filled * self.speed)
        };
        let step = self.shut / STEPS as f64;
        let (mut mass, mut highest): (f64, f64) = (1.0, self.pressure);
        for turn in 0..STEPS {
            let before = self.shut - step * turn as f64;
            // No more leaks than brings the pressure down to that outside.
            let least = |before: f64| self.volume(before) / start;
            let half = (mass - 0.5 * step * loss(before, mass)).max(least(before - 0.5 * step));
            mass = (mass - step * loss(before - 0.5 * step, half)).max(least(before - step));
            highest = highest.max(state((before - step).max(0.0), mass).0);
        }
        highest
    }
}
