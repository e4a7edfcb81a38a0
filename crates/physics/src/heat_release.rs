//! One zone of gas in one cylinder from inlet shut to exhaust open: pressed, burnt, expanded. Angles [rad] after the firing top.
//!
//! What it leaves out, and so what it cannot tell: heat given to the walls (power falls less and exhaust warms more with late
//! burning than here), blow-by, dissociation, how the burning itself changes with timing and load, and the work of changing the gas.

use crate::engine::piston_travel;

/// The closed cylinder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cylinder {
    /// Greatest over least volume [1], above 1.
    pub compression: f64,
    /// Length of the connecting rod over the crank's radius [1], above 1.
    pub rod: f64,
    /// When the inlet shuts, below 0.
    pub shut: f64,
    /// When the exhaust opens.
    pub open: f64,
    /// Absolute pressure [Pa] and temperature [K] of the gas when the inlet shuts.
    pub pressure: f64,
    /// See `pressure`.
    pub temperature: f64,
}

/// How the heat comes: a share burnt of 1 − exp(−a xᵐ⁺¹) of the way x through the burning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Burning {
    /// When it begins.
    pub begins: f64,
    /// How long it lasts [rad], above 0.
    pub lasts: f64,
    /// Exponent m [1].
    pub form: f64,
    /// Heat given to each mass of gas [J/kg].
    pub heat: f64,
}

/// What the cylinder gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Released {
    /// Work on the piston, each mass of gas [J/kg].
    pub work: f64,
    /// Heat that was released before the exhaust opened, each mass of gas [J/kg].
    pub heat: f64,
    /// Greatest pressure [Pa].
    pub peak: f64,
    /// Temperature [K] and pressure [Pa] as the exhaust opens.
    pub temperature: f64,
    /// See `temperature`.
    pub pressure: f64,
}

/// Burnt by the end of the burning: 99.9 %. Source: `[Heywood1988]` sec. 9.2, from memory.
const WHOLLY: f64 = 6.908;
/// Steps through the cycle; twice as many move work by less than 1e-5 of itself.
const STEPS: usize = 400;

/// Share that is burnt at an angle [1].
///
/// # Source
/// Wiebe's function, `[Heywood1988]` eq. 9.30, from memory.
pub fn burnt(burning: &Burning, angle: f64) -> f64 {
    let through = ((angle - burning.begins) / burning.lasts).max(0.0);
    -(-WHOLLY * through.powf(burning.form + 1.0)).exp_m1()
}

/// Volume over the least [1]: 1 at the top, `compression` at the bottom.
fn volume(cylinder: &Cylinder, angle: f64) -> f64 {
    1.0 + (cylinder.compression - 1.0) * piston_travel(1.0, cylinder.rod, angle) / 2.0
}

/// Follows the gas from inlet shut to exhaust open.
///
/// * `gas` [J/(kg K)]: its gas constant; `capacity`: its heat capacity at constant volume at a temperature [K]
///
/// # Source
/// First law of one zone of ideal gas without heat to the walls, c_v dT = dq − R T dV/V, `[Heywood1988]` ch. 9 and 10, from memory.
pub fn release(cylinder: &Cylinder, burning: &Burning, gas: f64, capacity: impl Fn(f64) -> f64) -> Released {
    let step = (cylinder.open - cylinder.shut) / STEPS as f64;
    let constant = cylinder.pressure * volume(cylinder, cylinder.shut) / cylinder.temperature;
    let mut temperature = cylinder.temperature;
    let (mut work, mut peak) = (0.0, cylinder.pressure);
    let (mut was_burnt, mut was) = (burnt(burning, cylinder.shut), volume(cylinder, cylinder.shut));
    for place in 1..=STEPS {
        let angle = cylinder.shut + step * place as f64;
        let (is_burnt, is) = (burnt(burning, angle), volume(cylinder, angle));
        let heat = burning.heat * (is_burnt - was_burnt);
        // By the middle of the step: work of it, then what is left warms the gas.
        let spread = (is / was).ln();
        let mut next = temperature;
        for _ in 0..3 {
            let middle = f64::midpoint(temperature, next);
            next = temperature + (heat - gas * middle * spread) / capacity(middle);
        }
        work += gas * f64::midpoint(temperature, next) * spread;
        temperature = next;
        (was_burnt, was) = (is_burnt, is);
        peak = peak.max(constant * temperature / is);
    }
    let heat = burning.heat * (burnt(burning, cylinder.open) - burnt(burning, cylinder.shut));
    Released { work, heat, peak, temperature, pressure: constant * temperature / was }
}

/// Temperature [K] of the exhaust after it has blown down to a `back` pressure [Pa] and been pushed out, mixed.
///
/// * `ratio` [1]: heat capacities at constant pressure and volume
///
/// # Source
/// First law of the gas that leaves: h = u + p_back v, `[Heywood1988]` ch. 5, from memory.
pub fn blown_down(released: &Released, back: f64, ratio: f64) -> f64 {
    released.temperature / ratio * (1.0 + (ratio - 1.0) * back / released.pressure)
}

#[cfg(test)]
mod tests {
    use super::{Burning, Cylinder, blown_down, burnt, release, volume};
    use std::f64::consts::PI;

    const GAS: f64 = 287.0;
    /// Constant, as the closed formulas want: γ = 1.4.
    const CAPACITY: f64 = GAS / 0.4;

    fn cylinder() -> Cylinder {
        Cylinder { compression: 16.0, rod: 3.5, shut: -PI, open: PI, pressure: 1e5, temperature: 320.0 }
    }

    fn burning(begins: f64, lasts: f64, heat: f64) -> Burning {
        Burning { begins, lasts, form: 1.0, heat }
    }

    #[test]
    fn without_fire_it_comes_back_to_where_it_began() {
        let released = release(&cylinder(), &burning(0.0, 1.0, 0.0), GAS, |_| CAPACITY);
        assert!((released.temperature - 320.0).abs() < 1e-3 && released.work.abs() < 1.0);
        // Pressed without loss: p ε^γ.
        assert!((released.peak / (1e5 * 16f64.powf(1.4)) - 1.0).abs() < 1e-4, "{released:?}");
    }

    #[test]
    fn all_at_the_top_is_the_otto_cycle() {
        let released = release(&cylinder(), &burning(-0.002, 0.004, 8e5), GAS, |_| CAPACITY);
        let efficiency = released.work / released.heat;
        assert!((efficiency - (1.0 - 16f64.powf(-0.4))).abs() < 2e-3, "{efficiency}");
    }

    #[test]
    fn what_goes_in_comes_out() {
        let capacity = |t: f64| 650.0 + 0.15 * t;
        let released = release(&cylinder(), &burning(-0.1, 1.0, 1.4e6), GAS, capacity);
        let inner = |t: f64| 650.0 * t + 0.075 * t * t;
        let gained = inner(released.temperature) - inner(320.0);
        assert!((released.heat - released.work - gained).abs() < 1e-6 * released.heat);
    }

    #[test]
    fn it_agrees_with_the_same_law_written_for_pressure() {
        // dp/dθ = (γ − 1)/V dQ/dθ − γ p/V dV/dθ, by Runge-Kutta, on the volume of the cylinder.
        let (cylinder, burning) = (cylinder(), burning(-0.15, 1.1, 1.2e6));
        let h = 1e-4;
        let slope = |of: &dyn Fn(f64) -> f64, at: f64| (of(at + h) - of(at - h)) / (2.0 * h);
        let mass = 1e5 * 16.0 / (GAS * 320.0);
        let change = |at: f64, p: f64| {
            let v = volume(&cylinder, at);
            let heat = mass * burning.heat * slope(&|at| burnt(&burning, at), at);
            0.4 / v * heat - 1.4 * p / v * slope(&|at| volume(&cylinder, at), at)
        };
        let (steps, mut p, mut work, mut peak) = (4000, 1e5, 0.0, 0.0f64);
        let step = 2.0 * PI / f64::from(steps);
        for place in 0..steps {
            let at = -PI + step * f64::from(place);
            let k1 = change(at, p);
            let k2 = change(at + step / 2.0, p + step / 2.0 * k1);
            let k3 = change(at + step / 2.0, p + step / 2.0 * k2);
            let k4 = change(at + step, p + step * k3);
            let next = p + step / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
            work += f64::midpoint(p, next) * (volume(&cylinder, at + step) - volume(&cylinder, at));
            p = next;
            peak = peak.max(p);
        }
        let released = release(&cylinder, &burning, GAS, |_| CAPACITY);
        assert!((released.work / (work / mass) - 1.0).abs() < 1e-4, "{} {}", released.work, work / mass);
        assert!((released.peak / peak - 1.0).abs() < 1e-3 && (released.pressure / p - 1.0).abs() < 1e-3);
    }

    #[test]
    fn exhaust_cools_as_it_blows_down_and_not_at_one_pressure() {
        let released = release(&cylinder(), &burning(-0.1, 1.0, 1.2e6), GAS, |_| CAPACITY);
        assert!(blown_down(&released, 1e5, 1.4) < released.temperature);
        assert!((blown_down(&released, released.pressure, 1.4) - released.temperature).abs() < 1e-9);
    }
}
