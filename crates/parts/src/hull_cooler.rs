//! What every cooler does that gives its heat to the sea through the hull: a film inside, a wall, growth, a film outside.

use crate::kind::*;
use crate::laws::{Say, Site};
use physics::hull_cooler::Skin;
use physics::number::Number;
use physics::smooth::{magnitude, signed_square};

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// What still coolant gives all the same, for the hull goes on cooling it where it stands [share of rated flow].
const STILL: f64 = 2e-3;

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
/// The resistance of its skin, [`Skin::resistance`], and an exchanger whose other side does not warm, [Incropera6] ch. 11.
pub(crate) fn to_the_sea<N: Number>(at: &Site<N>, say: &mut Say<N>, cooler: &HullCooler<N>, boat_speed: N) {
    let coolant = at.inlet_temperature[0];
    let share = at.flow[0] / cooler.rated_flow;
    at.drop(say, 0, cooler.rated_drop * signed_square(share, REST));
    let clean = cooler.clean_conductance.recip();
    let skin = Skin {
        outside: cooler.outside,
        at_rest: cooler.at_rest,
        rated_boat_speed: cooler.rated_boat_speed,
        power: cooler.power,
    };
    let resistance = clean * skin.resistance(boat_speed, coolant - at.point.sea, share);
    let conductance = (resistance + cooler.fouling_resistance).recip() * cooler.wetted;
    let rate = magnitude(share, STILL)
        * cooler.rated_flow
        * (-cooler.short_circuit + 1.0 + 1e-6)
        * at.contents[0].heat_capacity(coolant);
    let effectiveness = -(-(conductance / rate)).exp() + 1.0;
    say.heat[0] = rate * effectiveness * (at.point.sea - coolant);
    say.storage[0] = cooler.rated_flow * 60_000.0;
}

/// Both its hoses feel alike.
pub(crate) const HOSES_EQUALLY_HOT: Word = Word {
    name: "hoses equally hot",
    of: Of::About { probe: Probe::Rise(0), midpoint: 0.0, spread: HAND },
    false_said: 0.04,
    miss: 0.35,
    group: "hoses",
    danger: None,
    source: "from memory",
};

/// What leaves it is colder than ever.
pub(crate) const ONE_END_COLD: Word = Word {
    name: "one end cold",
    of: Of::Change { probe: Probe::OutletTemperature(0), midpoint: -15.0, spread: 6.0, when: When::Low },
    false_said: 0.04,
    miss: 0.4,
    group: "hoses",
    danger: None,
    source: "from memory",
};

/// What leaves it is hot to the hand.
pub(crate) const HOT_TO_THE_HAND: Word = Word {
    name: "hot to the hand",
    of: Of::Found { probe: Probe::OutletTemperature(0), midpoint: 316.15, spread: 6.0, when: When::High },
    false_said: 0.1,
    miss: 0.4,
    group: "skin",
    danger: None,
    source: "from memory",
};

/// The needle creeps up over hours.
pub(crate) const HOT_AFTER_HOURS: Word = Word {
    name: "hot after hours",
    of: Of::Cause,
    false_said: 0.03,
    miss: 0.4,
    group: "pattern",
    danger: None,
    source: "from memory",
};

/// Coolant to and from it, against the sea.
pub(crate) const IN_AND_OUT: Check = Check {
    name: "in_and_out",
    title: "Take the coolant to and from the cooler and set it against the sea",
    minutes: 5.0,
    state: State::Running,
    tool: Some("infrared thermometer"),
    caution: "Aim at rubber or tape; stand clear of shaft and belts.",
    finds: &[
        Find { cause: "fouled", power: "ir-painted" },
        Find { cause: "short_circuit", power: "ir-painted" },
        Find { cause: "undersized", power: "ir-painted" },
    ],
};

/// Less load, and what the needle does.
pub(crate) const THROTTLE_BACK: Check = Check {
    name: "throttle_back",
    title: "Ease 200 rpm and watch the needle for five minutes",
    minutes: 5.0,
    state: State::Running,
    tool: None,
    caution: "Keep enough way on to steer.",
    finds: &[Find { cause: "fouled", power: "throttle-back" }, Find { cause: "undersized", power: "throttle-back" }],
};

/// Is the baffle there?
pub(crate) const PROBE_INSIDE: Check = Check {
    name: "probe_inside",
    title: "Drain, open a connection and probe for the baffle",
    minutes: 90.0,
    state: State::StoppedCold,
    tool: Some("spanners, wire, bucket"),
    caution: "Cold, and catch the coolant: it is poisonous and slippery.",
    finds: &[Find { cause: "short_circuit", power: "visual-general" }],
};
