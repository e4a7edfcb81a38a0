//! What cannot be done, in words.

use crate::page::frame::{Frame, Theme};
use crate::ship::Scene;
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
        Wrong { frame: Frame::of(scene, "Not done", theme, ""), what }
    }
}
