//! Documents on paper: what can be printed, and the PDF of one. Type is set elsewhere, by what the program hands over.

use crate::desk::Worked;
use crate::page::frame::Theme;
use crate::page::paper::PaperPage;
use crate::routes::{Bridge, page, wrong};
use crate::ship::Ship;
use axum::extract::rejection::{PathRejection, QueryRejection};
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use book::catalogue::Printable;
use book::document::Document;
use book::facts::{Asked, Facts};
use book::kept::Kept;
use book::{history, nameless};
use plant::plant::Plant;
use serde::Deserialize;
use tokio::task::spawn_blocking;

/// Sets a document on paper, Letter or else A4, as PDF; or says why not. May take seconds.
pub type Press = dyn Fn(&Document, bool) -> Result<Vec<u8>, String> + Send + Sync;

/// How it is wanted.
#[derive(Deserialize)]
pub struct How {
    /// "a4" or "letter".
    paper: Option<String>,
    /// "out" leaves the vessel's name out.
    name: Option<String>,
}

/// `GET /print`: what can be printed.
pub async fn offered(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&PaperPage::of(&bridge.scene(), theme, bridge.ship.press.is_some()))
}

/// `GET /print/rounds.pdf`: one document. One is made at a time, away from what serves the pages.
pub async fn printed(
    State(bridge): State<Bridge>,
    theme: Theme,
    file: Result<Path<String>, PathRejection>,
    how: Result<Query<How>, QueryRejection>,
    headers: HeaderMap,
) -> Response {
    let scene = bridge.scene();
    let refused = |status, what: &str| wrong(&scene, theme, status, what.into());
    let Some(press) = bridge.ship.press.clone() else {
        return refused(StatusCode::NOT_IMPLEMENTED, NO_PAPER);
    };
    let Some(what) = file.ok().and_then(|Path(file)| Printable::of(file.strip_suffix(".pdf")?)) else {
        return refused(StatusCode::NOT_FOUND, "There is no such document; the page Print has those there are.");
    };
    let how = how.ok().map(|Query(how)| how);
    let letter = match how.as_ref().map(|how| how.paper.as_deref()) {
        Some(None | Some("a4")) => false,
        Some(Some("letter")) => true,
        _ => return refused(StatusCode::BAD_REQUEST, "Paper is a4 or letter: /print/rounds.pdf?paper=letter."),
    };
    let nameless = how.is_some_and(|how| how.name.as_deref() == Some("out"));
    let (plant, ship) = (scene.picture.plant.clone(), bridge.ship.clone());
    // Codes on tags lead to where this page was asked for, unless nobody else gets there.
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok()).filter(|host| !is_loopback(host));
    let address = host.map(|host| format!("http://{host}"));
    let turn = bridge.printing.clone().lock_owned().await;
    let made = spawn_blocking(move || {
        let made = document(what, &plant, &ship, (address, nameless)).and_then(|document| press(&document, letter));
        drop(turn);
        made
    });
    match made.await.map_err(|why| why.to_string()).and_then(|made| made) {
        Ok(pdf) => {
            let shown = format!("inline; filename=\"{}.pdf\"", what.word());
            let headers = [(header::CONTENT_TYPE, "application/pdf".into()), (header::CONTENT_DISPOSITION, shown)];
            (headers, pdf).into_response()
        }
        Err(why) => refused(StatusCode::INTERNAL_SERVER_ERROR, &format!("It could not be printed: {why}.")),
    }
}

/// An address that leads nowhere from another machine.
fn is_loopback(host: &str) -> bool {
    host.starts_with("127.") || host.starts_with("[::1]") || host.split(':').next() == Some("localhost")
}

/// Makes it, with codes that lead to an address, if there is one, and without what tells whose she is, if it is asked.
fn document(
    what: Printable,
    plant: &Plant,
    ship: &Ship,
    (address, nameless): (Option<String>, bool),
) -> Result<Document, String> {
    let worked = ship.desk.worked()?;
    let history = history::of(plant, &worked.tasks, &worked.records, &worked.list);
    let Worked { tasks, list, stores, stock, now, .. } = &*worked;
    let kept = Kept { tasks, list, stores, stock, now: *now };
    let asked = Asked { history, address, ..Asked::clone(&ship.asked) };
    if nameless {
        let (asked, plant) = (nameless::asked(&asked, &plant.name), nameless::plant(plant));
        return Ok(what.make(&Facts::of(&plant, &asked)?, &kept));
    }
    Ok(what.make(&Facts::of(plant, &asked)?, &kept))
}

/// Said where the program cannot set type.
pub const NO_PAPER: &str =
    "This program was built without paper. Built by cargo build --release --features paper it prints.";
