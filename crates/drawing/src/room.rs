//! How much room rows and columns need for what is written: as little as will do.

use super::graph::Side;
use super::runs::{runs, ways};
use super::sheet::{Places, Room, Sheet};
use super::writing::{Want, Written, label_size, write};
use super::Run;
use plant::plant::Plant;

/// Rounds of making room.
const ROUNDS: usize = 40;
/// Room that is tried at a time [px].
const STEPS: [f64; 4] = [14.0, 32.0, 60.0, 110.0];
/// Room that is taken back at a time [px].
const BACK: [f64; 2] = [24.0, 8.0];

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
    let mut poor = 0;
    for _ in 0..ROUNDS {
        let missing = |want: &&Want| !want.poor;
        let wanting = &laid.2.wanting;
        let Some(want) = wanting.iter().find(missing).or_else(|| wanting.iter().filter(|w| w.poor).nth(poor)) else {
            break;
        };
        let must = !want.poor;
        let tried = choices(want).into_iter().flat_map(|spare| STEPS.map(|step| (spare, step)));
        let tried = tried.map(|(spare, step)| {
            let room = changed(&room, spare, step);
            let laid = lay(&room);
            let size = laid.0.size;
            (lack(&laid), size.0 * size.1, room, laid)
        });
        let Some(best) = tried.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))) else { break };
        if must || best.0 < lack(&laid) {
            (room, laid) = (best.2, best.3);
        } else {
            poor += 1;
        }
    }
    if laid.2.wanting.iter().all(|want| want.poor) {
        squeeze(sheet, &lay, &mut room, &mut laid);
    }
    laid
}

/// What is missing, and what is poor.
fn lack(laid: &Laid) -> (usize, usize) {
    let poor = laid.2.wanting.iter().filter(|want| want.poor).count();
    (laid.2.wanting.len() - poor, poor)
}

fn squeeze(sheet: &Sheet, lay: &impl Fn(&Room) -> Laid, room: &mut Room, laid: &mut Laid) {
    let rows = (0..room.above.len()).flat_map(|row| [Spare::Above(row), Spare::Below(row)]);
    let columns = (0..room.wide.len()).flat_map(|column| [Spare::Beside(column), Spare::Wide(column)]);
    for spare in rows.chain(columns) {
        for step in BACK {
            let least = match spare {
                Spare::Wide(column) => sheet.widest(column),
                _ => 0.0,
            };
            while value(room, spare) - step >= least {
                let less = changed(room, spare, -step);
                let tried = lay(&less);
                if lack(&tried) > lack(laid) {
                    break;
                }
                (*room, *laid) = (less, tried);
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

