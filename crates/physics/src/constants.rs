//! Constants of nature and of convention, each written once.

/// Standard acceleration of free fall [m/s²]. Source: [SI9], conventional value.
pub const GRAVITY: f64 = 9.80665;
/// Molar gas constant [J/(mol K)]. Source: [CODATA2018].
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Standard atmosphere [Pa]. Source: [SI9], conventional value.
pub const ATMOSPHERE: f64 = 101_325.0;
/// Zero of the Celsius scale [K]. Source: [SI9].
pub const ZERO_CELSIUS: f64 = 273.15;
/// Molar mass of water [kg/mol]. Source: [IF97].
pub const WATER_MOLAR_MASS: f64 = 18.015_257e-3;
/// International nautical mile [m], for the knot. Source: [SI9].
pub const NAUTICAL_MILE: f64 = 1852.0;
