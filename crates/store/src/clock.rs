//! Runs of the clock: as long as it goes on it is one run; once it is put back, or set, another begins. So a jump costs no
//! order: each run is in order by itself, and what is doubtful stays told apart.

use crate::error::Trouble;
use crate::reading::Clock;
use rusqlite::{Connection, OptionalExtension, params};

/// Before the year 2000 no clock of a vessel was set [ms since 1970].
const SET: i64 = 946_684_800_000;
/// Readings by several wires may overtake each other by so much [ms].
const OVERTAKEN: i64 = 10_000;

/// The run readings come in now.
#[derive(Clone, Debug)]
pub(crate) struct Runs {
    /// Run and its clock; none before the first live reading.
    now: Option<(i64, Clock)>,
    /// The latest time in it [ms since 1970].
    latest: i64,
    last_number: i64,
}

impl Runs {
    /// Goes on where the file ends.
    pub(crate) fn read(connection: &Connection) -> Result<Runs, Trouble> {
        let last: Option<(i64, i64, i64)> = connection
            .query_row("SELECT id, clock, began FROM run WHERE id > 0 ORDER BY id DESC LIMIT 1", [], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })
            .optional()?;
        let Some((run, clock, began)) = last else { return Ok(Runs { now: None, latest: 0, last_number: 0 }) };
        let open: Option<i64> =
            connection.query_row("SELECT max(time) FROM open_reading WHERE run = ?1", [run], |row| row.get(0))?;
        let sealed = crate::chunk::latest_of(connection, run)?;
        let noted: Option<i64> =
            connection.query_row("SELECT max(time) FROM event WHERE run = ?1", [run], |row| row.get(0))?;
        let latest = [open, sealed, noted, Some(began)].into_iter().flatten().max().unwrap_or(began);
        Ok(Runs { now: Some((run, code(clock))), latest, last_number: run })
    }

    /// The run of a live reading; a new one is written down when the clock was put back or set.
    pub(crate) fn of(&mut self, connection: &Connection, time: i64) -> Result<i64, Trouble> {
        let unset = time < SET;
        let put_back = self.now.is_some() && time < self.latest - OVERTAKEN;
        match self.now {
            Some((run, clock)) if !put_back && unset == (clock == Clock::Unset) => {
                self.latest = self.latest.max(time);
                Ok(run)
            }
            _ => {
                let clock = match (unset, put_back) {
                    (true, _) => Clock::Unset,
                    (false, true) => Clock::PutBack,
                    (false, false) => Clock::Sound,
                };
                let (run, before) = (self.last_number + 1, self.now.map(|_| self.latest));
                connection
                    .prepare_cached("INSERT INTO run (id, clock, began, before) VALUES (?1, ?2, ?3, ?4)")?
                    .execute(params![run, number(clock), time, before])?;
                *self = Runs { now: Some((run, clock)), latest: time, last_number: run };
                Ok(run)
            }
        }
    }
}

fn number(clock: Clock) -> i64 {
    match clock {
        Clock::Sound => 0,
        Clock::Unset => 1,
        Clock::PutBack => 2,
    }
}

/// The clock of a run, as the file has it.
pub(crate) fn code(number: i64) -> Clock {
    match number {
        1 => Clock::Unset,
        2 => Clock::PutBack,
        _ => Clock::Sound,
    }
}
