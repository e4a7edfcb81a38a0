//! A dry exhaust pipe by the formula that engine builders print, beside the law that the model uses
//! ([`crate::wet_exhaust::back_pressure`]).
//!
//! The formula is Darcy's law with everything but flow, bore and temperature put into one constant: gas as light as
//! [`density_roughly`], and one friction factor for every pipe ([`friction_within`]).

use crate::number::Number;
use std::f64::consts::PI;

/// The constant for rough, sooty pipe [Pa m⁴ K/(m³/s)²]. Source: `[Trade]` 2.5.
pub const ROUGH: f64 = 6.32;
/// The constant for clean pipe. Source: `[Trade]` 2.5, from memory.
pub const CLEAN: f64 = 4.56;
/// A bend of 90°, as so many bores of straight pipe [1]. Source: `[Trade]` 2.5.
pub const BEND: f64 = 15.0;
/// A bend of 45°, as so many bores of straight pipe [1]. Source: `[Trade]` 2.5.
pub const HALF_BEND: f64 = 6.4;
/// Roughness of sooty steel pipe or of hose [m]. From memory.
pub const SOOTY: f64 = 1e-4;
/// Density of gas at the atmosphere times its temperature [kg K/m³]: air at 1.00 bar.
const GAS: f64 = 352.0;
/// Where the formula has its zero of temperature [K].
const ZERO: f64 = 273.0;

/// Density of exhaust gas [kg/m³] as the formula takes it, at a `temperature` [K].
pub fn density_roughly<N: Number>(temperature: N) -> N {
    (temperature - crate::constants::ZERO_CELSIUS + ZERO).recip() * GAS
}

/// Straight pipe [m] that resists as much as `length` [m] of `bore` [m] with its bends of 90° and of 45°.
pub fn straightened<N: Number>(length: N, bore: N, bends: N, half_bends: N) -> N {
    length + bore * (bends * BEND + half_bends * HALF_BEND)
}

/// Back pressure [Pa] by the printed formula: `constant` ([`ROUGH`] or [`CLEAN`]), `length` with its bends [m], gas `flow`
/// [kg/s] at a `temperature` [K], `bore` [m].
///
/// # Source
/// `[Trade]` 2.5: 6.32 L Q²/(D⁵ (T + 273)), Q in m³/s and T in °C.
pub fn printed_back_pressure<N: Number>(constant: f64, length: N, flow: N, temperature: N, bore: N) -> N {
    let volume = flow / density_roughly(temperature);
    length * constant * volume * volume / (bore.powi(5) * (temperature - crate::constants::ZERO_CELSIUS + ZERO))
}

/// The friction factor of Darcy's law that a constant stands for [1].
pub fn friction_within(constant: f64) -> f64 {
    constant * PI * PI / (8.0 * GAS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_constants_are_friction_factors_of_pipe() {
        // Darcy-Weisbach by hand: f L/D ρ v²/2 with ρ = 352/T gives C = 8 · 352 f/π².
        assert!((friction_within(ROUGH) - 0.0222).abs() < 1e-4, "{}", friction_within(ROUGH));
        assert!((friction_within(CLEAN) - 0.0160).abs() < 1e-4, "{}", friction_within(CLEAN));
        let (flow, hot, bore, length) = (0.17_f64, 693.15, 0.1, 8.0);
        let density = density_roughly(hot);
        let speed = flow / density / (PI / 4.0 * bore * bore);
        let darcy = friction_within(ROUGH) * length / bore * density * speed * speed / 2.0;
        let printed = printed_back_pressure(ROUGH, length, flow, hot, bore);
        assert!((printed / darcy - 1.0).abs() < 1e-12, "{printed} {darcy}");
    }
}
