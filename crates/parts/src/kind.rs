//! What a kind of part is: the struct that every kind fills in, and nothing else.

use crate::laws::Laws;
use measure::figure::Spread;
use measure::quantity::Quantity;

/// A kind of part, complete: its file is the only place that knows it.
#[derive(Debug)]
pub struct Kind {
    /// The word in a vessel file.
    pub name: &'static str,
    /// The words on a page.
    pub title: &'static str,
    /// The circuit its causes are counted under.
    pub circuit: Circuit,
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
    /// Values that must not be passed, with what to do this minute.
    pub limits: &'static [Limit],
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
    /// Gearbox, shaft, propeller and hull.
    Drive,
    /// Alternators, batteries and the belts that drive things.
    Charging,
    /// Instruments, senders, switches, their wires.
    Gauges,
}

impl Circuit {
    /// Every circuit, in the order pages list them.
    pub const ALL: [Circuit; 10] = [
        Circuit::RawWater,
        Circuit::FreshWater,
        Circuit::Oil,
        Circuit::Exhaust,
        Circuit::GearOil,
        Circuit::Fuel,
        Circuit::Air,
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
            Circuit::Drive => "drive",
            Circuit::Charging => "charging",
            Circuit::Gauges => "gauges",
        }
    }

    /// Does its liquid come back to where it started?
    pub fn is_closed(self) -> bool {
        matches!(self, Circuit::FreshWater | Circuit::Oil | Circuit::GearOil)
    }
}

/// One way through a part for one liquid or gas; or, where both ends are the same port, a pool.
#[derive(Copy, Clone, Debug)]
pub struct Passage {
    /// Name, for "exchanger.raw".
    pub name: &'static str,
    /// The circuits it can belong to.
    pub carries: &'static [Circuit],
    /// Where it begins.
    pub from: End,
    /// Where it ends.
    pub to: End,
}

/// An end of a passage.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum End {
    /// A port that other parts join on to.
    Port(&'static str),
    /// The sea outside the hull, at the depth of the opening.
    Sea,
    /// The open air (and, for an outlet above water, the sea's surface).
    Air,
    /// Into the node of another port of this part without joining its balance: water sprayed into exhaust gas.
    Into(&'static str),
}

impl Passage {
    /// A pool is one node with a pressure of its own (a sump, a header tank), not a way through.
    pub fn is_pool(&self) -> bool {
        matches!((self.from, self.to), (End::Port(a), End::Port(b)) if a == b)
    }
}

/// A way through from port `from` to port `to`.
pub const fn passage(
    name: &'static str,
    carries: &'static [Circuit],
    from: &'static str,
    to: &'static str,
) -> Passage {
    Passage { name, carries, from: End::Port(from), to: End::Port(to) }
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
    /// Where the typical value comes from: a key of SOURCES.md, "common practice, no source" or "from memory".
    pub source: &'static str,
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
}

impl Typical {
    /// The value for an engine of this rating.
    ///
    /// * `rated_power` [W], `rated_speed` [rad/s], both above 0
    pub fn of(&self, rated_power: f64, rated_speed: f64) -> f64 {
        self.value * (rated_power / REFERENCE_POWER).powf(self.power) * (rated_speed / REFERENCE_SPEED).powf(self.speed)
    }
}

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

/// A quantity of another part that a law reads.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Link {
    /// Speed of whatever turns this part (its `driven_by`, else the engine) [rad/s]; 0 if nothing does.
    DriverSpeed,
    /// An unknown of the engine this part serves, by name.
    Engine(&'static str),
    /// How hard the load is to turn against a clean hull: the propeller's `demand` [1]; 1 if there is none.
    Demand,
    /// Water injected upstream of this exhaust part [kg/s]; 0 before the elbow or in a dry exhaust.
    Injected,
    /// Sum of the unknowns of this name of every part upstream in the same circuit (air drawn in, fuel in the oil).
    Upstream(&'static str),
}

/// A way a part fails, or a changed circumstance.
#[derive(Copy, Clone, Debug)]
pub struct Cause {
    /// The word in evidence and answers.
    pub name: &'static str,
    /// One clause for a page, "port strainer blocked".
    pub title: &'static str,
    /// What it moves in the model, if anything.
    pub moves: &'static [Move],
    /// How bad it is when somebody notices.
    pub severity: Severity,
    /// Words it makes people say that no model quantity explains, with the chance that they say it.
    pub says: &'static [Says],
    /// How it makes a gauge or an alarm lie, if the part is one.
    pub misreads: Option<Misreads>,
    /// Key in the table of failure rates.
    pub rate: &'static str,
    /// What cures it; causes with the same remedy on a part need not be told apart.
    pub remedy: &'static str,
}

/// How a faulty gauge, sender or wire falsifies what it shows.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Misreads {
    /// Too high, by anything up to a third of the scale.
    High,
    /// Too low, by anything up to a third of the scale.
    Low,
    /// Wrong either way.
    Either,
    /// At the low stop: open wire, dead sender.
    LowStop,
    /// At the high stop: grounded wire.
    HighStop,
    /// An alarm that speaks though nothing is wrong.
    CriesWolf,
    /// An alarm that keeps silent.
    Silent,
}

/// How severity is spread when the cause is there.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Severity {
    /// From slight to total, all alike.
    Even,
    /// More often slight.
    MostlySlight,
    /// More often bad by the time it is noticed.
    MostlyBad,
    /// There or not.
    Whole,
}

/// How a cause of severity s (0 to 1) moves one parameter.
#[derive(Copy, Clone, Debug)]
pub struct Move {
    /// Whose parameter.
    pub on: Whose,
    /// Which parameter.
    pub parameter: &'static str,
    /// How.
    pub by: By,
}

/// Whose parameter a cause moves.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Whose {
    /// The part's own.
    Own,
    /// The next part of one of these kinds downstream in the same circuit: where the pieces end up.
    Downstream(&'static [&'static str]),
    /// Every part of this kind (wrong oil, hot sea).
    Kind(&'static str),
}

/// The law of a move in severity s.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum By {
    /// Times this factor at s = 1, geometric in between.
    Factor(f64),
    /// A resistance whose free area is down to 1 − s: times 1/(1 − 0.995 s)².
    Blocked,
    /// The same for a gas way, which an engine cannot run through once it is nearly shut: times 1/(1 − 0.94 s)².
    Choked,
    /// Times 1 − s (never quite zero).
    Lost,
    /// Plus s times this [SI].
    Add(f64),
    /// Towards this value, all the way at s = 1 [SI].
    Towards(f64),
}

/// A word that a cause makes people say.
#[derive(Copy, Clone, Debug)]
pub struct Says {
    /// Kind of part the word belongs to; "" for the cause's own part.
    pub kind: &'static str,
    /// The word.
    pub word: &'static str,
    /// Chance that it is there to be noticed.
    pub chance: f64,
}

/// A word of the cause's own part.
pub const fn says(word: &'static str, chance: f64) -> Says {
    Says { kind: "", word, chance }
}

/// A word of another kind of part.
pub const fn says_of(kind: &'static str, word: &'static str, chance: f64) -> Says {
    Says { kind, word, chance }
}

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
    /// Of an alarm: whether the quantity at its tap is past its trip point.
    Trip,
    /// A quantity as it is.
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

/// A check: something to look at, feel or measure that tells causes apart.
#[derive(Copy, Clone, Debug)]
pub struct Check {
    /// The word in evidence, "open_and_look".
    pub name: &'static str,
    /// One line for a page, in the imperative.
    pub title: &'static str,
    /// Minutes it takes.
    pub minutes: f64,
    /// State of the engine it needs.
    pub state: State,
    /// Tools, if any.
    pub tool: Option<&'static str>,
    /// The one line at the step that bites.
    pub caution: &'static str,
    /// Which causes of this part it finds.
    pub finds: &'static [Find],
}

/// What a check finds.
#[derive(Copy, Clone, Debug)]
pub struct Find {
    /// A cause of the same part (or, as "kind/cause", of another kind).
    pub cause: &'static str,
    /// Key in the table of check powers: miss and false alarm.
    pub power: &'static str,
}

/// State of the engine a check needs, from least to most trouble.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Under way, nothing changes.
    Running,
    /// Idling out of gear.
    Idling,
    /// Stopped, still hot.
    Stopped,
    /// Stopped and a sea valve shut.
    StoppedAndShut,
    /// Stopped and cold.
    StoppedCold,
    /// Diver or haul-out.
    UnderWater,
}

impl State {
    /// The words on a page.
    pub fn words(self) -> &'static str {
        match self {
            State::Running => "running",
            State::Idling => "idling, out of gear",
            State::Stopped => "stopped",
            State::StoppedAndShut => "stopped, seacock shut",
            State::StoppedCold => "stopped and cold",
            State::UnderWater => "stopped, key in your pocket, diver or haul-out",
        }
    }
}

/// A value that must not be passed.
#[derive(Copy, Clone, Debug)]
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
