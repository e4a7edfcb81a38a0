//! What a screen or paper in a fuel line does: it holds fuel back, and a bad seal lets air in or fuel out.

use crate::laws::{Say, Site};
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, smooth_min};

/// Viscosity that clean drops are given at [Pa s]: gas oil at about 20 °C by [EN590]'s middle.
const RATED_VISCOSITY: f64 = 0.0037;
/// Share of a clean drop that goes with flow and viscosity, through paper or gauze; the rest is bends and ports [1]; from
/// memory.
const THROUGH_PAPER: f64 = 0.8;
/// Flow below which the drop of bends turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Vacuum that a leak of air is given at, and the most that counts, as a share of it [Pa], [1].
const LEAK_VACUUM: f64 = 10_000.0;
const MOST_VACUUM: f64 = 1.5;
/// Rounding of "under the pressure of the air" [Pa].
const SEAL_WIDTH: f64 = 200.0;
/// Fuel that weeps at that much pressure over air where air would be drawn in at that much vacuum [share of rated flow].
const WEEPS: f64 = 0.02;

/// Drop over clean at rated flow [1].
///
/// * `share`: flow over rated flow [1]
pub(crate) fn drag<N: Number>(at: &Site<N>, share: N) -> N {
    let thick = at.contents[0].viscosity(at.inlet_temperature[0]) / RATED_VISCOSITY;
    share * thick * THROUGH_PAPER + signed_square(share, REST) * (1.0 - THROUGH_PAPER)
}

/// Air drawn in through a bad joint at this pressure [share of the flow].
///
/// * `leak`: share at 10 kPa of vacuum [1]
pub(crate) fn air_drawn<N: Number>(at: &Site<N>, pressure: N, leak: N) -> N {
    let vacuum = positive_part(at.point.atmosphere - pressure, SEAL_WIDTH) / LEAK_VACUUM;
    leak * smooth_min(vacuum, N::constant(MOST_VACUUM), 0.05)
}

/// A housing with an element in passage 0, whose first inner quantity is the air it lets in.
pub(crate) fn housing<N: Number>(at: &Site<N>, say: &mut Say<N>, rated_flow: N, resistance: N, seal_leak: N) {
    at.drop(say, 0, resistance * drag(at, at.flow[0] / rated_flow));
    let after = at.outlet_pressure[0];
    say.unknown[0] = at.unknowns[0] - air_drawn(at, after, seal_leak);
    let over = positive_part(after - at.point.atmosphere, SEAL_WIDTH) / LEAK_VACUUM;
    say.leak[0] = rated_flow * seal_leak * over * WEEPS;
    say.storage[0] = rated_flow * 200_000.0;
}
