//! What cannot be done, in words.

use crate::page::frame::{Frame, Status, Theme};
use crate::page::opening::drawn;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;

/// The page.
#[derive(Template)]
#[template(path = "wrong.html")]
pub struct Wrong {
    frame: Frame,
    what: String,
}

impl Wrong {
    /// In these words.
    pub fn of(scene: &Scene, theme: Theme, what: String) -> Wrong {
        Wrong { frame: Frame::of(scene, "Not done", theme, "/wrong"), what }
    }

    /// What changes on it: what every page has.
    pub fn pieces(scene: &Scene) -> Pieces {
        Pieces { html: vec![("status".into(), drawn(&Status::of(scene)))], marks: Vec::new() }
    }
}
