//! Who may ask: this vessel's own pages and nobody else's, what a change needs, and what a page may do.

use crate::api;
use crate::gate::{self, Access, Gate, Pass};
use crate::page::frame::Theme;
use crate::routes::{self, Bridge};
use crate::token;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};
use core::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr};
use std::sync::Arc;

/// Everything a page needs comes from here; nothing is inline, nothing is framed, nothing is sent elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// What changes nothing of the vessel, so that everybody may send it: how one's own page is lit, and the token itself.
const ANYBODY: [&str; 2] = ["/theme", "/token"];

/// What the guard knows.
#[derive(Clone)]
pub struct Guard {
    /// Of the listener.
    pub port: u16,
    /// Under which names, and whether over the network.
    pub access: Arc<Access>,
    /// Who has the token.
    pub gate: Arc<Gate>,
    /// To say no on a page.
    pub bridge: Bridge,
}

/// Turns away what does not name this address, what another site's page sends, and what changes something without the
/// token where one is needed; adds the headers of every answer.
pub async fn guard(State(guard): State<Guard>, request: Request, next: Next) -> Response {
    let mut response = match guard.refusal(&request) {
        Some(refusal) => refusal,
        None => next.run(request).await,
    };
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
        (header::CACHE_CONTROL, "no-store"),
    ] {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}

impl Guard {
    /// Why this is not answered, if it is not.
    fn refusal(&self, request: &Request) -> Option<Response> {
        let headers = request.headers();
        if !self.names_us(headers) {
            let text = "This address is not one that the pages are served under; open the one the program printed.";
            return Some((StatusCode::MISDIRECTED_REQUEST, text).into_response());
        }
        if matches!(*request.method(), Method::GET | Method::HEAD) {
            return None;
        }
        let path = request.uri().path();
        let program = path.starts_with("/api/");
        // A browser says where a page comes from that sends something; a program has no page.
        if !self.is_from_us(headers) && (!program || headers.contains_key(header::ORIGIN)) {
            let text = "Only the pages themselves may send this: it came from another site.";
            return Some((StatusCode::FORBIDDEN, text).into_response());
        }
        let from = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|ConnectInfo(peer)| peer.ip());
        let from = from.unwrap_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED));
        if program {
            let pass = self.gate.pass(gate::of_program(headers), from);
            return (pass != Pass::Right).then(|| api::refused(pass));
        }
        if !self.access.network || ANYBODY.contains(&path) {
            return None;
        }
        let pass = self.gate.pass(gate::in_cookie(headers), from);
        let theme: Theme = routes::kept(headers);
        (pass != Pass::Right).then(|| token::no_token(&self.bridge, theme, pass, "/", false))
    }

    /// A name that leads to this machine alone: another one would let a foreign page reach us under its own name.
    fn names_us(&self, headers: &HeaderMap) -> bool {
        let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
        host.is_some_and(|host| ours(host, self.port, &self.access))
    }

    /// What changes something must say where it comes from.
    fn is_from_us(&self, headers: &HeaderMap) -> bool {
        let origin = headers.get(header::ORIGIN).and_then(|origin| origin.to_str().ok());
        let host = origin.and_then(|origin| origin.strip_prefix("http://"));
        host.is_some_and(|host| ours(host, self.port, &self.access))
    }
}

/// Whether a host with its port is this machine.
///
/// On the network an address in digits is ours whichever it is: it came here, and no name server can have led a foreign
/// page to it. A name is ours only if it is this machine's own.
fn ours(host: &str, port: u16, access: &Access) -> bool {
    let (name, given) = match host.rsplit_once(':') {
        Some((name, given)) if !given.ends_with(']') => (name, given.parse().ok()),
        _ => (host, Some(80)),
    };
    let bare = name.strip_prefix('[').and_then(|name| name.strip_suffix(']'));
    let digits = || name.parse::<Ipv4Addr>().is_ok() || bare.is_some_and(|bare| bare.parse::<Ipv6Addr>().is_ok());
    let named = || access.names.iter().any(|own| own.eq_ignore_ascii_case(name.trim_end_matches('.')));
    given == Some(port)
        && (["127.0.0.1", "localhost", "[::1]"].contains(&name) || (access.network && (digits() || named())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_are_ours() {
        let alone = Access::default();
        for host in ["127.0.0.1:8420", "localhost:8420", "[::1]:8420"] {
            assert!(ours(host, 8420, &alone), "{host}");
        }
        for host in [
            "127.0.0.1",
            "127.0.0.1:8421",
            "evil.example:8420",
            "localhost.evil.example:8420",
            "",
            ":8420",
            "[::1]",
            "192.168.4.2:8420",
            "bridge:8420",
        ] {
            assert!(!ours(host, 8420, &alone), "{host}");
        }
        assert!(ours("localhost", 80, &alone));
    }

    #[test]
    fn on_the_network_addresses_are_ours_and_foreign_names_are_not() {
        let names = vec!["bridge".to_string(), "bridge.local".to_string()];
        let access = Access { network: true, names, token: None };
        for host in ["192.168.4.2:8420", "[fe80::1]:8420", "bridge:8420", "Bridge.local:8420", "bridge.local.:8420"] {
            assert!(ours(host, 8420, &access), "{host}");
        }
        for host in
            ["evil.example:8420", "bridge.evil.example:8420", "192.168.4.2:80", "1.2.3:8420", "[x]:8420", "0x7f.1:8420"]
        {
            assert!(!ours(host, 8420, &access), "{host}");
        }
    }
}
