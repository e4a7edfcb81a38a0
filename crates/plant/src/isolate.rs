//! Which valves shut a part off from everything its circuits could pour into it, and what is shut off with it.

use crate::plant::{FlowId, PartId, Plant, Terminal};
use parts::kind::Circuit;
use std::collections::{BTreeSet, VecDeque};

/// How one circuit of a part is shut off.
#[derive(Clone, Debug, PartialEq)]
pub struct Closing {
    /// Which circuit.
    pub circuit: Circuit,
    /// Where liquid could come from.
    pub by: Shutting,
}

/// Whether valves can shut it off.
#[derive(Clone, Debug, PartialEq)]
pub enum Shutting {
    /// They can.
    Valves {
        /// As few as will do, and of equally few those nearest to the part.
        fewest: Fence,
        /// The nearest on every side, which shut off as little else as can be; may be more, may be the same.
        nearest: Fence,
    },
    /// They cannot: no valve stands between.
    Open {
        /// Where the liquid comes from.
        source: Source,
        /// What it runs through on its way to the part.
        through: Vec<PartId>,
    },
}

/// Valves that stand around a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Fence {
    /// To be shut.
    pub shut: Vec<PartId>,
    /// Shut already, and to be left so.
    pub stay: Vec<PartId>,
    /// What else is shut off with it.
    pub with: Vec<PartId>,
}

/// Where liquid comes from.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// The sea.
    Sea,
    /// A tank, a sump; a battery.
    Pool(PartId),
}

/// How each circuit that leads liquid or current through `part` is shut off from it, in the order circuits are listed; gas
/// is left out, for no valve stands in it.
///
/// A pump that stands still holds nothing back, nor does a valve that shuts by itself: only what is shut by hand counts
/// (common practice, no source). What stands between the valves and the part runs out all the same.
pub fn isolate(plant: &Plant, part: PartId) -> Vec<Closing> {
    let liquid = |circuit: &Circuit| !circuit.is_gas();
    let own = plant[part].flows.iter().flatten().map(|flow| plant.flows[flow.0].circuit);
    let pooled = plant.pools.iter().filter(|pool| pool.part == part).map(|pool| plant.nodes[pool.node.0].circuit);
    let circuits: BTreeSet<Circuit> = own.chain(pooled).filter(liquid).collect();
    circuits.into_iter().map(|circuit| Closing { circuit, by: Net::of(plant, circuit, part).close() }).collect()
}

/// Do the valves, as they stand, keep every source of this circuit from the part?
pub fn is_shut_off(plant: &Plant, circuit: Circuit, part: PartId) -> bool {
    let net = Net::of(plant, circuit, part);
    net.reached(|pipe| pipe.hold != Hold::Shut).is_none()
}

/// What a pipe of the net is to one who wants it shut.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
enum Hold {
    /// Nothing shuts it.
    Free,
    /// A valve, open now.
    Valve,
    /// A valve, shut now.
    Shut,
}

/// A way between two places of the net.
#[derive(Clone, Debug)]
struct Pipe {
    part: PartId,
    ends: [usize; 2],
    hold: Hold,
    /// Carried by the search for the fewest valves, from the first end to the second.
    carried: i32,
}

/// One circuit as seen from a part: places, pipes between them, where the part is and where liquid comes from.
struct Net<'a> {
    plant: &'a Plant,
    part: PartId,
    pipes: Vec<Pipe>,
    /// Where the part's own ways end.
    begins: Vec<usize>,
    /// Where liquid comes from.
    sources: Vec<(usize, Source)>,
}

impl<'a> Net<'a> {
    /// Places are the plant's nodes and, after them, the sea.
    fn of(plant: &'a Plant, circuit: Circuit, part: PartId) -> Self {
        let sea = plant.nodes.len();
        let place = |terminal| match terminal {
            Terminal::Node(node) => Some(node.0),
            Terminal::Sea => Some(sea),
            // What is open to the air holds nothing up, and water does not come back out of the gas.
            Terminal::Air | Terminal::Ground | Terminal::Into(_) => None,
        };
        let mut net = Net { plant, part, pipes: Vec::new(), begins: Vec::new(), sources: vec![(sea, Source::Sea)] };
        for flow in plant.flows.iter().filter(|flow| flow.circuit == circuit) {
            let ends = [place(flow.from), place(flow.to)];
            if flow.part == part {
                net.begins.extend(ends.iter().flatten());
            } else if let [Some(a), Some(b)] = ends {
                let hold = match plant.opening(flow.part) {
                    None => Hold::Free,
                    Some(_) if plant.is_shut(flow.part) => Hold::Shut,
                    Some(_) => Hold::Valve,
                };
                net.pipes.push(Pipe { part: flow.part, ends: [a, b], hold, carried: 0 });
            }
        }
        let stores = (0..plant.flows.len()).map(FlowId).filter(|id| plant.flows[id.0].circuit == circuit);
        for (id, node) in stores.filter_map(|id| Some((id, plant.stores(id)?))) {
            let store = plant.flows[id.0].part;
            if store != part {
                net.sources.push((node.0, Source::Pool(store)));
            }
        }
        for pool in plant.pools.iter().filter(|pool| plant.nodes[pool.node.0].circuit == circuit) {
            if pool.part == part {
                net.begins.push(pool.node.0);
            } else {
                net.sources.push((pool.node.0, Source::Pool(pool.part)));
            }
        }
        net
    }

    fn close(mut self) -> Shutting {
        if let Some((source, through)) = self.reached(|pipe| pipe.hold == Hold::Free) {
            return Shutting::Open { source, through };
        }
        // One more drop a round, until none gets through: then as many valves are full as must be shut.
        while self.carry() {}
        let fewest = self.flooded(|pipe, from| pipe.room(from) > 0);
        let nearest = self.flooded(|pipe, _| pipe.hold == Hold::Free);
        Shutting::Valves { fewest: self.fence(&fewest), nearest: self.fence(&nearest) }
    }

    /// Valves that lead out of these places, and what is shut off when they are shut.
    fn fence(&self, inside: &BTreeSet<usize>) -> Fence {
        let crosses = |pipe: &&Pipe| inside.contains(&pipe.ends[0]) != inside.contains(&pipe.ends[1]);
        let border: Vec<&Pipe> = self.pipes.iter().filter(|pipe| pipe.hold != Hold::Free).filter(crosses).collect();
        let of = |hold| border.iter().filter(|pipe| pipe.hold == hold).map(|pipe| pipe.part).collect::<Vec<_>>();
        let shut = of(Hold::Valve);
        let dry = self.flooded(|pipe, _| pipe.hold != Hold::Shut && !shut.contains(&pipe.part));
        let meets = |pipe: &&Pipe| pipe.ends.iter().any(|end| dry.contains(end));
        // Of valves that are shut already, those with the part's water on one side only keep something away.
        let stay = self.pipes.iter().filter(|pipe| pipe.hold == Hold::Shut).filter(meets);
        let stay = stay.filter(|pipe| !pipe.ends.iter().all(|end| dry.contains(end))).map(|pipe| pipe.part).collect();
        let mut with: Vec<PartId> = Vec::new();
        for pipe in self.pipes.iter().filter(meets).filter(|p| p.hold != Hold::Shut && !shut.contains(&p.part)) {
            if !with.contains(&pipe.part) {
                with.push(pipe.part);
            }
        }
        Fence { shut, stay, with }
    }

    /// Places that are reached from the part through pipes that let it.
    fn flooded(&self, lets: impl Fn(&Pipe, usize) -> bool) -> BTreeSet<usize> {
        let mut found: BTreeSet<usize> = self.begins.iter().copied().collect();
        let mut next: VecDeque<usize> = found.iter().copied().collect();
        while let Some(at) = next.pop_front() {
            for pipe in &self.pipes {
                if let Some(other) = pipe.other(at)
                    && lets(pipe, at)
                    && found.insert(other)
                {
                    next.push_back(other);
                }
            }
        }
        found
    }

    /// The source that is reached from the part with the fewest parts between, and these parts, the source's first.
    fn reached(&self, lets: impl Fn(&Pipe) -> bool) -> Option<(Source, Vec<PartId>)> {
        let (source, way) = self.way(|pipe, _| lets(pipe))?;
        Some((
            source,
            way.iter().rev().map(|(pipe, _)| self.pipes[*pipe].part).filter(|part| *part != self.part).collect(),
        ))
    }

    /// The shortest way from the part to a source: each pipe, and the end it is entered by.
    fn way(&self, lets: impl Fn(&Pipe, usize) -> bool) -> Option<(Source, Vec<(usize, usize)>)> {
        let mut came: Vec<Option<(usize, usize)>> = vec![None; self.plant.nodes.len() + 1];
        let mut seen: BTreeSet<usize> = self.begins.iter().copied().collect();
        let mut next: VecDeque<usize> = seen.iter().copied().collect();
        while let Some(at) = next.pop_front() {
            if let Some((_, source)) = self.sources.iter().find(|(place, _)| *place == at) {
                let mut way = Vec::new();
                let mut here = at;
                while let Some((pipe, from)) = came[here] {
                    way.insert(0, (pipe, from));
                    here = from;
                }
                return Some((*source, way));
            }
            for (index, pipe) in self.pipes.iter().enumerate() {
                if let Some(other) = pipe.other(at)
                    && lets(pipe, at)
                    && seen.insert(other)
                {
                    came[other] = Some((index, at));
                    next.push_back(other);
                }
            }
        }
        None
    }

    /// Sends one more drop to a source, if one more gets through (Ford and Fulkerson's way to the smallest cut).
    fn carry(&mut self) -> bool {
        let Some((_, way)) = self.way(|pipe, from| pipe.room(from) > 0) else { return false };
        for (pipe, from) in way {
            let pipe = &mut self.pipes[pipe];
            pipe.carried += if pipe.ends[0] == from { 1 } else { -1 };
        }
        true
    }
}

impl Pipe {
    /// The other end, seen from `at`.
    fn other(&self, at: usize) -> Option<usize> {
        match self.ends {
            [a, b] if a == at => Some(b),
            [a, b] if b == at => Some(a),
            _ => None,
        }
    }

    /// How much more it lets through from its end `from`.
    fn room(&self, from: usize) -> i32 {
        let most = match self.hold {
            Hold::Free => i32::MAX / 2,
            Hold::Valve => 1,
            Hold::Shut => 0,
        };
        if self.ends[0] == from { most - self.carried } else { most + self.carried }
    }
}
