//! Water into hot gas: the temperature behind a wet exhaust's injection, down to the last drop.

use crate::constants::{GRAVITY, WATER_MOLAR_MASS};
use crate::fresh_water;
use crate::gas;
use crate::halving::zero;
use crate::number::Number;
use crate::sea_water;
use crate::smooth::{positive_part, smooth_min};

/// Flow that stands for none [kg/s]: a gram a minute or less.
const REST_FLOW: f64 = 1e-6;
/// Mole fraction over which the corner at boiling is rounded [1].
const CORNER: f64 = 1e-3;

/// Surface temperature above which exhaust parts are to be guarded [K], 200 °F. Source: [ABYC-P1].
pub const GUARD_TEMPERATURE: f64 = 366.483;
/// Continuous limit of good rubber wet-exhaust hose [K], 250 °F. Source: [ExhaustHose].
pub const HOSE_LIMIT: f64 = 394.261;
/// Usual trip of a wet-exhaust temperature alarm [K], 165 °F. Source: [ExhaustAlarm].
pub const ALARM_TEMPERATURE: f64 = 347.039;
/// Usual band at the hose of a wet exhaust with scant water [K], 150 to 200 °F. Source: [ExhaustBand].
pub const USUAL_BAND: (f64, f64) = (338.706, 366.483);

/// Temperature [K] of gas and water mixed without any evaporation: the upper bound while water is plenty.
///
/// Flows [kg/s], heat capacities [J/(kg K)], temperatures [K].
pub fn mixed_temperature_dry<N: Number>(gas: (N, N, N), water: (N, N, N)) -> N {
    let ((gas_flow, gas_heat, gas_at), (water_flow, water_heat, water_at)) = (gas, water);
    let (a, b) = (gas_flow * gas_heat, water_flow * water_heat);
    (a * gas_at + b * water_at) / (a + b)
}

/// Water gone into the gas [kg/s] at `temperature` [K] and `pressure` [Pa]: what saturates the gas, or all there is.
///
/// * `gas_flow` [kg/s] that meets water, of `gas_molar_mass` [kg/mol]; `water_flow` [kg/s]
/// * `vapour_share` of fresh water's vapour pressure [1]
///
/// The smooth lesser of the two in terms of the vapour's mole fraction, so boiling is no pole; 1 % low at the most
/// while less than a seventh of the water evaporates.
///
/// # Source
/// Dalton's law, `[ASHRAE-psychrometrics]` eq. 20; the joining is ours.
pub fn evaporated<N: Number>(
    temperature: N,
    gas_flow: N,
    gas_molar_mass: f64,
    water_flow: N,
    vapour_share: f64,
    pressure: N,
) -> N {
    let y = fresh_water::saturation_pressure(temperature) * vapour_share / pressure;
    let carried = positive_part(gas_flow, REST_FLOW) * (WATER_MOLAR_MASS / gas_molar_mass) * y;
    let water = positive_part(water_flow, REST_FLOW);
    let held = water * positive_part(-y + 1.0, CORNER);
    water * carried / (carried * carried + held * held).sqrt()
}

/// What meets behind the injection.
#[derive(Clone, Copy, Debug)]
pub struct WetMix<N> {
    /// Gas flow [kg/s].
    pub gas_flow: N,
    /// Gas temperature [K].
    pub gas_temperature: N,
    /// Fuel burnt in a mass of air [1].
    pub fuel_air_ratio: f64,
    /// Water flow [kg/s].
    pub water_flow: N,
    /// Water temperature [K].
    pub water_temperature: N,
    /// Salinity of the water [kg/kg].
    pub salinity: f64,
    /// Absolute pressure [Pa].
    pub pressure: N,
    /// Share of the gas that meets water [1], 0 ..= 1: 1 leaves saturated.
    pub wetting: N,
}

/// Heat that mixing to `t_mix` [K] takes less what it gives [W]; zero at the temperature of the mix.
///
/// Rises steadily with `t_mix`, from no evaporation to dried out; without water the mix is at gas temperature.
/// Sound for `t_mix` 250 ..= 1000 K.
///
/// # Source
/// Enthalpy balance over `[IF97]`, `[IAPWS08]` and `[NASA-thermo]` fits and [`evaporated`].
pub fn wet_mix_gap<N: Number>(t_mix: N, mix: &WetMix<N>) -> N {
    let gas_flow = positive_part(mix.gas_flow, REST_FLOW);
    let water_flow = positive_part(mix.water_flow, REST_FLOW);
    let vapour = evaporated(
        t_mix,
        gas_flow * mix.wetting,
        gas::molar_mass(mix.fuel_air_ratio),
        water_flow,
        sea_water::vapour_share(mix.salinity),
        mix.pressure,
    );
    let liquid_at = |t: N| sea_water::enthalpy(mix.salinity, t);
    let liquid = liquid_at(t_mix);
    water_flow * (liquid - liquid_at(mix.water_temperature))
        + vapour * (gas::vapour_enthalpy(t_mix) - liquid)
        + gas_flow * (gas::enthalpy(mix.fuel_air_ratio, t_mix) - gas::enthalpy(mix.fuel_air_ratio, mix.gas_temperature))
}

/// Temperature [K] of the mix by [`wet_mix_gap`], found by halving between the two inlets.
pub fn mixed_temperature(mix: &WetMix<f64>) -> f64 {
    // Water may cool below its own inlet by evaporating into very dry gas.
    let low = mix.water_temperature.min(mix.gas_temperature) - 40.0;
    zero((low, mix.water_temperature.max(mix.gas_temperature)), |t| wet_mix_gap(t, mix))
}

/// Temperature [K] of gas leaving saturated over fresh water, with constant heat capacities: the lower bound.
///
/// Flows [kg/s], heat capacities [J/(kg K)], temperatures [K] as in [`mixed_temperature_dry`]; `pressure` [Pa].
pub fn mixed_temperature_saturated(gas: (f64, f64, f64), water: (f64, f64, f64), pressure: f64) -> f64 {
    let ((gas_flow, gas_heat, gas_at), (water_flow, water_heat, water_at)) = (gas, water);
    let latent = |t: f64| gas::vapour_enthalpy(t) - fresh_water::enthalpy(t);
    zero((water_at.min(gas_at) - 40.0, gas_at.max(water_at)), |t| {
        let vapour = evaporated(t, gas_flow, gas::AIR_MOLAR_MASS, water_flow, 1.0, pressure);
        water_flow * water_heat * (t - water_at) + vapour * latent(t) - gas_flow * gas_heat * (gas_at - t)
    })
}

/// Back pressure of a dry pipe [Pa]: [`crate::flow::pipe_drop`] at the gas's own density and viscosity.
///
/// * `flow` [kg/s], `temperature` [K], `pressure` [Pa]; `length`, `bore`, `roughness` [m]; `sum_k` [1]
///
/// # Source
/// Darcy-Weisbach at constant density, good while the drop is below a tenth of the pressure, `[Crane410]` ch. 1.
pub fn back_pressure<N: Number>(
    flow: N,
    (temperature, pressure, fuel_air_ratio): (N, N, f64),
    (length, bore, roughness, sum_k): (N, N, N, N),
) -> N {
    let density = gas::density(fuel_air_ratio, temperature, pressure);
    let viscosity = gas::viscosity(fuel_air_ratio, temperature);
    crate::flow::pipe_drop(flow, length, bore, roughness, sum_k, density, viscosity)
}

/// How many times the drop of a dry pipe it is with `water` [kg/s] running along with the `gas` [kg/s]: about twice at ten times
/// the gas, and no more than two and a half times.
///
/// # Source
/// `[Trade]` 2.5: about twice; that it goes with the water, from memory.
pub fn wetter<N: Number>(gas: N, water: N) -> N {
    smooth_min(water / (gas * gas + 1e-6).sqrt() * 0.1, N::constant(1.5), 0.1) + 1.0
}

/// Share of a lift that stands full of water once water flows [1]. From memory.
const HOLD_UP: f64 = 0.55;
/// Water flow at which a lift is two thirds as full as it gets [share of the rated gas flow]. From memory.
const FILLING: f64 = 2.0;

/// Pressure [Pa] that it takes to push `water` [kg/s] up a `lift` [m] behind a silencer made for `rated_gas` [kg/s].
///
/// # Source
/// Hydrostatics of what stands in the pipe; how much that is, from memory.
pub fn lifted<N: Number>(lift: N, water: N, rated_gas: N) -> N {
    let filled = water / (water + rated_gas * FILLING + 1e-6);
    lift * filled * (HOLD_UP * 1025.0 * GRAVITY)
}

/// Water over gas at which the spray still reaches two thirds of the gas [1]; a sound elbow has about ten. From memory.
const THIN_SPRAY: f64 = 1.5;

/// Share of the `gas` [kg/s] that a spray of `water` [kg/s] reaches [1]: a thin one is uneven. From memory.
pub fn sprayed<N: Number>(water: N, gas: N) -> N {
    -(-(water / gas / THIN_SPRAY)).exp() + 1.0
}
