//! Where text goes: each label at the nearest place where nothing else is.

use super::graph::driver;
use super::runs::length;
use super::shape::{LINE, Rect, lines, width};
use super::sheet::{Places, Sheet};
use super::{Hung, Label, Of, Point, Run, position};
use parts::kind::Circuit;
use plant::plant::Plant;

/// What is left free about a run, a piece and text [px].
pub(super) const FREE: f64 = 4.0;

/// What was written, and what found no place.
pub(super) struct Written {
    pub labels: Vec<Label>,
    pub gauges: Vec<Hung>,
    pub wanting: Vec<Want>,
    /// How far text and instruments stand from what they belong to [px].
    pub astray: f64,
}

/// Rows and columns of which one must be given more room.
#[derive(Clone, Debug, Default)]
pub(super) struct Want {
    pub rows: Vec<usize>,
    pub columns: Vec<usize>,
    /// It has a place, but its leader crosses a pipe.
    pub poor: bool,
}

/// What lies on the page already: pieces, text and instruments; and pipes, which only a leader may cross.
pub(super) struct Taken {
    pub hard: Vec<Rect>,
    pub pipes: Vec<Rect>,
}

impl Taken {
    pub fn free(&self, rect: &Rect) -> bool {
        self.bare(rect) && self.crossed(rect) == 0
    }

    /// Free of all but pipes.
    pub fn bare(&self, rect: &Rect) -> bool {
        !self.hard.iter().any(|other| other.meets(rect))
    }

    /// Pipes that it lies on.
    pub fn crossed(&self, rect: &Rect) -> usize {
        self.pipes.iter().filter(|pipe| pipe.meets(rect)).count()
    }
}

/// The words under a part, before what is live.
pub(super) fn words(plant: &Plant, part: usize) -> Vec<String> {
    let this = &plant.parts[part];
    let mut words = lines(&this.name);
    if this.assumed {
        if let Some(first) = words.first_mut() {
            first.insert(0, '(');
        }
        if let Some(last) = words.last_mut() {
            last.push(')');
        }
    }
    words.extend(position(this));
    let turned = driver(plant, part)
        .filter(|driver| !plant.parts[*driver].kind.symbol.block && this.kind.symbol.link.enter.is_none());
    words.extend(turned.map(|driver| format!("on {}", plant.parts[driver].name)));
    words
}

/// A part's label with one more line for what is live [px].
pub(super) fn label_size(plant: &Plant, part: usize) -> (f64, f64) {
    let words = words(plant, part);
    let wide = words.iter().map(|line| width(line)).fold(0.0, f64::max);
    (wide, LINE * (words.len() + 1) as f64)
}

/// Writes everything.
pub(super) fn write(plant: &Plant, sheet: &Sheet, places: &Places, runs: &[Run]) -> Written {
    let mut taken = Taken { hard: places.boxes.iter().map(|b| b.grown(FREE)).collect(), pipes: vec![] };
    for run in runs {
        taken.pipes.extend(run.points.windows(2).map(|pair| Rect::about(pair[0], pair[1]).grown(FREE + 1.0)));
    }
    let mut written = Written { labels: vec![], gauges: vec![], wanting: vec![], astray: 0.0 };
    let page = Rect { x: 4.0, y: 4.0, w: places.size.0 - 8.0, h: places.size.1 - 8.0 };
    for part in 0..plant.parts.len() {
        let (w, h) = label_size(plant, part);
        let of = places.boxes[part];
        let words = words(plant, part);
        if sheet.graph.pieces[part].symbol.block {
            let rect = Rect { x: of.middle().0 - w / 2.0, y: clear(sheet, places, part) - h / 2.0, w, h };
            written.labels.push(Label { of: Of::Part(part), rect, lines: words, upright: false, above: false });
            continue;
        }
        let Some(rect) = beside_part(of, (w, h)).into_iter().find(|rect| page.holds(rect) && taken.free(rect)) else {
            let column = sheet.columns.of[part];
            written.wanting.push(Want {
                rows: vec![sheet.rows.of[part]],
                columns: vec![column, column + 1],
                poor: false,
            });
            continue;
        };
        taken.hard.push(rect.grown(2.0));
        written.astray += (rect.middle().0 - of.middle().0).abs();
        let above = rect.y < of.y;
        written.labels.push(Label { of: Of::Part(part), rect, lines: words, upright: false, above });
    }
    super::taps::hang(plant, sheet, places, runs, &mut taken, &mut written);
    if written.wanting.iter().all(|want| want.poor) {
        contents(runs, &mut taken, &mut written);
    }
    written
}

/// The middle of the tallest gap between a block's ports [px].
fn clear(sheet: &Sheet, places: &Places, part: usize) -> f64 {
    let of = places.boxes[part];
    let ports = sheet.graph.pieces[part].ports.iter().map(|port| places.rows[sheet.row_of(*port)]);
    let mut at: Vec<f64> = ports.chain([of.y, of.y + of.h]).collect();
    at.sort_by(f64::total_cmp);
    let gaps = at.windows(2).map(|pair| (pair[1] - pair[0], f64::midpoint(pair[0], pair[1])));
    gaps.max_by(|a, b| a.0.total_cmp(&b.0)).map_or(of.middle().1, |(_, middle)| middle)
}

/// Places beside a piece, the best first.
fn beside_part(of: Rect, (w, h): (f64, f64)) -> Vec<Rect> {
    let (middle, _) = of.middle();
    let (under, over) = (of.y + of.h + FREE + 0.5, of.y - FREE - 0.5 - h);
    let (left, right) = (of.x + of.w / 2.0 - w, of.x + of.w / 2.0);
    let at = |x: f64, y: f64| Rect { x, y, w, h };
    let mut found = vec![at(middle - w / 2.0, under), at(middle - w / 2.0, over)];
    for aside in [5.5, 9.5, 15.5, 17.5, 21.5, 28.0] {
        found.extend([
            at(right + aside, under),
            at(left - aside, under),
            at(right + aside, over),
            at(left - aside, over),
        ]);
    }
    found
}

/// Letters of the contents along the longer runs.
fn contents(runs: &[Run], taken: &mut Taken, written: &mut Written) {
    let mut pieces: Vec<(Circuit, Point, Point)> = runs
        .iter()
        .filter(|run| !run.standing)
        .flat_map(|run| run.points.windows(2).map(|pair| (run.circuit, pair[0], pair[1])))
        .filter(|(circuit, a, b)| !circuit.letters().is_empty() && length((*a, *b)) > 34.0)
        .collect();
    pieces.sort_by(|a, b| length((b.1, b.2)).total_cmp(&length((a.1, a.2))));
    let mut done: Vec<(Circuit, Point)> = Vec::new();
    for (circuit, a, b) in pieces {
        let wide = width(circuit.letters());
        for share in [0.5, 0.3, 0.7, 0.15, 0.85] {
            let at = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
            if done.iter().any(|(other, p)| *other == circuit && length((*p, at)) < 190.0) {
                continue;
            }
            let upright = a.0 == b.0;
            let off = FREE + 1.5;
            let rect = if upright {
                Rect { x: at.0 - off - 12.0, y: at.1 - wide / 2.0, w: 12.0, h: wide }
            } else {
                Rect { x: at.0 - wide / 2.0, y: at.1 - off - 12.0, w: wide, h: 12.0 }
            };
            if taken.free(&rect) {
                taken.hard.push(rect.grown(1.0));
                done.push((circuit, at));
                let lines = vec![circuit.letters().into()];
                written.labels.push(Label { of: Of::Letters(circuit), rect, lines, upright, above: false });
                break;
            }
        }
    }
}
