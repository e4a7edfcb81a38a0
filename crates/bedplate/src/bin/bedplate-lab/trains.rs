//! The coolers of a vessel with what flows into each and what comes out, for another program to work out.

use model::steady::{Model, State};
use parts::kind::{Circuit, Kind};
use parts::laws::Point;
use plant::plant::{FlowId, PartId, Plant, Terminal};
use serde_json::{Value, json};

/// Flows that differ by less are the same stream [1].
const SAME: f64 = 0.01;

/// `{"coolers": [{name, kind, figures, cold, hot}]}`; a side has flow [kg/s], heat capacity [J/(kg K)], temperatures
/// at either end of the cooler [K], and the cooler that its stream ran through last.
///
/// # Errors
/// The plant cannot be solved, or has no cooler of two liquids.
pub fn trains(plant: &Plant, share_of_rated: f64, sea: f64) -> Result<Value, String> {
    let mut model = Model::new(plant).map_err(|why| why.to_string())?;
    let speed = share_of_rated * plant.rated_speed;
    let air = sea + 3.0;
    let point = Point { speed, load: 1.0, sea, air, atmosphere: physics::constants::ATMOSPHERE, pitch: 1.0 };
    let figures = model.figures.clone();
    let state = model.solve(&figures, &point, None).map_err(|why| why.to_string())?;
    let run = Run { plant, model: &model, state: &state };
    let coolers: Vec<Value> = (0..plant.parts.len()).map(PartId).filter_map(|part| run.cooler(part)).collect();
    if coolers.is_empty() { Err("it has no cooler of two liquids".into()) } else { Ok(json!({ "coolers": coolers })) }
}

/// Two liquids through one wall, the colder first.
fn is_cooler(kind: &Kind) -> bool {
    let figure = |name: &str| kind.parameters.iter().any(|parameter| parameter.name == name);
    kind.passages.len() == 2 && figure("clean_conductance") && figure("rated_cold_flow")
}

struct Run<'a> {
    plant: &'a Plant,
    model: &'a Model,
    state: &'a State,
}

impl Run<'_> {
    fn cooler(&self, id: PartId) -> Option<Value> {
        let part = &self.plant[id];
        if !is_cooler(part.kind) {
            return None;
        }
        let figures: serde_json::Map<String, Value> =
            part.kind.parameters.iter().zip(&part.figures).map(|(p, f)| (p.name.into(), json!(f.value))).collect();
        let (cold, hot) = (self.side(id, 0)?, self.side(id, 1)?);
        Some(json!({ "name": part.name, "kind": part.kind.name, "figures": figures, "cold": cold, "hot": hot }))
    }

    fn side(&self, id: PartId, passage: usize) -> Option<Value> {
        let flow = self.plant[id].flows[passage]?;
        let inlet = self.model.ask(&self.model.figures, self.state, id, |at| at.inlet_temperature[passage]);
        let capacity = self.plant.flows[flow.0].contents.heat_capacity(inlet);
        // Where it leaves, other liquid may join: what it has at the cooler's own end follows from the heat it took.
        let heat = self.model.balance(&self.model.figures, self.state.point).heat(id, &self.state.x)[passage];
        let outlet = inlet + heat / (self.flow(flow) * capacity);
        let after = self.before(flow).map(|part| self.plant[part].name.clone());
        Some(json!({ "flow": self.flow(flow), "capacity": capacity, "in": inlet, "out": outlet, "after": after }))
    }

    fn flow(&self, id: FlowId) -> f64 {
        self.state.x[self.model.layout.first_flow() + id.0]
    }

    /// The cooler that the same stream of raw water ran through last.
    fn before(&self, flow: FlowId) -> Option<PartId> {
        let mut at = flow;
        for _ in 0..self.plant.flows.len() {
            let here = &self.plant.flows[at.0];
            let Terminal::Node(node) = here.from else { return None };
            if here.circuit != Circuit::RawWater {
                return None;
            }
            let same = |id: &FlowId| (self.flow(*id) / self.flow(flow) - 1.0).abs() < SAME;
            let mut into = (0..self.plant.flows.len()).map(FlowId);
            at = into.find(|id| self.plant.flows[id.0].to == Terminal::Node(node) && same(id))?;
            let part = self.plant.flows[at.0].part;
            if is_cooler(self.plant[part].kind) {
                return Some(part);
            }
        }
        None
    }
}
