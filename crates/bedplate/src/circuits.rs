//! The flows and the heat behind the readings, circuit by circuit, in the order of the flow.

use measure::quantity::Quantity;
use model::steady::{Model, State};
use parts::kind::{Circuit, Probe};
use physics::diesel_fuel;
use plant::plant::{Flow, FlowId, PartId, Plant, Terminal};

/// One circuit at an operating point.
pub struct CircuitFlow {
    /// Which.
    pub circuit: Circuit,
    /// Ways through its parts, in the order of the flow.
    pub ways: Vec<Way>,
    /// Parts of it that nothing passes.
    pub idle: Vec<String>,
}

/// What passes through a part.
pub struct Way {
    /// The part.
    pub part: String,
    /// Which way through it.
    pub passage: &'static str,
    /// Flow [kg/s].
    pub mass_flow: f64,
    /// The same at its inlet temperature [m³/s].
    pub volume_flow: f64,
    /// Temperature in and out [K].
    pub temperature: (f64, f64),
    /// Pressure lost [Pa]; nothing for what begins in the open, where it means little.
    pub drop: Option<f64>,
    /// Heat taken up [W].
    pub heat: f64,
    /// What flows is a gas: its volume says little.
    pub gas: bool,
}

/// Where the heat of the fuel goes.
pub struct HeatBalance {
    /// The engine's name.
    pub engine: String,
    /// Power at the flywheel [W].
    pub power: f64,
    /// Fuel [kg/s].
    pub fuel: f64,
    /// Shares of the fuel's heat by where they go [1].
    pub shares: Vec<(String, f64)>,
}

/// A flow under this share of the most in its circuit is none [1].
const NONE: f64 = 2e-3;

/// Every circuit that a liquid or gas flows in, in the order pages list them.
pub fn all(model: &Model, state: &State, parameters: &[f64]) -> Vec<CircuitFlow> {
    let plant = &model.plant;
    let balance = model.balance(parameters, state.point);
    Circuit::ALL
        .into_iter()
        .filter(|circuit| !circuit.is_electric())
        .filter_map(|circuit| {
            // What drips from the open into the open belongs to no round.
            let joined = |id: &FlowId| [plant.flows[id.0].from, plant.flows[id.0].to].iter().any(is_joined);
            let order: Vec<FlowId> = in_order(plant, circuit).into_iter().filter(joined).collect();
            let flow_of =
                |id: FlowId| model.probe(state, plant.flows[id.0].part, Probe::Flow(plant.flows[id.0].passage));
            let most = order.iter().filter_map(|id| flow_of(*id)).fold(0.0, |most: f64, flow| most.max(flow.abs()));
            let (moving, idle): (Vec<FlowId>, Vec<FlowId>) =
                order.iter().partition(|id| most > 1e-6 && flow_of(**id).is_some_and(|flow| flow.abs() > NONE * most));
            let ways = moving
                .into_iter()
                .filter_map(|id| way(model, state, &plant.flows[id.0], &balance.heat(plant.flows[id.0].part, &state.x)))
                .collect();
            let idle = idle.into_iter().map(|id| plant[plant.flows[id.0].part].name.clone()).collect();
            (!order.is_empty()).then_some(CircuitFlow { circuit, ways, idle })
        })
        .collect()
}

/// Does a flow end in another part?
fn is_joined(end: &Terminal) -> bool {
    !matches!(end, Terminal::Sea | Terminal::Air)
}

impl CircuitFlow {
    /// The largest flow in it [kg/s], [m³/s].
    pub fn most(&self) -> Option<(&Way, f64)> {
        let way = self.ways.iter().max_by(|a, b| a.mass_flow.abs().total_cmp(&b.mass_flow.abs()))?;
        Some((way, way.volume_flow))
    }

    /// Coldest and hottest in it [K].
    pub fn temperatures(&self) -> Option<(f64, f64)> {
        let both = || self.ways.iter().flat_map(|way| [way.temperature.0, way.temperature.1]);
        let low = both().fold(f64::INFINITY, f64::min);
        let high = both().fold(f64::NEG_INFINITY, f64::max);
        (low <= high).then_some((low, high))
    }

    /// Heat taken up by what flows in it [W].
    pub fn heat(&self) -> f64 {
        self.ways.iter().map(|way| way.heat.max(0.0)).sum()
    }
}

fn way(model: &Model, state: &State, flow: &Flow, heat: &[f64]) -> Option<Way> {
    let (part, k) = (flow.part, flow.passage);
    let probe = |probe| model.probe(state, part, probe);
    let mass_flow = probe(Probe::Flow(k))?;
    let inlet = probe(Probe::InletTemperature(k))?;
    // What is sprayed into gas takes its heat there; what leaves into sea or air is as warm as it came.
    let outlet = if matches!(flow.to, Terminal::Node(_)) { probe(Probe::OutletTemperature(k))? } else { inlet };
    let open = matches!(flow.from, Terminal::Sea | Terminal::Air | Terminal::Ground);
    let temperature = (inlet, outlet);
    let kind = model.plant[part].kind;
    Some(Way {
        part: model.plant[part].name.clone(),
        passage: kind.passages[k].name,
        mass_flow,
        volume_flow: mass_flow / flow.contents.density(temperature.0),
        temperature,
        drop: probe(Probe::Drop(k)).filter(|_| !open),
        heat: heat.get(k).copied().unwrap_or(0.0),
        gas: flow.circuit.is_gas(),
    })
}

/// Flows of a circuit, each after the one that feeds it as far as it can be: from the sea, the air or a pool onwards.
pub fn in_order(plant: &Plant, circuit: Circuit) -> Vec<FlowId> {
    let mine: Vec<usize> = (0..plant.flows.len()).filter(|k| plant.flows[*k].circuit == circuit).collect();
    let begins = |k: usize| match plant.flows[k].from {
        Terminal::Sea | Terminal::Air | Terminal::Ground => true,
        Terminal::Node(node) => plant.pools.iter().any(|pool| pool.node == node),
        Terminal::Into(_) => false,
    };
    let mut order: Vec<usize> = Vec::new();
    for &first in mine.iter().filter(|k| begins(**k)).chain(&mine) {
        let mut next = vec![first];
        while let Some(k) = next.pop() {
            if order.contains(&k) {
                continue;
            }
            order.push(k);
            let to = plant.flows[k].to;
            if matches!(to, Terminal::Node(_)) {
                next.extend(mine.iter().rev().filter(|other| plant.flows[**other].from == to));
            }
        }
    }
    order.into_iter().map(FlowId).collect()
}

/// Where the heat of the fuel goes; nothing if no engine runs.
pub fn heat_balance(model: &Model, state: &State, parameters: &[f64]) -> Option<HeatBalance> {
    let plant = &model.plant;
    let unknown = |id: PartId, name: &str| {
        let place = plant[id].kind.unknowns.iter().position(|unknown| unknown.name == name)?;
        model.probe(state, id, Probe::Unknown(place))
    };
    let engine = (0..plant.parts.len()).map(PartId).find(|id| unknown(*id, "brake_power").is_some())?;
    let (power, fuel) = (unknown(engine, "brake_power")?, unknown(engine, "fuel_flow")?);
    let whole = fuel * diesel_fuel::LOWER_HEATING_VALUE;
    if state.point.speed < 1.0 || whole <= 0.0 {
        return None;
    }
    let heat = model.balance(parameters, state.point).heat(engine, &state.x);
    let mut shares = vec![("work".to_string(), power / whole)];
    for (flow, heat) in plant[engine].flows.iter().zip(heat) {
        if let Some(flow) = flow {
            shares.push((watch::saying::circuit(plant.flows[flow.0].circuit), heat / whole));
        }
    }
    if let Some(surfaces) = unknown(engine, "surface_heat") {
        shares.push(("off the hot surfaces".into(), surfaces / whole));
    }
    Some(HeatBalance { engine: plant[engine].name.clone(), power, fuel, shares })
}

impl HeatBalance {
    /// Fuel by volume [m³/s], at 15 °C.
    pub fn fuel_volume(&self) -> f64 {
        self.fuel / diesel_fuel::USUAL_DENSITY
    }
}

/// A flow in the unit it is spoken of: litres a minute, or kilograms an hour of a gas.
pub fn flow_in_words(way: &Way) -> String {
    let (value, quantity, unit) = if way.gas {
        (way.mass_flow, Quantity::MassFlow, "kg/h")
    } else {
        (way.volume_flow, Quantity::VolumeFlow, "L/min")
    };
    measure::unit::print(value, quantity, unit).unwrap_or_else(|| measure::unit::print_usual(value, quantity))
}
