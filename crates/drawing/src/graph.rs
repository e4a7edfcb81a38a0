//! The plant as a drawing needs it: pieces with ports, and nets that join ports.

use parts::kind::{Circuit, Link, Symbol, Way};
use plant::plant::{FlowId, NodeId, PartId, Plant, Terminal};

/// Pieces, their ports, and the nets between.
#[derive(Clone)]
pub(super) struct Graph {
    pub pieces: Vec<Piece>,
    pub ports: Vec<Port>,
    pub nets: Vec<Net>,
}

/// A part on the page, by its place among the plant's parts.
#[derive(Clone)]
pub(super) struct Piece {
    pub symbol: &'static Symbol,
    /// The lane it stands in.
    pub home: Circuit,
    /// Drawn against the flow of the page: what is right stands left.
    pub mirrored: bool,
    /// Turned over: what is below stands above.
    pub flipped: bool,
    pub ports: Vec<usize>,
}

/// Where a net meets a piece.
#[derive(Clone)]
pub(super) struct Port {
    pub piece: usize,
    /// Passage and end, for "exchanger.raw.in".
    pub name: String,
    pub side: Side,
    /// From the upper left corner of the piece as drawn [px].
    pub at: (f64, f64),
    pub circuit: Circuit,
    pub enters: bool,
    pub flow: Option<FlowId>,
    pub net: usize,
}

#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    Left,
    Right,
    Top,
    Bottom,
}

/// Ports that are joined.
#[derive(Clone)]
pub(super) struct Net {
    pub circuit: Circuit,
    pub node: Option<NodeId>,
    pub sources: Vec<usize>,
    pub sinks: Vec<usize>,
    /// A tank that stands on the pipe and is not flowed through.
    pub hanging: Vec<usize>,
    /// What comes in here has gone round: it runs back to where its ring begins.
    pub returns: bool,
}

impl Net {
    fn new(circuit: Circuit, node: Option<NodeId>) -> Net {
        Net { circuit, node, sources: vec![], sinks: vec![], hanging: vec![], returns: false }
    }

    pub fn ends(&self) -> impl Iterator<Item = usize> + '_ {
        self.sources.iter().chain(&self.sinks).chain(&self.hanging).copied()
    }

    /// The pairs of ports that are drawn, each from where it flows to where it goes.
    pub fn pairs(&self) -> Vec<(usize, usize)> {
        let mut pairs: Vec<_> = self.sources.iter().filter_map(|s| self.sinks.first().map(|t| (*s, *t))).collect();
        pairs.extend(self.sinks.iter().skip(1).filter_map(|t| self.sources.first().map(|s| (*s, *t))));
        pairs.extend(self.hanging.iter().filter_map(|h| self.sinks.first().map(|t| (*h, *t))));
        pairs
    }
}

impl Graph {
    /// Pieces and nets of a plant, in its order.
    pub fn of(plant: &Plant) -> Graph {
        let pieces = plant.parts.iter().map(|part| Piece {
            symbol: &part.kind.symbol,
            home: part.kind.circuit,
            mirrored: false,
            flipped: false,
            ports: vec![],
        });
        let mut graph = Graph { pieces: pieces.collect(), ports: vec![], nets: vec![] };
        graph.join_nodes(plant);
        graph.join_links(plant);
        graph.nets.retain(|net| !net.sinks.is_empty() && net.ends().count() > 1);
        graph.number();
        for piece in 0..graph.pieces.len() {
            graph.pieces[piece].home = graph.home(plant, piece);
        }
        graph
    }

    /// Pieces joined in the direction of the flow, with the net that joins them.
    pub fn edges(&self) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
        self.nets.iter().enumerate().flat_map(move |(index, net)| {
            let ends = |ports: &[usize]| ports.iter().map(|p| self.ports[*p].piece).collect::<Vec<_>>();
            let sinks = ends(&net.sinks);
            ends(&net.sources).into_iter().flat_map(move |s| sinks.clone().into_iter().map(move |t| (s, t, index)))
        })
    }

    /// The block, if there is one.
    pub fn block(&self) -> Option<usize> {
        self.pieces.iter().position(|piece| piece.symbol.block)
    }

    fn port(
        &mut self,
        piece: usize,
        name: String,
        at: Option<(f64, f64)>,
        circuit: Circuit,
        enters: bool,
    ) -> Option<usize> {
        let at = at?;
        let (width, _) = self.pieces[piece].symbol.size;
        let side = match at {
            (0.0, _) => Side::Left,
            (x, _) if x == width => Side::Right,
            (_, 0.0) => Side::Top,
            _ => Side::Bottom,
        };
        self.ports.push(Port { piece, name, side, at, circuit, enters, flow: None, net: usize::MAX });
        Some(self.ports.len() - 1)
    }

    fn join_nodes(&mut self, plant: &Plant) {
        let mut nets: Vec<Net> =
            plant.nodes.iter().enumerate().map(|(k, node)| Net::new(node.circuit, Some(NodeId(k)))).collect();
        // A pool that is flowed through parts what comes to it from what leaves.
        let mut leaves: Vec<Option<Net>> = vec![None; nets.len()];
        for pool in &plant.pools {
            let way = way_of(self.pieces[pool.part.0].symbol, pool.passage);
            let (name, net) = (plant[pool.part].kind.passages[pool.passage].name, &mut nets[pool.node.0]);
            if let Some(port) = self.port(pool.part.0, format!("{name}.in"), way.enter, net.circuit, true) {
                net.returns = true;
                net.hanging.push(port);
            }
            if let Some(port) = self.port(pool.part.0, format!("{name}.out"), way.leave, net.circuit, false) {
                let mut out = Net::new(net.circuit, net.node);
                out.sources.push(port);
                leaves[pool.node.0] = Some(out);
            }
        }
        for (index, flow) in plant.flows.iter().enumerate().filter(|(_, flow)| flow.from != flow.to) {
            let piece = flow.part.0;
            let (way, name) =
                (way_of(self.pieces[piece].symbol, flow.passage), plant[flow.part].kind.passages[flow.passage].name);
            if let Terminal::Node(node) = flow.from
                && let Some(port) = self.port(piece, format!("{name}.in"), way.enter, flow.circuit, true)
            {
                self.ports[port].flow = Some(FlowId(index));
                leaves[node.0].as_mut().unwrap_or(&mut nets[node.0]).sinks.push(port);
            }
            if let Terminal::Node(node) = flow.to
                && let Some(port) = self.port(piece, format!("{name}.out"), way.leave, flow.circuit, false)
            {
                self.ports[port].flow = Some(FlowId(index));
                nets[node.0].sources.push(port);
            }
        }
        for net in &mut nets {
            // What nothing flows on from ends in the pool.
            if net.sinks.is_empty() {
                net.sinks.append(&mut net.hanging);
            }
        }
        self.nets = nets.into_iter().chain(leaves.into_iter().flatten()).collect();
    }

    /// Shafts, belts and fuel lines: what has no passage but has its place.
    fn join_links(&mut self, plant: &Plant) {
        let mut joined: Vec<(usize, usize)> = Vec::new();
        let ends = |part: usize| (plant.parts[part].kind.symbol.link, plant.parts[part].kind.circuit);
        let block = self.block();
        // What fuel flows through is laid out by its flows; a spoken tank and pump by what they are.
        let spoken = |p: &usize| ends(*p).1 == Circuit::Fuel && plant.parts[*p].kind.passages.is_empty();
        let fuel: Vec<usize> = (0..plant.parts.len()).filter(spoken).collect();
        let is_store = |p: &usize| ends(*p).0.enter.is_none();
        let chain: Vec<usize> = fuel.iter().filter(|p| !is_store(p)).copied().chain(block).collect();
        joined.extend(chain.windows(2).map(|pair| (pair[0], pair[1])));
        joined.extend(fuel.iter().filter(|p| is_store(p)).filter_map(|store| Some((*store, *chain.first()?))));
        // What feeds the cylinders out of its flows is joined to the engine beside them.
        let feeds = |p: &usize| ends(*p).1 == Circuit::Fuel && !spoken(p) && ends(*p).0.leave.is_some();
        joined.extend((0..plant.parts.len()).filter(feeds).filter_map(|pump| Some((pump, block?))));
        // What turns the engine to start it, with no flow of its own.
        let starts = |p: &usize| {
            let (way, circuit) = ends(*p);
            let apart = plant.parts[*p].kind.passages.is_empty() && circuit != Circuit::Fuel;
            apart && way.enter.is_none() && way.leave.is_some()
        };
        joined.extend((0..plant.parts.len()).filter(starts).filter_map(|start| Some((start, block?))));
        for (index, part) in plant.parts.iter().enumerate() {
            if ends(index).0.enter.is_none() || ends(index).1 == Circuit::Fuel || Some(index) == block {
                continue;
            }
            let gear = (0..plant.parts.len()).find(|other| {
                let (way, circuit) = ends(*other);
                circuit == ends(index).1 && way.enter.is_some() && way.leave.is_some()
            });
            let by_engine = part.kind.links.iter().any(|link| matches!(link, Link::Engine(_)));
            let driver = driver(plant, index)
                .or_else(|| gear.filter(|_| by_engine && ends(index).0.leave.is_none()))
                .or(block.filter(|_| by_engine));
            joined.extend(driver.filter(|driver| ends(*driver).0.leave.is_some()).map(|driver| (driver, index)));
        }
        let mut from: Vec<(usize, usize)> = Vec::new();
        for (a, b) in joined {
            let into_block = Some(b) == block;
            let circuit = ends(if into_block { a } else { b }).1;
            let Some(sink) = self.port(b, "link.in".into(), ends(b).0.enter, circuit, true) else { continue };
            // Each thing that the block turns has a port of its own: its shaft is straight.
            let known = from.iter().find(|(driver, _)| *driver == a && Some(a) != block);
            if let Some((_, net)) = known {
                self.nets[*net].sinks.push(sink);
                continue;
            }
            let Some(source) = self.port(a, format!("link.out.{b}"), ends(a).0.leave, circuit, false) else { continue };
            let mut net = Net::new(circuit, None);
            net.sources.push(source);
            net.sinks.push(sink);
            from.push((a, self.nets.len()));
            self.nets.push(net);
        }
    }

    /// Ports that are in no net go; the rest learn their net and their piece's list.
    fn number(&mut self) {
        for (index, net) in self.nets.iter().enumerate() {
            for port in net.ends() {
                self.ports[port].net = index;
                self.pieces[self.ports[port].piece].ports.push(port);
            }
        }
    }

    /// The lane of what runs through from side to side, else of its shaft, else of its pool.
    fn home(&self, plant: &Plant, piece: usize) -> Circuit {
        let through = self.pieces[piece].ports.iter().map(|port| &self.ports[*port]);
        let across = through.clone().filter(|port| matches!(port.side, Side::Left | Side::Right));
        let pool = plant.pools.iter().find(|pool| pool.part.0 == piece).map(|pool| plant.nodes[pool.node.0].circuit);
        let shaft = plant.parts[piece].kind.symbol.link;
        let has_shaft = shaft.enter.is_some() || shaft.leave.is_some();
        let first = across.min_by_key(|port| port.flow).map(|port| port.circuit);
        first.or(pool.filter(|_| !has_shaft)).unwrap_or(plant.parts[piece].kind.circuit)
    }
}

/// What turns a part, if that is told by its link.
pub(super) fn driver(plant: &Plant, part: usize) -> Option<usize> {
    let told = |link: &Link| matches!(link, Link::DriverSpeed | Link::Shaft(_));
    let by_shaft = |driver: &PartId| plant[*driver].kind.links.iter().any(|link| matches!(link, Link::Shaft(_)));
    let driver = plant::follow::turned_by(plant, PartId(part));
    let told = plant.parts[part].kind.links.iter().any(told);
    driver.filter(|driver| told || by_shaft(driver)).map(|driver| driver.0)
}

fn way_of(symbol: &Symbol, passage: usize) -> Way {
    symbol.ways.get(passage).copied().unwrap_or_default()
}
