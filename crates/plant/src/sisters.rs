//! Sister engines: two or more of one make and rating on one vessel, and which part, flow, node and gauge of one is what
//! to the other.
//!
//! What is typical of the make, and what the model gets wrong about it, they have in common; wear and dirt they have not.

use crate::plant::{FlowId, GaugeId, NodeId, PartId, Plant, Tap, Terminal};
use measure::figure::Origin;

/// For each part, flow and node what stands for it and its sisters: the first of them, itself where it has none.
#[derive(Clone, Debug, Default)]
pub struct Sisters {
    parts: Vec<PartId>,
    flows: Vec<FlowId>,
    nodes: Vec<NodeId>,
}

impl Sisters {
    /// Finds the sisters of a plant.
    pub fn of(plant: &Plant) -> Sisters {
        let mut sisters = Sisters {
            parts: (0..plant.parts.len()).map(PartId).collect(),
            flows: (0..plant.flows.len()).map(FlowId).collect(),
            nodes: (0..plant.nodes.len()).map(NodeId).collect(),
        };
        let mut grouped: Vec<PartId> = Vec::new();
        for engine in plant.engines() {
            if grouped.contains(&engine) {
                continue;
            }
            let alike: Vec<PartId> = plant.engines().filter(|other| described_alike(plant, engine, *other)).collect();
            for other in alike.iter().filter(|other| **other != engine) {
                sisters.pair(plant, engine, *other);
            }
            grouped.extend(alike);
        }
        sisters
    }

    /// Parts of `other` that are to it what parts of `engine` are to that: of each kind as many, in the order of the file.
    fn pair(&mut self, plant: &Plant, engine: PartId, other: PartId) {
        let serving = |engine: PartId, kind: &str| -> Vec<PartId> {
            let ids = (0..plant.parts.len()).map(PartId);
            ids.filter(|p| plant[*p].engine == Some(engine) && plant[*p].kind.name == kind).collect()
        };
        for first in (0..plant.parts.len()).map(PartId).filter(|p| plant[*p].engine == Some(engine)) {
            let (mine, hers) = (serving(engine, plant[first].kind.name), serving(other, plant[first].kind.name));
            if mine.len() != hers.len() {
                continue;
            }
            let Some(twin) = mine.iter().position(|p| *p == first).and_then(|place| hers.get(place)) else { continue };
            self.parts[twin.0] = first;
            self.ways(plant, first, *twin);
        }
    }

    fn ways(&mut self, plant: &Plant, first: PartId, twin: PartId) {
        for (a, b) in plant[first].flows.iter().zip(&plant[twin].flows) {
            let (Some(a), Some(b)) = (a, b) else { continue };
            self.flows[b.0] = *a;
            let (a, b) = (&plant.flows[a.0], &plant.flows[b.0]);
            for ends in [(a.from, b.from), (a.to, b.to)] {
                if let (Terminal::Node(a), Terminal::Node(b)) = ends {
                    self.nodes[b.0] = a;
                }
            }
        }
        let pool = |part: PartId| plant.pools.iter().filter(move |pool| pool.part == part);
        for (a, b) in pool(first).zip(pool(twin)) {
            self.nodes[b.node.0] = a.node;
        }
    }

    /// Parts that are sisters, two or more together.
    pub fn parts(&self) -> Vec<Vec<PartId>> {
        let mut groups: Vec<Vec<PartId>> = vec![Vec::new(); self.parts.len()];
        for (part, first) in self.parts.iter().enumerate() {
            groups[first.0].push(PartId(part));
        }
        groups.retain(|group| group.len() > 1);
        groups
    }

    /// What a tap and its sisters look at on the first of them.
    pub fn first(&self, tap: Tap) -> Tap {
        let flow = |f: FlowId| self.flows.get(f.0).copied().unwrap_or(f);
        let node = |n: NodeId| self.nodes.get(n.0).copied().unwrap_or(n);
        match tap {
            Tap::Pressure(n) => Tap::Pressure(node(n)),
            Tap::Temperature(n) => Tap::Temperature(node(n)),
            Tap::Voltage(n) => Tap::Voltage(node(n)),
            Tap::Drop(f) => Tap::Drop(flow(f)),
            Tap::Flow(f) => Tap::Flow(flow(f)),
            Tap::Meter(f) => Tap::Meter(flow(f)),
            Tap::Unknown(part, unknown) => Tap::Unknown(self.parts.get(part.0).copied().unwrap_or(part), unknown),
            Tap::Sea | Tap::Air => tap,
        }
    }
}

impl Plant {
    /// The gauge that reads on the sister engine what this one reads here; nothing if there is none.
    pub fn sister_gauge(&self, gauge: GaugeId) -> Option<GaugeId> {
        let (own, first) = (self[gauge].tap, self.sisters.first(self[gauge].tap));
        self.gauge_ids().find(|other| {
            let tap = self[*other].tap;
            tap != own && self[*other].trips.is_none() && self.sisters.first(tap) == first
        })
    }
}

/// Are two engines described alike? What was measured on one of them, or is of each by itself, does not count.
fn described_alike(plant: &Plant, one: PartId, other: PartId) -> bool {
    let own = |origin| matches!(origin, Origin::Measured | Origin::Learned);
    let (one, other) = (&plant[one], &plant[other]);
    let mut rows = one.kind.parameters.iter().zip(one.figures.iter().zip(&other.figures));
    std::ptr::eq(one.kind, other.kind)
        && rows.all(|(p, (a, b))| p.each || own(a.origin) || own(b.origin) || a.value == b.value)
}
