//! Air of an engine space: what it weighs, what passes an opening, a fan, how much carries off how much heat.

use crate::constants::{GAS_CONSTANT, GRAVITY, WATER_MOLAR_MASS};
use crate::gas::AIR_MOLAR_MASS;
use crate::number::Number;
use crate::smooth::signed_square;

/// Share of the ideal flow that a sharp opening passes [1]. Source: `[White7]` sec. 6.12, thin-plate orifice.
pub const OPENING: f64 = 0.6;
/// Heat capacity of air as ventilation is reckoned with [J/(kg K)]. Source: `[Trade]` 2.6.
pub const HEAT_CAPACITY: f64 = 1010.0;
/// Density of air that demands are reckoned with [kg/m³]. Source: ISO 8861, from memory; `[Trade]` 2.6.
pub const RECKONED_DENSITY: f64 = 1.13;
/// Rise over outside that a space is ventilated for [K]. Source: ISO 8861, from memory.
pub const RECKONED_RISE: f64 = 12.5;
/// Combustion air of a four-stroke engine for its power [kg/(W s)]. Source: ISO 8861, from memory.
pub const COMBUSTION_AIR: f64 = 0.0023e-3;
/// Flow of a fan for the power of the engine, by a rule of thumb for small craft [m³/(W s)]. Source: `[Trade]` 2.6.
pub const FAN_RULE: f64 = 0.07 / 60.0 / 1e3;
/// Free area in, and as much out, for the power of the engine, by the same rule [m²/W]. Source: `[Trade]` 2.6.
pub const AREA_RULE: f64 = 1.65e-4 / 1e3;
/// The same air, combustion included, by another rule, five times as much [m³/(W s)]: 9.25 ft³/min a horsepower.
pub const GENEROUS_RULE: f64 = 9.25 * 0.028_316_846_592 / 60.0 / 745.699_872;

/// Density [kg/m³] of moist air, temperature [K], pressure and partial pressure of vapour [Pa].
///
/// # Source
/// Two ideal gases, `[ASHRAE-psychrometrics]` eq. 28 with Dalton's law.
pub fn moist_density<N: Number>(temperature: N, pressure: N, vapour: N) -> N {
    ((pressure - vapour) * AIR_MOLAR_MASS + vapour * WATER_MOLAR_MASS) / (temperature * GAS_CONSTANT)
}

/// Pressure lost [Pa] by a flow [kg/s], either way, through an opening of `area` [m²]; turns linear below `rest` [kg/s].
///
/// # Source
/// Orifice, `[White7]` eq. 6.104 with an approach that stands still.
pub fn opening_drop<N: Number>(flow: N, area: N, density: N, rest: f64) -> N {
    let ideal = area * OPENING;
    signed_square(flow, rest) / (ideal * ideal * density * 2.0)
}

/// Free area [m²] that passes a flow [m³/s] at a drop [Pa]: the inverse of [`opening_drop`].
pub fn opening_area<N: Number>(flow: N, drop: N, density: N) -> N {
    flow / ((drop * 2.0 / density).sqrt() * OPENING)
}

/// Flow [m³/s] that carries a heat [W] off at a rise [K].
///
/// # Source
/// Heat balance, `[Trade]` 2.6.
pub fn air_for_heat<N: Number>(heat: N, rise: N, density: N) -> N {
    heat / (density * rise * HEAT_CAPACITY)
}

/// Rise [K] to which a heat [W] warms a flow [m³/s]: the inverse of [`air_for_heat`].
pub fn rise<N: Number>(heat: N, flow: N, density: N) -> N {
    heat / (density * flow * HEAT_CAPACITY)
}

/// Pressure [Pa] that warm air in a shaft of `height` [m] is short of against outside.
///
/// # Source
/// Hydrostatics, `[White7]` eq. 2.14, of two columns.
pub fn draught<N: Number>(outside: N, inside: N, height: N) -> N {
    (outside - inside) * height * GRAVITY
}
