//! Rectangles, and text by a conservative table of widths.

/// A rectangle [px].
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Rect {
    /// Left edge [px].
    pub x: f64,
    /// Upper edge [px].
    pub y: f64,
    /// Width [px].
    pub w: f64,
    /// Height [px].
    pub h: f64,
}

impl Rect {
    /// Whether two have area in common.
    pub fn meets(&self, other: &Rect) -> bool {
        let apart = self.x + self.w <= other.x || other.x + other.w <= self.x;
        !(apart || self.y + self.h <= other.y || other.y + other.h <= self.y)
    }

    /// Wider on every side by this much [px].
    pub fn grown(&self, by: f64) -> Rect {
        Rect { x: self.x - by, y: self.y - by, w: self.w + 2.0 * by, h: self.h + 2.0 * by }
    }

    /// The rectangle about two points [px].
    pub fn about(a: (f64, f64), b: (f64, f64)) -> Rect {
        Rect { x: a.0.min(b.0), y: a.1.min(b.1), w: (a.0 - b.0).abs(), h: (a.1 - b.1).abs() }
    }

    /// Whether the other lies wholly inside.
    pub fn holds(&self, other: &Rect) -> bool {
        let across = self.x <= other.x && other.x + other.w <= self.x + self.w;
        across && self.y <= other.y && other.y + other.h <= self.y + self.h
    }

    /// Its middle [px].
    pub fn middle(&self) -> (f64, f64) {
        (self.x + self.w / 2.0, self.y + self.h / 2.0)
    }
}

/// Size of all text [px].
pub const TEXT: f64 = 12.0;
/// From line to line [px].
pub const LINE: f64 = 14.0;
/// A line of a name is broken at a hyphen beyond this many characters.
const LONG: usize = 13;

/// Width of a line of text [px]: no usual sans-serif face is wider.
pub fn width(text: &str) -> f64 {
    let ems = text.chars().map(|c| match c {
        'i' | 'j' | 'l' | '.' | ',' | ':' | '\'' | '|' | '!' | ' ' => 0.36,
        'f' | 't' | 'r' | 'I' | '-' | '(' | ')' | '/' => 0.44,
        'm' | 'w' | 'M' | 'W' | '%' | '@' => 1.0,
        'A'..='Z' => 0.78,
        c if c.is_ascii() => 0.65,
        _ => 0.85,
    });
    ems.sum::<f64>() * TEXT
}

/// A part's name in lines.
pub fn lines(name: &str) -> Vec<String> {
    broken(name, LONG)
}

/// A name in lines no longer than this if hyphens and spaces allow it.
pub fn broken(name: &str, long: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![String::new()];
    for word in name.split_inclusive(['-', ' ']) {
        match lines.last_mut() {
            Some(line) if line.is_empty() || line.chars().count() + word.trim_end().chars().count() <= long => {
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines.iter().map(|line| line.trim_end().to_string()).collect()
}
