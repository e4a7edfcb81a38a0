//! The handbook's addresses: it is made when first asked for, on a thread of its own, and meanwhile says so.

use crate::page::frame::Theme;
use crate::page::handbook::{Bound, HandbookPage};
use crate::routes::{Bridge, page, wrong};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use tokio::task::spawn_blocking;
use tokio::time::{Duration, timeout};

/// A page waits no longer for the book before it says what it waits for.
const PATIENCE: Duration = Duration::from_millis(100);
/// Until it looks again whether the book is there [s].
const AGAIN: &str = "1";

/// `GET /handbook`
pub async fn contents(bridge: State<Bridge>, theme: Theme) -> Response {
    shown(bridge, theme, None).await
}

/// `GET /handbook/{leaf}`
pub async fn leaf(bridge: State<Bridge>, theme: Theme, Path(leaf): Path<String>) -> Response {
    shown(bridge, theme, Some(leaf)).await
}

async fn shown(State(bridge): State<Bridge>, theme: Theme, leaf: Option<String>) -> Response {
    let scene = bridge.scene();
    // Whoever goes away meanwhile does not stop it: the next one finds it made.
    let making = tokio::spawn(make(bridge.clone()));
    match timeout(PATIENCE, making).await {
        Err(_) => ([("refresh", AGAIN)], page(&HandbookPage::making(&scene, theme, leaf.as_deref()))).into_response(),
        Ok(Err(why)) => wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, why.to_string()),
        Ok(Ok(Err(why))) => wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, why),
        Ok(Ok(Ok(()))) => {
            let found = bridge.bound.get().and_then(|bound| HandbookPage::of(&scene, theme, bound, leaf.as_deref()));
            match found {
                Some(it) => page(&it),
                None => wrong(
                    &scene,
                    theme,
                    StatusCode::NOT_FOUND,
                    "The handbook has no such page; choose one from its list.".into(),
                ),
            }
        }
    }
}

/// Makes it, once.
async fn make(bridge: Bridge) -> Result<(), String> {
    let plant = bridge.scene().picture.plant.clone();
    let asked = bridge.ship.asked.clone();
    let made = bridge.bound.get_or_try_init(|| async move {
        let work = move || Bound::work_out(&plant, &asked);
        spawn_blocking(work).await.map_err(|why| why.to_string()).and_then(|bound| bound)
    });
    made.await.map(|_| ())
}
