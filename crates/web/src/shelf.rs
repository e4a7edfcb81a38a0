//! Addresses of the Stores page: what is aboard, what a passage needs, and what is written down of it.

use crate::desk::Worked;
use crate::page::frame::Theme;
use crate::page::stores::{Asked, MoveForm, StoresPage};
use crate::routes::{Bridge, NO_FORM, live, page, wrong};
use crate::working::worked;
use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use axum::{Form, Router};
use diary::Line;
use spares::Wanted;
use std::sync::Arc;
use tokio::task::spawn_blocking;
use work::date::DAY;
use work::passage::{Passage, falls};

/// The routes.
pub fn routes() -> Router<Bridge> {
    Router::new()
        .route("/work/stores", get(shown).post(moved))
        .route("/live/work/stores", get(|bridge| live(bridge, StoresPage::pieces)))
}

/// What the work that falls due on a passage uses.
fn planned(worked: &Worked, passage: &spares::Passage) -> Vec<Wanted> {
    let start = (passage.departs * DAY).max(worked.now);
    let passage = Passage { start, hours: passage.hours, days: passage.days };
    let falls = falls(&worked.tasks, &worked.list, &passage);
    work::stores::wanted(&worked.plant, &worked.tasks, &falls)
}

/// The page of the stores.
async fn shown(State(bridge): State<Bridge>, theme: Theme, asked: Result<Query<Asked>, QueryRejection>) -> Response {
    let scene = bridge.scene();
    let asked = asked.map(|Query(asked)| asked).unwrap_or_default();
    let worked = match worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    let leg = match asked.leg(worked.now.div_euclid(DAY)) {
        Ok(leg) => leg,
        Err(what) => return wrong(&scene, theme, StatusCode::BAD_REQUEST, what),
    };
    let drawing = scene.clone();
    let drawn = spawn_blocking(move || {
        let planned = leg.map_or_else(Vec::new, |leg| planned(&worked, &leg.passage));
        page(&StoresPage::of(&drawing, theme, &worked, &planned, asked, leg))
    });
    drawn.await.unwrap_or_else(|why| {
        wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, format!("The stores cannot be told of: {why}."))
    })
}

/// Writes down what was counted, received, used or stowed elsewhere.
async fn moved(State(bridge): State<Bridge>, theme: Theme, form: Result<Form<MoveForm>, FormRejection>) -> Response {
    let scene = bridge.scene();
    let Ok(Form(form)) = form else { return wrong(&scene, theme, StatusCode::BAD_REQUEST, NO_FORM.into()) };
    let worked: Arc<Worked> = match worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    let desk = bridge.ship.desk.clone();
    let kept = spawn_blocking(move || {
        let movement = form.read(&worked.stores)?;
        desk.note(Line::of(desk.now(), None, None, &movement))
    });
    match kept.await.map_err(|why| why.to_string()).and_then(|kept| kept) {
        Ok(()) => Redirect::to("/work/stores").into_response(),
        Err(what) => wrong(&scene, theme, StatusCode::BAD_REQUEST, format!("{what} Nothing was entered.")),
    }
}
