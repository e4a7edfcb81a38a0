//! What lies on the desk of a vessel: her service tasks, what was written down, what is due. Who hands the pages out says
//! what it is, and keeps what is written.

use diary::{Diary, Line};
use ledger::Ledger;
use ledger::told::Told;
use plant::plant::{PartId, Plant};
use samples::Results;
use setup::known::Sections;
use spares::{Stock, Stores};
use std::sync::Arc;
use work::due::List;
use work::record::{Kept, Record};
use work::risk::Risk;
use work::task::Task;

/// Tasks, records and what follows from them, at one moment.
pub struct Worked {
    /// The vessel.
    pub plant: Arc<Plant>,
    /// Her service tasks.
    pub tasks: Vec<Task>,
    /// What was done and what happened.
    pub records: Diary<Record>,
    /// What each hour meter showed: times [ms since 1970, UTC] and running hours [h].
    pub meters: Vec<(PartId, Vec<(i64, f64)>)>,
    /// Fuel, oil, coolant and hours.
    pub ledger: Ledger,
    /// Her tanks, and what she burns, as told.
    pub tanks: Told,
    /// What her texts tell for the set-up jobs.
    pub sections: Sections,
    /// What the laboratory found.
    pub results: Results,
    /// What is due.
    pub list: List,
    /// What nobody knows or is past, the greatest risk first.
    pub risks: Vec<Risk>,
    /// What is described as kept aboard.
    pub stores: Arc<Stores>,
    /// What of it is there.
    pub stock: Stock,
    /// When this was worked out [ms since 1970, UTC].
    pub now: i64,
    /// Everything people wrote down, of every sort, in the order written.
    pub lines: Vec<Line>,
    /// What could not be read, in words.
    pub unread: Vec<String>,
    /// It is invented: the demonstration's.
    pub invented: bool,
}

/// The desk itself. Asked on a thread of its own, for it may look at a disk.
pub trait Desk: Send + Sync {
    /// How it all stands; worked out again when something was written, and when a day has passed.
    ///
    /// # Errors
    /// Why it cannot be told, in the owner's words.
    fn worked(&self) -> Result<Arc<Worked>, String>;

    /// The day's clock [ms since 1970, UTC].
    fn now(&self) -> i64;

    /// Writes an entry down; it is on the disk once this has returned.
    ///
    /// # Errors
    /// Why it could not be written, in the owner's words; then it is not.
    fn note(&self, line: Line) -> Result<(), String>;

    /// Keeps a photo or a file.
    ///
    /// # Errors
    /// Why it could not be kept.
    fn keep(&self, name: &str, bytes: &[u8]) -> Result<Kept, String>;

    /// What was kept.
    ///
    /// # Errors
    /// Why it cannot be had: gone, or changed since.
    fn kept(&self, file: &Kept) -> Result<Vec<u8>, String>;
}
