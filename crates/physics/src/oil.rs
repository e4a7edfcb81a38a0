//! Lubricating oil: viscosity over temperature, the grades, dilution by fuel, heat.

use crate::constants::ZERO_CELSIUS;
use crate::diesel_fuel;
use crate::number::Number;
use crate::smooth::within;

/// Kelvin at the two temperatures every oil is measured at.
const AT_40: f64 = ZERO_CELSIUS + 40.0;
const AT_100: f64 = ZERO_CELSIUS + 100.0;

/// ln ln (ν + 0.7) with ν in mm²/s, the ordinate in which oils run straight.
fn ordinate(nu: f64) -> f64 {
    // An owner's typing slip must not end in NaN; 0.35 mm²/s is thinner than any liquid meant here.
    (nu.max(0.35e-6) * 1e6 + 0.7).ln().ln()
}

/// Kinematic viscosity [m²/s] at `temperature` [K] through two measured points (temperature [K], ν [m²/s]).
///
/// Good from 2 mm²/s up; the temperature is held within 240 ..= 510 K.
///
/// # Source
/// `[D341]` annex, the equation for more than 2 mm²/s.
pub fn kinematic_viscosity<N: Number>(first: (f64, f64), second: (f64, f64), temperature: N) -> N {
    let slope = (ordinate(first.1) - ordinate(second.1)) / (second.0.ln() - first.0.ln());
    let t = within(temperature, 250.0, 500.0, 10.0);
    let w = -((t / first.0).ln() * slope) + ordinate(first.1);
    (w.exp().exp() - 0.7) * 1e-6
}

/// An oil known by its two viscosities, with fuel that has got into it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Oil {
    /// Kinematic viscosity at 40 °C [m²/s].
    pub nu40_m2s: f64,
    /// Kinematic viscosity at 100 °C [m²/s].
    pub nu100_m2s: f64,
    /// Density at 15 °C [kg/m³], 840 ..= 920.
    pub density_15: f64,
}

impl Oil {
    /// Usual density of an engine oil at 15 °C [kg/m³]; common practice, no source.
    pub const USUAL_DENSITY: f64 = 885.0;

    /// An oil with fuel in it; `dilution` is the fuel's share of the mass [1], 0 ..= 0.2.
    ///
    /// # Source
    /// Blending by the cube root of viscosity, `[Kendall-Monroe]`.
    pub fn diluted(nu40_m2s: f64, nu100_m2s: f64, dilution: f64) -> Self {
        let share = dilution.clamp(0.0, 0.5);
        if share == 0.0 {
            return Self { nu40_m2s, nu100_m2s, density_15: Self::USUAL_DENSITY };
        }
        let density_15 = 1.0 / ((1.0 - share) / Self::USUAL_DENSITY + share / diesel_fuel::USUAL_DENSITY);
        Self {
            nu40_m2s: blended_viscosity(nu40_m2s, diesel_fuel::USUAL_NU40, share),
            nu100_m2s: blended_viscosity(nu100_m2s, diesel_fuel::USUAL_NU100, share),
            density_15,
        }
    }

    /// Kinematic viscosity [m²/s] at `temperature` [K]; see [`kinematic_viscosity`].
    pub fn kinematic_viscosity<N: Number>(&self, temperature: N) -> N {
        kinematic_viscosity((AT_40, self.nu40_m2s), (AT_100, self.nu100_m2s), temperature)
    }

    /// Dynamic viscosity [Pa s] at `temperature` [K], 250 ..= 500.
    pub fn viscosity<N: Number>(&self, temperature: N) -> N {
        self.kinematic_viscosity(temperature) * self.density(temperature)
    }

    /// Density [kg/m³] at `temperature` [K].
    pub fn density<N: Number>(&self, temperature: N) -> N {
        petroleum_density(self.density_15, 0.6278 / self.density_15, temperature)
    }

    /// Heat capacity [J/(kg K)] at `temperature` [K].
    pub fn heat_capacity<N: Number>(&self, temperature: N) -> N {
        petroleum_heat_capacity(self.density_15, temperature)
    }

    /// Enthalpy [J/kg] above 273.15 K: the integral of [`Oil::heat_capacity`].
    pub fn enthalpy<N: Number>(&self, temperature: N) -> N {
        petroleum_enthalpy(self.density_15, temperature)
    }

    /// Thermal conductivity [W/(m K)] at `temperature` [K].
    pub fn conductivity<N: Number>(&self, temperature: N) -> N {
        petroleum_conductivity(self.density_15, temperature)
    }
}

/// Kinematic viscosity [m²/s] of two liquids together; `share` is the second one's share of the mass [1].
///
/// # Source
/// `[Kendall-Monroe]`: cube roots add by share.
pub fn blended_viscosity(first: f64, second: f64, share: f64) -> f64 {
    ((1.0 - share) * first.max(0.0).cbrt() + share * second.max(0.0).cbrt()).powi(3)
}

/// Share of the mass [1] of the second of two liquids in what has this viscosity `found` [m²/s]: the inverse of
/// [`blended_viscosity`]; below 0 where it is beyond the first, above 1 beyond the second.
///
/// # Source
/// `[Kendall-Monroe]`.
pub fn blended_share(first: f64, second: f64, found: f64) -> f64 {
    (first.cbrt() - found.cbrt()) / (first.cbrt() - second.cbrt())
}

/// How much colder than its cranking test an oil is still pumped [K], and the most viscosity it may have there [Pa s].
///
/// # Source
/// `[J300]` table 1, from memory: 60 Pa s with no yield stress, 5 K below.
pub const PUMPED: (f64, f64) = (5.0, 60.0);

/// Density [kg/m³] of a petroleum liquid; `expansion` is that at 15 °C [1/K].
///
/// # Source
/// `[D1250]` volume correction exp(−αΔT(1 + 0.8αΔT)), written as a fraction equal to it up to the second power.
pub(crate) fn petroleum_density<N: Number>(density_15: f64, expansion: f64, temperature: N) -> N {
    let x = (temperature - (ZERO_CELSIUS + 15.0)) * expansion;
    (x * (x * 1.3 + 1.0) + 1.0).recip() * density_15
}

/// Heat capacity [J/(kg K)] of a petroleum liquid; positive above −495 °C, so everywhere.
///
/// # Source
/// `[Cragoe1929]` (NBS Miscellaneous Publication 97): (1.685 + 0.0034 t)/√s kJ/(kg K).
pub(crate) fn petroleum_heat_capacity<N: Number>(density_15: f64, temperature: N) -> N {
    ((temperature - ZERO_CELSIUS) * 3.4 + 1685.0) * (density_15 / 999.1).sqrt().recip()
}

/// The integral of [`petroleum_heat_capacity`] from 273.15 K [J/kg].
pub(crate) fn petroleum_enthalpy<N: Number>(density_15: f64, temperature: N) -> N {
    let t = temperature - ZERO_CELSIUS;
    t * (t * 1.7 + 1685.0) * (density_15 / 999.1).sqrt().recip()
}

/// Thermal conductivity [W/(m K)] of a petroleum liquid; held within 200 ..= 700 K.
///
/// # Source
/// `[Cragoe1929]`: 0.117 (1 − 0.00054 t)/s W/(m K).
pub(crate) fn petroleum_conductivity<N: Number>(density_15: f64, temperature: N) -> N {
    let t = within(temperature, 200.0, 700.0, 10.0) - ZERO_CELSIUS;
    (-(t * 0.00054) + 1.0) * (0.117 * 999.1 / density_15)
}

/// Limits of one SAE grade; what a grade does not limit is `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// As printed on the can, one half of it: "15W" or "40".
    pub name: &'static str,
    /// Greatest cranking viscosity [Pa s] and its temperature [K].
    pub cranking: Option<(f64, f64)>,
    /// Least kinematic viscosity at 100 °C [m²/s].
    pub nu100_from: f64,
    /// Kinematic viscosity at 100 °C stays below this [m²/s].
    pub nu100_below: Option<f64>,
    /// Least high-shear viscosity at 150 °C [Pa s]; for 40 with 0W, 5W or 10W, and with anything else.
    pub high_shear: Option<(f64, f64)>,
}

const fn winter(name: &'static str, cranking: f64, celsius: f64, from: f64) -> Grade {
    let cranking = Some((cranking, ZERO_CELSIUS + celsius));
    Grade { name, cranking, nu100_from: from, nu100_below: None, high_shear: None }
}

const fn summer(name: &'static str, from: f64, below: f64, shear_light: f64, shear: f64) -> Grade {
    Grade { name, cranking: None, nu100_from: from, nu100_below: Some(below), high_shear: Some((shear_light, shear)) }
}

/// The engine-oil grades.
///
/// # Source
/// `[J300]` (2015-01) table 1.
pub const GRADES: [Grade; 14] = [
    winter("0W", 6.2, -35.0, 3.8e-6),
    winter("5W", 6.6, -30.0, 3.8e-6),
    winter("10W", 7.0, -25.0, 4.1e-6),
    winter("15W", 7.0, -20.0, 5.6e-6),
    winter("20W", 9.5, -15.0, 5.6e-6),
    winter("25W", 13.0, -10.0, 9.3e-6),
    summer("8", 4.0e-6, 6.1e-6, 1.7e-3, 1.7e-3),
    summer("12", 5.0e-6, 7.1e-6, 2.0e-3, 2.0e-3),
    summer("16", 6.1e-6, 8.2e-6, 2.3e-3, 2.3e-3),
    summer("20", 6.9e-6, 9.3e-6, 2.6e-3, 2.6e-3),
    summer("30", 9.3e-6, 12.5e-6, 2.9e-3, 2.9e-3),
    summer("40", 12.5e-6, 16.3e-6, 3.5e-3, 3.7e-3),
    summer("50", 16.3e-6, 21.9e-6, 3.7e-3, 3.7e-3),
    summer("60", 21.9e-6, 26.1e-6, 3.7e-3, 3.7e-3),
];

/// The limits of the grade of that name.
pub fn grade(name: &str) -> Option<&'static Grade> {
    GRADES.iter().find(|grade| grade.name.eq_ignore_ascii_case(name))
}

/// Typical oils on sale: name, ν at 40 °C and at 100 °C [m²/s]; common practice, no source.
pub const TYPICAL: [(&str, f64, f64); 9] = [
    ("20", 55.0e-6, 7.8e-6),
    ("30", 95.0e-6, 11.0e-6),
    ("40", 145.0e-6, 14.5e-6),
    ("50", 210.0e-6, 18.8e-6),
    ("5W-30", 62.0e-6, 10.6e-6),
    ("5W-40", 85.0e-6, 14.0e-6),
    ("10W-40", 95.0e-6, 14.3e-6),
    ("15W-40", 110.0e-6, 14.7e-6),
    ("20W-50", 165.0e-6, 18.5e-6),
];

/// Kinematic viscosity limits at 40 °C [m²/s] of an ISO viscosity grade.
///
/// # Source
/// `[ISO3448]`: 10 % either side of the mid-point.
pub fn iso_limits(grade: u32) -> (f64, f64) {
    let middle = f64::from(grade) * 1e-6;
    (0.9 * middle, 1.1 * middle)
}
