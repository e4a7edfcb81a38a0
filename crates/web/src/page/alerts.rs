//! Alerts: a line for each cause with what can be done about it, the strip on every page, and the page of all of them with
//! their history, what is out of service, and the sound.

use crate::page::frame::{Frame, Theme};
use crate::page::long;
use crate::page::opening::{Act, drawn};
use crate::ship::Scene;
use crate::stream::Pieces;
use alerts::{Alert, Category, Change, Line, Shown, Sort, State};
use askama::Template;
use watch::picture::Picture;
use watch::saying::sentence;

/// Changes that the history shows.
const SHOWN: usize = 200;
/// Ends of a hold to choose from: minutes, and how they are said.
const ENDS: [(u32, &str); 5] = [(15, "15 min"), (60, "1 hour"), (240, "4 hours"), (1440, "1 day"), (10_080, "7 days")];
/// Ends of being out of service, in days.
const DAYS: [(u32, &str); 4] = [(1, "1 day"), (7, "1 week"), (30, "30 days"), (90, "90 days")];

/// All there is to tell, a line each.
#[derive(Template)]
#[template(path = "alert_lines.html")]
pub struct Lines {
    lines: Vec<LineView>,
    /// Gauges out of service, and alerts that mean nothing in the state the engine is in.
    aside: Option<String>,
}

/// One line.
struct LineView {
    /// For the ids of its elements.
    id: String,
    category: Category,
    shown: &'static str,
    /// "for 3 min", "comes back in 12 min".
    when: String,
    /// The gravest, in words.
    text: String,
    /// What those it has have in common.
    gathered: Option<String>,
    members: Vec<Member>,
    keys: Vec<String>,
    /// Something in it nobody has seen.
    new: bool,
    held: bool,
    ends: Vec<(u32, &'static str)>,
}

/// One alert of several.
struct Member {
    category: &'static str,
    shown: &'static str,
    text: String,
    when: String,
    chatters: Option<usize>,
}

impl Lines {
    /// At this moment.
    pub fn of(picture: &Picture) -> Lines {
        let board = &picture.alerts;
        let lines = board.lines(&picture.groups).iter().map(|line| LineView::of(line, board.now())).collect();
        let out = board.out().count();
        let suppressed = board.alerts().filter(|alert| alert.state == State::Suppressed).count();
        let mut aside = Vec::new();
        match out {
            0 => {}
            1 => aside.push("1 gauge is out of service".to_string()),
            many => aside.push(format!("{many} gauges are out of service")),
        }
        if suppressed > 0 {
            let (are, an) = if suppressed == 1 { ("thing is", "") } else { ("things are", "s") };
            aside.push(format!(
                "{suppressed} {are} not judged now: of an engine that stands or has just been started, or gauge{an} of a silent wire"
            ));
        }
        Lines { lines, aside: (!aside.is_empty()).then(|| sentence(&format!("{}.", aside.join("; ")))) }
    }
}

/// How a line or alert is shown, in a word.
fn word(shown: Shown) -> &'static str {
    match shown {
        Shown::New => "new",
        Shown::Seen => "seen",
        Shown::Held(_) => "held",
    }
}

fn when(alert: &Alert, now: f64) -> String {
    match (alert.state, alert.held_until) {
        (State::Shelved, Some(until)) => format!("comes back in {}", long(until - now)),
        (State::Returned, _) => format!("over for {}", long(now - alert.since)),
        _ => format!("for {}", long(now - alert.came.unwrap_or(alert.since))),
    }
}

impl LineView {
    fn of(line: &Line, now: f64) -> LineView {
        let first = line.alerts[0];
        let several = line.alerts.len() > 1;
        let gathered = match &line.sort {
            Sort::One => None,
            Sort::Gathered(key, title) if key == "cause" => Some(format!("Most likely of one cause: {title}")),
            Sort::Gathered(_, title) => several.then(|| sentence(title)),
            Sort::Flood => Some(format!("{} warnings and cautions came within minutes", line.alerts.len())),
        };
        let all = line.alerts.iter();
        let members = all.clone().map(|alert| Member {
            category: alert.sign.category.word(),
            shown: alert.shown().map_or("", word),
            text: alert.sign.text.clone(),
            when: when(alert, now),
            chatters: alert.chatters,
        });
        LineView {
            id: slug(&first.sign.key),
            category: line.category,
            shown: word(line.shown),
            when: when(first, now),
            text: sentence(&first.sign.text),
            gathered,
            members: if several || first.chatters.is_some() { members.collect() } else { Vec::new() },
            keys: all.map(|alert| alert.sign.key.clone()).collect(),
            new: line.shown == Shown::New,
            held: line.alerts.iter().any(|alert| matches!(alert.shown(), Some(Shown::Held(_)))),
            ends: ENDS.into_iter().filter(|end| 60.0 * f64::from(end.0) <= line.category.longest_hold()).collect(),
        }
    }

    /// Of its category, for its outline.
    fn class(&self) -> String {
        self.category.word().replace(' ', "-")
    }
}

/// Letters and digits of a key.
fn slug(key: &str) -> String {
    key.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

/// What every page shows when something is new.
#[derive(Template)]
#[template(path = "alert_strip.html")]
pub struct Strip {
    /// The gravest that is new: its category, and what it is.
    first: Option<(Category, String)>,
    more: usize,
    /// What sounds: the category's word, or nothing.
    sounds: &'static str,
}

impl Strip {
    /// At this moment.
    pub fn of(picture: &Picture) -> Strip {
        let lines = picture.alerts.lines(&picture.groups);
        let mut new = lines.iter().filter(|line| line.shown == Shown::New);
        // Of a line that is new by a lesser one, that lesser one is the news.
        let news = |line: &Line| {
            let alert = line.alerts.iter().find(|alert| alert.shown() == Some(Shown::New)).unwrap_or(&line.alerts[0]);
            (alert.sign.category, alert.sign.text.clone())
        };
        let first = new.next().map(news);
        let sounds = picture.alerts.sounds().map_or("", Category::word);
        Strip { first, more: new.count(), sounds }
    }
}

/// The page of all alerts.
#[derive(Template)]
#[template(path = "alerts.html")]
pub struct AlertsPage {
    frame: Frame,
    act: Act,
    answer: String,
    alerts: Lines,
    out: Vec<Out>,
    gauges: Vec<String>,
    days: [(u32, &'static str); 4],
    history: Vec<Past>,
    /// Changes that are not shown.
    older: usize,
}

/// A gauge out of service.
struct Out {
    of: String,
    reason: String,
    when: String,
}

/// A line of the history.
struct Past {
    when: String,
    category: &'static str,
    text: String,
    became: String,
}

impl AlertsPage {
    /// At this moment.
    pub fn of(scene: &Scene, theme: Theme) -> AlertsPage {
        let picture = &scene.picture;
        let board = &picture.alerts;
        let now = board.now();
        let out = board.out().map(|(of, reason, until)| Out {
            of: of.into(),
            reason: reason.into(),
            when: format!("back in {}", long(until - now)),
        });
        let history = picture.history.iter().rev().take(SHOWN).map(|change| Past {
            when: format!("{} ago", long(now - change.at)),
            category: change.category.word(),
            text: sentence(&change.text),
            became: became(change),
        });
        AlertsPage {
            frame: Frame::of(scene, "Alerts", theme, "/alerts"),
            act: Act::of(picture),
            answer: answer(picture),
            alerts: Lines::of(picture),
            out: out.collect(),
            gauges: picture.plant.gauges.iter().map(|gauge| gauge.name.clone()).collect(),
            days: DAYS,
            history: history.collect(),
            older: picture.history.len().saturating_sub(SHOWN),
        }
    }

    /// What changes on it.
    pub fn pieces(scene: &Scene) -> Pieces {
        let picture = &scene.picture;
        let status = drawn(&crate::page::frame::Status::of(scene));
        let html = vec![
            ("status".into(), status),
            ("act".into(), drawn(&Act::of(picture))),
            ("answer".into(), answer(picture)),
            ("alerts".into(), drawn(&Lines::of(picture))),
        ];
        Pieces { html, marks: Vec::new() }
    }
}

/// In a sentence.
fn answer(picture: &Picture) -> String {
    let lines = picture.alerts.lines(&picture.groups);
    let counted = |category: Category| {
        let count = lines.iter().filter(|line| line.category == category).count();
        match (count, category.word()) {
            (0, _) => None,
            (1, word) => Some(format!("1 {word}")),
            (many, word) => Some(format!("{many} {word}s")),
        }
    };
    let all: Vec<String> = Category::ALL.into_iter().filter_map(counted).collect();
    let new = lines.iter().filter(|line| line.shown == Shown::New).count();
    match (all.is_empty(), new) {
        (true, _) => "No alert.".into(),
        (false, 0) => format!("{}; nothing new.", watch::saying::list(&all)),
        (false, new) => format!("{}; {new} new.", watch::saying::list(&all)),
    }
}

/// What an alert became, in the words that people are shown.
fn became(change: &Change) -> String {
    let lasting = change.until.map(|until| format!(" for {}", long(until - change.at))).unwrap_or_default();
    let why = change.why.as_ref().map(|why| format!(": {why}")).unwrap_or_default();
    let what = match (change.from, change.to) {
        (State::Shelved, State::Normal | State::Unacknowledged) => "the hold has ended",
        (State::OutOfService, State::Normal | State::Unacknowledged) => "back in service",
        (State::Suppressed, State::Normal | State::Unacknowledged) => "judged again",
        (_, State::Unacknowledged) => "new",
        (_, State::Acknowledged) => "seen",
        (State::Unacknowledged, State::Returned) => "over, and nobody had seen it",
        (State::Returned, _) => "seen, and over",
        (_, State::Normal | State::Returned) => "over",
        (_, State::Shelved) => "held",
        (_, State::Suppressed) => "not judged now",
        (_, State::OutOfService) => "out of service",
    };
    format!("{what}{lasting}{why}")
}
