//! A document as HTML: pieces for a page that brings its own frame, and a folder of pages that stands alone.

use crate::document::{Block, Chapter, Document, Span, Step, Table};
use crate::words::slug;
use std::fmt::Write as _;

mod folder;

pub use folder::{File, folder};

/// Where an anchor of the document is, as a link; none makes plain text of what leads there.
pub type Address<'a> = &'a dyn Fn(&str) -> Option<String>;

/// Every anchor of a document, and the chapter it is in, by its place.
pub fn anchors(document: &Document) -> Vec<(String, usize)> {
    let mut all = Vec::new();
    for (place, chapter) in document.chapters.iter().enumerate() {
        all.push((chapter.anchor.clone(), place));
        let mut of = Vec::new();
        chapter.blocks.iter().for_each(|block| anchors_of(block, &mut of));
        all.extend(of.into_iter().map(|anchor| (anchor, place)));
    }
    all.retain(|(anchor, _)| !anchor.is_empty());
    all
}

fn anchors_of(block: &Block, out: &mut Vec<String>) {
    match block {
        Block::Heading { anchor, .. } => out.push(anchor.clone()),
        Block::Card { anchor, blocks, .. } | Block::Tag { anchor, blocks, .. } => {
            out.push(anchor.clone());
            for block in blocks {
                anchors_of(block, out);
            }
        }
        _ => {}
    }
}

/// A chapter, its heading and all; one without a title has its document's.
pub fn chapter(chapter: &Chapter, document: &Document, address: Address) -> String {
    let mut out = String::new();
    let title = if chapter.title.is_empty() { &document.title } else { &chapter.title };
    let _ = writeln!(out, "<h1 id=\"{}\">{}</h1>", escaped(&chapter.anchor), escaped(title));
    for block in &chapter.blocks {
        set(block, 2, address, &mut out);
    }
    out
}

/// A block, its headings at this level.
fn set(block: &Block, heading: u8, address: Address, out: &mut String) {
    match block {
        Block::Heading { text, anchor, .. } => {
            let _ = writeln!(out, "<h{heading}{}>{}</h{heading}>", id(anchor), escaped(text));
        }
        Block::Paragraph(spans) => {
            let _ = writeln!(out, "<p>{}</p>", run(spans, address));
        }
        Block::Steps(steps) => {
            out.push_str("<ol class=\"steps\">\n");
            for step in steps {
                set_step(step, address, out);
            }
            out.push_str("</ol>\n");
        }
        Block::List(items) => {
            out.push_str("<ul class=\"list\">\n");
            for item in items {
                let _ = writeln!(out, "<li>{}</li>", run(item, address));
            }
            out.push_str("</ul>\n");
        }
        Block::Table(table) => set_table(table, address, out),
        Block::Drawing { svg, caption, .. } => {
            let _ = writeln!(
                out,
                "<figure><div class=\"drawing scroll\" tabindex=\"0\" role=\"group\" aria-label=\"{0}\">{1}</div>\
                 <figcaption>{0}</figcaption></figure>",
                escaped(caption),
                drawing::on_page(svg)
            );
        }
        Block::Caution(text) => {
            let _ = writeln!(out, "<p class=\"caution\"><strong>Caution</strong> {}</p>", escaped(text));
        }
        Block::Code { content, text } => {
            let _ = writeln!(out, "<p class=\"code\">{} <code>{}</code></p>", escaped(text), escaped(content));
        }
        Block::Lines { text, count } => {
            let _ =
                writeln!(out, "<div class=\"lines\"><p>{}</p>{}</div>", escaped(text), "<div></div>".repeat(*count));
        }
        Block::Card { title, anchor, blocks } | Block::Tag { title, anchor, blocks } => {
            let _ = write!(out, "<section class=\"card\"{}>\n<h2>{}</h2>\n", id(anchor), escaped(title));
            for block in blocks {
                set(block, heading + 1, address, out);
            }
            out.push_str("</section>\n");
        }
    }
}

fn set_step(step: &Step, address: Address, out: &mut String) {
    let caution = step
        .caution
        .as_ref()
        .map(|text| format!("<p class=\"caution\"><strong>Caution</strong> {}</p>", escaped(text)));
    let _ = writeln!(out, "<li>{}{}</li>", caution.unwrap_or_default(), run(&step.text, address));
}

fn set_table(table: &Table, address: Address, out: &mut String) {
    let label = if table.caption.is_empty() { "Table" } else { &table.caption };
    let _ = write!(
        out,
        "<div class=\"table scroll\" tabindex=\"0\" role=\"group\" aria-label=\"{}\"><table>",
        escaped(label)
    );
    if !table.caption.is_empty() {
        let _ = write!(out, "<caption>{}</caption>", escaped(&table.caption));
    }
    out.push_str("\n<thead><tr>");
    for head in &table.head {
        let _ = write!(out, "<th scope=\"col\">{}</th>", escaped(head));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &table.rows {
        out.push_str("<tr>");
        for (place, cell) in row.iter().enumerate() {
            let figures = table.figures.get(place).copied().unwrap_or(false);
            let class = if figures { " class=\"figures\"" } else { "" };
            let _ = write!(out, "<td{class}>{}</td>", run(cell, address));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
}

fn run(spans: &[Span], address: Address) -> String {
    let one = |span: &Span| match span {
        Span::Text(text) => escaped(text),
        Span::Strong(text) => format!("<strong>{}</strong>", escaped(text)),
        Span::Link { text, to } => match address(to) {
            Some(address) => format!("<a href=\"{}\">{}</a>", escaped(&address), escaped(text)),
            None => escaped(text),
        },
    };
    spans.iter().map(one).collect()
}

fn id(anchor: &str) -> String {
    if anchor.is_empty() { String::new() } else { format!(" id=\"{}\"", escaped(anchor)) }
}

/// Text as it may stand in HTML, in attributes too.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            letter => out.push(letter),
        }
    }
    out
}

/// A file's name for a chapter: "03-raw-water.html"; the first is the index.
pub(crate) fn file_name(place: usize, chapter: &Chapter) -> String {
    if place == 0 {
        return "index.html".into();
    }
    let word = if chapter.title.is_empty() { slug(&chapter.anchor) } else { slug(&chapter.title) };
    let plain: String = word.chars().filter(char::is_ascii).collect();
    format!("{place:02}-{plain}.html")
}
