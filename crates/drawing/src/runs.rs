//! Runs as lines on the page: a line from port to port for each pair of a net, the dots where pipes meet, the arrows.

use super::graph::Side;
use super::sheet::{Places, Sheet};
use super::{Hung, Point, Run};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Shortest piece of pipe that carries an arrow [px].
const ARROW_ROOM: f64 = 22.0;
/// Nearest that two arrows of one pipe stand [px].
const ARROW_APART: f64 = 150.0;

/// Nearest that two arrows stand in one line of pieces [px].
const ARROW_NEXT: f64 = 100.0;

/// A run on the grid: its net, its ports, the vertices it leads through.
pub(super) struct Way {
    net: usize,
    from: usize,
    to: usize,
    through: Vec<usize>,
}

/// Every run on the grid.
pub(super) fn ways(sheet: &Sheet) -> Vec<Way> {
    let nets = sheet.graph.nets.iter().enumerate();
    let pairs = nets.flat_map(|(net, this)| this.pairs().into_iter().map(move |(from, to)| (net, from, to)));
    let found = pairs.filter_map(|(net, from, to)| {
        path(sheet, &sheet.runs[net], from, to).map(|through| Way { net, from, to, through })
    });
    found.collect()
}

/// Every run on the page.
pub(super) fn runs(sheet: &Sheet, places: &Places, ways: &[Way]) -> Vec<Run> {
    let port = |p: usize| (sheet.graph.ports[p].piece, sheet.graph.ports[p].name.clone());
    let run = |way: &Way| {
        let on_grid = way.through.iter().map(|vertex| {
            let (x, y) = sheet.grid.place(*vertex);
            (places.x[x], places.y[y])
        });
        let ends = [port_at(sheet, places, way.from), port_at(sheet, places, way.to)];
        let net = &sheet.graph.nets[way.net];
        Run {
            net: way.net,
            circuit: net.circuit,
            from: port(way.from),
            to: port(way.to),
            standing: net.hanging.contains(&way.from),
            points: simplified(std::iter::once(ends[0]).chain(on_grid).chain([ends[1]]).collect()),
        }
    };
    ways.iter().map(run).collect()
}

/// Where a port is [px].
pub(super) fn port_at(sheet: &Sheet, places: &Places, port: usize) -> Point {
    let this = &sheet.graph.ports[port];
    let corner = places.boxes[this.piece];
    if sheet.graph.pieces[this.piece].symbol.block {
        let x = if this.side == Side::Left { corner.x } else { corner.x + corner.w };
        return (x, places.rows[sheet.row_of(port)]);
    }
    (corner.x + this.at.0, corner.y + this.at.1)
}

/// The vertices from one port to another along what is laid.
fn path(sheet: &Sheet, steps: &[(usize, bool)], from: usize, to: usize) -> Option<Vec<usize>> {
    let mut beside: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (at, across) in steps {
        let next = if *across { at + 1 } else { at + sheet.grid.x.len() };
        beside.entry(*at).or_default().push(next);
        beside.entry(next).or_default().push(*at);
    }
    let (start, goal) = (sheet.terminal(from).at, sheet.terminal(to).at);
    let mut came: BTreeMap<usize, usize> = BTreeMap::from([(goal, goal)]);
    let mut queue = VecDeque::from([goal]);
    while let Some(at) = queue.pop_front() {
        if at == start {
            break;
        }
        for next in beside.get(&at).into_iter().flatten() {
            if !came.contains_key(next) {
                came.insert(*next, at);
                queue.push_back(*next);
            }
        }
    }
    came.contains_key(&start).then(|| {
        let mut path = vec![start];
        while let Some(next) = path.last().filter(|at| **at != goal).and_then(|at| came.get(at)) {
            path.push(*next);
        }
        path
    })
}

/// Without points on the way.
fn simplified(points: Vec<Point>) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    for point in points {
        let on_way = |a: Point, b: Point| (a.0 == b.0 && b.0 == point.0) || (a.1 == b.1 && b.1 == point.1);
        while kept.last() == Some(&point) || kept.len() > 1 && on_way(kept[kept.len() - 2], kept[kept.len() - 1]) {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

/// Dots where three ways of one net meet.
pub(super) fn junctions(sheet: &Sheet, places: &Places) -> Vec<(usize, Point)> {
    let mut found = Vec::new();
    for (net, steps) in sheet.runs.iter().enumerate() {
        let mut ways: BTreeMap<usize, BTreeSet<(bool, bool)>> = BTreeMap::new();
        for (at, across) in steps {
            let next = if *across { at + 1 } else { at + sheet.grid.x.len() };
            ways.entry(*at).or_default().insert((*across, true));
            ways.entry(next).or_default().insert((*across, false));
        }
        for port in sheet.graph.nets[net].ends() {
            let terminal = sheet.terminal(port);
            let on = matches!(sheet.graph.ports[port].side, Side::Right | Side::Bottom);
            ways.entry(terminal.at).or_default().insert((terminal.across, !on));
        }
        for at in ways.iter().filter(|(_, ways)| ways.len() > 2).map(|(at, _)| *at) {
            let (x, y) = sheet.grid.place(at);
            found.push((net, (places.x[x], places.y[y])));
        }
    }
    found
}

/// Arrows along the flow: where, and which way they point.
pub(super) fn arrows(runs: &[Run], gauges: &[Hung]) -> Vec<(usize, Point, Point)> {
    let mut found: Vec<(usize, Point, Point)> = Vec::new();
    let parts: Vec<(usize, Point, Point)> =
        runs.iter().flat_map(|run| run.points.windows(2).map(|pair| (run.net, pair[0], pair[1]))).collect();
    let flows = |run: &&Run| !run.standing && !run.circuit.letters().is_empty();
    for run in runs.iter().filter(flows) {
        let mut pieces: Vec<(Point, Point)> = run.points.windows(2).map(|pair| (pair[0], pair[1])).collect();
        pieces.sort_by(|a, b| length(*b).total_cmp(&length(*a)));
        let mut carried = false;
        for (a, b) in pieces {
            let long = length((a, b));
            let wanted = !carried || long > 2.0 * ARROW_APART;
            if long < ARROW_ROOM || !wanted {
                continue;
            }
            for share in [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8] {
                let at = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
                let near = found.iter().any(|(net, p, _)| *net == run.net && length((*p, at)) < ARROW_APART);
                // Pieces of pipe in one line need no arrow each.
                let along = ((b.0 - a.0) / long, (b.1 - a.1) / long);
                let told = found
                    .iter()
                    .any(|(_, p, way)| *way == along && (p.0 == at.0 || p.1 == at.1) && length((*p, at)) < ARROW_NEXT);
                if told && long < ARROW_NEXT {
                    carried = true;
                    break;
                }
                let meets = parts.iter().any(|(_, c, d)| square(a, b, *c, *d) && reaches(*c, *d, at));
                if near {
                    carried = true;
                    break;
                }
                let tapped = gauges.iter().any(|hung| hung.leader.first().is_some_and(|tap| length((*tap, at)) < 12.0));
                if !meets && !tapped {
                    found.push((run.net, at, ((b.0 - a.0) / long, (b.1 - a.1) / long)));
                    carried = true;
                    break;
                }
            }
        }
    }
    found
}

fn square(a: Point, b: Point, c: Point, d: Point) -> bool {
    (a.1 == b.1) != (c.1 == d.1)
}

/// Whether a piece of pipe comes nearer than an arrow is large.
fn reaches(c: Point, d: Point, at: Point) -> bool {
    super::shape::Rect::about(c, d).grown(9.0).meets(&super::shape::Rect::about(at, at).grown(0.5))
}

pub(super) fn length((a, b): (Point, Point)) -> f64 {
    (a.0 - b.0).abs() + (a.1 - b.1).abs()
}
