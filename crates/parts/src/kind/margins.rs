//! What the margins ask of a kind: is it sized and arranged right?

use crate::laws::Site;
use measure::quantity::Quantity;
use physics::contents::Contents;
use physics::flow::velocity;

/// A question that a sound part answers by standing within bounds, wherever the vessel may be run.
#[derive(Copy, Clone)]
pub struct Margin {
    /// Short name, for a program: "suction velocity".
    pub name: &'static str,
    /// The question, for a page: "Is the water slow enough in the suction?"
    pub asks: &'static str,
    /// The quantity that answers it, from figures and state of the part [SI; pressures over the atmosphere]; none where the
    /// question does not arise (at idle, of another liquid, of a part that is not in use).
    pub of: fn(&Site<f64>) -> Option<f64>,
    /// What kind of number that is.
    pub quantity: Quantity,
    /// Least value that is sound [SI]; minus infinity if there is none.
    pub least: f64,
    /// Most that is sound [SI]; infinity if there is none.
    pub most: f64,
    /// What to change if it is not.
    pub remedy: &'static str,
    /// Where the bounds come from.
    pub source: &'static str,
}

impl std::fmt::Debug for Margin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Margin").field("name", &self.name).finish_non_exhaustive()
    }
}

impl Margin {
    /// Is this value sound?
    pub fn holds(&self, value: f64) -> bool {
        (self.least..=self.most).contains(&value)
    }
}

/// Raw water in the first passage.
fn is_sea(at: &Site<f64>) -> bool {
    matches!(at.contents[0], Contents::SeaWater { .. })
}

/// Pressure over the atmosphere where a passage begins [Pa].
pub(crate) fn over(at: &Site<f64>, k: usize) -> f64 {
    at.inlet_pressure[k] - at.point.atmosphere
}

/// Velocity of water in the first passage of this bore [m/s]: where it is drawn, or where it is pressed.
pub(crate) fn water_velocity(at: &Site<f64>, bore: f64, drawn: bool) -> Option<f64> {
    let water = is_sea(at) || matches!(at.contents[0], Contents::FreshWater | Contents::Coolant { .. });
    let suction = at.inlet_pressure[0].min(at.outlet_pressure[0]) < at.point.atmosphere;
    let here = (is_sea(at) && suction) == drawn;
    let density = at.contents[0].density(at.inlet_temperature[0]);
    (water && here).then(|| velocity(at.flow[0].abs(), bore, density))
}

/// Raw water is drawn from no deeper than a pump of this sort lifts.
pub(crate) const LIFT: Margin = Margin {
    name: "suction",
    asks: "Does the pump draw easily?",
    of: |at| is_sea(at).then(|| -over(at, 0)),
    quantity: Quantity::PressureDifference,
    least: f64::NEG_INFINITY,
    most: 20_000.0,
    remedy: "a wider or shorter suction, fewer bends, a larger strainer and seacock, or the pump lower down",
    source: "[Trade] 2.1 pump lift",
};

/// A cooler that raw water runs through does not warm it so far that scale settles.
pub(crate) const NO_SCALE: Margin = Margin {
    name: "raw outlet",
    asks: "Does raw water stay cool enough not to leave scale?",
    of: |at| is_sea(at).then(|| at.outlet_temperature[0]),
    quantity: Quantity::Temperature,
    least: f64::NEG_INFINITY,
    most: 328.15,
    remedy: "more raw water: a larger pump, less resistance in its path",
    source: "[Trade] 2.1 outlet",
};

/// Nor warms it by more than a sound circuit does.
pub(crate) const RAW_RISE: Margin = Margin {
    name: "raw rise",
    asks: "Does enough raw water run through?",
    of: |at| is_sea(at).then(|| at.outlet_temperature[0] - at.inlet_temperature[0]),
    quantity: Quantity::TemperatureDifference,
    least: f64::NEG_INFINITY,
    most: 20.0,
    remedy: "a larger raw-water pump, or less resistance in its path",
    source: "[Trade] 2.14 rise",
};
