//! The picture: what is so at this moment, as far as can be told. Plain data, never changed once made.

use crate::escape::Unseen;
use crate::recent::STALE;
use alerts::{Board, Change, Deed, Group};
use diagnosis::act::Act;
use diagnosis::explain::Answer;
use diagnosis::hypothesis::What;
use model::expect::{Band, Expected};
use parts::laws::Point;
use plant::evidence::{CheckMade, Named, Renewal, Said, Situation};
use plant::plant::{GaugeId, Plant};
use std::collections::VecDeque;
use std::sync::Arc;

/// One picture.
#[derive(Clone)]
pub struct Picture {
    /// The vessel it is of.
    pub plant: Arc<Plant>,
    /// Counts up with every picture.
    pub number: u64,
    /// When it was made, on the clock that readings are stamped by [s].
    pub at: f64,
    /// Every reading is made up by a simulator.
    pub simulated: bool,
    /// Speed, load, sea and air as far as they are read, the rest as usual there; nothing before the first reading.
    pub point: Option<Point<f64>>,
    /// Whether readings can be held against a steady state.
    pub steadiness: Steadiness,
    /// One for each gauge and alarm of the plant, in its order.
    pub gauges: Vec<Gauged>,
    /// Where each gauge of a sound plant reads between slow and full speed, in gear or not [SI]; empty if it has no state
    /// there.
    pub reach: Arc<[(f64, f64)]>,
    /// A sound plant at this point, with its bands and what makes them wide; nothing before it is worked out.
    pub expected: Option<Arc<Expected>>,
    /// Every alert, and where it stands.
    pub alerts: Arc<Board>,
    /// Which of them belong together: those of one cause.
    pub groups: Arc<[Group]>,
    /// The last changes of alerts, the oldest first.
    pub history: Arc<VecDeque<Change>>,
    /// What to do this minute, most urgent first: fixed limits and dangers, whatever the odds.
    pub act: Vec<Act>,
    /// What came of weighing causes last; nothing before the first time.
    pub explained: Option<Arc<Explained>>,
    /// Causes are being weighed again at this moment.
    pub weighing: bool,
    /// The odds were against all being well once; it is weighed once more before anything is named.
    pub suspected: bool,
    /// Words that were entered, and whether what they say is there or was looked for in vain.
    pub said: Vec<(Said, bool)>,
    /// Checks that were entered.
    pub checks: Vec<CheckMade>,
    /// Repairs that were entered.
    pub repairs: Vec<Renewal>,
    /// Where she is, as entered or else as her engine tells.
    pub situation: Situation,
    /// What these gauges would not show.
    pub unseen: Unseen,
}

/// Whether the plant has settled.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Steadiness {
    /// Nothing was read yet.
    Unknown,
    /// Stopped.
    Stopped,
    /// Readings have kept still for so long [s].
    Steady(f64),
    /// Speed, sea or a reading has moved lately; it has been settling for so long [s].
    Settling(f64),
}

/// A gauge or alarm: what it shows and what it should show.
#[derive(Copy, Clone, Debug)]
pub struct Gauged {
    /// Which.
    pub gauge: GaugeId,
    /// What it shows, and when that was read.
    pub reading: Option<Shown>,
    /// What a sound plant would show at this point; nothing for alarms, and before it is worked out.
    pub band: Option<Band>,
}

impl Gauged {
    /// What it shows [SI], if that is not stale.
    pub fn fresh(&self, at: f64) -> Option<f64> {
        self.reading.filter(|shown| at - shown.at <= STALE).map(|shown| shown.value)
    }
}

/// A reading.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Shown {
    /// Value [SI; pressures over the atmosphere]; of an alarm 1 when it is on and 0 when it is off.
    pub value: f64,
    /// When it was read [s].
    pub at: f64,
}

/// Evidence and what was made of it.
#[derive(Clone)]
pub struct Explained {
    /// When it was worked out [s].
    pub at: f64,
    /// From what, the odds and the checks.
    pub answer: Answer,
    /// What was named when causes were weighed before: it stays named until another is clearly likelier.
    pub held: Option<What>,
    /// Which gauges each of the likeliest causes moves out of their bands where she is run now.
    pub moves: Vec<(What, Vec<GaugeId>)>,
}

/// Something a person enters.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// A check was made: of what, which of its kind's checks, and the cause of its own kind it showed; nothing found is
    /// clean.
    Checked {
        /// Part or gauge.
        of: Named,
        /// Place among its kind's checks.
        check: usize,
        /// What it showed.
        found: plant::evidence::Found,
    },
    /// Something was seen, felt, heard or smelt; or looked for in vain.
    Said {
        /// Part or gauge.
        of: Named,
        /// Place among its kind's words.
        word: usize,
        /// Whether it is there.
        there: bool,
    },
    /// What was said, or looked for in vain, is taken back.
    Unsaid {
        /// Part or gauge.
        of: Named,
        /// Place among its kind's words.
        word: usize,
    },
    /// A check is taken back.
    Unchecked {
        /// Part or gauge.
        of: Named,
        /// Place among its kind's checks.
        check: usize,
    },
    /// A repair was made, and this is what it changed; the whole part, or what of it this word says.
    Repaired(Renewal),
    /// A repair is taken back.
    Unrepaired {
        /// Part or gauge.
        of: Named,
        /// What of it.
        what: String,
    },
    /// Where she is, for what can be done there.
    Situated(Situation),
    /// An alert was seen, held, or a gauge taken out.
    Alert(Deed),
    /// Everything entered is taken back.
    Cleared,
}
