//! Pipes, fittings and openings: pressure lost to flow.
//!
//! Flow is mass flow [kg/s], positive in the drawn direction; a drop has the sign of the flow.

use crate::constants::GRAVITY;
use crate::number::Number;
use crate::smooth::{magnitude, ramp, signed_root, signed_square};
use std::f64::consts::{LN_10, PI};

/// Speed below which a fitting's drop runs straight through rest [m/s]; adds 0.005 % at 1 m/s.
pub const REST_SPEED: f64 = 0.01;
/// Reynolds number up to which flow is laminar, and from which it is turbulent [1]. Source: [White7] sec. 6.1.
const TRANSITION: (f64, f64) = (2000.0, 4000.0);

/// Mean velocity [m/s] of `flow` [kg/s] in a round `bore` [m].
pub fn velocity<N: Number>(flow: N, bore: N, density: N) -> N {
    flow * (4.0 / PI) / (density * bore * bore)
}

/// Reynolds number [1] of `flow` [kg/s], either way, in a round `bore` [m]; viscosity [Pa s].
pub fn reynolds<N: Number>(flow: N, bore: N, viscosity: N) -> N {
    flow.abs() * (4.0 / PI) / (bore * viscosity)
}

/// Darcy friction factor of turbulent flow [1] from Reynolds number [1], above 2000, and roughness over bore [1].
///
/// # Source
/// `[Zigrang1982]` eq. 12, explicit and within 0.15 % of Colebrook-White over 4e3 ..= 1e8.
pub fn turbulent_friction<N: Number>(reynolds: N, relative_roughness: N) -> N {
    let rough = relative_roughness / 3.7;
    let log10 = |x: N| x.ln() / LN_10;
    let inner = log10(rough + reynolds.recip() * 13.0);
    let middle = log10(rough - reynolds.recip() * 5.02 * inner);
    let root = log10(rough - reynolds.recip() * 5.02 * middle) * -2.0;
    (root * root).recip()
}

/// Darcy friction factor [1]: 64/Re laminar, blended over 2000 ..= 4000 into [`turbulent_friction`].
///
/// # Source
/// `[White7]` eq. 6.13 (laminar); the blend is ours, for a slope without a jump.
pub fn friction_factor<N: Number>(reynolds: N, relative_roughness: N) -> N {
    let laminar = reynolds.recip() * 64.0;
    if reynolds.re() <= TRANSITION.0 {
        return laminar;
    }
    let turbulent = turbulent_friction(reynolds, relative_roughness);
    laminar + (turbulent - laminar) * ramp(reynolds, TRANSITION.0, TRANSITION.1)
}

/// Pressure drop [Pa] of a pipe with its fittings.
///
/// * `flow` [kg/s], either way; `length`, `bore`, `roughness` [m]; `sum_k` of the fittings [1]
/// * `density` [kg/m³], `viscosity` [Pa s]
///
/// # Source
/// Darcy-Weisbach, `[White7]` eq. 6.10, and Hagen-Poiseuille, eq. 6.12, which carries the slope at rest.
pub fn pipe_drop<N: Number>(flow: N, length: N, bore: N, roughness: N, sum_k: N, density: N, viscosity: N) -> N {
    let v = velocity(flow, bore, density);
    let fittings = sum_k * density * signed_square(v, REST_SPEED) * 0.5;
    let laminar = viscosity * length * v * 32.0 / (bore * bore);
    let re = reynolds(flow, bore, viscosity);
    if re.re() <= TRANSITION.0 {
        return fittings + laminar;
    }
    let friction = turbulent_friction(re, roughness / bore);
    let turbulent = friction * length / bore * density * v * v.abs() * 0.5;
    fittings + laminar + (turbulent - laminar) * ramp(re, TRANSITION.0, TRANSITION.1)
}

/// Loss coefficient [1] of a sharp flush entrance. Source: [Crane410] p. A-30.
pub const ENTRANCE: f64 = 0.5;
/// Loss coefficient [1] of an exit into a large volume. Source: [Crane410] p. A-30.
pub const EXIT: f64 = 1.0;

/// Friction factor of clean steel pipe in fully turbulent flow [1], by which fittings are measured; `bore` [m].
///
/// # Source
/// `[Crane410]` eq. 2-8 with its roughness of 0.0018 in.
pub fn crane_friction(bore: f64) -> f64 {
    0.25 / (4.572e-5 / bore / 3.7).log10().powi(2)
}

/// Loss coefficient [1] of an open gate valve of full `bore` [m]. Source: `[Crane410]` p. A-28, 8 f_T.
pub fn gate_valve(bore: f64) -> f64 {
    8.0 * crane_friction(bore)
}

/// Loss coefficient [1] of a standard 90° elbow of `bore` [m]. Source: `[Crane410]` p. A-30, 30 f_T.
pub fn elbow(bore: f64) -> f64 {
    30.0 * crane_friction(bore)
}

/// Loss coefficient [1] of a 90° mitre bend of `bore` [m]. Source: `[Crane410]` p. A-30, 60 f_T.
pub fn mitre_bend(bore: f64) -> f64 {
    60.0 * crane_friction(bore)
}

/// Loss coefficient [1] of an open globe valve of full `bore` [m]. Source: `[Crane410]` p. A-28, 340 f_T.
pub fn globe_valve(bore: f64) -> f64 {
    340.0 * crane_friction(bore)
}

/// Loss coefficient [1] of a lift check valve with a `seat` narrower than the `bore` [m], referred to the bore.
///
/// # Source
/// `[Crane410]` p. A-28: 600 f_T, made up for the narrow seat by formula 7.
pub fn lift_check_valve(seat: f64, bore: f64) -> f64 {
    let beta = seat / bore;
    let narrow = 1.0 - beta * beta;
    (600.0 * crane_friction(bore) + beta * (0.5 * narrow + narrow * narrow)) / beta.powi(4)
}

/// Loss coefficient [1] of a sudden contraction, referred to the `small` bore; both [m].
///
/// # Source
/// `[Crane410]` eq. 2-10 at 180°.
pub fn sharp_contraction(large: f64, small: f64) -> f64 {
    0.5 * (1.0 - (small / large).powi(2))
}

/// Loss coefficient [1] of a sudden widening, referred to the `small` bore; both [m].
///
/// # Source
/// `[Crane410]` eq. 2-9 (Borda-Carnot).
pub fn sharp_widening(small: f64, large: f64) -> f64 {
    (1.0 - (small / large).powi(2)).powi(2)
}

/// Net positive suction head available [m]; pressures absolute [Pa], `density` [kg/m³].
///
/// * `surface_pressure` on the liquid's surface, `vapour_pressure` of the liquid, `loss` of the suction pipe
/// * `height` of the surface above the pump [m]
///
/// # Source
/// `[Crane410]` ch. 2, net positive suction head.
pub fn suction_head<N: Number>(surface_pressure: N, vapour_pressure: N, loss: N, height: N, density: N) -> N {
    (surface_pressure - vapour_pressure - loss) / (density * GRAVITY) + height
}

/// Flow [m³/s] through an opening of `area` [m²] under `drop` [Pa], either way; `coefficient` of discharge [1].
///
/// Straight within 10 Pa of rest, where a root would stand upright.
///
/// # Source
/// `[White7]` eq. 6.104.
pub fn orifice_flow<N: Number>(area: N, coefficient: f64, drop: N, density: N) -> N {
    area * coefficient * signed_root(drop * 2.0, 10.0) / density.sqrt()
}

/// Flow [m³/s] through the curtain under a flat valve plate; `seat` diameter and `lift` [m].
///
/// # Source
/// `[Esposito7]` ch. 8: the opening is the cylinder π·seat·lift.
pub fn curtain_flow<N: Number>(seat: f64, lift: N, coefficient: f64, drop: N, density: N) -> N {
    orifice_flow(lift * (PI * seat), coefficient, drop, density)
}

/// Height of liquid [m] that gives `pressure` [Pa].
pub fn head<N: Number>(pressure: N, density: N) -> N {
    pressure / (density * GRAVITY)
}

/// Pressure drop [Pa] of a passage known at one design point only: square in flow, straight near rest.
///
/// * `design_drop` [Pa] at `design_flow` [kg/s]; straight below 1 % of that flow
///
/// # Source
/// `[White7]` sec. 6.9, minor losses; the square law of a fixed loss coefficient.
pub fn scaled_drop<N: Number>(flow: N, design_flow: N, design_drop: N) -> N {
    design_drop * signed_square(flow / design_flow, 0.01)
}

/// Drop [Pa] of a filter, proportional to viscosity and flow; design values in the same units.
///
/// # Source
/// Darcy's law, `[White7]` sec. 6 (seepage); `magnitude` keeps a zero design flow from dividing by zero.
pub fn filter_drop<N: Number>(flow: N, viscosity: N, design_flow: N, design_viscosity: N, design_drop: N) -> N {
    design_drop * (flow / magnitude(design_flow, 1e-9)) * (viscosity / design_viscosity)
}
