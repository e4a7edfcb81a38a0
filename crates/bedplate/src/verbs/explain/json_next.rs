//! The next step for programs.

use crate::json::{Ahead, Branch, Cost, Instead, Lacking, Next, Situation};
use diagnosis::hypothesis::{What, cause_of, name_of};
use diagnosis::next_step::{self, Came, Deed, NextStep, Way};
use parts::kind::State;
use parts::remedy;
use watch::dial::sensible;
use watch::why::Case;

pub fn of(case: &Case, next: &NextStep) -> Next {
    Next {
        step: ahead(case, &next.then),
        instead: next.instead.as_ref().map(|(deed, expected)| Instead {
            part: part(case, deed).unwrap_or_default(),
            title: title(case, deed),
            expected: cost(*expected),
        }),
        saves: sensible(next.saves().unwrap_or_default()),
        lacking: next.lacking.as_ref().map(|lacking| Lacking {
            part: name_of(case.plant, lacking.of).into(),
            check: lacking.check.name,
            tools: lacking.tools.clone(),
            saves: sensible(lacking.saves),
        }),
        hour_worth_eur: sensible(next.hour),
        situation: Situation {
            at_sea: next.set_up.at_sea,
            cannot_stop: next.set_up.cannot_stop,
            haven_hours: sensible(next.set_up.to_haven / 60.0),
        },
    }
}

fn ahead(case: &Case, ahead: &next_step::Ahead) -> Ahead {
    let (does, check, causes, caution) = match &ahead.does {
        // A check that bites nobody has no caution, as on the page.
        Deed::Check { check, .. } => {
            let caution = (!check.caution.is_empty()).then(|| check.caution.to_string());
            ("check", Some(*check), Vec::new(), caution)
        }
        Deed::Repair { causes, effort, .. } => (
            "repair",
            None,
            causes.iter().map(|what| label(case, *what)).collect(),
            Some(remedy::caution(effort.state).into()),
        ),
        Deed::Help => ("help", None, Vec::new(), None),
        Deed::Leave => ("leave", None, Vec::new(), None),
        Deed::ReadAgain(_) => ("read again", None, Vec::new(), None),
        Deed::Cured => ("nothing", None, Vec::new(), None),
    };
    Ahead {
        does,
        part: part(case, &ahead.does),
        check: check.map(|check| check.name),
        causes,
        title: title(case, &ahead.does),
        minutes: sensible(ahead.hands_on),
        state: ahead.does.state().map(State::words),
        tool: check.and_then(|check| check.tool),
        caution,
        price: cost(ahead.price),
        waits_hours: if let Way::Waits(minutes) = ahead.way { Some(sensible(minutes / 60.0)) } else { None },
        expected: cost(ahead.expected),
        then: ahead.then.iter().map(|(came, then)| branch(case, came, then)).collect(),
    }
}

fn branch(case: &Case, came: &Came, then: &next_step::Ahead) -> Branch {
    let (came, found) = match came {
        Came::Found(causes) => ("found", causes.iter().map(|what| label(case, *what)).collect()),
        Came::Something(causes) => ("something", causes.iter().map(|what| label(case, *what)).collect()),
        Came::Clean => ("clean", Vec::new()),
        Came::Persists => ("persists", Vec::new()),
    };
    Branch { came, found, probability: sensible(then.chance), step: ahead(case, then) }
}

fn cost(cost: next_step::Cost) -> Cost {
    Cost { minutes: sensible(cost.minutes), money_eur: sensible(cost.money), risk_minutes: sensible(cost.risk) }
}

fn part(case: &Case, deed: &Deed) -> Option<String> {
    match deed {
        Deed::Check { of, .. } | Deed::Repair { of, .. } => Some(name_of(case.plant, *of).into()),
        _ => None,
    }
}

fn title(case: &Case, deed: &Deed) -> String {
    match deed {
        Deed::Check { check, .. } => check.title.into(),
        Deed::Repair { causes, .. } => {
            causes.first().and_then(|what| cause_of(case.plant, *what)).map_or("", |cause| cause.remedy).into()
        }
        other => watch::next::deed(case, other),
    }
}

/// "part.cause".
fn label(case: &Case, what: What) -> String {
    match (what, cause_of(case.plant, what)) {
        (What::Cause(of, _), Some(cause)) => format!("{}.{}", name_of(case.plant, of), cause.name),
        _ => String::new(),
    }
}
