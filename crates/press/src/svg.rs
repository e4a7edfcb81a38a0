//! Drawings made ready: what a browser reads in their style and the setting of type does not is worked out beforehand.

use crate::plain::Plain;
use typst::foundations::Bytes;
use typst::visualize::SvgImage;

/// A drawing that can be set.
pub struct Drawn {
    /// Its SVG.
    pub svg: Bytes,
    /// How wide it is by itself [px], above 0.
    pub width: f64,
    /// How high it is by itself [px], above 0.
    pub height: f64,
}

/// Makes a drawing ready; none where it is no SVG that can be set.
pub fn ready(svg: &str, plain: &mut Plain) -> Option<Drawn> {
    let svg = settled(&without_screens(&plain.lines(&without_numbers(svg))));
    // An image it names would have to be fetched from somewhere.
    if svg.contains("<image") || svg.contains("<feImage") {
        return None;
    }
    let svg = Bytes::from_string(svg);
    let image = SvgImage::new(svg.clone()).ok()?;
    let (width, height) = (image.width(), image.height());
    (width > 0.0 && height > 0.0 && (width / height).is_finite()).then_some(Drawn { svg, width, height })
}

/// Signs given by number are written out, so that it is seen whether they can be set.
fn without_numbers(svg: &str) -> String {
    let mut out = String::with_capacity(svg.len());
    let mut rest = svg;
    while let Some(at) = rest.find("&#") {
        out += &rest[..at];
        let Some(end) = rest[at..].find(';') else { break };
        let digits = &rest[at + 2..at + end];
        let number = match digits.strip_prefix('x') {
            Some(hex) => u32::from_str_radix(hex, 16),
            None => digits.parse(),
        };
        match number.ok().and_then(char::from_u32) {
            // What means something to XML stays as it is.
            Some('<' | '>' | '&' | '"' | '\'') => out += &rest[at..=at + end],
            sign => out.extend(sign),
        }
        rest = &rest[at + end + 1..];
    }
    out + rest
}

/// Without `@media { … }`: paper is no screen.
fn without_screens(svg: &str) -> String {
    let mut out = String::with_capacity(svg.len());
    let mut rest = svg;
    while let Some(at) = rest.find("@media") {
        out += &rest[..at];
        let mut depth = 0;
        let end = rest[at..].char_indices().find(|(_, sign)| {
            depth += match sign {
                '{' => 1,
                '}' => -1,
                _ => return false,
            };
            depth == 0
        });
        match end {
            Some((end, _)) => rest = &rest[at + end + 1..],
            None => return out,
        }
    }
    out + rest
}

/// With what stands to fall back on in the place of `var(--name, this)`: the colours of white paper.
fn settled(svg: &str) -> String {
    let mut out = String::with_capacity(svg.len());
    let mut rest = svg;
    while let Some(at) = rest.find("var(--") {
        out += &rest[..at];
        let Some(end) = rest[at..].find(')') else { return out + &rest[at..] };
        let within = &rest[at + "var(".len()..at + end];
        out += within.split_once(',').map_or("currentColor", |(_, fallback)| fallback.trim());
        rest = &rest[at + end + 1..];
    }
    out + rest
}
