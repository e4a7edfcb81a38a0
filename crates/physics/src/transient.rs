//! Closed forms in time: one lump warming up, a slow thermometer, a tank running dry, a hose let go, a valve slammed.

use crate::constants::GRAVITY;
use crate::number::Number;

/// Temperature [K] of one lump, `time` [s] after heating began at the temperature of its surroundings.
///
/// * `heat` put in [W]; `conductance` to the `surroundings` [W/K], above 0; `capacity` [J/K]; `surroundings` [K]
///
/// # Source
/// Lumped capacitance with a constant source of heat, `[Incropera6]` ch. 5; the form from memory.
pub fn warmed<N: Number>(time: N, heat: N, conductance: N, capacity: N, surroundings: N) -> N {
    surroundings + heat / conductance * (-(-(time * conductance / capacity)).exp() + 1.0)
}

/// Time [s] until that lump is `rise` [K] over its surroundings; not a number if it never gets there.
///
/// # Source
/// [`warmed`], solved for time.
pub fn warm_up_time<N: Number>(rise: N, heat: N, conductance: N, capacity: N) -> N {
    -(-(rise * conductance / heat) + 1.0).ln() * capacity / conductance
}

/// How fast a lump warms when nothing carries its heat away [K/s]; `heat` [W], `capacity` [J/K].
///
/// # Source
/// First law for a closed body, `[Incropera6]` ch. 1.
pub fn rise_rate<N: Number>(heat: N, capacity: N) -> N {
    heat / capacity
}

/// What a sensor of first order shows, `time` [s] after its surroundings stepped from `was` to `is` [same unit].
///
/// * `lag` [s], above 0: the time to 63 % of a step
///
/// # Source
/// Lumped capacitance, `[Incropera6]` ch. 5: a small body in a stream, lag = heat capacity over film conductance.
pub fn lagged<N: Number>(time: N, lag: N, was: N, is: N) -> N {
    is + (was - is) * (-(time / lag)).exp()
}

/// Flow [m³/s] through an opening `depth` [m] under the surface; `area` [m²], `discharge` coefficient [1].
///
/// # Source
/// Torricelli, `[White7]` eq. 6.104.
pub fn inflow<N: Number>(area: N, discharge: f64, depth: N) -> N {
    area * discharge * (depth * (2.0 * GRAVITY)).sqrt()
}

/// Time [s] to drain an upright tank of `surface` [m²] and `depth` [m] through a hole of `area` [m²] in its bottom.
///
/// # Source
/// [`inflow`] integrated over the falling depth: (A/(C a)) √(2 h/g).
pub fn drain_time<N: Number>(surface: N, area: N, discharge: f64, depth: N) -> N {
    surface / (area * discharge) * (depth * (2.0 / GRAVITY)).sqrt()
}

/// Pressure rise [Pa] when a flow is stopped at once; `density` [kg/m³], `wave_speed` and lost `velocity` [m/s].
///
/// An upper limit: a valve shut slower than the wave takes there and back gives less.
///
/// # Source
/// Joukowsky's equation, from memory.
pub fn surge<N: Number>(density: N, wave_speed: N, velocity: N) -> N {
    density * wave_speed * velocity
}
