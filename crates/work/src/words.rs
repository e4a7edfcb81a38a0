//! What is due, in words: the same on a page, on a terminal and on paper.

use crate::date::{self, DAY};
use crate::due::{By, Due, List, Stands};
use crate::passage::Falls;
use crate::risk::Risk;
use crate::task::{Needs, Side, Task, Trigger};
use measure::unit;
use plant::plant::Plant;
use std::fmt::Write as _;

/// What is called soon [days].
pub const SOON: i64 = 60;

/// Whether it falls due within two months.
pub fn is_soon(due: &Due, now: i64) -> bool {
    due.stands == Stands::Ahead && due.when.is_some_and(|when| when[1] <= now + SOON * DAY)
}

/// How a task stands: "past by 14 h", "about 14 Jun 2026 (2 May to 20 Aug 2026)".
pub fn stands(due: &Due) -> String {
    match due.stands {
        Stands::Past { hours, days } => past(due, hours, days),
        Stands::Ahead => due.when.map_or_else(String::new, foreseen),
        Stands::Unknown => "nobody knows when it was done last".into(),
        Stands::Waits => "waits".into(),
    }
}

fn past(due: &Due, hours: Option<f64>, days: Option<f64>) -> String {
    let told: Vec<String> =
        [hours.map(|hours| format!("{hours:.0} h")), days.map(long)].into_iter().flatten().collect();
    match (&due.by, told.is_empty()) {
        (By::Event(event), _) => format!("due since {}", spoken(event)),
        (By::Condition, _) | (_, true) => "due: past its limit".into(),
        _ => format!("past by {}", told.join(" and ")),
    }
}

/// Days as people say them.
fn long(days: f64) -> String {
    match days.round() {
        days if days < 1.0 => "less than a day".into(),
        days if days < 2.0 => "1 day".into(),
        days if days < 60.0 => format!("{days:.0} days"),
        days => format!("{:.0} months", days / 30.437),
    }
}

/// A day, with how sure it is where it is not.
fn foreseen(when: [i64; 3]) -> String {
    let (low, middle, high) = (date::words(when[0]), date::words(when[1]), date::words(when[2]));
    if when[2] - when[0] < 3 * DAY {
        return middle;
    }
    // The year is not told twice in a row.
    let low = match (low.rsplit_once(' '), high.rsplit_once(' ')) {
        (Some((day, year)), Some((_, other))) if year == other => day.to_string(),
        _ => low,
    };
    format!("about {middle} ({low} to {high})")
}

/// "haul-out" as it is spoken of: "the haul-out".
fn spoken(event: &str) -> String {
    format!("the {event}")
}

/// How often, and by what else: "every 250 h or 12 months, and after the haul-out".
pub fn interval(plant: &Plant, task: &Task) -> String {
    let hours = task.every.hours.map(|hours| format!("{hours:.0} h"));
    let months = task.every.months.map(|months| match months {
        months if (months - 1.0).abs() < 0.01 => "month".to_string(),
        months if (months - 12.0).abs() < 0.01 && hours.is_none() => "year".to_string(),
        months => format!("{months:.0} months"),
    });
    let every: Vec<String> = [hours, months].into_iter().flatten().collect();
    let mut parts: Vec<String> = Vec::new();
    if !every.is_empty() {
        parts.push(format!("every {}", every.join(" or ")));
    }
    if let Some(first) = task.every.first {
        parts.push(format!("the first time after {first:.0} h"));
    }
    parts.extend(task.also.iter().map(|trigger| trigger_words(plant, task, trigger)));
    parts.join(", ")
}

fn trigger_words(plant: &Plant, task: &Task, trigger: &Trigger) -> String {
    let side = |side: &Side| if *side == Side::Above { "above" } else { "below" };
    match trigger {
        Trigger::Reading { gauge, limit, side: which } => {
            let gauge = &plant[*gauge];
            let limit = unit::print(*limit, gauge.quantity, &gauge.unit)
                .unwrap_or_else(|| unit::print_usual(*limit, gauge.quantity));
            format!("when {} is {} {limit}", gauge.name, side(which))
        }
        Trigger::Measured { measure, limit, side: which } => {
            let of = task.measures.iter().find(|one| one.name == *measure);
            let limit = of.map_or_else(|| limit.to_string(), |one| one.print(*limit));
            format!("when “{measure}” is {} {limit}", side(which))
        }
        Trigger::After(event) => format!("after {}", spoken(event)),
        Trigger::Before(event) => format!("before {}", spoken(event)),
        Trigger::Season(month) => {
            const NAMES: [&str; 12] = [
                "January",
                "February",
                "March",
                "April",
                "May",
                "June",
                "July",
                "August",
                "September",
                "October",
                "November",
                "December",
            ];
            format!("by {} each year", NAMES[(*month as usize).clamp(1, 12) - 1])
        }
    }
}

/// What makes it due, after "by": hours, the calendar, …
pub fn by(due: &Due) -> String {
    match &due.by {
        By::Hours => due.at_hours.map_or_else(|| "by hours".into(), |at| format!("at {at:.0} h")),
        By::Calendar => "by the calendar".into(),
        By::Condition => "by what was read".into(),
        By::Event(event) => format!("for {}", spoken(event)),
        By::Nothing => String::new(),
    }
}

/// The first sentence: what is past, what comes soon, what nobody knows.
pub fn verdict(list: &List, now: i64) -> String {
    let count = |of: &dyn Fn(&Due) -> bool| list.rows.iter().filter(|due| of(due)).count();
    let past = count(&|due| matches!(due.stands, Stands::Past { .. }));
    let soon = count(&|due| is_soon(due, now));
    let unknown = count(&|due| due.stands == Stands::Unknown);
    let tasks = |count: usize| if count == 1 { "1 task".into() } else { format!("{count} tasks") };
    let mut said = match (past, soon) {
        (0, 0) => format!("Nothing is past, and nothing falls due within {SOON} days"),
        (0, soon) => {
            format!("Nothing is past; {} fall{} due within {SOON} days", tasks(soon), if soon == 1 { "s" } else { "" })
        }
        (past, 0) => format!("{} {} past", tasks(past), if past == 1 { "is" } else { "are" }),
        (past, soon) => format!(
            "{} {} past, {soon} more fall{} due within {SOON} days",
            tasks(past),
            if past == 1 { "is" } else { "are" },
            if soon == 1 { "s" } else { "" }
        ),
    };
    if unknown > 0 {
        let _ = write!(
            said,
            "; of {} nobody knows when {} done last",
            tasks(unknown),
            if unknown == 1 { "it was" } else { "they were" }
        );
    }
    said + "."
}

/// What leaving a task undone risks: "raw-water impeller worn: 1 in 12 within 100 h, an engine lost".
pub fn risk(task: &Task, risk: &Risk) -> String {
    let what = risk.of.first().map_or(String::new(), |first| format!("{first}: "));
    format!("{what}{} within 100 h, {}", one_in(risk.chance), task.harm.words())
}

/// A chance as people say it.
pub fn one_in(chance: f64) -> String {
    match chance {
        chance if chance >= 0.95 => "nearly certain".into(),
        chance if chance > 0.4 => format!("about {:.0} in 10", 10.0 * chance),
        chance if chance > 1e-4 => {
            let count = 1.0 / chance;
            let size = 10_f64.powf(count.log10().floor() - 1.0).max(1.0);
            format!("1 in {:.0}", (count / size).round() * size)
        }
        _ => "less than 1 in 10 000".into(),
    }
}

/// One task on a passage: "at 1950 h; done before she leaves it falls due at 2100 h, still at sea".
pub fn fall(fall: &Falls) -> String {
    let at = |hours: Option<f64>, time: Option<i64>| match (hours, time) {
        (Some(hours), None) => format!("at {hours:.0} h"),
        (None, Some(time)) => format!("on {}", date::words(time)),
        (Some(hours), Some(time)) => format!("at {hours:.0} h or on {}", date::words(time)),
        (None, None) => "later".into(),
    };
    let first = if fall.before {
        format!("past before she leaves ({})", at(fall.at_hours, fall.at_time))
    } else {
        at(fall.at_hours, fall.at_time)
    };
    let again = if fall.times > 1 { format!(", {} times in all", fall.times) } else { String::new() };
    let then = at(fall.next_hours, fall.next_time);
    let where_then = if fall.times_if_done > 0 { "still at sea" } else { "after the arrival" };
    format!("{first}{again}; done before she leaves it falls due {then}, {where_then}")
}

/// Tasks that one occasion does: what is past or comes soon, or has used up most of its interval, by what they take.
pub fn together(tasks: &[Task], list: &List, now: i64) -> Vec<(Needs, Vec<usize>)> {
    let wants = |due: &Due| {
        matches!(due.stands, Stands::Past { .. }) || is_soon(due, now) || due.used.is_some_and(|used| used > 0.8)
    };
    let groups = Needs::ALL.map(|needs| {
        let rows = list.rows.iter().enumerate().filter(|(_, due)| tasks[due.task].needs == needs && wants(due));
        (needs, rows.map(|(row, _)| row).collect::<Vec<_>>())
    });
    groups.into_iter().filter(|(_, rows)| !rows.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_and_days_read_as_people_say_them() {
        assert_eq!(
            [0.5, 0.09, 0.0123, 1e-9, 0.99].map(one_in),
            ["about 5 in 10", "1 in 11", "1 in 81", "less than 1 in 10 000", "nearly certain"]
        );
        assert_eq!([0.2, 1.2, 30.0, 91.0].map(long), ["less than a day", "1 day", "30 days", "3 months"]);
        let noon = |text| date::read(text).expect("a day");
        let when = [noon("2026-05-02"), noon("2026-06-14"), noon("2026-08-20")];
        assert_eq!(foreseen(when), "about 14 Jun 2026 (2 May to 20 Aug 2026)");
        assert_eq!(foreseen([when[1]; 3]), "14 Jun 2026");
    }
}
