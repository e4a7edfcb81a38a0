//! What was counted, received, used, thrown away and stowed, from the command line into the log.

use crate::page::wrapped;
use crate::stop::Stop;
use crate::verbs::entered::note;
use crate::verbs::leg::{day, refused};
use clap::Args;
use diary::Line;
use spares::written::{Deed, movement};
use spares::{Movement, Stores};
use std::path::Path;
use work::date::{self, DAY};

/// What happened to the stores.
#[derive(Args)]
pub struct Moved {
    /// So much of an item is there: impeller=2, oil="14 L"
    #[arg(long = "count", value_name = "ITEM=AMOUNT")]
    counted: Vec<String>,
    /// So much of an item, or of a kit's contents, came aboard
    #[arg(long, value_name = "ITEM=AMOUNT")]
    received: Vec<String>,
    /// What came aboard is to be used by this day
    #[arg(long, value_name = "DATE", requires = "received")]
    good_until: Option<String>,
    /// So much was used, beside what records of work tell
    #[arg(long, value_name = "ITEM=AMOUNT")]
    used: Vec<String>,
    /// So much was thrown or given away
    #[arg(long, value_name = "ITEM=AMOUNT")]
    discarded: Vec<String>,
    /// It is stowed here from now on: impeller="locker 3"
    #[arg(long, value_name = "ITEM=PLACE")]
    stowed: Vec<String>,
    /// Who writes it down
    #[arg(long, value_name = "NAME")]
    who: Option<String>,
}

impl Moved {
    /// Writes all of it into the log, or nothing; and says what was written.
    pub fn write(&self, vessel: &Path, stores: &Stores, now: i64) -> Result<String, Stop> {
        let good_until = self.good_until.as_deref().map(|text| day("--good-until", text)).transpose()?;
        let good_until = good_until.map(|time| time.div_euclid(DAY));
        let told = [
            ("--count", Deed::Counted, &self.counted),
            ("--received", Deed::Received, &self.received),
            ("--used", Deed::Used, &self.used),
            ("--discarded", Deed::Discarded, &self.discarded),
            ("--stowed", Deed::Stowed, &self.stowed),
        ];
        let mut all: Vec<Movement> = Vec::new();
        for (option, deed, list) in told {
            for text in list {
                let advice = "Write ITEM=AMOUNT, such as impeller=2, or ITEM=PLACE where it is stowed.";
                let Some((item, how)) = text.split_once('=') else {
                    return Err(refused(option, &format!("`{text}` tells not how much"), advice));
                };
                let made = movement(stores, deed, item.trim(), how.trim(), good_until);
                all.push(made.map_err(|no| refused(option, &no.why, &no.advice))?);
            }
        }
        if all.is_empty() {
            return Ok(String::new());
        }
        // A moment apart, so that each has a key of its own.
        let lines: Vec<Line> =
            all.iter().zip(now..).map(|(one, time)| Line::of(time, self.who.as_deref(), None, one)).collect();
        note(vessel, &lines)?;
        let names: Vec<&str> = all.iter().map(|one| one.item.as_str()).collect();
        Ok(wrapped(&format!("Written down on {}: {}.", date::words(now), names.join(", ")), "", "  "))
    }
}
