//! Where it flows: from any part onwards or back, with the valves as they stand; and what turns what.

use crate::plant::{Flow, FlowId, Linked, NodeId, PartId, Plant, Terminal};
use parts::kind::{Circuit, Link};

/// Which way along the flow.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Along {
    /// To where it goes.
    Onward,
    /// To where it comes from.
    Back,
}

/// A way told from its beginning: one step after the other, and how it ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Trail {
    /// What it passes, in order.
    pub steps: Vec<Step>,
    /// How it ends.
    pub end: End,
}

/// One step of a trail.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Through a part.
    Flow(FlowId),
    /// A pool stands on the way, by its place in [`Plant::pools`].
    Pool(usize),
}

impl Step {
    /// The part it passes, and which of its passages.
    pub fn way(self, plant: &Plant) -> (PartId, usize) {
        match self {
            Step::Flow(flow) => (plant.flows[flow.0].part, plant.flows[flow.0].passage),
            Step::Pool(pool) => (plant.pools[pool].part, plant.pools[pool].passage),
        }
    }
}

/// How a trail ends.
#[derive(Clone, Debug, PartialEq)]
pub enum End {
    /// In the sea.
    Sea,
    /// In the open air.
    Air,
    /// In ground, which closes every electric circuit.
    Ground,
    /// A valve is shut; nothing passes.
    Shut(PartId),
    /// Back in this part, where it was before.
    Again(PartId),
    /// Here it divides, or comes together: one trail each.
    Parts(Vec<Trail>),
}

impl Trail {
    /// Every way through a part (and which of its passages) that the trail takes, branches and all.
    pub fn ways(&self, plant: &Plant) -> Vec<(PartId, usize)> {
        let mut ways = Vec::new();
        for step in &self.steps {
            ways.push(step.way(plant));
            if let Step::Flow(flow) = step {
                let flow = &plant.flows[flow.0];
                // Water that is sprayed into gas leaves with it, by the gas's own way.
                let with = |way: &&Flow| {
                    way.part == flow.part && matches!(flow.to, Terminal::Into(node) if way.to == Terminal::Node(node))
                };
                ways.extend(plant.flows.iter().filter(with).map(|way| (way.part, way.passage)));
            }
        }
        match &self.end {
            End::Parts(all) => ways.extend(all.iter().flat_map(|way| way.ways(plant))),
            // The ring is closed: the run back to it belongs to it.
            End::Again(part) => {
                let joined = plant[*part].flows.iter().enumerate().filter(|(_, flow)| flow.is_some());
                ways.extend(joined.map(|(passage, _)| (*part, passage)));
            }
            _ => {}
        }
        ways
    }

    /// Does nothing pass, whichever way it goes?
    pub fn is_shut(&self) -> bool {
        match &self.end {
            End::Shut(_) => true,
            End::Parts(ways) => !ways.is_empty() && ways.iter().all(Trail::is_shut),
            _ => false,
        }
    }
}

/// The ways that begin in `part`, one for each circuit it belongs to, its own passages first in them.
pub fn follow(plant: &Plant, part: PartId, along: Along) -> Vec<(Circuit, Trail)> {
    let own = plant[part].flows.iter().flatten().map(|flow| {
        let circuit = plant.flows[flow.0].circuit;
        let store = plant.stores(*flow).map(|node| from_store(plant, *flow, node, along));
        (circuit, store.unwrap_or_else(|| from_flow(plant, *flow, along)))
    });
    let pooled = plant[part].flows.iter().all(Option::is_none);
    let pools = plant.pools.iter().enumerate().filter(|(_, pool)| pool.part == part && pooled).map(|(index, pool)| {
        let mut walk = Walk { plant, along, told: Vec::new(), pools: vec![index] };
        let mut trail = walk.at(pool.node);
        trail.steps.insert(0, Step::Pool(index));
        (plant.nodes[pool.node.0].circuit, trail)
    });
    own.chain(pools).collect()
}

fn from_flow(plant: &Plant, flow: FlowId, along: Along) -> Trail {
    Walk { plant, along, told: Vec::new(), pools: Vec::new() }.through(flow)
}

/// What stores current is where its way begins, and where it ends: a way onward tells what it feeds, one back what feeds it.
fn from_store(plant: &Plant, flow: FlowId, node: NodeId, along: Along) -> Trail {
    let mut trail = Walk { plant, along, told: vec![flow], pools: Vec::new() }.at(node);
    trail.steps.insert(0, Step::Flow(flow));
    trail
}

/// A walk through the plant; what was told is not told again.
struct Walk<'a> {
    plant: &'a Plant,
    along: Along,
    told: Vec<FlowId>,
    pools: Vec<usize>,
}

impl Walk<'_> {
    fn through(&mut self, id: FlowId) -> Trail {
        let flow = &self.plant.flows[id.0];
        if self.told.contains(&id) {
            return Trail { steps: Vec::new(), end: End::Again(flow.part) };
        }
        if self.plant.is_shut(flow.part) {
            return Trail { steps: Vec::new(), end: End::Shut(flow.part) };
        }
        self.told.push(id);
        let stored = self.plant.stores(id).map(|_| Terminal::Ground);
        let next = stored.unwrap_or(if self.along == Along::Onward { flow.to } else { flow.from });
        let mut trail = match next {
            Terminal::Sea => Trail { steps: Vec::new(), end: End::Sea },
            Terminal::Air => Trail { steps: Vec::new(), end: End::Air },
            Terminal::Ground => Trail { steps: Vec::new(), end: End::Ground },
            Terminal::Node(node) | Terminal::Into(node) => self.at(node),
        };
        trail.steps.insert(0, Step::Flow(id));
        trail
    }

    fn at(&mut self, node: NodeId) -> Trail {
        let fresh = |(index, pool): &(usize, &crate::plant::Pool)| pool.node == node && !self.pools.contains(index);
        let pool = self.plant.pools.iter().enumerate().find(fresh).map(|(index, _)| index);
        self.pools.extend(pool);
        let next: Vec<FlowId> = (0..self.plant.flows.len()).map(FlowId).filter(|id| self.leaves(*id, node)).collect();
        let mut trail = match next.as_slice() {
            [only] => self.through(*only),
            several => {
                let mut ways: Vec<Trail> = several.iter().map(|id| self.through(*id)).collect();
                // What is shut is told last: the story goes on where the flow does.
                ways.sort_by_key(Trail::is_shut);
                Trail { steps: Vec::new(), end: End::Parts(ways) }
            }
        };
        trail.steps.splice(0..0, pool.map(Step::Pool));
        trail
    }

    /// Does this flow lead away from the node, in the direction of the walk?
    fn leaves(&self, id: FlowId, node: NodeId) -> bool {
        let flow = &self.plant.flows[id.0];
        // What stores current takes it and gives it, but is not told again where its own way begins.
        if self.plant.stores(id).is_some() {
            return flow.from == Terminal::Node(node) && !self.told.contains(&id);
        }
        match self.along {
            Along::Onward => flow.from == Terminal::Node(node),
            Along::Back => flow.to == Terminal::Node(node) || flow.to == Terminal::Into(node),
        }
    }
}

/// What turns this part, if anything does.
pub fn turned_by(plant: &Plant, part: PartId) -> Option<PartId> {
    let by = |part: PartId| {
        let part = &plant[part];
        part.kind.links.iter().zip(&part.links).find_map(|(link, linked)| match (link, linked) {
            (Link::DriverSpeed | Link::Shaft(_) | Link::Engine("speed"), Linked::Unknowns(all)) => {
                all.first().map(|(driver, _)| *driver)
            }
            _ => None,
        })
    };
    let has = |part: PartId, name: &str| plant[part].kind.unknowns.iter().any(|unknown| unknown.name == name);
    if !has(part, "boat_speed") {
        return by(part);
    }
    // A propeller is turned by the last of what its shaft runs through.
    let on_shaft = || {
        let all = (0..plant.parts.len()).map(PartId);
        all.filter(|other| plant[*other].engine == plant[part].engine && has(*other, "shaft_speed"))
    };
    let last = on_shaft().find(|other| !on_shaft().any(|behind| by(behind) == Some(*other)));
    last.or_else(|| by(part))
}

/// What this part turns.
pub fn turns(plant: &Plant, part: PartId) -> Vec<PartId> {
    (0..plant.parts.len()).map(PartId).filter(|other| turned_by(plant, *other) == Some(part)).collect()
}

/// How many parts lie between a source and this one, whether what is between is open or shut.
pub fn depth(plant: &Plant, part: PartId) -> usize {
    let begins = |flow: &FlowId| match plant.flows[flow.0].from {
        Terminal::Sea | Terminal::Air | Terminal::Ground => true,
        Terminal::Node(node) => plant.pools.iter().any(|pool| pool.node == node),
        Terminal::Into(_) => false,
    };
    let mut level: Vec<FlowId> = plant[part].flows.iter().flatten().copied().collect();
    let mut seen = level.clone();
    let mut depth = 0;
    while !level.is_empty() && !level.iter().any(begins) {
        let before = |id: &FlowId| level.iter().any(|flow| plant.flows[flow.0].from == plant.flows[id.0].to);
        level = (0..plant.flows.len()).map(FlowId).filter(|id| !seen.contains(id) && before(id)).collect();
        seen.extend(&level);
        depth += 1;
    }
    depth
}
