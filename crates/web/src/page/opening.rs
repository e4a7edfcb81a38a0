//! What a page opens with: what to do this minute, then the answer in a sentence.

use crate::page::address;
use crate::page::frame::Status;
use crate::ship::Scene;
use askama::Template;
use diagnosis::hypothesis::name_of;
use plant::evidence::Named;
use watch::headline::{Headline, headline};
use watch::picture::Picture;

/// The opening of a page.
pub struct Opening {
    /// What to do this minute.
    pub act: Act,
    /// The answer in a sentence.
    pub verdict: Verdict,
    /// What goes with it.
    pub further: Further,
}

impl Opening {
    /// At this moment.
    pub fn of(picture: &Picture) -> Opening {
        let Headline { sentence, about, next, bands, escapes } = headline(picture);
        Opening {
            act: Act { lines: picture.act.iter().map(|act| (act.line.clone(), act.because.clone())).collect() },
            verdict: Verdict::of(picture, sentence, about),
            further: Further {
                lines: next.into_iter().chain(bands).chain(escapes).collect(),
                weighing: picture.weighing && picture.explained.is_some(),
            },
        }
    }

    /// What changes of it, and the line above it.
    pub fn pieces(scene: &Scene) -> Vec<(String, String)> {
        let Opening { act, verdict, further } = Opening::of(&scene.picture);
        vec![
            ("status".into(), drawn(&Status::of(scene))),
            ("act".into(), drawn(&act)),
            ("verdict".into(), drawn(&verdict)),
            ("further".into(), drawn(&further)),
        ]
    }
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

/// The sentence first: that alone is announced when it changes.
#[derive(Template)]
#[template(path = "verdict.html")]
pub struct Verdict {
    before: String,
    linked: Option<(String, String)>,
    after: String,
}

impl Verdict {
    fn of(picture: &Picture, sentence: String, about: Option<Named>) -> Verdict {
        let linked = about.map(|of| (name_of(&picture.plant, of).to_string(), address(&picture.plant, of)));
        // A title may hold the same word; the name stands last.
        match linked.as_ref().and_then(|(name, _)| sentence.rsplit_once(name.as_str())) {
            Some((before, after)) => Verdict { before: before.into(), after: after.into(), linked },
            None => Verdict { before: sentence, after: String::new(), linked: None },
        }
    }
}

/// What goes with it.
#[derive(Template)]
#[template(path = "further.html")]
pub struct Further {
    lines: Vec<String>,
    weighing: bool,
}
