//! Runs of pipe: each the cheapest way on a grid of tracks, by length, bends and crossings; no other pipe's track is
//! shared, no piece is run through.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// What a bend costs [px of length].
const BEND: u32 = 70;
/// What crossing another pipe costs [px of length].
const CROSSING: u32 = 260;
/// Rounds in which each net is taken up and laid again, now that the others lie.
const ROUNDS: usize = 1;

/// The lines that runs may follow, as places [px] that only need be about right.
pub(super) struct Grid {
    pub x: Vec<u32>,
    pub y: Vec<u32>,
    pub blocked: Vec<bool>,
}

/// An end of a net: where on the grid, and along which lines it comes in.
#[derive(Copy, Clone, Debug)]
pub(super) struct Terminal {
    pub at: usize,
    pub across: bool,
}

/// A step of one line on the grid, from its left or upper end.
pub(super) type Step = (usize, bool);

impl Grid {
    pub fn vertex(&self, x: usize, y: usize) -> usize {
        y * self.x.len() + x
    }

    pub fn place(&self, vertex: usize) -> (usize, usize) {
        (vertex % self.x.len(), vertex / self.x.len())
    }

    /// The neighbour that way, with the distance [px].
    fn next(&self, vertex: usize, across: bool, on: bool) -> Option<(usize, u32)> {
        let (x, y) = self.place(vertex);
        let (lines, at) = if across { (&self.x, x) } else { (&self.y, y) };
        let to = if on { Some(at + 1).filter(|to| *to < lines.len()) } else { at.checked_sub(1) }?;
        let vertex = if across { self.vertex(to, y) } else { self.vertex(x, to) };
        Some((vertex, lines[to].abs_diff(lines[at])))
    }
}

/// Who runs through a vertex, along either direction.
struct Taken {
    along: [Vec<Option<usize>>; 2],
}

impl Taken {
    /// A net has its own ends to itself.
    fn claim(&mut self, net: usize, ends: &[Terminal]) {
        for end in ends {
            self.along[usize::from(end.across)][end.at] = Some(net);
        }
    }
}

/// Lays every net; one that finds no way stays empty.
pub(super) fn route(grid: &Grid, nets: &[Vec<Terminal>]) -> Vec<Vec<Step>> {
    let size = grid.x.len() * grid.y.len();
    let mut router = Router {
        grid,
        taken: Taken { along: [vec![None; size], vec![None; size]] },
        cost: vec![u32::MAX; size * 2],
        from: vec![usize::MAX; size * 2],
        touched: vec![],
    };
    for (net, ends) in nets.iter().enumerate() {
        router.taken.claim(net, ends);
    }
    let mut order: Vec<usize> = (0..nets.len()).collect();
    order.sort_by_key(|net| (router.extent(&nets[*net]), *net));
    let mut laid: Vec<Vec<Step>> = vec![vec![]; nets.len()];
    for round in 0..=ROUNDS {
        let before = laid.clone();
        for net in &order {
            if round > 0 && router.plain(&laid[*net], *net) {
                continue;
            }
            router.take_up(*net, &laid[*net], &nets[*net]);
            laid[*net] = router.lay(*net, &nets[*net]).unwrap_or_default();
        }
        if laid == before {
            break;
        }
    }
    laid
}

/// Length, bends and crossings of what is laid, in one sum.
pub(super) fn cost(grid: &Grid, laid: &[Vec<Step>]) -> u32 {
    let mut through: BTreeMap<usize, [Option<usize>; 2]> = BTreeMap::new();
    let mut sum = 0;
    for (net, steps) in laid.iter().enumerate() {
        for (at, across) in steps {
            let Some((to, length)) = grid.next(*at, *across, true) else { continue };
            sum += length;
            for vertex in [*at, to] {
                through.entry(vertex).or_default()[usize::from(*across)] = Some(net);
            }
        }
    }
    let corners = through.values().filter_map(|[up, across]| up.zip(*across));
    sum + corners.map(|(up, across)| if up == across { BEND } else { CROSSING }).sum::<u32>()
}

struct Router<'a> {
    grid: &'a Grid,
    taken: Taken,
    cost: Vec<u32>,
    from: Vec<usize>,
    touched: Vec<usize>,
}

impl Router<'_> {
    fn extent(&self, ends: &[Terminal]) -> u32 {
        let places = ends.iter().map(|end| self.grid.place(end.at));
        let (x, y): (Vec<u32>, Vec<u32>) = places.map(|(x, y)| (self.grid.x[x], self.grid.y[y])).unzip();
        let spread = |of: &[u32]| of.iter().max().unwrap_or(&0) - of.iter().min().unwrap_or(&0);
        spread(&x) + 3 * spread(&y)
    }

    /// Straight, and crossed by nothing: no better way can be found.
    fn plain(&self, steps: &[Step], net: usize) -> bool {
        let straight = steps.windows(2).all(|pair| pair[0].1 == pair[1].1);
        straight
            && steps.iter().all(|(at, across)| self.taken.along[usize::from(!*across)][*at].is_none_or(|n| n == net))
    }

    fn take_up(&mut self, net: usize, steps: &[Step], ends: &[Terminal]) {
        for (at, across) in steps {
            let lines = usize::from(*across);
            let to = self.grid.next(*at, *across, true).map_or(*at, |(to, _)| to);
            self.taken.along[lines][*at] = None;
            self.taken.along[lines][to] = None;
        }
        self.taken.claim(net, ends);
    }

    fn lay(&mut self, net: usize, ends: &[Terminal]) -> Option<Vec<Step>> {
        let mut tree: Vec<(usize, [bool; 2])> = vec![];
        let mut steps = vec![];
        let Some(first) = ends.first() else { return Some(steps) };
        add(&mut tree, first.at, first.across);
        for end in &ends[1..] {
            let path = self.search(net, *end, &tree)?;
            for pair in path.windows(2) {
                let across = self.grid.place(pair[0]).1 == self.grid.place(pair[1]).1;
                for at in pair {
                    self.taken.along[usize::from(across)][*at] = Some(net);
                    add(&mut tree, *at, across);
                }
                steps.push((pair[0].min(pair[1]), across));
            }
            add(&mut tree, end.at, end.across);
        }
        steps.sort_unstable();
        steps.dedup();
        Some(steps)
    }

    /// Whether a net may run along these lines here, and whether it then crosses another.
    fn enter(&self, net: usize, at: usize, across: bool) -> Option<bool> {
        if self.grid.blocked[at] {
            return None;
        }
        let own = |taken: Option<usize>| taken.is_none_or(|other| other == net);
        own(self.taken.along[usize::from(across)][at]).then(|| !own(self.taken.along[usize::from(!across)][at]))
    }

    /// The cheapest way from an end to what is laid of its net already.
    fn search(&mut self, net: usize, start: Terminal, tree: &[(usize, [bool; 2])]) -> Option<Vec<usize>> {
        for state in self.touched.drain(..) {
            self.cost[state] = u32::MAX;
        }
        let places: Vec<(usize, usize)> = tree.iter().map(|(at, _)| self.grid.place(*at)).collect();
        let bound = |of: fn(&(usize, usize)) -> usize| {
            (places.iter().map(of).min().unwrap_or(0), places.iter().map(of).max().unwrap_or(0))
        };
        let (left, right) = bound(|p| p.0);
        let (top, bottom) = bound(|p| p.1);
        let far = |lines: &[u32], at: usize, low: usize, high: usize| lines[at.clamp(low, high)].abs_diff(lines[at]);
        let rest = |grid: &Grid, at: usize| {
            let (x, y) = grid.place(at);
            far(&grid.x, x, left, right) + far(&grid.y, y, top, bottom)
        };
        let mut heap = BinaryHeap::new();
        let first = start.at * 2 + usize::from(start.across);
        self.cost[first] = 0;
        self.from[first] = usize::MAX;
        self.touched.push(first);
        heap.push(Reverse((rest(self.grid, start.at), first)));
        while let Some(Reverse((_, state))) = heap.pop() {
            let (at, across) = (state / 2, state % 2 == 1);
            let cost = self.cost[state];
            let crossing = self.enter(net, at, across)?;
            if let Ok(found) = tree.binary_search_by_key(&at, |(at, _)| *at)
                && !crossing
            {
                let square = !tree[found].1[usize::from(across)];
                if !square || at == start.at {
                    return Some(self.walk(state));
                }
                // Joining square costs a bend: another way may still be as cheap.
                self.reach(&mut heap, at * 2 + usize::from(!across), state, cost + BEND, 0);
                continue;
            }
            if !crossing && self.enter(net, at, !across) == Some(false) {
                let turned = at * 2 + usize::from(!across);
                self.reach(&mut heap, turned, state, cost + BEND, rest(self.grid, at));
            }
            for on in [true, false] {
                let Some((to, length)) = self.grid.next(at, across, on) else { continue };
                if let Some(crosses) = self.enter(net, to, across) {
                    let price = cost + length + if crosses { CROSSING } else { 0 };
                    self.reach(&mut heap, to * 2 + usize::from(across), state, price, rest(self.grid, to));
                }
            }
        }
        None
    }

    fn reach(&mut self, heap: &mut BinaryHeap<Reverse<(u32, usize)>>, state: usize, from: usize, cost: u32, rest: u32) {
        if cost < self.cost[state] {
            self.cost[state] = cost;
            self.from[state] = from;
            self.touched.push(state);
            heap.push(Reverse((cost + rest, state)));
        }
    }

    fn walk(&self, state: usize) -> Vec<usize> {
        let states = std::iter::successors(Some(state), |state| Some(self.from[*state]).filter(|s| *s != usize::MAX));
        let mut path: Vec<usize> = states.map(|state| state / 2).collect();
        path.dedup();
        path
    }
}

fn add(tree: &mut Vec<(usize, [bool; 2])>, at: usize, across: bool) {
    match tree.binary_search_by_key(&at, |(at, _)| *at) {
        Ok(found) => tree[found].1[usize::from(across)] = true,
        Err(place) => {
            let mut along = [false; 2];
            along[usize::from(across)] = true;
            tree.insert(place, (at, along));
        }
    }
}
