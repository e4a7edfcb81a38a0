//! What the owner says of tools, spares and his own pace: what a check or a repair costs on this vessel.

use crate::evidence::Named;
use crate::evidence_names::{kind_of, renewed, undoes};
use crate::finding::Problem;
use crate::plant::{Gauge, Linked, Plant, Tap, Terminal};
use parts::kind::{Cause, Check, Find, Link, State};
use parts::rates::OF_INJECTED_WATER;
use parts::tools;
use std::borrow::Cow;

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

impl Plant {
    /// What a check wants that is not aboard; a gauge fitted there is as good as one screwed in.
    pub fn missing(&self, of: Named, check: &'static Check) -> Vec<&'static str> {
        let (Some(aboard), Some(line)) = (&self.aboard.tools, check.tool) else { return Vec::new() };
        let mut missing = tools::missing(line, aboard);
        missing.retain(|tool| !self.fitted(of, tool));
        missing
    }

    /// Is a gauge fitted at a part that shows what this tool would?
    fn fitted(&self, of: Named, tool: &str) -> bool {
        let Named::Part(part) = of else { return false };
        let vacuum = match tool {
            "vacuum gauge" => true,
            "pressure gauge" => false,
            _ => return false,
        };
        let flows = || self[part].flows.iter().flatten().map(|flow| &self.flows[flow.0]);
        let at = |node| flows().any(|flow| [flow.from, flow.to].contains(&Terminal::Node(node)));
        let shows =
            |gauge: &Gauge| gauge.trips.is_none() && (gauge.vacuum || (vacuum && gauge.scale.0 < 0.0)) == vacuum;
        self.gauges.iter().any(|gauge| matches!(gauge.tap, Tap::Pressure(node) if at(node)) && shows(gauge))
    }

    /// Whether a check can be made, and there is anything to see for it: of what looks at injected water, nothing in a dry
    /// exhaust.
    pub fn can_be_made(&self, of: Named, check: &Check) -> bool {
        if check.state == State::Kept {
            return false;
        }
        check.finds.is_empty() || check.finds.iter().any(|find| self.can_show(of, find))
    }

    /// The same for one thing that it may find.
    pub fn can_show(&self, of: Named, find: &Find) -> bool {
        !(OF_INJECTED_WATER.contains(&find.power) && self.is_dry(of))
    }

    /// Is it a part of an exhaust into which no water is injected, though it asks how much?
    fn is_dry(&self, of: Named) -> bool {
        let Named::Part(part) = of else { return false };
        let mut links = self[part].kind.links.iter().zip(&self[part].links);
        links.any(|(link, linked)| *link == Link::Injected && *linked == Linked::Constant(0.0))
    }

    /// A line of the catalogue as it holds for this plant.
    pub fn worded(&self, line: &'static str) -> Cow<'static, str> {
        parts::wording::for_circuits(line, |circuit| self.flows.iter().any(|flow| flow.circuit == circuit))
    }
}

/// The part of "raw-pump" or "raw-pump.impeller", and the word that says what of it a spare renews; "" for the whole.
///
/// # Errors
/// The [`Problem`] with the nearest name, or with what can be renewed of the part.
pub fn spare(plant: &Plant, text: &str) -> Result<(Named, String), Problem> {
    renewed(plant, text)
}

/// Does renewing what this word says of a part put this cause right? Its name or its remedy then holds the word.
pub fn puts_right(what: &str, cause: &Cause) -> bool {
    undoes(what, cause)
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
