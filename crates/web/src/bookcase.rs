//! The handbook's addresses: it is made when first asked for, on a thread of its own, and meanwhile says so.

use crate::page::frame::Theme;
use crate::page::handbook::{Bound, HandbookPage};
use crate::routes::{Bridge, page, wrong};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;
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
        Ok(Ok(Ok(bound))) => {
            let nowhere = || {
                let what = "The handbook has no such page; choose one from its list.".into();
                wrong(&scene, theme, StatusCode::NOT_FOUND, what)
            };
            let found = HandbookPage::of(&scene, theme, &bound, leaf.as_deref());
            found.map_or_else(nowhere, |it| page(&it))
        }
    }
}

/// The book as it is now: made once, and again when something was written down since.
async fn make(bridge: Bridge) -> Result<Arc<Bound>, String> {
    // One makes it, the others wait for that one.
    let mut kept = bridge.bound.lock().await;
    let (plant, ship, last) = (bridge.scene().picture.plant.clone(), bridge.ship.clone(), kept.clone());
    let work = move || {
        let worked = ship.desk.worked()?;
        match last.filter(|bound| bound.written == worked.lines.len()) {
            Some(bound) => Ok(bound),
            None => Bound::work_out(&plant, &ship.asked, &worked).map(Arc::new),
        }
    };
    let bound = spawn_blocking(work).await.map_err(|why| why.to_string()).and_then(|made| made)?;
    *kept = Some(bound.clone());
    Ok(bound)
}
