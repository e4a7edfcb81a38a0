//! The next step on a page: a check or a repair with its reasons, what then, and the buttons that say how it came out.

use crate::page::address;
use crate::page::check::CheckCard;
use crate::ship::Scene;
use askama::Template;
use diagnosis::hypothesis::{What, kind_of, name_of};
use diagnosis::next_step::Deed;
use parts::kind::Check;
use plant::evidence::Named;
use watch::next::{self, Line};
use watch::saying::sentence;
use watch::why::Case;

/// The next step.
#[derive(Template)]
#[template(path = "next.html")]
pub struct NextCard {
    /// A check, with its buttons.
    card: Option<CheckCard>,
    /// What to do, where it is no check.
    title: String,
    of: String,
    link: Option<String>,
    takes: String,
    caution: Option<String>,
    /// The cause that a repair puts right, for its buttons.
    repair: Option<&'static str>,
    /// What goes before it.
    first: Vec<String>,
    way: Option<String>,
    why: String,
    then: Vec<Line>,
    lacking: Option<String>,
    simulated: bool,
}

impl NextCard {
    /// Of a case; nothing where there is nothing to weigh.
    pub fn of(scene: &Scene, case: &Case) -> Option<NextCard> {
        let told = next::told(case, !scene.picture.act.is_empty())?;
        let plant = case.plant;
        let does = &case.answer.next.as_ref()?.then.does;
        let card = checked(does).map(|(of, check)| CheckCard::linked(scene, of, check));
        let repaired = match does {
            Deed::Repair { of, causes, .. } => causes.first().map(|what| (*of, *what)),
            _ => None,
        };
        let repair = repaired.and_then(|(of, what)| match what {
            What::Cause(_, k) => kind_of(plant, of).causes.get(k),
            _ => None,
        });
        Some(NextCard {
            card,
            title: repair.map_or(told.head, |cause| sentence(cause.remedy)),
            of: repaired.map_or_else(String::new, |(of, _)| name_of(plant, of).into()),
            link: repaired.map(|(of, _)| address(plant, of)),
            takes: told.takes,
            caution: told.caution,
            repair: repair.map(|cause| cause.name),
            first: told.first,
            way: told.way,
            why: told.why,
            then: told.then,
            lacking: told.lacking,
            simulated: scene.simulated.is_some(),
        })
    }
}

/// The check that a step is, if it is one.
pub fn checked(does: &Deed) -> Option<(Named, &'static Check)> {
    match does {
        Deed::Check { of, check, .. } => Some((*of, check)),
        _ => None,
    }
}
