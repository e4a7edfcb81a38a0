//! Short hands for making documents.

use crate::document::{Block, Chapter, Document, Span, Step, Table};
use crate::facts::Facts;

/// What every document ends or begins with.
const RESTS_ON: &str = "Made from the description of the vessel; what it does not say is taken as usual for engines of \
    her size. The maker's manual, the flag and class rules, local codes and a licensed engineer come before it. Nothing \
    here replaces the oil-pressure switch and its bell.";

/// A document of hers.
pub(crate) fn document(facts: &Facts, title: &str, subtitle: &str, chapters: Vec<Chapter>) -> Document {
    Document {
        title: title.into(),
        vessel: facts.vessel().into(),
        subtitle: subtitle.into(),
        rests_on: RESTS_ON.into(),
        date: facts.asked.date.clone(),
        landscape: false,
        chapters,
    }
}

pub(crate) fn chapter(title: &str, anchor: &str, blocks: Vec<Block>) -> Chapter {
    Chapter { title: title.into(), anchor: anchor.into(), new_sheet: true, blocks }
}

pub(crate) fn text(words: impl Into<String>) -> Span {
    Span::Text(words.into())
}

pub(crate) fn strong(words: impl Into<String>) -> Span {
    Span::Strong(words.into())
}

pub(crate) fn link(words: impl Into<String>, to: impl Into<String>) -> Span {
    Span::Link { text: words.into(), to: to.into() }
}

pub(crate) fn say(words: impl Into<String>) -> Block {
    Block::Paragraph(vec![text(words)])
}

pub(crate) fn heading(words: impl Into<String>, anchor: impl Into<String>) -> Block {
    Block::Heading { level: 2, text: words.into(), anchor: anchor.into() }
}

pub(crate) fn step(words: impl Into<String>) -> Step {
    Step { text: vec![text(words)], caution: None }
}

pub(crate) fn careful(words: impl Into<String>, caution: &str) -> Step {
    Step { text: vec![text(words)], caution: Some(caution.into()) }
}

/// A table of plain text.
pub(crate) fn table(head: &[&str], widths: &[f64], rows: Vec<Vec<String>>) -> Table {
    let cells = |row: Vec<String>| row.into_iter().map(|cell| vec![text(cell)]).collect();
    Table {
        head: head.iter().map(|word| (*word).to_string()).collect(),
        widths: widths.to_vec(),
        figures: vec![false; head.len()],
        rows: rows.into_iter().map(cells).collect(),
        ..Table::default()
    }
}

/// Spans of several clauses, joined as in a list: "a, b and c".
pub(crate) fn joined(all: Vec<Span>) -> Vec<Span> {
    let last = all.len().saturating_sub(1);
    let mut out = Vec::new();
    for (place, span) in all.into_iter().enumerate() {
        if place > 0 {
            out.push(text(if place == last { " and " } else { ", " }));
        }
        out.push(span);
    }
    out
}

/// What a run of text reads.
pub fn plain(spans: &[Span]) -> String {
    let word = |span: &Span| match span {
        Span::Text(text) | Span::Strong(text) | Span::Link { text, .. } => text.clone(),
    };
    spans.iter().map(word).collect()
}
