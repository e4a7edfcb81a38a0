//! Glycol and water: the fresh-water side of an engine.
//!
//! Inhibitors are left out: as sold, freezing points differ by some kelvin from one product to the next.

use crate::constants::ZERO_CELSIUS;
use crate::fresh_water::{self, held_celsius};
use crate::halving::zero;
use crate::number::Number;
use crate::smooth::{integral, polynomial};

/// Which glycol the water is mixed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Glycol {
    /// Ethylene glycol.
    Ethylene,
    /// Propylene glycol.
    Propylene,
}

/// Coefficients by power of mass fraction (rows) and of °C/100 (columns).
struct Fits {
    volume: [[f64; 3]; 3],
    heat_capacity: [[f64; 2]; 4],
    conductivity: [[f64; 3]; 3],
    viscosity_over_water: [[f64; 4]; 3],
    /// Density of the pure glycol at 20 °C [kg/m³]. Source: [Lange15] (ethylene) and [Lange15] (propylene).
    pure_density: f64,
    /// Molar mass of the pure glycol [kg/mol].
    molar_mass: f64,
}

/// Fitted to [Melinder2010] as computed by [CoolProp], 10 ..= 60 % by mass, from freezing to 100 °C; stated errors
/// volume 0.21 %, heat capacity 1.7 %, conductivity 1.3 %, viscosity 5.9 %.
const ETHYLENE: Fits = Fits {
    volume: [
        [0.0010007298, 1.4387627e-05, 2.4315917e-05],
        [-0.00015864519, 5.9364593e-05, 0.0],
        [3.8304529e-05, -3.5232348e-05, 0.0],
    ],
    heat_capacity: [[4171.6902, 0.0], [-1217.3933, 911.09854], [-1983.5502, 48.411099], [1125.5077, 0.0]],
    conductivity: [
        [0.57536005, 0.12802737, -0.0085336876],
        [-0.48033904, -0.10069181, 0.0],
        [0.16658279, -0.040385188, 0.0],
    ],
    viscosity_over_water: [
        [2.7738033, -2.5095614, 1.7499902, 0.12201845],
        [0.25681226, 6.3477785, -14.559008, 7.0708472],
        [0.11607464, -9.1499543, 24.500431, -14.851087],
    ],
    pure_density: 1113.0,
    molar_mass: 62.068e-3,
};

/// As [`ETHYLENE`]; stated errors volume 0.26 %, heat capacity 0.6 %, conductivity 1.3 %, viscosity 5.5 %.
const PROPYLENE: Fits = Fits {
    volume: [
        [0.0010025458, 1.3497631e-05, 2.280476e-05],
        [-0.00013250002, 8.5942075e-05, 0.0],
        [6.5148789e-05, -3.5647343e-05, 0.0],
    ],
    heat_capacity: [[4161.4679, 0.0], [-797.71034, 1043.8746], [-1500.058, -528.69711], [515.10963, 0.0]],
    conductivity: [
        [0.57174401, 0.12395599, -0.00019365629],
        [-0.52471988, -0.15190747, 0.0],
        [0.16091257, 0.012746881, 0.0],
    ],
    viscosity_over_water: [
        [3.791267, -3.4117233, 4.9736264, -3.2966514],
        [3.8488533, -11.145967, -2.4637747, 9.8950562],
        [-4.1203315, 13.666425, 0.791099, -10.765747],
    ],
    pure_density: 1036.0,
    molar_mass: 76.094e-3,
};

/// Density of water at 20 °C [kg/m³], for volume fractions. Source: [IF97].
const WATER_AT_20: f64 = 998.2;

/// Strongest mix by volume that is reckoned with [1]: past it there is too little water to carry heat, and it freezes higher again.
pub const STRONGEST: f64 = 0.6;

/// A mix of one glycol with water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coolant {
    /// Which glycol.
    pub glycol: Glycol,
    /// Glycol's share of the mass [1], 0 ..= 0.6.
    pub mass_fraction: f64,
}

/// Folds the rows by mass fraction into one polynomial of temperature.
fn fold<const ROWS: usize, const COLUMNS: usize>(fit: &[[f64; COLUMNS]; ROWS], fraction: f64) -> [f64; COLUMNS] {
    let mut folded = [0.0; COLUMNS];
    for row in fit.iter().rev() {
        for (sum, coefficient) in folded.iter_mut().zip(row) {
            *sum = *sum * fraction + coefficient;
        }
    }
    folded
}

impl Coolant {
    /// From the share of the volume at 20 °C [1], before mixing; held to 0 ..= 0.6.
    pub fn by_volume(glycol: Glycol, volume_fraction: f64) -> Self {
        let volume = volume_fraction.clamp(0.0, STRONGEST);
        let heavy = volume * fits(glycol).pure_density;
        Self { glycol, mass_fraction: heavy / (heavy + (1.0 - volume) * WATER_AT_20) }
    }

    /// From the share of the mass [1]; held to 0 ..= 0.63.
    pub fn by_mass(glycol: Glycol, mass_fraction: f64) -> Self {
        Self { glycol, mass_fraction: mass_fraction.clamp(0.0, 0.63) }
    }

    /// Glycol's share of the volume at 20 °C [1], before mixing.
    pub fn volume_fraction(&self) -> f64 {
        let glycol = self.mass_fraction / fits(self.glycol).pure_density;
        glycol / (glycol + (1.0 - self.mass_fraction) / WATER_AT_20)
    }

    /// Density [kg/m³] at `temperature` [K], freezing ..= 393; held outside 255 ..= 460.
    ///
    /// # Source
    /// Fitted to `[Melinder2010]` as computed by `[CoolProp]`, stated error 0.3 %.
    pub fn density<N: Number>(&self, temperature: N) -> N {
        let t = held_celsius(temperature) / 100.0;
        polynomial(t, &fold(&fits(self.glycol).volume, self.mass_fraction)).recip()
    }

    /// Heat capacity [J/(kg K)] at `temperature` [K], freezing ..= 393.
    ///
    /// # Source
    /// Fitted to `[Melinder2010]` as computed by `[CoolProp]`, stated error 1.7 %.
    pub fn heat_capacity<N: Number>(&self, temperature: N) -> N {
        let t = (temperature - ZERO_CELSIUS) / 100.0;
        polynomial(t, &fold(&fits(self.glycol).heat_capacity, self.mass_fraction))
    }

    /// Enthalpy [J/kg] above 273.15 K: the integral of [`Coolant::heat_capacity`].
    pub fn enthalpy<N: Number>(&self, temperature: N) -> N {
        let t = (temperature - ZERO_CELSIUS) / 100.0;
        integral(t, &fold(&fits(self.glycol).heat_capacity, self.mass_fraction)) * 100.0
    }

    /// Dynamic viscosity [Pa s] at `temperature` [K], freezing ..= 393; held outside 255 ..= 460.
    ///
    /// # Source
    /// Fitted to `[Melinder2010]` as computed by `[CoolProp]`, stated error 6 %.
    pub fn viscosity<N: Number>(&self, temperature: N) -> N {
        let t = held_celsius(temperature) / 100.0;
        let terms = fold(&fits(self.glycol).viscosity_over_water, self.mass_fraction);
        fresh_water::viscosity(temperature) * (polynomial(t, &terms) * self.mass_fraction).exp()
    }

    /// Thermal conductivity [W/(m K)] at `temperature` [K], freezing ..= 393; held outside 255 ..= 460.
    ///
    /// # Source
    /// Fitted to `[Melinder2010]` as computed by `[CoolProp]`, stated error 1.4 %.
    pub fn conductivity<N: Number>(&self, temperature: N) -> N {
        let t = held_celsius(temperature) / 100.0;
        polynomial(t, &fold(&fits(self.glycol).conductivity, self.mass_fraction))
    }

    /// Freezing temperature [K] (first crystals), up to 60 % by volume.
    ///
    /// # Source
    /// Curves laid through the tables of `[Lange15]` 5.13 and `[ASHRAE-glycol]` (propylene, by volume) and
    /// `[ASHRAE-glycol]` (ethylene, by mass); within 0.25 K of the tables.
    pub fn freezing_temperature(&self) -> f64 {
        let (share, terms) = match self.glycol {
            Glycol::Ethylene => (self.mass_fraction, [0.0, -28.561559, -33.730159, -88.105413, 0.0]),
            Glycol::Propylene => (self.volume_fraction(), [0.0, -37.23775, 40.192909, -178.84106, -35.72076]),
        };
        ZERO_CELSIUS + polynomial(share, &terms)
    }

    /// The mix that freezes at this temperature [K]; nothing above the freezing point of water or below what 60 % by volume stands.
    ///
    /// # Source
    /// The inverse of [`Coolant::freezing_temperature`], by halving.
    pub fn freezing_at(glycol: Glycol, temperature: f64) -> Option<Self> {
        let (low, high) = (0.0, STRONGEST);
        let freezes = |share: f64| Self::by_volume(glycol, share).freezing_temperature();
        if !(freezes(high)..=freezes(low)).contains(&temperature) {
            return None;
        }
        Some(Self::by_volume(glycol, zero((low, high), |share| temperature - freezes(share))))
    }

    /// Water's share of the molecules [1]; what is left of its vapour pressure, by Raoult's law.
    pub fn vapour_share(&self) -> f64 {
        let water = (1.0 - self.mass_fraction) / crate::constants::WATER_MOLAR_MASS;
        water / (water + self.mass_fraction / fits(self.glycol).molar_mass)
    }

    /// Vapour pressure [Pa] at `temperature` [K]; the glycol's own is left out.
    ///
    /// # Source
    /// Raoult's law, `[Perry8]` sec. 13.
    pub fn saturation_pressure<N: Number>(&self, temperature: N) -> N {
        fresh_water::saturation_pressure(temperature) * self.vapour_share()
    }

    /// Boiling temperature [K] at `pressure` [Pa]: the inverse of [`Coolant::saturation_pressure`].
    pub fn saturation_temperature<N: Number>(&self, pressure: N) -> N {
        fresh_water::saturation_temperature(pressure / self.vapour_share())
    }
}

fn fits(glycol: Glycol) -> &'static Fits {
    match glycol {
        Glycol::Ethylene => &ETHYLENE,
        Glycol::Propylene => &PROPYLENE,
    }
}
