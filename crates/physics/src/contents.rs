//! What a circuit is filled with, and every property the model asks of it.

use crate::coolant::{Coolant, Glycol};
use crate::number::Number;
use crate::oil::Oil;
use crate::{diesel_fuel, fresh_water, gas, sea_water};

/// One filling. Its properties are cheap, finite and smooth from 250 to 650 K and beyond, since a solver wanders.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Contents {
    /// Sea water.
    SeaWater {
        /// Absolute Salinity [kg/kg], 0 ..= 0.045.
        salinity: f64,
    },
    /// Fresh water.
    FreshWater,
    /// Glycol and water.
    Coolant {
        /// Which glycol.
        glycol: Glycol,
        /// Its share of the volume [1], 0 ..= 0.6.
        volume_fraction: f64,
    },
    /// Lubricating or hydraulic oil.
    Oil {
        /// Kinematic viscosity at 40 °C [m²/s].
        nu40_m2s: f64,
        /// Kinematic viscosity at 100 °C [m²/s].
        nu100_m2s: f64,
        /// Share of fuel in the mass [1], 0 ..= 0.2.
        dilution: f64,
    },
    /// Air, or burnt gas, at one standard atmosphere.
    Gas {
        /// Mass of fuel burnt in one mass of air [1]; 0 is air.
        fuel_air_ratio: f64,
    },
    /// Diesel fuel.
    Fuel,
    /// Electric current: it has no mass, and carries no heat.
    Current,
}

/// Sends one property to the file of the filling.
macro_rules! ask {
    ($self:ident, $t:ident, $property:ident, $gas:path) => {
        match *$self {
            Self::SeaWater { salinity } => {
                $t.through(|t| sea_water::$property(salinity, t), |t| sea_water::$property(salinity, t))
            }
            Self::FreshWater => $t.through(fresh_water::$property, fresh_water::$property),
            Self::Coolant { glycol, volume_fraction } => {
                let mix = Coolant::by_volume(glycol, volume_fraction);
                $t.through(|t| mix.$property(t), |t| mix.$property(t))
            }
            Self::Oil { nu40_m2s, nu100_m2s, dilution } => {
                let oil = Oil::diluted(nu40_m2s, nu100_m2s, dilution);
                $t.through(|t| oil.$property(t), |t| oil.$property(t))
            }
            Self::Gas { fuel_air_ratio } => $t.through(|t| $gas(fuel_air_ratio, t), |t| $gas(fuel_air_ratio, t)),
            Self::Fuel => $t.through(diesel_fuel::$property, diesel_fuel::$property),
            Self::Current => N::constant(0.0),
        }
    };
}

impl Contents {
    /// Sea water of the open ocean.
    pub const OCEAN: Self = Self::SeaWater { salinity: crate::teos10::STANDARD_SALINITY };
    /// Air.
    pub const AIR: Self = Self::Gas { fuel_air_ratio: 0.0 };

    /// Density [kg/m³] at `temperature` [K]; of a gas, at one standard atmosphere.
    pub fn density<N: Number>(&self, temperature: N) -> N {
        ask!(self, temperature, density, gas::density_at_atmosphere)
    }

    /// Heat capacity [J/(kg K)] at `temperature` [K].
    pub fn heat_capacity<N: Number>(&self, temperature: N) -> N {
        ask!(self, temperature, heat_capacity, gas::heat_capacity)
    }

    /// Enthalpy [J/kg] at `temperature` [K], zero at 273.15 K: the exact integral of the heat capacity.
    pub fn enthalpy<N: Number>(&self, temperature: N) -> N {
        ask!(self, temperature, enthalpy, gas::enthalpy)
    }

    /// Dynamic viscosity [Pa s] at `temperature` [K].
    pub fn viscosity<N: Number>(&self, temperature: N) -> N {
        ask!(self, temperature, viscosity, gas::viscosity)
    }

    /// Thermal conductivity [W/(m K)] at `temperature` [K].
    pub fn conductivity<N: Number>(&self, temperature: N) -> N {
        ask!(self, temperature, conductivity, gas::conductivity)
    }

    /// Vapour pressure [Pa] at `temperature` [K]; `None` for what does not boil in an engine room.
    pub fn saturation_pressure<N: Number>(&self, temperature: N) -> Option<N> {
        let pressure = || temperature.through(fresh_water::saturation_pressure, fresh_water::saturation_pressure);
        self.vapour_share().map(|share| pressure() * share)
    }

    /// Boiling temperature [K] at `pressure` [Pa]; `None` for what does not boil in an engine room.
    pub fn saturation_temperature<N: Number>(&self, pressure: N) -> Option<N> {
        self.vapour_share().map(|share| {
            (pressure / share).through(fresh_water::saturation_temperature, fresh_water::saturation_temperature)
        })
    }

    /// Share of fresh water's vapour pressure that is left over this filling [1].
    fn vapour_share(&self) -> Option<f64> {
        match *self {
            Self::SeaWater { salinity } => Some(sea_water::vapour_share(salinity)),
            Self::FreshWater => Some(1.0),
            Self::Coolant { glycol, volume_fraction } => {
                Some(Coolant::by_volume(glycol, volume_fraction).vapour_share())
            }
            Self::Oil { .. } | Self::Gas { .. } | Self::Fuel | Self::Current => None,
        }
    }
}
