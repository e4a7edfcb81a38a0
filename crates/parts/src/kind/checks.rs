//! What can be looked at, felt or measured to tell causes apart.

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

/// A check that what is written down makes.
pub(crate) const fn kept(name: &'static str, title: &'static str, finds: &'static [Find]) -> Check {
    let caution = "What nobody wrote down is missing in it.";
    Check { name, title, minutes: 1.0, state: State::Kept, tool: None, caution, finds }
}

/// A line of what a check finds.
pub(crate) const fn find(cause: &'static str, power: &'static str) -> Find {
    Find { cause, power }
}

/// State of the engine a check needs, from least to most trouble.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// Nobody makes it: what is kept of her (ledger, results of a laboratory) says it, or does not.
    Kept,
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
            State::Kept => "from what is written down",
            State::Running => "running",
            State::Idling => "idling, out of gear",
            State::Stopped => "stopped",
            State::StoppedAndShut => "stopped, seacock shut",
            State::StoppedCold => "stopped and cold",
            State::UnderWater => "stopped, key in your pocket, diver or haul-out",
        }
    }
}
