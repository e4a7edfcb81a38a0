//! One circuit of a sheet: what is drawn of it, and the part of the sheet that it takes.

use super::shape::Rect;
use super::{Of, Only, Schematic};
use parts::kind::Circuit;

/// What is left free about it [px].
const MARGIN: f64 = 12.0;
/// What is shown round the parts of a detail [px].
const AROUND: f64 = 100.0;

impl Only {
    /// Whether a part, by its place in the plant, is drawn.
    pub(super) fn part(only: Option<&Only>, part: usize) -> bool {
        only.is_none_or(|only| only.parts.get(part).copied().unwrap_or(false))
    }

    /// Whether a gauge is.
    pub(super) fn gauge(only: Option<&Only>, gauge: usize) -> bool {
        only.is_none_or(|only| only.gauges.get(gauge).copied().unwrap_or(false))
    }

    /// Whether pipes of a circuit are.
    pub(super) fn pipes(only: Option<&Only>, circuit: Circuit) -> bool {
        only.is_none_or(|only| only.circuit == circuit)
    }
}

impl Schematic {
    /// The window of the sheet round some of its parts; nothing where there are none.
    pub(super) fn window(&self, parts: &[usize]) -> Option<Rect> {
        let (w, h) = self.size;
        let drawn = || parts.iter().filter_map(|part| self.pieces.get(*part));
        // A block is as tall as all its lanes: it is shown whole only if there is nothing else to show.
        let small: Vec<Rect> = drawn().filter(|piece| !piece.block).map(|piece| piece.rect).collect();
        let all = if small.is_empty() { drawn().map(|piece| piece.rect).collect() } else { small };
        let ends = all.iter().map(|rect| (rect.x, rect.y, rect.x + rect.w, rect.y + rect.h));
        let hull = ends.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1), a.2.max(b.2), a.3.max(b.3)))?;
        let (x, y) = ((hull.0 - AROUND).max(0.0), (hull.1 - AROUND).max(0.0));
        Some(Rect { x, y, w: (hull.2 + AROUND).min(w) - x, h: (hull.3 + AROUND).min(h) - y })
    }

    /// The part of the sheet that is drawn.
    pub(super) fn cut(&self, only: Option<&Only>) -> Rect {
        let (w, h) = self.size;
        let whole = Rect { x: 0.0, y: 0.0, w, h };
        if only.is_none() {
            return whole;
        }
        // A block is as tall as all its lanes: it is cut through.
        let pieces = self.pieces.iter().enumerate().filter(|(part, piece)| Only::part(only, *part) && !piece.block);
        let runs = self.runs.iter().filter(|run| Only::pipes(only, run.circuit));
        let pipes = runs.flat_map(|run| run.points.windows(2).map(|pair| Rect::about(pair[0], pair[1])));
        let gauges = self.gauges.iter().filter(|hung| Only::gauge(only, hung.gauge)).map(|hung| hung.circle);
        let labels = self.labels.iter().filter(|label| match label.of {
            Of::Part(part) => Only::part(only, part) && !self.pieces[part].block,
            Of::Gauge(gauge) => Only::gauge(only, gauge),
            Of::Letters(circuit) => Only::pipes(only, circuit),
            Of::Legend(_) | Of::Note => false,
        });
        let all = pieces.map(|(_, piece)| piece.rect).chain(pipes).chain(gauges).chain(labels.map(|label| label.rect));
        let ends = all.map(|rect| (rect.x, rect.y, rect.x + rect.w, rect.y + rect.h));
        let hull = ends.reduce(|a, b| (a.0.min(b.0), a.1.min(b.1), a.2.max(b.2), a.3.max(b.3)));
        let Some((left, top, right, bottom)) = hull else { return whole };
        let (x, y) = ((left - MARGIN).max(0.0), (top - MARGIN).max(0.0));
        Rect { x, y, w: (right + MARGIN).min(w) - x, h: (bottom + MARGIN).min(h) - y }
    }
}
