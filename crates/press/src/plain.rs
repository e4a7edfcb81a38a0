//! Text of which every sign can be set: what no font here holds is shown as an empty box and counted.

use crate::shop::holds;
use std::collections::BTreeSet;
use unicode_segmentation::UnicodeSegmentation as _;

/// Stands for a sign that cannot be set.
pub const BOX: char = '□';
/// A word of letters up to this length is divided by hyphens instead [signs].
const LONG_WORD: usize = 24;
/// Where a long word may be broken; takes no room.
const BREAK: char = '\u{200b}';

/// Makes text plain, and remembers what could not be set.
#[derive(Default)]
pub struct Plain {
    /// Signs that stand as a box.
    pub missing: BTreeSet<char>,
}

impl Plain {
    /// The text on one line, its long words breakable after so many signs.
    pub fn broken(&mut self, text: &str, after: usize) -> String {
        let mut out = String::with_capacity(text.len());
        for word in self.line(text).split_inclusive([' ', '-', '/']) {
            let signs: Vec<&str> = word.graphemes(true).collect();
            let parts = if signs.len() > after.max(4) && !hyphenates(&signs) { after.max(4) } else { signs.len() };
            for (k, part) in signs.chunks(parts.max(1)).enumerate() {
                out.extend((k > 0).then_some(BREAK));
                out.extend(part.iter().copied());
            }
        }
        out
    }

    /// The text on one line.
    pub fn line(&mut self, text: &str) -> String {
        text.chars().filter_map(|sign| self.sign(sign)).collect()
    }

    /// A drawing's text: its lines stay.
    pub fn lines(&mut self, text: &str) -> String {
        text.chars().filter_map(|sign| if sign == '\n' { Some(sign) } else { self.sign(sign) }).collect()
    }

    fn sign(&mut self, sign: char) -> Option<char> {
        match sign {
            '\t' | '\n' | '\r' | '\u{b}' | '\u{c}' | '\u{85}' | '\u{2028}' | '\u{2029}' => Some(' '),
            sign if sign.is_control() || mute(sign) => None,
            sign if holds(sign) && !private(sign) => Some(sign),
            sign => {
                self.missing.insert(sign);
                Some(BOX)
            }
        }
    }
}

/// A word of the language, which is divided between its syllables.
fn hyphenates(signs: &[&str]) -> bool {
    signs.len() <= LONG_WORD
        && signs.iter().skip(1).all(|sign| !sign.chars().any(|c| c.is_uppercase() || c.is_numeric() || c == '_'))
}

/// Orders about the direction of what follows would turn the rest of the line; the direction of letters is known without
/// them. Others join signs or choose between looks of one, of which there is one here.
fn mute(sign: char) -> bool {
    matches!(
        sign,
        '\u{ad}'
            | '\u{61c}'
            | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}'
            | '\u{fff0}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e0fff}'
    )
}

/// Means what its writer's own font says, and nothing elsewhere.
fn private(sign: char) -> bool {
    matches!(sign, '\u{e000}'..='\u{f8ff}' | '\u{fffc}'..='\u{ffff}' | '\u{f0000}'..='\u{10ffff}')
}
