//! The stream behind an open page: what has changed on it since its reader was last told.

use crate::ship::{Scene, Ship};
use axum::response::sse::{Event, KeepAlive, Sse};
use serde::Serialize;
use std::collections::HashMap;
use std::convert::Infallible;
use tokio::time::Duration;
use tokio_stream::wrappers::WatchStream;
use tokio_stream::{Stream, StreamExt as _};

/// What a page shows that may change while it is open.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Pieces {
    /// Id of an element, and what stands in it.
    pub html: Vec<(String, String)>,
    /// In the drawing: the gauge, what it shows, and how that is to be taken.
    pub marks: Vec<(String, String, &'static str)>,
}

/// What a reader has on the page.
#[derive(Default)]
struct Told {
    html: HashMap<String, String>,
    marks: HashMap<String, (String, &'static str)>,
}

impl Told {
    /// What is not yet there; nothing if all is.
    fn news(&mut self, mut pieces: Pieces) -> Option<Pieces> {
        pieces.html.retain(|(id, html)| self.html.insert(id.clone(), html.clone()).as_ref() != Some(html));
        pieces.marks.retain(|(id, text, state)| {
            let now = (text.clone(), *state);
            self.marks.insert(id.clone(), now.clone()) != Some(now)
        });
        (!pieces.html.is_empty() || !pieces.marks.is_empty()).then_some(pieces)
    }
}

/// While there is no news a page is told so this often, that it can tell silence from a dead link.
const BEAT: Duration = Duration::from_secs(5);

fn beat() -> KeepAlive {
    KeepAlive::new().interval(BEAT).event(Event::default().event("beat").data("1"))
}

/// One event for each scene in which something on the page has changed.
pub fn of<F: Fn(&Scene) -> Pieces + Send + 'static>(
    ship: &Ship,
    pieces: F,
) -> Sse<impl Stream<Item = Result<Event, Infallible>> + use<F>> {
    let mut told = Told::default();
    let news = WatchStream::new(ship.scenes.clone()).filter_map(move |scene| told.news(pieces(&scene)));
    let events = news.filter_map(|news| serde_json::to_string(&news).ok());
    Sse::new(events.map(|data| Ok(Event::default().event("news").data(data)))).keep_alive(beat())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(verdict: &str, reads: &str) -> Pieces {
        Pieces {
            html: vec![("verdict".into(), verdict.into()), ("status".into(), "steady".into())],
            marks: vec![("coolant".into(), reads.into(), "in")],
        }
    }

    #[test]
    fn only_what_has_changed_is_told() {
        let mut told = Told::default();
        assert_eq!(told.news(pieces("well", "80")).map(|news| (news.html.len(), news.marks.len())), Some((2, 1)));
        assert!(told.news(pieces("well", "80")).is_none());
        let news = told.news(pieces("ill", "80")).expect("the verdict has changed");
        assert_eq!((news.html, news.marks.len()), (vec![("verdict".to_string(), "ill".to_string())], 0));
        let news = told.news(pieces("ill", "81")).expect("the gauge has moved");
        assert_eq!((news.html.len(), news.marks.len()), (0, 1));
    }
}
