//! Documents on paper: what can be printed, and the PDF of one. Set elsewhere, by what the program hands over.

use crate::page::frame::Theme;
use crate::page::paper::PaperPage;
use crate::routes::{Bridge, page, wrong};
use axum::extract::rejection::QueryRejection;
use axum::extract::{Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use serde::Deserialize;
use tokio::task::spawn_blocking;

/// Makes PDFs of a vessel's documents. The program hands one over if it was built with what sets type.
pub trait Printer: Send + Sync {
    /// What can be printed, in the order in which it is offered.
    fn documents(&self) -> Vec<Printable>;

    /// Makes one; may take seconds.
    ///
    /// # Errors
    /// Why it cannot be made, in words.
    fn print(&self, wanted: &Wanted) -> Result<Vec<u8>, String>;
}

/// A document that can be printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printable {
    /// Its word in addresses: "rounds".
    pub word: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// What it is for.
    pub about: &'static str,
}

/// A document that is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Its word, one of those offered.
    pub word: &'static str,
    /// On Letter, not on A4.
    pub letter: bool,
    /// Without the vessel's name.
    pub nameless: bool,
}

/// How it is wanted.
#[derive(Deserialize)]
pub struct How {
    /// "a4" or "letter".
    paper: Option<String>,
    /// "out" leaves it out.
    name: Option<String>,
}

/// `GET /print`: what can be printed.
pub async fn offered(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&PaperPage::of(&bridge.scene(), theme, bridge.ship.printer.as_deref()))
}

/// `GET /print/rounds.pdf`: one document. One is made at a time, away from what serves the pages.
pub async fn printed(
    State(bridge): State<Bridge>,
    theme: Theme,
    Path(file): Path<String>,
    how: Result<Query<How>, QueryRejection>,
) -> Response {
    let scene = bridge.scene();
    let refused = |status, what: &str| wrong(&scene, theme, status, what.into());
    let Some(printer) = bridge.ship.printer.clone() else {
        return refused(StatusCode::NOT_IMPLEMENTED, NO_PAPER);
    };
    let offered = printer.documents();
    let word = file.strip_suffix(".pdf").and_then(|word| offered.iter().find(|one| one.word == word));
    let Some(word) = word.map(|one| one.word) else {
        return refused(StatusCode::NOT_FOUND, "There is no such document; the page Print has those there are.");
    };
    let Ok(Query(How { paper, name })) = how else {
        return refused(StatusCode::BAD_REQUEST, NO_PAPER_SIZE);
    };
    let letter = match paper.as_deref() {
        None | Some("a4") => false,
        Some("letter") => true,
        Some(_) => return refused(StatusCode::BAD_REQUEST, NO_PAPER_SIZE),
    };
    let wanted = Wanted { word, letter, nameless: name.as_deref() == Some("out") };
    let turn = bridge.printing.clone().lock_owned().await;
    let made = spawn_blocking(move || {
        let made = printer.print(&wanted);
        drop(turn);
        made
    });
    match made.await.map_err(|why| why.to_string()).and_then(|made| made) {
        Ok(pdf) => {
            let shown = format!("inline; filename=\"{word}.pdf\"");
            ([(header::CONTENT_TYPE, "application/pdf".into()), (header::CONTENT_DISPOSITION, shown)], pdf)
                .into_response()
        }
        Err(why) => refused(StatusCode::INTERNAL_SERVER_ERROR, &format!("It could not be printed: {why}.")),
    }
}

/// Said where the program cannot set type.
pub const NO_PAPER: &str =
    "This program was built without paper. Built by cargo build --release --features paper it prints.";
const NO_PAPER_SIZE: &str = "Paper is a4 or letter: /print/rounds.pdf?paper=letter.";
