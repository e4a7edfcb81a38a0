//! What can go wrong, with what to do about it.

use std::path::{Path, PathBuf};

/// Why the store could not do what it was asked.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StoreError {
    /// Another program, or another part of this one, writes to it.
    #[error("{} is being written by another program; close that one first", path.display())]
    InUse {
        /// The store.
        path: PathBuf,
    },
    /// A file of some other sort.
    #[error("{} is no store of readings; move it away or name another file", path.display())]
    NotAStore {
        /// The file.
        path: PathBuf,
    },
    /// Written by a later release.
    #[error("{} has layout {found}, and this program knows up to {known}; use the newer program that wrote it", path.display())]
    Newer {
        /// The store.
        path: PathBuf,
        /// Version of the layout in the file.
        found: i64,
        /// The last version this program knows.
        known: i64,
    },
    /// The disk is full.
    #[error(
        "the disk is full: what was acknowledged is safe, what was given now is not kept; make room and give it again"
    )]
    DiskFull,
    /// A write did not succeed, and the system does not say why.
    #[error(
        "a write failed: what was acknowledged is safe, what was given now is not kept; a quota or a limit of size is reached, or the disk is failing, so see to its room and to a backup"
    )]
    WriteFailed,
    /// The file or the disk may not be written.
    #[error(
        "{} cannot be written: the disk is read-only or the rights are missing; a disk that turned read-only may be failing, so back it up first", path.display()
    )]
    ReadOnly {
        /// The store.
        path: PathBuf,
    },
    /// The file, or its folder, is not there or cannot be opened.
    #[error("{} cannot be opened; see that its folder is there and may be read", path.display())]
    CannotOpen {
        /// The store.
        path: PathBuf,
    },
    /// Something in the file is not as it was written.
    #[error("the store is damaged: {what}; run the check, and restore the last good backup")]
    Damaged {
        /// What is wrong, and where.
        what: String,
    },
    /// No gauge of this name has ever been kept.
    #[error("no gauge `{name}` is in the store")]
    UnknownGauge {
        /// The name asked for.
        name: String,
    },
    /// A series that this store did not give out.
    #[error("series {series} is not of this store; register the gauge first")]
    UnknownSeries {
        /// The number given.
        series: i64,
    },
    /// A resolution that is no resolution.
    #[error("gauge `{name}` has a step of {step} and a zero of {zero}; the step must be above 0 and both finite")]
    BadScale {
        /// The gauge.
        name: String,
        /// Its step.
        step: f64,
        /// Its zero.
        zero: f64,
    },
    /// A reading that does not fit.
    #[error("a reading of {steps} steps at {time} ms is out of range; steps go to 2^40 and times to the year 9999")]
    OutOfRange {
        /// When [ms since 1970].
        time: i64,
        /// How many steps.
        steps: i64,
    },
    /// An event that cannot be kept.
    #[error("an event of kind `{kind}` cannot be kept: {what}")]
    BadEvent {
        /// Its kind.
        kind: String,
        /// What is wrong with it.
        what: String,
    },
    /// There is something already where a backup should go.
    #[error("{} is there already; name another file", path.display())]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The thread that writes has ended.
    #[error("the store is closed")]
    Closed,
    /// What the database or the system says beyond these.
    #[error("the store's file cannot be used: {what}")]
    Failed {
        /// In its words.
        what: String,
    },
}

impl StoreError {
    /// The same in our words, for the store at this path.
    pub(crate) fn of(error: &rusqlite::Error, path: &Path) -> StoreError {
        use rusqlite::ErrorCode;
        let path = path.to_path_buf();
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => StoreError::DiskFull,
            Some(ErrorCode::SystemIoFailure) if failed_to_write(error) => StoreError::WriteFailed,
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => StoreError::ReadOnly { path },
            Some(ErrorCode::CannotOpen) => StoreError::CannotOpen { path },
            Some(ErrorCode::NotADatabase) => StoreError::NotAStore { path },
            Some(ErrorCode::DatabaseCorrupt) => StoreError::Damaged { what: error.to_string() },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::InUse { path },
            _ => StoreError::Failed { what: error.to_string() },
        }
    }

    /// What the system says of a file.
    pub(crate) fn of_file(error: &std::io::Error, path: &Path) -> StoreError {
        use std::io::ErrorKind;
        let path = path.to_path_buf();
        match error.kind() {
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => StoreError::ReadOnly { path },
            ErrorKind::StorageFull => StoreError::DiskFull,
            ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => StoreError::WriteFailed,
            ErrorKind::NotFound => StoreError::CannotOpen { path },
            _ => StoreError::Failed { what: error.to_string() },
        }
    }
}

fn failed_to_write(error: &rusqlite::Error) -> bool {
    use rusqlite::ffi::{SQLITE_IOERR_FSYNC, SQLITE_IOERR_SHMSIZE, SQLITE_IOERR_TRUNCATE, SQLITE_IOERR_WRITE};
    const WRITES: [i32; 4] = [SQLITE_IOERR_WRITE, SQLITE_IOERR_TRUNCATE, SQLITE_IOERR_SHMSIZE, SQLITE_IOERR_FSYNC];
    error.sqlite_extended_error_code().is_some_and(|code| WRITES.contains(&code))
}

/// What the database said, or that a blob is not what was written; the path is added where it is known.
#[derive(Debug)]
pub(crate) enum Trouble {
    Sqlite(rusqlite::Error),
    Damaged(String),
}

impl From<rusqlite::Error> for Trouble {
    fn from(error: rusqlite::Error) -> Trouble {
        Trouble::Sqlite(error)
    }
}

impl Trouble {
    pub(crate) fn at(self, path: &Path) -> StoreError {
        match self {
            Trouble::Sqlite(error) => StoreError::of(&error, path),
            Trouble::Damaged(what) => StoreError::Damaged { what },
        }
    }
}
