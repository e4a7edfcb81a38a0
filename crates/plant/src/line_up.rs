//! Where the valves stand: the line-ups a description names, and the one she is in now.

use crate::plant::{PartId, Plant};
use measure::quantity::Quantity;
use measure::unit;
use std::ops::Range;

/// The figures that a part is turned by: a valve open and shut, a clutch in and out [1].
const OPENING: &str = "opening";
const ENGAGED: &str = "engaged";
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
    /// Everything that is turned by hand: valves, and clutches of what is taken off.
    pub fn valves(&self) -> impl Iterator<Item = PartId> + '_ {
        (0..self.parts.len()).map(PartId).filter(|part| self.opening_of(*part).is_some())
    }

    /// How far a valve is open [share of wide open]; `None` of what cannot be shut.
    pub fn opening(&self, part: PartId) -> Option<f64> {
        self.opening_of(part).map(|figure| self[part].figures[figure].value)
    }

    /// Which of a part's figures is its opening.
    pub fn opening_of(&self, part: PartId) -> Option<usize> {
        let kind = self[part].kind;
        let by = kind.symbol.position.filter(|by| [OPENING, ENGAGED].contains(by))?;
        kind.parameters.iter().position(|p| p.name == by)
    }

    /// How it stands, or would stand, in words: of a valve "open" and "shut", of a clutch "in" and "out".
    pub fn stands_in_words(&self, part: PartId, opening: f64) -> String {
        match self[part].kind.symbol.position {
            Some(ENGAGED) if opening < SAME => "out".into(),
            Some(ENGAGED) if opening > 1.0 - SAME => "in".into(),
            Some(ENGAGED) => "half in".into(),
            _ => position_in_words(opening),
        }
    }

    /// Is it a valve, and shut?
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

/// A position as people write it: "open", "shut", "40 %", "0.4", of a clutch "in", "out" [share of wide open].
///
/// # Errors
/// The reading of its unit, if it is none of these.
pub fn position(text: &str) -> Result<f64, unit::UnitError> {
    match text.trim().to_lowercase().as_str() {
        "open" | "wide open" | "in" | "engaged" => Ok(1.0),
        "shut" | "closed" | "out" | "disengaged" => Ok(0.0),
        other => unit::parse(other, Quantity::Ratio),
    }
}

/// A position as it is written into a file: "open", "shut", "42.5 %".
pub fn position_as_written(opening: f64) -> String {
    match opening {
        0.0 => "shut".into(),
        1.0 => "open".into(),
        part => format!("{} %", part * 100.0),
    }
}

/// A position in words: "open", "shut", "40 % open".
pub fn position_in_words(opening: f64) -> String {
    if opening < SAME {
        "shut".into()
    } else if opening > 1.0 - SAME {
        "open".into()
    } else {
        format!("{:.0} % open", opening * 100.0)
    }
}
