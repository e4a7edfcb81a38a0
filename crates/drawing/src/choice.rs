//! What the rules leave open (the order of lanes, which pieces are turned over), settled by what the runs then cost.

use super::graph::{Graph, Side};
use super::sheet::Sheet;
use parts::kind::Circuit;

/// Rounds over all that can be chosen.
const ROUNDS: usize = 2;

/// One way of drawing a plant.
#[derive(Clone, PartialEq)]
pub(super) struct Choice {
    /// Lanes from above.
    pub lanes: Vec<Circuit>,
    /// Pieces turned over against the rule.
    pub over: Vec<usize>,
    /// Pieces whose two pipes on one side have changed places.
    pub swapped: Vec<usize>,
}

/// The cheapest sheet found from the usual one by one change at a time.
pub(super) fn best(graph: &Graph) -> Sheet {
    let mut choice = Choice { lanes: Circuit::ALL.to_vec(), over: vec![], swapped: vec![] };
    let mut sheet = Sheet::new(graph.clone(), &choice, 0);
    let mut least = sheet.cost().unwrap_or(u32::MAX);
    for _ in 0..ROUNDS {
        let before = choice.clone();
        for change in changes(graph, &choice) {
            let changed = change.made(&choice);
            let tried = Sheet::new(graph.clone(), &changed, sheet.tracks);
            if let Some(cost) = tried.cost().filter(|cost| *cost < least) {
                (choice, sheet, least) = (changed, tried, cost);
            }
        }
        if choice == before {
            break;
        }
    }
    sheet
}

enum Change {
    /// Another place for a lane.
    Lane(Circuit, usize),
    /// A piece turned over.
    Over(usize),
    /// A piece with its two pipes on one side in the other order.
    Swapped(usize),
}

impl Change {
    fn made(&self, choice: &Choice) -> Choice {
        let mut choice = choice.clone();
        match self {
            Change::Lane(circuit, place) => {
                choice.lanes.retain(|lane| lane != circuit);
                choice.lanes.insert(*place, *circuit);
            }
            Change::Over(piece) => toggle(&mut choice.over, *piece),
            Change::Swapped(piece) => toggle(&mut choice.swapped, *piece),
        }
        choice
    }
}

fn toggle(pieces: &mut Vec<usize>, piece: usize) {
    let before = pieces.len();
    pieces.retain(|p| *p != piece);
    if pieces.len() == before {
        pieces.push(piece);
    }
}

fn changes(graph: &Graph, choice: &Choice) -> Vec<Change> {
    let upright = |p: usize| {
        let ports = &graph.pieces[p].ports;
        ports.iter().filter(|port| matches!(graph.ports[**port].side, Side::Top | Side::Bottom)).count()
    };
    let pieces = || (0..graph.pieces.len()).filter(|p| !graph.pieces[*p].symbol.block);
    let turned = pieces().filter(|p| upright(*p) > 0).map(Change::Over);
    let swapped = pieces().filter(|p| upright(*p) == 2).map(Change::Swapped);
    let is_used = |c: &Circuit| {
        graph.pieces.iter().any(|piece| piece.home == *c && !piece.ports.is_empty() && !piece.symbol.block)
    };
    let places: Vec<usize> = (0..choice.lanes.len()).filter(|k| is_used(&choice.lanes[*k])).collect();
    // The first lane is where a reader begins: sea water comes in there.
    let moved = places.iter().skip(1).flat_map(|from| {
        let others = places.iter().skip(1).filter(move |to| *to != from);
        others.map(|to| Change::Lane(choice.lanes[*from], *to))
    });
    turned.chain(swapped).chain(moved).collect()
}
