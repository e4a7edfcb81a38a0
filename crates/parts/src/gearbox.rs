//! Gearbox: reverse-reduction gear with its own oil.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use measure::quantity::Quantity;

crate::parameters! {
    /// Engine turns for each turn of the shaft [1].
    reduction: Ratio, 0.5..=8.0, 2.5, exact, "common practice, no source";
    /// Share of power lost to heat in it at rated load [1].
    loss: Ratio, 0.005..=0.12, 0.035, within 1.5, "from memory";
    /// Oil its pump moves at 100 rad/s of engine speed [kg/s].
    pump_flow: MassFlow, 0.005..=5.0, 0.1 * power ^ 1.0, within 1.5, "from memory";
    /// Clutch pressure at which its pump slips all it moves [Pa].
    shutoff: PressureDifference, 50_000.0..=4e6, 1.5e6, within 1.4, "[Trade] 2.8 working oil pressure";
    /// Conductance of its case to the engine space [W/K].
    case_conductance: ThermalConductance, 1.0..=500.0, 12.0 * power ^ 0.67, within 1.6, "from memory";
    /// Share of turns lost in a slipping clutch [1].
    clutch_slip: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
}

/// Speed the pump's flow is given at [rad/s].
const RATED_SPEED: f64 = 100.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "gearbox",
    title: "Gearbox",
    circuit: Circuit::Drive,
    passages: &[
        passage("pool", &[Circuit::GearOil], "sump", "sump"),
        passage("pump", &[Circuit::GearOil], "sump", "oil_out"),
    ],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "shaft_speed", quantity: Quantity::RotationalSpeed, start: 60.0, size: 5.0, bounds: (-1.0, 700.0) },
    ],
    links: &[Link::Engine("speed"), Link::Engine("brake_power")],
    laws: both::<Gearbox>(),
    causes: &[],
    words: &[],
    checks: &[],
    limits: &[],
};

/// Its laws.
struct Gearbox;

impl Law for Gearbox {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - at.links[0] / p.reduction * (-p.clutch_slip + 1.0);
        say.gap[0] = at.inlet_pressure[0] - at.point.atmosphere;
        say.heat[0] = at.links[1] * (p.loss + p.clutch_slip * 0.9) + p.case_conductance * (at.room() - at.inlet_temperature[0]);
        let swept = p.pump_flow * at.links[0] / RATED_SPEED;
        at.drop(say, 1, (at.flow[1] - swept) / p.pump_flow * p.shutoff);
        say.storage[0] = p.pump_flow * 250_000.0;
    }
}
