//! A document as a folder of pages: an index and a page for each chapter, with no need of anything outside the folder.

use super::{anchors, chapter, escaped, file_name};
use crate::document::Document;
use std::fmt::Write as _;

/// A file of the folder.
#[derive(Clone, Debug, PartialEq)]
pub struct File {
    /// Its name, without a folder.
    pub name: String,
    /// What is in it.
    pub text: String,
}

/// What the pages look like; paper by day, dark where the reader's machine is dark.
const STYLE: &str = include_str!("folder.css");

/// The pages; the first is `index.html`.
pub fn folder(document: &Document) -> Vec<File> {
    let names: Vec<String> =
        document.chapters.iter().enumerate().map(|(place, chapter)| file_name(place, chapter)).collect();
    let anchors = anchors(document);
    let address = |anchor: &str| {
        let (_, place) = anchors.iter().find(|(known, _)| known == anchor)?;
        Some(format!("{}#{anchor}", names[*place]))
    };
    let page = |place: usize| {
        let it = &document.chapters[place];
        let mut body = chapter(it, document, &address);
        if place == 0 {
            body += &contents(document, &names);
        }
        let frame = Frame { document, names: &names, place };
        File { name: names[place].clone(), text: frame.around(&body) }
    };
    (0..document.chapters.len()).map(page).collect()
}

/// The list of pages on the first of them.
fn contents(document: &Document, names: &[String]) -> String {
    let mut out = String::from("<nav class=\"contents\" aria-label=\"Pages\"><ul>\n");
    for (name, chapter) in names.iter().zip(&document.chapters).skip(1) {
        let _ = writeln!(out, "<li><a href=\"{}\">{}</a></li>", escaped(name), escaped(&chapter.title));
    }
    out + "</ul></nav>\n"
}

/// What stands about the text of a page.
struct Frame<'a> {
    document: &'a Document,
    names: &'a [String],
    place: usize,
}

impl Frame<'_> {
    fn around(&self, body: &str) -> String {
        let document = self.document;
        let own = &document.chapters[self.place].title;
        let whose = if document.vessel.is_empty() { String::new() } else { format!(" of {}", document.vessel) };
        let whole = format!("{}{whose}", document.title);
        let title = if self.place == 0 || own.is_empty() { whole.clone() } else { format!("{own}: {whole}") };
        let turn = self.turning();
        let style = format!("{STYLE}{}", drawing::STYLE);
        let date = if document.date.is_empty() { String::new() } else { format!(" {}.", document.date) };
        format!(
            "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
             <title>{}</title>\n<style>\n{style}</style>\n</head>\n<body>\n\
             <header><p class=\"whole\"><a href=\"index.html\">{}</a></p><p>{}</p></header>\n{turn}<main>\n{body}</main>\n{turn}\
             <footer><p>{}{}</p></footer>\n</body>\n</html>\n",
            escaped(&title),
            escaped(&whole),
            escaped(&document.subtitle),
            escaped(&document.rests_on),
            escaped(&date),
        )
    }

    /// Back and on.
    fn turning(&self) -> String {
        let to = |place: usize, word: &str| {
            let chapter = &self.document.chapters[place];
            let title = if chapter.title.is_empty() { &self.document.title } else { &chapter.title };
            format!("<a href=\"{}\">{word}: {}</a>", escaped(&self.names[place]), escaped(title))
        };
        let back = if self.place > 0 { to(self.place - 1, "Back") } else { "<span></span>".into() };
        let on = if self.place + 1 < self.names.len() { to(self.place + 1, "On") } else { "<span></span>".into() };
        format!("<nav class=\"turn\" aria-label=\"Back and on\">{back}{on}</nav>\n")
    }
}
