//! Documents set on paper, where the program was built with what sets type.

use book::document::Document;
use clap::ValueEnum;
use std::sync::Arc;
use web::Press;

/// How large a sheet is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Paper {
    /// 210 mm by 297 mm
    #[default]
    A4,
    /// 8.5 inch by 11 inch
    Letter,
}

/// A document on paper.
pub struct Printed {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

/// Whether this program sets type.
pub const PRINTS: bool = cfg!(feature = "paper");

/// Sets a document, which keeps the moment it was made [ms since 1970, UTC].
///
/// # Errors
/// Why not, in words.
#[cfg(feature = "paper")]
pub fn set(document: &Document, paper: Paper, made: i64) -> Result<Printed, String> {
    let paper = match paper {
        Paper::A4 => press::Paper::A4,
        Paper::Letter => press::Paper::Letter,
    };
    let printed = press::pdf(document, press::Sheet { paper, made: Some(made) }).map_err(|why| why.to_string())?;
    Ok(Printed { pdf: printed.pdf, pages: printed.pages })
}

/// Sets nothing.
///
/// # Errors
/// Always: this program has nothing to set type with.
#[cfg(not(feature = "paper"))]
pub fn set(_: &Document, _: Paper, _: i64) -> Result<Printed, String> {
    Err("this program was built without paper".into())
}

/// What sets documents for the pages; nothing in a program that was built without it.
pub fn press() -> Option<Arc<Press>> {
    let set = |document: &Document, letter| {
        let paper = if letter { Paper::Letter } else { Paper::A4 };
        set(document, paper, crate::clocks::day_now()).map(|printed| printed.pdf)
    };
    PRINTS.then(|| Arc::new(set) as Arc<Press>)
}
