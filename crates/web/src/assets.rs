//! Style and script, built in.

use alerts::{Category, Pattern};
use axum::http::header;
use axum::response::IntoResponse;
use serde_json::json;

/// All pages.
const STYLE: &str = include_str!("../assets/style.css");
/// Keeps an open page true; without it a page is true when it is loaded.
const SCRIPT: &str = include_str!("../assets/live.js");
/// Sounds while something is new, and keeps the screen awake.
const SOUND: &str = include_str!("../assets/sound.js");
const ICON: &str = include_str!("../assets/icon.svg");

pub async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], [setup::sketch::STYLE, STYLE, drawing::STYLE].concat())
}

pub async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], SCRIPT)
}

pub async fn sound() -> impl IntoResponse {
    let tell = |pattern: Pattern| json!({ "tones": pattern.tones, "again": pattern.again });
    let each = Category::ALL.map(|category| (category.word().to_string(), tell(category.pattern())));
    let mut all: serde_json::Map<_, _> = each.into_iter().collect();
    all.insert("no word".into(), tell(Pattern::NO_WORD));
    let patterns = serde_json::Value::from(all);
    let script = format!("\"use strict\";\nconst PATTERNS = {patterns};\n{SOUND}");
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], script)
}

pub async fn icon() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "image/svg+xml")], ICON)
}
