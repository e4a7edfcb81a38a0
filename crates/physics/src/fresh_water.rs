//! Fresh water, cheaply: what the model evaluates thousands of times. Held against [`crate::if97`].

pub use crate::if97::{saturation_pressure, saturation_temperature};

use crate::constants::ZERO_CELSIUS;
use crate::number::Number;
use crate::smooth::{integral, polynomial, within};

/// Specific volume at 5 bar over °C [m³/kg], fitted to [IF97] over 0 ..= 150 °C within 0.016 %.
pub(crate) const VOLUME: [f64; 5] = [0.000999797109, -2.55909365e-08, 6.42415761e-09, -2.50035768e-11, 6.80414867e-14];
/// Heat capacity at 5 bar over °C [J/(kg K)], fitted to [IF97] over 0 ..= 150 °C within 0.12 %.
pub(crate) const HEAT_CAPACITY: [f64; 5] = [4212.56921, -2.02684269, 0.0358087711, -0.000216687475, 6.49045424e-07];
/// Conductivity over °C [W/(m K)], fitted to [IAPWS-conductivity] over 0 ..= 150 °C within 0.31 %.
const CONDUCTIVITY: [f64; 4] = [0.557631842, 0.00224029465, -1.2454423e-05, 2.02289125e-08];

/// Temperature in °C, held where the fits of liquids are tame: 255 ..= 460 K, the corner 0.5 K wide.
#[inline]
pub(crate) fn held_celsius<N: Number>(temperature: N) -> N {
    within(temperature - ZERO_CELSIUS, -18.0, 187.0, 0.5)
}

/// Density [kg/m³] at `temperature` [K], 273 ..= 423; held outside 255 ..= 460.
///
/// The rise with pressure, 0.05 % per 10 bar, is left out.
///
/// # Source
/// Fitted to `[IF97]` region 1, stated error 0.02 %.
pub fn density<N: Number>(temperature: N) -> N {
    polynomial(held_celsius(temperature), &VOLUME).recip()
}

/// Heat capacity [J/(kg K)] at `temperature` [K], 273 ..= 423; positive everywhere.
///
/// # Source
/// Fitted to `[IF97]` region 1, stated error 0.12 %.
pub fn heat_capacity<N: Number>(temperature: N) -> N {
    polynomial(temperature - ZERO_CELSIUS, &HEAT_CAPACITY)
}

/// Enthalpy [J/kg] above 273.15 K: the integral of [`heat_capacity`].
pub fn enthalpy<N: Number>(temperature: N) -> N {
    integral(temperature - ZERO_CELSIUS, &HEAT_CAPACITY)
}

/// Dynamic viscosity [Pa s] at `temperature` [K], 273 ..= 453; held outside 255 ..= 460.
///
/// # Source
/// `[Sharqawy2010]` eq. 23, stated error 0.05 %; within 0.12 % of `[IAPWS-viscosity]`.
pub fn viscosity<N: Number>(temperature: N) -> N {
    let t = held_celsius(temperature) + 64.993;
    (t * t * 0.157 - 91.296).recip() + 4.2844e-5
}

/// Thermal conductivity [W/(m K)] at `temperature` [K], 273 ..= 423; held outside 255 ..= 460.
///
/// # Source
/// Fitted to `[IAPWS-conductivity]`, stated error 0.4 %.
pub fn conductivity<N: Number>(temperature: N) -> N {
    polynomial(held_celsius(temperature), &CONDUCTIVITY)
}
