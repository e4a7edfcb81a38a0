//! Letting old readings go, and keeping their summaries.

use crate::error::Trouble;
use crate::reading::HOUR;
use rusqlite::{Connection, TransactionBehavior};

/// So many chunks in one commit, so that the log stays short.
const AT_ONCE: usize = 500;

/// Lets go of the readings of hours that ended before a time [ms since 1970]; how many chunks. What came while the clock was
/// not set stays: its times say nothing of its age.
pub(crate) fn drop_before(connection: &mut Connection, before: i64) -> Result<usize, Trouble> {
    let last = before.div_euclid(HOUR);
    let mut gone = 0;
    loop {
        let change = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let chunks: Vec<i64> = change
            .prepare_cached(
                "SELECT c.id FROM chunk c JOIN run r ON r.id = c.run
                 WHERE c.hour < ?1 AND c.times IS NOT NULL AND r.clock <> 1 LIMIT ?2",
            )?
            .query_map((last, AT_ONCE), |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        for id in &chunks {
            change.prepare_cached("DELETE FROM packed WHERE chunk = ?1")?.execute([id])?;
            change
                .prepare_cached("UPDATE chunk SET times = NULL, count = 0, dropped = 1 WHERE id = ?1")?
                .execute([id])?;
        }
        change.commit()?;
        gone += chunks.len();
        if chunks.len() < AT_ONCE {
            break;
        }
    }
    give_back(connection)?;
    Ok(gone)
}

/// Gives room that is free in the file back to the disk.
pub(crate) fn give_back(connection: &Connection) -> Result<(), Trouble> {
    // Each row it hands out is a page.
    let mut vacuum = connection.prepare("PRAGMA incremental_vacuum")?;
    let mut pages = vacuum.query([])?;
    while pages.next()?.is_some() {}
    Ok(())
}
