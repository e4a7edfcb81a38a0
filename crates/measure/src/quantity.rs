//! The quantities a value may be of.

use crate::table;

/// What a value is of. Inside it is always SI; the unit inside stands in brackets.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Absolute pressure [Pa]; written with an absolute unit (`bar_abs`, `psia`).
    Pressure,
    /// Pressure over the atmosphere, as a gauge shows it [Pa].
    GaugePressure,
    /// One pressure less another [Pa].
    PressureDifference,
    /// Temperature [K].
    Temperature,
    /// One temperature less another [K].
    TemperatureDifference,
    /// Flow by mass [kg/s].
    MassFlow,
    /// Flow by volume [m³/s].
    VolumeFlow,
    /// Speed of a shaft [rad/s].
    RotationalSpeed,
    /// Power or heat flow [W].
    Power,
    /// Length, height [m].
    Length,
    /// Area [m²].
    Area,
    /// Volume [m³].
    Volume,
    /// Mass [kg].
    Mass,
    /// Speed through water, air or a pipe [m/s].
    Velocity,
    /// Torque [N m].
    Torque,
    /// A plain number [1].
    Ratio,
    /// Heat passed per kelvin [W/K].
    ThermalConductance,
    /// Resistance to heat of what has grown on a wall [K/W].
    FoulingResistance,
    /// Heat stored per kelvin [J/K].
    HeatCapacity,
    /// Pressure drop per squared flow [Pa/(kg/s)²].
    HydraulicResistance,
    /// Force, as of a belt's tension [N].
    Force,
    /// How often something swings [Hz].
    Frequency,
    /// Stiffness of a spring [N/m].
    SpringRate,
    /// Time that passes [s].
    Duration,
    /// Voltage [V].
    Voltage,
    /// Current [A].
    Current,
    /// Resistance to current [Ω].
    Resistance,
    /// Electric charge, as a battery holds [A s].
    Charge,
    /// Kinematic viscosity [m²/s].
    KinematicViscosity,
    /// Dynamic viscosity [Pa s].
    DynamicViscosity,
    /// Density [kg/m³].
    Density,
    /// Angle [rad].
    Angle,
    /// Volume moved in one revolution, as of a pump [m³/rev].
    VolumePerRevolution,
    /// Fuel burnt per work done [kg/J].
    SpecificConsumption,
    /// How full, as a share of full [1].
    Level,
}

/// What is known of one quantity.
struct Facts {
    name: &'static str,
    si: &'static str,
    example: &'static str,
    /// The unit that pages use.
    usual: &'static str,
    may_be_negative: bool,
}

impl Quantity {
    /// Every quantity.
    pub const ALL: &[Quantity] = {
        use Quantity::*;
        &[
            Pressure,
            GaugePressure,
            PressureDifference,
            Temperature,
            TemperatureDifference,
            MassFlow,
            VolumeFlow,
            RotationalSpeed,
            Power,
            Length,
            Area,
            Volume,
            Mass,
            Velocity,
            Torque,
            Ratio,
            ThermalConductance,
            FoulingResistance,
            HeatCapacity,
            HydraulicResistance,
            Force,
            Frequency,
            SpringRate,
            Duration,
            Voltage,
            Current,
            Resistance,
            Charge,
            KinematicViscosity,
            DynamicViscosity,
            Density,
            Angle,
            VolumePerRevolution,
            SpecificConsumption,
            Level,
        ]
    };

    /// The name in plain words, without an article: "gauge pressure".
    pub fn name(self) -> &'static str {
        self.facts().name
    }

    /// The unit inside, a unit that [`crate::unit::parse`] takes with factor one ("1" for a plain number).
    pub fn si_unit(self) -> &'static str {
        self.facts().si
    }

    /// A value as an owner would write it: "2.4 bar".
    pub fn example(self) -> &'static str {
        self.facts().example
    }

    /// The units it may be written in, the commonest first; the empty unit of a plain number is left out.
    pub fn units(self) -> impl Iterator<Item = &'static str> {
        table::units_of(self).map(|unit| unit.symbol).filter(|symbol| !symbol.is_empty())
    }

    /// What a change of it is: pressures give a pressure difference, a temperature a temperature difference,
    /// all others themselves.
    pub fn difference(self) -> Quantity {
        match self {
            Quantity::Pressure | Quantity::GaugePressure => Quantity::PressureDifference,
            Quantity::Temperature => Quantity::TemperatureDifference,
            other => other,
        }
    }

    /// Whether a value below zero has a meaning.
    pub fn may_be_negative(self) -> bool {
        self.facts().may_be_negative
    }

    pub(crate) fn usual(self) -> &'static str {
        self.facts().usual
    }

    /// One row a quantity: name, unit inside, example, unit on pages, may it be negative.
    fn facts(self) -> Facts {
        use Quantity::*;
        let (name, si, example, usual, may_be_negative) = match self {
            Pressure => ("absolute pressure", "Pa_abs", "1.01 bar_abs", "bar_abs", false),
            GaugePressure => ("gauge pressure", "Pa", "2.4 bar", "bar", true),
            PressureDifference => ("pressure difference", "Pa", "0.15 bar", "bar", true),
            Temperature => ("temperature", "K", "62 °C", "°C", false),
            TemperatureDifference => ("temperature difference", "K", "8 K", "K", true),
            MassFlow => ("flow by mass", "kg/s", "1.5 kg/s", "kg/s", true),
            VolumeFlow => ("flow by volume", "m³/s", "180 L/min", "L/min", true),
            RotationalSpeed => ("rotational speed", "rad/s", "1500 rpm", "rpm", true),
            Power => ("power", "W", "74 kW", "kW", true),
            Length => ("length", "m", "51 mm", "mm", true),
            Area => ("area", "m²", "12 cm²", "cm²", false),
            Volume => ("volume", "m³", "27 L", "L", false),
            Mass => ("mass", "kg", "38 t", "kg", false),
            Velocity => ("velocity", "m/s", "7.5 kn", "kn", true),
            Torque => ("torque", "Nm", "320 Nm", "Nm", true),
            Ratio => ("plain number", "1", "0.6", "", true),
            ThermalConductance => ("thermal conductance", "W/K", "2 kW/K", "kW/K", false),
            FoulingResistance => ("fouling resistance", "K/W", "2e-5 K/W", "K/W", false),
            HeatCapacity => ("heat capacity", "J/K", "120 kJ/K", "kJ/K", false),
            HydraulicResistance => ("hydraulic resistance", "Pa/(kg/s)²", "2000 Pa/(kg/s)²", "Pa/(kg/s)²", false),
            Force => ("force", "N", "250 N", "N", true),
            Frequency => ("frequency", "Hz", "60 Hz", "Hz", false),
            SpringRate => ("spring rate", "N/m", "2.5 N/mm", "N/mm", false),
            Duration => ("duration", "s", "40 min", "min", true),
            Voltage => ("voltage", "V", "13.8 V", "V", true),
            Current => ("current", "A", "35 A", "A", true),
            Resistance => ("resistance", "Ω", "0.5 mΩ", "mΩ", false),
            Charge => ("electric charge", "A s", "200 A·h", "A·h", false),
            KinematicViscosity => ("kinematic viscosity", "m²/s", "14.5 cSt", "mm²/s", false),
            DynamicViscosity => ("dynamic viscosity", "Pa s", "1.2 mPa s", "mPa s", false),
            Density => ("density", "kg/m³", "840 kg/m³", "kg/m³", false),
            Angle => ("angle", "rad", "14 °", "°", true),
            VolumePerRevolution => ("volume per revolution", "m³/rev", "28 cm³/rev", "cm³/rev", false),
            SpecificConsumption => ("specific consumption", "kg/J", "220 g/kWh", "g/kWh", false),
            Level => ("level", "1", "60 %", "%", false),
        };
        Facts { name, si, example, usual, may_be_negative }
    }
}
