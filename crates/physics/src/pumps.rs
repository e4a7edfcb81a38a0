//! Pumps, relief valves and bearings. Volume flow [m³/s], speed [rad/s], pressure rise [Pa].

use crate::number::Number;
use crate::smooth::{magnitude, positive_part, signed_square, smooth_min};
use std::f64::consts::{PI, TAU};

/// Speed below which the leakage of an impeller pump no longer falls [rad/s]: stopped vanes still leak a little.
const REST_SPEED: f64 = 3.0;
/// Share of the loss of a flexible impeller that grows straight with pressure [1]; common practice, no source.
const STRAIGHT_LOSS: f64 = 0.5;

/// Delivery of a gear pump [m³/s].
///
/// * `displacement` [m³] a turn; `leakage` [m³], the volume that clearances let back at 1 Pa over 1 Pa s and second
///
/// # Source
/// `[Esposito7]` eq. 5.2 less laminar slip, which goes with pressure over viscosity `[Ivantysyn]`.
pub fn gear_pump_flow<N: Number>(displacement: N, speed: N, leakage: N, rise: N, viscosity: N) -> N {
    displacement * speed / TAU - leakage * rise / viscosity
}

/// Pressure rise of a gear pump [Pa] at a given `flow`: the inverse of [`gear_pump_flow`].
pub fn gear_pump_rise<N: Number>(displacement: N, speed: N, leakage: N, flow: N, viscosity: N) -> N {
    (displacement * speed / TAU - flow) * viscosity / leakage
}

/// Displacement of an external gear pump [m³] a turn, from tip and root diameter and width [m].
///
/// # Source
/// `[Esposito7]` eq. 5.1.
pub fn gear_pump_displacement(outside: f64, inside: f64, width: f64) -> f64 {
    PI / 4.0 * (outside * outside - inside * inside) * width
}

/// A pump with a rubber impeller bent by a cam.
#[derive(Clone, Copy, Debug)]
pub struct FlexibleImpeller<N> {
    /// Volume a turn [m³].
    pub displacement: N,
    /// Share that slips back at no pressure [1], 0 ..= 0.3.
    pub slip: N,
    /// Pressure rise at which nothing is delivered [Pa].
    pub shut_off: N,
    /// How far the vanes are gone [1]: 0 new, towards 1 nothing is left.
    pub wear: N,
}

impl<N: Number> FlexibleImpeller<N> {
    /// Share of the displacement delivered at no pressure [1]: wear lets more slip by.
    fn full(&self) -> N {
        (-self.slip + 1.0) * (-self.wear + 1.0)
    }

    /// Pressure rise a worn impeller still closes against [Pa].
    fn worn_shut_off(&self) -> N {
        self.shut_off * (-self.wear + 1.0)
    }

    /// Delivery [m³/s] at a `speed` [rad/s] against a `rise` [Pa]; falls steadily to nothing at shut-off.
    ///
    /// # Source
    /// The shape of published curves, straight at first and then bending; common practice, no source.
    pub fn flow(&self, speed: N, rise: N) -> N {
        let x = rise / self.worn_shut_off();
        let lost = x * STRAIGHT_LOSS + signed_square(x, 1e-6) * (1.0 - STRAIGHT_LOSS);
        self.displacement * self.full() * (speed - magnitude(speed, REST_SPEED) * lost) / TAU
    }

    /// Pressure rise [Pa] at a given `flow` [m³/s] and `speed` [rad/s]: the inverse of [`FlexibleImpeller::flow`].
    pub fn rise(&self, speed: N, flow: N) -> N {
        let delivered = flow * TAU / (self.displacement * self.full());
        let lost = (speed - delivered) / magnitude(speed, REST_SPEED);
        let size = magnitude(lost, 1e-9);
        let root = (size * (4.0 * (1.0 - STRAIGHT_LOSS)) + STRAIGHT_LOSS * STRAIGHT_LOSS).sqrt();
        self.worn_shut_off() * lost * 2.0 / (root + STRAIGHT_LOSS)
    }
}

/// Pressure rise of a centrifugal pump [Pa].
///
/// * `speed_share`: speed over the speed of the curve [1]; `shut_off` [Pa] there; `curvature` [Pa s²/m⁶]
///
/// # Source
/// Affinity laws, `[White7]` eq. 11.28; the curve is the usual square.
pub fn centrifugal_rise<N: Number>(speed_share: N, shut_off: N, curvature: N, flow: N) -> N {
    // Straight below 1e-7 m³/s, 6 ml a minute.
    shut_off * speed_share * speed_share - curvature * signed_square(flow, 1e-7)
}

/// Flow, head and power of a centrifugal pump after a change of speed, in the units they came in.
///
/// # Source
/// Affinity laws, `[White7]` eq. 11.28.
pub fn affinity<N: Number>(flow: N, head: N, power: N, speed_share: N) -> (N, N, N) {
    let square = speed_share * speed_share;
    (flow * speed_share, head * square, power * square * speed_share)
}

/// Shaft power [W] of a pump with an overall `efficiency` [1].
///
/// # Source
/// `[White7]` eq. 11.3 to 11.5.
pub fn shaft_power<N: Number>(flow: N, rise: N, efficiency: f64) -> N {
    flow * rise / efficiency
}

/// Temperature rise [K] of a liquid throttled through `drop` [Pa]. Source: `[Esposito7]` ch. 11.
pub fn throttling_rise<N: Number>(drop: N, density: N, heat_capacity: N) -> N {
    drop / (density * heat_capacity)
}

/// A spring-loaded valve that lets go above a pressure.
#[derive(Clone, Copy, Debug)]
pub struct ReliefValve<N> {
    /// Area the pressure acts on [m²].
    pub area: N,
    /// Length of the edge the liquid escapes over [m]: π times the seat diameter.
    pub edge: N,
    /// Spring rate [N/m].
    pub rate: N,
    /// How far the spring is pressed when shut [m].
    pub preload: N,
    /// Greatest lift [m].
    pub stop: N,
    /// Coefficient of discharge [1].
    pub discharge: f64,
}

impl<N: Number> ReliefValve<N> {
    /// Lift over which the corner at cracking is rounded [m]; a seat leaks that much anyway.
    const CORNER: f64 = 1e-6;

    /// A flat plate on a round seat of `diameter` [m].
    pub fn on_round_seat(diameter: N, rate: N, preload: N, stop: N, discharge: f64) -> Self {
        Self { area: diameter * diameter * (PI / 4.0), edge: diameter * PI, rate, preload, stop, discharge }
    }

    /// Pressure difference [Pa] that holds it open by `lift` [m]; cracking pressure at 0.
    ///
    /// # Source
    /// Balance of spring and pressure, `[Esposito7]` ex. 8.1; flow forces left out.
    pub fn pressure_at(&self, lift: N) -> N {
        self.rate * (self.preload + lift) / self.area
    }

    /// Lift [m] under a pressure difference [Pa]: none below cracking, `stop` at most.
    pub fn lift(&self, pressure: N) -> N {
        let free = positive_part(pressure * self.area / self.rate - self.preload, Self::CORNER);
        smooth_min(free, self.stop, Self::CORNER)
    }

    /// Flow [m³/s] let go under a pressure difference [Pa]; `density` [kg/m³].
    ///
    /// # Source
    /// `[White7]` eq. 6.104 over the curtain under the plate.
    pub fn flow(&self, pressure: N, density: N) -> N {
        crate::flow::orifice_flow(self.edge * self.lift(pressure), self.discharge, pressure, density)
    }

    /// Preload to add [m] for a `change` of cracking pressure [Pa].
    pub fn preload_for(&self, change: N) -> N {
        change * self.area / self.rate
    }
}

/// Friction power of a lightly loaded journal [W].
///
/// * `viscosity` [Pa s], `speed` [rad/s], `radius`, `length`, `clearance` (radial) [m]
///
/// # Source
/// Petroff's law, `[Shigley9]` eq. 12-6.
pub fn petroff_power<N: Number>(viscosity: N, speed: N, radius: N, length: N, clearance: N) -> N {
    viscosity * speed * speed * radius.powi(3) * length * TAU / clearance
}

/// Laminar flow through a narrow gap [m³/s], either way: with the cube of the `clearance` [m].
///
/// * `width` across the flow, for a bearing its circumference, and `length` along it [m]; `drop` [Pa]
///
/// # Source
/// Flow between parallel plates, `[White7]` eq. 4.143.
pub fn clearance_leakage<N: Number>(width: N, clearance: N, length: N, drop: N, viscosity: N) -> N {
    width * clearance.powi(3) * drop / (viscosity * length * 12.0)
}
