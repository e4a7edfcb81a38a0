//! Fresh water, cheaply: what the model evaluates thousands of times. Held against [`crate::if97`].

use crate::constants::ZERO_CELSIUS;
use crate::if97;
use crate::number::Number;
use crate::smooth::{integral, polynomial, within};

/// Specific volume at one atmosphere over °C [m³/kg], fitted to [IF97] over 0 ..= 150 °C within 0.007 %.
pub(crate) const VOLUME: [f64; 6] =
    [0.00100009391, -4.69775554e-08, 7.39369528e-09, -4.20658162e-11, 1.96613946e-13, -3.48905632e-16];
/// Heat capacity at 5 bar over °C [J/(kg K)], fitted to [IF97] over 0 ..= 150 °C within 0.12 %.
pub(crate) const HEAT_CAPACITY: [f64; 5] = [4212.56921, -2.02684269, 0.0358087711, -0.000216687475, 6.49045424e-07];
/// Conductivity over °C [W/(m K)], fitted to [IAPWS-conductivity] over 0 ..= 150 °C within 0.31 %.
const CONDUCTIVITY: [f64; 4] = [0.557631842, 0.00224029465, -1.2454423e-05, 2.02289125e-08];

/// Temperature in °C, held where the fits of liquids are tame: 255 ..= 460 K, exact in 263 ..= 450.
#[inline]
pub(crate) fn held_celsius<N: Number>(temperature: N) -> N {
    within(temperature - ZERO_CELSIUS, -10.0, 177.0, 8.0)
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

/// Vapour pressure [Pa] at `temperature` [K], 273.15 ..= 642; held outside 230 ..= 647, from 9 Pa to 22 MPa.
///
/// # Source
/// `[IF97]` eq. 30, which is short enough as it stands.
pub fn saturation_pressure<N: Number>(temperature: N) -> N {
    if97::saturation_pressure(within(temperature, 235.0, 642.0, 5.0))
}

/// Boiling temperature [K] at `pressure` [Pa], 611 ..= 21e6; held outside 20 Pa ..= 21 MPa.
///
/// # Source
/// `[IF97]` eq. 31.
pub fn saturation_temperature<N: Number>(pressure: N) -> N {
    if97::saturation_temperature(within(pressure, 20.0, 21.0e6, 15.0))
}
