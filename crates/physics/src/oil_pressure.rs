//! The oil pressure of an engine: a gear pump against its bearings, with a relief valve beside them.
//!
//! Bearings and the pump's own clearances let oil through by the same law, with pressure over viscosity, so that one number
//! tells both: the pressure without a valve at one speed and viscosity.

use crate::halving::zero;
use crate::pumps::{ReliefValve, clearance_leakage, gear_pump_flow};

/// Halvings that leave nothing of a bracket, and more steps than any search here takes.
const HALVINGS: usize = 80;

/// A lubricating circuit. Pressures over the sump [Pa].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OilPressure {
    /// Speed at which the others are told [rad/s].
    pub speed: f64,
    /// Viscosity at which they are told [Pa s].
    pub viscosity: f64,
    /// Pressure at that speed and viscosity if no valve let go [Pa].
    pub free: f64,
    /// Pressure at which the valve begins to lift [Pa].
    pub cracks: f64,
    /// Further pressure at which the valve passes all that is pumped at that speed [Pa].
    pub rise: f64,
}

impl OilPressure {
    /// Pressure without a valve [Pa] at a speed [rad/s] and viscosity [Pa s]: what is pumped goes through clearances alone.
    ///
    /// # Source
    /// Displacement `[Esposito7]` eq. 5.2 against laminar clearances `[White7]` eq. 4.143: p = V n μ / K.
    pub fn without_valve(&self, speed: f64, viscosity: f64) -> f64 {
        self.free * (speed / self.speed) * (viscosity / self.viscosity)
    }

    /// Pressure at which it lifts [Pa]; a spring cannot pull it open, so that less than 0 is a slack spring.
    fn lifts(&self) -> f64 {
        self.cracks.max(0.0)
    }

    /// What the valve lets go at a pressure [Pa], as a share of what is pumped at the speed it is told at [1].
    ///
    /// # Source
    /// A spring's lift times the flow through an edge, `[White7]` eq. 6.104, scaled to its full flow.
    pub fn relieved(&self, pressure: f64) -> f64 {
        let lift = (pressure - self.lifts()).max(0.0) / self.rise;
        lift * (pressure.max(0.0) / (self.lifts() + self.rise)).sqrt()
    }

    /// Pressure [Pa] at a speed [rad/s] and viscosity [Pa s].
    ///
    /// What is pumped goes through clearances and valve; both take more the higher the pressure, so there is one answer, between
    /// cracking and the pressure without a valve. What goes bends upward with pressure, so that Newton's steps from above come
    /// down upon it without passing it.
    pub fn at(&self, speed: f64, viscosity: f64) -> f64 {
        let free = self.without_valve(speed, viscosity);
        let low = self.lifts();
        if free.is_nan() || free <= low {
            return free;
        }
        let pumped = speed / self.speed;
        let full = low + self.rise;
        // The valve at the root of its least pressure takes less than it does: above the answer.
        let lift = (low / full).sqrt() / self.rise;
        let mut pressure = ((pumped + lift * low) / (pumped / free + lift)).clamp(low, free);
        for _ in 0..HALVINGS {
            let root = (pressure / full).sqrt();
            let over = pumped * (pressure / free - 1.0) + (pressure - low) / self.rise * root;
            let slope = pumped / free + (root + (pressure - low) / (2.0 * pressure) * root) / self.rise;
            let next = (pressure - over / slope).clamp(low, free);
            if (next - pressure).abs() <= 1e-11 * free {
                return next;
            }
            pressure = next;
        }
        pressure
    }

    /// Cracking pressure [Pa] that gives a pressure [Pa] at a speed [rad/s] and viscosity [Pa s]; nothing where no valve can,
    /// because the clearances take all of it before. No less than 0, a slack spring, even where that lets too little go.
    pub fn cracking_for(&self, pressure: f64, speed: f64, viscosity: f64) -> Option<f64> {
        let free = self.without_valve(speed, viscosity);
        if pressure > free || pressure.is_nan() || free.is_nan() {
            return None;
        }
        let to_go = speed / self.speed * (1.0 - pressure / free);
        // Of two settings the one that lets more go is the lower one.
        let lets = |cracks: f64| OilPressure { cracks, ..*self }.relieved(pressure);
        Some(zero((0.0, pressure), |cracks| to_go - lets(cracks)))
    }
}

/// Pressure without a valve [Pa] of a sound circuit, from what its maker tells of pump and bearings.
///
/// * `displacement` [m³/rad] and `speed` [rad/s] of the pump, `slip` [1] the share of `rated_speed`'s delivery that slips back at
///   `at` = (pressure [Pa], viscosity [Pa s]); `bearings` [m³/s] what the bearings pass at `bearings_at`
/// * `viscosity` [Pa s] of the oil
///
/// # Source
/// As [`OilPressure::without_valve`].
pub fn sound(
    (displacement, speed): (f64, f64),
    (slip, rated_speed, at): (f64, f64, (f64, f64)),
    (bearings, bearings_at): (f64, (f64, f64)),
    viscosity: f64,
) -> f64 {
    let per_turn = displacement * std::f64::consts::TAU;
    let swept = gear_pump_flow(per_turn, speed, 0.0, 0.0, viscosity);
    let slips = slip * displacement * rated_speed * at.1 / at.0;
    let passes = bearings * bearings_at.1 / bearings_at.0;
    swept * viscosity / (slips + passes)
}

/// Clearance over what it was [1] that makes the bearings pass so many times the oil [1]; the pump's own taken as sound.
///
/// # Source
/// Flow through a gap goes with its cube, `[White7]` eq. 4.143.
pub fn clearance_for(flow_share: f64) -> f64 {
    // The law is asked rather than written again: one gap and one twice as wide.
    let power = clearance_leakage(1.0, 2.0, 1.0, 1.0, 1.0) / clearance_leakage(1.0, 1.0, 1.0, 1.0, 1.0);
    flow_share.max(0.0).powf(1.0 / power.log2())
}

/// Pressure above cracking [Pa] at which a valve passes a flow [m³/s]; `density` [kg/m³].
///
/// # Source
/// As [`ReliefValve::flow`] and [`ReliefValve::pressure_at`], solved for the lift.
pub fn rise_for(valve: &ReliefValve<f64>, flow: f64, density: f64) -> f64 {
    let free = ReliefValve { stop: f64::MAX.sqrt(), ..*valve };
    let cracks = free.pressure_at(0.0);
    let mut high = 1e5;
    while free.flow(cracks + high, density) < flow && high < 1e9 {
        high *= 2.0;
    }
    zero((0.0, high), |rise| free.flow(cracks + rise, density) - flow)
}
