//! Who may ask: this machine's own pages and nobody else's, and what a page may do.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

/// Everything a page needs comes from here; nothing is inline, nothing is framed, nothing is sent elsewhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
                      form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Turns away what does not name this address, and what another site's page sends; adds the headers of every answer.
pub async fn guard(State(port): State<u16>, request: Request, next: Next) -> Response {
    if !names_us(request.headers(), port) {
        let text = "This address is not one that the pages are served under; open the one the program printed.";
        return (StatusCode::MISDIRECTED_REQUEST, text).into_response();
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if !reads && !from_us(request.headers(), port) {
        let text = "Only the pages themselves may send this: it came from another site.";
        return (StatusCode::FORBIDDEN, text).into_response();
    }
    let mut response = next.run(request).await;
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

/// A name that leads to this machine alone: another one would let a foreign page reach us under its own name.
fn names_us(headers: &HeaderMap, port: u16) -> bool {
    headers.get(header::HOST).and_then(|host| host.to_str().ok()).is_some_and(|host| ours(host, port))
}

/// What changes something must say where it comes from.
fn from_us(headers: &HeaderMap, port: u16) -> bool {
    let origin = headers.get(header::ORIGIN).and_then(|origin| origin.to_str().ok());
    origin.and_then(|origin| origin.strip_prefix("http://")).is_some_and(|host| ours(host, port))
}

fn ours(host: &str, port: u16) -> bool {
    let (name, given) = match host.rsplit_once(':') {
        Some((name, given)) if !given.ends_with(']') => (name, given.parse().ok()),
        _ => (host, Some(80)),
    };
    given == Some(port) && ["127.0.0.1", "localhost", "[::1]"].contains(&name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_are_ours() {
        for host in ["127.0.0.1:8420", "localhost:8420", "[::1]:8420"] {
            assert!(ours(host, 8420), "{host}");
        }
        for host in
            ["127.0.0.1", "127.0.0.1:8421", "evil.example:8420", "localhost.evil.example:8420", "", ":8420", "[::1]"]
        {
            assert!(!ours(host, 8420), "{host}");
        }
        assert!(ours("localhost", 80));
    }
}
