//! How a piece is turned in its cell: against the page on a return run, over if its pipes go up, ports in the order in
//! which their pipes leave.

use super::choice::Choice;
use super::columns::Columns;
use super::graph::{Graph, Side};
use super::rows::Rows;

/// Turns every piece.
pub(super) fn turn(graph: &mut Graph, columns: &Columns, rows: &Rows, choice: &Choice) {
    let block = graph.block();
    for piece in (0..graph.pieces.len()).filter(|p| Some(*p) != block) {
        let ports = graph.pieces[piece].ports.clone();
        let (width, height) = graph.pieces[piece].symbol.size;
        if columns.returning[piece] {
            graph.pieces[piece].mirrored = true;
            for port in &ports {
                let port = &mut graph.ports[*port];
                port.at.0 = width - port.at.0;
                port.side = match port.side {
                    Side::Left => Side::Right,
                    Side::Right => Side::Left,
                    other => other,
                };
            }
        }
        let upright: Vec<usize> = ports
            .iter()
            .copied()
            .filter(|p| matches!(graph.ports[*p].side, Side::Top | Side::Bottom) && !columns.hanging[piece])
            .collect();
        let up = upright.iter().filter(|p| goes_up(graph, rows, **p)).count();
        let is_up = upright.iter().any(|p| graph.ports[*p].side == Side::Top);
        let wants = if up * 2 == upright.len() { is_up } else { up * 2 > upright.len() };
        let wants = wants != choice.over.contains(&piece);
        if wants != is_up && !upright.is_empty() {
            graph.pieces[piece].flipped = true;
            for port in &ports {
                let port = &mut graph.ports[*port];
                port.at.1 = height - port.at.1;
                port.side = match port.side {
                    Side::Top => Side::Bottom,
                    Side::Bottom => Side::Top,
                    other => other,
                };
            }
        }
        if let [first, second] = upright[..] {
            let (a, b) = (towards(graph, columns, first), towards(graph, columns, second));
            let ordered = graph.ports[first].at.0 < graph.ports[second].at.0;
            if ((a < b && !ordered) || (a > b && ordered)) != choice.swapped.contains(&piece) {
                let kept = graph.ports[first].at;
                graph.ports[first].at = graph.ports[second].at;
                graph.ports[second].at = kept;
            }
        }
    }
}

/// Lets a block's ports look to the side on which all their pipes go.
pub(super) fn face(graph: &mut Graph, columns: &Columns) {
    let Some(block) = graph.block() else { return };
    let here = columns.of[block];
    let width = graph.pieces[block].symbol.size.0;
    for port in graph.pieces[block].ports.clone() {
        let ends = others(graph, port);
        let all = |on_side: fn(usize, usize) -> bool| {
            !ends.is_empty() && ends.iter().all(|end| on_side(columns.of[graph.ports[*end].piece], here))
        };
        let (right, left) = (all(|a, b| a > b), all(|a, b| a < b));
        let port = &mut graph.ports[port];
        if right {
            (port.side, port.at.0) = (Side::Right, width);
        } else if left {
            (port.side, port.at.0) = (Side::Left, 0.0);
        }
    }
}

/// Pieces at the other ends of a port's pipe.
fn others(graph: &Graph, port: usize) -> Vec<usize> {
    let this = &graph.ports[port];
    let ends = if this.enters { &graph.nets[this.net].sources } else { &graph.nets[this.net].sinks };
    ends.iter().copied().filter(|end| graph.ports[*end].piece != this.piece).collect()
}

fn goes_up(graph: &Graph, rows: &Rows, port: usize) -> bool {
    let row = |port: &usize| rows.ports.get(port).copied().unwrap_or(rows.of[graph.ports[*port].piece]);
    let here = row(&port);
    let ends = others(graph, port);
    let above = ends.iter().filter(|end| row(end) < here).count();
    let below = ends.iter().filter(|end| row(end) > here).count();
    let at_top = graph.ports[port].side == Side::Top;
    if above == below { at_top } else { above > below }
}

/// The column a pipe goes to.
fn towards(graph: &Graph, columns: &Columns, port: usize) -> usize {
    others(graph, port).iter().map(|end| columns.of[graph.ports[*end].piece]).min().unwrap_or(0)
}
