//! How a kind states its laws: once, over any number type; the model writes the balances.

use crate::own_kind::OwnLaw;
use physics::contents::Contents;
use physics::number::{Dual, Number};

/// Most passages a kind may have.
pub const PASSAGES: usize = 3;
/// Most inner unknowns a kind may have.
pub const UNKNOWNS: usize = 8;
/// Most links a kind may have.
pub const LINKS: usize = 16;

/// What a law sees: the part's figures and the state around it.
#[derive(Clone, Debug)]
pub struct Site<'a, N> {
    /// Parameters in the order of the kind's table [SI].
    pub parameters: &'a [N],
    /// Mass flow of each passage, positive in the drawn direction [kg/s].
    pub flow: [N; PASSAGES],
    /// Absolute pressure where each passage begins [Pa].
    pub inlet_pressure: [N; PASSAGES],
    /// Absolute pressure where each passage ends [Pa].
    pub outlet_pressure: [N; PASSAGES],
    /// Temperature of what enters each passage, whichever way it flows [K]; of a pool, the pool's.
    pub inlet_temperature: [N; PASSAGES],
    /// Temperature where each passage ends [K]; of a pool, the pool's.
    pub outlet_temperature: [N; PASSAGES],
    /// Inner unknowns in the order of the kind's table [SI].
    pub unknowns: [N; UNKNOWNS],
    /// Links in the order of the kind's table [SI].
    pub links: [N; LINKS],
    /// Operating point.
    pub point: Point<N>,
    /// What each passage carries.
    pub contents: [Contents; PASSAGES],
}

/// The operating point: latent inputs with error, never exact.
#[derive(Copy, Clone, Debug)]
pub struct Point<N> {
    /// Engine speed [rad/s]; 0 when stopped.
    pub speed: N,
    /// Load as a share of what the propeller takes at this speed with clean hull and calm sea [1]; 0 in neutral.
    pub load: N,
    /// Sea temperature [K].
    pub sea: N,
    /// Outside air temperature [K].
    pub air: N,
    /// Air pressure [Pa].
    pub atmosphere: N,
    /// Pitch set at the lever as a share of the propeller's design pitch [1]: 1 ahead, 0 none, below 0 astern; means nothing
    /// to one whose pitch is fixed.
    pub pitch: N,
}

/// How far a running engine warms its space over outside air [K]; common practice, no source, and inside the 16 K
/// that `[Trade] 1.3` allows.
const ROOM_RISE: f64 = 15.0;
/// How far the air that an engine draws in is warmer than outside [K]; common practice, no source.
const DRAWN_IN: f64 = 8.0;
/// Under this a link tells no temperature but that there is nothing to tell of [K].
const NO_TEMPERATURE: f64 = 100.0;
/// Speed from which the space is that warm [rad/s]: 480 rpm, slower than engines idle.
const TURNING: f64 = 50.0;

impl<N: Number> Point<N> {
    /// Temperature of an engine space that nobody described [K]: outside air when stopped, 15 K above it when the engine
    /// turns.
    pub fn room(&self) -> N {
        self.air + physics::smooth::ramp(self.speed, 0.0, TURNING) * ROOM_RISE
    }

    /// Temperature of the air that an engine or its turbocharger draws in from such a space [K].
    pub fn drawn_in(&self) -> N {
        self.air + DRAWN_IN
    }

    /// Temperature of the charge by a link to what has compressed it [K]; as drawn in where nothing has.
    pub fn charge_temperature(&self, link: N) -> N {
        if is_charged(link) { link } else { self.drawn_in() }
    }
}

/// Does a link to a charge's temperature lead to a turbocharger?
pub(crate) fn is_charged<N: Number>(link: N) -> bool {
    is_told(link)
}

/// Does a link to a temperature lead anywhere?
pub(crate) fn is_told<N: Number>(link: N) -> bool {
    link.re() > NO_TEMPERATURE
}

/// What a part says of its passages and inner quantities.
#[derive(Clone, Debug)]
pub struct Say<N> {
    /// Gap of each passage's pressure law [Pa]: inlet minus outlet minus what the law says; of a pool, pool pressure minus what holds it.
    pub gap: [N; PASSAGES],
    /// Heat into what flows in each passage, or into a pool [W].
    pub heat: [N; PASSAGES],
    /// Liquid lost to the bilge where a passage ends [kg/s].
    pub leak: [N; PASSAGES],
    /// Gap of each inner unknown's law [its unit].
    pub unknown: [N; UNKNOWNS],
    /// Heat stored per kelvin in metal and liquid of each passage [J/K].
    pub storage: [N; PASSAGES],
}

impl<N: Number> Say<N> {
    /// Nothing said yet.
    pub fn nothing() -> Self {
        let zero = N::constant(0.0);
        Say {
            gap: [zero; PASSAGES],
            heat: [zero; PASSAGES],
            leak: [zero; PASSAGES],
            unknown: [zero; UNKNOWNS],
            storage: [zero; PASSAGES],
        }
    }
}

impl Say<Dual> {
    /// The same without slopes.
    pub fn plain(&self) -> Say<f64> {
        Say {
            gap: self.gap.map(|v| v.value()),
            heat: self.heat.map(|v| v.value()),
            leak: self.leak.map(|v| v.value()),
            unknown: self.unknown.map(|v| v.value()),
            storage: self.storage.map(|v| v.value()),
        }
    }
}

impl<N: Number> Site<'_, N> {
    /// Says that passage `k` loses `drop` [Pa] from inlet to outlet.
    pub fn drop(&self, say: &mut Say<N>, k: usize, drop: N) {
        say.gap[k] = self.inlet_pressure[k] - self.outlet_pressure[k] - drop;
    }

    /// Fuel burnt in a mass of air, of what passage `k` carries [1]; 0 for anything but gas.
    pub fn fuel_air_ratio(&self, k: usize) -> f64 {
        if let Contents::Gas { fuel_air_ratio } = self.contents[k] { fuel_air_ratio } else { 0.0 }
    }

    /// Salinity of what passage `k` carries [kg/kg]; 0 for anything but sea water.
    pub fn salinity(&self, k: usize) -> f64 {
        if let Contents::SeaWater { salinity } = self.contents[k] { salinity } else { 0.0 }
    }

    /// Pressure at which what enters passage `k` boils [Pa]; 0 for what does not.
    pub fn vapour_pressure(&self, k: usize) -> N {
        self.contents[k].saturation_pressure(self.inlet_temperature[k]).unwrap_or(N::constant(0.0))
    }

    /// Temperature at which what leaves passage `k` boils [K]; far away for what does not.
    pub fn boils_at(&self, k: usize) -> N {
        // A solver on its way may try pressures below nothing, where nothing boils.
        let pressure = physics::smooth::positive_part(self.outlet_pressure[k], 2_000.0);
        self.contents[k].saturation_temperature(pressure).unwrap_or(N::constant(2_000.0))
    }

    /// Temperature of the engine space [K] by link `k` to it; as [`Point::room`] has it where nobody described one.
    pub fn room(&self, k: usize) -> N {
        if is_told(self.links[k]) { self.links[k] } else { self.point.room() }
    }

    /// Temperature of the air that is drawn in [K] by link `k` to the space; as [`Point::drawn_in`] has it where nobody
    /// described one.
    pub fn drawn_in(&self, k: usize) -> N {
        if is_told(self.links[k]) { self.links[k] } else { self.point.drawn_in() }
    }
}

/// Laws of a kind, stated once.
pub trait Law {
    /// Says every gap, heat and leak for the state given.
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>);
}

/// The laws of a kind in plain numbers and with exact slopes.
#[derive(Copy, Clone)]
pub struct Laws {
    in_plain: fn(&Site<f64>, &mut Say<f64>),
    in_slopes: fn(&Site<Dual>, &mut Say<Dual>),
    /// Of a kind that the owner describes: the law of all such kinds, and what it reads for this one.
    own: Option<&'static OwnLaw>,
}

impl Laws {
    /// The laws of a kind that the owner describes.
    pub(crate) fn own(law: &'static OwnLaw) -> Laws {
        Laws { own: Some(law), ..both::<Silent>() }
    }

    /// What they say in plain numbers.
    pub fn plain(&self, at: &Site<f64>, say: &mut Say<f64>) {
        match self.own {
            Some(law) => law.state(at, say),
            None => (self.in_plain)(at, say),
        }
    }

    /// What they say with exact slopes.
    pub fn sloped(&self, at: &Site<Dual>, say: &mut Say<Dual>) {
        match self.own {
            Some(law) => law.state(at, say),
            None => (self.in_slopes)(at, say),
        }
    }
}

impl std::fmt::Debug for Laws {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Laws")
    }
}

/// Both forms of a kind's laws.
pub const fn both<L: Law>() -> Laws {
    Laws { in_plain: L::state::<f64>, in_slopes: L::state::<Dual>, own: None }
}

/// Laws of a part that nothing flows through and that has no inner quantities.
#[derive(Debug)]
pub struct Silent;

impl Law for Silent {
    fn state<N: Number>(_: &Site<N>, _: &mut Say<N>) {}
}
