//! What stands below the drawing.

use super::shape::{LINE, Rect, width};
use super::svg::SWATCH;
use super::{Label, Of, Schematic};
use parts::kind::Circuit;
use plant::plant::Plant;

/// Below the drawing: a line for each contents in it, what brackets mean, and whose plant it is.
pub(super) fn legend(schematic: &mut Schematic, plant: &Plant) {
    let is_drawn = |circuit: &Circuit| schematic.runs.iter().any(|run| run.circuit == *circuit);
    let shown = Circuit::ALL.into_iter().filter(|c| !c.letters().is_empty()).filter(is_drawn);
    let mut entries: Vec<(Of, String)> = shown
        .map(|circuit| (Of::Legend(circuit), format!("{} {}", circuit.letters(), circuit.title().to_lowercase())))
        .collect();
    if plant.parts.iter().any(|part| part.assumed) {
        entries.push((Of::Note, "(in brackets) assumed".into()));
    }
    if !plant.name.is_empty() {
        entries.insert(0, (Of::Note, plant.name.clone()));
    }
    let lowest = schematic.labels.iter().map(|label| label.rect.y + label.rect.h).fold(0.0, f64::max);
    let (mut x, mut y) = (24.0, (schematic.size.1 - 8.0).max(lowest + 6.0));
    for (of, line) in entries {
        let swatch = if of == Of::Note { 0.0 } else { SWATCH + 6.0 };
        let w = width(&line) + swatch;
        if x + w > schematic.size.0 - 24.0 && x > 24.0 {
            (x, y) = (24.0, y + LINE + 6.0);
        }
        let rect = Rect { x, y, w, h: LINE };
        schematic.labels.push(Label { of, rect, lines: vec![line], upright: false, above: false });
        x += w + 16.0;
    }
    schematic.size.1 = y + LINE + 16.0;
}
