//! What every pump with a free-running impeller does: head by the affinity laws, and none in air.

use crate::check_valve::one_way;
use crate::laws::Site;
use physics::constants::GRAVITY;
use physics::number::Number;
use physics::smooth::{ramp, signed_square, step};

/// Flow below which the loss turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Air in the water from which the head begins to break down, and where nothing is left [1]; from memory.
const BREAKS_DOWN: (f64, f64) = (0.04, 0.2);
/// Suction over vapour pressure at which half the head is gone, and how fast it goes [Pa]; from memory.
const CAVITATES: (f64, f64) = (18_000.0, 5_000.0);

/// Figures of such a pump.
pub(crate) struct Curve<N> {
    /// Pressure against a shut valve at rated speed [Pa].
    pub shutoff: N,
    /// Flow at which half of that is left [kg/s].
    pub rated_flow: N,
    /// Share of its head a sound impeller still makes [1].
    pub impeller: N,
    /// Resistance of what lies in it: 1 when clear [1].
    pub obstruction: N,
    /// Share of full prime [1].
    pub prime: N,
    /// Height from the suction's opening to where the water ends; 0 in a ring [m].
    pub lift: N,
}

/// Gap of passage 0 of such a pump [Pa].
///
/// A pump that lifts has a column to fill before anything runs, and no water beyond it that could run back.
///
/// * `share`: speed over the speed of the curve [1]; `air` in the water [1]
///
/// # Source
/// Affinity laws, [White7] eq. 11.28; the curve is the usual square.
pub(crate) fn gap<N: Number>(at: &Site<N>, pump: &Curve<N>, share: N, air: N) -> N {
    let filled = step(at.inlet_pressure[0] - at.vapour_pressure(0) - CAVITATES.0, CAVITATES.1);
    let bound = -ramp(air, BREAKS_DOWN.0, BREAKS_DOWN.1) + 1.0;
    let head = pump.shutoff * share * share * pump.impeller * pump.prime * filled * bound;
    let past = at.flow[0] / pump.rated_flow;
    let lost = pump.shutoff * pump.obstruction * 0.5 * signed_square(past, REST) - head;
    let drop = at.inlet_pressure[0] - at.outlet_pressure[0];
    if pump.lift.re() <= 0.0 {
        return drop - lost;
    }
    let column = at.contents[0].density(at.inlet_temperature[0]) * pump.lift * GRAVITY;
    one_way(past, (lost + column - drop) / pump.shutoff) * pump.shutoff
}
