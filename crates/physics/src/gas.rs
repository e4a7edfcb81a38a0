//! Air and what a diesel makes of it: lean burnt gas of any fuel-air ratio.
//!
//! Burnt gas is a mix of air with the products of exact combustion, so one ratio tells its composition.

use crate::constants::{ATMOSPHERE, GAS_CONSTANT, ZERO_CELSIUS};
use crate::number::Number;
use crate::smooth::{integral, magnitude, polynomial, within};

/// Molar mass of dry air [kg/mol]. Source: [USSA76] table 3, rounded.
pub const AIR_MOLAR_MASS: f64 = 28.9655e-3;
/// Molar mass of the products of exact combustion of diesel fuel [kg/mol], from the shares in [`crate::diesel_fuel`].
const PRODUCTS_MOLAR_MASS: f64 = 29.0356e-3;

/// Heat capacity of dry air over K/1000 [J/(kg K)], fitted to [NASA-thermo] over 250 ..= 1800 K within 0.22 %.
const AIR: [f64; 5] = [1031.13186, -304.128374, 865.698856, -577.75622, 125.80241];
/// Heat capacity of the products over K/1000 [J/(kg K)], fitted to [NASA-thermo] over 250 ..= 1800 K within 0.36 %.
const PRODUCTS: [f64; 5] = [1014.63612, 8.44359164, 542.653608, -391.340732, 84.9034469];
/// Heat capacity of steam over K/1000 [J/(kg K)], fitted to [NASA-thermo] over 250 ..= 1000 K within 0.72 %.
const STEAM: [f64; 3] = [1758.2479, 262.2888, 278.15369];

/// Mass of air that exactly burns one mass of fuel [1], from the shares of carbon and hydrogen in the fuel's mass [1].
///
/// # Source
/// `[Heywood1988]` eq. 3.6; oxygen is 23.15 % of the mass of dry air `[USSA76]`.
pub fn stoichiometric_air(carbon: f64, hydrogen: f64) -> f64 {
    let oxygen = carbon * 31.998 / 12.011 + hydrogen * 31.998 / (4.0 * 1.008);
    oxygen / 0.231_47
}

/// Share of exact products in burnt gas of that fuel-air ratio [1]; 0 is air, held at 1 when rich.
fn products_share(fuel_air_ratio: f64) -> f64 {
    let exact = 1.0 / stoichiometric_air(crate::diesel_fuel::CARBON, crate::diesel_fuel::HYDROGEN);
    let ratio = fuel_air_ratio.clamp(0.0, exact);
    (ratio + ratio / exact) / (1.0 + ratio)
}

/// The heat capacity's polynomial in K/1000.
fn heat_capacity_terms(fuel_air_ratio: f64) -> [f64; 5] {
    let share = products_share(fuel_air_ratio);
    let mut terms = AIR;
    for (term, product) in terms.iter_mut().zip(PRODUCTS) {
        *term += share * (product - *term);
    }
    terms
}

/// Molar mass [kg/mol] of burnt gas of `fuel_air_ratio` [1], 0 (air) ..= 0.068.
pub fn molar_mass(fuel_air_ratio: f64) -> f64 {
    let share = products_share(fuel_air_ratio);
    1.0 / ((1.0 - share) / AIR_MOLAR_MASS + share / PRODUCTS_MOLAR_MASS)
}

/// Heat capacity [J/(kg K)] at `temperature` [K], 250 ..= 1800; positive everywhere.
///
/// # Source
/// Fitted to `[NASA-thermo]`, stated error 0.4 %.
pub fn heat_capacity<N: Number>(fuel_air_ratio: f64, temperature: N) -> N {
    polynomial(temperature / 1000.0, &heat_capacity_terms(fuel_air_ratio))
}

/// Enthalpy [J/kg] above 273.15 K: the integral of [`heat_capacity`].
pub fn enthalpy<N: Number>(fuel_air_ratio: f64, temperature: N) -> N {
    let terms = heat_capacity_terms(fuel_air_ratio);
    (integral(temperature / 1000.0, &terms) - integral(ZERO_CELSIUS / 1000.0, &terms)) * 1000.0
}

/// Density [kg/m³] at `temperature` [K] and `pressure` [Pa]; finite at and below absolute zero too.
///
/// # Source
/// The ideal gas, `[Heywood1988]` eq. 3.1.
pub fn density<N: Number>(fuel_air_ratio: f64, temperature: N, pressure: N) -> N {
    pressure * (molar_mass(fuel_air_ratio) / GAS_CONSTANT) / magnitude(temperature, 1.0)
}

/// Density [kg/m³] at `temperature` [K] and one standard atmosphere.
pub fn density_at_atmosphere<N: Number>(fuel_air_ratio: f64, temperature: N) -> N {
    density(fuel_air_ratio, temperature, N::constant(ATMOSPHERE))
}

/// Pressure of the air [Pa] at a `height` above the sea [m], −1 000 ..= 11 000, on a standard day.
///
/// # Source
/// `[USSA76]` eq. 33a: 288.15 K at the sea, 6.5 K colder a kilometre.
pub fn pressure_at_height(height: f64) -> f64 {
    const LAPSE: f64 = 6.5e-3;
    const SEA: f64 = 288.15;
    let exponent = 9.80665 * AIR_MOLAR_MASS / (GAS_CONSTANT * LAPSE);
    ATMOSPHERE * (1.0 - LAPSE * height / SEA).max(0.0).powf(exponent)
}

/// Dynamic viscosity [Pa s] at `temperature` [K], 200 ..= 1800; held outside 100 ..= 2550.
///
/// # Source
/// Air `[USSA76]` eq. 51; burnt gas thinner by `[Heywood1988]` eq. 4.53, 1 + 0.027 × equivalence ratio.
pub fn viscosity<N: Number>(fuel_air_ratio: f64, temperature: N) -> N {
    let t = within(temperature, 150.0, 2500.0, 50.0);
    let equivalence = fuel_air_ratio * stoichiometric_air(crate::diesel_fuel::CARBON, crate::diesel_fuel::HYDROGEN);
    t * t.sqrt() * (1.458e-6 / (1.0 + 0.027 * equivalence.max(0.0))) / (t + 110.4)
}

/// Thermal conductivity [W/(m K)] at `temperature` [K], 200 ..= 1500.
///
/// # Source
/// From viscosity and heat capacity with a Prandtl number of 0.70, which air keeps within 4 % over 250 ..= 1000 K
/// `[Incropera6]` table A.4.
pub fn conductivity<N: Number>(fuel_air_ratio: f64, temperature: N) -> N {
    let held = within(temperature, 150.0, 2500.0, 50.0);
    viscosity(fuel_air_ratio, held) * heat_capacity(fuel_air_ratio, held) / 0.70
}

/// Vapour in moist air by mass of dry air [kg/kg], from its partial pressure [Pa] and the total [Pa].
///
/// # Source
/// `[ASHRAE-psychrometrics]` eq. 20; molar masses 18.015 and 28.966 give 0.622.
pub fn humidity_ratio(vapour_pressure: f64, pressure: f64) -> f64 {
    crate::constants::WATER_MOLAR_MASS / AIR_MOLAR_MASS * vapour_pressure / (pressure - vapour_pressure).max(1.0)
}

/// Enthalpy of water vapour [J/kg] above liquid water at 273.15 K.
///
/// # Source
/// Latent heat there `[IF97]` (2 500.9 kJ/kg), heat capacity fitted to `[NASA-thermo]`; within 0.4 % of saturated
/// steam up to 400 K.
pub fn vapour_enthalpy<N: Number>(temperature: N) -> N {
    (integral(temperature / 1000.0, &STEAM) - integral(ZERO_CELSIUS / 1000.0, &STEAM)) * 1000.0 + 2.500_9e6
}
