//! What a document is made of: plain data, the same for a page, for paper and for a folder of pages.

/// A document, ready to be set.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// What it is: "Handbook", "Round sheet".
    pub title: String,
    /// Whose: the vessel's name; empty where it is left out on request.
    pub vessel: String,
    /// One line under the title.
    pub subtitle: String,
    /// What its answers rest on, and who comes before it; printed once.
    pub rests_on: String,
    /// Its day, as people write it; handed in, for there is no clock here.
    pub date: String,
    /// Wide sheets, for tables with many columns.
    pub landscape: bool,
    /// Chapters; one without a title where it has none.
    pub chapters: Vec<Chapter>,
}

/// A chapter.
#[derive(Clone, Debug, PartialEq)]
pub struct Chapter {
    /// Its heading; empty for none.
    pub title: String,
    /// What links to it use: "circuit-raw-water".
    pub anchor: String,
    /// Begins on a sheet of its own.
    pub new_sheet: bool,
    /// What is in it.
    pub blocks: Vec<Block>,
}

/// A piece of a chapter.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading within the chapter, 1 for the largest.
    Heading {
        /// 1 or 2.
        level: u8,
        /// Its words.
        text: String,
        /// What links to it use; empty for none.
        anchor: String,
    },
    /// Prose.
    Paragraph(Vec<Span>),
    /// What is to be done, in order; each step may bite.
    Steps(Vec<Step>),
    /// A list without an order.
    List(Vec<Vec<Span>>),
    /// A table.
    Table(Table),
    /// A drawing.
    Drawing {
        /// SVG that stands alone, its colours fit for white paper.
        svg: String,
        /// What it shows, for who cannot see it, and printed under it.
        caption: String,
        /// Widest it may be [share of the column].
        width: f64,
    },
    /// One specific caution, at the place where it bites.
    Caution(String),
    /// A square code, to be opened by a telephone's camera.
    Code {
        /// What it opens.
        content: String,
        /// Printed beside it.
        text: String,
    },
    /// So many empty lines to write on, after a word or two.
    Lines {
        /// What is to be written.
        text: String,
        /// How many.
        count: usize,
    },
    /// A small card, to be cut out and hung up; several on a sheet.
    Tag {
        /// Its heading.
        title: String,
        /// What links to it use.
        anchor: String,
        /// What is on it.
        blocks: Vec<Block>,
    },
    /// What follows stands together on a sheet of its own, as large as it goes: a card.
    Card {
        /// Its heading.
        title: String,
        /// What links to it use.
        anchor: String,
        /// What is on it.
        blocks: Vec<Block>,
    },
}

/// A step of what is to be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What to do.
    pub text: Vec<Span>,
    /// What bites at this step, said before it.
    pub caution: Option<String>,
}

/// A run of text.
#[derive(Clone, Debug, PartialEq)]
pub enum Span {
    /// As it is.
    Text(String),
    /// What must not be overlooked.
    Strong(String),
    /// Leads to an anchor of this document, or stays plain where there is none.
    Link {
        /// What is read.
        text: String,
        /// Where it leads: an anchor.
        to: String,
    },
}

/// A table.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Table {
    /// What it shows; empty for none.
    pub caption: String,
    /// Headings, repeated on every sheet.
    pub head: Vec<String>,
    /// How wide each column is beside the others [1].
    pub widths: Vec<f64>,
    /// Columns of figures, set to the right.
    pub figures: Vec<bool>,
    /// Its rows.
    pub rows: Vec<Vec<Vec<Span>>>,
    /// Height of a row [mm]; none for what its text needs. A sheet to write on wants 9.
    pub row_height: Option<f64>,
}

impl Span {
    /// Plain text.
    pub fn text(text: impl Into<String>) -> Span {
        Span::Text(text.into())
    }
}
