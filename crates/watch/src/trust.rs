//! How far an answer can be trusted: what nothing explains, what was read cannot tell apart, and whether the first place
//! hangs on how often things are said to fail.

use crate::dial;
use crate::place;
use crate::saying::{list, sentence};
use crate::verdict::{entries, entry_title, named, title, unlisted};
use crate::why::Case;
use diagnosis::alike::{Alike, Telling};
use diagnosis::hypothesis::{What, name_of};
use plant::evidence::Named;

/// Rates of failure are good to this factor [1].
pub const RATE_DOUBT: f64 = 3.0;

/// One that would be first if it happened so many times as often.
#[derive(Clone, Debug, PartialEq)]
pub struct Rival {
    /// Which, in words.
    pub title: String,
    /// It is that all is well: then it is trouble that had to come so many times less often.
    pub well: bool,
    /// Times [1].
    pub times: f64,
}

/// Whether the first place survives any rate times or divided by three.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// What is first, in words.
    pub first: String,
    /// What would be instead, the nearest first; none if it holds.
    pub rivals: Vec<Rival>,
}

/// How firmly the first place stands; nothing where nothing was weighed or nothing explains what was read.
pub fn standing(case: &Case) -> Option<Standing> {
    // What explains nothing is first of nothing.
    if case.answer.unexplained.as_ref().is_some_and(|odd| !odd.slips) {
        return None;
    }
    let entries = entries(case);
    let named = entries.iter().map(|entry| One { chance: entry.chance, title: entry_title(case, entry), well: false });
    let others = unlisted(case).map(|ranked| One {
        chance: ranked.probability,
        title: title(case, ranked),
        well: ranked.what == What::Well,
    });
    stands(named.chain(others).collect())
}

/// One of all that it may be.
struct One {
    chance: f64,
    title: String,
    well: bool,
}

fn stands(mut all: Vec<One>) -> Option<Standing> {
    all.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    let mut all = all.into_iter();
    let first = all.next()?;
    // Odds of two go with the rate of either: what is so many times less likely needs to be so many times more frequent.
    let rivals = all.filter(|other| other.chance > 0.0 && first.chance / other.chance < RATE_DOUBT);
    let rivals =
        rivals.map(|One { chance, title, well }| Rival { title, well, times: first.chance / chance }).collect();
    (first.chance > 0.0).then_some(Standing { first: first.title, rivals })
}

impl Standing {
    /// In a sentence.
    pub fn in_words(&self) -> String {
        let would = |rival: &Rival| {
            let (often, more) = (rival.times, !rival.well);
            let how = match (often < 1.15, more) {
                (true, true) => "only a little more often".to_string(),
                (true, false) => "only a little less often".into(),
                (false, true) => format!("{often:.1} times as often"),
                (false, false) => format!("{often:.1} times less often"),
            };
            let what = if more { "it happened" } else { "such trouble came" };
            format!("{} would be, if {what} {how}", rival.title)
        };
        match self.rivals.as_slice() {
            [] => format!(
                "{} stays first, even if it happened three times more seldom than the rates say, or any other three times \
                 as often",
                sentence(&self.first)
            ),
            rivals => {
                let told: Vec<String> = rivals.iter().take(2).map(would).collect();
                format!("By the rates as they are {} is first; {}", self.first, told.join("; "))
            }
        }
    }
}

/// What nothing on the list explains, and what to do about it.
pub fn unexplained(case: &Case) -> Option<String> {
    let unexplained = case.answer.unexplained.as_ref()?;
    let readings: Vec<String> = unexplained.readings.iter().filter_map(|place| case.reading_named(*place)).collect();
    let (named, several) = (list(&readings), readings.len() > 1);
    Some(match (unexplained.slips, several) {
        (true, false) => {
            format!("{named} goes with nothing else that was told: most likely it was misread. Read it again first")
        }
        (true, true) => {
            format!("{named} go with nothing else that was told: most likely they were misread. Read them again first")
        }
        (false, false) => format!("Nothing on the list explains {named} beside the rest. Check that reading first"),
        (false, true) => format!("Nothing on the list explains {named} together. Check these readings first"),
    })
}

/// Causes that what was read does not tell apart, and what would, a sentence or two a group.
pub fn alike(case: &Case) -> Vec<String> {
    case.answer.alike.iter().map(|group| in_words(case, group)).collect()
}

fn in_words(case: &Case, group: &Alike) -> String {
    let names: Vec<String> = group.of.iter().map(|what| short(case, *what)).collect();
    let mut text = format!("What was read fits {} alike.", list(&names));
    let reading = group.reading.as_ref().map(|telling| reads(case, group, telling));
    let check = group.check.as_ref().map(|advice| {
        let minutes = dial::number(advice.hands_on, 1.0);
        let title = advice.check.title.trim_end_matches('.');
        format!("{title} ({}, {minutes} min)", name_of(case.plant, advice.of))
    });
    let check = check.map(|check| format!("The check that settles most between them: {check}"));
    let how: Vec<String> = reading.into_iter().chain(check).collect();
    if how.is_empty() {
        return text + " No check or reading known here would tell them apart.";
    }
    for line in how {
        text.extend([" ", &line, "."]);
    }
    text
}

/// "Reading coolant at 900 rpm would tell: 71 °C with strainer blocked (strainer), 84 °C with the coolant gauge lies".
fn reads(case: &Case, group: &Alike, telling: &Telling) -> String {
    let gauge = &case.plant[telling.gauge];
    let step = dial::reading_step(gauge);
    let value = |value| dial::with_unit(&dial::number(dial::on_dial(gauge, value), step), dial::unit(gauge));
    let at =
        if telling.here { " where she is now".to_string() } else { format!(" at {}", place::speed(telling.speed)) };
    let each = telling.reads.map(|(of, reads)| format!("{} with {}", value(reads), short(case, group.of[of])));
    format!("Reading {}{at} would tell: {}", gauge.name, each.join(", "))
}

/// A cause, or that a gauge lies, whichever way.
fn short(case: &Case, what: What) -> String {
    match what {
        What::Cause(of @ Named::Gauge(_), _) => format!("the {} gauge lies", name_of(case.plant, of)),
        other => named(case.plant, other),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(chances: &[(f64, &str)]) -> Standing {
        let one = |&(chance, title): &(f64, &str)| One { chance, title: title.into(), well: title == "all is well" };
        stands(chances.iter().map(one).collect()).expect("something is first")
    }

    #[test]
    fn first_place_holds_where_no_rate_three_times_off_would_change_it() {
        let holds = of(&[(0.2, "pump"), (0.7, "strainer"), (0.1, "all is well")]);
        assert_eq!((holds.first.as_str(), holds.rivals.len()), ("strainer", 0));
        assert!(holds.in_words().starts_with("Strainer stays first"), "{}", holds.in_words());
    }

    #[test]
    fn what_would_be_first_says_how_much_more_often_it_had_to_happen() {
        // 0.48 of 0.24: twice as often, and both are alike; the third would need four times.
        let near = of(&[(0.48, "strainer"), (0.24, "pump"), (0.12, "gauge")]);
        assert_eq!(near.rivals, [Rival { title: "pump".into(), well: false, times: 2.0 }]);
        let words = near.in_words();
        assert!(words.contains("pump would be, if it happened 2.0 times as often"), "{words}");
        let well = of(&[(0.5, "strainer"), (0.4, "all is well")]).in_words();
        assert!(well.contains("if such trouble came 1.2 times less often"), "{well}");
    }
}
