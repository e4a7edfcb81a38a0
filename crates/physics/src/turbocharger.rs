//! Compressor and turbine of a turbocharger: work, temperature and pressure, and what the turbine lets through.

use crate::number::Number;
use crate::smooth::{magnitude, positive_part};

/// Heat capacity of air between intake and charge [J/(kg K)], and its ratio of heat capacities less one, over the ratio [1].
/// Source: [Heywood1988] ch. 6, ratio 1.40.
pub const AIR_HEAT: f64 = 1005.0;
const AIR_EXPONENT: f64 = 0.4 / 1.4;
/// The same of exhaust gas: ratio 1.34. Source: [Heywood1988] ch. 6.
pub const GAS_HEAT: f64 = 1130.0;
const GAS_EXPONENT: f64 = 0.34 / 1.34;

/// Work on each mass of air [J/kg] that brings it from `inlet` [K] to `ratio` times its pressure [1].
///
/// # Source
/// `[Heywood1988]` eq. 6.42, efficiency from inlet to outlet.
pub fn compressor_work<N: Number>(ratio: N, inlet: N, efficiency: N) -> N {
    inlet * ((ratio.ln() * AIR_EXPONENT).exp() - 1.0) * AIR_HEAT / efficiency
}

/// Pressure over that at the inlet [1] that this `work` [J/kg] reaches: the inverse of [`compressor_work`]; above 0
/// whatever the work.
pub fn pressure_ratio<N: Number>(work: N, inlet: N, efficiency: N) -> N {
    let warmer = positive_part(work * efficiency / (inlet * AIR_HEAT) + 1.0, 1e-3);
    (warmer.ln() / AIR_EXPONENT).exp()
}

/// Work of each mass of gas [J/kg] that comes in at `inlet` [K] and goes out at `expanded` times its pressure [1], above 0.
///
/// # Source
/// `[Heywood1988]` eq. 6.48.
pub fn turbine_work<N: Number>(expanded: N, inlet: N, efficiency: N) -> N {
    inlet * efficiency * (-(expanded.ln() * GAS_EXPONENT).exp() + 1.0) * GAS_HEAT
}

/// Pressure out over pressure in [1] that gives this `work` [J/kg]: the inverse of [`turbine_work`]; above 0.
pub fn expansion<N: Number>(work: N, inlet: N, efficiency: N) -> N {
    let left = positive_part(-(work / (inlet * efficiency * GAS_HEAT)) + 1.0, 1e-3);
    (left.ln() / GAS_EXPONENT).exp()
}

/// What a turbine lets through, as flow [kg/s] times the root of the temperature over the pressure at its inlet
/// [kg √K/(s Pa)], against a vacuum; from one point: `flow` at `inlet` [K] and `pressure` [Pa], `expanded` [1].
pub fn swallowing<N: Number>(flow: N, inlet: N, pressure: N, expanded: N) -> N {
    flow * inlet.sqrt() / (pressure * positive_part(-(expanded * expanded) + 1.0, 1e-4).sqrt())
}

/// Absolute pressure [Pa] before a turbine of that [`swallowing`] that passes a flow at `inlet` [K] to `outlet` [Pa].
///
/// `square` is the flow times its magnitude [kg²/s²], rounded at rest.
///
/// # Source
/// Stodola's ellipse, `[Stodola1927]`: flow is as the root of one less the squared pressure ratio.
pub fn pressure_before<N: Number>(swallowing: N, square: N, inlet: N, outlet: N) -> N {
    let behind = magnitude(outlet, 100.0);
    let squares = behind * behind + square * inlet / (swallowing * swallowing);
    magnitude(positive_part(squares, 1e6).sqrt(), 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_losses_it_is_the_isentropic_table() {
        // [White7] table B.1, ratio 1.4: where the pressure is 0.5283 of the whole, the temperature is 0.8333 of it.
        let warmer = compressor_work(1.0 / 0.5283, 300.0, 1.0) / AIR_HEAT + 300.0;
        assert!((300.0 / warmer - 0.8333).abs() < 1e-4, "{warmer}");
        assert!((pressure_ratio(compressor_work(2.1, 300.0, 0.7), 300.0, 0.7) - 2.1_f64).abs() < 1e-4);
    }

    #[test]
    fn what_goes_in_comes_out() {
        let expanded = expansion(60e3, 870.0, 0.68);
        assert!((turbine_work(expanded, 870.0, 0.68) - 60e3).abs() < 150.0, "{expanded}");
        let through = swallowing(0.2, 870.0, 2e5, 0.53);
        let before = pressure_before(through, 0.04, 870.0, 0.53 * 2e5);
        assert!((before - 2e5).abs() < 50.0, "{before}");
        // Twice the flow of a nozzle that has little behind it needs twice the pressure.
        let pressed = |flow: f64| pressure_before(through, flow * flow, 870.0, 1e5);
        assert!((pressed(4.0) / pressed(2.0) - 2.0).abs() < 0.01);
    }
}
