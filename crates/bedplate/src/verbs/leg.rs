//! What the command line tells of a passage and of the hour meter: the same for every verb that asks for it.

use crate::stop::Stop;
use clap::Args;
use live::papers::Papers;
use plant::plant::{PartId, Plant};
use work::date::{self, DAY};
use work::passage::Passage;

/// A passage that is planned.
#[derive(Args)]
pub struct Leg {
    /// What the hour meter shows now: 1850, or ENGINE=1850 where there are several
    #[arg(long, value_name = "HOURS")]
    hours: Vec<String>,
    /// Running hours of a passage that is planned
    #[arg(long, value_name = "HOURS")]
    passage: Option<String>,
    /// Days it takes; without them, as if she ran day and night
    #[arg(long, value_name = "DAYS", requires = "passage")]
    days: Option<String>,
    /// When she leaves, such as 2026-05-01; today without it
    #[arg(long, value_name = "DATE", requires = "passage")]
    leaves: Option<String>,
    /// As if today were this day
    #[arg(long, value_name = "DATE")]
    at: Option<String>,
}

impl Leg {
    /// The time that is asked about [ms since 1970, UTC].
    ///
    /// # Errors
    /// [`Stop::BadInput`] if it is no day.
    pub fn now(&self) -> Result<i64, Stop> {
        self.at.as_deref().map_or_else(|| Ok(crate::clocks::day_now()), |text| day("--at", text))
    }

    /// Takes in what the hour meters are told to show.
    ///
    /// # Errors
    /// [`Stop::BadInput`] if there is no such engine, or a record tells more.
    pub fn tell_hours(&self, plant: &Plant, papers: &mut Papers, now: i64) -> Result<(), Stop> {
        for told in &self.hours {
            let (engine, hours) = hours(plant, told)?;
            papers.tell_hours(engine, now, hours);
            if papers.meters.iter().any(|(of, meter)| *of == engine && meter.last() != Some(&(now, hours))) {
                let advice = "Correct that record first, or tell the hours that go with it: a meter only goes on.";
                return Err(refused("--hours", &format!("{hours} h is less than a record tells"), advice));
            }
        }
        Ok(())
    }

    /// The passage, if one is told.
    ///
    /// # Errors
    /// [`Stop::BadInput`] with what cannot be.
    pub fn passage(&self, now: i64) -> Result<Option<Passage>, Stop> {
        let Some(told) = &self.passage else { return Ok(None) };
        let hours = number("--passage", told, &["h"], "\"346 h\"")?;
        let days =
            self.days.as_deref().map_or(Ok(hours / 24.0), |text| number("--days", text, &["d", "days"], "16"))?;
        if hours > 24.0 * days + 1e-6 {
            let why = format!("{hours} running hours do not fit into {days} days");
            return Err(refused("--days", &why, "A day has 24 hours: fewer hours, or more days."));
        }
        let start = self.leaves.as_deref().map_or(Ok(now), |text| day("--leaves", text))?;
        if start < now - DAY {
            return Err(refused("--leaves", &format!("{} is past", date::words(start)), "Give a day to come."));
        }
        Ok(Some(Passage { start: start.max(now), hours, days }))
    }
}

pub(crate) fn refused(what: &str, why: &str, advice: &str) -> Stop {
    Stop::BadInput(format!("{what}: fault: {why}\n  {advice}"))
}

/// A day of the command line, at noon [ms since 1970, UTC].
pub(crate) fn day(what: &str, text: &str) -> Result<i64, Stop> {
    let advice = "Write year, month and day, such as 2026-05-01.";
    date::read(text).ok_or_else(|| refused(what, &format!("`{text}` is no day"), advice))
}

/// A number with a unit that may be left out, above 0.
fn number(what: &str, text: &str, units: &[&str], example: &str) -> Result<f64, Stop> {
    let bare = text.trim().trim_end_matches(char::is_alphabetic).trim();
    let unit = text.trim()[bare.len()..].trim();
    let number = bare.parse::<f64>().ok().filter(|value| value.is_finite() && (0.0..=1e6).contains(value));
    let fits = unit.is_empty() || units.contains(&unit);
    number
        .filter(|_| fits)
        .ok_or_else(|| refused(what, &format!("`{text}` cannot be read"), &format!("Write it such as {example}.")))
}

/// `1850`, or `main=1850 h`.
pub(crate) fn hours(plant: &Plant, told: &str) -> Result<(PartId, f64), Stop> {
    let engines: Vec<PartId> = plant.engines().collect();
    let example = engines.first().map_or("1850".to_string(), |engine| format!("{}=1850", plant[*engine].name));
    let (engine, text) = match told.split_once('=') {
        Some((word, text)) => (crate::verbs::part(plant, word)?, text),
        None if engines.len() == 1 => (engines[0], told),
        None => return Err(refused("--hours", "there is more than one engine", &format!("Write {example}."))),
    };
    if !engines.contains(&engine) {
        return Err(refused(
            "--hours",
            &format!("`{}` is no engine", plant[engine].name),
            &format!("Write {example}."),
        ));
    }
    Ok((engine, number("--hours", text, &["h"], &example)?))
}
