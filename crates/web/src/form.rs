//! What people send, read against the plant: typed, or told what is wrong with it.

use crate::ship::{Ask, Order};
use diagnosis::hypothesis::{What, kind_of, name_of};
use plant::evidence::{Found, Named, Renewal, RenewalResult, Situation};
use plant::plant::Plant;
use serde::Deserialize;
use watch::picture::Entry;

/// How a check came out.
#[derive(Debug, Deserialize)]
pub struct CheckForm {
    of: String,
    check: String,
    /// "clean", "something", a cause of the part, "look" for the simulator to make it, or "back" to take it back.
    found: String,
}

/// How a repair came out.
#[derive(Debug, Deserialize)]
pub struct RepairForm {
    of: String,
    /// A cause that it puts right.
    cause: String,
    /// "no change", "better", "cured", "do" for the simulator to make it, or "back" to take it back.
    result: String,
}

/// Where she is.
#[derive(Debug, Deserialize)]
pub struct SituationForm {
    /// "port", "sea" or "lee".
    place: String,
    /// Hours to a haven, if told.
    #[serde(default)]
    hours: String,
}

/// Something seen, felt, heard or smelt.
#[derive(Debug, Deserialize)]
pub struct WordForm {
    /// "part.word".
    word: String,
    /// "yes", "no" where it was looked for in vain, or "back" to take it back.
    there: String,
}

/// What the simulated world is told.
#[derive(Debug, Deserialize)]
pub struct OrderForm {
    /// "fault", "surprise", "reveal", "mend" or "pace".
    order: String,
    /// "part.cause", with a fault.
    #[serde(default)]
    cause: String,
    /// How bad [%], with a fault.
    #[serde(default)]
    severity: String,
    /// Seconds that pass in one [1].
    #[serde(default)]
    pace: String,
}

impl CheckForm {
    /// What it asks.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(&self, plant: &Plant) -> Result<Ask, String> {
        let of = named(plant, &self.of)?;
        let kind = kind_of(plant, of);
        let check = kind
            .checks
            .iter()
            .position(|check| check.name == self.check)
            .ok_or_else(|| format!("There is no check “{}” of {}.", self.check, self.of))?;
        let found = match self.found.as_str() {
            "look" => return Ok(Ask::Order(Order::Check { of, check })),
            "back" => return Ok(Ask::Entry(Entry::Unchecked { of, check })),
            "clean" => Found::Clean,
            "something" => Found::Something,
            cause => Found::Cause(
                kind.causes
                    .iter()
                    .position(|known| known.name == cause)
                    .ok_or_else(|| format!("“{cause}” is no way in which {} fails.", self.of))?,
            ),
        };
        Ok(Ask::Entry(Entry::Checked { of, check, found }))
    }
}

impl RepairForm {
    /// What it asks.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(&self, plant: &Plant) -> Result<Ask, String> {
        let of = named(plant, &self.of)?;
        let causes = kind_of(plant, of).causes;
        let cause = causes.iter().position(|known| known.name == self.cause);
        let cause = cause.ok_or_else(|| format!("“{}” is no way in which {} fails.", self.cause, self.of))?;
        // What is done undoes every cause with this remedy.
        let what = causes[cause].remedy.to_string();
        let result = match self.result.as_str() {
            "do" => return Ok(Ask::Order(Order::Repair { of, cause })),
            "back" => return Ok(Ask::Entry(Entry::Unrepaired { of, what })),
            "no change" => RenewalResult::NoChange,
            "better" => RenewalResult::Better,
            "cured" => RenewalResult::Cured,
            other => return Err(format!("“{other}” does not say what it changed: no change, better or cured.")),
        };
        Ok(Ask::Entry(Entry::Repaired(Renewal { of, what, result })))
    }
}

impl SituationForm {
    /// What it asks.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(&self, _: &Plant) -> Result<Ask, String> {
        let (at_sea, cannot_stop) = match self.place.as_str() {
            "port" => (false, false),
            "sea" => (true, false),
            "lee" => (true, true),
            other => return Err(format!("“{other}” does not say where she is; choose from the list.")),
        };
        let told = at_sea && !self.hours.trim().is_empty();
        let hours = if told { Some(number(&self.hours, "the hours to a haven", (0.0, 1000.0))?) } else { None };
        Ok(Ask::Entry(Entry::Situated(Situation { at_sea, cannot_stop, haven_hours: hours })))
    }
}

impl WordForm {
    /// What it asks.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(&self, plant: &Plant) -> Result<Ask, String> {
        let (of, word) = pair(&self.word)?;
        let (name, of) = (of, named(plant, of)?);
        let word = kind_of(plant, of)
            .words
            .iter()
            .position(|known| known.name == word)
            .ok_or_else(|| format!("“{word}” is nothing that is said of {name}; choose from the list."))?;
        Ok(Ask::Entry(match self.there.as_str() {
            "yes" => Entry::Said { of, word, there: true },
            "no" => Entry::Said { of, word, there: false },
            "back" => Entry::Unsaid { of, word },
            other => return Err(format!("“{other}” does not say whether it is there: yes or no.")),
        }))
    }
}

impl OrderForm {
    /// What it asks.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(&self, plant: &Plant) -> Result<Ask, String> {
        Ok(Ask::Order(match self.order.as_str() {
            "surprise" => Order::Surprise,
            "reveal" => Order::Reveal,
            "mend" => Order::Mend,
            "pace" => Order::Pace(number(&self.pace, "the pace", (1.0, 120.0))?),
            "fault" => {
                let (of, cause) = pair(&self.cause)?;
                let (name, of) = (of, named(plant, of)?);
                let place = kind_of(plant, of).causes.iter().position(|known| known.name == cause);
                let place = place.ok_or_else(|| format!("“{cause}” is no way in which {name} fails."))?;
                let severity = number(&self.severity, "how bad", (0.0, 100.0))? / 100.0;
                Order::Fault { what: What::Cause(of, place), severity }
            }
            other => return Err(format!("The simulator does not know “{other}”.")),
        }))
    }
}

fn named(plant: &Plant, name: &str) -> Result<Named, String> {
    Named::find(plant, name).ok_or_else(|| {
        let near = measure::nearest::nearest(name, Named::all(plant).map(|of| name_of(plant, of)));
        let advice = near.map_or("Choose one from the Plant page.".into(), |near| format!("Did you mean “{near}”?"));
        format!("There is no part or gauge “{name}”. {advice}")
    })
}

fn pair(text: &str) -> Result<(&str, &str), String> {
    text.rsplit_once('.')
        .ok_or_else(|| format!("“{text}” does not name a part and one of its words: choose from the list."))
}

fn number(text: &str, what: &str, (low, high): (f64, f64)) -> Result<f64, String> {
    let value: f64 = text.trim().parse().map_err(|_| format!("“{text}” is no number for {what}."))?;
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(format!("“{text}” is out of range for {what}: from {low} to {high}."))
    }
}
