//! Handbook: the printed book on the screen, a list and a page for each chapter, made of the description.

use crate::desk::Worked;
use crate::page::frame::{Frame, Status, Theme};
use crate::page::opening::drawn;
use crate::ship::Scene;
use crate::stream::Pieces;
use askama::Template;
use book::document::Document;
use book::facts::{Asked, Facts};
use book::{handbook, history, html, rounds, tour, words};
use plant::plant::Plant;

/// Everything of the book as it stands on pages.
pub struct Bound {
    /// How much was written down when it was made [lines].
    pub written: usize,
    volumes: Vec<Volume>,
}

/// One document: the handbook, the tour.
struct Volume {
    title: String,
    /// What it is, in a sentence.
    about: String,
    leaves: Vec<Leaf>,
}

/// A chapter.
struct Leaf {
    /// Its word in an address.
    name: String,
    title: String,
    html: String,
}

impl Bound {
    /// Makes the book of a plant; a second or so.
    ///
    /// # Errors
    /// Why it cannot be made, in the owner's words.
    pub fn work_out(plant: &Plant, asked: &Asked, worked: &Worked) -> Result<Bound, String> {
        let history = history::of(plant, &worked.tasks, &worked.records, &worked.list);
        let asked = Asked { history, ..asked.clone() };
        let facts = Facts::of(plant, &asked)?;
        let volumes = vec![
            Volume::of(&handbook::handbook(&facts), ""),
            Volume::of(&rounds::sheet(&facts), "sheet"),
            Volume::of(&tour::tour(&facts), "tour"),
        ];
        Ok(Bound { written: worked.lines.len(), volumes })
    }

    fn leaves(&self) -> impl Iterator<Item = &Leaf> {
        self.volumes.iter().flat_map(|volume| &volume.leaves)
    }
}

impl Volume {
    /// A document, its leaves named after this word.
    fn of(document: &Document, word: &str) -> Volume {
        let name = |chapter: &book::document::Chapter| {
            let own = words::slug(&chapter.anchor);
            if word.is_empty() { own } else { format!("{word}-{own}") }
        };
        let anchors = html::anchors(document);
        let address = |anchor: &str| {
            let (_, place) = anchors.iter().find(|(known, _)| known == anchor)?;
            Some(format!("/handbook/{}#{anchor}", name(&document.chapters[*place])))
        };
        let leaf = |chapter: &book::document::Chapter| Leaf {
            name: name(chapter),
            title: if chapter.title.is_empty() { document.title.clone() } else { chapter.title.clone() },
            html: html::chapter(chapter, document, &address),
        };
        Volume {
            title: document.title.clone(),
            about: document.subtitle.clone(),
            leaves: document.chapters.iter().map(leaf).collect(),
        }
    }
}

/// The page.
#[derive(Template)]
#[template(path = "handbook.html")]
pub struct HandbookPage<'a> {
    frame: Frame,
    /// What is on it.
    shows: Shows<'a>,
}

/// What a page of the book shows.
enum Shows<'a> {
    /// That it is being made.
    Making,
    /// The list.
    List(&'a [Volume]),
    /// A chapter, and those before and after it.
    Leaf { leaf: &'a Leaf, before: Option<&'a Leaf>, after: Option<&'a Leaf> },
}

impl<'a> HandbookPage<'a> {
    /// That it is being made, and is looked for again in a moment.
    pub fn making(scene: &Scene, theme: Theme, leaf: Option<&str>) -> HandbookPage<'a> {
        HandbookPage { frame: frame(scene, theme, leaf), shows: Shows::Making }
    }

    /// Its list, or one of its leaves; nothing where there is no such leaf.
    pub fn of(scene: &Scene, theme: Theme, bound: &'a Bound, leaf: Option<&str>) -> Option<HandbookPage<'a>> {
        let shows = match leaf {
            None => Shows::List(&bound.volumes),
            Some(name) => {
                let all: Vec<&Leaf> = bound.leaves().collect();
                let at = all.iter().position(|leaf| leaf.name == name)?;
                let before = at.checked_sub(1).and_then(|at| all.get(at)).copied();
                Shows::Leaf { leaf: all[at], before, after: all.get(at + 1).copied() }
            }
        };
        Some(HandbookPage { frame: frame(scene, theme, leaf), shows })
    }

    /// What changes on it: the line at its head.
    pub fn pieces(scene: &Scene) -> Pieces {
        Pieces { html: vec![("status".into(), drawn(&Status::of(scene)))], marks: Vec::new() }
    }
}

fn frame(scene: &Scene, theme: Theme, leaf: Option<&str>) -> Frame {
    let here = leaf.map_or_else(|| "/handbook".into(), |leaf| format!("/handbook/{}", super::query(leaf)));
    Frame::of(scene, "Handbook", theme, &here)
}
