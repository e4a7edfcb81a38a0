//! Backup and restore.

use crate::error::StoreError;
use crate::reader::Reader;
use crate::schema::{self, beside};
use rusqlite::Connection;
use rusqlite::backup::Backup;
use std::path::Path;

impl Reader {
    /// Copies the store as it is at this moment to a new file, while it is written.
    ///
    /// # Errors
    /// If there is a file of that name, or it cannot be written.
    pub fn backup(&self, to: &Path) -> Result<(), StoreError> {
        if to.exists() {
            return Err(StoreError::Exists { path: to.to_path_buf() });
        }
        let from = schema::open_to_read(self.path())?;
        let unfinished = beside(to, ".unfinished");
        copy(&from, &unfinished)?;
        std::fs::rename(&unfinished, to).map_err(|error| StoreError::of_file(&error, to))
    }
}

/// Puts a backup in the place of a store that nobody has open. What was there is kept beside it as `….before-restore`.
///
/// # Errors
/// If the backup is no sound store, the store is open, or a file cannot be written; then nothing has changed.
pub fn restore(backup: &Path, to: &Path) -> Result<(), StoreError> {
    let _alone = crate::alone(to)?;
    let health = Reader::open(backup)?.check()?;
    if let Some(first) = health.problems.first() {
        return Err(StoreError::Damaged { what: format!("the backup itself: {first}") });
    }
    let unfinished = beside(to, ".unfinished");
    copy(&schema::open_to_read(backup)?, &unfinished)?;
    let file = |error: std::io::Error| StoreError::of_file(&error, to);
    // The log of the old file goes with it: on the new one it would be another's.
    for ending in ["-wal", "-shm", ""] {
        let old = beside(to, ending);
        if old.exists() {
            std::fs::rename(&old, beside(&beside(to, ".before-restore"), ending)).map_err(file)?;
        }
    }
    std::fs::rename(&unfinished, to).map_err(file)
}

/// Copies in one go: step by step, a store that is being written would begin again each time.
fn copy(from: &Connection, to: &Path) -> Result<(), StoreError> {
    let copied = || -> rusqlite::Result<()> {
        if to.exists() {
            // Left by a copy that was cut off.
            drop(std::fs::remove_file(to));
        }
        let mut into = Connection::open(to)?;
        into.execute_batch("PRAGMA synchronous = FULL;")?;
        Backup::new(from, &mut into)?.step(-1)?;
        // As one file, with no log beside it.
        into.query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))
    };
    copied().map_err(|error| {
        drop(std::fs::remove_file(to));
        StoreError::of(&error, to)
    })
}
