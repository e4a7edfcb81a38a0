//! Which unknown and which equation is where: one pressure and one temperature a node, one flow a branch,
//! and what parts add of their own.

use parts::kind::Circuit;
use parts::laws::{LINKS, PASSAGES, UNKNOWNS};
use plant::plant::{Linked, NodeId, PartId, Plant, Terminal};

/// Where a law's input comes from.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) enum Slot {
    /// An unknown.
    Unknown(usize),
    /// Pressure at the intake, in the sea.
    SeaPressure,
    /// Sea temperature.
    Sea,
    /// Pressure of the atmosphere.
    AirPressure,
    /// Outside air temperature.
    Air,
    /// Nothing there; ground.
    Zero,
}

/// Farthest that a solver may try voltages [V] and currents [A].
const VOLTS: f64 = 100.0;
const AMPERES: f64 = 20_000.0;

/// One part's places among the unknowns.
#[derive(Clone, Debug)]
pub(crate) struct Seat {
    /// Every unknown its laws look at, each once.
    pub locals: Vec<usize>,
    /// Flow, inlet and outlet pressure, temperatures either end, of each passage.
    pub flow: [Slot; PASSAGES],
    pub inlet_pressure: [Slot; PASSAGES],
    pub outlet_pressure: [Slot; PASSAGES],
    pub from_temperature: [Slot; PASSAGES],
    pub to_temperature: [Slot; PASSAGES],
    /// First of its own unknowns.
    pub first_unknown: usize,
    /// Links: unknowns to sum, or a constant.
    pub links: [Vec<usize>; LINKS],
    pub link_constants: [f64; LINKS],
    /// Equations its laws write: of each passage the pressure law, the heat balance at either end, and the
    /// mass balance at its end for a leak.
    pub rows: [Rows; PASSAGES],
    /// First of its parameters in the plant's list.
    pub first_parameter: usize,
}

/// Equations a passage writes into.
#[derive(Copy, Clone, Debug, Default)]
pub(crate) struct Rows {
    /// The flow's pressure law, or the pool's pressure.
    pub gap: Option<usize>,
    /// Heat balance where it begins, and where it ends.
    pub heat_from: Option<usize>,
    pub heat_to: Option<usize>,
    /// Mass balance where it ends; none if that node's balance is a pool's pressure.
    pub mass_to: Option<usize>,
}

/// Sizes, bounds and places of everything solved for.
#[derive(Clone, Debug)]
pub struct Layout {
    pub(crate) seats: Vec<Seat>,
    pub(crate) sizes: Vec<f64>,
    pub(crate) gap_sizes: Vec<f64>,
    pub(crate) bounds: Vec<(f64, f64)>,
    pub(crate) pattern: Vec<(usize, usize)>,
    /// For each node, whether a pool holds its pressure.
    pub(crate) held: Vec<bool>,
    pub(crate) nodes: usize,
    pub(crate) flows: usize,
    /// First parameter of each part, and their number in all.
    pub(crate) parameters: usize,
    /// Flow width below which carrying of heat is shared between both directions [kg/s; A], of each flow.
    pub(crate) widths: Vec<f64>,
}

/// Pressure of a node among the unknowns, and its mass balance among the equations.
pub(crate) fn pressure(node: NodeId) -> usize {
    2 * node.0
}

/// Temperature of a node among the unknowns, and its heat balance among the equations.
pub(crate) fn temperature(node: NodeId) -> usize {
    2 * node.0 + 1
}

impl Layout {
    /// Place of a flow among unknowns, and of its pressure law among equations.
    pub(crate) fn flow(&self, flow: usize) -> usize {
        2 * self.nodes + flow
    }

    /// What usually passes along each flow, by its circuit and the rating of the engine [kg/s, or A].
    pub fn flow_sizes(&self) -> &[f64] {
        &self.sizes[self.first_flow()..self.first_flow() + self.flows]
    }

    /// Place of the first flow among the unknowns.
    pub fn first_flow(&self) -> usize {
        2 * self.nodes
    }

    /// First parameter of a part in the plant's list of parameters.
    pub fn first_parameter(&self, part: PartId) -> usize {
        self.seats[part.0].first_parameter
    }

    /// Number of parameters of the whole plant.
    pub fn parameters(&self) -> usize {
        self.parameters
    }

    /// Number of unknowns.
    pub fn len(&self) -> usize {
        self.sizes.len()
    }

    /// Whether there is nothing to solve.
    pub fn is_empty(&self) -> bool {
        self.sizes.is_empty()
    }

    /// Lays out a plant.
    pub fn of(plant: &Plant) -> Layout {
        let (nodes, flows) = (plant.nodes.len(), plant.flows.len());
        let scale = (plant.rated_power / parts::kind::REFERENCE_POWER).max(1e-3);
        let mut held = vec![false; nodes];
        for pool in &plant.pools {
            held[pool.node.0] = true;
        }
        let mut layout = Layout {
            seats: Vec::new(),
            sizes: Vec::new(),
            gap_sizes: Vec::new(),
            bounds: Vec::new(),
            pattern: Vec::new(),
            held,
            nodes,
            flows,
            parameters: 0,
            widths: Vec::new(),
        };
        for node in &plant.nodes {
            if node.circuit.is_electric() {
                layout.unknown(1.0, 1.0, (-VOLTS, VOLTS));
                layout.unknown(10.0, 100.0 * scale, (200.0, 1_600.0));
                continue;
            }
            let thin = matches!(node.circuit, Circuit::Exhaust | Circuit::Fuel);
            layout.unknown(10_000.0, 0.01 * scale * if thin { 0.1 } else { 1.0 }, (-3e6, 2e7));
            layout.unknown(10.0, 100.0 * scale, (200.0, 1_600.0));
        }
        for pool in &plant.pools {
            layout.gap_sizes[pressure(pool.node)] = 1_000.0;
        }
        for flow in &plant.flows {
            if flow.circuit.is_electric() {
                layout.unknown(10.0, 0.1, (-AMPERES, AMPERES));
                layout.widths.push(0.1);
                continue;
            }
            let usual = match flow.circuit {
                Circuit::Fuel => 0.005,
                Circuit::Exhaust => 0.02,
                _ => 0.2,
            };
            let size = scale * usual;
            layout.unknown(size, 1_000.0, (-1_000.0 * scale, 1_000.0 * scale));
            layout.widths.push(size * 2e-3);
        }
        layout.seat_parts(plant);
        layout.find_pattern(plant);
        layout
    }

    fn unknown(&mut self, size: f64, gap_size: f64, bounds: (f64, f64)) {
        self.sizes.push(size);
        self.gap_sizes.push(gap_size);
        self.bounds.push(bounds);
    }

    fn seat_parts(&mut self, plant: &Plant) {
        let mut firsts = Vec::new();
        for part in &plant.parts {
            firsts.push(self.len());
            for u in part.kind.unknowns {
                self.unknown(u.size, u.size, u.bounds);
            }
        }
        for (id, part) in plant.parts.iter().enumerate() {
            let zero = [Slot::Zero; PASSAGES];
            let mut seat = Seat {
                locals: Vec::new(),
                flow: zero,
                inlet_pressure: zero,
                outlet_pressure: zero,
                from_temperature: zero,
                to_temperature: zero,
                first_unknown: firsts[id],
                links: std::array::from_fn(|_| Vec::new()),
                link_constants: [0.0; LINKS],
                rows: [Rows::default(); PASSAGES],
                first_parameter: self.parameters,
            };
            self.parameters += part.kind.parameters.len();
            for (k, flow) in part.flows.iter().enumerate() {
                if let Some(flow) = flow {
                    self.seat_flow(plant, &mut seat, k, flow.0);
                }
            }
            for pool in plant.pools.iter().filter(|pool| pool.part.0 == id) {
                let k = pool.passage;
                seat.inlet_pressure[k] = Slot::Unknown(pressure(pool.node));
                seat.outlet_pressure[k] = seat.inlet_pressure[k];
                seat.from_temperature[k] = Slot::Unknown(temperature(pool.node));
                seat.to_temperature[k] = seat.from_temperature[k];
                seat.rows[k] = Rows {
                    gap: Some(pressure(pool.node)),
                    heat_from: None,
                    heat_to: Some(temperature(pool.node)),
                    mass_to: None,
                };
            }
            for (k, link) in part.links.iter().enumerate() {
                match link {
                    Linked::Constant(value) => seat.link_constants[k] = *value,
                    Linked::Flows(list) => seat.links[k] = list.iter().map(|f| self.flow(f.0)).collect(),
                    Linked::Temperature(node) => seat.links[k] = vec![temperature(*node)],
                    Linked::Unknowns(list) => seat.links[k] = list.iter().map(|(p, u)| firsts[p.0] + u).collect(),
                }
            }
            seat.gather_locals(part.kind.unknowns.len());
            self.seats.push(seat);
        }
    }

    fn seat_flow(&self, plant: &Plant, seat: &mut Seat, k: usize, flow: usize) {
        let f = &plant.flows[flow];
        let ends = |terminal: Terminal| match terminal {
            Terminal::Node(n) | Terminal::Into(n) => (Slot::Unknown(pressure(n)), Slot::Unknown(temperature(n))),
            Terminal::Sea => (Slot::SeaPressure, Slot::Sea),
            Terminal::Air => (Slot::AirPressure, Slot::Air),
            Terminal::Ground => (Slot::Zero, Slot::Air),
        };
        seat.flow[k] = Slot::Unknown(self.flow(flow));
        (seat.inlet_pressure[k], seat.from_temperature[k]) = ends(f.from);
        (seat.outlet_pressure[k], seat.to_temperature[k]) = ends(f.to);
        let node = |terminal| if let Terminal::Node(n) = terminal { Some(n) } else { None };
        seat.rows[k] = Rows {
            gap: Some(self.flow(flow)),
            heat_from: node(f.from).map(temperature),
            heat_to: node(f.to).map(temperature),
            mass_to: node(f.to).filter(|n| !self.held[n.0]).map(pressure),
        };
        if matches!(f.to, Terminal::Into(_)) {
            // Water sprayed into gas does not come back as gas.
            seat.to_temperature[k] = seat.from_temperature[k];
        }
    }

    /// Every (equation, unknown) that balances and laws can touch, in the order `balance` writes their slopes.
    fn find_pattern(&mut self, plant: &Plant) {
        let mut pattern = Vec::new();
        for (id, part) in plant.parts.iter().enumerate() {
            let seat = &self.seats[id];
            let passages = seat.rows.iter().flat_map(Rows::written);
            let own = (0..part.kind.unknowns.len()).map(|u| seat.first_unknown + u);
            for row in passages.chain(own) {
                pattern.extend(seat.locals.iter().map(|&local| (row, local)));
            }
        }
        for (k, flow) in plant.flows.iter().enumerate() {
            for (row, columns) in self.carried(k, flow.from, flow.to) {
                pattern.extend(columns.into_iter().map(|column| (row, column)));
            }
        }
        pattern.extend((0..self.nodes).map(|n| (temperature(NodeId(n)), temperature(NodeId(n)))));
        self.pattern = pattern;
    }

    /// Rows and columns of the balances a flow writes: mass at either end, heat carried to either end.
    pub(crate) fn carried(&self, flow: usize, from: Terminal, to: Terminal) -> Vec<(usize, Vec<usize>)> {
        let m = self.flow(flow);
        let mut rows = Vec::new();
        for (end, other) in [(from, to), (to, from)] {
            let Terminal::Node(node) = end else { continue };
            if !self.held[node.0] {
                rows.push((pressure(node), vec![m]));
            }
            let mut columns = vec![m, temperature(node)];
            if let Terminal::Node(other) = other {
                columns.push(temperature(other));
            }
            rows.push((temperature(node), columns));
        }
        rows
    }
}

impl Rows {
    /// The rows this passage writes, in the order `balance` writes them.
    pub(crate) fn written(&self) -> impl Iterator<Item = usize> + use<> {
        [self.gap, self.heat_from, self.heat_to, self.mass_to].into_iter().flatten()
    }
}

impl Seat {
    fn gather_locals(&mut self, unknowns: usize) {
        debug_assert!(unknowns <= UNKNOWNS);
        let slots = [self.flow, self.inlet_pressure, self.outlet_pressure, self.from_temperature, self.to_temperature];
        let mut locals: Vec<usize> = slots
            .iter()
            .flatten()
            .filter_map(|slot| if let Slot::Unknown(u) = slot { Some(*u) } else { None })
            .chain((0..unknowns).map(|u| self.first_unknown + u))
            .chain(self.links.iter().flatten().copied())
            .collect();
        locals.sort_unstable();
        locals.dedup();
        self.locals = locals;
    }
}
