//! Which column a piece stands in: the longest path along the flow, drawn together, rings opened where they return.

use super::graph::{Graph, Side};
use parts::kind::Circuit;

/// A column for each piece, and which pieces lie on a return run, against the flow of the page.
pub(super) struct Columns {
    pub of: Vec<usize>,
    pub returning: Vec<bool>,
    pub hanging: Vec<bool>,
}

impl Columns {
    /// Ranks by longest path; where pipes of one piece would come down upon another, they stand beside each other.
    pub fn of(graph: &Graph, lanes: &[Circuit]) -> Columns {
        let hanging: Vec<bool> = (0..graph.pieces.len())
            .map(|p| {
                let ports = &graph.pieces[p].ports;
                !ports.is_empty() && ports.iter().all(|port| graph.nets[graph.ports[*port].net].hanging.contains(port))
            })
            .collect();
        let returning = returning(graph);
        let ranked: Vec<bool> = (0..graph.pieces.len()).map(|p| !hanging[p] && !returning[p]).collect();
        let mut forward: Vec<(usize, usize, usize)> = graph
            .edges()
            .filter(|(a, b, net)| a != b && ranked[*a] && ranked[*b] && !graph.nets[*net].returns)
            .collect();
        forward.sort_by_key(|(_, _, net)| weight(graph.nets[*net].circuit));
        let mut before: Vec<(usize, usize)> = forward.into_iter().map(|(a, b, _)| (a, b)).collect();
        open_rings(&mut before);
        let edges = before.clone();
        let mut of = ranks(graph.pieces.len(), &before, &edges);
        for _ in 0..graph.pieces.len() {
            let Some((above, below)) = conflict(graph, lanes, &of, &ranked) else { break };
            let choices = [(below, above), (above, below)].map(|apart| {
                let mut tried = before.clone();
                tried.push(apart);
                let rings = open_rings(&mut tried);
                let of = ranks(graph.pieces.len(), &tried, &edges);
                let width = of.iter().max().copied().unwrap_or(0);
                (usize::from(rings) * 1000 + 3 * over(graph, &ranked, &of, above, below) + width, tried, of)
            });
            let Some((_, best, columns)) = choices.into_iter().min_by_key(|(cost, _, _)| *cost) else { break };
            if best == before {
                break;
            }
            (before, of) = (best, columns);
        }
        let mut columns = Columns { of, returning, hanging };
        columns.place_rest(graph);
        columns
    }

    /// Tanks above what they feed, return pieces where their run comes past, what is joined to nothing in a row.
    fn place_rest(&mut self, graph: &Graph) {
        for piece in 0..graph.pieces.len() {
            if self.hanging[piece] {
                let net = &graph.nets[graph.ports[graph.pieces[piece].ports[0]].net];
                self.of[piece] = net.sinks.first().map_or(0, |port| self.of[graph.ports[*port].piece]);
            }
        }
        for _ in 0..graph.pieces.len() {
            for piece in (0..graph.pieces.len()).filter(|p| self.returning[*p]) {
                let from = graph.edges().find(|(_, to, _)| *to == piece);
                let Some((source, _, net)) = from else { continue };
                let leaves = graph.nets[net].sources.iter().find(|p| graph.ports[**p].piece == source);
                let beside = leaves.is_some_and(|p| graph.ports[*p].side == Side::Right) && !self.returning[source];
                self.of[piece] = if beside { self.of[source] } else { self.of[source].saturating_sub(1) };
            }
        }
        let mut taken = 0;
        for piece in 0..graph.pieces.len() {
            if graph.pieces[piece].ports.is_empty() && !graph.pieces[piece].symbol.block {
                self.of[piece] = taken;
                taken += 1;
            }
        }
    }
}

/// Pieces of one circuit from which the flow only goes back to where its ring begins.
fn returning(graph: &Graph) -> Vec<bool> {
    let edges: Vec<(usize, usize, usize)> = graph.edges().collect();
    let mut returning = vec![false; graph.pieces.len()];
    loop {
        let before = returning.clone();
        for piece in 0..graph.pieces.len() {
            let ports = graph.pieces[piece].ports.iter().map(|port| &graph.ports[*port]);
            let simple = ports.clone().count() == 2 && ports.clone().all(|p| p.circuit == graph.pieces[piece].home);
            let mut out = edges.iter().filter(|(from, _, _)| *from == piece).peekable();
            let goes = out.peek().is_some();
            returning[piece] = simple && goes && out.all(|(_, to, net)| graph.nets[*net].returns || returning[*to]);
        }
        if returning == before {
            return returning;
        }
    }
}

/// Takes out what closes a ring with what stands before it; whether there was anything.
fn open_rings(edges: &mut Vec<(usize, usize)>) -> bool {
    let mut kept: Vec<(usize, usize)> = Vec::with_capacity(edges.len());
    for (a, b) in edges.iter() {
        if !leads(&kept, *b, *a) {
            kept.push((*a, *b));
        }
    }
    let taken = kept.len() < edges.len();
    *edges = kept;
    taken
}

/// Whether edges lead from one piece to another.
fn leads(edges: &[(usize, usize)], from: usize, to: usize) -> bool {
    let mut seen = vec![from];
    let mut at = 0;
    while let Some(here) = seen.get(at).copied() {
        if here == to {
            return true;
        }
        at += 1;
        for (_, next) in edges.iter().filter(|(a, _)| *a == here) {
            if !seen.contains(next) {
                seen.push(*next);
            }
        }
    }
    false
}

/// What stays from left to right if not everything can: first the sea water, last what goes round by itself.
fn weight(circuit: Circuit) -> u8 {
    match circuit {
        Circuit::RawWater => 0,
        Circuit::FreshWater => 1,
        Circuit::Exhaust => 2,
        Circuit::Oil => 3,
        Circuit::Drive => 4,
        Circuit::Fuel | Circuit::Air | Circuit::Bilge | Circuit::Charging | Circuit::Gauges => 5,
        Circuit::GearOil => 6,
    }
}

/// Longest path from the left; then what has as many ways on as ways in moves to the right, beside what it feeds.
fn ranks(count: usize, before: &[(usize, usize)], edges: &[(usize, usize)]) -> Vec<usize> {
    let mut of = vec![0usize; count];
    for _ in 0..count {
        let mut moved = false;
        for (a, b) in before {
            if of[*b] < of[*a] + 1 {
                of[*b] = of[*a] + 1;
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_key(|p| std::cmp::Reverse(of[*p]));
    for piece in order {
        let ways_in = edges.iter().filter(|(_, b)| *b == piece).count();
        let ways_on = edges.iter().filter(|(a, _)| *a == piece).count();
        let next = before.iter().filter(|(a, _)| *a == piece).map(|(_, b)| of[*b]).min();
        if let Some(next) = next.filter(|_| ways_on > 0 && ways_on >= ways_in) {
            of[piece] = next.saturating_sub(1).max(of[piece]);
        }
    }
    of
}

/// Lanes that pipes from this piece's upper or lower side lead through, both ends excluded.
fn passes(graph: &Graph, lanes: &[Circuit], piece: usize) -> Option<(usize, usize)> {
    let place = |circuit: Circuit| lanes.iter().position(|lane| *lane == circuit).unwrap_or(0);
    let own = graph.pieces[piece].home;
    let home = place(own);
    let ports = graph.pieces[piece].ports.iter().map(|port| &graph.ports[*port]);
    let down = ports.filter(|port| matches!(port.side, Side::Top | Side::Bottom) && port.circuit != own);
    let far = down.flat_map(|port| {
        let net = &graph.nets[port.net];
        net.ends()
            .map(|end| place(graph.pieces[graph.ports[end].piece].home))
            .filter(|lane| *lane != home)
            .collect::<Vec<_>>()
    });
    let far = far.max()?;
    Some((home.min(far), home.max(far)))
}

/// A piece that stands where the block does.
fn within(graph: &Graph, lanes: &[Circuit], of: &[usize], ranked: &[bool], block: usize) -> Option<usize> {
    let place = |circuit: Circuit| lanes.iter().position(|lane| *lane == circuit).unwrap_or(0);
    let served = graph.pieces[block].ports.iter().map(|port| place(graph.ports[*port].circuit));
    let (first, last) = (served.clone().min()?, served.max()?);
    (0..graph.pieces.len()).find(|p| {
        let piece = &graph.pieces[*p];
        let lane = place(piece.home);
        *p != block && ranked[*p] && of[*p] == of[block] && !piece.ports.is_empty() && (first..=last).contains(&lane)
    })
}

/// A piece whose pipes come down upon another in its column, and that other.
fn conflict(graph: &Graph, lanes: &[Circuit], of: &[usize], ranked: &[bool]) -> Option<(usize, usize)> {
    let block = graph.block();
    if let Some(within) = block.and_then(|block| within(graph, lanes, of, ranked, block)) {
        return block.map(|block| (block, within));
    }
    for above in (0..graph.pieces.len()).filter(|p| Some(*p) != block && ranked[*p]) {
        let Some((top, bottom)) = passes(graph, lanes, above) else { continue };
        let below = (0..graph.pieces.len()).find(|p| {
            let home = lanes.iter().position(|lane| *lane == graph.pieces[*p].home).unwrap_or(0);
            let between = (top < home && home < bottom) || Some(*p) == block;
            *p != above && ranked[*p] && between && of[*p] == of[above] && !graph.pieces[*p].ports.is_empty()
        });
        if let Some(below) = below {
            return Some((above, below));
        }
    }
    None
}

/// Pipes of `below` that would run through under `above`; past a block, which they go round, each counts double and
/// those of all pieces count.
fn over(graph: &Graph, ranked: &[bool], of: &[usize], above: usize, below: usize) -> usize {
    let column = of[above];
    let past = |a: usize, b: usize| {
        ranked[a] && ranked[b] && ((of[a] < column && of[b] > column) || (of[a] > column && of[b] < column))
    };
    if Some(above) == graph.block() {
        return 2 * graph.edges().filter(|(a, b, _)| past(*a, *b)).count();
    }
    graph.edges().filter(|(a, b, _)| (*a == below || *b == below) && past(*a, *b)).count()
}
