//! Wires: what is heard, what is silent since when, what is nobody's yet, and what is kept.

use crate::aboard::{Aboard, HeardOn, Kept, Wire, WireState};
use crate::page::frame::{Frame, Status, Theme};
use crate::page::long;
use crate::page::opening::drawn;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;

/// The page.
#[derive(Template)]
#[template(path = "wires.html")]
pub struct WiresPage {
    frame: Frame,
    state: State,
    heard: Vec<HeardOn>,
}

/// What changes while one looks.
#[derive(Template)]
#[template(path = "wires-state.html")]
struct State {
    headline: String,
    rows: Vec<Row>,
    kept: Vec<String>,
}

/// A wire.
struct Row {
    name: String,
    place: String,
    /// "heard", "silent" or "ended".
    class: &'static str,
    state: String,
    counts: String,
}

impl WiresPage {
    /// At this moment.
    pub fn of(scene: &Scene, aboard: &Aboard, heard: Vec<HeardOn>, theme: Theme) -> WiresPage {
        WiresPage { frame: Frame::of(scene, "Wires", theme, "/wires"), state: State::of(aboard), heard }
    }

    /// What changes on it.
    pub fn pieces(scene: &Scene) -> Pieces {
        let mut html = vec![("status".into(), drawn(&Status::of(scene)))];
        html.extend(scene.aboard.as_ref().map(|aboard| ("wires".into(), drawn(&State::of(aboard)))));
        Pieces { html, marks: Vec::new() }
    }
}

impl State {
    fn of(aboard: &Aboard) -> State {
        State {
            headline: headline(&aboard.wires),
            rows: aboard.wires.iter().map(Row::of).collect(),
            kept: kept(&aboard.kept),
        }
    }
}

/// The answer in a sentence.
fn headline(wires: &[Wire]) -> String {
    let silent: Vec<&Wire> = wires.iter().filter(|wire| matches!(wire.state, WireState::Silent { .. })).collect();
    match (wires.len(), silent.as_slice()) {
        (0, _) => "No wire is described yet.".into(),
        (_, []) => "Every wire is heard.".into(),
        (_, [one]) => match &one.state {
            WireState::Silent { since, .. } => format!("Nothing is heard on {} since {since}.", one.name),
            _ => String::new(),
        },
        (all, some) if all == some.len() => "Nothing is heard on any wire.".into(),
        (all, some) => format!("Nothing is heard on {} of {all} wires.", some.len()),
    }
}

impl Row {
    fn of(wire: &Wire) -> Row {
        let (class, state) = match &wire.state {
            WireState::Heard(ago) => ("heard", format!("heard {} ago", long(*ago))),
            WireState::Silent { since, long: seconds, why } => {
                let why = why.as_ref().map_or_else(String::new, |why| format!(": {why}. It is tried again and again"));
                ("silent", format!("silent since {since}, {}{why}", long(*seconds)))
            }
            WireState::Ended => ("ended", "played to its end".into()),
        };
        let counts = format!("{} lines or frames, {} values of her gauges", wire.lines, wire.values);
        Row { name: wire.name.clone(), place: wire.place.clone(), class, state, counts }
    }
}

/// What is kept, a sentence each.
fn kept(kept: &Kept) -> Vec<String> {
    let mut told = Vec::new();
    told.extend(kept.trouble.as_ref().map(|why| format!("Nothing is kept: {why}.")));
    told.push(format!("{} readings are on the disk since the program began.", kept.stored));
    if kept.thinned > 0 {
        told.push(format!("{} came quicker than ten a second of one gauge and are not kept.", kept.thinned));
    }
    if kept.lost > 0 {
        told.push(format!("{} could not be kept.", kept.lost));
    }
    told
}
