//! Gear-oil cooler: gearbox oil gives its heat to raw water or coolant.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use crate::tubular::{Tubular, tubular};

crate::parameters! {
    /// Conductance of the clean wall at rated flows [W/K].
    clean_conductance: ThermalConductance, 5.0..=100_000.0, 90.0 * power ^ 1.0, within 1.4, "[Trade] 2.1 and 2.2 heat and rises";
    /// Resistance of what has grown on the wall [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 8.889e-04 * power ^ -1.0, within 2.5, "from memory";
    /// Flow of the water side at which its drop is given [kg/s].
    rated_cold_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the water side at that flow [Pa].
    rated_cold_drop: PressureDifference, 50.0..=200_000.0, 3000.0, within 1.8, "common practice, no source";
    /// Flow of the oil side at which its drop is given [kg/s].
    rated_hot_flow: MassFlow, 0.005..=50.0, 0.12 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the oil side at that flow [Pa].
    rated_hot_drop: PressureDifference, 50.0..=200_000.0, 15000.0, within 1.8, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "gear-cooler",
    title: "Gear-oil cooler",
    circuit: Circuit::Drive,
    passages: &[
        passage("water", &[Circuit::RawWater, Circuit::FreshWater], "water_in", "water_out"),
        passage("oil", &[Circuit::GearOil], "oil_in", "oil_out"),
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Upstream("dilution")],
    laws: both::<GearCooler>(),
    causes: &[],
    words: &[],
    checks: &[],
    limits: &[],
};

/// Its laws.
struct GearCooler;

impl Law for GearCooler {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        tubular(at, say, &Tubular {
            clean_conductance: p.clean_conductance,
            fouling_resistance: p.fouling_resistance,
            rated_flow: [p.rated_cold_flow, p.rated_hot_flow],
            rated_drop: [p.rated_cold_drop, p.rated_hot_drop],
        });
    }
}
