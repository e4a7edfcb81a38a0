//! How a kind is drawn: geometry and where its pipes come in, nothing of where it stands on a page.

/// A drawing of a kind, in the units of the page (one is a pixel at full scale), from its upper left corner.
///
/// Pipes run from left to right through it; a layout may mirror it.
///
/// # Source
/// Forms after [ISO14617], letters after [ISA5-1], both from memory.
#[derive(Copy, Clone, Debug)]
pub struct Symbol {
    /// Width and height [px].
    pub size: (f64, f64),
    /// What is drawn, in this order.
    pub strokes: &'static [Stroke],
    /// For each passage of the kind, where it comes in and leaves.
    pub ways: &'static [Way],
    /// The same for what is no passage: a shaft, a belt, a fuel line.
    pub link: Way,
    /// Letters in the middle; on a gauge those of what it reads.
    pub letters: &'static str,
    /// The parameter that says how far it is open, from 0 shut to 1.
    pub position: Option<&'static str>,
    /// A block: as tall as the lanes it serves, its ports where their lanes are.
    pub block: bool,
}

/// One stroke, as SVG path data.
#[derive(Copy, Clone, Debug)]
pub enum Stroke {
    /// An outline that hides what is behind it.
    Outline(&'static str),
    /// A line.
    Line(&'static str),
    /// A line of dashes: what lets through.
    Dashed(&'static str),
    /// An area in ink.
    Solid(&'static str),
}

impl Stroke {
    /// Its path data.
    pub fn path(&self) -> &'static str {
        match self {
            Stroke::Outline(path) | Stroke::Line(path) | Stroke::Dashed(path) | Stroke::Solid(path) => path,
        }
    }
}

/// Where something comes in and where it leaves [px]; nothing at an end that is open, inside, or not there.
///
/// A pool with both ends is flowed through; one with the first alone hangs on its pipe.
#[derive(Copy, Clone, Debug, Default)]
pub struct Way {
    /// Where it comes in.
    pub enter: Option<(f64, f64)>,
    /// Where it leaves.
    pub leave: Option<(f64, f64)>,
}

/// From here to there [px].
pub const fn way(enter: (f64, f64), leave: (f64, f64)) -> Way {
    Way { enter: Some(enter), leave: Some(leave) }
}

/// Into it, and not out again [px].
pub const fn inward(enter: (f64, f64)) -> Way {
    Way { enter: Some(enter), leave: None }
}

/// Out of it, having come from nowhere in the drawing [px].
pub const fn outward(leave: (f64, f64)) -> Way {
    Way { enter: None, leave: Some(leave) }
}

/// No way at all.
pub const NO_WAY: Way = Way { enter: None, leave: None };

impl Symbol {
    /// Nothing yet, for the rest of a literal.
    pub const BLANK: Symbol =
        Symbol { size: (0.0, 0.0), strokes: &[], ways: &[], link: NO_WAY, letters: "", position: None, block: false };

    /// An instrument: a circle with letters.
    pub const fn instrument(letters: &'static str) -> Symbol {
        Symbol {
            size: (30.0, 30.0),
            strokes: &[Stroke::Outline("M0 15A15 15 0 1 1 30 15A15 15 0 1 1 0 15Z")],
            letters,
            ..Symbol::BLANK
        }
    }
}
