//! The token: entered once on each device that may change something.

use crate::page::frame::{Frame, Theme};
use crate::ship::Scene;
use askama::Template;

/// The page.
#[derive(Template)]
#[template(path = "token.html")]
pub struct TokenPage {
    frame: Frame,
    /// Why it is shown, if it was not asked for.
    what: Option<&'static str>,
    /// Where one goes on to.
    here: String,
}

impl TokenPage {
    /// With what has just been refused.
    pub fn of(scene: &Scene, theme: Theme, what: Option<&'static str>, here: &str) -> TokenPage {
        TokenPage { frame: Frame::of(scene, "Token", theme, ""), what, here: here.into() }
    }
}
