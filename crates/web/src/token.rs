//! Where the token is asked for and entered.

use crate::gate::{self, Pass};
use crate::page::frame::Theme;
use crate::page::token::TokenPage;
use crate::routes::{Bridge, NO_FORM, is_ours, page, wrong};
use axum::Form;
use axum::extract::rejection::FormRejection;
use axum::extract::{ConnectInfo, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use core::net::SocketAddr;
use serde::Deserialize;

/// What was entered.
#[derive(Deserialize)]
pub struct TokenForm {
    token: String,
    /// Where one goes on to.
    here: String,
}

/// `GET /token`.
pub async fn ask(State(bridge): State<Bridge>, theme: Theme) -> Response {
    page(&TokenPage::of(&bridge.scene(), theme, None, "/"))
}

/// `POST /token`: keeps it on the device that showed the right one.
pub async fn shown(
    bridge: State<Bridge>,
    theme: Theme,
    ConnectInfo(from): ConnectInfo<SocketAddr>,
    form: Result<Form<TokenForm>, FormRejection>,
) -> Response {
    let Ok(Form(shown)) = form else {
        return wrong(&bridge.scene(), theme, StatusCode::BAD_REQUEST, NO_FORM.into());
    };
    let here = if is_ours(&shown.here) { shown.here.as_str() } else { "/" };
    match bridge.gate.pass(Some(&shown.token), from.ip()) {
        Pass::Right => ([(header::SET_COOKIE, gate::kept(&shown.token))], Redirect::to(here)).into_response(),
        pass => no_token(&bridge, theme, pass, here, true),
    }
}

/// Said to who would change something without the token: `typed` tells one that was entered from one that was missing.
pub fn no_token(bridge: &Bridge, theme: Theme, pass: Pass, here: &str, typed: bool) -> Response {
    let (status, what) = match pass {
        Pass::Wait => (
            StatusCode::TOO_MANY_REQUESTS,
            "Too many wrong tokens came from this device. Wait a minute, then enter it again.",
        ),
        _ if typed => (
            StatusCode::FORBIDDEN,
            "That is not the token. Look at it again: letters and digits count, hyphens and spaces do not.",
        ),
        _ => (
            StatusCode::FORBIDDEN,
            "Nothing was entered: this device has not shown the token yet. Enter it once, go back, and send that again.",
        ),
    };
    (status, page(&TokenPage::of(&bridge.scene(), theme, Some(what), here))).into_response()
}
