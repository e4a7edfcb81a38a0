//! The flywheel with the top under the pointer and the marks to scale.

use super::marks::Rim;
use crate::sketch::{Hold, Look, Sketch};
use std::f64::consts::FRAC_PI_2;

/// Draws the rim; it turns clockwise, so that a mark before the top stands to the right of it.
pub fn draw(rim: Option<&Rim>, found: Option<f64>, wanted: Option<f64>, any: Option<f64>) -> Sketch {
    let r = rim.map_or(0.2, |rim| rim.diameter / 2.0);
    let mut sketch =
        Sketch::new("The flywheel's rim with its top under the pointer, and the spill point found and wanted.");
    sketch.circle(Look::Firm, (0.0, 0.0), r);
    sketch.circle(Look::Thin, (0.0, 0.0), 0.86 * r);
    sketch.circle(Look::Thin, (0.0, 0.0), 0.03 * r);
    sketch.outline(Look::Face, [(0.0, 1.01 * r), (-0.03 * r, 1.12 * r), (0.03 * r, 1.12 * r)]);
    sketch.letters((0.0, 1.15 * r), Hold::Middle, "top, at the pointer");
    sketch.line(Look::Firm, [(0.0, 0.86 * r), (0.0, r)]);
    let length = |angle: f64| {
        let along = rim.map(|rim| format!(", {:.1} mm", rim.distance(angle) * 1e3)).unwrap_or_default();
        format!("{:.1}°{along}", angle.to_degrees())
    };
    let mut mark = |angle: f64, look: Look, name: &str, inside: bool| {
        let at = |share: f64| (share * r * angle.sin(), share * r * angle.cos());
        sketch.line(look, [at(0.82), at(1.04)]);
        // Inside and outside, so that two that lie close do not cover each other.
        if inside {
            let (from, to) = (FRAC_PI_2 - angle, FRAC_PI_2);
            sketch.arc(look, (0.0, 0.0), 0.74 * r, from.min(to), from.max(to));
            sketch.line(Look::Thin, [at(0.70), at(0.82)]);
            let hold = if angle < 0.0 { Hold::End } else { Hold::Start };
            sketch.letters(
                ((0.70 * r * angle.sin()).min(0.1 * r) - 0.35 * r, 0.52 * r),
                hold,
                format!("{name} {}", length(angle)),
            );
        } else {
            let (x, y) = at(1.09);
            sketch.letters(
                (x, y),
                if angle < 0.0 { Hold::End } else { Hold::Start },
                format!("{name} {}", length(angle)),
            );
        }
    };
    if let Some(found) = found {
        mark(found, Look::Dashed, "found", true);
    }
    if let Some(wanted) = wanted {
        mark(wanted, Look::Marked, "wanted", false);
    }
    if let Some(any) = any.filter(|_| found.is_none() && wanted.is_none()) {
        mark(any, Look::Marked, "mark", false);
    }
    sketch.arc(Look::Thin, (0.0, 0.0), 0.2 * r, -3.0, FRAC_PI_2);
    sketch.outline(Look::Face, [(-0.25 * r, -0.04 * r), (-0.15 * r, -0.04 * r), (-0.2 * r, 0.06 * r)]);
    sketch.letters((0.0, -0.36 * r), Hold::Middle, "turns clockwise");
    sketch
}
