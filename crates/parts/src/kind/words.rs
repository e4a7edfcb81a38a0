//! What people say of a part, and the quantities that words, gauges and limits look at.

use super::Kind;
use measure::quantity::Quantity;

/// Something people say, feel, hear, smell or see on a part.
#[derive(Copy, Clone, Debug)]
pub struct Word {
    /// The word in evidence, "flow weak".
    pub name: &'static str,
    /// What quantity of the model it speaks of, if any.
    pub of: Of,
    /// Chance that it is said though nothing is off.
    pub false_said: f64,
    /// Chance that it is not said though it is so.
    pub miss: f64,
    /// Words of one group share an observer's threshold and count nearly once.
    pub group: &'static str,
    /// What to do this minute, where the word alone is a danger.
    pub danger: Option<&'static str>,
    /// Where its figures come from.
    pub source: &'static str,
}

/// What a word speaks of.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Of {
    /// Nothing that the model computes: only causes that say it explain it.
    Cause,
    /// Any danger that this plant is in: what makes people stop, turn back or be towed.
    Danger,
    /// Of an alarm: whether the quantity at its tap is past its trip point.
    Trip,
    /// A quantity as it is, and complained of: a plant that by its make always stood there would have been complained of
    /// from its first day.
    Value {
        /// Which quantity of the part.
        probe: Probe,
        /// Half of people say it here [SI].
        midpoint: f64,
        /// Width of the doubt, one standard deviation [SI].
        spread: f64,
        /// Said when it is above (`High`) or below.
        when: When,
    },
    /// A quantity as it is, found by looking: it may always have been so.
    Found {
        /// Which quantity of the part.
        probe: Probe,
        /// Half of people say it here [SI].
        midpoint: f64,
        /// Width of the doubt, one standard deviation [SI].
        spread: f64,
        /// Said when it is above (`High`) or below.
        when: When,
    },
    /// A quantity that stands at a mark, not past it: "this is all she gives".
    About {
        /// Which quantity of the part.
        probe: Probe,
        /// Where it stands [SI].
        midpoint: f64,
        /// Width of the doubt, one standard deviation [SI].
        spread: f64,
    },
    /// The same quantity as a share of what it is with the cause off.
    Share {
        /// Which quantity of the part.
        probe: Probe,
        /// Half of people say it here [1].
        midpoint: f64,
        /// Width of the doubt, one standard deviation [1].
        spread: f64,
        /// Said when it is above (`High`) or below.
        when: When,
    },
    /// The same quantity as a difference to what it is with the cause off.
    Change {
        /// Which quantity of the part.
        probe: Probe,
        /// Half of people say it here [SI].
        midpoint: f64,
        /// Width of the doubt, one standard deviation [SI].
        spread: f64,
        /// Said when it is above (`High`) or below.
        when: When,
    },
}

/// Groups of words that only tell themselves to a look, a hand or a dipstick: that nobody spoke of them says that
/// nobody looked. From memory.
const LOOKED_FOR: &[&str] = &["bearings", "belt-gone", "dry", "exhaust-heat", "oil looks", "pump-drive"];

impl Word {
    /// Whether it tells itself: heard, smelt, or seen without looking for it.
    pub fn tells_itself(&self) -> bool {
        !LOOKED_FOR.contains(&self.group)
    }
}

/// Which side of its midpoint a word means.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum When {
    /// Said when the quantity is above.
    High,
    /// Said when the quantity is below.
    Low,
}

/// A quantity of a part that a gauge, a word or a limit looks at.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Probe {
    /// Mass flow of a passage [kg/s].
    Flow(usize),
    /// Temperature where a passage begins [K].
    InletTemperature(usize),
    /// Temperature where a passage ends [K].
    OutletTemperature(usize),
    /// Temperature gained along a passage [K].
    Rise(usize),
    /// Absolute pressure where a passage begins [Pa].
    InletPressure(usize),
    /// Absolute pressure where a passage ends [Pa].
    OutletPressure(usize),
    /// Pressure lost along a passage [Pa].
    Drop(usize),
    /// How far the liquid at a passage's end is below boiling [K].
    BoilingMargin(usize),
    /// An inner quantity of the part.
    Unknown(usize),
}

impl Probe {
    /// What it reads on a part of this kind; pressures are over the atmosphere.
    pub fn quantity(self, kind: &Kind) -> Quantity {
        let or_electric = |passage: usize, electric: Quantity, else_: Quantity| {
            let carries = kind.passages.get(passage).map_or(&[][..], |way| way.carries);
            if carries.iter().any(|circuit| circuit.is_electric()) { electric } else { else_ }
        };
        match self {
            Probe::InletTemperature(_) | Probe::OutletTemperature(_) => Quantity::Temperature,
            Probe::Rise(_) | Probe::BoilingMargin(_) => Quantity::TemperatureDifference,
            Probe::InletPressure(k) | Probe::OutletPressure(k) => {
                or_electric(k, Quantity::Voltage, Quantity::GaugePressure)
            }
            Probe::Drop(k) => or_electric(k, Quantity::Voltage, Quantity::PressureDifference),
            Probe::Flow(k) => or_electric(k, Quantity::Current, Quantity::MassFlow),
            Probe::Unknown(place) => kind.unknowns.get(place).map_or(Quantity::Ratio, |unknown| unknown.quantity),
        }
    }

    /// Is it told over the atmosphere, though a state holds it absolute?
    pub fn is_over_atmosphere(self, kind: &Kind) -> bool {
        matches!(self, Probe::InletPressure(_) | Probe::OutletPressure(_))
            && self.quantity(kind) == Quantity::GaugePressure
    }
}

/// A hand on two hot pipes tells them apart, half the time, from 1.2 times this [K]; from memory.
pub(crate) const HAND: f64 = 2.5;

/// A word that only causes explain; its figures are from memory.
pub(crate) const fn said(name: &'static str, false_said: f64, miss: f64, group: &'static str) -> Word {
    Word { name, of: Of::Cause, false_said, miss, group, danger: None, source: "from memory" }
}

#[cfg(test)]
mod tests {
    use super::LOOKED_FOR;
    use crate::catalogue::KINDS;

    #[test]
    fn groups_that_need_a_look_are_there() {
        for group in LOOKED_FOR {
            assert!(KINDS.iter().flat_map(|kind| kind.words).any(|word| word.group == *group), "{group}");
        }
    }
}
