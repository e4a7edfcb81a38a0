//! Which row a piece stands in: a lane for each circuit, its longest path first, the others beside it.

use super::columns::Columns;
use super::graph::{Graph, Side};
use parts::kind::Circuit;
use std::collections::{BTreeMap, BTreeSet};

/// A row for each piece, and for each port of the block.
pub(super) struct Rows {
    pub of: Vec<usize>,
    /// For ports of the block, by port.
    pub ports: BTreeMap<usize, usize>,
    /// Uppermost and lowest row of the block.
    pub block: Option<(usize, usize)>,
    /// Lanes with the row their first path lies in.
    pub lanes: Vec<(Circuit, usize)>,
    pub count: usize,
}

/// One lane, its rows counted from its first path, upwards negative.
#[derive(Default)]
struct Lane {
    of: BTreeMap<usize, i32>,
    ports: BTreeMap<usize, i32>,
}

impl Lane {
    fn low(&self) -> i32 {
        self.of.values().chain(self.ports.values()).copied().min().unwrap_or(0).min(0)
    }

    fn high(&self) -> i32 {
        self.of.values().chain(self.ports.values()).copied().max().unwrap_or(0).max(0)
    }

    /// A row free over these columns, the nearest on the wanted side first.
    fn free(&self, columns: &Columns, (from, to): (usize, usize), wanted: &[i32]) -> i32 {
        let taken = |row: i32| self.of.iter().any(|(p, r)| *r == row && (from..=to).contains(&columns.of[*p]));
        wanted.iter().copied().find(|row| !taken(*row)).unwrap_or_else(|| self.high() + 1)
    }
}

const DOWNWARDS: [i32; 9] = [0, 1, -1, 2, -2, 3, 4, 5, 6];
const UPWARDS: [i32; 9] = [0, -1, 1, -2, 2, -3, -4, -5, -6];

impl Rows {
    /// Rows of a graph whose columns are known.
    pub fn of(graph: &Graph, columns: &Columns, order: &[Circuit]) -> Rows {
        let block = graph.block();
        let mut lanes: BTreeMap<Circuit, Lane> = BTreeMap::new();
        for circuit in Circuit::ALL {
            let pieces: Vec<usize> =
                (0..graph.pieces.len()).filter(|p| graph.pieces[*p].home == circuit && Some(*p) != block).collect();
            if !pieces.is_empty() {
                lanes.insert(circuit, lane(graph, columns, &pieces));
            }
        }
        block_ports(graph, columns, &mut lanes);
        stack(graph, columns, &lanes, order)
    }
}

/// The rows of one lane.
fn lane(graph: &Graph, columns: &Columns, pieces: &[usize]) -> Lane {
    let mut lane = Lane::default();
    let forward = |p: &usize| !columns.returning[*p] && !columns.hanging[*p];
    let crossing = |p: &usize| {
        let ports = &graph.pieces[*p].ports;
        forward(p) && ports.iter().any(|port| graph.ports[*port].circuit != graph.pieces[*p].home)
    };
    let wanted = if pieces.iter().any(crossing) { UPWARDS } else { DOWNWARDS };
    let mut left: BTreeSet<usize> = pieces.iter().copied().filter(forward).collect();
    while !left.is_empty() {
        let path = longest(graph, columns, &left);
        let ends = path.iter().map(|p| columns.of[*p]);
        let span = (ends.clone().min().unwrap_or(0), ends.max().unwrap_or(0));
        let row = lane.free(columns, span, &wanted);
        for piece in path {
            left.remove(&piece);
            lane.of.insert(piece, row);
        }
    }
    for upper in [true, false] {
        let goes_above = |p: &usize| {
            let nets = graph.pieces[*p].ports.iter().map(|port| &graph.nets[graph.ports[*port].net]);
            nets.into_iter().any(|net| !net.hanging.is_empty())
        };
        let rest = pieces.iter().filter(|p| columns.returning[**p] && (upper == goes_above(p)));
        let rest: Vec<usize> = rest.copied().collect();
        for piece in rest {
            let beyond: Vec<i32> = if upper { (1..9).map(|k| -k).collect() } else { (1..9).collect() };
            let row = lane.free(columns, (columns.of[piece], columns.of[piece]), &beyond);
            lane.of.insert(piece, row);
        }
    }
    for piece in pieces.iter().filter(|p| columns.hanging[**p]) {
        let row = lane.low() - 1;
        lane.of.insert(*piece, row);
    }
    lane
}

/// The longest chain among these pieces, by its pieces' columns the leftmost.
fn longest(graph: &Graph, columns: &Columns, among: &BTreeSet<usize>) -> Vec<usize> {
    let mut order: Vec<usize> = among.iter().copied().collect();
    order.sort_by_key(|p| std::cmp::Reverse((columns.of[*p], *p)));
    let edges: Vec<(usize, usize)> = graph
        .edges()
        .filter(|(a, b, _)| among.contains(a) && among.contains(b) && columns.of[*a] < columns.of[*b])
        .map(|(a, b, _)| (a, b))
        .collect();
    let mut tail: BTreeMap<usize, (usize, Option<usize>)> = BTreeMap::new();
    for piece in order {
        let next = edges.iter().filter(|(a, _)| *a == piece).map(|(_, b)| (tail[b].0, *b));
        let next = next.max_by_key(|(length, b)| (*length, std::cmp::Reverse(*b)));
        tail.insert(piece, next.map_or((1, None), |(length, b)| (length + 1, Some(b))));
    }
    let first = tail.iter().max_by_key(|(p, (length, _))| (*length, std::cmp::Reverse(**p))).map(|(p, _)| *p);
    std::iter::successors(first, |p| tail[p].1).collect()
}

/// The block's ports stand at the rows of their lanes; a second one on the same side has a row of its own below.
fn block_ports(graph: &Graph, columns: &Columns, lanes: &mut BTreeMap<Circuit, Lane>) {
    let Some(block) = graph.block() else { return };
    let mut taken: BTreeSet<(Circuit, Side, i32)> = BTreeSet::new();
    for port in &graph.pieces[block].ports {
        let this = &graph.ports[*port];
        let lane = lanes.entry(this.circuit).or_default();
        let net = &graph.nets[this.net];
        // Straight across to the partner if it stands on this side of the block and in this lane.
        let on_side = |p: usize| match this.side {
            Side::Left => columns.of[p] < columns.of[block],
            _ => columns.of[p] > columns.of[block],
        };
        let partner = net.ends().map(|end| graph.ports[end].piece).filter(|p| *p != block && on_side(*p));
        let shared = net.node.is_none() || net.ends().count() == 2;
        let row = { partner }.find_map(|p| lane.of.get(&p).copied()).filter(|_| shared && !net.returns);
        let row =
            Some(row.unwrap_or(0)).filter(|row| !taken.contains(&(this.circuit, this.side, *row)) && !net.returns);
        let row = row.unwrap_or_else(|| lane.high() + 1);
        taken.insert((this.circuit, this.side, row));
        lane.ports.insert(*port, row);
    }
}

/// Lanes one below the other; one wholly before the block and one wholly after it share their height.
fn stack(graph: &Graph, columns: &Columns, lanes: &BTreeMap<Circuit, Lane>, order: &[Circuit]) -> Rows {
    let block = graph.block();
    let middle = block.map_or(usize::MAX, |block| columns.of[block]);
    let sides = |lane: &Lane| {
        let left = lane.of.keys().any(|p| columns.of[*p] <= middle)
            || lane.ports.keys().any(|p| graph.ports[*p].side == Side::Left);
        let right = lane.of.keys().any(|p| columns.of[*p] >= middle)
            || lane.ports.keys().any(|p| graph.ports[*p].side == Side::Right);
        (left, right)
    };
    let mut bands: Vec<(Vec<Circuit>, bool, bool)> = Vec::new();
    for circuit in order.iter().filter(|circuit| lanes.contains_key(circuit)) {
        let (left, right) = sides(&lanes[circuit]);
        let fits = |band: &&mut (Vec<Circuit>, bool, bool)| !(band.1 && left || band.2 && right);
        // The first lane with room above which no other of this side stands.
        let from = bands.iter().rposition(|band| band.1 && left || band.2 && right).map_or(0, |k| k + 1);
        match bands.iter_mut().skip(from).find(fits) {
            Some(band) => {
                band.0.push(*circuit);
                (band.1, band.2) = (band.1 || left, band.2 || right);
            }
            None => bands.push((vec![*circuit], left, right)),
        }
    }
    let mut rows =
        Rows { of: vec![0; graph.pieces.len()], ports: BTreeMap::new(), block: None, lanes: vec![], count: 0 };
    for (band, _, _) in bands {
        let low = band.iter().map(|c| lanes[c].low()).min().unwrap_or(0);
        let high = band.iter().map(|c| lanes[c].high()).max().unwrap_or(0);
        let place = |row: i32| rows_place(rows.count, row - low);
        for circuit in band {
            let lane = &lanes[&circuit];
            rows.lanes.push((circuit, place(0)));
            lane.of.iter().for_each(|(piece, row)| rows.of[*piece] = place(*row));
            rows.ports.extend(lane.ports.iter().map(|(port, row)| (*port, place(*row))));
        }
        rows.count += (high - low + 1) as usize;
    }
    let spanned = || rows.ports.values().copied();
    rows.block = block.map(|_| (spanned().min().unwrap_or(0), spanned().max().unwrap_or(0)));
    if let (Some(block), Some((top, _))) = (block, rows.block) {
        rows.of[block] = top;
    }
    rows
}

fn rows_place(base: usize, offset: i32) -> usize {
    base + offset.unsigned_abs() as usize
}
