//! The flywheel with the top of every cylinder, and the positions turned to.

use super::order::Engine;
use crate::sketch::{At, Hold, Look, Sketch};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Draws the crank's circle; it turns clockwise, so that what comes next stands to the left of the pointer.
pub fn draw(engine: &Engine, cover: &[usize], rim: Option<f64>) -> Sketch {
    let r = rim.unwrap_or(0.2);
    let mut sketch =
        Sketch::new("The flywheel with the firing top of every cylinder; those of the sequence are marked.");
    sketch.circle(Look::Firm, (0.0, 0.0), r);
    sketch.circle(Look::Thin, (0.0, 0.0), 0.88 * r);
    sketch.circle(Look::Thin, (0.0, 0.0), 0.02 * r);
    // Which way she turns.
    sketch.arc(Look::Thin, (0.0, 0.0), 0.22 * r, FRAC_PI_2, TAU);
    sketch.outline(
        Look::Face,
        [(0.16 * r, 0.02 * r), (0.28 * r, 0.02 * r), (0.22 * r, 0.12 * r)].map(|(x, y): At| (x, -y + 0.02 * r)),
    );
    sketch.letters((0.0, -0.36 * r), Hold::Middle, "turns clockwise");
    sketch.outline(Look::Face, [(0.0, 1.01 * r), (-0.03 * r, 1.1 * r), (0.03 * r, 1.1 * r)]);
    // Tops that meet on the rim share a mark.
    let mut marks: Vec<(f64, Vec<usize>)> = Vec::new();
    for (place, fires) in engine.fires.iter().enumerate() {
        let angle = fires.rem_euclid(TAU);
        match marks.iter_mut().find(|(one, _)| ((*one - angle).abs() < 0.02) || (TAU - (*one - angle).abs() < 0.02)) {
            Some((_, places)) => places.push(place),
            None => marks.push((angle, vec![place])),
        }
    }
    for (angle, places) in marks {
        let turned = |place: &usize| cover.iter().position(|one| one == place).map(|step| step + 1);
        let steps: Vec<String> = places.iter().filter_map(turned).map(|step| step.to_string()).collect();
        let at = |share: f64| (-share * r * angle.sin(), share * r * angle.cos());
        let look = if steps.is_empty() { Look::Thin } else { Look::Marked };
        sketch.line(look, [at(0.88), at(1.0)]);
        let names: Vec<String> = places.iter().map(|place| engine.order[*place].to_string()).collect();
        let (x, y) = at(0.7);
        sketch.letters((x, y - 0.02 * r), Hold::Middle, names.join(" and "));
        if !steps.is_empty() {
            let far = at(1.2);
            let hold = if far.0 < -0.1 * r {
                Hold::End
            } else if far.0 > 0.1 * r {
                Hold::Start
            } else {
                Hold::Middle
            };
            sketch.letters(
                far,
                hold,
                format!("position{} {}", if steps.len() > 1 { "s" } else { "" }, steps.join(" and ")),
            );
        }
    }
    sketch
}
