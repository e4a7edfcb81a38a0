//! What stands on the propeller shaft passes turns and power on, less what it rubs away itself.

use crate::kind::*;
use crate::laws::{Say, Site};
use measure::quantity::Quantity;
use physics::number::Number;

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

/// What to do with a bearing that runs hot.
pub(crate) const HOT: &str = "Ease back to the slowest that steers and let it cool by itself: no cold water on hot metal. \
    Grease or oil it if that can be done clear of the shaft; feel it again every few minutes.";
