//! What stands on the propeller shaft passes turns and power on, less what it rubs away itself.

use crate::kind::*;
use crate::laws::{Say, Site};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::magnitude;

/// Turns that are passed on.
pub(crate) const SHAFT_SPEED: Unknown = Unknown {
    name: "shaft_speed",
    quantity: Quantity::RotationalSpeed,
    start: 60.0,
    size: 5.0,
    bounds: (-1.0, 1_000.0),
};
/// Power that is passed on.
pub(crate) const SHAFT_POWER: Unknown =
    Unknown { name: "shaft_power", quantity: Quantity::Power, start: 30e3, size: 5e3, bounds: (-1e6, 1e8) };
/// Power that is rubbed away, and that the engine has to give besides.
pub(crate) const DRAG: Unknown =
    Unknown { name: "drag", quantity: Quantity::Power, start: 150.0, size: 50.0, bounds: (-1e4, 1e7) };

/// Says the first three of its unknowns, which are those above; `drag` [W].
pub(crate) fn passes_on<N: Number>(at: &Site<N>, say: &mut Say<N>, drag: N) {
    say.unknown[0] = at.unknowns[0] - at.links[0];
    say.unknown[1] = at.unknowns[1] - at.links[1] + drag;
    say.unknown[2] = at.unknowns[2] - drag;
}

/// Share of what is rubbed at rated speed [1]: a film whose torque grows with its speed.
pub(crate) fn rubbed<N: Number>(speed: N, rated: N) -> N {
    speed * speed / (rated * rated)
}

/// Inner quantities of what is cooled by the sea: those above, its temperature, and how far that is over the sea.
pub(crate) const UNKNOWNS_IN_WATER: [Unknown; 5] = [
    SHAFT_SPEED,
    SHAFT_POWER,
    DRAG,
    Unknown { name: "temperature", quantity: Quantity::Temperature, start: 293.0, size: 3.0, bounds: (200.0, 5_000.0) },
    Unknown {
        name: "rise",
        quantity: Quantity::TemperatureDifference,
        start: 3.0,
        size: 2.0,
        bounds: (-300.0, 5_000.0),
    },
];

/// Heat capacity of the sea [J/(kg K)], from memory.
const WATER_HEAT: f64 = 3_990.0;
/// Flow below which water fed counts as still [kg/s].
const STILL: f64 = 1e-4;

/// Says all of these; `drag` [W] is carried off by a `standing` conductance [W/K] and by flows of sea water [kg/s].
pub(crate) fn cooled_by_sea<N: Number>(at: &Site<N>, say: &mut Say<N>, drag: N, standing: N, flows: &[N]) {
    passes_on(at, say, drag);
    let still = N::constant(0.0);
    let water = flows.iter().fold(still, |sum, flow| sum + magnitude(*flow, STILL)) * WATER_HEAT;
    let rise = drag / (standing + water);
    say.unknown[3] = at.unknowns[3] - at.point.sea - rise;
    say.unknown[4] = at.unknowns[4] - rise;
}

/// What to do with a bearing that runs hot.
pub(crate) const HOT: &str = "Ease back to the slowest that steers and let it cool by itself: no cold water on hot metal. \
    Grease or oil it if that can be done clear of the shaft; feel it again every few minutes.";
