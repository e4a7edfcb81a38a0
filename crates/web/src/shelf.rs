//! The lockers behind the pages: what is described, what of it is aboard, and where what is counted is kept.

use crate::page::frame::Theme;
use crate::page::stores::{Asked, MoveForm, StoresPage};
use crate::routes::{Bridge, NO_FORM, nothing, page, wrong};
use axum::Form;
use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use spares::{Movement, Passage, Stock, Stores, Wanted};
use tokio::task::spawn_blocking;

/// Everything kept aboard, at one moment.
pub struct Lockers {
    /// As her texts describe them.
    pub stores: Stores,
    /// What is aboard.
    pub stock: Stock,
    /// What the work that falls due on the passage asked about uses.
    pub planned: Vec<Wanted>,
}

/// Where stores are looked up and written down. Either may read or write a disk, and is asked on a thread of its own.
pub trait Shelf: Send + Sync {
    /// Today [days since 1970].
    fn today(&self) -> i64;

    /// The lockers, and the planned work of a passage if one is asked about.
    ///
    /// # Errors
    /// Why they cannot be read, in words.
    fn look(&self, passage: Option<&Passage>) -> Result<Lockers, String>;

    /// Keeps a movement.
    ///
    /// # Errors
    /// Why it is not kept, in words.
    fn keep(&self, movement: &Movement) -> Result<(), String>;
}

/// The page of the stores.
pub async fn shown(
    State(bridge): State<Bridge>,
    theme: Theme,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let scene = bridge.scene();
    let Some(shelf) = bridge.ship.shelf.clone() else { return nothing(&scene, theme) };
    let asked = asked.map(|Query(asked)| asked).unwrap_or_default();
    let today = shelf.today();
    let leg = match asked.leg(today) {
        Ok(leg) => leg,
        Err(what) => return wrong(&scene, theme, StatusCode::BAD_REQUEST, what),
    };
    let drawing = scene.clone();
    let drawn = spawn_blocking(move || {
        let lockers = shelf.look(leg.as_ref().map(|leg| &leg.passage))?;
        Ok(page(&StoresPage::of(&drawing, theme, &lockers, today, asked, leg)))
    });
    match drawn.await.map_err(|why| why.to_string()).and_then(|drawn: Result<Response, String>| drawn) {
        Ok(page) => page,
        Err(what) => wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, what),
    }
}

/// Writes down what was counted, received, used or stowed elsewhere.
pub async fn moved(
    State(bridge): State<Bridge>,
    theme: Theme,
    form: Result<Form<MoveForm>, FormRejection>,
) -> Response {
    let scene = bridge.scene();
    let Some(shelf) = bridge.ship.shelf.clone() else { return nothing(&scene, theme) };
    let Ok(Form(form)) = form else { return wrong(&scene, theme, StatusCode::BAD_REQUEST, NO_FORM.into()) };
    let kept = spawn_blocking(move || {
        let stores = shelf.look(None)?.stores;
        shelf.keep(&form.read(&stores)?)
    });
    match kept.await.map_err(|why| why.to_string()).and_then(|kept| kept) {
        Ok(()) => Redirect::to("/work/stores").into_response(),
        Err(what) => wrong(&scene, theme, StatusCode::BAD_REQUEST, format!("{what} Nothing was entered.")),
    }
}
