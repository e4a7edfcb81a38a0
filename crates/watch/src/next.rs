//! The next step in words: what to do, what it takes, why just that, and what then; the same on every page and on the
//! terminal.

use crate::place;
use crate::saying::{list, lower_first, sentence};
use crate::verdict::named;
use crate::why::Case;
use diagnosis::hypothesis::{What, cause_of, name_of};
use diagnosis::next_step::{Ahead, Came, Cost, Deed, NextStep, Way};
use measure::quantity::Quantity;
use parts::kind::State;
use parts::remedy;

/// What stands to be done this minute goes before any step.
pub const ABOVE_FIRST: &str = "What stands above comes first.";

/// The next step, told.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// What to settle before it, if anything.
    pub first: Vec<String>,
    /// "strainer: Shut the seacock, lift the lid …"
    pub head: String,
    /// Minutes, state of the engine, tools, money.
    pub takes: String,
    /// What becomes of her way meanwhile, if that is to be known.
    pub way: Option<String>,
    /// The line at the step that bites.
    pub caution: Option<String>,
    /// Why this, in minutes and money.
    pub why: String,
    /// What then, step by step.
    pub then: Vec<Line>,
    /// A check that would help if its tools were aboard.
    pub lacking: Option<String>,
}

/// A line of what then, and how deep it stands under the step.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// 0 for what follows the step itself.
    pub depth: usize,
    /// The line.
    pub text: String,
}

/// The next step of a case; nothing where there is nothing to weigh. `ordered`: something stands to be done this minute, and
/// then nothing is left alone.
pub fn told(case: &Case, ordered: bool) -> Option<Told> {
    let next = case.answer.next.as_ref()?;
    if ordered && matches!(next.then.does, Deed::Leave) {
        return None;
    }
    let mut then = Vec::new();
    lines(case, &next.then, 0, &mut then);
    Some(Told {
        first: first(case, &next.then.does, ordered),
        head: head(case, &next.then.does),
        takes: takes(&next.then),
        way: way(&next.then),
        caution: caution(&next.then.does),
        why: why(case, next),
        then,
        lacking: next.lacking.as_ref().map(|lacking| {
            let tools: Vec<String> = lacking.tools.iter().map(ToString::to_string).collect();
            format!(
                "More would be settled by {}: {}, but it needs {}, which is not aboard; it would save about {}.",
                name_of(case.plant, lacking.of),
                lacking.check.title.trim_end_matches(['.', '?']),
                list(&tools),
                span(lacking.saves)
            )
        }),
    })
}

/// What goes before the step: what is to be done this minute, and what may make it needless.
fn first(case: &Case, does: &Deed, ordered: bool) -> Vec<String> {
    let mut first = Vec::new();
    if ordered {
        first.push(ABOVE_FIRST.to_string());
    }
    if let (Some(odd), false) = (&case.answer.unexplained, matches!(does, Deed::ReadAgain(_) | Deed::Cured)) {
        first.push(format!("First {}, as said above.", read_again(case, &odd.readings)));
    }
    first.extend(still_warm(case));
    first
}

/// Whether she is cold is the first thing to ask of a stopped engine that reads warm: all is judged as if she were.
fn still_warm(case: &Case) -> Option<String> {
    let stopped = |run: usize| place::stopped(&case.answer.setting.seen.runs[run].point);
    let warm = case.answer.deviations.iter().filter(|d| {
        let thermometer = case.plant[d.gauge].quantity == Quantity::Temperature && d.against.is_none();
        thermometer && stopped(d.run) && (d.read - d.expected) / d.sigma > WARM
    });
    let named: Vec<String> = warm.map(|deviation| case.plant[deviation.gauge].name.clone()).collect();
    // How long cooling takes: from memory.
    (!named.is_empty()).then(|| {
        format!(
            "First: is she cold? Stopped is taken as cooled down to what is around her, which takes about half a day. If she \
             ran since, leave out what {} read, or read it again when she is cold.",
            list(&named)
        )
    })
}

/// Further over what a cold engine reads than this, it may be warm [standard deviations].
const WARM: f64 = 2.5;

/// "read coolant (99 °C) and raw-out (52 °C) again"
fn read_again(case: &Case, readings: &[usize]) -> String {
    let named: Vec<String> = readings.iter().filter_map(|place| case.reading_named(*place)).collect();
    format!("read {} again", list(&named))
}

/// "Next: open it and look (strainer), 10 min, stopped."; nothing where it is to be left alone.
pub fn in_short(case: &Case) -> Option<String> {
    let ahead = &case.answer.next.as_ref()?.then;
    let what = match &ahead.does {
        Deed::Check { of, check, .. } => {
            format!("{} ({})", lower_first(check.title.trim_end_matches(['.', '?'])), name_of(case.plant, *of))
        }
        Deed::Repair { .. } => deed(case, &ahead.does),
        Deed::Help => return Some("Next: call for help; no check or repair known here is worth its time.".into()),
        Deed::ReadAgain(readings) => return Some(format!("Next: {}.", read_again(case, readings))),
        Deed::Leave | Deed::Cured => return None,
    };
    let wait = if let Way::Waits(_) = ahead.way { ", once she lies in a haven" } else { "" };
    let state = ahead.does.state().map_or("", State::words);
    Some(format!("Next: {what}, {:.0} min, {state}{wait}.", ahead.hands_on))
}

/// What to do, for a heading.
fn head(case: &Case, does: &Deed) -> String {
    match does {
        Deed::Check { of, check, .. } => format!("{}: {}", name_of(case.plant, *of), check.title),
        Deed::Repair { of, .. } => format!("{}: {}", name_of(case.plant, *of), sentence(&deed_of(case, does))),
        other => sentence(&deed(case, other)),
    }
}

/// What to do, in running text: "renew the impeller (raw-pump)".
pub fn deed(case: &Case, does: &Deed) -> String {
    match does {
        Deed::Check { of, check, .. } => {
            format!("{}: {}", name_of(case.plant, *of), lower_first(check.title.trim_end_matches(['.', '?'])))
        }
        Deed::Repair { of, .. } => format!("{} ({})", deed_of(case, does), name_of(case.plant, *of)),
        Deed::Help => "call for help".into(),
        Deed::Leave => "leave it until it shows more plainly".into(),
        Deed::ReadAgain(readings) => read_again(case, readings),
        Deed::Cured => "nothing: it is cured".into(),
    }
}

/// The remedy alone.
fn deed_of(case: &Case, does: &Deed) -> String {
    let Deed::Repair { causes, .. } = does else { return String::new() };
    causes.first().and_then(|what| cause_of(case.plant, *what)).map_or_else(String::new, |cause| cause.remedy.into())
}

fn takes(ahead: &Ahead) -> String {
    let minutes = format!("{:.0} min", ahead.hands_on);
    match &ahead.does {
        Deed::Check { check, .. } => {
            let tool = check.tool.map_or(String::new(), |tool| format!("; {tool}"));
            format!("{minutes}, {}{tool}{}", check.state.words(), in_all(ahead, ""))
        }
        Deed::Repair { effort, lacks_spare, .. } => {
            let hands = if effort.yard { ", a yard's or workshop's work" } else { "" };
            let money = if effort.money < 1.0 { String::new() } else { format!("; about {:.0} EUR", effort.money) };
            let spare = if *lacks_spare { "; the spare is not aboard" } else { "" };
            let run = " and running her to see";
            format!("{minutes}, {}{hands}{money}{spare}{}", effort.state.words(), in_all(ahead, run))
        }
        Deed::Help => "A tow, a workshop, a longer search.".into(),
        Deed::Leave | Deed::ReadAgain(_) | Deed::Cured => String::new(),
    }
}

/// "; 27 min in all, with bringing her into that state".
fn in_all(ahead: &Ahead, more: &str) -> String {
    let waits = if let Way::Waits(minutes) = ahead.way { minutes } else { 0.0 };
    let all = ahead.price.minutes - waits;
    if all < ahead.hands_on + 1.0 {
        return String::new();
    }
    format!("; about {} in all, with bringing her into that state{more}", span(all))
}

fn way(ahead: &Ahead) -> Option<String> {
    match ahead.way {
        Way::Kept => None,
        Way::Drifts => Some("Her only engine stands meanwhile: sea room first, and somebody on watch.".into()),
        Way::OtherRunsOn => Some("The other engine takes her on meanwhile.".into()),
        Way::Waits(minutes) => {
            let why = match &ahead.does {
                Deed::Repair { effort, .. } if effort.yard => "it is a yard's or workshop's work",
                Deed::Repair { lacks_spare: true, .. } => "the spare is not aboard",
                does if does.state() == Some(State::UnderWater) => "it wants still water",
                Deed::Check { check, .. } if check.state < State::Stopped => "it is made alongside",
                _ => "her engine cannot be stopped now",
            };
            Some(format!("It waits until she lies in a haven, about {} off: {why}.", span(minutes)))
        }
    }
}

fn caution(does: &Deed) -> Option<String> {
    match does {
        Deed::Check { check, .. } => (!check.caution.is_empty()).then(|| check.caution.into()),
        Deed::Repair { effort, .. } => Some(format!("{} As her maker's manual says.", remedy::caution(effort.state))),
        _ => None,
    }
}

/// What is expected of it, against simply doing the likeliest repair.
fn why(case: &Case, next: &NextStep) -> String {
    let this_way = price(next.then.expected);
    match &next.then.does {
        Deed::Leave => return "Most likely nothing is wrong, and to look for it would cost more than it saves.".into(),
        Deed::Help => return format!("No check or repair known here is worth its time. Expected: {this_way}."),
        Deed::ReadAgain(_) => {
            return "Nothing on the list explains it, so that nothing is worth mending and nobody worth calling before it is \
                    known to be so. Read it with another instrument, if there is one."
                .into();
        }
        Deed::Cured => {
            return "A renewal cured it, as was told. If it comes back, take new readings and leave that renewal out."
                .into();
        }
        Deed::Check { .. } | Deed::Repair { .. } => {}
    }
    let expected = format!("She is expected to be right again after {this_way} this way");
    let (Some((likeliest, cost)), Some(saves)) = (&next.instead, next.saves()) else { return format!("{expected}.") };
    let likeliest_is_it = match (&next.then.does, likeliest) {
        (Deed::Repair { causes: a, .. }, Deed::Repair { causes: b, .. }) => a.first() == b.first(),
        _ => false,
    };
    if likeliest_is_it {
        return format!("{expected}; it cures the likeliest, and to look first would cost more than it saves.");
    }
    let likeliest = deed(case, likeliest);
    if saves < 1.0 {
        return format!("{expected}, no longer than by simply beginning with the likeliest repair, {likeliest}.");
    }
    format!(
        "{expected}; simply beginning with the likeliest repair, {likeliest}, after {}. That saves {}, money and risk counted in.",
        price(*cost),
        span(saves)
    )
}

/// "about 45 min and 30 EUR".
fn price(cost: Cost) -> String {
    let money =
        if cost.money < 5.0 { String::new() } else { format!(" and {:.0} EUR", (cost.money / 5.0).round() * 5.0) };
    format!("about {}{money}", span(cost.minutes))
}

/// Minutes as people say them: "12 min", "45 min", "3 h".
pub fn span(minutes: f64) -> String {
    match minutes {
        m if m < 20.0 => format!("{:.0} min", m.max(1.0)),
        m if m < 90.0 => format!("{:.0} min", (m / 5.0).round() * 5.0),
        m if m < 600.0 => {
            let halves = (m / 30.0).round();
            let half = if halves % 2.0 == 1.0 { "½" } else { "" };
            format!("{:.0}{half} h", (halves / 2.0).floor())
        }
        m => format!("{:.0} h", m / 60.0),
    }
}

/// What then, one line for each way it may come out.
fn lines(case: &Case, ahead: &Ahead, depth: usize, out: &mut Vec<Line>) {
    // Where the same follows however it comes out, that is one line: what it tells shows only after that.
    if let [(_, first), others @ ..] = ahead.then.as_slice()
        && !others.is_empty()
        && others.iter().all(|(_, other)| deed(case, &other.does) == deed(case, &first.does))
    {
        out.push(Line { depth, text: format!("Whatever it shows: {}{}.", deed(case, &first.does), minutes(first)) });
        return;
    }
    for (came, then) in &ahead.then {
        let chance = case.odds.say(then.chance);
        let what = match came {
            Came::Found(causes) => format!("If it shows {}", any_of(case, causes)),
            Came::Something(_) => "If it shows that something is off".into(),
            Came::Clean => "If it shows nothing".into(),
            Came::Persists => "If that does not cure it".into(),
        };
        let text = format!("{what} ({chance}): {}{}.", deed(case, &then.does), minutes(then));
        out.push(Line { depth, text });
        lines(case, then, depth + 1, out);
    }
}

/// ", 12 min, once she lies in a haven".
fn minutes(ahead: &Ahead) -> String {
    let wait = if let Way::Waits(_) = ahead.way { ", once she lies in a haven" } else { "" };
    match ahead.does {
        Deed::Check { .. } | Deed::Repair { .. } => format!(", {:.0} min{wait}", ahead.hands_on),
        _ => String::new(),
    }
}

/// Causes named in one line.
const NAMED: usize = 2;

fn any_of(case: &Case, causes: &[What]) -> String {
    let mut names: Vec<String> = Vec::new();
    // A cause alone and beside another has one name.
    for name in causes.iter().map(|what| named(case.plant, *what)) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let more = if names.len() > NAMED { " or the like" } else { "" };
    names.truncate(NAMED);
    format!("{}{more}", names.join(" or "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_said_as_people_say_them() {
        for (minutes, said) in [
            (0.2, "1 min"),
            (12.4, "12 min"),
            (47.0, "45 min"),
            (88.0, "90 min"),
            (100.0, "1½ h"),
            (240.0, "4 h"),
            (265.0, "4½ h"),
            (1190.0, "20 h"),
        ] {
            assert_eq!(span(minutes), said);
        }
    }
}
