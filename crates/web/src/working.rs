//! Addresses of the Work pages: what is due, one task, its records, and what is written down.

use crate::desk::{Desk, Worked};
use crate::page::book::BookPage;
use crate::page::frame::Theme;
use crate::page::task::{RecordPage, TaskPage, kept, standing};
use crate::page::work::{RecordsPage, WorkPage, link};
use crate::routes::{Bridge, NO_FORM, live, page, wrong};
use axum::extract::multipart::{Multipart, MultipartRejection};
use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{DefaultBodyLimit, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use axum::{Form, Router};
use diary::Line;
use serde::Deserialize;
use std::sync::Arc;
use tokio::task::spawn_blocking;
use work::date;
use work::record::Record;
use work::written::{Written, hours_fit, record};

/// A record may bring photos, so many bytes in all.
const LONGEST: usize = 60_000_000;
/// Fields and files of one form.
const MOST: usize = 400;

/// The routes.
pub fn routes() -> Router<Bridge> {
    Router::new()
        .route("/book", get(book))
        .route("/live/book", get(|bridge| live(bridge, BookPage::pieces)))
        .route("/work", get(due))
        .route("/live/work", get(|bridge| live(bridge, WorkPage::pieces)))
        .route("/work/task", get(task))
        .route("/work/records", get(records))
        .route("/work/record", get(one_record))
        .route("/work/file", get(file))
        .route("/work/taken-back", post(taken_back))
        .route("/work/done", post(done).layer(DefaultBodyLimit::max(LONGEST)))
}

/// What is asked for by name, key or place.
#[derive(Deserialize, Default)]
struct Asked {
    name: Option<String>,
    key: Option<String>,
    sum: Option<String>,
    from: Option<usize>,
}

type Query1 = Result<Query<Asked>, QueryRejection>;

/// Works out what lies on the desk, on a thread of its own.
pub async fn worked(bridge: &Bridge, theme: Theme) -> Result<Arc<Worked>, Response> {
    let desk = bridge.ship.desk.clone();
    let worked = spawn_blocking(move || desk.worked()).await.map_err(|why| why.to_string()).and_then(|worked| worked);
    worked.map_err(|why| {
        let what = format!("What was written down cannot be read: {why}.");
        wrong(&bridge.scene(), theme, StatusCode::INTERNAL_SERVER_ERROR, what)
    })
}

async fn book(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&BookPage::of(&bridge.scene(), theme))
}

async fn due(State(bridge): State<Bridge>, theme: Theme) -> Response {
    match worked(&bridge, theme).await {
        Ok(worked) => page(&WorkPage::of(&bridge.scene(), &worked, theme)),
        Err(wrong) => wrong,
    }
}

async fn task(State(bridge): State<Bridge>, theme: Theme, asked: Query1) -> Response {
    let name = asked.ok().and_then(|Query(asked)| asked.name).unwrap_or_default();
    match worked(&bridge, theme).await.map(|worked| TaskPage::of(&bridge.scene(), &worked, &name, theme)) {
        Ok(Some(told)) => page(&told),
        Ok(None) => {
            absent(&bridge, theme, &format!("There is no task “{name}” on this vessel; the Work page lists them."))
        }
        Err(wrong) => wrong,
    }
}

async fn records(State(bridge): State<Bridge>, theme: Theme, asked: Query1) -> Response {
    let from = asked.ok().and_then(|Query(asked)| asked.from).unwrap_or(0);
    match worked(&bridge, theme).await {
        Ok(worked) => page(&RecordsPage::of(&bridge.scene(), &worked, from, theme)),
        Err(wrong) => wrong,
    }
}

async fn one_record(State(bridge): State<Bridge>, theme: Theme, asked: Query1) -> Response {
    let key = asked.ok().and_then(|Query(asked)| asked.key).unwrap_or_default();
    match worked(&bridge, theme).await.map(|worked| RecordPage::of(&bridge.scene(), &worked, &key, theme)) {
        Ok(Some(told)) => page(&told),
        Ok(None) => absent(&bridge, theme, "There is no such record; the Work page lists them."),
        Err(wrong) => wrong,
    }
}

fn absent(bridge: &Bridge, theme: Theme, what: &str) -> Response {
    wrong(&bridge.scene(), theme, StatusCode::NOT_FOUND, what.into())
}

/// Pictures are shown; anything else is handed over as it is, and never run.
fn sort_of(name: &str) -> &'static str {
    match name.rsplit('.').next().unwrap_or_default().to_ascii_lowercase().as_str() {
        "jpg" | "jpeg" => "image/jpeg",
        "png" => "image/png",
        "webp" => "image/webp",
        _ => "application/octet-stream",
    }
}

async fn file(State(bridge): State<Bridge>, theme: Theme, asked: Query1) -> Response {
    let sum = asked.ok().and_then(|Query(asked)| asked.sum).unwrap_or_default();
    let worked = match worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    let Some(kept) = kept(&worked, &sum).cloned() else {
        return absent(&bridge, theme, "No record keeps such a file.");
    };
    let (desk, sort) = (bridge.ship.desk.clone(), sort_of(&kept.name));
    match spawn_blocking(move || desk.kept(&kept)).await.map_err(|why| why.to_string()).and_then(|read| read) {
        Ok(bytes) => {
            let shown = if sort.starts_with("image/") { "inline" } else { "attachment" };
            ([(header::CONTENT_TYPE, sort), (header::CONTENT_DISPOSITION, shown)], bytes).into_response()
        }
        Err(why) => absent(&bridge, theme, &format!("The file cannot be had: {why}.")),
    }
}

#[derive(Deserialize)]
struct Back {
    key: String,
}

async fn taken_back(State(bridge): State<Bridge>, theme: Theme, form: Result<Form<Back>, FormRejection>) -> Response {
    let Ok(Form(back)) = form else { return refused(&bridge, theme, NO_FORM) };
    let worked = match worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    let Some(key) = standing(&worked, &back.key) else {
        return refused(&bridge, theme, "That record no longer stands. Nothing was written.");
    };
    let line = Line::taking_back::<Record>(bridge.ship.desk.now(), None, &key);
    written(&bridge, theme, line, "/work#records").await
}

/// What a form of work told.
#[derive(Default)]
struct Sent {
    written: Written,
    at: String,
    who: Option<String>,
    corrects: Option<String>,
    files: Vec<(String, Vec<u8>)>,
}

async fn done(State(bridge): State<Bridge>, theme: Theme, form: Result<Multipart, MultipartRejection>) -> Response {
    let sent = match form {
        Ok(form) => read(form).await,
        Err(_) => Err(NO_FORM.to_string()),
    };
    let sent = match sent {
        Ok(sent) => sent,
        Err(what) => return refused(&bridge, theme, &what),
    };
    let worked = match worked(&bridge, theme).await {
        Ok(worked) => worked,
        Err(wrong) => return wrong,
    };
    let back = sent.written.what.clone();
    let desk = bridge.ship.desk.clone();
    let made = {
        let worked = worked.clone();
        spawn_blocking(move || entry(&worked, desk.as_ref(), sent))
            .await
            .map_err(|why| why.to_string())
            .and_then(|made| made)
    };
    match made {
        Ok(line) => {
            let is_task = worked.tasks.iter().any(|task| task.name == back);
            let back = if is_task { link(&back) } else { "/work#records".into() };
            written(&bridge, theme, line, &back).await
        }
        Err(what) => refused(&bridge, theme, &format!("{what} Nothing was written.")),
    }
}

/// The fields of the form, as a browser sends them.
async fn read(mut form: Multipart) -> Result<Sent, String> {
    let mut sent = Sent::default();
    for _ in 0..MOST {
        let field = form.next_field().await.map_err(|_| TOO_LARGE.to_string())?;
        let Some(field) = field else { return Ok(sent) };
        let name = field.name().unwrap_or_default().to_string();
        if name == "file" {
            let file = field.file_name().unwrap_or_default().to_string();
            let bytes = field.bytes().await.map_err(|_| TOO_LARGE.to_string())?;
            // A browser sends an empty one where none was chosen.
            if !bytes.is_empty() {
                sent.files.push((file, bytes.to_vec()));
            }
            continue;
        }
        let value = field.text().await.map_err(|_| TOO_LARGE.to_string())?;
        let filled = (!value.trim().is_empty()).then(|| value.trim().to_string());
        match (name.as_str(), name.split_once(':')) {
            ("what", _) => sent.written.what = value,
            ("at", _) => sent.at = value,
            ("hours", _) => sent.written.hours = filled,
            ("who", _) => sent.who = filled,
            ("text", _) => sent.written.text = value,
            ("corrects", _) => sent.corrects = filled,
            (_, Some(("found", place))) => sent.written.found.push((place.to_string(), value)),
            (_, Some(("left", place))) => sent.written.left.push((place.to_string(), value)),
            _ => return Err(NO_FORM.into()),
        }
    }
    Err(NO_FORM.into())
}

/// Said of what is longer than it may be, or broke off on the way.
const TOO_LARGE: &str = "What was sent did not come whole, or its files are more than 60 MB.";

/// The entry that was written.
fn entry(worked: &Worked, desk: &dyn Desk, mut sent: Sent) -> Result<Line, String> {
    let time = day_of(&sent.at, desk.now())?;
    let corrects = match &sent.corrects {
        None => None,
        Some(key) => Some(standing(worked, key).ok_or("That record no longer stands: somebody has corrected it.")?),
    };
    let words = |refused: work::written::Refused| in_words(&refused);
    // First whether it can be a record at all; only then is a file kept.
    let made = record(&worked.plant, &worked.tasks, &sent.written).map_err(words)?;
    let old = corrects.as_ref().and_then(|key| worked.records.entries.iter().find(|entry| entry.key == *key));
    hours_fit(&worked.plant, &worked.tasks, &worked.meters, &made, time, old.map(|old| old.time)).map_err(words)?;
    for (name, bytes) in &sent.files {
        sent.written.files.push(desk.keep(name, bytes)?);
    }
    if let Some(old) = old {
        sent.written.files.extend(old.what.files.iter().cloned());
    }
    let made = record(&worked.plant, &worked.tasks, &sent.written).map_err(words)?;
    Ok(Line::of(time, sent.who.as_deref(), corrects.as_ref(), &made))
}

/// When something was done, by the day that a form tells: of today it is now, of another day its noon.
///
/// # Errors
/// That it is no day.
pub fn day_of(text: &str, now: i64) -> Result<i64, String> {
    let day = date::read(text).ok_or_else(|| format!("“{text}” is no day."))?;
    Ok(if date::iso(day) == date::iso(now) { now } else { day })
}

/// What cannot be written down, and what to do.
pub fn in_words(refused: &work::written::Refused) -> String {
    watch::saying::sentence(&format!("{}. {}", refused.why, refused.advice))
}

/// What cannot be taken as it was sent, and why.
pub fn refused(bridge: &Bridge, theme: Theme, what: &str) -> Response {
    wrong(&bridge.scene(), theme, StatusCode::BAD_REQUEST, what.into())
}

/// Writes an entry down, and goes back to a page that shows it.
pub async fn written(bridge: &Bridge, theme: Theme, line: Line, back: &str) -> Response {
    let desk = bridge.ship.desk.clone();
    match spawn_blocking(move || desk.note(line)).await.map_err(|why| why.to_string()).and_then(|noted| noted) {
        Ok(()) => Redirect::to(back).into_response(),
        Err(why) => {
            let what = format!("It could not be written down: {why}. Nothing was written.");
            wrong(&bridge.scene(), theme, StatusCode::INTERNAL_SERVER_ERROR, what)
        }
    }
}
