//! Where text and gauges go: each at the nearest place where nothing else is.

use super::graph::{Side, driver};
use super::runs::length;
use super::shape::{LINE, Rect, lines, width};
use super::sheet::{Places, Sheet};
use super::{Hung, Label, Of, Point, Run, letters_of, position};
use measure::quantity::Quantity;
use parts::kind::{Circuit, When};
use plant::plant::{Gauge, Plant, Tap};

/// Room kept for a value beside its gauge: seven figures, a unit and a word.
const VALUE: f64 = 92.0;
/// Distances of a gauge's circle from what it looks at, to its middle [px].
const REACH: [f64; 7] = [24.0, 34.0, 46.0, 60.0, 78.0, 100.0, 126.0];
/// Half the size of its circle [px].
pub(super) const CIRCLE: f64 = 15.0;
/// What is left free about a run, a piece and text [px].
const FREE: f64 = 4.0;

/// What was written, and what found no place.
pub(super) struct Written {
    pub labels: Vec<Label>,
    pub gauges: Vec<Hung>,
    /// Rows that want more room, above (true) or below.
    pub wanting: Vec<(usize, bool)>,
}

/// The words under a part, before what is live.
pub(super) fn words(plant: &Plant, part: usize) -> Vec<String> {
    let this = &plant.parts[part];
    let mut words = lines(&this.name);
    words.extend(position(this));
    let turned = driver(plant, part).filter(|driver| {
        !plant.parts[*driver].kind.symbol.block && this.kind.symbol.link.enter.is_none()
    });
    words.extend(turned.map(|driver| format!("on {}", plant.parts[driver].name)));
    if this.assumed {
        words.push("assumed".into());
    }
    words
}

/// A part's label with one more line for what is live [px].
pub(super) fn label_size(plant: &Plant, part: usize) -> (f64, f64) {
    let words = words(plant, part);
    let wide = words.iter().map(|line| width(line)).fold(0.0, f64::max);
    (wide, LINE * (words.len() + 1) as f64)
}

/// Letters in a gauge's circle: what it reads, and for an alarm on which side it trips.
///
/// # Source
/// [ISA5-1], from memory.
pub(super) fn letters(gauge: &Gauge) -> String {
    let Some((_, side)) = gauge.trips else { return gauge.kind.symbol.letters.into() };
    let first = match gauge.quantity {
        Quantity::Temperature => "T",
        Quantity::GaugePressure | Quantity::Pressure => "P",
        _ => "",
    };
    let last = match side {
        When::Low => "L",
        When::High => "H",
    };
    format!("{first}A{last}")
}

struct Taken {
    hard: Vec<Rect>,
}

impl Taken {
    fn free(&self, rect: &Rect) -> bool {
        !self.hard.iter().any(|other| other.meets(rect))
    }
}

/// Writes everything.
pub(super) fn write(plant: &Plant, sheet: &Sheet, places: &Places, runs: &[Run]) -> Written {
    let mut taken = Taken { hard: places.boxes.iter().map(|b| b.grown(FREE)).collect() };
    for run in runs {
        taken.hard.extend(run.points.windows(2).map(|pair| Rect::about(pair[0], pair[1]).grown(FREE + 1.0)));
    }
    let mut written = Written { labels: vec![], gauges: vec![], wanting: vec![] };
    for part in 0..plant.parts.len() {
        let (w, h) = label_size(plant, part);
        let of = places.boxes[part];
        if sheet.graph.pieces[part].symbol.block {
            let (x, y) = of.middle();
            let rect = Rect { x: x - w / 2.0, y: y - h / 2.0, w, h };
            written.labels.push(Label { of: Of::Part(part), rect, lines: words(plant, part), upright: false, above: false });
            continue;
        }
        let found = beside_part(of, (w, h)).into_iter().find(|rect| taken.free(rect));
        let row = sheet.rows.of[part];
        let under = sheet.graph.pieces[part].ports.iter().any(|p| sheet.graph.ports[*p].side == Side::Bottom);
        let Some(rect) = found else {
            written.wanting.push((row, under));
            continue;
        };
        taken.hard.push(rect.grown(2.0));
        let above = rect.y < of.y;
        written.labels.push(Label { of: Of::Part(part), rect, lines: words(plant, part), upright: false, above });
    }
    for gauge in 0..plant.gauges.len() {
        hang(plant, sheet, places, runs, gauge, &mut taken, &mut written);
    }
    if written.wanting.is_empty() {
        lanes(sheet, places, &mut taken, &mut written);
        contents(runs, &mut taken, &mut written);
    }
    written
}

/// Places beside a piece, the best first.
fn beside_part(of: Rect, (w, h): (f64, f64)) -> Vec<Rect> {
    let (middle, _) = of.middle();
    let (under, over) = (of.y + of.h + FREE + 0.5, of.y - FREE - 0.5 - h);
    let (left, right) = (of.x + of.w / 2.0 - w, of.x + of.w / 2.0);
    let at = |x: f64, y: f64| Rect { x, y, w, h };
    let mut found = vec![at(middle - w / 2.0, under), at(middle - w / 2.0, over)];
    for aside in [5.5, 9.5, 15.5, 17.5, 21.5, 28.0] {
        found.extend([at(right + aside, under), at(left - aside, under), at(right + aside, over), at(left - aside, over)]);
    }
    found
}

/// Where a gauge may take hold: pieces of pipe of its node, or the edges of its part.
fn holds(plant: &Plant, sheet: &Sheet, places: &Places, runs: &[Run], tap: Tap) -> Vec<(Point, Point, Option<Side>)> {
    let edges = |part: usize| {
        let b = places.boxes[part];
        let (x, y) = (b.x + b.w, b.y + b.h);
        vec![
            ((b.x, b.y), (x, b.y), Some(Side::Top)),
            ((b.x, y), (x, y), Some(Side::Bottom)),
            ((x, b.y), (x, y), Some(Side::Right)),
            ((b.x, b.y), (b.x, y), Some(Side::Left)),
        ]
    };
    let of_net = |wanted: &dyn Fn(&Run) -> bool| {
        let found = runs.iter().filter(|run| wanted(run));
        found.flat_map(|run| run.points.windows(2).map(|p| (p[0], p[1], None))).collect::<Vec<_>>()
    };
    match tap {
        Tap::Pressure(node) | Tap::Temperature(node) => {
            let found = of_net(&|run| sheet.graph.nets[run.net].node == Some(node));
            if !found.is_empty() {
                return found;
            }
            let by_pool = plant.pools.iter().find(|pool| pool.node == node).map(|pool| pool.part.0);
            let ends = plant.flows.iter().find(|flow| {
                [flow.from, flow.to].contains(&plant::plant::Terminal::Node(node))
            });
            by_pool.or(ends.map(|flow| flow.part.0)).map_or(vec![], edges)
        }
        Tap::Drop(flow) | Tap::Flow(flow) => edges(plant.flows[flow.0].part.0),
        Tap::Unknown(part, _) => edges(part.0),
        Tap::Sea => {
            let sea = plant.flows.iter().find(|flow| flow.from == plant::plant::Terminal::Sea);
            edges(sea.map_or(0, |flow| flow.part.0))
        }
        Tap::Air => edges(sheet.graph.block().unwrap_or(0)),
    }
}

fn hang(
    plant: &Plant,
    sheet: &Sheet,
    places: &Places,
    runs: &[Run],
    gauge: usize,
    taken: &mut Taken,
    written: &mut Written,
) {
    let this = &plant.gauges[gauge];
    let names = lines(&this.name);
    let wide = names.iter().map(|line| width(line)).fold(VALUE, f64::max);
    let size = (wide, (LINE * (names.len() + 1) as f64).max(2.0 * CIRCLE));
    let mut best: Option<(f64, Hung, Rect)> = None;
    let holds = holds(plant, sheet, places, runs, this.tap);
    for (a, b, side) in &holds {
        for (reach, at, middle, cost) in spots(*a, *b, *side) {
            if best.as_ref().is_some_and(|(least, _, _)| *least <= cost) {
                continue;
            }
            let circle = Rect { x: middle.0 - CIRCLE, y: middle.1 - CIRCLE, w: 2.0 * CIRCLE, h: 2.0 * CIRCLE };
            let (dx, dy) = ((middle.0 - at.0) / reach, (middle.1 - at.1) / reach);
            let begin = (at.0 + 5.5 * dx, at.1 + 5.5 * dy);
            let end = (middle.0 - CIRCLE * dx, middle.1 - CIRCLE * dy);
            let leader = Rect::about(begin, end).grown(0.5);
            if !taken.free(&circle.grown(1.0)) || !taken.free(&leader) {
                continue;
            }
            let sides = if dx < 0.0 { [false, true] } else { [true, false] };
            for right in sides {
                let x = if right { middle.0 + CIRCLE + 4.0 } else { middle.0 - CIRCLE - 4.0 - size.0 };
                let text = Rect { x, y: middle.1 - size.1 / 2.0, w: size.0, h: size.1 };
                let cost = cost + if right { 0.0 } else { 5.0 };
                let inside = text.x > 4.0 && text.x + text.w < places.size.0 - 4.0 && text.y > 4.0;
                if inside && text.y + text.h < places.size.1 && taken.free(&text) && !text.meets(&leader) {
                    best = Some((cost, Hung { gauge, circle, leader: (at, end), right }, text));
                    break;
                }
            }
        }
    }
    let Some((_, hung, text)) = best else {
        let first = holds.first().map_or((0.0, 0.0), |hold| hold.0);
        let near = |y: f64| (y - first.1).abs();
        let row = (0..places.rows.len()).min_by(|a, b| near(places.rows[*a]).total_cmp(&near(places.rows[*b])));
        written.wanting.push((row.unwrap_or(0), gauge % 2 == 0));
        return;
    };
    taken.hard.push(hung.circle.grown(3.0));
    taken.hard.push(text.grown(3.0));
    taken.hard.push(Rect::about(hung.leader.0, hung.leader.1).grown(2.0));
    written.labels.push(Label { of: Of::Gauge(gauge), rect: text, lines: names, upright: false, above: false });
    written.gauges.push(hung);
}

/// Distance, hold, middle of the circle and cost of every spot along a line.
fn spots(a: Point, b: Point, side: Option<Side>) -> Vec<(f64, Point, Point, f64)> {
    let long = length((a, b));
    let count = (long / 10.0).floor() as usize;
    let across = a.1 == b.1;
    let mut found = Vec::new();
    for step in 0..=count {
        let share = if count == 0 { 0.5 } else { step as f64 / count as f64 };
        let inner = (share * long).min((1.0 - share) * long);
        if inner < 6.0 {
            continue;
        }
        let at = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
        for reach in REACH {
            let off = 0.12 * (share - 0.5).abs() * long;
            for (sign, of) in [(-1.0, [Side::Top, Side::Left]), (1.0, [Side::Bottom, Side::Right])] {
                if side.is_some_and(|side| side != of[usize::from(!across)]) {
                    continue;
                }
                let middle = if across { (at.0, at.1 + sign * reach) } else { (at.0 + sign * reach, at.1) };
                found.push((reach, at, middle, reach + off + if sign > 0.0 { 4.0 } else { 0.0 }));
            }
        }
    }
    found
}

/// The name of each lane, before its first piece.
fn lanes(sheet: &Sheet, places: &Places, taken: &mut Taken, written: &mut Written) {
    for (circuit, row) in &sheet.rows.lanes {
        let here = (0..sheet.graph.pieces.len()).filter(|p| {
            sheet.rows.of[*p] == *row && sheet.graph.pieces[*p].home == *circuit && !sheet.graph.pieces[*p].symbol.block
        });
        let Some(first) = here.min_by_key(|p| sheet.columns.of[*p]).map(|p| places.boxes[p]) else { continue };
        let text = super::title_of(*circuit);
        let (w, h) = (width(text) * 1.08, LINE + 2.0);
        let (_, middle) = first.middle();
        let above = (0..6).map(|k| (first.x, first.y - FREE - h - f64::from(k) * 8.0));
        let left = (0..4).map(|k| (first.x - w - 8.0, middle - h - 6.0 - f64::from(k) * 8.0));
        let spots = left.chain(above).map(|(x, y)| Rect { x, y, w, h });
        if let Some(rect) = spots.into_iter().find(|rect| rect.x > 4.0 && rect.y > 4.0 && taken.free(rect)) {
            taken.hard.push(rect.grown(2.0));
            written.labels.push(Label { of: Of::Lane(*circuit), rect, lines: vec![text.into()], upright: false, above: false });
        }
    }
}

/// Letters of the contents along the longer runs.
fn contents(runs: &[Run], taken: &mut Taken, written: &mut Written) {
    let mut pieces: Vec<(Circuit, Point, Point)> = runs
        .iter()
        .flat_map(|run| run.points.windows(2).map(|pair| (run.circuit, pair[0], pair[1])))
        .filter(|(circuit, a, b)| !letters_of(*circuit).is_empty() && length((*a, *b)) > 34.0)
        .collect();
    pieces.sort_by(|a, b| length((b.1, b.2)).total_cmp(&length((a.1, a.2))));
    let mut done: Vec<(Circuit, Point)> = Vec::new();
    for (circuit, a, b) in pieces {
        let wide = width(letters_of(circuit));
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
                let lines = vec![letters_of(circuit).into()];
                written.labels.push(Label { of: Of::Letters(circuit), rect, lines, upright, above: false });
                break;
            }
        }
    }
}
