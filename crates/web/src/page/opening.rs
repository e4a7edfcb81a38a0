//! What a page opens with: what to do this minute, then the answer in a sentence.

use crate::page::frame::Status;
use crate::page::{address, long};
use crate::ship::Scene;
use askama::Template;
use plant::evidence::Named;
use std::ops::Range;
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
        let Headline { sentence, named, age, next, bands, escapes, alike } = headline(picture);
        Opening {
            act: Act::of(picture),
            verdict: Verdict::of(picture, &sentence, &named),
            further: Further {
                next,
                lines: bands.into_iter().chain(escapes).chain(alike).collect(),
                weighed: age.map(|age| format!("Weighed {} ago.", long(age))),
                weighing: match picture.explained {
                    Some(_) if picture.weighing => Some("Causes are being weighed again."),
                    Some(_) if picture.suspected => Some(
                        "Something looked odd: it is weighed once more, from new readings, before anything is named.",
                    ),
                    _ => None,
                },
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

/// What to do this minute: one thing, the most urgent. What else is asked for is folded under it, for two orders at once
/// may go against each other.
#[derive(Template)]
#[template(path = "act.html")]
pub struct Act {
    first: Option<Ordered>,
    rest: Vec<Ordered>,
}

/// One thing to do.
struct Ordered {
    /// Its first sentence.
    order: String,
    /// The sentences after it.
    then: String,
    because: String,
}

impl Act {
    /// At this moment.
    pub fn of(picture: &Picture) -> Act {
        let mut all = picture.act.iter().map(|act| {
            let end = act.line.find(['.', ';']).map_or(act.line.len(), |end| end + 1);
            let (order, then) = act.line.split_at(end);
            Ordered { order: order.into(), then: then.trim().into(), because: act.because.clone() }
        });
        Act { first: all.next(), rest: all.collect() }
    }
}

/// The sentence first: that alone is announced when it changes.
#[derive(Template)]
#[template(path = "verdict.html")]
pub struct Verdict {
    words: Vec<Words>,
}

/// A stretch of the sentence, and where it leads if it names a part or gauge.
struct Words {
    text: String,
    link: Option<String>,
    id: usize,
}

impl Verdict {
    fn of(picture: &Picture, sentence: &str, named: &[(Range<usize>, Named)]) -> Verdict {
        let mut words = Vec::new();
        let mut done = 0;
        let mut push = |text: &str, link: Option<String>| {
            let id = words.len();
            words.push(Words { text: text.into(), link, id });
        };
        for (place, of) in named {
            push(&sentence[done..place.start], None);
            push(&sentence[place.clone()], Some(address(&picture.plant, *of)));
            done = place.end;
        }
        push(&sentence[done..], None);
        Verdict { words }
    }
}

/// What goes with it.
#[derive(Template)]
#[template(path = "further.html")]
pub struct Further {
    /// The check to make next.
    next: Option<String>,
    lines: Vec<String>,
    /// How old the answer is.
    weighed: Option<String>,
    /// What is under way.
    weighing: Option<&'static str>,
}
