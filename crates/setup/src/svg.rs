//! The drawing as SVG: geometry and classes; every colour is in the style.

use crate::sketch::{Hold, Look, Sketch, Stroke, beside_line};
use std::fmt::Write as _;

/// What the drawing looks like; every colour is a variable of the page with a value to fall back on.
pub const STYLE: &str = include_str!("sketch.css");

/// Longest side of the frame of what is drawn [px].
const WIDE: f64 = 560.0;
const HIGH: f64 = 420.0;
/// Room around it for letters [px].
const ROOM: f64 = 64.0;
/// Size of letters, and how wide one is at most [px].
const LETTERS: f64 = 14.0;
const WIDTH: f64 = 7.8;
/// Length and half width of an arrow [px].
const ARROW: (f64, f64) = (9.0, 3.0);

/// From measures to pixels.
struct Frame {
    left: f64,
    top: f64,
    scale: f64,
    /// Where the corner stands [px].
    corner: (f64, f64),
}

impl Frame {
    fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.corner.0 + (x - self.left) * self.scale, self.corner.1 + (self.top - y) * self.scale)
    }
}

/// Draws.
pub fn draw(sketch: &Sketch, alone: bool) -> String {
    let ((left, low), (right, high)) = sketch.corners().unwrap_or_default();
    let (wide, tall) = ((right - left).max(1e-9), (high - low).max(1e-9));
    let scale = (WIDE / wide).min(HIGH / tall);
    // Letters reach past their point by so much on either side.
    let reach = sketch.strokes.iter().filter_map(|stroke| match stroke {
        Stroke::Letters((x, _), hold, text) => {
            let long = text.chars().count() as f64 * WIDTH;
            let from = (x - left) * scale
                - match hold {
                    Hold::Start => 0.0,
                    Hold::Middle => long / 2.0,
                    Hold::End => long,
                };
            Some((-from, from + long - wide * scale))
        }
        // An upright measure has its letters to the right.
        Stroke::Measure(from, to, beside, text) => {
            let ((x1, y1), (x2, y2)) = beside_line(*from, *to, *beside);
            let long = text.chars().count() as f64 * WIDTH + 6.0;
            let upright = (x2 - x1).abs() < (y2 - y1).abs();
            upright.then(|| (0.0, (f64::midpoint(x1, x2) - right) * scale + long))
        }
        _ => None,
    });
    let (before, after) = reach.fold((ROOM, ROOM), |(a, b), (before, after)| (a.max(before + 8.0), b.max(after + 8.0)));
    let frame = Frame { left, top: high, scale, corner: (before, ROOM / 2.0) };
    let (w, h) = (wide * scale + before + after, tall * scale + ROOM);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"sketch\" viewBox=\"0 0 {w:.0} {h:.0}\" width=\"{w:.0}\" height=\"{h:.0}\" role=\"img\" aria-label=\"{}\">\n",
        escaped(&sketch.title)
    );
    if alone {
        let _ = write!(out, "<style>\n{STYLE}</style>\n<rect class=\"paper\" width=\"{w:.0}\" height=\"{h:.0}\"/>\n");
    }
    sketch.strokes.iter().for_each(|stroke| one(&mut out, &frame, stroke));
    out + "</svg>\n"
}

fn one(out: &mut String, frame: &Frame, stroke: &Stroke) {
    match stroke {
        Stroke::Line(look, points) => path(out, frame, *look, points, ""),
        Stroke::Outline(look, points) => path(out, frame, *look, points, "Z"),
        Stroke::Circle(look, middle, radius) => {
            let (x, y) = frame.at(*middle);
            let _ = writeln!(
                out,
                "<circle class=\"{}\" cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{:.1}\"/>",
                class(*look),
                radius * frame.scale
            );
        }
        Stroke::Arc(look, (x, y), radius, from, to) => {
            let end = |angle: f64| frame.at((x + radius * angle.cos(), y + radius * angle.sin()));
            let (x1, y1) = end(*from);
            let (x2, y2) = end(*to);
            let r = radius * frame.scale;
            let large = i32::from((to - from).abs() > std::f64::consts::PI);
            // y is up in the drawing and down on the page, so counter-clockwise is the sweep 0.
            let sweep = i32::from(to < from);
            let _ = writeln!(
                out,
                "<path class=\"{}\" d=\"M{x1:.1} {y1:.1}A{r:.1} {r:.1} 0 {large} {sweep} {x2:.1} {y2:.1}\"/>",
                class(*look)
            );
        }
        Stroke::Letters(at, hold, text) => letters(out, frame.at(*at), *hold, text),
        Stroke::Measure(from, to, beside, text) => {
            let (a, b) = beside_line(*from, *to, *beside);
            let ends = [frame.at(*from), frame.at(a), frame.at(b), frame.at(*to)];
            let [(x1, y1), (x2, y2), (x3, y3), (x4, y4)] = ends;
            let _ = writeln!(
                out,
                "<path class=\"thin\" d=\"M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}M{x4:.1} {y4:.1}L{x3:.1} {y3:.1}M{x2:.1} {y2:.1}L{x3:.1} {y3:.1}\"/>"
            );
            let long = (x3 - x2).hypot(y3 - y2).max(1e-9);
            let (ux, uy) = ((x3 - x2) / long, (y3 - y2) / long);
            // Too short for two arrows between its ends: they point in from outside.
            let (ux, uy) = if long < 3.0 * ARROW.0 { (-ux, -uy) } else { (ux, uy) };
            arrow(out, (x2, y2), (ux, uy));
            arrow(out, (x3, y3), (-ux, -uy));
            let upright = (x3 - x2).abs() < (y3 - y2).abs();
            let (mx, my) = (f64::midpoint(x2, x3), f64::midpoint(y2, y3));
            if upright {
                letters(out, (mx + 6.0, my + LETTERS / 3.0), Hold::Start, text);
            } else {
                letters(out, (mx, my - 5.0), Hold::Middle, text);
            }
        }
    }
}

/// An arrow head with its point here; the shaft goes along.
fn arrow(out: &mut String, (x, y): (f64, f64), (ux, uy): (f64, f64)) {
    let (long, half) = ARROW;
    let (bx, by) = (x + ux * long, y + uy * long);
    let (nx, ny) = (-uy * half, ux * half);
    let _ = writeln!(
        out,
        "<path class=\"head\" d=\"M{x:.1} {y:.1}L{:.1} {:.1}L{:.1} {:.1}Z\"/>",
        bx + nx,
        by + ny,
        bx - nx,
        by - ny
    );
}

fn path(out: &mut String, frame: &Frame, look: Look, points: &[(f64, f64)], end: &str) {
    let mut told = String::new();
    for (place, point) in points.iter().enumerate() {
        let (x, y) = frame.at(*point);
        let _ = write!(told, "{}{x:.1} {y:.1}", if place == 0 { 'M' } else { 'L' });
    }
    let _ = writeln!(out, "<path class=\"{}\" d=\"{told}{end}\"/>", class(look));
}

fn letters(out: &mut String, (x, y): (f64, f64), hold: Hold, text: &str) {
    let anchor = match hold {
        Hold::Start => "start",
        Hold::Middle => "middle",
        Hold::End => "end",
    };
    let _ = writeln!(out, "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{}</text>", escaped(text));
}

fn class(look: Look) -> &'static str {
    match look {
        Look::Firm => "firm",
        Look::Thin => "thin",
        Look::Dashed => "dashed",
        Look::Marked => "marked",
        Look::Face => "face",
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
