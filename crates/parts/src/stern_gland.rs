//! What the seals of the shaft have in common: they rub, the sea lies behind them, and it drips through.

use crate::kind::*;
use crate::laws::{Say, Site};
use crate::shaft::{cooled_by_sea, rubbed};
use physics::number::Number;

/// Pressure of the sea at the shaft at which the leak is given [Pa]: six decimetres.
const SEA_HEAD: f64 = 6_000.0;
/// Turns a flow that does not fit into a pressure [Pa s/kg].
const GAP: f64 = 1e5;

/// What they ask of other parts.
pub(crate) const LINKS: [Link; 3] = [Link::Shaft("shaft_speed"), Link::Shaft("shaft_power"), Link::Fed];
/// What comes through.
pub(crate) const DRIP: Probe = Probe::Flow(0);
/// How far it is over the sea.
pub(crate) const RISE: Probe = Probe::Unknown(4);

/// Its one way: from the sea into the bilge.
pub(crate) const WAY: Passage =
    way_through("drip", &[Circuit::RawWater], End::Sea, End::Air).that("drips inboard along the shaft through");

/// It stands by itself, in no path.
pub(crate) const PLACE: Place =
    Place::Beside { circuit: Circuit::RawWater, passage: "drip", after: None, before: None, usual: false };

/// What to do when it lets the sea in.
pub(crate) const FLOODS: &str = "Slow down, pumps ready and counted. If it gains, out of gear and stop the shaft, press or wrap it \
    tight, and call before it gains on the pumps.";
/// What to do when it runs hot.
pub(crate) const HOT: &str =
    "Ease back until it cools: a wet cloth round it, a trickle of drip let in. Do not run it on dry.";

/// What rubs, leaks and cools.
pub(crate) struct Gland<N> {
    /// Rubbed away at rated speed [W].
    pub friction: N,
    /// Shaft speed that is given at [rad/s].
    pub rated_speed: N,
    /// What comes through at rest under a common head [kg/s].
    pub leak: N,
    /// Conductance to shaft, tube and sea without any water [W/K].
    pub standing: N,
}

impl<N: Number> Gland<N> {
    pub fn say(&self, at: &Site<N>, say: &mut Say<N>) {
        let head = (at.inlet_pressure[0] - at.outlet_pressure[0]) / SEA_HEAD;
        say.gap[0] = (self.leak * head - at.flow[0]) * GAP;
        let drag = self.friction * rubbed(at.links[0], self.rated_speed);
        cooled_by_sea(at, say, drag, self.standing, &[at.flow[0], at.links[2]]);
    }
}

/// The printed limit of what a gland may be over the sea.
pub(crate) const LIMIT: Limit = Limit {
    probe: RISE,
    value: 17.0,
    when: When::High,
    running_only: true,
    act: HOT,
    source: "[Trade] 2.8 gland over the sea",
};

/// Half of people call it hot here [K over the sea]; from memory.
pub(crate) const SAID_HOT: Word = Word {
    name: "hot",
    of: Of::Found { probe: RISE, midpoint: 18.0, spread: 6.0, when: When::High },
    false_said: 0.03,
    miss: 0.25,
    group: "gland",
    danger: Some(HOT),
    source: "from memory",
};
/// A stream where drips should be.
pub(crate) const SAID_STREAMS: Word = Word {
    name: "streams",
    of: Of::Found { probe: DRIP, midpoint: 0.004, spread: 0.001, when: When::High },
    false_said: 0.01,
    miss: 0.1,
    group: "gland",
    danger: Some(FLOODS),
    source: "from memory",
};
