//! Where the valves stand: the line-ups a description names, and the one she is in now.

use crate::plant::{PartId, Plant};
use measure::quantity::Quantity;
use measure::unit;
use parts::kind::{Handled, Kind};
use std::ops::Range;

/// Positions closer than this are the same [1].
const SAME: f64 = 0.005;

/// A set of valve positions with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct LineUp {
    /// The owner's name for it.
    pub name: String,
    /// What stands where: share of wide open [1]. Valves it does not name may stand anywhere.
    pub stands: Vec<(PartId, f64)>,
    /// Where in the file it is described [byte offsets].
    pub place: Range<usize>,
}

/// Valves that somebody turned, as the vessel's folder keeps it.
#[derive(Clone, Debug, PartialEq)]
pub struct Turned {
    /// When, as written; empty if not told.
    pub when: String,
    /// Who; empty if not told.
    pub who: String,
    /// Where they stand since: share of wide open [1].
    pub stands: Vec<(PartId, f64)>,
}

/// How one valve stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Which.
    pub valve: PartId,
    /// Share of wide open [1].
    pub opening: f64,
    /// Who put it there and when, if anybody did since the description was written.
    pub since: Option<(String, String)>,
}

impl Plant {
    /// Everything that is set by hand: valves, switches, and clutches of what is taken off.
    pub fn valves(&self) -> impl Iterator<Item = PartId> + '_ {
        (0..self.parts.len()).map(PartId).filter(|part| self.opening_of(*part).is_some())
    }

    /// How far a valve is open [share of wide open], or whether a switch is on; `None` of what cannot be shut.
    pub fn opening(&self, part: PartId) -> Option<f64> {
        self.opening_of(part).map(|figure| self[part].figures[figure].value)
    }

    /// Which of a part's figures is its opening.
    pub fn opening_of(&self, part: PartId) -> Option<usize> {
        self[part].kind.set_by_hand()
    }

    /// Is it a valve and shut, or a switch and off?
    pub fn is_shut(&self, part: PartId) -> bool {
        self.opening(part).is_some_and(|opening| opening < SAME)
    }

    /// Turns valves; what cannot be shut stays as it is.
    pub fn turn(&mut self, stands: &[(PartId, f64)]) {
        for (part, opening) in stands {
            if let Some(figure) = self.opening_of(*part) {
                self.parts[part.0].figures[figure].value = opening.clamp(0.0, 1.0);
            }
        }
    }

    /// The named line-up she is in, if any: all that it names stands as it says.
    pub fn line_up(&self) -> Option<&LineUp> {
        let stands =
            |(part, opening): &(PartId, f64)| self.opening(*part).is_some_and(|now| (now - opening).abs() < SAME);
        self.line_ups.iter().find(|line_up| line_up.stands.iter().all(stands))
    }

    /// How every valve stands once all of `turned`, oldest first, has been done.
    pub fn standing(&self, turned: &[Turned]) -> Vec<Standing> {
        let last = |valve: PartId| {
            let at = |turned: &Turned| turned.stands.iter().rev().find(|(part, _)| *part == valve).map(|(_, o)| *o);
            turned.iter().rev().find_map(|turned| Some((at(turned)?, (turned.when.clone(), turned.who.clone()))))
        };
        self.valves()
            .map(|valve| {
                let (opening, since) = last(valve).map_or_else(
                    || (self.opening(valve).unwrap_or(1.0), None),
                    |(opening, since)| (opening, Some(since)),
                );
                Standing { valve, opening, since }
            })
            .collect()
    }
}

/// A position as people write it: "open", "shut", "40 %", "0.4" [share of wide open]; of a switch "on" or "off", for an
/// open valve lets through and an open switch does not; of a clutch "in" or "out".
///
/// # Errors
/// The reading of its unit, if it is none of these.
pub fn position(kind: &Kind, text: &str) -> Result<f64, unit::UnitError> {
    match (text.trim().to_lowercase().as_str(), kind.handled_as()) {
        ("open" | "wide open", Handled::Valve) | ("on", Handled::Switch) | ("in" | "engaged", Handled::Clutch) => {
            Ok(1.0)
        }
        ("shut" | "closed", Handled::Valve) | ("off", Handled::Switch) | ("out" | "disengaged", Handled::Clutch) => {
            Ok(0.0)
        }
        (other, _) => unit::parse(other, Quantity::Ratio),
    }
}

/// A position as it is written into a file: "open", "shut", "42.5 %"; of a switch "on" or "off".
pub fn position_as_written(kind: &Kind, opening: f64) -> String {
    match opening {
        0.0 | 1.0 => kind.stands(opening),
        part => format!("{} %", part * 100.0),
    }
}
