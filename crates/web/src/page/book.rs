//! Book: everything that is not looked at on watch, from one page.

use crate::page::frame::{Frame, Status, Theme};
use crate::page::opening::drawn;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;

/// The page.
#[derive(Template)]
#[template(path = "book.html")]
pub struct BookPage {
    frame: Frame,
    pages: Vec<[&'static str; 3]>,
}

/// Name, address, and what one finds there.
const PAGES: [[&str; 3]; 8] = [
    ["Handbook", "/handbook", "Every circuit explained, what is normal, what is done in an emergency."],
    ["Set-up", "/setup", "The adjusting jobs and the sizes: clearances, timing, belts, alignment, pressures."],
    ["Work", "/work", "What is due, on a line of days; what was done, with what was measured."],
    [
        "Ledger",
        "/work/ledger",
        "Fuel, oil and coolant taken, moved, sounded and topped up, and what is unaccounted for; hours run.",
    ],
    ["Stores", "/work/stores", "What is aboard and where, what a passage needs, what to order."],
    ["Samples", "/work/samples", "What the laboratory found: limits, wear, what has got in."],
    ["Alerts", "/alerts", "What deserves attention, what was seen, what is held, and what happened before."],
    ["Print", "/print", "Round sheet, cards, tags and handbook on paper."],
];

impl BookPage {
    /// At this moment.
    pub fn of(scene: &Scene, theme: Theme) -> BookPage {
        let mut pages = PAGES.to_vec();
        if scene.aboard.is_some() {
            pages.push(["Wires", "/wires", "What is heard, what is silent, what is kept."]);
        }
        if scene.simulated.is_some() {
            pages.push(["Simulator", "/simulator", "Something to put wrong, for trying."]);
        }
        BookPage { frame: Frame::of(scene, "Book", theme, "/book"), pages }
    }

    /// What changes on it: what every page has.
    pub fn pieces(scene: &Scene) -> Pieces {
        Pieces { html: vec![("status".into(), drawn(&Status::of(scene)))], marks: Vec::new() }
    }
}
