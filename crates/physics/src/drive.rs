//! Belts, and what they turn. Diameters are pitch diameters [m], speeds [rad/s] or ratios.

use crate::halving::zero;
use crate::number::Number;
use std::f64::consts::PI;

/// Length of an open belt [m] round two pulleys `centres` [m] apart.
///
/// # Source
/// Geometry, `[Khurmi14]` sec. 11.11, exact.
pub fn open_belt_length<N: Number>(big: N, small: N, centres: N) -> N {
    let sine = (big - small) / (centres * 2.0);
    centres * 2.0 * (-(sine * sine) + 1.0).sqrt() + (big + small) * (PI / 2.0) + sine.asin() * (big - small)
}

/// Length of an open belt [m], by the usual series. Source: `[Khurmi14]` sec. 11.11.
pub fn open_belt_length_roughly<N: Number>(big: N, small: N, centres: N) -> N {
    let step = big - small;
    centres * 2.0 + (big + small) * (PI / 2.0) + step * step / (centres * 4.0)
}

/// Length of a crossed belt [m]. Source: geometry, `[Khurmi14]` sec. 11.12, exact.
pub fn crossed_belt_length<N: Number>(big: N, small: N, centres: N) -> N {
    let sine = (big + small) / (centres * 2.0);
    centres * 2.0 * (-(sine * sine) + 1.0).sqrt() + (big + small) * (sine.asin() + PI / 2.0)
}

/// Distance between centres [m] that a belt of `length` [m] asks for; `None` when it is too short.
pub fn belt_centres(big: f64, small: f64, length: f64) -> Option<f64> {
    // Touching pulleys are the least; beyond half the length the belt is straight.
    let (low, high) = (f64::midpoint(big, small), length / 2.0);
    if low >= high || open_belt_length(big, small, low) > length {
        return None;
    }
    Some(zero((low, high), |centres| open_belt_length(big, small, centres) - length))
}

/// Angle of an open belt on the small pulley [rad]. Source: `[Khurmi14]` sec. 11.15.
pub fn open_belt_wrap<N: Number>(big: N, small: N, centres: N) -> N {
    -(((big - small) / (centres * 2.0)).asin() * 2.0) + PI
}

/// Angle of a crossed belt on either pulley [rad]. Source: `[Khurmi14]` sec. 11.15.
pub fn crossed_belt_wrap<N: Number>(big: N, small: N, centres: N) -> N {
    ((big + small) / (centres * 2.0)).asin() * 2.0 + PI
}

/// Tight over slack tension at the limit of slip [1], of a flat belt; `wrap` [rad].
///
/// # Source
/// Euler-Eytelwein, `[Khurmi14]` sec. 11.14.
pub fn tension_ratio<N: Number>(friction: N, wrap: N) -> N {
    (friction * wrap).exp()
}

/// Friction [1] that a V-belt has by wedging in a `groove` [rad], the whole angle. Source: `[Khurmi14]` sec. 11.20.
pub fn wedged_friction<N: Number>(friction: N, groove: f64) -> N {
    friction / (groove / 2.0).sin()
}

/// Tension of the tight side [N] at which a belt is about to slip, to carry `power` [W] at `speed` [m/s].
pub fn tight_tension<N: Number>(power: N, speed: N, ratio: N) -> N {
    let pull = power / speed;
    pull + pull / (ratio - 1.0)
}

/// Power [W] a belt carries at the limit of slip.
///
/// * `greatest` tension [N] it may have, `mass` [kg/m], `speed` [m/s]
///
/// # Source
/// `[Khurmi14]` sec. 11.17 and 11.18: centrifugal tension m v² carries nothing.
pub fn belt_power<N: Number>(greatest: N, mass: N, speed: N, ratio: N) -> N {
    (greatest - mass * speed * speed) * (-ratio.recip() + 1.0) * speed
}

/// Speed [m/s] at which a belt carries most. Source: `[Khurmi14]` sec. 11.18, √(T/3m).
pub fn best_belt_speed(greatest: f64, mass: f64) -> f64 {
    (greatest / (3.0 * mass)).sqrt()
}

/// Power [W] a belt set to an `initial` tension [N] carries at the limit of slip. Source: `[Khurmi14]` sec. 11.19.
pub fn power_of_initial_tension<N: Number>(initial: N, speed: N, ratio: N) -> N {
    initial * 2.0 * (ratio - 1.0) / (ratio + 1.0) * speed
}

/// Pull on the hub [N] of both sides of a belt, nearly parallel.
pub fn hub_pull<N: Number>(tight: N, slack: N) -> N {
    tight + slack
}

/// Length of the free span [m]. Source: geometry.
pub fn free_span<N: Number>(big: N, small: N, centres: N) -> N {
    let half = (big - small) / 2.0;
    (centres * centres - half * half).sqrt()
}

/// Frequency of a plucked span [Hz]; `tension` [N], `mass` [kg/m], `span` [m]. Source: `[Rao5]` eq. 8.31 (string).
pub fn span_frequency<N: Number>(tension: N, mass: N, span: N) -> N {
    (tension / mass).sqrt() / (span * 2.0)
}

/// Speed of the driven pulley, in the unit of `speed`; `slip` [1], creep included.
pub fn driven_speed<N: Number>(speed: N, driver: N, driven: N, slip: N) -> N {
    speed * driver / driven * (-slip + 1.0)
}

/// Shaft power of an alternator [W] from volts [V], amperes [A] and efficiency [1].
pub fn alternator_power<N: Number>(voltage: N, current: N, efficiency: N) -> N {
    voltage * current / efficiency
}

/// Power on the propeller law [W]: with the cube of speed. Source: `[Carlton4]` ch. 17.
pub fn propeller_law<N: Number>(power: N, speed_share: N) -> N {
    power * speed_share.powi(3)
}
