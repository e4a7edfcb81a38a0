//! What can be printed.

use crate::page::frame::{Frame, Theme};
use crate::paper::{NO_PAPER, Printable, Printer};
use crate::ship::Scene;
use askama::Template;

/// The page.
#[derive(Template)]
#[template(path = "print.html")]
pub struct PaperPage {
    frame: Frame,
    documents: Vec<Printable>,
    /// Said where nothing can be printed.
    none: Option<&'static str>,
}

impl PaperPage {
    /// With what this printer offers.
    pub fn of(scene: &Scene, theme: Theme, printer: Option<&dyn Printer>) -> PaperPage {
        PaperPage {
            frame: Frame::of(scene, "Print", theme, "/print"),
            documents: printer.map_or_else(Vec::new, Printer::documents),
            none: printer.is_none().then_some(NO_PAPER),
        }
    }
}
