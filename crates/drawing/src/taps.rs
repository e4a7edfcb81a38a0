//! Where gauges hang: those of one tap together, one below the other, on one leader.

use super::graph::Side;
use super::runs::length;
use super::shape::{LINE, Rect, broken, width};
use super::sheet::{Places, Sheet};
use super::writing::{Taken, Want, Written};
use super::{Hung, Label, Of, Point, Run, Stands};
use measure::quantity::Quantity;
use parts::kind::{Beyond, When};
use plant::plant::{FlowId, Gauge, NodeId, Part, Plant, Tap, Terminal};

/// Room kept for a value beside its gauge: figures, a unit and a word [px].
const VALUE: f64 = 84.0;
/// Distances of the first circle's middle from what it looks at [px].
const REACH: [f64; 7] = [22.0, 31.0, 42.0, 56.0, 76.0, 100.0, 130.0];
/// Most gauges that hang on one leader.
const MOST: usize = 4;
/// Distance of neighbouring places along what is looked at [px].
const STEP: f64 = 10.0;
/// Half the size of a circle [px].
const CIRCLE: f64 = 14.0;
/// Least distance of the middles of two circles of a tap [px].
const APART: f64 = 32.0;
/// A gauge's name is broken at a hyphen beyond this many characters.
const LONG: usize = 15;
/// What it costs to lead across a pipe [px of leader].
const ACROSS: f64 = 400.0;

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

/// What gauges of one tap look at.
#[derive(Copy, Clone, PartialEq)]
enum Hold {
    Node(NodeId),
    Flow(FlowId),
    Part(usize),
}

/// Gauges that hang together.
struct Cluster {
    hold: Hold,
    gauges: Vec<usize>,
    names: Vec<Vec<String>>,
    /// From the middle of the first circle to those of the others [px].
    down: Vec<f64>,
    /// Room for the words of each [px].
    wide: f64,
}

/// A line that a leader can begin on; at a piece's edge only outwards.
type Line = (Point, Point, Option<Side>);

/// Hangs every gauge.
pub(super) fn hang(
    plant: &Plant,
    sheet: &Sheet,
    places: &Places,
    runs: &[Run],
    taken: &mut Taken,
    written: &mut Written,
) {
    for cluster in clusters(plant, sheet) {
        let lines = holds(plant, sheet, places, runs, cluster.hold);
        match nearest(&lines, &cluster, places, taken) {
            Some(spot) => {
                put(&cluster, &spot, taken, written);
                if spot.cost > ACROSS {
                    written.wanting.push(Want { poor: true, ..want(plant, sheet, cluster.hold) });
                }
            }
            None => written.wanting.push(want(plant, sheet, cluster.hold)),
        }
    }
}

/// The cheapest spot along these lines.
fn nearest(lines: &[Line], cluster: &Cluster, places: &Places, taken: &Taken) -> Option<Spot> {
    let mut best: Option<Spot> = None;
    for reach in REACH {
        if best.as_ref().is_some_and(|best| best.cost <= reach) {
            break;
        }
        let mut spots: Vec<Spot> = lines.iter().flat_map(|line| spots(*line, cluster, reach)).collect();
        spots.sort_by(|a, b| a.cost.total_cmp(&b.cost));
        for spot in spots {
            if best.as_ref().is_some_and(|best| best.cost <= spot.cost) {
                break;
            }
            let fitted = fitted(spot, cluster, places, taken);
            if let Some(spot) = fitted.filter(|spot| best.as_ref().is_none_or(|best| spot.cost < best.cost)) {
                best = Some(spot);
            }
        }
    }
    best
}

fn clusters(plant: &Plant, sheet: &Sheet) -> Vec<Cluster> {
    let mut found: Vec<Cluster> = Vec::new();
    for (gauge, this) in plant.gauges.iter().enumerate() {
        let hold = match this.tap {
            Tap::Pressure(node) | Tap::Voltage(node) | Tap::Temperature(node) => Hold::Node(node),
            Tap::Flow(flow) | Tap::Meter(flow) => Hold::Flow(flow),
            Tap::Drop(flow) => Hold::Part(plant.flows[flow.0].part.0),
            Tap::Unknown(part, _) => Hold::Part(part.0),
            Tap::Sea => {
                let sea = plant
                    .flows
                    .iter()
                    .find(|flow| flow.from == Terminal::Sea && flow.to != Terminal::Air)
                    .map(|flow| flow.part.0);
                // Where none is taken in, what gives its heat to it through the hull.
                Hold::Part(sea.or_else(|| plant.parts.iter().position(lies_in_the_sea)).unwrap_or(0))
            }
            Tap::Air => Hold::Part(sheet.graph.block().unwrap_or(0)),
        };
        let names = broken(&this.name, LONG);
        match found.iter_mut().find(|cluster| cluster.hold == hold && cluster.gauges.len() < MOST) {
            Some(cluster) => {
                cluster.gauges.push(gauge);
                cluster.names.push(names);
            }
            None => {
                found.push(Cluster { hold, gauges: vec![gauge], names: vec![names], down: vec![], wide: VALUE });
            }
        }
    }
    for cluster in &mut found {
        let mut at = 0.0;
        for (k, names) in cluster.names.iter().enumerate() {
            if k > 0 {
                at += (f64::midpoint(high(names), high(&cluster.names[k - 1])) + 2.0).max(APART);
            }
            cluster.down.push(at);
            cluster.wide = names.iter().map(|line| width(line)).fold(cluster.wide, f64::max);
        }
    }
    found
}

/// Only its wall is between what it holds and the sea.
fn lies_in_the_sea(part: &Part) -> bool {
    part.kind.walls.iter().any(|wall| wall.beyond == Beyond::Sea)
}

/// Room for a name and a value [px].
fn high(names: &[String]) -> f64 {
    LINE * (names.len() + 1) as f64
}

/// Pieces of pipe of a node or flow, or the edges of a part.
fn holds(plant: &Plant, sheet: &Sheet, places: &Places, runs: &[Run], hold: Hold) -> Vec<Line> {
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
    match hold {
        Hold::Node(node) => {
            let of_node = runs.iter().filter(|run| sheet.graph.nets[run.net].node == Some(node));
            let found: Vec<Line> = of_node.flat_map(|run| run.points.windows(2).map(|p| (p[0], p[1], None))).collect();
            if found.is_empty() { piece_of(plant, node).map_or(vec![], edges) } else { found }
        }
        Hold::Flow(flow) => {
            let ports = sheet.graph.ports.iter().filter(|port| port.flow == Some(flow) && port.net != usize::MAX);
            let ends = ports.filter_map(|port| {
                let own = |(piece, name): &(usize, String)| *piece == port.piece && *name == port.name;
                let run = runs.iter().find(|run| own(&run.from) || own(&run.to))?;
                let last = run.points.len() - 1;
                let at = if own(&run.from) { (0, 1) } else { (last - 1, last) };
                Some((run.points[at.0], run.points[at.1], None))
            });
            let found: Vec<Line> = ends.collect();
            if found.is_empty() { edges(plant.flows[flow.0].part.0) } else { found }
        }
        Hold::Part(part) => edges(part),
    }
}

/// A piece that a node without pipes is in.
fn piece_of(plant: &Plant, node: NodeId) -> Option<usize> {
    let pool = plant.pools.iter().find(|pool| pool.node == node).map(|pool| pool.part.0);
    let ends = |flow: &&plant::plant::Flow| [flow.from, flow.to].contains(&Terminal::Node(node));
    pool.or_else(|| plant.flows.iter().find(ends).map(|flow| flow.part.0))
}

fn want(plant: &Plant, sheet: &Sheet, hold: Hold) -> Want {
    let pieces: Vec<usize> = match hold {
        Hold::Part(part) => vec![part],
        Hold::Flow(flow) => vec![plant.flows[flow.0].part.0],
        Hold::Node(node) => {
            let nets = sheet.graph.nets.iter().filter(|net| net.node == Some(node));
            let ends: Vec<usize> =
                nets.flat_map(|net| net.ends().map(|end| sheet.graph.ports[end].piece).collect::<Vec<_>>()).collect();
            if ends.is_empty() { piece_of(plant, node).into_iter().collect() } else { ends }
        }
    };
    let mut rows: Vec<usize> = pieces.iter().map(|p| sheet.rows.of[*p]).collect();
    let mut columns: Vec<usize> =
        pieces.iter().flat_map(|p| [sheet.columns.of[*p], sheet.columns.of[*p] + 1]).collect();
    rows.sort_unstable();
    rows.dedup();
    columns.sort_unstable();
    columns.dedup();
    Want { rows, columns, poor: false }
}

/// A place for a cluster: where the leader begins, the middle of the first circle, where the leader meets the stack.
#[derive(Copy, Clone)]
struct Spot {
    at: Point,
    first: Point,
    upright: bool,
    entry: usize,
    stands: Stands,
    cost: f64,
}

/// Every spot at this reach from a line, from its middle outwards, without regard to what is there.
fn spots((a, b, side): Line, cluster: &Cluster, reach: f64) -> Vec<Spot> {
    let long = length((a, b));
    let margin = if side.is_some() { 2.0 } else { 7.0 };
    let across = a.1 == b.1;
    let last = cluster.down.len() - 1;
    let tall = cluster.down[last];
    let sides = if across { [Side::Top, Side::Bottom] } else { [Side::Left, Side::Right] };
    let mut found = Vec::new();
    let count = ((long / 2.0 - margin).max(0.0) / STEP).floor() as i32;
    for step in -count..=count {
        let off = f64::from(step) * STEP;
        let share = 0.5 + off / long.max(1.0);
        let at = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
        for (before, _) in [true, false].into_iter().zip(sides).filter(|(_, of)| side.is_none_or(|side| side == *of)) {
            let cost = reach + 0.1 * off.abs();
            if across {
                let first = (at.0, if before { at.1 - reach - tall } else { at.1 + reach });
                let cost = cost + if before { 0.0 } else { 4.0 };
                let spot = |stands, more| Spot { at, first, upright: true, entry: 0, stands, cost: cost + more };
                found.extend([spot(Stands::Right, 0.0), spot(Stands::Left, 5.0)]);
                if last == 0 {
                    found.push(spot(if before { Stands::Over } else { Stands::Under }, 12.0));
                }
            } else {
                let x = if before { at.0 - reach } else { at.0 + reach };
                let stands = if before { Stands::Left } else { Stands::Right };
                for entry in [0, last] {
                    let first = (x, at.1 - cluster.down[entry]);
                    found.push(Spot { at, first, upright: false, entry, stands, cost });
                }
            }
        }
    }
    found
}

fn circle((x, y): Point) -> Rect {
    Rect { x: x - CIRCLE, y: y - CIRCLE, w: 2.0 * CIRCLE, h: 2.0 * CIRCLE }
}

/// Where the words of the nth gauge are.
fn text_of(cluster: &Cluster, spot: &Spot, nth: usize) -> Rect {
    let (x, y) = (spot.first.0, spot.first.1 + cluster.down[nth]);
    let (w, h) = (cluster.wide, high(&cluster.names[nth]));
    let (x, y) = match spot.stands {
        Stands::Right => (x + CIRCLE + 4.0, y - h / 2.0),
        Stands::Left => (x - CIRCLE - 4.0 - w, y - h / 2.0),
        Stands::Over => (x - w / 2.0, y - CIRCLE - 2.0 - h),
        Stands::Under => (x - w / 2.0, y + CIRCLE + 2.0),
    };
    Rect { x, y, w, h }
}

/// The leader: from the tap to the edge of the circle it meets first.
fn leader(cluster: &Cluster, spot: &Spot) -> (Point, Point) {
    let entry = if spot.upright && spot.at.1 > spot.first.1 { cluster.down.len() - 1 } else { spot.entry };
    let (x, y) = (spot.first.0, spot.first.1 + cluster.down[entry]);
    let step = |from: f64, to: f64| to - CIRCLE * (to - from).signum();
    let end = if spot.upright { (x, step(spot.at.1, y)) } else { (step(spot.at.0, x), y) };
    (spot.at, end)
}

/// The spot with its cost, if nothing is in its way.
fn fitted(spot: Spot, cluster: &Cluster, places: &Places, taken: &Taken) -> Option<Spot> {
    let (from, to) = leader(cluster, &spot);
    let share = 6.0 / length((from, to)).max(6.0);
    let begin = (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share);
    let line = Rect::about(begin, to).grown(0.5);
    let page = Rect { x: 4.0, y: 4.0, w: places.size.0 - 8.0, h: places.size.1 - 8.0 };
    for nth in 0..cluster.gauges.len() {
        let circle = circle((spot.first.0, spot.first.1 + cluster.down[nth])).grown(1.0);
        let text = text_of(cluster, &spot, nth);
        if !page.holds(&text) || !taken.free(&circle) || !taken.free(&text) || text.meets(&line) {
            return None;
        }
    }
    let clear = taken.bare(&line);
    clear.then(|| Spot { cost: spot.cost + ACROSS * taken.crossed(&line) as f64, ..spot })
}

fn put(cluster: &Cluster, spot: &Spot, taken: &mut Taken, written: &mut Written) {
    let (from, to) = leader(cluster, spot);
    written.astray += length((from, to));
    taken.hard.push(Rect::about(from, to).grown(2.0));
    for (nth, gauge) in cluster.gauges.iter().enumerate() {
        let circle = circle((spot.first.0, spot.first.1 + cluster.down[nth]));
        let text = text_of(cluster, spot, nth);
        taken.hard.extend([circle.grown(3.0), text.grown(2.0)]);
        let lines = cluster.names[nth].clone();
        written.labels.push(Label { of: Of::Gauge(*gauge), rect: text, lines, upright: false, above: false });
        let entry = if spot.upright { to } else { (spot.first.0, to.1) };
        let leader = vec![from, entry, circle.middle()];
        written.gauges.push(Hung { gauge: *gauge, circle, leader, stands: spot.stands });
    }
}
