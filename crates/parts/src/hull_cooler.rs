//! What every cooler does that gives its heat to the sea through the hull: a film inside, a wall, growth, a film outside.

use crate::laws::{Say, Site};
use physics::number::Number;
use physics::smooth::{magnitude, signed_square};

/// Flow below which drop and inner film turn linear [share of rated flow].
const REST: f64 = 0.02;
/// What still coolant gives all the same, for the hull goes on cooling it where it stands [share of rated flow].
const STILL: f64 = 2e-3;
/// Of the resistance that is not outside, the share of the film inside; the rest is wall and paint [1]. From memory.
const INSIDE: f64 = 0.4;
/// Coolant over sea that the film at rest is given at [K], and within which it no longer thins.
const RATED_DIFFERENCE: f64 = 45.0;
const LEAST_DIFFERENCE: f64 = 3.0;
/// Boat speed below which the driven film no longer thins [share of rated].
const LYING: f64 = 0.01;

/// Figures of such a cooler.
pub(crate) struct HullCooler<N> {
    /// Conductance to the sea, clean, at rated flow and boat speed [W/K].
    pub clean_conductance: N,
    /// Resistance of what has grown on it [K/W].
    pub fouling_resistance: N,
    /// Share of the clean resistance that is the film outside, at rated boat speed [1].
    pub outside: N,
    /// Film outside of a boat that lies still, over that at rated boat speed [1].
    pub at_rest: N,
    /// Boat speed these are given at [m/s].
    pub rated_boat_speed: N,
    /// Exponent of boat speed in the film outside [1].
    pub power: f64,
    /// Share of its area that coolant wets [1].
    pub wetted: N,
    /// Share of the flow that goes straight from inlet to outlet [1].
    pub short_circuit: N,
    /// Flow at which the drop is given [kg/s], and the drop [Pa].
    pub rated_flow: N,
    pub rated_drop: N,
}

/// Says drop and heat of such a cooler, at a boat speed [m/s].
///
/// # Source
/// Driven and natural films together by their cubes, [Incropera6] ch. 9; the natural one with the cube root of the
/// difference (turbulent), [Incropera6] ch. 9; inside with flow to the 0.8, [Incropera6] eq. 8.60.
pub(crate) fn to_the_sea<N: Number>(at: &Site<N>, say: &mut Say<N>, cooler: &HullCooler<N>, boat_speed: N) {
    let coolant = at.inlet_temperature[0];
    let share = at.flow[0] / cooler.rated_flow;
    at.drop(say, 0, cooler.rated_drop * signed_square(share, REST));
    let clean = cooler.clean_conductance.recip();
    let driven = magnitude(boat_speed / cooler.rated_boat_speed, LYING).powf(cooler.power);
    let difference = magnitude(coolant - at.point.sea, LEAST_DIFFERENCE) / RATED_DIFFERENCE;
    let natural = cooler.at_rest * difference.powf(1.0 / 3.0);
    let film = (driven.powi(3) + natural.powi(3)).powf(1.0 / 3.0);
    let moving = magnitude(share, REST).powf(-0.8);
    let rest = -cooler.outside + 1.0;
    let resistance = clean * (cooler.outside / film + rest * (moving * INSIDE + (1.0 - INSIDE)));
    let conductance = (resistance + cooler.fouling_resistance).recip() * cooler.wetted;
    let rate = magnitude(share, STILL)
        * cooler.rated_flow
        * (-cooler.short_circuit + 1.0 + 1e-6)
        * at.contents[0].heat_capacity(coolant);
    let effectiveness = -(-(conductance / rate)).exp() + 1.0;
    say.heat[0] = rate * effectiveness * (at.point.sea - coolant);
    say.storage[0] = cooler.rated_flow * 60_000.0;
}
