//! Documents on paper: the day they bear, and the PDF of each where the program was built with what sets type.

use book::document::Document;

/// How large a sheet is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
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

/// Said where nothing is set on paper.
#[cfg(not(feature = "paper"))]
pub const NONE: &str = "this program was built without paper\n  Build it with it: cargo build --release --features paper";

/// Sets a document; the moment it is made is kept in the file [ms since 1970, UTC].
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

/// Nothing is set without what sets type.
///
/// # Errors
/// Always: it says how to build a program that can.
#[cfg(not(feature = "paper"))]
pub fn set(_: &Document, _: Paper, _: i64) -> Result<Printed, String> {
    Err(NONE.into())
}
