//! What people are shown: one line for one cause, each alert in exactly one line.

use crate::board::{Alert, Board};
use crate::category::Category;
use crate::state::State;

/// Alerts that belong together, as whoever watches sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Its key.
    pub key: String,
    /// What they have in common, in words.
    pub title: String,
    /// Which, by key.
    pub members: Vec<String>,
}

/// How an alert stands with people: the three that they are shown.
#[derive(Copy, Clone, Debug, PartialEq)]
pub enum Shown {
    /// Nobody has seen it, whether it is still so or not.
    New,
    /// It is so, and was seen.
    Seen,
    /// It is held until this time [s by the clock].
    Held(f64),
}

/// Why a line has several alerts.
#[derive(Clone, Debug, PartialEq)]
pub enum Sort {
    /// It has one.
    One,
    /// They belong together: key and title of the group.
    Gathered(String, String),
    /// Too many come at once, and these are the lesser ones.
    Flood,
}

/// One line.
#[derive(Clone, Debug)]
pub struct Line<'a> {
    /// Why it has those it has.
    pub sort: Sort,
    /// The highest of its alerts.
    pub category: Category,
    /// New if one of them is; held only if all are.
    pub shown: Shown,
    /// Its alerts, the gravest first.
    pub alerts: Vec<&'a Alert>,
}

impl Alert {
    /// How it stands with people; nothing if there is nothing to tell.
    pub fn shown(&self) -> Option<Shown> {
        match self.state {
            State::Unacknowledged | State::Returned => Some(Shown::New),
            State::Acknowledged => Some(Shown::Seen),
            State::Shelved => Some(Shown::Held(self.held_until.unwrap_or(self.since))),
            State::Normal | State::Suppressed | State::OutOfService => None,
        }
    }
}

impl Board {
    /// Everything there is to tell, the gravest and newest first. Of groups that name the same alert the first has it. In a
    /// flood what is new, no graver than a warning and in no group is one line.
    pub fn lines(&self, groups: &[Group]) -> Vec<Line<'_>> {
        let told: Vec<&Alert> = self.alerts().filter(|alert| alert.shown().is_some()).collect();
        let group_of = |alert: &Alert| groups.iter().position(|group| group.members.contains(&alert.sign.key));
        let washed =
            |alert: &Alert| self.flood && alert.sign.category <= Category::Warning && alert.shown() == Some(Shown::New);
        let mut lines: Vec<Line> = Vec::new();
        for (k, group) in groups.iter().enumerate() {
            let members: Vec<&Alert> = told.iter().copied().filter(|alert| group_of(alert) == Some(k)).collect();
            lines.extend(Line::of(Sort::Gathered(group.key.clone(), group.title.clone()), members));
        }
        let alone = || told.iter().copied().filter(|alert| group_of(alert).is_none());
        lines.extend(alone().filter(|alert| !washed(alert)).filter_map(|alert| Line::of(Sort::One, vec![alert])));
        lines.extend(Line::of(Sort::Flood, alone().filter(|alert| washed(alert)).collect()));
        let newest = |line: &Line| line.alerts.iter().map(|alert| alert.since).fold(f64::NEG_INFINITY, f64::max);
        lines.sort_by(|a, b| {
            let rank = |line: &Line| (line.category, line.shown == Shown::New, !matches!(line.shown, Shown::Held(_)));
            rank(b).cmp(&rank(a)).then(newest(b).total_cmp(&newest(a)))
        });
        lines
    }

    /// The gravest that is there and nobody has seen: what sounds.
    pub fn sounds(&self) -> Option<Category> {
        let new = self.alerts().filter(|alert| alert.state == State::Unacknowledged);
        new.map(|alert| alert.sign.category).max()
    }

    /// Whether so many come that the lesser ones are told together.
    pub fn floods(&self) -> bool {
        self.flood
    }
}

impl<'a> Line<'a> {
    fn of(sort: Sort, mut alerts: Vec<&'a Alert>) -> Option<Line<'a>> {
        let category = alerts.iter().map(|alert| alert.sign.category).max()?;
        alerts.sort_by(|a, b| b.sign.category.cmp(&a.sign.category).then(a.since.total_cmp(&b.since)));
        let all = || alerts.iter().filter_map(|alert| alert.shown());
        let shown = if all().any(|shown| shown == Shown::New) {
            Shown::New
        } else if all().any(|shown| shown == Shown::Seen) {
            Shown::Seen
        } else {
            let ends = all().filter_map(|shown| if let Shown::Held(until) = shown { Some(until) } else { None });
            Shown::Held(ends.fold(f64::INFINITY, f64::min))
        };
        Some(Line { sort, category, shown, alerts })
    }
}
