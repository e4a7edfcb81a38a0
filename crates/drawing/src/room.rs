//! How much room rows and columns need for what is written: as little as will do.

use super::Run;
use super::graph::Side;
use super::runs::{runs, ways};
use super::sheet::{Places, Room, Sheet};
use super::writing::{Want, Written, label_size, write};
use plant::plant::Plant;
use std::cmp::Ordering;

/// Rounds of making room.
const ROUNDS: usize = 40;
/// Room that is tried at a time [px].
const STEPS: [f64; 4] = [14.0, 32.0, 60.0, 110.0];
/// Room that is given or taken back at a time [px].
const CHANGES: [f64; 3] = [-24.0, -8.0, 16.0];
/// Area [px²] that weighs as much as a pixel that a label stands off.
const AREA: f64 = 600.0;
/// Pixels that a leader across a pipe weighs.
const POOR: f64 = 120.0;

type Laid = (Places, Vec<Run>, Written);

/// Where room can be.
#[derive(Copy, Clone)]
enum Spare {
    Above(usize),
    Below(usize),
    Wide(usize),
    Beside(usize),
}

/// Lays out with room for everything, and takes back what is not needed.
pub(super) fn settle(plant: &Plant, sheet: &Sheet) -> Laid {
    let ways = ways(sheet);
    let lay = |room: &Room| {
        let places = sheet.places(room);
        let runs = runs(sheet, &places, &ways);
        let written = write(plant, sheet, &places, &runs);
        (places, runs, written)
    };
    let mut room = first_room(plant, sheet);
    let mut laid = lay(&room);
    for _ in 0..ROUNDS {
        let Some(want) = laid.2.wanting.iter().find(|want| !want.poor) else { break };
        let tried = choices(want).into_iter().flat_map(|spare| STEPS.map(|step| changed(&room, spare, step)));
        let best = tried.map(|room| (lay(&room), room)).min_by(|a, b| better(&a.0, &b.0));
        let Some(best) = best.filter(|best| missing(&best.0) < missing(&laid)) else {
            // Nothing helps by itself: room on every side, of which what is not needed is taken back.
            room = choices(want).into_iter().fold(room, |room, spare| changed(&room, spare, STEPS[2]));
            laid = lay(&room);
            continue;
        };
        (laid, room) = best;
    }
    improve(sheet, &lay, &mut room, &mut laid);
    laid
}

/// What has no place.
fn missing(laid: &Laid) -> usize {
    laid.2.wanting.iter().filter(|want| !want.poor).count()
}

/// What is missing first, then how large and how clear it is.
fn better(a: &Laid, b: &Laid) -> Ordering {
    let cost = |laid: &Laid| {
        let poor = laid.2.wanting.iter().filter(|want| want.poor).count();
        laid.0.size.0 * laid.0.size.1 / AREA + laid.2.astray + poor as f64 * POOR
    };
    missing(a).cmp(&missing(b)).then(cost(a).total_cmp(&cost(b)))
}

/// Gives and takes room as long as that is better.
fn improve(sheet: &Sheet, lay: &impl Fn(&Room) -> Laid, room: &mut Room, laid: &mut Laid) {
    let rows = (0..room.above.len()).flat_map(|row| [Spare::Above(row), Spare::Below(row)]);
    let columns = (0..room.wide.len()).flat_map(|column| [Spare::Beside(column), Spare::Wide(column)]);
    for spare in rows.chain(columns) {
        let least = match spare {
            Spare::Wide(column) => sheet.widest(column),
            _ => 0.0,
        };
        for step in CHANGES {
            while value(room, spare) + step >= least {
                let other = changed(room, spare, step);
                let tried = lay(&other);
                if better(&tried, laid) != Ordering::Less {
                    break;
                }
                (*room, *laid) = (other, tried);
            }
        }
    }
}

fn choices(want: &Want) -> Vec<Spare> {
    let rows = want.rows.iter().flat_map(|row| [Spare::Above(*row), Spare::Below(*row)]);
    rows.chain(want.columns.iter().map(|column| Spare::Beside(*column))).collect()
}

fn slot(room: &mut Room, spare: Spare) -> Option<&mut f64> {
    match spare {
        Spare::Above(row) => room.above.get_mut(row),
        Spare::Below(row) => room.below.get_mut(row),
        Spare::Wide(column) => room.wide.get_mut(column),
        Spare::Beside(column) => room.beside.get_mut(column),
    }
}

fn value(room: &Room, spare: Spare) -> f64 {
    slot(&mut room.clone(), spare).map_or(0.0, |value| *value)
}

fn changed(room: &Room, spare: Spare, by: f64) -> Room {
    let mut room = room.clone();
    if let Some(value) = slot(&mut room, spare) {
        *value += by;
    }
    room
}

/// Columns as wide as what stands in them, with room for their labels.
fn first_room(plant: &Plant, sheet: &Sheet) -> Room {
    let columns = sheet.columns.of.iter().max().map_or(1, |last| last + 1);
    let rows = sheet.rows.count;
    let mut room =
        Room { above: vec![8.0; rows], below: vec![8.0; rows], wide: vec![24.0; columns], beside: vec![0.0; columns] };
    for part in 0..plant.parts.len() {
        let (column, row) = (sheet.columns.of[part], sheet.rows.of[part]);
        let (wide, high) = label_size(plant, part);
        let symbol = plant.parts[part].kind.symbol;
        room.wide[column] = room.wide[column].max(symbol.size.0).max(wide - 18.0);
        if symbol.block {
            continue;
        }
        let below = sheet.graph.pieces[part].ports.iter().any(|p| sheet.graph.ports[*p].side == Side::Bottom);
        let side = if below { &mut room.above[row] } else { &mut room.below[row] };
        *side = side.max(high + 8.0);
    }
    room
}
