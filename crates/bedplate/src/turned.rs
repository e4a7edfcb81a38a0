//! Valves turned on the command line: for this answer only.

use crate::stop::Stop;
use clap::Args;
use plant::finding::{Finding, Problem, render};
use plant::plant::{PartId, Plant};
use plant::reader::line_ups::{called, stand};

/// What was asked.
#[derive(Args)]
pub struct Turned {
    /// As if she were in this line-up of the vessel file
    #[arg(long = "line-up", value_name = "NAME")]
    line_up: Option<String>,
    /// As if this valve stood like this: seacock-port=shut, by-pass="40 %"
    #[arg(long = "turn", value_name = "VALVE=POSITION")]
    turn: Vec<String>,
}

impl Turned {
    /// Which valves go where; nothing if nothing was asked.
    ///
    /// # Errors
    /// [`Stop::BadInput`] with everything that is wrong with it.
    pub fn of(&self, plant: &Plant) -> Result<Vec<(PartId, f64)>, Stop> {
        let mut faults = String::new();
        let mut fault = |name: &str, problem: Problem| faults += &render(&Finding::whole(problem), "", name);
        let mut stands = Vec::new();
        if let Some(word) = &self.line_up {
            match called(plant, word) {
                Ok(line_up) => stands.extend(line_up.stands.iter().copied()),
                Err(problem) => fault("--line-up", problem),
            }
        }
        let named = stands.len();
        for item in &self.turn {
            let Some((valve, at)) = item.split_once('=') else {
                let advice = "Write it such as --turn seacock-port=shut.";
                fault("--turn", Problem::BadLine { message: format!("{item} has no equals sign"), advice });
                continue;
            };
            match stand(plant, valve, at) {
                Ok((part, _)) if stands.iter().skip(named).any(|(other, _)| *other == part) => {
                    fault("--turn", Problem::Duplicate { what: format!("`{}`", plant[part].name) });
                }
                Ok(one) => stands.push(one),
                Err(problem) => fault("--turn", problem),
            }
        }
        if faults.is_empty() { Ok(stands) } else { Err(Stop::BadInput(faults)) }
    }

    /// Turns them in the plant.
    ///
    /// # Errors
    /// As [`Turned::of`].
    pub fn apply(&self, plant: &mut Plant) -> Result<(), Stop> {
        let stands = self.of(plant)?;
        plant.turn(&stands);
        Ok(())
    }

    /// The name of the line-up that was asked for, if one was.
    pub fn line_up(&self) -> Option<&str> {
        self.line_up.as_deref()
    }
}
