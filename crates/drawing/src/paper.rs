//! A drawing for paper: what colours a page lends it, written out; nothing left that only a screen knows.

use crate::svg::PAPER;

/// The same drawing with its style as plain as what sets pages on paper reads: every colour spelt out, for white paper,
/// and no rule for screens, pointers or keyboards. Of a drawing that stands alone.
pub fn on_paper(svg: &str) -> String {
    let Some((before, rest)) = svg.split_once("<style>") else { return svg.into() };
    let Some((_, after)) = rest.split_once("</style>") else { return svg.into() };
    format!("{before}<style>\n{}</style>{}", style(), unlinked(after))
}

/// A drawing as a page takes it in that brings the style: its own left out, so that the page's colours hold.
pub fn on_page(svg: &str) -> String {
    let bare = match svg.split_once("<style>").and_then(|(before, rest)| Some((before, rest.split_once("</style>")?.1)))
    {
        Some((before, after)) => format!("{before}{after}"),
        None => svg.into(),
    };
    bare.replacen(" alone\"", "\"", 1).replacen(" xmlns=\"http://www.w3.org/2000/svg\"", "", 1)
}

/// The style of a drawing on paper.
fn style() -> String {
    let mut out = String::new();
    let screen = ["@media", ":hover", ":focus", "cursor", "alone", ".hit {"];
    for line in PAPER.lines().filter(|line| !line.trim().is_empty() && !screen.iter().any(|word| line.contains(word))) {
        out += &spelt(line);
        out.push('\n');
    }
    out + ".schematic .hit { fill: none; stroke: none }\n"
}

/// `var(--name, #fallback)` as `#fallback`; what has none is ink.
fn spelt(line: &str) -> String {
    let mut out = String::new();
    let mut rest = line;
    while let Some((before, after)) = rest.split_once("var(") {
        let (inner, after) = after.split_once(')').unwrap_or((after, ""));
        out += before;
        out += inner.split_once(',').map_or("#1a1c1e", |(_, fallback)| fallback.trim());
        rest = after;
    }
    // The short form of a font is not read everywhere.
    (out + rest).replace("font: 12px ", "font-size: 12px; font-family: ")
}

/// Links lead nowhere on paper.
fn unlinked(svg: &str) -> String {
    svg.replace(" tabindex=\"0\"", "")
}
