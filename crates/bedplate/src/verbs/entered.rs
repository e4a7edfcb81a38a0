//! What the verbs have in common by which something is written down: when it was, and which entry it stands for instead.

use crate::clocks::day_now;
use crate::stop::Stop;
use crate::verbs::export::moment;
use clap::Args;
use diary::{Diary, Entry, Key, Line, Sort};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use live::history;
use std::path::Path;

/// Letters of a key that are shown, and least that are taken.
const SHOWN: usize = 8;
const LEAST: usize = 4;

/// What is told of an entry beside what it holds.
#[derive(Args)]
pub struct Entered {
    /// When it was, such as "2026-05-03 14:00"; now, if left out
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,
    /// Which clock times without a zone are of: UTC, +02:00, Europe/Lisbon; left out, this machine's
    #[arg(long)]
    pub zone: Option<String>,
    /// Who writes it down
    #[arg(long, value_name = "NAME")]
    pub who: Option<String>,
    /// The entry with this key is wrong, and what is told here stands instead; the old one is kept
    #[arg(long, value_name = "KEY")]
    pub correct: Option<String>,
    /// The entry with this key is taken back; it is kept, and no longer counts
    #[arg(long, value_name = "KEY", conflicts_with = "correct")]
    pub take_back: Option<String>,
}

impl Entered {
    /// When it was [ms since 1970, UTC].
    pub fn time(&self) -> Result<i64, Stop> {
        self.clock()?;
        self.at.as_deref().map_or_else(|| Ok(day_now()), |text| self.moment(text, "--at"))
    }

    /// A time that is told somewhere [ms since 1970, UTC].
    pub fn moment(&self, text: &str, place: &str) -> Result<i64, Stop> {
        moment(text, place, &self.clock()?)
    }

    fn clock(&self) -> Result<TimeZone, Stop> {
        let Some(text) = &self.zone else { return Ok(TimeZone::system()) };
        intake::clock::zone(text, |name| TimeZone::get(name).ok())
            .ok_or_else(|| Stop::BadInput(format!("--zone: fault: `{text}` is no zone known here\n  Write +02:00.")))
    }

    /// The entry it stands for instead, if one is named.
    pub fn corrects<T>(&self, diary: &Diary<T>) -> Result<Option<Key>, Stop> {
        self.correct.as_deref().map(|told| standing(diary, told, "--correct", "entry")).transpose()
    }

    /// Takes the entry back that is named, if one is, and says so.
    pub fn taken_back<T: Sort>(&self, vessel: &Path, diary: &Diary<T>) -> Result<Option<String>, Stop> {
        let Some(told) = &self.take_back else { return Ok(None) };
        let key = standing(diary, told, "--take-back", "entry")?;
        take_back::<T>(vessel, self.who.as_deref(), &key).map(Some)
    }
}

/// Takes an entry back, and says so.
pub fn take_back<T: Sort>(vessel: &Path, who: Option<&str>, key: &Key) -> Result<String, Stop> {
    note(vessel, &[Line::taking_back::<T>(day_now(), who, key)])?;
    Ok(format!("Taken back: {}. It is kept, and no longer counts.", short(key)))
}

/// Writes entries into the vessel's log.
pub fn note(vessel: &Path, lines: &[Line]) -> Result<store::Taken, Stop> {
    history::note(vessel, lines).map_err(|error| Stop::BadInput(format!("{}: fault: {error}", vessel.display())))
}

/// The key of an entry that stands, by its first letters; `sort` is what an entry of this sort is called.
pub fn standing<T>(diary: &Diary<T>, told: &str, option: &str, sort: &str) -> Result<Key, Stop> {
    let fits: Vec<&Entry<T>> = diary.entries.iter().filter(|entry| entry.key.0.starts_with(told)).collect();
    let struck = diary.struck.iter().find(|struck| struck.entry.key.0.starts_with(told));
    let why = match fits[..] {
        [one] if told.len() >= LEAST => return Ok(one.key.clone()),
        [] => struck.map_or_else(
            || format!("no {sort} has the key `{told}`"),
            |struck| format!("`{told}` was corrected already and stands no more: {} came after it", short(&struck.by)),
        ),
        _ => format!("`{told}` is the beginning of more than one key, or shorter than {LEAST} letters"),
    };
    Err(Stop::BadInput(format!("{option}: fault: {why}\n  --all lists the entries with their keys.")))
}

/// A key as it is shown.
pub fn short(key: &Key) -> &str {
    key.0.get(..SHOWN).unwrap_or(&key.0)
}

/// A time on this machine's clock: "2026-05-03 14:00".
pub fn shown(time: i64) -> String {
    let at = Timestamp::from_millisecond(time).map(|at| at.to_zoned(TimeZone::system()));
    at.map_or_else(|_| time.to_string(), |at| at.strftime("%Y-%m-%d %H:%M").to_string())
}
