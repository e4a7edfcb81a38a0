//! A check on a page: what to do, what it takes, its caution, and the buttons that say how it came out.

use crate::page::address;
use crate::ship::Scene;
use askama::Template;
use diagnosis::hypothesis::{kind_of, name_of};
use diagnosis::next_check::Advice;
use parts::kind::Check;
use plant::evidence::Named;
use plant::plant::Plant;
use watch::saying::{list, sentence};
use watch::verdict::named;
use watch::why::Case;

/// A check.
#[derive(Template)]
#[template(path = "check.html")]
pub struct CheckCard {
    of: String,
    check: &'static str,
    title: String,
    /// To its part; nothing where the part is what is looked at.
    link: Option<String>,
    takes: String,
    caution: &'static str,
    tells: Option<String>,
    /// What may have been found: the word in evidence, and the words to choose by.
    answers: Vec<(&'static str, String)>,
    simulated: bool,
}

impl CheckCard {
    /// One that is advised, with what a finding would tell.
    pub fn advised(scene: &Scene, case: &Case, advice: &Advice) -> CheckCard {
        let told = advice
            .tells
            .iter()
            .map(|(what, chance)| format!("{} {}", case.odds.say(*chance), named(case.plant, *what)));
        let told: Vec<String> = told.collect();
        let finds = case.odds.say(advice.finds);
        let tells = (!told.is_empty()).then(|| format!("If it shows something ({finds}): {}.", list(&told)));
        let lacks = (!advice.lacks.is_empty()).then(|| {
            let tools: Vec<String> = advice.lacks.iter().map(ToString::to_string).collect();
            format!("It needs {}, which is not aboard. ", list(&tools))
        });
        let tells = match (lacks, tells) {
            (Some(lacks), tells) => Some(lacks + &tells.unwrap_or_default()),
            (None, tells) => tells,
        };
        CheckCard { tells, ..CheckCard::linked(scene, advice.of, advice.check) }
    }

    /// Any check, with the way to its part.
    pub fn linked(scene: &Scene, of: Named, check: &'static Check) -> CheckCard {
        CheckCard { link: Some(address(&scene.picture.plant, of)), ..CheckCard::of(scene, of, check) }
    }

    /// Any check of a part or gauge.
    pub fn of(scene: &Scene, of: Named, check: &'static Check) -> CheckCard {
        let plant = &scene.picture.plant;
        let place = kind_of(plant, of).checks.iter().position(|known| known.name == check.name).unwrap_or_default();
        let minutes = plant.aboard.check_minutes(of, place, check);
        let tool = check.tool.map_or(String::new(), |tool| format!(", {tool}"));
        CheckCard {
            of: name_of(plant, of).into(),
            check: check.name,
            title: sentence(check.title),
            link: None,
            takes: format!("{minutes:.0} min, {}{tool}", check.state.words()),
            caution: check.caution,
            tells: None,
            answers: answers(plant, of, check),
            simulated: scene.simulated.is_some(),
        }
    }
}

fn answers(plant: &Plant, of: Named, check: &'static Check) -> Vec<(&'static str, String)> {
    let causes = kind_of(plant, of).causes;
    let found = check.finds.iter().filter_map(|find| causes.iter().find(|cause| cause.name == find.cause));
    let named = found.map(|cause| (cause.name, sentence(cause.title)));
    named.chain([("something", "Something, not named".into())]).collect()
}
