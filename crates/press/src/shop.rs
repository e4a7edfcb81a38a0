//! All that the setting of type is given: the sheet's template, the document as data, four fonts. No file, no clock.

use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Dict};
use typst::syntax::{FileId, Source, VirtualPath};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

/// How everything looks.
const TEMPLATE: &str = include_str!("sheet.typ");
/// Text, and behind it a family that holds most scripts and signs, each upright in two weights.
const FONTS: [&[u8]; 4] = [
    include_bytes!("../fonts/SourceSans3-Regular.ttf"),
    include_bytes!("../fonts/SourceSans3-Bold.ttf"),
    include_bytes!("../fonts/DejaVuSansCondensed.ttf"),
    include_bytes!("../fonts/DejaVuSansCondensed-Bold.ttf"),
];

static CASES: LazyLock<Vec<Font>> =
    LazyLock::new(|| FONTS.into_iter().filter_map(|font| Font::new(Bytes::new(font), 0)).collect());

/// Whether a sign can be set in both weights, whatever stands beside it: the family behind holds it. What the first
/// family holds and that one does not are a few dozen rare letters, which could not be joined with an accent.
pub fn holds(sign: char) -> bool {
    CASES.iter().skip(2).all(|font| font.info().coverage.contains(sign.into()))
}

/// What type is set in and from.
pub struct Shop {
    library: LazyHash<Library>,
    fonts: LazyHash<FontBook>,
    template: Source,
}

impl Shop {
    /// With the document in it.
    pub fn with(document: Dict) -> Shop {
        let main = FileId::new(None, VirtualPath::new("/sheet.typ"));
        Shop {
            library: LazyHash::new(Library::builder().with_inputs(document).build()),
            fonts: LazyHash::new(FontBook::from_fonts(CASES.iter())),
            template: Source::new(main, TEMPLATE.into()),
        }
    }
}

impl World for Shop {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.fonts
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() { Ok(self.template.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        CASES.get(index).cloned()
    }

    fn today(&self, _: Option<i64>) -> Option<Datetime> {
        None
    }
}
