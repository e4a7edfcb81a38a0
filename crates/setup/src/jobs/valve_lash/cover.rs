//! The fewest positions that between them set every valve.

use super::order::Engine;

/// The positions to turn to, as places in the firing order, in the order they are come to: as few as can be, of those with the
/// least turning, of those one that begins with cylinder 1 if it may.
///
/// Positions are the firing tops of the cylinders, for those are marked or can be seen by the valves that rock.
pub fn fewest(engine: &Engine) -> Vec<usize> {
    let bit = |(cylinder, valve): (usize, super::order::Valve)| {
        let sort = engine.open.iter().position(|(one, ..)| *one == valve).unwrap_or(0);
        1u64 << ((cylinder - 1) * engine.open.len() + sort)
    };
    let sets: Vec<u64> = engine.fires.iter().map(|crank| engine.settable(*crank).into_iter().map(bit).sum()).collect();
    let all = sets.iter().fold(0, |all, set| all | set);
    let mut covers = Vec::new();
    // Every valve is shut at its own cylinder's firing top, so that all tops together always do.
    for count in 1..=sets.len() {
        search(&sets, all, count, &mut Vec::new(), &mut covers);
        if !covers.is_empty() {
            break;
        }
    }
    let ways = covers.into_iter().flat_map(|cover| turns(engine, &cover));
    let least = ways.min_by(|(a, one), (b, other)| {
        let first = |cover: &[usize]| (engine.order[cover[0]] != 1, cover.to_vec());
        let alike = (a - b).abs() < 1e-9;
        if alike { first(one).cmp(&first(other)) } else { a.total_cmp(b) }
    });
    least.map(|(_, cover)| cover).unwrap_or_default()
}

/// Every choice of `count` sets that leaves nothing of `left`.
fn search(sets: &[u64], left: u64, count: usize, chosen: &mut Vec<usize>, covers: &mut Vec<Vec<usize>>) {
    if left == 0 {
        let mut cover = chosen.clone();
        cover.sort_unstable();
        if !covers.contains(&cover) {
            covers.push(cover);
        }
        return;
    }
    let most = sets.iter().map(|set| (set & left).count_ones()).max().unwrap_or(0) as usize;
    if count == 0 || most * count < left.count_ones() as usize {
        return;
    }
    // The valve with the fewest places to set it decides soonest.
    let bits = (0..64).filter(|bit| left & (1 << bit) != 0);
    let Some(rare) = bits.min_by_key(|bit| sets.iter().filter(|set| *set & (1 << bit) != 0).count()) else { return };
    for (place, set) in sets.iter().enumerate().filter(|(_, set)| *set & (1 << rare) != 0) {
        chosen.push(place);
        search(sets, left & !set, count - 1, chosen, covers);
        chosen.pop();
    }
}

/// The orders in which positions can be come to, turned one way only: from each of them on round; with the turning.
fn turns(engine: &Engine, cover: &[usize]) -> Vec<(f64, Vec<usize>)> {
    let count = cover.len();
    let from = |start: usize| {
        let round: Vec<usize> = (0..count).map(|step| cover[(start + step) % count]).collect();
        let last = engine.fires[round[count - 1]];
        ((last - engine.fires[round[0]]).rem_euclid(engine.cycle), round)
    };
    (0..count).map(from).collect()
}
