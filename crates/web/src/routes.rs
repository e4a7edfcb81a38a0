//! Which address answers what. A handler reads what was sent, makes a page of the scene, and renders it.

use crate::alerting::{self, Sent};
use crate::form::{CheckForm, OrderForm, RepairForm, SituationForm, WordForm};
use crate::gate::{Access, Gate};
use crate::page::alerts::{AlertsPage, Strip};
use crate::page::causes::CausesPage;
use crate::page::frame::{Status, Theme};
use crate::page::handbook::{Bound, HandbookPage};
use crate::page::margins::{self, MarginsPage, Sized};
use crate::page::now::NowPage;
use crate::page::opening::drawn;
use crate::page::schematic::{PlantPage, View};
use crate::page::simulator::SimulatorPage;
use crate::page::ways::{WaysPage, work_out};
use crate::page::wires::WiresPage;
use crate::page::wrong::Wrong;
use crate::ship::{Ask, Scene, Ship};
use crate::stream::{self, Pieces};
use crate::{api, assets, bookcase, books, guard, paper, setting, shelf, token, working};
use askama::Template;
use axum::extract::rejection::{FormRejection, QueryRejection};
use axum::extract::{DefaultBodyLimit, FromRequestParts, Query, State};
use axum::http::{HeaderMap, StatusCode, header, request};
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Form, Router, middleware};
use drawing::Schematic;
use parts::kind::Circuit;
use plant::evidence::Named;
use plant::plant::Plant;
use serde::Deserialize;
use std::convert::Infallible;
use std::sync::Arc;
use tokio::sync::{Mutex, OnceCell};
use tokio::task::{JoinError, spawn_blocking};
use tokio::time::{Duration, timeout};
use watch::picture::Entry;

/// Nobody sends more than a form [bytes].
const LONGEST: usize = 16 * 1024;
/// A page is not kept waiting longer for what it asked.
const PATIENCE: Duration = Duration::from_secs(2);

/// What handlers share.
#[derive(Clone)]
pub struct Bridge {
    /// The vessel.
    pub ship: Ship,
    /// Who has the token.
    pub gate: Arc<Gate>,
    /// Laid out once, while the first page is already there.
    schematic: Arc<OnceCell<Schematic>>,
    /// Worked out once, when first asked for.
    sized: Arc<OnceCell<Sized>>,
    /// Held while a document is made for paper.
    pub printing: Arc<Mutex<()>>,
    /// The handbook, made when it is asked for and something was written down since.
    pub bound: Arc<Mutex<Option<Arc<Bound>>>>,
}

impl Bridge {
    /// What is so at this moment.
    pub fn scene(&self) -> Arc<Scene> {
        self.ship.scenes.borrow().clone()
    }

    /// Waits until it is laid out, on a thread of its own.
    async fn schematic(&self) -> Result<&Schematic, JoinError> {
        let plant = self.scene().picture.plant.clone();
        self.schematic.get_or_try_init(|| spawn_blocking(move || Schematic::lay_out(&plant))).await
    }
}

/// All of them, guarded.
pub fn all(ship: Ship, access: Access, port: u16) -> Router {
    let gate = Arc::new(Gate::new(access.token.as_deref()));
    let bridge = Bridge {
        ship,
        gate: gate.clone(),
        schematic: Arc::default(),
        sized: Arc::default(),
        printing: Arc::default(),
        bound: Arc::default(),
    };
    let guard = guard::Guard { port, access: Arc::new(access), gate, bridge: bridge.clone() };
    let early = bridge.clone();
    tokio::spawn(async move { early.schematic().await.is_ok() });
    Router::new()
        .route("/", get(now))
        .route("/plant", get(plant))
        .route("/plant/ways", get(ways))
        .route("/plant/margins", get(sized))
        .route("/causes", get(causes))
        .route("/handbook", get(bookcase::contents))
        .route("/handbook/{leaf}", get(bookcase::leaf))
        .route("/simulator", get(simulator).post(order))
        .route("/alerts", get(alerts).post(about_alert))
        .route("/checks", post(check))
        .route("/repairs", post(repair))
        .route("/situation", post(situation))
        .route("/words", post(word))
        .route("/cleared", post(cleared))
        .route("/theme", post(theme))
        .route("/live/", get(|bridge| live(bridge, NowPage::pieces)))
        .route("/live/plant", get(live_plant))
        .route("/live/plant/ways", get(|bridge| live(bridge, WaysPage::pieces)))
        .route("/live/plant/margins", get(|bridge| live(bridge, MarginsPage::pieces)))
        .route("/live/causes", get(|bridge| live(bridge, CausesPage::pieces)))
        .route("/live/alerts", get(|bridge| live(bridge, AlertsPage::pieces)))
        .route("/live/wrong", get(|bridge| live(bridge, Wrong::pieces)))
        .route("/live/simulator", get(|bridge| live(bridge, SimulatorPage::pieces)))
        .route("/live/work/ledger", get(|bridge| live(bridge, alone)))
        .route("/live/work/samples", get(|bridge| live(bridge, alone)))
        .route("/live/handbook", get(|bridge| live(bridge, HandbookPage::pieces)))
        .route("/live/handbook/{leaf}", get(|bridge| live(bridge, HandbookPage::pieces)))
        .route("/wires", get(wires))
        .route("/live/wires", get(|bridge| live(bridge, WiresPage::pieces)))
        .route("/print", get(paper::offered))
        .route("/print/{file}", get(paper::printed))
        .route("/live/print", get(|bridge| live(bridge, Wrong::pieces)))
        .route("/token", get(token::ask).post(token::shown))
        .route("/assets/style.css", get(assets::style))
        .route("/assets/live.js", get(assets::script))
        .route("/assets/sound.js", get(assets::sound))
        .route("/assets/icon.svg", get(assets::icon))
        .merge(books::routes())
        .fallback(nowhere)
        .layer(DefaultBodyLimit::max(LONGEST))
        // Programs may send more at a time than a form holds.
        .merge(api::routes())
        .merge(working::routes())
        .merge(setting::routes())
        .merge(shelf::routes())
        .layer(middleware::from_fn_with_state(guard, guard::guard))
        .with_state(bridge)
}

async fn now(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&NowPage::of(&bridge.scene(), theme))
}

async fn alerts(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&AlertsPage::of(&bridge.scene(), theme))
}

async fn about_alert(bridge: State<Bridge>, theme: Theme, form: Result<Form<Sent>, FormRejection>) -> Response {
    let back = match &form {
        Ok(Form(sent)) if sent.iter().any(|(name, _)| name == "of") => "/alerts",
        _ => "/#alerts",
    };
    let scene = bridge.scene();
    let board = &scene.picture.alerts;
    let read = |sent: &Sent, _: &Plant| alerting::read(sent, board).map(|deed| Ask::Entry(Entry::Alert(deed)));
    asked(&bridge, theme, form, read, back).await
}

#[derive(Deserialize)]
struct Chosen {
    part: Option<String>,
    /// One circuit alone.
    circuit: Option<String>,
    /// "yes": as wide as the page.
    fit: Option<String>,
}

async fn plant(State(bridge): State<Bridge>, theme: Theme, chosen: Result<Query<Chosen>, QueryRejection>) -> Response {
    let scene = bridge.scene();
    let Ok(Query(chosen)) = chosen else {
        let what = "One part or gauge can be opened at a time: /plant?part=NAME.".into();
        return wrong(&scene, theme, StatusCode::BAD_REQUEST, what);
    };
    let schematic = match bridge.schematic().await {
        Ok(schematic) => schematic,
        Err(why) => {
            let what = format!("The schematic could not be laid out: {why}.");
            return wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, what);
        }
    };
    let circuit = chosen.circuit.as_deref().map(|name| Circuit::ALL.into_iter().find(|circuit| circuit.name() == name));
    if circuit == Some(None) {
        return wrong(
            &scene,
            theme,
            StatusCode::NOT_FOUND,
            "There is no such circuit; choose one on the Plant page.".into(),
        );
    }
    let view = View { circuit: circuit.flatten(), fit: chosen.fit.as_deref() == Some("yes") };
    let Some(name) = chosen.part else { return page(&PlantPage::of(&scene, schematic, theme, None, view)) };
    match Named::find(&scene.picture.plant, &name) {
        Some(of) => page(&PlantPage::of(&scene, schematic, theme, Some(of), view)),
        None => {
            wrong(&scene, theme, StatusCode::NOT_FOUND, format!("There is no part or gauge “{name}” on this vessel."))
        }
    }
}

async fn ways(State(bridge): State<Bridge>, theme: Theme, chosen: Result<Query<Chosen>, QueryRejection>) -> Response {
    let scene = bridge.scene();
    let plant = &scene.picture.plant;
    let name = chosen.ok().and_then(|Query(chosen)| chosen.part).unwrap_or_default();
    let Some(part) = plant.part(&name) else {
        let what = format!("There is no part “{name}” on this vessel; choose one on the Plant page.");
        return wrong(&scene, theme, StatusCode::NOT_FOUND, what);
    };
    let worked = {
        let (plant, point) = (plant.clone(), scene.picture.point);
        spawn_blocking(move || work_out(&plant, part, point)).await.map_err(|why| why.to_string())
    };
    let ways = worked.and_then(|ways| ways);
    let schematic = bridge.schematic().await.map_err(|why| why.to_string());
    match (ways, schematic) {
        (Ok(ways), Ok(schematic)) => page(&WaysPage::of(&scene, schematic, theme, ways)),
        (Err(what), _) | (_, Err(what)) => wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, what),
    }
}

async fn sized(State(bridge): State<Bridge>, theme: Theme) -> Response {
    let scene = bridge.scene();
    let plant = scene.picture.plant.clone();
    let worked = bridge.sized.get_or_try_init(|| async move {
        spawn_blocking(move || margins::work_out(&plant)).await.map_err(|why| why.to_string()).and_then(|sized| sized)
    });
    match worked.await {
        Ok(sized) => page(&MarginsPage::of(&scene, theme, sized)),
        Err(what) => wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, what),
    }
}

async fn causes(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&CausesPage::of(&bridge.scene(), theme))
}

async fn simulator(State(bridge): State<Bridge>, theme: Theme) -> Response {
    let scene = bridge.scene();
    match &scene.simulated {
        Some(simulated) => page(&SimulatorPage::of(&scene, simulated, theme)),
        None => nothing(&scene, theme),
    }
}

async fn wires(State(bridge): State<Bridge>, theme: Theme) -> Response {
    let scene = bridge.scene();
    let (Some(aboard), Some(board)) = (scene.aboard.clone(), bridge.ship.board.clone()) else {
        return nothing(&scene, theme);
    };
    match spawn_blocking(move || board.heard()).await {
        Ok(heard) => page(&WiresPage::of(&scene, &aboard, heard, theme)),
        Err(why) => {
            wrong(&scene, theme, StatusCode::INTERNAL_SERVER_ERROR, format!("The wires cannot be told of: {why}."))
        }
    }
}

async fn order(bridge: State<Bridge>, theme: Theme, form: Result<Form<OrderForm>, FormRejection>) -> Response {
    asked(&bridge, theme, form, OrderForm::read, "/simulator").await
}

async fn check(bridge: State<Bridge>, theme: Theme, form: Result<Form<CheckForm>, FormRejection>) -> Response {
    asked(&bridge, theme, form, CheckForm::read, "/causes").await
}

async fn repair(bridge: State<Bridge>, theme: Theme, form: Result<Form<RepairForm>, FormRejection>) -> Response {
    asked(&bridge, theme, form, RepairForm::read, "/causes").await
}

async fn situation(bridge: State<Bridge>, theme: Theme, form: Result<Form<SituationForm>, FormRejection>) -> Response {
    asked(&bridge, theme, form, SituationForm::read, "/causes").await
}

async fn word(bridge: State<Bridge>, theme: Theme, form: Result<Form<WordForm>, FormRejection>) -> Response {
    asked(&bridge, theme, form, WordForm::read, "/causes").await
}

async fn cleared(bridge: State<Bridge>, theme: Theme) -> Response {
    sent(&bridge, theme, Ask::Entry(Entry::Cleared), "/causes").await
}

#[derive(Deserialize)]
struct ThemeForm {
    theme: String,
    here: String,
}

async fn theme(bridge: State<Bridge>, theme: Theme, form: Result<Form<ThemeForm>, FormRejection>) -> Response {
    let Ok(Form(chosen)) = form else {
        return wrong(&bridge.scene(), theme, StatusCode::BAD_REQUEST, NO_FORM.into());
    };
    let theme = Theme::of(&chosen.theme).word();
    let here = if is_ours(&chosen.here) { chosen.here.as_str() } else { "/" };
    let kept = format!("theme={theme}; Path=/; Max-Age=31536000; SameSite=Strict; HttpOnly");
    ([(header::SET_COOKIE, kept)], Redirect::to(here)).into_response()
}

async fn live_plant(bridge: State<Bridge>, Query(chosen): Query<Chosen>) -> Response {
    let named = chosen.part.and_then(|name| Named::find(&bridge.scene().picture.plant, &name));
    live(bridge, move |scene| PlantPage::pieces(scene, named)).await
}

/// An address on this machine, whatever was sent: a browser takes `//` and `/\\` for another's.
pub fn is_ours(here: &str) -> bool {
    let plain = |byte: u8| byte.is_ascii_graphic() && byte != b'\\';
    here.starts_with('/') && !here.starts_with("//") && here.bytes().all(plain)
}

pub fn live(
    State(bridge): State<Bridge>,
    pieces: impl Fn(&Scene) -> Pieces + Send + 'static,
) -> std::future::Ready<Response> {
    // What is new is told on every page.
    let all = move |scene: &Scene| {
        let mut pieces = pieces(scene);
        pieces.html.push(("strip".into(), drawn(&Strip::of(&scene.picture))));
        pieces
    };
    std::future::ready(stream::of(&bridge.ship, all).into_response())
}

/// A page of which only the line under the vessel's name changes by itself.
pub fn alone(scene: &Scene) -> Pieces {
    Pieces { html: vec![("status".into(), drawn(&Status::of(scene)))], marks: Vec::new() }
}

async fn nowhere(State(bridge): State<Bridge>, theme: Theme) -> Response {
    nothing(&bridge.scene(), theme)
}

fn nothing(scene: &Scene, theme: Theme) -> Response {
    wrong(scene, theme, StatusCode::NOT_FOUND, "There is no page at this address.".into())
}

/// Said of what is no form of ours.
pub const NO_FORM: &str =
    "What was sent is not what this page asks for. Go back, load the page again and send it from there.";

/// Reads a form, asks, and goes back to a page.
async fn asked<F>(
    bridge: &Bridge,
    theme: Theme,
    form: Result<Form<F>, FormRejection>,
    read: impl Fn(&F, &Plant) -> Result<Ask, String>,
    back: &str,
) -> Response {
    let scene = bridge.scene();
    let read = form.map_err(|_| NO_FORM.to_string()).and_then(|Form(form)| read(&form, &scene.picture.plant));
    match read {
        Ok(ask) => sent(bridge, theme, ask, back).await,
        Err(what) => wrong(&scene, theme, StatusCode::BAD_REQUEST, format!("{what} Nothing was entered.")),
    }
}

/// Asks, and goes back to a page once it is dealt with: the page then shows it.
async fn sent(bridge: &Bridge, theme: Theme, ask: Ask, back: &str) -> Response {
    let before = bridge.scene().asked;
    if !(bridge.ship.ask)(ask) {
        let what = "The program is ending and takes nothing in any more.".into();
        return wrong(&bridge.scene(), theme, StatusCode::SERVICE_UNAVAILABLE, what);
    }
    let mut scenes = bridge.ship.scenes.clone();
    // If it takes longer, the open page is told when it is done.
    let _ = timeout(PATIENCE, scenes.wait_for(|scene| scene.asked > before)).await;
    Redirect::to(back).into_response()
}

/// Renders a page.
pub fn page(page: &impl Template) -> Response {
    match page.render() {
        Ok(html) => Html(html).into_response(),
        Err(why) => (StatusCode::INTERNAL_SERVER_ERROR, format!("This page could not be drawn: {why}")).into_response(),
    }
}

/// What cannot be done, and why.
pub fn wrong(scene: &Scene, theme: Theme, status: StatusCode, what: String) -> Response {
    (status, page(&Wrong::of(scene, theme, what))).into_response()
}

impl<S: Sync> FromRequestParts<S> for Theme {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut request::Parts, _: &S) -> Result<Theme, Infallible> {
        Ok(kept(&parts.headers))
    }
}

/// The theme in the cookie.
pub fn kept(headers: &HeaderMap) -> Theme {
    cookie(headers, "theme").map_or(Theme::Auto, Theme::of)
}

/// What a cookie holds.
pub fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let cookies = headers.get_all(header::COOKIE).iter().filter_map(|cookie| cookie.to_str().ok());
    let mut pairs = cookies.flat_map(|cookie| cookie.split(';')).filter_map(|pair| pair.trim().split_once('='));
    pairs.find(|(own, _)| *own == name).map(|(_, word)| word)
}
