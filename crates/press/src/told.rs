//! A document as the data that `sheet.typ` sets: its text made plain, its links counted out, its drawings ready.

use crate::plain::{BOX, Plain};
use crate::{Paper, code, svg};
use book::document::{Block, Chapter, Document, Span, Step, Table};
use std::collections::{BTreeMap, BTreeSet};
use typst::foundations::{Array, Bytes, Dict, IntoValue, NoneValue, Value, dict};

/// Left for the binding, and on the other sides: right, over and under [mm].
const MARGINS: [f64; 4] = [24.0, 18.0, 16.0, 22.0];
/// What the frame of a card takes of either side [mm].
const FRAME: f64 = 14.0;
/// What a caption and a heading take of a drawing's height [mm].
const BESIDE: f64 = 28.0;
/// Drawn smaller than this, a drawing is turned onto a wide sheet of its own if it gains by it [of its own size].
const SMALL: f64 = 0.65;
/// So much larger it must come out there [1].
const GAIN: f64 = 1.2;
/// One pixel of a drawing [mm].
const PIXEL: f64 = 25.4 / 96.0;
/// A letter of a table, about [mm].
const LETTER: f64 = 1.75;
/// A row with more than this may go over to the next sheet [signs].
const LONG_ROW: usize = 1500;
/// Nobody writes on more lines at one place.
const MOST_LINES: usize = 400;
/// From so many chapters and cards on there is a table of contents.
const WORTH_CONTENTS: usize = 4;
/// A table of contents with more entries leaves the smaller headings out.
const LONGEST_CONTENTS: usize = 70;

/// The document, told for this paper.
pub fn told(document: &Document, paper: Paper) -> Dict {
    let (name, [short, long]) = match paper {
        Paper::A4 => ("a4", [210.0, 297.0]),
        Paper::Letter => ("us-letter", [215.9, 279.4]),
    };
    let [left, right, over, under] = MARGINS;
    let upright = [short - left - right, long - over - under];
    let across = [long - left - right, short - over - under];
    let room = if document.landscape { across } else { upright };
    let mut teller = Teller {
        room,
        turned: (!document.landscape).then_some(across),
        anchors: anchors(document),
        placed: BTreeSet::new(),
        plain: Plain::default(),
    };
    let chapters: Array = document.chapters.iter().map(|chapter| teller.chapter(chapter)).collect();
    let mut line = |text: &str| teller.plain.broken(text, 60);
    let mut told = dict! {
        "title" => line(&document.title),
        "vessel" => line(&document.vessel),
        "subtitle" => line(&document.subtitle),
        "rests" => line(&document.rests_on),
        "date" => line(&document.date),
        "paper" => name,
        "landscape" => document.landscape,
        "margins" => MARGINS.into_iter().map(IntoValue::into_value).collect::<Array>(),
        "contents" => contents(document),
        "chapters" => chapters,
    };
    told.insert("missing".into(), missing(&teller.plain.missing).into_value());
    told
}

/// How deep the table of contents goes; 0 for none.
fn contents(document: &Document) -> i64 {
    let cards = |chapter: &Chapter| chapter.blocks.iter().filter(|block| matches!(block, Block::Card { .. })).count();
    let large = |chapter: &Chapter| {
        chapter.blocks.iter().filter(|block| matches!(block, Block::Heading { level: ..=1, .. })).count()
    };
    let titled = document.chapters.iter().filter(|chapter| !chapter.title.trim().is_empty()).count();
    let below: usize = document.chapters.iter().map(|chapter| cards(chapter) + large(chapter)).sum();
    match titled + below {
        all if all < WORTH_CONTENTS => 0,
        all if all <= LONGEST_CONTENTS => 2,
        _ => 1,
    }
}

/// What is said of signs that cannot be set; empty for none.
fn missing(signs: &BTreeSet<char>) -> String {
    if signs.is_empty() {
        return String::new();
    }
    let some: Vec<String> = signs.iter().take(12).map(|sign| format!("U+{:04X}", u32::from(*sign))).collect();
    let more = if signs.len() > some.len() { " and others" } else { "" };
    format!("{BOX} stands for a sign that the fonts of this program do not hold: {}{more}.", some.join(", "))
}

/// Every anchor that is set, numbered: the first of its name.
fn anchors(document: &Document) -> BTreeMap<String, usize> {
    fn of_blocks<'d>(blocks: &'d [Block], all: &mut Vec<&'d str>) {
        for block in blocks {
            match block {
                Block::Heading { anchor, .. } => all.push(anchor),
                Block::Card { anchor, blocks, .. } | Block::Tag { anchor, blocks, .. } => {
                    all.push(anchor);
                    of_blocks(blocks, all);
                }
                _ => {}
            }
        }
    }
    let mut all = Vec::new();
    for chapter in &document.chapters {
        all.push(chapter.anchor.as_str());
        of_blocks(&chapter.blocks, &mut all);
    }
    let mut numbered = BTreeMap::new();
    for anchor in all.into_iter().filter(|anchor| !anchor.is_empty()) {
        let next = numbered.len();
        numbered.entry(anchor.to_string()).or_insert(next);
    }
    numbered
}

/// Where blocks stand.
#[derive(Clone, Copy)]
struct Within {
    /// Level of the largest heading.
    level: i64,
    /// On a card, which holds no sheet and no card of its own.
    card: bool,
}

struct Teller {
    /// Width and height for text [mm].
    room: [f64; 2],
    /// The same of a sheet turned for a wide drawing; none where all sheets are wide.
    turned: Option<[f64; 2]>,
    anchors: BTreeMap<String, usize>,
    placed: BTreeSet<usize>,
    plain: Plain,
}

impl Teller {
    fn chapter(&mut self, chapter: &Chapter) -> Value {
        let titled = !chapter.title.trim().is_empty();
        let within = Within { level: if titled { 2 } else { 1 }, card: false };
        dict! {
            "title" => if titled { self.line(&chapter.title) } else { String::new() },
            "to" => self.place(&chapter.anchor),
            "new-sheet" => chapter.new_sheet,
            "blocks" => self.blocks(&chapter.blocks, within),
        }
        .into_value()
    }

    fn blocks(&mut self, blocks: &[Block], within: Within) -> Array {
        let mut told = Array::new();
        let mut tags = Array::new();
        for block in blocks {
            let is_tag = matches!(block, Block::Tag { .. }) && !within.card;
            if !is_tag && !tags.is_empty() {
                told.push(dict! { "kind" => "tags", "tags" => std::mem::take(&mut tags) }.into_value());
            }
            match block {
                Block::Tag { title, anchor, blocks } if is_tag => {
                    let inner = Within { level: within.level + 1, card: true };
                    tags.push(self.card("tag", (title, anchor), blocks, inner));
                }
                // A card on a card is a section of it.
                Block::Card { title, anchor, blocks } | Block::Tag { title, anchor, blocks } if within.card => {
                    told.push(self.heading(title, anchor, within.level));
                    let below = Within { level: within.level + 1, ..within };
                    told.extend(self.blocks(blocks, below));
                }
                block => told.extend(self.block(block, within)),
            }
        }
        if !tags.is_empty() {
            told.push(dict! { "kind" => "tags", "tags" => tags }.into_value());
        }
        told
    }

    fn block(&mut self, block: &Block, within: Within) -> Option<Value> {
        let told = match block {
            Block::Heading { level, text, anchor } => {
                return Some(self.heading(text, anchor, within.level + i64::from(*level > 1)));
            }
            Block::Paragraph(spans) => dict! { "kind" => "paragraph", "spans" => self.spans(spans, 60) },
            Block::Steps(steps) => {
                let steps: Array = steps.iter().map(|step| self.step(step)).collect();
                dict! { "kind" => "steps", "steps" => steps }
            }
            Block::List(items) => {
                let items: Array = items.iter().map(|item| self.spans(item, 60).into_value()).collect();
                dict! { "kind" => "list", "items" => items }
            }
            Block::Table(table) => return self.table(table),
            Block::Drawing { svg, caption, width } => return Some(self.drawing(svg, caption, *width, within)),
            Block::Caution(text) => dict! { "kind" => "caution", "text" => self.line(text) },
            Block::Code { content, text } => {
                let svg = code::svg(content).map_or(Value::None, |svg| Bytes::from_string(svg).into_value());
                let (content, text) = (self.plain.broken(content, 20), self.line(text));
                dict! { "kind" => "code", "svg" => svg, "content" => content, "text" => text }
            }
            Block::Lines { text, count } => {
                dict! { "kind" => "lines", "text" => self.line(text), "count" => (*count).min(MOST_LINES) }
            }
            Block::Card { title, anchor, blocks } | Block::Tag { title, anchor, blocks } => {
                let inner = Within { level: within.level + 1, card: true };
                return Some(self.card("card", (title, anchor), blocks, inner));
            }
        };
        Some(told.into_value())
    }

    /// A card or a tag, within which its blocks stand.
    fn card(&mut self, kind: &str, (title, anchor): (&str, &str), blocks: &[Block], within: Within) -> Value {
        dict! {
            "kind" => kind,
            "title" => self.line(title),
            "level" => within.level - 1,
            "to" => self.place(anchor),
            "blocks" => self.blocks(blocks, within),
        }
        .into_value()
    }

    fn heading(&mut self, text: &str, anchor: &str, level: i64) -> Value {
        dict! { "kind" => "heading", "level" => level, "text" => self.line(text), "to" => self.place(anchor) }
            .into_value()
    }

    fn step(&mut self, step: &Step) -> Value {
        let caution = step.caution.as_deref().map_or_else(String::new, |caution| self.line(caution));
        dict! { "spans" => self.spans(&step.text, 60), "caution" => caution }.into_value()
    }

    fn table(&mut self, table: &Table) -> Option<Value> {
        let columns = table.rows.iter().map(Vec::len).chain([table.head.len()]).max().filter(|columns| *columns > 0)?;
        let share = |k: usize| table.widths.get(k).copied().filter(|w| w.is_finite() && *w > 0.0).unwrap_or(1.0);
        let shares: Vec<f64> = (0..columns).map(share).collect();
        let all: f64 = shares.iter().sum();
        let most: Vec<usize> = shares.iter().map(|share| (self.room[0] * share / all / LETTER) as usize).collect();
        let figures: Array =
            (0..columns).map(|k| table.figures.get(k).copied().unwrap_or(false).into_value()).collect();
        let head: Array = if table.head.iter().all(|text| text.trim().is_empty()) {
            Array::new()
        } else {
            let text = |k: usize| table.head.get(k).map_or("", String::as_str);
            (0..columns).map(|k| self.plain.broken(text(k), most[k]).into_value()).collect()
        };
        let rows: Array = table
            .rows
            .iter()
            .map(|row| {
                let cell = |k: usize| row.get(k).map_or(&[][..], Vec::as_slice);
                let cells: Array = (0..columns).map(|k| self.spans(cell(k), most[k]).into_value()).collect();
                let long = row.iter().flatten().map(|span| words(span).len()).sum::<usize>() > LONG_ROW;
                dict! { "cells" => cells, "breakable" => long }.into_value()
            })
            .collect();
        let height = table.row_height.filter(|height| height.is_finite()).map(|height| height.clamp(0.0, 200.0));
        let told = dict! {
            "kind" => "table",
            "caption" => self.line(&table.caption),
            "head" => head,
            "widths" => shares.into_iter().map(|share| (share / all).into_value()).collect::<Array>(),
            "figures" => figures,
            "rows" => rows,
            "height" => height.map_or(Value::None, IntoValue::into_value),
        };
        Some(told.into_value())
    }

    fn drawing(&mut self, svg: &str, caption: &str, share: f64, within: Within) -> Value {
        let caption = self.line(caption);
        let Some(drawn) = svg::ready(svg, &mut self.plain) else {
            let text = format!("A drawing stands here that cannot be set: {caption}");
            let spans: Array = [dict! { "kind" => "text", "text" => text }.into_value()].into_iter().collect();
            return dict! { "kind" => "paragraph", "spans" => spans }.into_value();
        };
        let (w, h) = (drawn.width * PIXEL, drawn.height * PIXEL);
        let share = if share.is_finite() { share.clamp(0.05, 1.0) } else { 1.0 };
        let less = if within.card { FRAME } else { 0.0 };
        let scale = |[wide, high]: [f64; 2]| ((wide - less) * share / w).min((high - less - BESIDE) / h).min(1.0);
        let upright = scale(self.room);
        let turned = self
            .turned
            .map(scale)
            .filter(|turned| !within.card && share > 0.99 && upright < SMALL && *turned > GAIN * upright);
        let size = turned.unwrap_or(upright);
        dict! {
            "kind" => "drawing",
            "svg" => drawn.svg,
            "caption" => caption,
            "width" => w * size,
            "height" => h * size,
            "turned" => turned.is_some(),
        }
        .into_value()
    }

    /// Spans, their words breakable after so many signs.
    fn spans(&mut self, spans: &[Span], after: usize) -> Array {
        let mut told = Array::new();
        for span in spans.iter().filter(|span| !words(span).is_empty()) {
            let text = self.plain.broken(words(span), after);
            let of = |kind: &str, text: String| dict! { "kind" => kind, "text" => text };
            let span = match span {
                Span::Text(_) => of("text", text),
                Span::Strong(_) => of("strong", text),
                Span::Link { to, .. } => match self.anchors.get(to) {
                    Some(to) => dict! { "kind" => "link", "text" => text, "to" => label(*to) },
                    None => of("text", text),
                },
            };
            told.push(span.into_value());
        }
        told
    }

    fn line(&mut self, text: &str) -> String {
        self.plain.broken(text, 60)
    }

    /// The label an anchor gets, the first time it is met.
    fn place(&mut self, anchor: &str) -> Value {
        match self.anchors.get(anchor) {
            Some(number) if self.placed.insert(*number) => label(*number).into_value(),
            _ => NoneValue.into_value(),
        }
    }
}

/// A label no text can clash with.
fn label(number: usize) -> String {
    format!("to-{number}")
}

fn words(span: &Span) -> &str {
    match span {
        Span::Text(text) | Span::Strong(text) | Span::Link { text, .. } => text,
    }
}
