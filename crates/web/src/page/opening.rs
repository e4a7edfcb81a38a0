//! What a page opens with: what to do this minute, then the answer in a sentence.

use crate::page::address;
use crate::page::frame::Status;
use crate::ship::Scene;
use askama::Template;
use diagnosis::hypothesis::name_of;
use watch::headline::{Headline, headline};
use watch::picture::Picture;

/// What every page opens with, as pieces.
pub fn opening(scene: &Scene) -> Vec<(String, String)> {
    vec![
        ("status".into(), drawn(&Status::of(scene))),
        ("act".into(), drawn(&Act::of(&scene.picture))),
        ("verdict".into(), drawn(&Verdict::of(&scene.picture))),
    ]
}

/// A template as text. Writing to memory does not fail; if it did, nothing would stand there.
pub fn drawn(template: &impl Template) -> String {
    template.render().unwrap_or_default()
}

/// What to do this minute.
#[derive(Template)]
#[template(path = "act.html")]
pub struct Act {
    lines: Vec<(String, String)>,
}

impl Act {
    /// At this moment.
    pub fn of(picture: &Picture) -> Act {
        Act { lines: picture.act.iter().map(|act| (act.line.clone(), act.because.clone())).collect() }
    }
}

/// The sentence first, and what goes with it.
#[derive(Template)]
#[template(path = "verdict.html")]
pub struct Verdict {
    before: String,
    linked: Option<(String, String)>,
    after: String,
    further: Vec<String>,
    weighing: bool,
}

impl Verdict {
    /// At this moment.
    pub fn of(picture: &Picture) -> Verdict {
        let Headline { sentence, about, next, bands, escapes } = headline(picture);
        let name = about.map(|of| (name_of(&picture.plant, of).to_string(), address(&picture.plant, of)));
        // A title may hold the same word; the name stands last.
        let cut = name.as_ref().and_then(|(name, _)| sentence.rsplit_once(name.as_str()));
        let (before, after) = cut.map_or((sentence.clone(), String::new()), |(a, b)| (a.to_string(), b.to_string()));
        let linked = name.filter(|(name, _)| sentence.contains(name.as_str()));
        Verdict {
            before,
            linked,
            after,
            further: next.into_iter().chain(bands).chain(escapes).collect(),
            weighing: picture.weighing && picture.explained.is_some(),
        }
    }
}
