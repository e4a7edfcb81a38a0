//! The typed plant: parts, the nodes their ports meet in, the flows between, and the gauges that look at them.

use crate::aboard::Aboard;
use crate::line_up::LineUp;
use crate::rates::OwnRate;
use crate::sends::{Calibration, Curve};
use crate::sisters::Sisters;
use bus::channel::Channel;
use measure::figure::Figure;
use measure::quantity::Quantity;
use parts::kind::{Circuit, End, Head, Kind, Parameter, Sends, When};
use physics::contents::Contents;
use std::ops::Range;

/// A part of this plant, by its place in [`Plant::parts`].
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PartId(pub usize);
/// A node of this plant, by its place in [`Plant::nodes`].
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NodeId(pub usize);
/// A flow of this plant, by its place in [`Plant::flows`].
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FlowId(pub usize);
/// A gauge or alarm of this plant, by its place in [`Plant::gauges`].
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct GaugeId(pub usize);

/// One vessel's engine room, typed and connected.
#[derive(Clone, Debug)]
pub struct Plant {
    /// The vessel's name.
    pub name: String,
    /// Every part, the owner's first, then those assumed to be there.
    pub parts: Vec<Part>,
    /// Where ports meet.
    pub nodes: Vec<Node>,
    /// Ways through parts that are connected.
    pub flows: Vec<Flow>,
    /// Pools (sump, header tank) and the node each one is.
    pub pools: Vec<Pool>,
    /// Gauges and alarms, in the order of the file.
    pub gauges: Vec<Gauge>,
    /// Named sets of valve positions, in the order of the file.
    pub line_ups: Vec<LineUp>,
    /// Which of them are on sister engines what they are on this.
    pub sisters: Sisters,
    /// Tools, spares and the owner's own pace.
    pub aboard: Aboard,
    /// How often things fail on her, where the owner tells it; [`Plant::rate`] gives the one that counts.
    pub rates: Vec<OwnRate>,
    /// Rated power of the main engine [W], for scaling typical values.
    pub rated_power: f64,
    /// Its rated speed [rad/s].
    pub rated_speed: f64,
    /// Nominal voltage of the vessel [V].
    pub nominal_voltage: f64,
}

/// One part.
#[derive(Clone, Debug)]
pub struct Part {
    /// The owner's name for it.
    pub name: String,
    /// What it is.
    pub kind: &'static Kind,
    /// One figure for each of the kind's parameters [SI].
    pub figures: Vec<Figure>,
    /// The engine it serves; an engine serves itself.
    pub engine: Option<PartId>,
    /// Nothing tells that it is that engine's alone: a tank beside two engines feeds both.
    pub common: bool,
    /// One for each of the kind's links.
    pub links: Vec<Linked>,
    /// For each of the kind's passages, the flow it became; `None` if unconnected or a pool.
    pub flows: Vec<Option<FlowId>>,
    /// The owner did not name it; every plant of this sort has one.
    pub assumed: bool,
    /// Where in the file it is described [byte offsets]; empty if assumed.
    pub place: Range<usize>,
    /// Where it is on board, its tag, how its handle lies, photo, manual page, serial number, note: as written.
    pub notes: Vec<(String, String)>,
    /// Running hours since it was last serviced or found good, if known [h].
    pub hours_since: Option<f64>,
    /// Running hours since single ways to fail were last looked for or taken away, by their place in the kind's table [h].
    pub causes_since: Vec<(usize, f64)>,
}

/// What a link of a part reads.
#[derive(Clone, Debug, PartialEq)]
pub enum Linked {
    /// The sum of these parts' inner unknowns (part, place in its kind's table); none is 0.
    Unknowns(Vec<(PartId, usize)>),
    /// The sum of these flows [kg/s]; none is 0.
    Flows(Vec<FlowId>),
    /// The temperature where ports meet [K].
    Temperature(NodeId),
    /// Always this.
    Constant(f64),
}

/// Where ports meet: one pressure, one temperature; where current flows, one voltage.
#[derive(Clone, Debug)]
pub struct Node {
    /// "raw-pump out": the first port that made it.
    pub name: String,
    /// Its circuit.
    pub circuit: Circuit,
    /// What is in it.
    pub contents: Contents,
}

/// A connected way through a part.
#[derive(Clone, Debug)]
pub struct Flow {
    /// The part.
    pub part: PartId,
    /// Which of its kind's passages.
    pub passage: usize,
    /// Its circuit.
    pub circuit: Circuit,
    /// Where it begins.
    pub from: Terminal,
    /// Where it ends.
    pub to: Terminal,
    /// What it carries.
    pub contents: Contents,
}

/// Temperatures at which a flow by volume is meant [K]: sea 15 °C, coolant 80 °C, oil 90 °C.
const SEA_AT: f64 = 288.15;
const COOLANT_AT: f64 = 353.15;
const OIL_AT: f64 = 363.15;

/// Density at which a flow of this is told and read by volume [kg/m³]; gas is told by mass, current as it is.
pub fn metered_density(contents: &Contents) -> Option<f64> {
    match contents {
        Contents::Gas { .. } | Contents::Current => None,
        Contents::Oil { .. } => Some(contents.density(OIL_AT)),
        Contents::Coolant { .. } => Some(contents.density(COOLANT_AT)),
        _ => Some(contents.density(SEA_AT)),
    }
}

/// Which of a kind's passages a parameter of flow is told of, by the last word of its name that tells: "rated_coolant_flow".
pub fn metered_passage(kind: &Kind, parameter: &Parameter) -> usize {
    let mut words = parameter.name.rsplit('_');
    let by_word = words.find_map(|word| match word {
        "cold" => Some(0),
        "hot" => Some(1),
        "coolant" => kind.passages.iter().position(|p| p.carries.contains(&Circuit::FreshWater)),
        word => kind.passages.iter().position(|p| p.name == word),
    });
    by_word.unwrap_or(0)
}

/// An end of a flow.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Terminal {
    /// A node.
    Node(NodeId),
    /// The sea at the intake's depth.
    Sea,
    /// The open air.
    Air,
    /// Ground: the hull or the negative busbar, at 0 V.
    Ground,
    /// Feels the pressure of this node but does not join its balance.
    Into(NodeId),
}

/// A pool and its node.
#[derive(Clone, Debug)]
pub struct Pool {
    /// The part.
    pub part: PartId,
    /// Which of its kind's passages.
    pub passage: usize,
    /// The node it is.
    pub node: NodeId,
}

/// A gauge, sender or alarm.
#[derive(Clone, Debug)]
pub struct Gauge {
    /// The owner's name for it.
    pub name: String,
    /// What it is, with the ways it lies.
    pub kind: &'static Kind,
    /// What it looks at.
    pub tap: Tap,
    /// What its readings are: `Temperature`, `GaugePressure`, `RotationalSpeed`…
    pub quantity: Quantity,
    /// Lasting error that a sound one stays inside 19 times in 20 [SI].
    pub accuracy: f64,
    /// Flicker and reading error, one standard deviation [SI].
    pub noise: f64,
    /// Lowest and highest mark of its scale [SI].
    pub scale: (f64, f64),
    /// Unit of its dial, for printing.
    pub unit: String,
    /// For an alarm: where it trips [SI] and on which side.
    pub trips: Option<(f64, When)>,
    /// What it has its reading, its ground and its supply from.
    pub chain: Chain,
    /// Which value of a bus it is, where it is on one.
    pub heard: Option<Channel>,
    /// What its sender gives, where that is told: its readings may then be given as ohms, milliamperes or volts.
    pub sends: Option<Curve>,
    /// What it was found to be off, in order of dates.
    pub calibrated: Vec<Calibration>,
    /// Its dial shows suction as positive: 20 kPa on it is a value of −20 kPa here; scale and trip point are values.
    pub vacuum: bool,
    /// How long before its alerts count, as far as it is told.
    pub delays: TellDelays,
    /// Where in the file it is described [byte offsets].
    pub place: Range<usize>,
    /// Further notes, as written.
    pub notes: Vec<(String, String)>,
}

/// How long before an alert of a gauge counts, as the owner tells it; what is not told goes by the quantity.
#[derive(Copy, Clone, Debug, Default, PartialEq)]
pub struct TellDelays {
    /// It has to last so long before it is there [s].
    pub on: Option<f64>,
    /// It has to be gone so long before it is over [s].
    pub off: Option<f64>,
    /// How far on the right side of its limit a reading has to be before it is gone [SI].
    pub deadband: Option<f64>,
}

/// What stands between a quantity and its dial, as far as it has a name of its own; others may have it in common.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Chain {
    /// The sender.
    pub sender: Option<PartId>,
    /// Where the sender is grounded.
    pub ground: Option<PartId>,
    /// The plug its wires go through.
    pub plug: Option<PartId>,
    /// What feeds the instrument.
    pub supply: Option<PartId>,
    /// How the sender's resistance goes.
    pub sends: Sends,
    /// What shows the reading.
    pub head: Head,
}

impl Chain {
    /// The members that have a name of their own.
    pub fn members(&self) -> impl Iterator<Item = PartId> + use<> {
        [self.sender, self.ground, self.plug, self.supply].into_iter().flatten()
    }
}

/// What a gauge looks at.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Tap {
    /// Pressure of a node over the atmosphere.
    Pressure(NodeId),
    /// Temperature of a node.
    Temperature(NodeId),
    /// Pressure lost along a flow.
    Drop(FlowId),
    /// Voltage of a node against ground [V].
    Voltage(NodeId),
    /// Mass flow [kg/s]; where current flows, in amperes.
    Flow(FlowId),
    /// The same by volume [m³/s], at the density a liquid is metered at.
    Meter(FlowId),
    /// An inner unknown of a part.
    Unknown(PartId, usize),
    /// Sea temperature.
    Sea,
    /// Outside air temperature.
    Air,
}

/// The inner quantity of a propeller whose pitch can be set.
pub const PITCH: &str = "pitch";

impl Plant {
    /// Can the pitch of a propeller be set, so that it is part of the operating point?
    pub fn sets_pitch(&self) -> bool {
        self.parts.iter().any(|part| part.kind.unknowns.iter().any(|unknown| unknown.name == PITCH))
    }

    /// Does it tell the pitch that is set?
    pub fn is_pitch(&self, tap: Tap) -> bool {
        matches!(tap, Tap::Unknown(part, place) if self[part].kind.unknowns.get(place).is_some_and(|u| u.name == PITCH))
    }

    /// Her engines, in the order of the file: each serves itself.
    pub fn engines(&self) -> impl Iterator<Item = PartId> + '_ {
        let ids = (0..self.parts.len()).map(PartId);
        ids.filter(|id| self[*id].engine == Some(*id) && crate::names::is_engine(self[*id].kind))
    }

    /// The part of that name.
    pub fn part(&self, name: &str) -> Option<PartId> {
        self.parts.iter().position(|part| part.name == name).map(PartId)
    }

    /// The engines that a part has to do with: the one it serves, and those of every part that it is joined to.
    pub fn engines_of(&self, part: PartId) -> Vec<Option<PartId>> {
        let ends = |part: PartId| {
            let flows = self.flows.iter().filter(move |flow| flow.part == part).flat_map(|flow| [flow.from, flow.to]);
            let pools = self.pools.iter().filter(move |pool| pool.part == part).map(|pool| Terminal::Node(pool.node));
            flows.chain(pools).filter(|end| matches!(end, Terminal::Node(_)))
        };
        let own: Vec<Terminal> = ends(part).collect();
        let mut engines = vec![self[part].engine];
        if self[part].common && own.is_empty() {
            engines.extend(self.parts.iter().map(|other| other.engine));
            engines.sort_unstable();
            engines.dedup();
            return engines;
        }
        for other in (0..self.parts.len()).map(PartId) {
            let engine = self[other].engine;
            if !engines.contains(&engine) && ends(other).any(|end| own.contains(&end)) {
                engines.push(engine);
            }
        }
        engines
    }

    /// Has a part to do with the engine that another one serves?
    pub fn concerns(&self, part: PartId, other: PartId) -> bool {
        let engine = self[other].engine;
        self[part].engine == engine || self.engines_of(part).contains(&engine)
    }

    /// Where a flow goes in and out that its part stores, a battery's: the node it hangs on.
    pub fn stores(&self, flow: FlowId) -> Option<NodeId> {
        let flow = &self.flows[flow.0];
        let stored = self[flow.part].kind.passages[flow.passage].to == End::Store;
        if let Terminal::Node(node) = flow.from { stored.then_some(node) } else { None }
    }

    /// The tap that reads the pressure of a node, or its voltage where current flows.
    pub fn level_at(&self, node: NodeId) -> Tap {
        if self.nodes[node.0].circuit.is_electric() { Tap::Voltage(node) } else { Tap::Pressure(node) }
    }

    /// Every gauge and alarm, in the order of the file.
    pub fn gauge_ids(&self) -> impl Iterator<Item = GaugeId> + use<> {
        (0..self.gauges.len()).map(GaugeId)
    }

    /// The gauge of that name.
    pub fn gauge(&self, name: &str) -> Option<GaugeId> {
        self.gauges.iter().position(|gauge| gauge.name == name).map(GaugeId)
    }
}

impl std::ops::Index<PartId> for Plant {
    type Output = Part;
    fn index(&self, id: PartId) -> &Part {
        &self.parts[id.0]
    }
}

impl std::ops::Index<GaugeId> for Plant {
    type Output = Gauge;
    fn index(&self, id: GaugeId) -> &Gauge {
        &self.gauges[id.0]
    }
}
