//! Ledger and samples on pages: shown, and written down.

use crate::desk::{Desk, Worked};
use crate::page::frame::Theme;
use crate::page::ledger::LedgerPage;
use crate::page::samples::SamplesPage;
use crate::routes::{Bridge, NO_FORM, page, wrong};
use axum::Router;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::get;
use diary::{Diary, Key, Line, Sort};
use intake::moment::{Moment, Order, read};
use ledger::Posting;
use ledger::written::{self, Beside};
use samples::Sample;
use serde::Deserialize;
use std::fmt::Write as _;
use std::sync::Arc;
use tokio::task::spawn_blocking;

/// The addresses.
pub fn routes() -> Router<Bridge> {
    Router::new()
        .route("/work/ledger", get(ledger).post(post_ledger))
        .route("/work/samples", get(samples).post(post_sample))
}

#[derive(Deserialize)]
struct Chosen {
    /// Key of an entry that is to be corrected.
    correct: Option<String>,
}

async fn ledger(bridge: State<Bridge>, theme: Theme, chosen: Query<Chosen>) -> Response {
    shown(bridge, theme, |bridge, worked| {
        page(&LedgerPage::of(&bridge.scene(), theme, worked, chosen.correct.as_deref()))
    })
    .await
}

async fn samples(bridge: State<Bridge>, theme: Theme, chosen: Query<Chosen>) -> Response {
    shown(bridge, theme, |bridge, worked| {
        page(&SamplesPage::of(&bridge.scene(), theme, worked, chosen.correct.as_deref()))
    })
    .await
}

/// What lies on the desk, on a page.
async fn shown(
    State(bridge): State<Bridge>,
    theme: Theme,
    draw: impl FnOnce(&Bridge, &Worked) -> Response,
) -> Response {
    let desk = bridge.ship.desk.clone();
    match spawn_blocking(move || desk.worked()).await {
        Ok(Ok(worked)) => draw(&bridge, &worked),
        Ok(Err(why)) => unable(&bridge, theme, &why),
        Err(why) => unable(&bridge, theme, &why.to_string()),
    }
}

fn unable(bridge: &Bridge, theme: Theme, why: &str) -> Response {
    wrong(
        &bridge.scene(),
        theme,
        StatusCode::INTERNAL_SERVER_ERROR,
        format!("What was written down cannot be read: {why}."),
    )
}

/// What a form of the ledger sends; what a sort has no use for is left empty.
#[derive(Clone, Default, Deserialize)]
#[serde(default)]
struct Posted {
    sort: String,
    of: String,
    to: String,
    amount: String,
    within: String,
    density: String,
    #[serde(rename = "where")]
    place: String,
    price: String,
    at: String,
    who: String,
    correct: String,
    key: String,
}

async fn post_ledger(bridge: State<Bridge>, theme: Theme, form: Result<Form<Posted>, FormRejection>) -> Response {
    noted(bridge, theme, form, "/work/ledger", |form, desk, worked| {
        if form.sort == "back" {
            let key = standing(&worked.ledger.diary, &form.key)?;
            return Ok(Line::taking_back::<Posting>(desk.now(), told(&form.who), &key));
        }
        let sort = written::Sort::of(&form.sort).ok_or("This form does not say what was done.")?;
        let beside = Beside {
            within: told(&form.within),
            density: told(&form.density),
            place: told(&form.place),
            price: told(&form.price),
        };
        let words: Vec<&str> = [&form.of, &form.to, &form.amount].into_iter().filter_map(|text| told(text)).collect();
        let what = written::posting(sort, &words.join("="), &beside, &worked.tanks, &worked.plant)?;
        line(desk, &worked.ledger.diary, &form.at, &form.who, &form.correct, &what)
    })
    .await
}

/// What the form of samples sends.
#[derive(Clone, Default, Deserialize)]
#[serde(default)]
struct Sheet {
    of: String,
    number: String,
    hours_on_fill: String,
    hours: String,
    grade: String,
    added: String,
    results: String,
    at: String,
    who: String,
    correct: String,
    back: String,
}

async fn post_sample(bridge: State<Bridge>, theme: Theme, form: Result<Form<Sheet>, FormRejection>) -> Response {
    noted(bridge, theme, form, "/work/samples", |form, desk, worked| {
        if !form.back.is_empty() {
            let key = standing(&worked.results.diary, &form.back)?;
            return Ok(Line::taking_back::<Sample>(desk.now(), told(&form.who), &key));
        }
        let (mut all, findings) = samples::reading::read(&form.text()?, &worked.plant);
        if let Some(finding) = findings.iter().find(|finding| finding.is_fatal()) {
            return Err(format!("{}.", finding.problem));
        }
        let told = all.pop().ok_or("Nothing was told.")?;
        line(desk, &worked.results.diary, &form.at, &form.who, &form.correct, &told.sample)
    })
    .await
}

impl Sheet {
    /// As a file tells it.
    fn text(&self) -> Result<String, String> {
        let mut text = "[[sample]]\n".to_string();
        let mut say = |key: &str, value: &str| {
            // A text in JSON is one in TOML.
            let value = serde_json::to_string(value).unwrap_or_default();
            let _ = writeln!(text, "{key} = {value}");
        };
        say("of", &self.of);
        say("number", self.number.trim());
        for (key, hours) in [("hours-on-fill", &self.hours_on_fill), ("hours", &self.hours)] {
            if let Some(hours) = told(hours) {
                say(key, &if hours.parse::<f64>().is_ok() { format!("{hours} h") } else { hours.to_string() });
            }
        }
        for (key, value) in [("grade", &self.grade), ("added", &self.added)] {
            if let Some(value) = told(value) {
                say(key, value);
            }
        }
        for line in self.results.lines().map(str::trim).filter(|line| !line.is_empty()) {
            let cut = line.find(|letter: char| letter.is_whitespace() || letter == '=' || letter == ':');
            let (key, value) = line.split_at(cut.ok_or_else(|| format!("“{line}” says no value."))?);
            let bare = |byte: u8| byte.is_ascii_alphanumeric() || b"-_".contains(&byte);
            if !key.bytes().all(bare) {
                return Err(format!("“{key}” is nothing a laboratory measures."));
            }
            say(key, value.trim_start_matches(|letter: char| letter.is_whitespace() || letter == '=' || letter == ':'));
        }
        Ok(text)
    }
}

/// Reads a form, writes what it tells, and goes back to the page.
async fn noted<F: Send + 'static>(
    State(bridge): State<Bridge>,
    theme: Theme,
    form: Result<Form<F>, FormRejection>,
    back: &'static str,
    make: impl FnOnce(&F, &dyn Desk, &Worked) -> Result<Line, String> + Send + 'static,
) -> Response {
    let Ok(Form(form)) = form else {
        return wrong(&bridge.scene(), theme, StatusCode::BAD_REQUEST, NO_FORM.into());
    };
    let desk: Arc<dyn Desk> = bridge.ship.desk.clone();
    let done = spawn_blocking(move || {
        let worked = desk.worked().map_err(|why| (StatusCode::INTERNAL_SERVER_ERROR, why))?;
        let line = make(&form, desk.as_ref(), &worked).map_err(|why| (StatusCode::BAD_REQUEST, why))?;
        desk.note(line).map_err(|why| (StatusCode::INTERNAL_SERVER_ERROR, why))
    });
    match done.await {
        Ok(Ok(())) => Redirect::to(back).into_response(),
        Ok(Err((status, why))) => wrong(&bridge.scene(), theme, status, format!("{} Nothing was entered.", full(&why))),
        Err(why) => unable(&bridge, theme, &why.to_string()),
    }
}

/// A sentence, whole.
fn full(why: &str) -> String {
    let mut letters = why.trim().trim_end_matches('.').chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).chain(['.']).collect())
}

fn told(text: &str) -> Option<&str> {
    Some(text.trim()).filter(|text| !text.is_empty())
}

/// The key of an entry that stands.
fn standing<T>(diary: &Diary<T>, key: &str) -> Result<Key, String> {
    let found = diary.entries.iter().find(|entry| entry.key.0 == key);
    found.map(|entry| entry.key.clone()).ok_or_else(|| "That entry stands no more: load the page again.".into())
}

fn line<T: Sort>(
    desk: &dyn Desk,
    diary: &Diary<T>,
    at: &str,
    who: &str,
    correct: &str,
    what: &T,
) -> Result<Line, String> {
    let corrects = told(correct).map(|key| standing(diary, key)).transpose()?;
    let time = told(at).map_or_else(|| Ok(desk.now()), moment)?;
    Ok(Line::of(time, told(who), corrects.as_ref(), what))
}

/// A time as a form tells it, UTC unless it says its zone [ms since 1970].
fn moment(text: &str) -> Result<i64, String> {
    match read(text.as_bytes(), Some(Order::DayFirst)) {
        Ok(Moment::Universal(time) | Moment::Offset(time, _) | Moment::Local(time) | Moment::Date(time)) => Ok(time),
        _ => Err(format!("“{text}” is no time: write it such as 2026-05-03 14:00")),
    }
}
