//! A cooler on the outside of the hull: a film inside, its wall and paint, a film outside that the boat's speed thins.

use crate::number::Number;
use crate::smooth::magnitude;

/// Flow below which the inner film turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Of the resistance that is not outside, the share of the film inside; the rest is wall and paint [1]. From memory.
pub const INSIDE: f64 = 0.4;
/// Coolant over sea that the film at rest is given at [K], and within which it no longer thins.
const RATED_DIFFERENCE: f64 = 45.0;
const LEAST_DIFFERENCE: f64 = 3.0;
/// Boat speed below which the driven film no longer thins [share of rated].
const LYING: f64 = 0.01;

/// Exponent of boat speed in the film outside of what lies along the hull: turbulent flow along a plate. Source: `[Incropera6]`
/// eq. 7.36.
pub const ALONG_HULL: f64 = 0.8;

/// How its resistance divides.
#[derive(Clone, Copy, Debug)]
pub struct Skin<N> {
    /// Share of the clean resistance that is the film outside, at rated boat speed [1].
    pub outside: N,
    /// Film outside of a boat that lies still, over that at rated boat speed [1].
    pub at_rest: N,
    /// Boat speed these are given at [m/s].
    pub rated_boat_speed: N,
    /// Exponent of boat speed in the film outside [1].
    pub power: f64,
}

impl<N: Number> Skin<N> {
    /// Resistance to heat over that of the clean cooler at rated flow and boat speed [1].
    ///
    /// * `boat_speed` [m/s]; `difference` of coolant and sea [K]; `flow` over the rated one [1]
    ///
    /// # Source
    /// Driven and natural films together by their cubes, `[Incropera6]` ch. 9; the natural one with the cube root of the
    /// difference (turbulent), `[Incropera6]` ch. 9; inside with flow to the 0.8, `[Incropera6]` eq. 8.60.
    pub fn resistance(&self, boat_speed: N, difference: N, flow: N) -> N {
        let driven = magnitude(boat_speed / self.rated_boat_speed, LYING).powf(self.power);
        let difference = magnitude(difference, LEAST_DIFFERENCE) / RATED_DIFFERENCE;
        let natural = self.at_rest * difference.powf(1.0 / 3.0);
        let film = (driven.powi(3) + natural.powi(3)).powf(1.0 / 3.0);
        let moving = magnitude(flow, REST).powf(-0.8);
        let rest = -self.outside + 1.0;
        self.outside / film + rest * (moving * INSIDE + (1.0 - INSIDE))
    }
}
