//! What can be printed.

use crate::page::frame::{Frame, Theme};
use crate::paper::NO_PAPER;
use crate::ship::Scene;
use askama::Template;

/// The page.
#[derive(Template)]
#[template(path = "print.html")]
pub struct PaperPage {
    frame: Frame,
    /// Said where nothing can be printed.
    none: Option<&'static str>,
}

impl PaperPage {
    /// Of a program that can set type, or cannot.
    pub fn of(scene: &Scene, theme: Theme, prints: bool) -> PaperPage {
        PaperPage { frame: Frame::of(scene, "Print", theme, "/print"), none: (!prints).then_some(NO_PAPER) }
    }
}
