//! How does a document come on paper? A [`Document`] is set and made a PDF, with fonts that are part of the program.
//!
//! What a document says goes to the setting of type as data and is never read as markup, so that nothing an owner
//! writes can break a page or be run. Nothing is opened, fetched or asked of a clock: the same document and the same
//! [`Sheet`] give the same bytes.
//!
//! Start in `sheet.typ`, which is how everything looks; `told.rs` hands it the document, `plain.rs` sees to it that
//! every sign can be set, `svg.rs` and `code.rs` make the drawings ready, `shop.rs` is all that type setting is given.

#![warn(clippy::disallowed_macros, clippy::disallowed_methods)]

mod code;
mod plain;
mod shop;
mod svg;
#[cfg(test)]
mod tests;
mod told;

use book::document::Document;
use shop::Shop;
use std::panic::{AssertUnwindSafe, catch_unwind};
use typst::diag::SourceDiagnostic;
use typst::foundations::{Datetime, Smart};
use typst::layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards, Timestamp};

/// What is printed on, and when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// How large it is.
    pub paper: Paper,
    /// When the document is made, kept in the file [ms since 1970-01-01 UTC]; none for a file that does not say.
    pub made: Option<i64>,
}

/// How large a sheet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 mm by 297 mm.
    #[default]
    A4,
    /// 8.5 inch by 11 inch.
    Letter,
}

/// A document on paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printed {
    /// The PDF.
    pub pdf: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
}

/// Why a document could not be set.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unset {
    /// The setting of type refused it.
    #[error("the document cannot be set: {}", .0.join("; "))]
    Refused(Vec<String>),
    /// The setting of type broke down; what it was busy with is lost, nothing else.
    #[error("the document cannot be set: the setting of type broke down")]
    BrokeDown,
}

/// The document as PDF, fit to be kept (PDF/A-2), with bookmarks, links and tags for who cannot see it.
///
/// # Errors
/// [`Unset`]. What is in a document is no reason for it; a length that no sheet holds may be.
pub fn pdf(document: &Document, sheet: Sheet) -> Result<Printed, Unset> {
    // Whoever watches an engine must not end because a page could not be set.
    let made = catch_unwind(AssertUnwindSafe(|| {
        let paged = set(document, sheet)?;
        let pages = paged.pages.len();
        Ok(Printed { pdf: export(&paged, document, sheet)?, pages })
    }));
    // What was remembered of this document is of no use to the next.
    typst::comemo::evict(0);
    made.unwrap_or(Err(Unset::BrokeDown))
}

/// The document, set in pages.
fn set(document: &Document, sheet: Sheet) -> Result<PagedDocument, Unset> {
    let shop = Shop::with(told::told(document, sheet.paper));
    typst::compile::<PagedDocument>(&shop).output.map_err(|all| refused(&all))
}

/// The pages as PDF/A-2a, which can be read aloud and searched; as PDF/A-2b where a script in it does not allow that.
fn export(paged: &PagedDocument, document: &Document, sheet: Sheet) -> Result<Vec<u8>, Unset> {
    let ident = format!("{}\n{}\n{}", document.vessel, document.title, document.subtitle);
    let under = |standard| {
        let standards = PdfStandards::new(&[standard]).map_err(|why| Unset::Refused(vec![why.to_string()]))?;
        let options = PdfOptions {
            ident: Smart::Custom(&ident),
            timestamp: sheet.made.and_then(moment).map(Timestamp::new_utc),
            standards,
            ..PdfOptions::default()
        };
        typst_pdf::pdf(paged, &options).map_err(|all| refused(&all))
    };
    under(PdfStandard::A_2a).or_else(|_| under(PdfStandard::A_2b))
}

fn refused(all: &[SourceDiagnostic]) -> Unset {
    let with_hints = |one: &SourceDiagnostic| {
        one.hints.iter().fold(one.message.to_string(), |said, hint| format!("{said} ({hint})"))
    };
    Unset::Refused(all.iter().map(with_hints).collect())
}

/// The day and time of a moment [ms since 1970-01-01 UTC]; none beyond the years 1 to 9999.
///
/// # Source
/// The proleptic Gregorian calendar, counted in eras of 400 years that begin on the first of March.
fn moment(made: i64) -> Option<Datetime> {
    let (day, second) = (made.div_euclid(86_400_000), made.rem_euclid(86_400_000) / 1000);
    let from_march = day.checked_add(719_468)?;
    let (era, of_era) = (from_march.div_euclid(146_097), from_march.rem_euclid(146_097));
    let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let march = (5 * of_year + 2) / 153;
    let (month, date) = ((march + 2) % 12 + 1, of_year - (153 * march + 2) / 5 + 1);
    let year = era * 400 + year_of_era + i64::from(month <= 2);
    if !(1..=9999).contains(&year) {
        return None;
    }
    Datetime::from_ymd_hms(
        i32::try_from(year).ok()?,
        u8::try_from(month).ok()?,
        u8::try_from(date).ok()?,
        u8::try_from(second / 3600).ok()?,
        u8::try_from(second / 60 % 60).ok()?,
        u8::try_from(second % 60).ok()?,
    )
}
