//! What a kind of part is: the struct that every kind fills in, and nothing else.

use crate::laws::Laws;
use measure::figure::Spread;
use measure::quantity::Quantity;

pub use causes::*;
pub use chain::*;
pub use checks::*;
pub(crate) use joined::joined;
pub use link::*;
pub use margins::*;
pub use passage::*;
pub use place::*;
pub use symbol::*;
pub use walls::*;
pub use words::*;

mod causes;
mod chain;
mod checks;
mod joined;
mod link;
mod margins;
mod passage;
mod place;
mod symbol;
mod walls;
mod words;

/// A kind of part, complete: its file is the only place that knows it.
#[derive(Debug)]
pub struct Kind {
    /// The word in a vessel file.
    pub name: &'static str,
    /// The words on a page.
    pub title: &'static str,
    /// Other words for it in a vessel file; one that several kinds claim does not tell which.
    pub called: &'static [&'static str],
    /// Where it usually stands.
    pub places: &'static [Place],
    /// The kind whose words are said of it too, if it is a sort of that.
    pub variant_of: Option<&'static str>,
    /// The circuit its causes are counted under.
    pub circuit: Circuit,
    /// How it is drawn.
    pub symbol: Symbol,
    /// Ways through it, and pools in it.
    pub passages: &'static [Passage],
    /// Figures that describe it, each with a typical value.
    pub parameters: &'static [Parameter],
    /// Inner quantities solved for beside pressures, flows and temperatures.
    pub unknowns: &'static [Unknown],
    /// Quantities of other parts that its laws read.
    pub links: &'static [Link],
    /// Its laws, in plain numbers and with exact slopes.
    pub laws: Laws,
    /// Ways it fails.
    pub causes: &'static [Cause],
    /// What can be said, felt, heard, smelt of it.
    pub words: &'static [Word],
    /// Checks that can be made on it.
    pub checks: &'static [Check],
    /// What keeps its liquids apart, and in.
    pub walls: &'static [Wall],
    /// Values that must not be passed, with what to do this minute.
    pub limits: &'static [Limit],
    /// What shows whether it is sized and arranged right.
    pub margins: &'static [Margin],
}

/// Positions closer than this to wide open or shut are that [1].
const SAME: f64 = 0.005;

impl Kind {
    /// What a hand does to it.
    pub fn handled_as(&self) -> Handled {
        match self.symbol.position {
            Some("closed") => Handled::Switch,
            Some("engaged") => Handled::Clutch,
            _ => Handled::Valve,
        }
    }

    /// Is it switched on and off, and not opened and shut?
    pub fn is_switch(&self) -> bool {
        self.handled_as() == Handled::Switch
    }

    /// The figure that a hand sets on it: how far a valve is open, whether a switch is on or a clutch in.
    pub fn set_by_hand(&self) -> Option<usize> {
        let set = self.symbol.position.filter(|name| ["opening", "closed", "engaged"].contains(name))?;
        self.parameters.iter().position(|p| p.name == set)
    }

    /// What a hand does to it, after "to": "open" or "shut"; of a switch "switch on", of a clutch "put in".
    pub fn turned(&self, on: bool) -> &'static str {
        match (self.handled_as(), on) {
            (Handled::Switch, true) => "switch on",
            (Handled::Switch, false) => "switch off",
            (Handled::Clutch, true) => "put in",
            (Handled::Clutch, false) => "put out",
            (Handled::Valve, true) => "open",
            (Handled::Valve, false) => "shut",
        }
    }

    /// A position of it in words: "open", "shut", "40 % open"; of a switch "on" or "off", of a clutch "in" or "out".
    pub fn stands(&self, share: f64) -> String {
        let (shut, open) = match self.handled_as() {
            Handled::Switch => ("off", "on"),
            Handled::Clutch => ("out", "in"),
            Handled::Valve => ("shut", "open"),
        };
        if share < SAME {
            shut.into()
        } else if share > 1.0 - SAME {
            open.into()
        } else {
            format!("{:.0} % {open}", share * 100.0)
        }
    }
}

/// What a hand does to what it sets.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Handled {
    /// Opens and shuts it.
    Valve,
    /// Switches it on and off.
    Switch,
    /// Puts it in and out.
    Clutch,
}

/// The circuits of an engine room.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Circuit {
    /// Sea or river water used once.
    RawWater,
    /// Closed-circuit coolant.
    FreshWater,
    /// The engine's lubricating oil.
    Oil,
    /// Combustion gas, and the water mixed into it.
    Exhaust,
    /// The gearbox's own oil.
    GearOil,
    /// Fuel.
    Fuel,
    /// Combustion air and the air of the engine space.
    Air,
    /// What gathers in the bilge, and the way it is pumped overboard.
    Bilge,
    /// Gearbox, shaft, propeller and hull.
    Drive,
    /// Alternators, batteries and the belts that drive things.
    Charging,
    /// Instruments, senders, switches, their wires.
    Gauges,
}

impl Circuit {
    /// Every circuit, in the order pages list them.
    pub const ALL: [Circuit; 11] = [
        Circuit::RawWater,
        Circuit::FreshWater,
        Circuit::Oil,
        Circuit::Exhaust,
        Circuit::GearOil,
        Circuit::Fuel,
        Circuit::Air,
        Circuit::Bilge,
        Circuit::Drive,
        Circuit::Charging,
        Circuit::Gauges,
    ];

    /// The name in a vessel file and on a page.
    pub fn name(self) -> &'static str {
        match self {
            Circuit::RawWater => "raw-water",
            Circuit::FreshWater => "fresh-water",
            Circuit::Oil => "oil",
            Circuit::Exhaust => "exhaust",
            Circuit::GearOil => "gear-oil",
            Circuit::Fuel => "fuel",
            Circuit::Air => "air",
            Circuit::Bilge => "bilge",
            Circuit::Drive => "drive",
            Circuit::Charging => "charging",
            Circuit::Gauges => "gauges",
        }
    }

    /// The name at the head of a list: "Lubricating oil".
    pub fn title(self) -> &'static str {
        match self {
            Circuit::RawWater => "Raw water",
            Circuit::FreshWater => "Fresh water",
            Circuit::Oil => "Lubricating oil",
            Circuit::Exhaust => "Exhaust",
            Circuit::GearOil => "Gear oil",
            Circuit::Fuel => "Fuel",
            Circuit::Air => "Air",
            Circuit::Bilge => "Bilge",
            Circuit::Drive => "Drive",
            Circuit::Charging => "Belts and charging",
            Circuit::Gauges => "Instruments",
        }
    }

    /// Letters on its pipes; none where nothing flows. Common practice, no source.
    pub fn letters(self) -> &'static str {
        match self {
            Circuit::RawWater => "RW",
            Circuit::FreshWater => "FW",
            Circuit::Oil => "LO",
            Circuit::Exhaust => "EX",
            Circuit::GearOil => "GO",
            Circuit::Fuel => "FO",
            Circuit::Air => "AR",
            Circuit::Bilge => "BW",
            Circuit::Drive | Circuit::Charging | Circuit::Gauges => "",
        }
    }

    /// Is it current that flows in it? Then a flow is in amperes, and a pressure is a voltage against ground.
    pub fn is_electric(self) -> bool {
        self == Circuit::Charging
    }

    /// Is it a liquid that flows in it?
    pub fn is_liquid(self) -> bool {
        !self.is_gas() && !self.is_electric()
    }

    /// Is it gas that flows in it?
    pub fn is_gas(self) -> bool {
        matches!(self, Circuit::Exhaust | Circuit::Air)
    }

    /// Does its liquid, or of fuel what is not burnt, come back to where it started?
    pub fn is_closed(self) -> bool {
        matches!(self, Circuit::FreshWater | Circuit::Oil | Circuit::GearOil | Circuit::Fuel)
    }
}

/// One figure of a part.
#[derive(Copy, Clone, Debug)]
pub struct Parameter {
    /// Key in a vessel file; underscores here are hyphens or underscores there.
    pub name: &'static str,
    /// What it is, one sentence, with its unit.
    pub title: &'static str,
    /// What kind of number.
    pub quantity: Quantity,
    /// Lowest and highest that a vessel file may say [SI].
    pub range: (f64, f64),
    /// Value when nothing better is known.
    pub typical: Typical,
    /// How far the typical value may be off.
    pub spread: Spread,
    /// How closely it is believed once it is told.
    pub once_told: OnceTold,
    /// Whether its doubt is of each part by itself (wear, dirt, how full it is) and not of the make, which two parts of one
    /// make have in common.
    pub each: bool,
    /// Where the typical value comes from: a key of SOURCES.md, "common practice, no source" or "from memory".
    pub source: &'static str,
}

/// How closely a figure is believed once the owner told it without a spread.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum OnceTold {
    /// Within some per cent: measured, or worked out.
    Near,
    /// As it stands on a plate.
    Exact,
    /// Exact, and a whole number even if untold.
    Whole,
}

/// A typical value that grows with the engine it serves.
#[derive(Copy, Clone, Debug)]
pub struct Typical {
    /// Value for an engine of 60 kW at 1800 rpm [SI].
    pub value: f64,
    /// Exponent of rated power over 60 kW.
    pub power: f64,
    /// Exponent of rated speed over 1800 rpm.
    pub speed: f64,
    /// Factor on it where coolant runs through what raw water might run through [1].
    pub in_coolant: f64,
    /// Exponent with which it enters the swept volume, which is what is typical of a rating; 0 for all else.
    pub of_swept: f64,
    /// Exponent of the vessel's nominal voltage over 12 V.
    pub volts: f64,
}

impl Typical {
    /// The value for an engine of this rating.
    ///
    /// * `rated_power` [W], `rated_speed` [rad/s], both above 0
    pub fn of(&self, rated_power: f64, rated_speed: f64) -> f64 {
        self.value * (rated_power / REFERENCE_POWER).powf(self.power) * (rated_speed / REFERENCE_SPEED).powf(self.speed)
    }
}

/// Nominal voltage that typical values are written for [V].
pub const REFERENCE_VOLTAGE: f64 = 12.0;
/// Rated power of the engine that typical values are written for [W].
pub const REFERENCE_POWER: f64 = 60e3;
/// Its rated speed, 1800 rpm [rad/s].
pub const REFERENCE_SPEED: f64 = 188.495_559_215_387_6;

/// An inner quantity that the part's laws define.
#[derive(Copy, Clone, Debug)]
pub struct Unknown {
    /// Name, for "engine.speed".
    pub name: &'static str,
    /// What kind of number.
    pub quantity: Quantity,
    /// First guess [SI].
    pub start: f64,
    /// A change that matters [SI]; scales steps and its law's gap.
    pub size: f64,
    /// Bounds [SI].
    pub bounds: (f64, f64),
}

/// A value that must not be passed.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Limit {
    /// Which quantity of the part.
    pub probe: Probe,
    /// The limit [SI; pressures over atmosphere].
    pub value: f64,
    /// Which side is dangerous.
    pub when: When,
    /// Applies only with the engine running.
    pub running_only: bool,
    /// What to do this minute.
    pub act: &'static str,
    /// Where the figure comes from.
    pub source: &'static str,
}
