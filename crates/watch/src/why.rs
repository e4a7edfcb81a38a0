//! Why a cause stands where it stands: what speaks for it, what against it, what else would have to be so.

use crate::because::Line;
use crate::saying::Odds;
use crate::valves;
use diagnosis::explain::{Answer, Ranked};
use diagnosis::hypothesis::{What, cause_of};
use diagnosis::setting::Setting;
use model::touching::Touching;
use parts::kind::Cause;
use plant::evidence::{Evidence, Named};
use plant::plant::Plant;

/// Everything a reason can come from.
pub struct Case<'a> {
    /// The plant.
    pub plant: &'a Plant,
    /// What was told.
    pub evidence: &'a Evidence,
    /// The same, set out.
    pub setting: &'a Setting,
    /// What came of it.
    pub answer: &'a Answer,
    /// How chances are told.
    pub odds: Odds,
    /// What was named before, if anything was.
    pub held: Option<What>,
}

/// Why a cause stands where it stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Why {
    /// What speaks most for it, the weightiest first.
    pub speaks_for: Vec<Line>,
    /// And against it.
    pub against: Vec<Line>,
    /// What would have to be so besides.
    pub needs: Vec<String>,
    /// What else there is to know of it.
    pub also: Vec<String>,
}

impl Why {
    /// All of it, a line each.
    pub fn lines(&self) -> Vec<String> {
        let speaks_for = self.speaks_for.iter().map(|line| format!("for it: {}", line.whole(true)));
        let against = self.against.iter().map(|line| format!("against it: {}", line.whole(false)));
        let needs = self.needs.iter().map(|need| format!("for it to be so: {need}"));
        speaks_for.chain(against).chain(needs).chain(self.also.iter().cloned()).collect()
    }
}

impl Case<'_> {
    /// The reasons for and against a cause.
    pub fn why(&self, ranked: &Ranked) -> Why {
        let (speaks_for, against) = self.for_and_against(ranked);
        let mut also = Vec::new();
        if let (What::Cause(of, _), Some(cause)) = (ranked.what, cause_of(self.plant, ranked.what)) {
            also.extend(self.leak(of, cause));
            also.extend(self.work(of));
        }
        Why { speaks_for, against, needs: self.needs(ranked), also }
    }

    /// What goes where, if the cause lets one liquid into another.
    fn leak(&self, of: Named, cause: &Cause) -> Option<String> {
        let Named::Part(part) = of else { return None };
        let lets = |at: &&Touching| at.part == part && at.wall.causes.contains(&cause.name);
        let at = self.answer.touching.iter().find(lets)?;
        Some(format!("at {} {}", at.wall.name, valves::leak(self.plant, at)))
    }

    /// What was done to it lately.
    fn work(&self, of: Named) -> Vec<String> {
        let mine = self.evidence.work.iter().filter(|work| work.of == of);
        mine.map(|work| format!("worked on {:.0} h ago, and a new part is not an innocent part", work.hours_ago))
            .collect()
    }
}
