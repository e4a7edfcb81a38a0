//! Sea water, cheaply: fresh water and what the salt adds to it. Held against [`crate::teos10`].
//!
//! Salinity is Absolute Salinity [kg/kg], 0 ..= 0.045; 35.165 g/kg is the ocean's usual 35 of practical salinity.

use crate::constants::ZERO_CELSIUS;
use crate::fresh_water::{self, held_celsius};
use crate::number::Number;
use crate::smooth::{integral, polynomial};

/// Density [kg/m³] at `temperature` [K], 271 ..= 323, at the surface; held outside 255 ..= 460.
///
/// # Source
/// Fresh water with the saline specific volume of `[IAPWS08]`, fitted over -2 ..= 50 °C; stated error 0.02 %.
pub fn density<N: Number>(salinity: f64, temperature: N) -> N {
    let t = held_celsius(temperature);
    let salt = [-0.00081438542 + 0.00018135813 * salinity.max(0.0).sqrt(), 2.789601e-06, -3.4885552e-08];
    (polynomial(t, &fresh_water::VOLUME) + polynomial(t, &salt) * salinity).recip()
}

/// The heat capacity's polynomial in °C.
fn heat_capacity_terms(salinity: f64) -> [f64; 5] {
    let mut terms = fresh_water::HEAT_CAPACITY;
    terms[0] += salinity * (-6770.8402 + 11082.493 * salinity);
    terms[1] += salinity * 55.440044;
    terms[2] -= salinity * 0.47198391;
    terms
}

/// Heat capacity [J/(kg K)] at `temperature` [K], 271 ..= 353; positive everywhere.
///
/// # Source
/// Fresh water with the saline part of `[IAPWS08]`, fitted over 0 ..= 80 °C; stated error 0.25 %.
pub fn heat_capacity<N: Number>(salinity: f64, temperature: N) -> N {
    polynomial(temperature - ZERO_CELSIUS, &heat_capacity_terms(salinity))
}

/// Enthalpy [J/kg] above 273.15 K: the integral of [`heat_capacity`].
pub fn enthalpy<N: Number>(salinity: f64, temperature: N) -> N {
    integral(temperature - ZERO_CELSIUS, &heat_capacity_terms(salinity))
}

/// Dynamic viscosity [Pa s] at `temperature` [K], 273 ..= 453; held outside 255 ..= 460.
///
/// # Source
/// `[Sharqawy2010]` eq. 22, after Isdale; stated error 1.5 %.
pub fn viscosity<N: Number>(salinity: f64, temperature: N) -> N {
    let t = held_celsius(temperature);
    let a = polynomial(t, &[1.541, 1.998e-2, -9.52e-5]);
    let b = polynomial(t, &[7.974, -7.561e-2, 4.724e-4]);
    fresh_water::viscosity(temperature) * ((b * salinity + a) * salinity + 1.0)
}

/// Thermal conductivity [W/(m K)] at `temperature` [K], 273 ..= 423; held outside 255 ..= 460.
///
/// # Source
/// `[Sharqawy2010]` eq. 13 (after Jamieson & Tudhope), stated error 3 %; polynomial laid through it within 0.01 %.
pub fn conductivity<N: Number>(salinity: f64, temperature: N) -> N {
    let terms = [0.57164557 - 0.0584 * salinity, 0.0017463651, -7.6617917e-06, 6.1813957e-09];
    polynomial(held_celsius(temperature), &terms)
}

/// Share of fresh water's vapour pressure that is left over salt water [1].
///
/// # Source
/// `[Sharqawy2010]` eq. 31 (Raoult's law).
pub fn vapour_share(salinity: f64) -> f64 {
    1.0 / (1.0 + 0.57357 * salinity / (1.0 - salinity))
}

/// Vapour pressure [Pa] at `temperature` [K].
pub fn saturation_pressure<N: Number>(salinity: f64, temperature: N) -> N {
    fresh_water::saturation_pressure(temperature) * vapour_share(salinity)
}

/// Boiling temperature [K] at `pressure` [Pa].
pub fn saturation_temperature<N: Number>(salinity: f64, pressure: N) -> N {
    fresh_water::saturation_temperature(pressure / vapour_share(salinity))
}

/// Freezing temperature [K] at the surface, of air-free water.
///
/// # Source
/// `[UNESCO1983]` p. 30 (Millero), for Practical Salinity; within 0.005 K of `[TEOS10]` in the open sea.
pub fn freezing_temperature(salinity: f64) -> f64 {
    let practical = salinity / crate::teos10::STANDARD_SALINITY * 35.0;
    ZERO_CELSIUS - 0.0575 * practical + 1.710523e-3 * practical.powf(1.5) - 2.154996e-4 * practical * practical
}

/// Mass shares of what makes the salt, in the salt of sea water of standard composition [1].
///
/// # Source
/// `[Millero2008]` table 4 (mass fractions of the Reference Composition); held against a public table of ions in sea water.
pub mod salt {
    /// Chloride.
    pub const CHLORIDE: f64 = 0.5503396;
    /// Sodium.
    pub const SODIUM: f64 = 0.3065958;
    /// Magnesium.
    pub const MAGNESIUM: f64 = 0.0365055;
    /// Calcium.
    pub const CALCIUM: f64 = 0.0117186;
    /// Potassium.
    pub const POTASSIUM: f64 = 0.0113495;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_salt_is_that_of_a_public_table_of_ions() {
        // mg/L in sea water of 35 g/L: Cl 19 480, Na 11 035, Mg 1330, Ca 420, K 400 (public page of a glossary on sea water).
        let rows = [
            (salt::CHLORIDE, 19_480.0),
            (salt::SODIUM, 11_035.0),
            (salt::MAGNESIUM, 1_330.0),
            (salt::CALCIUM, 420.0),
            (salt::POTASSIUM, 400.0),
        ];
        for (share, printed) in rows {
            assert!((share * 35_165.0 * 1.023 / printed - 1.0).abs() < 0.03, "{share} {printed}");
        }
    }
}
