//! The file's layout, its versions, and how an older one becomes the present one. `docs/storage.md` tells it in words.

use crate::error::{StoreError, Trouble};
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use std::path::Path;

/// "Bdpl": says whose file it is.
pub(crate) const APPLICATION: i64 = 0x4264_706C;

/// What makes each version of the one before it, the first from nothing. A version that was released is never changed.
pub(crate) const VERSIONS: [&str; 2] = [
    "
CREATE TABLE feed (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
CREATE TABLE series (
    id INTEGER PRIMARY KEY,
    gauge TEXT NOT NULL,
    feed INTEGER NOT NULL REFERENCES feed,
    step REAL NOT NULL,
    zero REAL NOT NULL,
    UNIQUE (gauge, feed, step, zero));
CREATE TABLE run (id INTEGER PRIMARY KEY, clock INTEGER NOT NULL, began INTEGER, before INTEGER);
INSERT INTO run VALUES (0, 0, NULL, NULL);
CREATE TABLE open_reading (
    time INTEGER NOT NULL,
    series INTEGER NOT NULL REFERENCES series,
    steps INTEGER NOT NULL,
    run INTEGER NOT NULL REFERENCES run,
    PRIMARY KEY (time, series, steps)) WITHOUT ROWID;
CREATE TABLE chunk (
    id INTEGER PRIMARY KEY,
    feed INTEGER NOT NULL REFERENCES feed,
    run INTEGER NOT NULL REFERENCES run,
    hour INTEGER NOT NULL,
    dropped INTEGER NOT NULL,
    count INTEGER NOT NULL,
    times BLOB,
    crc INTEGER NOT NULL,
    UNIQUE (feed, run, hour));
CREATE TABLE packed (
    id INTEGER PRIMARY KEY,
    chunk INTEGER NOT NULL REFERENCES chunk,
    series INTEGER NOT NULL REFERENCES series,
    count INTEGER NOT NULL,
    slots BLOB,
    least INTEGER,
    steps BLOB NOT NULL,
    crc INTEGER NOT NULL,
    UNIQUE (chunk, series));
CREATE TABLE summary (
    id INTEGER PRIMARY KEY,
    series INTEGER NOT NULL REFERENCES series,
    width INTEGER NOT NULL,
    page INTEGER NOT NULL,
    count INTEGER NOT NULL,
    slots BLOB NOT NULL,
    counts BLOB NOT NULL,
    lows BLOB NOT NULL,
    spreads BLOB NOT NULL,
    excesses BLOB NOT NULL,
    crc INTEGER NOT NULL,
    UNIQUE (series, width, page));
",
    "
CREATE TABLE event (
    id INTEGER PRIMARY KEY,
    time INTEGER NOT NULL,
    run INTEGER NOT NULL REFERENCES run,
    kind TEXT NOT NULL,
    version INTEGER NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    crc INTEGER NOT NULL);
CREATE INDEX event_by_time ON event (time, kind);
CREATE TRIGGER event_is_not_changed BEFORE UPDATE ON event
    BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
CREATE TRIGGER event_is_not_removed BEFORE DELETE ON event
    BEGIN SELECT RAISE(ABORT, 'events are never removed'); END;
",
];

/// Opens the file for writing, makes it if it is not there, and brings it to the present version.
pub(crate) fn open_to_write(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(|e| StoreError::of(&e, path))?;
    prepare(&mut connection, path)?;
    Ok(connection)
}

fn prepare(connection: &mut Connection, path: &Path) -> Result<(), StoreError> {
    let sqlite = |error: rusqlite::Error| StoreError::of(&error, path);
    let fresh = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0));
    if fresh.map_err(sqlite)? == 0 {
        // Before the first table: later they would need the whole file to be written anew.
        connection
            .execute_batch(&format!(
                "PRAGMA page_size = 8192; PRAGMA auto_vacuum = INCREMENTAL; PRAGMA application_id = {APPLICATION};"
            ))
            .map_err(sqlite)?;
    }
    version(connection, path)?;
    // FULL: a commit has returned only once the log is on the disk itself.
    connection
        .execute_batch(
            "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA fullfsync = ON;
             PRAGMA busy_timeout = 5000; PRAGMA cache_size = -32000; PRAGMA temp_store = MEMORY;",
        )
        .map_err(sqlite)?;
    migrate(connection, &VERSIONS).map_err(|trouble| trouble.at(path))
}

/// The file's version, if it is a store and not newer than this program.
pub(crate) fn version(connection: &Connection, path: &Path) -> Result<i64, StoreError> {
    let pragma = |name: &str| {
        connection
            .query_row(&format!("PRAGMA {name}"), [], |row| row.get::<_, i64>(0))
            .map_err(|error| StoreError::of(&error, path))
    };
    if pragma("application_id")? != APPLICATION {
        return Err(StoreError::NotAStore { path: path.to_path_buf() });
    }
    let (found, known) = (pragma("user_version")?, VERSIONS.len() as i64);
    if found > known {
        return Err(StoreError::Newer { path: path.to_path_buf(), found, known });
    }
    Ok(found)
}

/// Brings the file from its version to the last of these, all or nothing.
fn migrate(connection: &mut Connection, versions: &[&str]) -> Result<(), Trouble> {
    let found: i64 = connection.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    if found >= versions.len() as i64 {
        return Ok(());
    }
    let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    for step in &versions[usize::try_from(found).unwrap_or(0)..] {
        change.execute_batch(step)?;
    }
    change.pragma_update(None, "user_version", versions.len() as i64)?;
    Ok(change.commit()?)
}

/// Opens a file that is there and of the present version, to write a little into it while another program may hold it open.
pub(crate) fn open_beside(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags).map_err(|e| StoreError::of(&e, path))?;
    let (found, known) = (version(&connection, path)?, VERSIONS.len() as i64);
    if found < known {
        return Err(StoreError::InUse { path: path.to_path_buf() });
    }
    let setting = "PRAGMA synchronous = FULL; PRAGMA fullfsync = ON; PRAGMA busy_timeout = 5000;";
    connection.execute_batch(setting).map_err(|error| StoreError::of(&error, path))?;
    Ok(connection)
}

/// Opens the file for reading only.
pub(crate) fn open_to_read(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX | OpenFlags::SQLITE_OPEN_URI;
    let open = |name: &Path| -> Result<Connection, rusqlite::Error> {
        let connection = Connection::open_with_flags(name, flags)?;
        connection.execute_batch("PRAGMA busy_timeout = 5000; PRAGMA cache_size = -16000; PRAGMA mmap_size = 0;")?;
        // Opening alone reads nothing yet.
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()))?;
        Ok(connection)
    };
    let connection = open(path).or_else(|error| match (error.sqlite_error_code(), path.to_str()) {
        // On a read-only disk the log's index cannot be made; without a log there is none to miss.
        (Some(rusqlite::ErrorCode::CannotOpen | rusqlite::ErrorCode::ReadOnly), Some(name)) if no_log(path) => {
            let escaped = name.replace('%', "%25").replace('?', "%3f").replace('#', "%23");
            open(Path::new(&format!("file:{escaped}?immutable=1")))
        }
        _ => Err(error),
    });
    let connection = connection.map_err(|error| StoreError::of(&error, path))?;
    version(&connection, path)?;
    Ok(connection)
}

/// The file with something put after its name.
pub(crate) fn beside(path: &Path, ending: &str) -> std::path::PathBuf {
    let mut name = path.as_os_str().to_os_string();
    name.push(ending);
    name.into()
}

fn no_log(path: &Path) -> bool {
    path.exists() && std::fs::metadata(beside(path, "-wal")).map_or(true, |log| log.len() == 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_older_file_is_taken_through_every_version_once_and_a_failing_step_changes_nothing() {
        let mut connection = Connection::open_in_memory().expect("memory");
        let (first, second) =
            ("CREATE TABLE a (x); INSERT INTO a VALUES (1);", "ALTER TABLE a ADD COLUMN y DEFAULT 7;");
        migrate(&mut connection, &[first]).expect("version 1");
        assert!(migrate(&mut connection, &[first, second, "not SQL"]).is_err());
        let read = |c: &Connection, what: &str| c.query_row(what, [], |row| row.get::<_, i64>(0));
        assert_eq!(read(&connection, "PRAGMA user_version"), Ok(1));
        assert!(read(&connection, "SELECT y FROM a").is_err());
        for _ in 0..2 {
            migrate(&mut connection, &[first, second]).expect("version 2");
            assert_eq!(read(&connection, "PRAGMA user_version"), Ok(2));
            assert_eq!(read(&connection, "SELECT x * 10 + y FROM a"), Ok(17));
        }
    }
}
