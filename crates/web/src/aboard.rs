//! What stands behind the pages of a real vessel: her wires, and what is kept.

use plant::plant::GaugeId;

/// Wires and store at one moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aboard {
    /// By the machine's clock, when the picture's clock stood at `at` [ms since 1970, UTC].
    pub time: i64,
    /// On the picture's clock [s].
    pub at: f64,
    /// Each wire.
    pub wires: Vec<Wire>,
    /// What is kept.
    pub kept: Kept,
}

/// A wire.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// How it is spoken of.
    pub name: String,
    /// Where it is heard.
    pub place: String,
    /// Whether anything is heard.
    pub state: WireState,
    /// Lines and frames so far.
    pub lines: u64,
    /// Values of the vessel's gauges so far.
    pub values: u64,
}

/// Whether a wire is heard.
#[derive(Clone, Debug, PartialEq)]
pub enum WireState {
    /// So long ago [s].
    Heard(f64),
    /// Nothing comes.
    Silent {
        /// Since when, as the day is told on the wall: "14:05".
        since: String,
        /// For so long [s].
        long: f64,
        /// What the machine says of it, if it says anything.
        why: Option<String>,
    },
    /// A recording that has been played to its end.
    Ended,
}

/// What is kept.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kept {
    /// Readings on the disk since the program began.
    pub stored: u64,
    /// Readings heard of a gauge beyond what is kept in a second.
    pub thinned: u64,
    /// Readings that could not be kept.
    pub lost: u64,
    /// Why nothing is kept at this moment; nothing if all is well.
    pub trouble: Option<String>,
}

impl Aboard {
    /// What is wrong with wires and store, a few words each; most pages say no more of them.
    pub fn troubles(&self) -> Vec<String> {
        let silent = self.wires.iter().filter_map(|wire| match &wire.state {
            WireState::Silent { since, long, .. } => {
                Some(format!("{} silent since {since}, {}", wire.name, crate::page::long(*long)))
            }
            WireState::Ended => Some(format!("{} has been played to its end", wire.name)),
            WireState::Heard(_) => None,
        });
        silent.chain(self.kept.trouble.as_ref().map(|_| "nothing is kept".to_string())).collect()
    }
}

/// What is behind the pages beside the scene: asked only when somebody looks, or another program gives readings.
pub trait Board: Send + Sync {
    /// What is heard on each wire.
    fn heard(&self) -> Vec<HeardOn>;

    /// Takes in what another program read, and waits until it is on the disk.
    ///
    /// # Errors
    /// [`Unkept`], and then none of them is kept.
    fn give(&self, readings: Vec<Given>) -> Result<Taken, Unkept>;

    /// The machine's clock [ms since 1970, UTC].
    fn time(&self) -> i64;
}

/// What is heard on a wire.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeardOn {
    /// How it is spoken of.
    pub wire: String,
    /// Each gauge heard here: its name, which value it is, what it read last, when.
    pub gauges: Vec<[String; 4]>,
    /// Lines for the description, of what no gauge reads yet.
    pub free: String,
    /// What could not be used, a line each.
    pub faults: String,
}

/// A reading of another program's.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Given {
    /// Which gauge.
    pub gauge: GaugeId,
    /// Value [SI; pressures over the atmosphere]; of an alarm 1 when it is on and 0 when it is off.
    pub value: f64,
    /// When it was read [ms since 1970, UTC]; now, where it is not said.
    pub time: Option<i64>,
}

/// What came of readings that were given.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    /// Kept, and on the disk.
    pub stored: usize,
    /// There already: the same value of the same gauge at the same time.
    pub repeated: usize,
    /// Of an hour whose single readings were let go.
    pub too_old: usize,
}

/// Why readings are not kept, in the owner's words; they are watched all the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Unkept(pub String);
