//! Which ports meet in which node, and the flows between.

use super::draft::{Draft, Step};
use super::filling;
use crate::finding::{Finding, Problem};
use crate::names::folded;
use crate::plant::{Flow, FlowId, Node, NodeId, PartId, Pool, Terminal};
use parts::kind::{Circuit, End, Passage};
use physics::contents::Contents;
use std::collections::{BTreeMap, HashMap};

/// The plant's net.
#[derive(Debug, Default)]
pub(crate) struct Joined {
    pub nodes: Vec<Node>,
    pub flows: Vec<Flow>,
    pub pools: Vec<Pool>,
    /// For each part, for each of its passages.
    pub part_flows: Vec<Vec<Option<FlowId>>>,
    /// For each part, what each of its passages carries or would carry.
    pub contents: Vec<Vec<Contents>>,
}

/// A circuit: of which engine, and what it carries.
type Of = (usize, Circuit);

/// A port: of which part, and its name.
type Port = (usize, &'static str);

/// Ports that meet are one set, known by its first member.
#[derive(Default)]
struct Meetings {
    place: HashMap<Port, usize>,
    ports: Vec<(Port, Of)>,
    parent: Vec<usize>,
}

impl Meetings {
    fn at(&mut self, port: Port, of: Of) -> usize {
        *self.place.entry(port).or_insert_with(|| {
            self.ports.push((port, of));
            self.parent.push(self.parent.len());
            self.parent.len() - 1
        })
    }

    fn root(&self, mut at: usize) -> usize {
        while self.parent[at] != at {
            at = self.parent[at];
        }
        at
    }

    /// The earlier port gives the set its name.
    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.parent[a.max(b)] = a.min(b);
    }
}

/// Joins the ends of every path.
pub(crate) fn join(draft: &mut Draft) -> Joined {
    let mut filled: BTreeMap<Of, Contents> = BTreeMap::new();
    for engine in 0..draft.engines.len().max(1) {
        draft.serving = engine;
        filled.extend(Circuit::ALL.iter().map(|circuit| ((engine, *circuit), filling::contents(draft, *circuit))));
    }
    draft.serving = 0;
    let carried = carried(draft);
    let mut meetings = Meetings::default();
    let mut findings = Vec::new();
    for (of @ (_, circuit), paths) in &draft.circuits {
        let ring =
            circuit.is_closed().then(|| paths.trunk.first().map(|first| paths.trunk.iter().chain([first]).collect()));
        let trunk = ring.flatten().unwrap_or_else(|| paths.trunk.iter().collect::<Vec<&Step>>());
        let branches = paths.branches.iter().map(|branch| branch.iter().collect::<Vec<&Step>>());
        for path in std::iter::once(trunk).chain(branches) {
            own_ports(draft, *of, &path, &mut meetings);
            for pair in path.windows(2) {
                join_pair(draft, *of, pair[0], pair[1], &mut meetings, &mut findings);
            }
        }
    }
    draft.findings.extend(findings);
    build(draft, &carried, &filled, &meetings)
}

/// The circuit of each passage that is in a path: for each part, for each passage.
fn carried(draft: &mut Draft) -> Vec<Vec<Option<Of>>> {
    let mut carried: Vec<Vec<Option<Of>>> = draft.parts.iter().map(|p| vec![None; p.kind.passages.len()]).collect();
    let mut findings = Vec::new();
    for (of @ (_, circuit), paths) in &draft.circuits {
        for step in paths.trunk.iter().chain(paths.branches.iter().flatten()) {
            let seen = &mut carried[step.part][step.passage];
            if seen.is_some_and(|(_, other)| other != *circuit) {
                let part = draft.parts[step.part].name.clone();
                let problem = Problem::PathMeetsItself { part, circuit: circuit.name().into() };
                findings.push(Finding::at(problem, step.place.clone()));
            }
            // What two engines share is the first one's.
            seen.get_or_insert(*of);
        }
    }
    draft.findings.extend(findings);
    carried
}

/// Gives the ports of each step a place, in the order of the flow.
fn own_ports(draft: &Draft, of: Of, path: &[&Step], meetings: &mut Meetings) {
    for step in path {
        let passage = &draft.parts[step.part].kind.passages[step.passage];
        for end in [passage.from, passage.to] {
            if let End::Port(port) = end {
                meetings.at((step.part, port), of);
            }
        }
    }
}

fn join_pair(draft: &Draft, of: Of, a: &Step, b: &Step, meetings: &mut Meetings, findings: &mut Vec<Finding>) {
    let (from, to) = (&draft.parts[a.part], &draft.parts[b.part]);
    let circuit_name = || of.1.name().to_string();
    // What ends in ground hangs on its port: the path goes on from there, and comes to it there.
    let (from_way, to_way) = (&from.kind.passages[a.passage], &to.kind.passages[b.passage]);
    let live = |end: End, way: &Passage| way.live_port().map_or(end, End::Port);
    match (live(from_way.to, from_way), live(to_way.from, to_way)) {
        (End::Port(out), End::Port(inlet)) => {
            let (out, inlet) = (meetings.at((a.part, out), of), meetings.at((b.part, inlet), of));
            meetings.join(out, inlet);
        }
        (End::Port(_), _) => findings.push(Finding::at(
            Problem::NothingBefore { part: to.name.clone(), circuit: circuit_name() },
            b.place.clone(),
        )),
        (_, _) => findings.push(Finding::at(
            Problem::NothingAfter { part: from.name.clone(), circuit: circuit_name() },
            a.place.clone(),
        )),
    }
}

fn build(
    draft: &mut Draft,
    carried: &[Vec<Option<Of>>],
    filled: &BTreeMap<Of, Contents>,
    meetings: &Meetings,
) -> Joined {
    let mut joined = Joined::default();
    let mut nodes: HashMap<usize, NodeId> = HashMap::new();
    for (index, ((part, port), of)) in meetings.ports.iter().enumerate() {
        if meetings.root(index) == index {
            let name = format!("{} {}", draft.parts[*part].name, folded(port));
            nodes.insert(index, NodeId(joined.nodes.len()));
            joined.nodes.push(Node { name, circuit: of.1, contents: filled[of] });
        }
    }
    let node = |port: Port| meetings.place.get(&port).and_then(|at| nodes.get(&meetings.root(*at))).copied();
    for (part, described) in draft.parts.iter().enumerate() {
        let mut flows = Vec::new();
        let mut contents = Vec::new();
        for (passage, way) in described.kind.passages.iter().enumerate() {
            let terminal = |end: End| match end {
                End::Port(port) => node((part, port)).map(Terminal::Node),
                End::Sea => Some(Terminal::Sea),
                End::Air => Some(Terminal::Air),
                End::Ground | End::Store => Some(Terminal::Ground),
                End::Into(port) => node((part, port)).map(Terminal::Into),
            };
            let serves = described.serves.unwrap_or(0);
            let of = carried[part][passage].or_else(|| way.carries.first().map(|circuit| (serves, *circuit)));
            contents.push(of.map_or(Contents::FreshWater, |of| filled[&of]));
            let mut flow = None;
            if way.is_pool() {
                if let Some(Terminal::Node(node)) = terminal(way.from) {
                    joined.pools.push(Pool { part: PartId(part), passage, node });
                }
            } else if let (Some(of), Some(from), Some(to)) =
                (carried[part][passage], terminal(way.from), terminal(way.to))
            {
                flow = Some(FlowId(joined.flows.len()));
                let contents = filled[&of];
                joined.flows.push(Flow { part: PartId(part), passage, circuit: of.1, from, to, contents });
            }
            flows.push(flow);
        }
        joined.part_flows.push(flows);
        joined.contents.push(contents);
    }
    joined
}
