//! What the owner says of tools, spares and his own pace: what a check or a repair costs on this vessel.

use crate::evidence::Named;
use crate::evidence_names::{kind_of, undoes};
use crate::plant::Plant;
use parts::kind::{Cause, Check};
use parts::tools;

/// Tools, spares, pace and what an hour is worth; what is not told is taken as usual.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aboard {
    /// Names of tools; none if not told, and then none is missing.
    pub tools: Option<Vec<String>>,
    /// Spares, by what they renew: a part and the word that says what of it, "" for the whole; none if not told, and then
    /// none is missing.
    pub spares: Option<Vec<(Named, String)>>,
    /// What an hour is worth [EUR/h].
    pub hour_worth: Option<f64>,
    /// The owner's own minutes.
    pub minutes: Vec<OwnMinutes>,
}

/// Minutes that a check or a repair takes this owner.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMinutes {
    /// On what.
    pub of: Named,
    /// Of what.
    pub job: OwnJob,
    /// So many [min].
    pub minutes: f64,
}

/// What the owner told his minutes of.
#[derive(Clone, Debug, PartialEq)]
pub enum OwnJob {
    /// The check of this place in the kind's table.
    Check(usize),
    /// The repair of causes whose name or remedy holds this word.
    Repair(String),
}

impl Aboard {
    /// What a check wants that is not aboard.
    pub fn missing(&self, check: &'static Check) -> Vec<&'static str> {
        match (&self.tools, check.tool) {
            (Some(aboard), Some(line)) => tools::missing(line, aboard),
            _ => Vec::new(),
        }
    }

    /// Is the spare aboard that puts this cause right, as far as is told?
    pub fn has_spare(&self, of: Named, cause: &Cause) -> bool {
        let puts_right = |(part, what): &(Named, String)| *part == of && undoes(what, cause);
        self.spares.as_ref().is_none_or(|spares| spares.iter().any(puts_right))
    }

    /// Minutes that a check takes here [min].
    pub fn check_minutes(&self, of: Named, place: usize, check: &Check) -> f64 {
        self.own(of, |job| *job == OwnJob::Check(place)).unwrap_or(check.minutes)
    }

    /// Minutes that putting a cause right takes here, if the owner told them [min].
    pub fn repair_minutes(&self, of: Named, cause: &Cause) -> Option<f64> {
        self.own(of, |job| matches!(job, OwnJob::Repair(what) if undoes(what, cause)))
    }

    fn own(&self, of: Named, is: impl Fn(&OwnJob) -> bool) -> Option<f64> {
        self.minutes.iter().find(|own| own.of == of && is(&own.job)).map(|own| own.minutes)
    }
}

/// Names of the tools that this plant's checks can want and a vessel can lack, each once.
pub fn known_tools(plant: &Plant) -> Vec<String> {
    let mut known: Vec<String> = tools::TOOLS.iter().map(|tool| tool.name.to_string()).collect();
    // What only a check of the owner's own kind wants is a tool by its own name.
    for of in Named::all(plant) {
        for thing in kind_of(plant, of).checks.iter().filter_map(|check| check.tool).flat_map(tools::wanted).flatten() {
            let new = tools::find(thing).is_none() && !tools::at_hand(thing);
            if new && !known.iter().any(|name| name == thing) {
                known.push(thing.to_string());
            }
        }
    }
    known
}
