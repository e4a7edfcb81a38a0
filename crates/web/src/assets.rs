//! Style and script, built in.

use axum::http::header;
use axum::response::IntoResponse;

/// All pages.
const STYLE: &str = include_str!("../assets/style.css");
/// Keeps an open page true; without it a page is true when it is loaded.
const SCRIPT: &str = include_str!("../assets/live.js");
const ICON: &str = include_str!("../assets/icon.svg");

pub async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], [STYLE, drawing::STYLE].concat())
}

pub async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], SCRIPT)
}

pub async fn icon() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "image/svg+xml")], ICON)
}
