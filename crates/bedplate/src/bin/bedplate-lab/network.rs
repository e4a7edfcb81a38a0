//! The liquid circuits of a vessel as a network of the open format that EPANET reads, for another program to solve.
//!
//! Flows are given as those of a liquid of 1000 kg/m³, so that mass, which is what is conserved, is what it adds up; heads
//! are pressures of the same liquid. Every part becomes a valve or pump with the curve of its own law.

use model::steady::{Model, State};
use plant::evidence::ToldPoint;
use plant::plant::{FlowId, NodeId, Plant, Terminal};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Head of one pascal, of a liquid of 1000 kg/m³ [m].
const METRES: f64 = 1.0 / (1000.0 * 9.80665);
/// Flows at which a curve is drawn, as shares of what flows: close together where it is, so that straight lines between
/// them are true to a few parts in ten thousand.
const SHARES: [f64; 21] = [
    0.0, 0.25, 0.5, 0.7, 0.8, 0.88, 0.92, 0.95, 0.97, 0.985, 1.0, 1.015, 1.03, 1.05, 1.08, 1.12, 1.2, 1.35, 1.6, 2.0,
    3.0,
];
/// Less than this much of the most in its circuit counts as standing still [1].
const STILL: f64 = 1e-3;

/// The network and what our own solution has in it: `{"inp", "flows": {link: kg/s}, "heads": {node: Pa}}`.
///
/// # Errors
/// The plant cannot be solved, or has no liquid that moves.
pub fn network(plant: &Plant, share_of_rated: f64) -> Result<Value, String> {
    let mut model = Model::new(plant).map_err(|why| why.to_string())?;
    let told = ToldPoint { speed: Some(share_of_rated * plant.rated_speed), ..ToldPoint::default() };
    let point = model::point::told(plant, &told).0;
    let figures = model.figures.clone();
    let state = model.solve(&figures, &point, None).map_err(|why| why.to_string())?;
    Draft { plant, model: &model, state: &state, figures: &figures }.write()
}

struct Draft<'a> {
    plant: &'a Plant,
    model: &'a Model,
    state: &'a State,
    figures: &'a [f64],
}

impl Draft<'_> {
    fn write(&self) -> Result<Value, String> {
        let (mut junctions, mut reservoirs) = (BTreeMap::new(), BTreeMap::new());
        let (mut pumps, mut valves, mut curves) = (String::new(), String::new(), String::new());
        let mut flows = serde_json::Map::new();
        let most = self.most();
        for id in (0..self.plant.flows.len()).map(FlowId) {
            let flow = &self.plant.flows[id.0];
            let moved = self.flow(id);
            // What goes round in its own part joins nothing.
            if !flow.circuit.is_liquid() || flow.from == flow.to || moved.abs() < STILL * most[&flow.circuit] {
                continue;
            }
            let name = format!("{}-{}", self.plant[flow.part].name, flow.passage);
            let (from, to) = if moved > 0.0 { (flow.from, flow.to) } else { (flow.to, flow.from) };
            for end in [from, to] {
                self.place(end, &mut junctions, &mut reservoirs);
            }
            let (from, to) = (Self::name(from), Self::name(to));
            let (lost, drawn) =
                (self.lost(id, moved).ok_or_else(|| format!("{name}: no curve"))?, format!("C{}", id.0));
            let raises = lost < 0.0;
            for (flow, lost) in self.curve(id, moved) {
                let head = if raises { -lost } else { lost } * METRES;
                // Litres a second of a liquid of 1000 kg/m³ are kilograms a second.
                let _ = writeln!(curves, " {drawn} {flow:.9} {head:.9}");
            }
            let line = if raises { &mut pumps } else { &mut valves };
            let _ = if raises {
                writeln!(line, " {name} {from} {to} HEAD {drawn}")
            } else {
                // Bore [mm] is asked for and not used with a curve.
                writeln!(line, " {name} {from} {to} 100 GPV {drawn} 0")
            };
            flows.insert(name, json!(moved.abs()));
        }
        if flows.is_empty() {
            return Err("no liquid moves".into());
        }
        let junction_lines: String =
            junctions.keys().fold(String::new(), |text, name| text + &format!(" {name} 0 0\n"));
        let reservoir_lines: String = reservoirs
            .iter()
            .fold(String::new(), |text, (name, pressure)| text + &format!(" {name} {:.9}\n", pressure * METRES));
        let inp = format!(
            "[TITLE]\n{}\n[JUNCTIONS]\n{junction_lines}[RESERVOIRS]\n{reservoir_lines}[PUMPS]\n{pumps}[VALVES]\n{valves}\
             [CURVES]\n{curves}[OPTIONS]\n UNITS LPS\n HEADLOSS D-W\n TRIALS 500\n ACCURACY 1e-8\n[TIMES]\n DURATION 0\n[END]\n",
            self.plant.name
        );
        Ok(json!({ "inp": inp, "flows": flows, "heads": junctions }))
    }

    /// The largest flow of each circuit [kg/s].
    fn most(&self) -> BTreeMap<parts::kind::Circuit, f64> {
        let mut most = BTreeMap::new();
        for (index, flow) in self.plant.flows.iter().enumerate() {
            let most = most.entry(flow.circuit).or_insert(1e-9_f64);
            *most = most.max(self.flow(FlowId(index)).abs());
        }
        most
    }

    fn flow(&self, id: FlowId) -> f64 {
        self.state.x[self.model.layout.first_flow() + id.0]
    }

    /// Pressure lost along what really flows, in the direction it flows [Pa].
    fn lost(&self, id: FlowId, moved: f64) -> Option<f64> {
        self.model.lost_at(self.state, self.figures, id, moved).map(|lost| lost * moved.signum())
    }

    /// Flow [kg/s] and pressure lost [Pa], as far as the law reaches; falling or rising as a curve must.
    fn curve(&self, id: FlowId, moved: f64) -> Vec<(f64, f64)> {
        let points = SHARES.iter().filter_map(|share| Some((share * moved.abs(), self.lost(id, share * moved)?)));
        let mut kept: Vec<(f64, f64)> = Vec::new();
        for point in points {
            if kept.last().is_none_or(|last| point.1 > last.1 + 1e-6) {
                kept.push(point);
            }
        }
        kept
    }

    fn place(&self, end: Terminal, junctions: &mut BTreeMap<String, f64>, reservoirs: &mut BTreeMap<String, f64>) {
        let pressure = self.model.pressure_at(self.state, end);
        let held = match end {
            Terminal::Node(node) => self.plant.pools.iter().any(|pool| pool.node == node),
            Terminal::Sea | Terminal::Air | Terminal::Ground | Terminal::Into(_) => true,
        };
        if held {
            reservoirs.insert(Self::name(end), pressure)
        } else {
            junctions.insert(Self::name(end), pressure)
        };
    }

    fn name(end: Terminal) -> String {
        match end {
            Terminal::Node(NodeId(node)) => format!("n{node}"),
            Terminal::Into(NodeId(node)) => format!("gas{node}"),
            Terminal::Sea => "sea".into(),
            Terminal::Air => "air".into(),
            Terminal::Ground => "ground".into(),
        }
    }
}
