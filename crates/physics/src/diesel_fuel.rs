//! Diesel fuel: what it weighs, what it gives, how it flows.

use crate::number::Number;
use crate::oil::{
    kinematic_viscosity, petroleum_conductivity, petroleum_density, petroleum_enthalpy, petroleum_heat_capacity,
};

/// Usual density at 15 °C [kg/m³]; [EN590] allows 820 ..= 845 for road fuel, marine fuel runs to 890.
pub const USUAL_DENSITY: f64 = 840.0;
/// Usual lower heating value [J/kg]. Source: [Heywood1988] table D.4, 42.5 to 43.2 MJ/kg.
pub const LOWER_HEATING_VALUE: f64 = 42.7e6;
/// Usual share of carbon in the mass [1]. Source: [Heywood1988] table D.4 (light diesel, CH1.8).
pub const CARBON: f64 = 0.866;
/// Usual share of hydrogen in the mass [1]. Source: [Heywood1988] table D.4 (light diesel, CH1.8).
pub const HYDROGEN: f64 = 0.134;
/// Usual kinematic viscosity at 40 °C [m²/s]; [EN590] allows 2.0e-6 ..= 4.5e-6.
pub const USUAL_NU40: f64 = 3.0e-6;
/// Usual kinematic viscosity at 100 °C [m²/s]; common practice, no source.
pub const USUAL_NU100: f64 = 1.25e-6;

/// Density [kg/m³] at `temperature` [K].
///
/// # Source
/// `[D1250]`, expansion of fuel oils (186.9696 + 0.4862 ρ)/ρ² per kelvin.
pub fn density<N: Number>(temperature: N) -> N {
    let expansion = (186.9696 + 0.4862 * USUAL_DENSITY) / (USUAL_DENSITY * USUAL_DENSITY);
    petroleum_density(USUAL_DENSITY, expansion, temperature)
}

/// Heat capacity [J/(kg K)] at `temperature` [K]. Source: `[Cragoe1929]`.
pub fn heat_capacity<N: Number>(temperature: N) -> N {
    petroleum_heat_capacity(USUAL_DENSITY, temperature)
}

/// Enthalpy [J/kg] above 273.15 K: the integral of [`heat_capacity`].
pub fn enthalpy<N: Number>(temperature: N) -> N {
    petroleum_enthalpy(USUAL_DENSITY, temperature)
}

/// Dynamic viscosity [Pa s] at `temperature` [K], 263 ..= 373. Source: `[D341]` through the usual values.
pub fn viscosity<N: Number>(temperature: N) -> N {
    kinematic_viscosity((313.15, USUAL_NU40), (373.15, USUAL_NU100), temperature) * density(temperature)
}

/// Thermal conductivity [W/(m K)] at `temperature` [K]. Source: `[Cragoe1929]`.
pub fn conductivity<N: Number>(temperature: N) -> N {
    petroleum_conductivity(USUAL_DENSITY, temperature)
}
