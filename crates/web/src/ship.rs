//! What the pages are handed, and what they hand back.

use crate::aboard::{Aboard, Board};
use crate::desk::Desk;
use crate::paper::Press;
use book::facts::Asked;
use diagnosis::hypothesis::What;
use plant::evidence::Named;
use std::sync::Arc;
use tokio::sync::watch::Receiver;
use watch::picture::{Entry, Picture};

/// The vessel as the pages know it.
#[derive(Clone)]
pub struct Ship {
    /// What is so at this moment.
    pub scenes: Receiver<Arc<Scene>>,
    /// Where what people ask goes; false if nobody listens any more.
    pub ask: Arc<dyn Fn(Ask) -> bool + Send + Sync>,
    /// Her wires and her store; nothing where readings are simulated.
    pub board: Option<Arc<dyn Board>>,
    /// What the handbook is made with beside the plant: procedures, history.
    pub asked: Arc<Asked>,
    /// Her tasks and what was written down.
    pub desk: Arc<dyn Desk>,
    /// What sets documents on paper; nothing in a program that was built without it.
    pub press: Option<Arc<Press>>,
}

/// One moment: the picture, and what is known of the simulator behind it, if there is one.
#[derive(Clone)]
pub struct Scene {
    /// What the watching side makes of its readings.
    pub picture: Arc<Picture>,
    /// The simulator; nothing where readings are real.
    pub simulated: Option<Simulated>,
    /// Wires and store; nothing where readings are simulated.
    pub aboard: Option<Arc<Aboard>>,
    /// How much of what was asked has been dealt with.
    pub asked: u64,
}

/// The simulated world, as far as its own page may know it.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Simulated {
    /// Seconds that pass in one [1].
    pub pace: f64,
    /// What was put wrong, if anything is.
    pub wrong: Option<Introduced>,
}

/// Something put wrong in the simulated world.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Introduced {
    /// What.
    pub what: What,
    /// How bad [0 to 1].
    pub severity: f64,
    /// Since when [s].
    pub at: f64,
    /// Drawn for practice: not to be told before it is asked.
    pub hidden: bool,
}

/// What the pages ask.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// A person entered something.
    Entry(Entry),
    /// The simulated world is told something.
    Order(Order),
}

/// What the simulated world can be told.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Order {
    /// Put this wrong.
    Fault {
        /// What.
        what: What,
        /// How bad [0 to 1].
        severity: f64,
    },
    /// Put something wrong that is not told.
    Surprise,
    /// Tell what it is.
    Reveal,
    /// Mend all.
    Mend,
    /// Let so many seconds pass in each [1].
    Pace(f64),
    /// Make a check in the world, and enter what it shows.
    Check {
        /// Part or gauge.
        of: Named,
        /// Place among its kind's checks.
        check: usize,
    },
    /// Make a repair in the world, and enter it if it changes nothing.
    Repair {
        /// Part or gauge.
        of: Named,
        /// A cause that it puts right.
        cause: usize,
    },
}
