//! Which alerts are of one cause: those of the gauges that the likeliest cause moves; and while none is named, those of
//! gauges that are off together, and those of gauges that look at the same place.

use crate::attention::{OFF, SILENT, is_of};
use crate::picture::Explained;
use crate::saying::{Odds, list};
use crate::verdict;
use alerts::{Alert, Board, Group};
use plant::plant::{GaugeId, Plant};

/// Groups of the alerts that there are to tell, in the order in which they take them.
pub fn groups(plant: &Plant, explained: Option<&Explained>, board: &Board) -> Vec<Group> {
    // That a gauge is silent is of its wire, not of the engine.
    let told = board.alerts().filter(|alert| alert.shown().is_some() && !is_of(&alert.sign.key, SILENT));
    let mut left: Vec<&Alert> = told.collect();
    if left.is_empty() {
        return Vec::new();
    }
    let mut groups: Vec<Group> = Vec::new();
    if let Some(group) = explained.and_then(|explained| of_cause(plant, explained, &left)) {
        left.retain(|alert| !group.members.contains(&alert.sign.key));
        groups.push(group);
    }
    let tap = |alert: &Alert| plant.gauge(&alert.sign.of).map(|gauge| plant[gauge].tap);
    let off: Vec<&Alert> = left.iter().copied().filter(|alert| is_of(&alert.sign.key, OFF)).collect();
    let with: Vec<String> = keys(left.iter().copied().filter(|alert| off.iter().any(|other| tap(other) == tap(alert))));
    if with.len() > 1 {
        left.retain(|alert| !with.contains(&alert.sign.key));
        let title = match off.as_slice() {
            [one] => format!("{} is off, and nothing is named for it yet", one.sign.of),
            many => format!("{} gauges are off together, and nothing is named for them yet", many.len()),
        };
        groups.push(Group { key: "unexplained".into(), title, members: with });
    }
    while let Some(first) = left.first().copied() {
        let same: Vec<&Alert> = left.iter().copied().filter(|alert| tap(alert) == tap(first)).collect();
        left.retain(|alert| tap(alert) != tap(first));
        if same.len() > 1 {
            let mut names: Vec<String> = same.iter().map(|alert| alert.sign.of.clone()).collect();
            names.dedup();
            groups.push(Group {
                key: format!("{} and others", first.sign.key),
                title: list(&names),
                members: keys(same),
            });
        }
    }
    groups
}

fn keys<'a>(alerts: impl IntoIterator<Item = &'a Alert>) -> Vec<String> {
    alerts.into_iter().map(|alert| alert.sign.key.clone()).collect()
}

/// What the cause that is named moves, and alarms at the same places.
fn of_cause(plant: &Plant, explained: &Explained, left: &[&Alert]) -> Option<Group> {
    let what = explained.named(plant)?;
    let ranked = explained.answer.ranked.iter().find(|ranked| ranked.what == what)?;
    let foretold = explained.moves.iter().find(|(cause, _)| *cause == what).map_or(&[][..], |(_, gauges)| gauges);
    let moved = explained.case(plant, Odds::Words).moves(ranked, foretold);
    let touched = |gauge: GaugeId| {
        let alarm = plant[gauge].trips.is_some();
        moved.contains(&gauge) || (alarm && moved.iter().any(|other| plant[*other].tap == plant[gauge].tap))
    };
    let mine = left.iter().filter(|alert| plant.gauge(&alert.sign.of).is_some_and(touched));
    let members = keys(mine.copied());
    let title = verdict::named(plant, what);
    (!members.is_empty()).then(|| Group { key: "cause".into(), title, members })
}
