//! What people wrote down on a vessel, out of her store and into it: work done, stock, ledger, samples.
//!
//! The store keeps an entry as an event; what it holds is for `diary` and the crate whose sort it is.

use crate::keeping;
use diary::{Diary, Line, Sort};
use std::path::Path;
use store::{Arrival, Event, Reader, Store, StoreError};

/// Sorts of events that people write, and no machine.
const KINDS: [&str; 5] = ["work", "stock", "ledger", "sample", "trial"];
/// Entries of one sort that are read: in ten years a vessel has some thousands.
const MOST: usize = 200_000;

/// Everything people wrote down.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct History {
    /// In the order written, sort by sort.
    pub lines: Vec<Line>,
    /// What could not be read, in words.
    pub damaged: Vec<String>,
}

impl History {
    /// Of the vessel in this folder, or whose description is this file; nothing if she has no store yet.
    ///
    /// # Errors
    /// If there is a store that cannot be read.
    pub fn of(vessel: &Path) -> Result<History, StoreError> {
        let file = keeping::file(vessel);
        if file.exists() { History::in_store(&Reader::open(&file)?) } else { Ok(History::default()) }
    }

    /// Out of an open store.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn in_store(reader: &Reader) -> Result<History, StoreError> {
        let mut history = History::default();
        for kind in KINDS {
            let events = reader.events(Some(kind), i64::MIN..i64::MAX, MOST)?;
            history.damaged.extend(events.damaged);
            history.lines.extend(events.list.into_iter().map(|noted| line(noted.event)));
        }
        Ok(history)
    }

    /// The entries of one sort: what stands, what was corrected.
    pub fn read<T: Sort>(&self) -> Diary<T> {
        diary::read(&self.lines)
    }
}

/// Writes entries into the store of a vessel, and makes it if there is none; where another program holds it open (her pages
/// are served), they are written beside it, and it sees them. They are on the disk once this has returned.
///
/// # Errors
/// If they cannot be written; then none of them is.
pub fn note(vessel: &Path, lines: &[Line]) -> Result<store::Taken, StoreError> {
    let file = keeping::file(vessel);
    let events: Vec<Event> = lines.iter().cloned().map(event).collect();
    match Store::open(&file) {
        Ok(store) => store.note(events, Arrival::Import)?.wait(),
        Err(StoreError::InUse { .. }) => store::note_beside(&file, &events),
        Err(other) => Err(other),
    }
}

/// An entry as the store takes it.
pub fn event(Line { time, kind, version, body }: Line) -> Event {
    Event { time, kind, version, body }
}

/// An entry as the store gives it.
pub fn line(Event { time, kind, version, body }: Event) -> Line {
    Line { time, kind, version, body }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::{Deserialize, Serialize};

    #[derive(Debug, PartialEq, Serialize, Deserialize)]
    struct Note(String);

    impl Sort for Note {
        const KIND: &'static str = "work";
        const VERSION: u32 = 1;
    }

    #[test]
    fn entries_are_read_back_also_those_written_while_the_store_is_held_open() {
        let folder = tempfile::tempdir().expect("a folder");
        let vessel = folder.path();
        assert_eq!(History::of(vessel).expect("read"), History::default(), "no store yet");
        let first = Line::of(1_000, Some("A"), None, &Note("oil".into()));
        assert_eq!(note(vessel, std::slice::from_ref(&first)).expect("noted").stored, 1);
        let held = Store::open(&keeping::file(vessel)).expect("held open");
        let second = Line::of(1_000, None, Some(&first.key()), &Note("oil and filter".into()));
        note(vessel, &[second]).expect("noted beside it");
        drop(held);
        let diary = History::of(vessel).expect("read").read::<Note>();
        assert_eq!(diary.entries.iter().map(|entry| entry.what.0.as_str()).collect::<Vec<_>>(), ["oil and filter"]);
        assert_eq!(diary.struck[0].entry.what.0, "oil");
    }
}
