//! The diesel engine as a machine: size, power, fuel, air, friction, heat. Speed in [rad/s].

use crate::gas;
use crate::number::Number;
use std::f64::consts::{PI, TAU};

/// Strokes a cycle takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cycle {
    /// One power stroke a turn.
    TwoStroke,
    /// One power stroke in two turns.
    FourStroke,
}

impl Cycle {
    /// Radians of crank turn in one cycle.
    pub const fn radians(self) -> f64 {
        match self {
            Self::TwoStroke => TAU,
            Self::FourStroke => 2.0 * TAU,
        }
    }
}

/// Swept volume [m³] from bore and stroke [m] and the number of cylinders.
pub fn swept_volume<N: Number>(bore: N, stroke: N, cylinders: u32) -> N {
    bore * bore * stroke * (PI / 4.0 * f64::from(cylinders))
}

/// Mean piston speed [m/s]. Source: `[Heywood1988]` eq. 2.9.
pub fn piston_speed<N: Number>(stroke: N, speed: N) -> N {
    stroke * speed / PI
}

/// Power [W] of a torque [N m] at a speed [rad/s].
pub fn power<N: Number>(torque: N, speed: N) -> N {
    torque * speed
}

/// Torque [N m] of a power [W] at a speed [rad/s], above 0.
pub fn torque<N: Number>(power: N, speed: N) -> N {
    power / speed
}

/// Mean effective pressure [Pa] of a power [W]. Source: `[Heywood1988]` eq. 2.19.
pub fn mean_effective_pressure<N: Number>(power: N, swept: N, speed: N, cycle: Cycle) -> N {
    power * cycle.radians() / (swept * speed)
}

/// Power [W] of a mean effective pressure [Pa]: the inverse of [`mean_effective_pressure`].
pub fn power_of_pressure<N: Number>(pressure: N, swept: N, speed: N, cycle: Cycle) -> N {
    pressure * swept * speed / cycle.radians()
}

/// Efficiency [1] of power [W] from fuel flow [kg/s] with a heating value [J/kg].
pub fn efficiency<N: Number>(power: N, fuel: N, heating_value: f64) -> N {
    power / (fuel * heating_value)
}

/// Fuel flow [kg/s] for power [W] at a specific consumption [kg/J].
pub fn fuel_flow<N: Number>(power: N, specific_consumption: N) -> N {
    power * specific_consumption
}

/// Air drawn in [kg/s]: swept volume, filled to `volumetric_efficiency` [1] with air of `density` [kg/m³].
///
/// # Source
/// `[Heywood1988]` eq. 2.27.
pub fn air_flow<N: Number>(swept: N, speed: N, volumetric_efficiency: N, density: N, cycle: Cycle) -> N {
    swept * speed * volumetric_efficiency * density / cycle.radians()
}

/// Fuel flow [kg/s] on a Willans line: brake power and lost power [W] over an indicated efficiency [1].
///
/// # Source
/// `[Heywood1988]` sec. 13.3.1, Willans line.
pub fn willans_fuel<N: Number>(brake_power: N, lost_power: N, indicated_efficiency: N, heating_value: f64) -> N {
    (brake_power + lost_power) / (indicated_efficiency * heating_value)
}

/// Motored friction of a diesel as mean effective pressure [Pa], rubbing, pumping and auxiliaries together.
///
/// * `base` [Pa]: 75 kPa with direct injection, 110 kPa with a prechamber
///
/// # Source
/// `[Millington1968]`, as in `[Heywood1988]` eq. 13.6: base + 48 kPa (n/1000 rpm) + 0.4 kPa (m/s)⁻².
pub fn motored_friction<N: Number>(base: f64, speed: N, stroke: N) -> N {
    let thousands = speed * (60.0 / TAU / 1000.0);
    let piston = piston_speed(stroke, speed);
    thousands * 48e3 + piston * piston * 400.0 + base
}

/// Share of the indicated torque that one cylinder gives [1], from the speed [rad/s] that is left when its fuel is cut and no
/// governor makes up for it; 1 over the number of cylinders where all give alike, 0 where the cut changes nothing.
///
/// * `mechanical` \[1\]: shaft work over indicated work at `speed`; 0 out of gear, where all goes into friction
/// * `load_exponent` \[1\]: of the load's power over speed, 3 for a propeller
/// * `base` \[Pa\], `stroke` \[m\]: as of [`motored_friction`]
///
/// # Source
/// Balance of torque before and after: the fuel of each stroke stays, and with it the indicated torque, `[Heywood1988]`
/// sec. 13.2 (the test of cutting out one cylinder).
pub fn cylinder_share(speed: f64, cut: f64, mechanical: f64, load_exponent: f64, base: f64, stroke: f64) -> f64 {
    let load = mechanical * (cut / speed).powf(load_exponent - 1.0);
    let friction = (1.0 - mechanical) * motored_friction(base, cut, stroke) / motored_friction(base, speed, stroke);
    1.0 - load - friction
}

/// Temperature [K] to which a heat content warms gas taken in at `inlet` [K].
///
/// * `heat` [J/kg of gas] left in it; `heat_capacity` [J/(kg K)], mean over the rise
pub fn exhaust_temperature<N: Number>(inlet: N, heat: N, heat_capacity: N) -> N {
    inlet + heat / heat_capacity
}

/// Enthalpy [J/kg] of exhaust above 273.15 K that closes the heat balance of the engine.
///
/// * `fuel_heat` [W] released, `power` [W] at the shaft, `lost` [W] to jacket, oil and room
/// * `air`, `fuel` [kg/s]; `air_temperature` [K]
///
/// # Source
/// First law for the open system, `[Heywood1988]` eq. 12.2.
pub fn exhaust_enthalpy<N: Number>(fuel_heat: N, power: N, lost: N, air: N, fuel: N, air_temperature: N) -> N {
    gas::enthalpy(0.0, air_temperature) + (fuel_heat - power - lost) / (air + fuel)
}

/// Conductance [W/K] between the gas in all cylinders and their walls, averaged over the cycle.
///
/// * `gas_flow` [kg/s] of all cylinders; `bore` [m]; gas `viscosity` [Pa s] and `conductivity` [W/(m K)]
///
/// # Source
/// `[Taylor1985]` ch. 8 (Taylor & Toong 1957): Nu = 10.4 Re^0.75 on bore and piston area, from memory.
pub fn gas_side_conductance<N: Number>(gas_flow: N, bore: N, cylinders: u32, viscosity: N, conductivity: N) -> N {
    let count = f64::from(cylinders.max(1));
    let piston = bore * bore * (PI / 4.0);
    let reynolds = crate::smooth::positive_part(gas_flow / count, 1e-9) * bore / (piston * viscosity);
    reynolds.powf(0.75) * 10.4 * conductivity / bore * piston * count
}

/// Share of fuel heat a small diesel gives to its room [1]; common practice, no source.
pub const USUAL_ROOM_SHARE: f64 = 0.05;

/// Site conditions, or the reference they are compared with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ambient {
    /// Absolute pressure [Pa].
    pub pressure: f64,
    /// Air temperature [K].
    pub temperature: f64,
    /// Partial pressure of water vapour [Pa]: relative humidity times saturation pressure.
    pub vapour_pressure: f64,
    /// Charge-air coolant temperature [K]; any equal values when there is no charge cooler.
    pub coolant_temperature: f64,
}

/// Which limit the power stands at: the exponents of the adjustment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exponents {
    /// Factor of the vapour pressure [1].
    pub a: f64,
    /// Exponent of dry pressure [1].
    pub m: f64,
    /// Exponent of air temperature [1].
    pub n: f64,
    /// Exponent of charge-air coolant temperature [1].
    pub s: f64,
}

impl Exponents {
    /// Naturally aspirated, limited by excess air. Source: [ISO3046] table 2.
    pub const NATURAL: Self = Self { a: 1.0, m: 1.0, n: 0.75, s: 0.0 };
    /// Turbocharged with charge-air cooling, four-stroke. Source: [ISO3046] table 2.
    pub const TURBOCHARGED: Self = Self { a: 0.0, m: 0.7, n: 1.2, s: 1.0 };
}

/// Power and consumption at a site over those at reference: (α, β) [1].
///
/// # Source
/// `[ISO3046]` clause 10: k, α = k − 0.7(1 − k)(1/η − 1), β = k/α.
pub fn site_adjustment(site: &Ambient, reference: &Ambient, exponents: Exponents, mechanical: f64) -> (f64, f64) {
    let dry = |ambient: &Ambient| ambient.pressure - exponents.a * ambient.vapour_pressure;
    let k = (dry(site) / dry(reference)).powf(exponents.m)
        * (reference.temperature / site.temperature).powf(exponents.n)
        * (reference.coolant_temperature / site.coolant_temperature).powf(exponents.s);
    let alpha = k - 0.7 * (1.0 - k) * (1.0 / mechanical - 1.0);
    (alpha, k / alpha)
}

/// Piston travel from top dead centre [m]; crank `angle` [rad] after it, crank radius and rod length [m].
///
/// # Source
/// Slider-crank, `[Heywood1988]` eq. 2.5.
pub fn piston_travel<N: Number>(radius: N, rod: N, angle: N) -> N {
    let side = radius * angle.sin();
    radius * (-angle.cos() + 1.0) + rod - (rod * rod - side * side).sqrt()
}
