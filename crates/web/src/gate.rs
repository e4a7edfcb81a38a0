//! Who may change something from over the network: who has entered the token, which wrong ones wait.

use axum::http::{HeaderMap, header};
use core::hint::black_box;
use core::net::IpAddr;
use std::sync::Mutex;
use tokio::time::{Duration, Instant};

/// Under which names the pages are served, and what a change needs.
#[derive(Clone, Debug, Default)]
pub struct Access {
    /// Whether others than this machine can reach the pages: then a change needs the token.
    pub network: bool,
    /// Names of this machine on the network.
    pub names: Vec<String>,
    /// What programs, and pages from over the network, show to change something; nothing, and no program may.
    pub token: Option<String>,
}

/// So many wrong tokens from one address within [`MEMORY`] are heard before it has to wait.
const TRIES: usize = 5;
const MEMORY: Duration = Duration::from_secs(60);
/// Addresses that are remembered; the one that was wrong longest ago is forgotten first.
const REMEMBERED: usize = 64;

/// Name of the cookie.
const COOKIE: &str = "token";

/// Compares tokens.
pub struct Gate {
    token: Option<String>,
    wrong: Mutex<Vec<(IpAddr, Vec<Instant>)>>,
}

/// What came of showing a token.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Pass {
    /// It is the one.
    Right,
    /// It is not, or there was none.
    Wrong,
    /// Too many wrong ones came from this address: not even looked at.
    Wait,
}

impl Gate {
    /// That lets this token in.
    pub fn new(token: Option<&str>) -> Gate {
        Gate { token: token.map(plain), wrong: Mutex::default() }
    }

    /// Whether the token shown from an address is the right one.
    pub fn pass(&self, shown: Option<&str>, from: IpAddr) -> Pass {
        self.pass_at(shown, from, Instant::now())
    }

    fn pass_at(&self, shown: Option<&str>, from: IpAddr, now: Instant) -> Pass {
        let (Some(token), Ok(mut wrong)) = (&self.token, self.wrong.lock()) else { return Pass::Wrong };
        // To show none is not to guess.
        let Some(shown) = shown else { return Pass::Wrong };
        for (_, times) in wrong.iter_mut() {
            times.retain(|at| now.saturating_duration_since(*at) < MEMORY);
        }
        wrong.retain(|(_, times)| !times.is_empty());
        let place = wrong.iter().position(|(address, _)| *address == from);
        if place.is_some_and(|place| wrong[place].1.len() >= TRIES) {
            return Pass::Wait;
        }
        if same(&plain(shown), token) {
            return Pass::Right;
        }
        if let Some(place) = place {
            wrong[place].1.push(now);
        } else {
            if wrong.len() >= REMEMBERED {
                wrong.remove(0);
            }
            wrong.push((from, vec![now]));
        }
        Pass::Wrong
    }
}

/// Letters and digits alone, small: how somebody types a token who reads it off a screen.
fn plain(token: &str) -> String {
    token.chars().filter(char::is_ascii_alphanumeric).map(|letter| letter.to_ascii_lowercase()).collect()
}

/// Takes as long wherever the first difference is, so that nobody learns it letter by letter.
fn same(shown: &str, token: &str) -> bool {
    let differ = shown.bytes().zip(token.bytes()).fold(0, |differ, (a, b)| black_box(differ | (a ^ b)));
    shown.len() == token.len() && differ == 0
}

/// The token in the cookie of a page.
pub fn in_cookie(headers: &HeaderMap) -> Option<&str> {
    crate::routes::cookie(headers, COOKIE)
}

/// The token that a program shows.
pub fn of_program(headers: &HeaderMap) -> Option<&str> {
    let shown = headers.get(header::AUTHORIZATION)?.to_str().ok()?;
    let (scheme, token) = shown.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then(|| token.trim())
}

/// How a page keeps it: no script and no other site ever sees it.
pub fn kept(token: &str) -> String {
    format!("{COOKIE}={}; Path=/; Max-Age=31536000; SameSite=Strict; HttpOnly", plain(token))
}

#[cfg(test)]
mod tests {
    use super::*;
    use core::net::Ipv4Addr;

    const HERE: IpAddr = IpAddr::V4(Ipv4Addr::new(192, 168, 4, 2));
    const THERE: IpAddr = IpAddr::V4(Ipv4Addr::new(192, 168, 4, 3));

    #[test]
    fn the_token_is_taken_however_it_is_typed_and_nothing_else_is() {
        let gate = Gate::new(Some("k7qm-3fzd"));
        for right in ["k7qm-3fzd", "K7QM3FZD", " k7qm 3fzd "] {
            assert_eq!(gate.pass(Some(right), HERE), Pass::Right, "{right}");
        }
        for wrong in ["k7qm-3fze", "k7qm-3fz", "k7qm-3fzdd", ""] {
            assert_eq!(Gate::new(Some("k7qm-3fzd")).pass(Some(wrong), HERE), Pass::Wrong, "{wrong}");
        }
        assert_eq!(gate.pass(None, HERE), Pass::Wrong);
        assert_eq!(Gate::new(None).pass(Some(""), HERE), Pass::Wrong, "where there is no token nobody has it");
    }

    #[test]
    fn who_guesses_waits_and_nobody_else_does() {
        let (gate, begun) = (Gate::new(Some("right")), Instant::now());
        for _ in 0..TRIES {
            assert_eq!(gate.pass_at(Some("wrong"), HERE, begun), Pass::Wrong);
        }
        assert_eq!(gate.pass_at(Some("right"), HERE, begun), Pass::Wait, "not even the right one is looked at");
        assert_eq!(gate.pass_at(Some("right"), THERE, begun), Pass::Right);
        assert_eq!(gate.pass_at(Some("right"), HERE, begun + MEMORY), Pass::Right);
    }

    #[test]
    fn memory_does_not_follow_who_guesses() {
        let (gate, begun) = (Gate::new(Some("right")), Instant::now());
        for k in 0..10_000u32 {
            gate.pass_at(Some("wrong"), IpAddr::V4(Ipv4Addr::from(k)), begun);
        }
        assert_eq!(gate.wrong.lock().map(|wrong| wrong.len()).ok(), Some(REMEMBERED));
    }
}
