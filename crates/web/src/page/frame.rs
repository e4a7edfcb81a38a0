//! What every page has: vessel, operating point, tabs, theme, and that it is simulated.

use crate::page::alerts::Strip;
use crate::page::long;
use crate::ship::Scene;
use askama::Template;
use watch::picture::{Picture, Steadiness};
use watch::place;
use watch::saying::sentence;

/// The frame around a page.
pub struct Frame {
    /// The vessel.
    pub vessel: String,
    /// The page's name, and its tab if it has one.
    pub title: &'static str,
    /// The theme chosen: "day", "dark", "night", or "auto" as the machine has it.
    pub theme: Theme,
    /// Where its news come from.
    pub live: String,
    /// Where one comes back to after choosing a theme.
    pub here: String,
    /// Readings are simulated.
    pub simulated: bool,
    /// There are wires to look at.
    pub wires: bool,
    /// The line under the vessel's name.
    pub status: Status,
    /// What is new.
    pub strip: Strip,
}

/// The tabs: pages that are there.
pub const TABS: [(&str, &str); 4] = [("Now", "/"), ("Plant", "/plant"), ("Causes", "/causes"), ("Book", "/book")];

impl Frame {
    /// Of a page at this address.
    pub fn of(scene: &Scene, title: &'static str, theme: Theme, here: &str) -> Frame {
        Frame {
            vessel: scene.picture.plant.name.clone(),
            title,
            theme,
            // A page without an address has no news.
            live: if here.is_empty() { String::new() } else { format!("/live{here}") },
            here: here.into(),
            simulated: scene.picture.simulated,
            wires: scene.aboard.is_some(),
            status: Status::of(scene),
            strip: Strip::of(&scene.picture),
        }
    }
}

/// Operating point, steady or settling, and how fast the simulator goes.
#[derive(Template)]
#[template(path = "status.html")]
pub struct Status {
    point: String,
    steadiness: String,
    pace: Option<String>,
    /// What is wrong with wires and store.
    troubles: Vec<String>,
}

impl Status {
    /// Of this moment.
    pub fn of(scene: &Scene) -> Status {
        let picture = &scene.picture;
        Status {
            point: picture
                .point
                .as_ref()
                .map_or("speed not read".into(), |point| sentence(place::in_words(point).trim_start_matches("at "))),
            steadiness: steadiness(picture),
            pace: scene.simulated.map(|simulated| match simulated.pace {
                pace if pace <= 1.0 => "simulated".into(),
                pace => format!("simulated, {pace:.0} times as fast"),
            }),
            troubles: scene.aboard.as_ref().map_or_else(Vec::new, |aboard| aboard.troubles()),
        }
    }
}

fn steadiness(picture: &Picture) -> String {
    match picture.steadiness {
        Steadiness::Unknown => "nothing read yet".into(),
        Steadiness::Stopped => "stopped".into(),
        Steadiness::Steady(seconds) => format!("steady for {}", long(seconds)),
        Steadiness::Settling(seconds) => format!("settling for {}", long(seconds)),
    }
}

/// How the pages are lit.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// As the machine has it.
    #[default]
    Auto,
    /// Ink on paper.
    Day,
    /// Light on dark.
    Dark,
    /// Dim red on black, for eyes used to the dark.
    Night,
}

impl Theme {
    /// Every theme.
    pub const ALL: [Theme; 4] = [Theme::Auto, Theme::Day, Theme::Dark, Theme::Night];

    /// Its word, as kept in the cookie.
    pub fn word(self) -> &'static str {
        match self {
            Theme::Auto => "auto",
            Theme::Day => "day",
            Theme::Dark => "dark",
            Theme::Night => "night",
        }
    }

    /// The one of this word; as the machine has it if there is none.
    pub fn of(word: &str) -> Theme {
        Theme::ALL.into_iter().find(|theme| theme.word() == word).unwrap_or_default()
    }
}
