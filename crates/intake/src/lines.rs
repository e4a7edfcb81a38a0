//! Bytes into lines, in bounded memory.

use memchr::memchr;

/// The longest line that is read [bytes]: thousands of columns.
pub(crate) const LONGEST: usize = 1 << 20;

/// Cuts what comes in pieces into lines; its memory is one line's.
#[derive(Debug, Default)]
pub(crate) struct Lines {
    /// Lines begun so far.
    number: u64,
    /// The beginning of a line whose end has not come.
    begun: Vec<u8>,
    /// The rest of this line is passed over.
    skipping: bool,
}

/// A line without its end; or it was too long.
pub(crate) type Line<'a> = Option<&'a [u8]>;

impl Lines {
    /// Takes the next bytes; `each` is handed every line that ends in them, with its number from 1.
    pub fn bytes(&mut self, mut text: &[u8], mut each: impl FnMut(u64, Line<'_>)) {
        while let Some(end) = memchr(b'\n', text) {
            let (line, rest) = (&text[..end], &text[end + 1..]);
            self.number += 1;
            if std::mem::take(&mut self.skipping) {
                // It was told of when it grew too long.
            } else if self.begun.is_empty() {
                each(self.number, short(line));
            } else if self.begun.len() + line.len() > LONGEST {
                self.begun.clear();
                each(self.number, None);
            } else {
                self.begun.extend_from_slice(line);
                each(self.number, short(&self.begun));
                self.begun.clear();
            }
            text = rest;
        }
        if self.skipping || text.is_empty() {
            return;
        }
        if self.begun.len() + text.len() > LONGEST {
            self.begun = Vec::new();
            self.skipping = true;
            each(self.number + 1, None);
        } else {
            self.begun.extend_from_slice(text);
        }
    }

    /// Lines that have ended so far.
    pub fn number(&self) -> u64 {
        self.number
    }

    /// The last line, if it had no end.
    pub fn end(&mut self, mut each: impl FnMut(u64, Line<'_>)) {
        if !self.begun.is_empty() {
            self.number += 1;
            let line = std::mem::take(&mut self.begun);
            each(self.number, short(&line));
        }
        self.skipping = false;
    }
}

/// Without the other half of its end.
fn short(line: &[u8]) -> Line<'_> {
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    (line.len() <= LONGEST).then_some(line)
}

/// Bytes as text: UTF-8, or else the Latin letters that older loggers write.
pub(crate) fn text(bytes: &[u8]) -> String {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_string(),
        // ISO 8859-1 is the first 256 letters of Unicode.
        Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
    }
}

/// As a message shows it: short, and on one line.
pub(crate) fn shown(bytes: &[u8]) -> String {
    const MOST: usize = 40;
    let text = text(&bytes[..bytes.len().min(4 * MOST + 4)]);
    let letters = |letter: char| if letter.is_control() { ' ' } else { letter };
    let mut short: String = text.trim().chars().take(MOST).map(letters).collect();
    if text.trim().chars().nth(MOST).is_some() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(pieces: &[&[u8]]) -> Vec<(u64, Option<Vec<u8>>)> {
        let (mut lines, mut found) = (Lines::default(), Vec::new());
        let mut each = |number, line: Line<'_>| found.push((number, line.map(<[u8]>::to_vec)));
        for piece in pieces {
            lines.bytes(piece, &mut each);
        }
        lines.end(&mut each);
        found
    }

    #[test]
    fn lines_are_the_same_however_they_are_cut() {
        let text = b"one\r\ntwo\n\nfour";
        let whole = cut(&[text]);
        let words = [(1, "one"), (2, "two"), (3, ""), (4, "four")];
        assert_eq!(whole, words.map(|(number, line)| (number, Some(line.as_bytes().to_vec()))));
        for at in 0..text.len() {
            assert_eq!(cut(&[&text[..at], &text[at..]]), whole);
        }
    }

    #[test]
    fn a_line_without_end_takes_no_more_memory() {
        let mut lines = Lines::default();
        let piece = vec![b'x'; 1 << 16];
        let mut told = Vec::new();
        for _ in 0..1000 {
            lines.bytes(&piece, |number, line| told.push((number, line.is_some())));
            assert!(lines.begun.capacity() <= 2 * LONGEST);
        }
        lines.bytes(b"\nnext\n", |number, line| told.push((number, line.is_some())));
        assert_eq!(told, [(1, false), (2, true)]);
    }

    #[test]
    fn letters_of_older_loggers_are_read() {
        assert_eq!(text(b"coolant [\xb0C]"), "coolant [°C]");
        assert_eq!(text("\u{feff}Öl".as_bytes()), "Öl");
    }
}
