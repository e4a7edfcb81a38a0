//! The owner's procedures: Markdown with live references in braces, which are told as they stand on her now.
//!
//! `{raw-pump}` is a part, named and led to; `{raw-pump place}` where it is; `{seacock-port stands}` how it stands;
//! `{coolant at cruise}` what a gauge reads there (idle, half, cruise, full); `{oil-lamp limit}` where an alarm trips;
//! `{vessel}` her name. A line that begins with "Caution:" is set as one.

use crate::document::{Block, Span, Step};
use crate::facts::Facts;
use crate::make::{plain, text};
use crate::words;
use measure::nearest::nearest;
use plant::finding::{Finding, Problem};
use plant::plant::{GaugeId, PartId, Plant};
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// Loads that a reading can be told at.
const LOADS: [&str; 4] = ["idle", "half", "cruise", "full"];
/// What can be told of a part after its name.
const OF_PARTS: [&str; 2] = ["place", "stands"];

/// A procedure as the owner wrote it.
#[derive(Clone, Debug, PartialEq)]
pub struct Procedure {
    /// Its file's name without the ending: "start", "change-over".
    pub name: String,
    /// What is written in it.
    pub text: String,
}

/// What a reference in braces means.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
enum Reference {
    Part(PartId),
    PlaceOf(PartId),
    Stands(PartId),
    Gauge(GaugeId),
    At(GaugeId, usize),
    Limit(GaugeId),
    Vessel,
}

/// Everything in a procedure's text that leads nowhere, at its place.
pub fn findings(plant: &Plant, written: &str) -> Vec<Finding> {
    let bad = |(place, inner): (Range<usize>, &str)| {
        read(plant, inner).err().map(|problem| Finding::at(problem, place.clone()))
    };
    references(written).filter_map(bad).collect()
}

/// The references of a text: place [byte offsets] and what is between the braces.
fn references(text: &str) -> impl Iterator<Item = (Range<usize>, &str)> {
    let mut from = 0;
    std::iter::from_fn(move || {
        let open = from + text.get(from..)?.find('{')?;
        let rest = &text[open + 1..];
        // A brace that is not closed on its line is a brace.
        let line = rest.split('\n').next().unwrap_or(rest);
        if let Some(close) = line.find('}') {
            from = open + close + 2;
            Some((open..from, &rest[..close]))
        } else {
            from = open + 1;
            Some((open..from, line))
        }
    })
}

/// What a reference means.
fn read(plant: &Plant, inner: &str) -> Result<Reference, Problem> {
    let words: Vec<&str> = inner.split_whitespace().collect();
    let (name, rest) = match words.as_slice() {
        [] => ("", &[][..]),
        [name, rest @ ..] => (*name, rest),
    };
    let name = plant::names::folded(name);
    if name == "vessel" && rest.is_empty() {
        return Ok(Reference::Vessel);
    }
    let (part, gauge) = (plant::names::part_called(plant, &name), plant.gauge(&name));
    let unknown = |sort: &'static str, word: &str, known: &[&str]| Problem::Unknown {
        sort,
        name: word.to_string(),
        nearest: nearest(word, known.iter().copied()).map(str::to_string),
    };
    match (part, gauge, rest) {
        (_, Some(gauge), ["limit"]) if plant[gauge].trips.is_some() => Ok(Reference::Limit(gauge)),
        (_, Some(gauge), ["limit"]) => {
            // A gauge without a trip point: the alarm that watches the same place has it.
            let same = |other: &GaugeId| plant[*other].tap == plant[gauge].tap && plant[*other].trips.is_some();
            let none = || Problem::Unknown { sort: "limit of", name: name.clone(), nearest: None };
            plant.gauge_ids().find(same).map(Reference::Limit).ok_or_else(none)
        }
        (_, Some(gauge), ["at", load]) => {
            let place = LOADS.iter().position(|known| known == load);
            place.map(|place| Reference::At(gauge, place)).ok_or_else(|| unknown("load", load, &LOADS))
        }
        (_, Some(gauge), []) => Ok(Reference::Gauge(gauge)),
        (Some(part), _, []) => Ok(Reference::Part(part)),
        (Some(part), _, ["place"]) => Ok(Reference::PlaceOf(part)),
        (Some(part), _, ["stands"]) if plant.opening(part).is_some() => Ok(Reference::Stands(part)),
        (Some(_), _, [word, ..]) => Err(unknown("word after a part", word, &OF_PARTS)),
        (_, Some(_), [word, ..]) => Err(unknown("word after a gauge", word, &["at", "limit"])),
        (None, None, _) => {
            let all = plant.parts.iter().map(|part| part.name.as_str());
            let known: Vec<&str> = all.chain(plant.gauges.iter().map(|gauge| gauge.name.as_str())).collect();
            Err(unknown("part or gauge", &name, &known))
        }
    }
}

/// A reference as it stands on her now.
fn told(facts: &Facts, reference: Reference) -> Span {
    let plant = facts.plant;
    match reference {
        Reference::Part(part) => words::linked(plant, part),
        Reference::PlaceOf(part) => {
            text(words::place(plant, part).unwrap_or_else(|| "a place that is not told".into()))
        }
        Reference::Stands(part) => text(plant[part].kind.stands(plant.opening(part).unwrap_or(1.0))),
        Reference::Gauge(gauge) => text(words::gauge_name(&plant[gauge])),
        Reference::At(gauge, load) => {
            let band = facts.normal(LOADS[load]).and_then(|normal| normal.band(gauge));
            text(band.map_or_else(|| "what it usually reads".into(), |band| words::band(plant, band)))
        }
        Reference::Limit(gauge) => {
            text(plant[gauge].trips.map_or_else(String::new, |(trip, _)| words::told(&plant[gauge], trip)))
        }
        Reference::Vessel => text(if facts.vessel().is_empty() { "the vessel" } else { facts.vessel() }),
    }
}

/// A text with its references told; one that leads nowhere stands as it was written.
fn live(facts: &Facts, written: &str, strong: bool) -> Vec<Span> {
    let run = |words: &str| if strong { Span::Strong(words.into()) } else { Span::Text(words.into()) };
    let mut out = Vec::new();
    let mut from = 0;
    for (place, inner) in references(written) {
        let Ok(reference) = read(facts.plant, inner) else { continue };
        if place.start > from {
            out.push(run(&written[from..place.start]));
        }
        out.push(told(facts, reference));
        from = place.end;
    }
    if from < written.len() {
        out.push(run(&written[from..]));
    }
    out
}

/// A procedure's title, or its name where it has none.
pub(crate) fn title(facts: &Facts, procedure: &Procedure) -> String {
    let mut heading = false;
    let mut title = String::new();
    for event in Parser::new_ext(&procedure.text, Options::empty()) {
        match event {
            Event::Start(Tag::Heading { level: HeadingLevel::H1, .. }) => heading = true,
            Event::End(TagEnd::Heading(HeadingLevel::H1)) => return plain(&live(facts, &title, false)),
            Event::Text(words) | Event::Code(words) if heading => title.push_str(&words),
            _ => {}
        }
    }
    words::sentence(&watch::saying::key(&procedure.name))
}

/// What is in a procedure, below its title.
pub(crate) fn blocks(facts: &Facts, procedure: &Procedure) -> Vec<Block> {
    let mut setter = Setter { facts, out: Vec::new(), spans: Vec::new(), lists: Vec::new(), strong: 0 };
    let mut pending = String::new();
    let mut skip = false;
    for event in Parser::new_ext(&procedure.text, Options::empty()) {
        // References may be cut into several pieces of text; they are put together before they are read.
        if let Event::Text(words) | Event::Code(words) = &event {
            pending.push_str(words);
            continue;
        }
        if matches!(event, Event::SoftBreak | Event::HardBreak) {
            pending.push(' ');
            continue;
        }
        setter.flow(&mut pending, skip);
        match event {
            Event::Start(Tag::Heading { level: HeadingLevel::H1, .. }) => skip = true,
            Event::End(TagEnd::Heading(HeadingLevel::H1)) => skip = false,
            event => setter.event(&event),
        }
    }
    setter.flow(&mut pending, skip);
    setter.paragraph();
    setter.out
}

/// Markdown on its way into blocks.
struct Setter<'a> {
    facts: &'a Facts<'a>,
    out: Vec<Block>,
    spans: Vec<Span>,
    /// Lists that are open, the innermost last: numbered or not, and their items.
    lists: Vec<(bool, Vec<Step>)>,
    strong: usize,
}

impl Setter<'_> {
    fn flow(&mut self, pending: &mut String, skip: bool) {
        let written = std::mem::take(pending);
        if !skip && !written.is_empty() {
            self.spans.extend(live(self.facts, &written, self.strong > 0));
        }
    }

    fn event(&mut self, event: &Event) {
        match event {
            Event::Start(Tag::Strong | Tag::Emphasis) => self.strong += 1,
            Event::End(TagEnd::Strong | TagEnd::Emphasis) => self.strong = self.strong.saturating_sub(1),
            Event::Start(Tag::List(first)) => {
                self.item();
                self.lists.push((first.is_some(), Vec::new()));
            }
            Event::End(TagEnd::Item) => self.item(),
            Event::End(TagEnd::List(_)) => self.list(),
            Event::Start(Tag::Heading { .. }) => self.paragraph(),
            Event::End(TagEnd::Heading(_)) => {
                let words = plain(&std::mem::take(&mut self.spans));
                let anchor = words::slug(&words);
                self.out.push(Block::Heading { level: 2, text: words, anchor: format!("says-{anchor}") });
            }
            Event::End(TagEnd::Paragraph) if self.lists.is_empty() => self.paragraph(),
            Event::End(TagEnd::Paragraph) => self.spans.push(text(" ")),
            _ => {}
        }
    }

    fn paragraph(&mut self) {
        let spans = trimmed(std::mem::take(&mut self.spans));
        if spans.is_empty() {
            return;
        }
        self.out.push(match caution(&spans) {
            Some(words) => Block::Caution(words),
            None => Block::Paragraph(spans),
        });
    }

    /// What has been said since the last item is one; a caution in it belongs to the step.
    fn item(&mut self) {
        let spans = trimmed(std::mem::take(&mut self.spans));
        if spans.is_empty() {
            return;
        }
        let Some((_, items)) = self.lists.last_mut() else {
            self.out.push(Block::Paragraph(spans));
            return;
        };
        let whole = plain(&spans);
        match (whole.find("Caution:"), items.last_mut()) {
            (Some(0), Some(last)) if last.caution.is_none() => {
                last.caution = Some(whole["Caution:".len()..].trim().into());
            }
            (Some(at), _) if at > 0 => items.push(Step {
                text: vec![text(whole[..at].trim())],
                caution: Some(whole[at + "Caution:".len()..].trim().into()),
            }),
            _ => items.push(Step { text: spans, caution: None }),
        }
    }

    fn list(&mut self) {
        self.item();
        let Some((numbered, items)) = self.lists.pop() else { return };
        if let Some((_, outer)) = self.lists.last_mut() {
            outer.extend(items);
        } else if numbered || items.iter().any(|item| item.caution.is_some()) {
            self.out.push(Block::Steps(items));
        } else {
            self.out.push(Block::List(items.into_iter().map(|item| item.text).collect()));
        }
    }
}

/// What a paragraph warns of, if it begins so.
fn caution(spans: &[Span]) -> Option<String> {
    plain(spans).strip_prefix("Caution:").map(|rest| rest.trim().to_string())
}

/// Without empty runs at its ends.
fn trimmed(mut spans: Vec<Span>) -> Vec<Span> {
    let empty = |span: &Span| matches!(span, Span::Text(text) | Span::Strong(text) if text.trim().is_empty());
    while spans.last().is_some_and(empty) {
        spans.pop();
    }
    let first = spans.iter().position(|span| !empty(span)).unwrap_or(spans.len());
    spans.drain(..first);
    if let Some(Span::Text(last)) = spans.last_mut() {
        last.truncate(last.trim_end().len());
    }
    spans
}
