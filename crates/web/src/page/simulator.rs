//! The simulator: what is made up, how fast it goes, what is put wrong in it.

use crate::page::frame::{Frame, Theme};
use crate::page::opening::drawn;
use crate::page::{Choices, choices, long};
use crate::ship::{Scene, Simulated};
use crate::stream::Pieces;
use askama::Template;
use diagnosis::hypothesis::{What, cause_of, name_of};
use parts::kind::{By, Severity};
use plant::plant::Plant;
use watch::saying::{Odds, sentence};

/// The page.
#[derive(Template)]
#[template(path = "simulator.html")]
pub struct SimulatorPage {
    frame: Frame,
    state: WorldState,
    /// Part by part: its name, and its causes as "part.cause" and by title.
    causes: Choices,
}

impl SimulatorPage {
    /// At this moment.
    pub fn of(scene: &Scene, simulated: &Simulated, theme: Theme) -> SimulatorPage {
        SimulatorPage {
            frame: Frame::of(scene, "Simulator", theme, "/simulator"),
            state: WorldState::of(scene, simulated),
            causes: choices(&scene.picture.plant, |kind| kind.causes.iter().map(|cause| (cause.name, cause.title))),
        }
    }

    /// What changes on it.
    pub fn pieces(scene: &Scene) -> Pieces {
        let mut html = vec![("status".into(), drawn(&crate::page::frame::Status::of(scene)))];
        if let Some(simulated) = &scene.simulated {
            html.push(("world".into(), drawn(&WorldState::of(scene, simulated))));
        }
        Pieces { html, marks: Vec::new() }
    }
}

/// What is wrong in the world, and what the watching side makes of it.
#[derive(Template)]
#[template(path = "world.html")]
struct WorldState {
    wrong: Option<String>,
    hidden: bool,
    since: String,
    found: Option<String>,
    paces: Vec<(u32, bool)>,
}

/// Paces to choose from: seconds that pass in one.
const PACES: [u32; 5] = [1, 10, 30, 60, 120];

impl WorldState {
    fn of(scene: &Scene, simulated: &Simulated) -> WorldState {
        let picture = &scene.picture;
        let wrong = simulated.wrong.map(|wrong| {
            if wrong.hidden { "Something".to_string() } else { in_words(&picture.plant, wrong.what, wrong.severity) }
        });
        WorldState {
            hidden: simulated.wrong.is_some_and(|wrong| wrong.hidden),
            since: simulated.wrong.map_or(String::new(), |wrong| long(picture.at - wrong.at)),
            found: simulated.wrong.filter(|wrong| !wrong.hidden).and_then(|wrong| found(scene, wrong.what)),
            wrong,
            paces: PACES.iter().map(|&pace| (pace, (simulated.pace - f64::from(pace)).abs() < 0.5)).collect(),
        }
    }
}

/// "Strainer blocked (strainer-port), 85 % of its area shut".
fn in_words(plant: &Plant, what: What, severity: f64) -> String {
    let (What::Cause(of, _), Some(cause)) = (what, cause_of(plant, what)) else { return String::new() };
    let shut = cause.moves.iter().find_map(|each| match each.by {
        By::Blocked | By::Choked(_) => Some(100.0 * each.by.shut(severity)),
        _ => None,
    });
    let bad = match (cause.severity, shut) {
        (Severity::Whole, _) => String::new(),
        (_, Some(shut)) => format!(", {shut:.0} % of its area shut"),
        (_, None) => format!(", {:.0} % as bad as it gets", 100.0 * severity),
    };
    format!("{} ({}){bad}", sentence(cause.title), name_of(plant, of))
}

/// What the watching side makes of it.
fn found(scene: &Scene, what: What) -> Option<String> {
    let explained = scene.picture.explained.as_ref()?;
    let named = explained.answer.ranked.iter().filter(|ranked| matches!(ranked.what, What::Cause(..)));
    let (place, it) = named.enumerate().find(|(_, ranked)| ranked.what == what)?;
    let well = Odds::Words.say(explained.well());
    Some(format!(
        "Causes were last weighed {} ago: this one stands in place {}, {}; that all is well, {well}.",
        long(scene.picture.at - explained.at),
        place + 1,
        Odds::Words.say(it.probability),
    ))
}
