//! The steady state: what is solved, from where, and how it may end.

use crate::balance::Balance;
use crate::common::Common;
use crate::layout::{Layout, pressure, temperature};
use crate::warmth::Held;
use measure::figure::Spread;
use parts::kind::{Circuit, Probe};
use parts::laws::{Point, Site};
use plant::plant::{Flow, FlowId, NodeId, PartId, Plant, Tap, Terminal, metered_density};
use solver::{Options, Solver, Steps, Structure, Stuck};
use std::sync::Arc;

/// A plant ready to be solved, again and again.
pub struct Model {
    /// The plant.
    pub plant: Plant,
    /// Which unknown is where.
    pub layout: Layout,
    /// Every parameter at its stated value [SI].
    pub figures: Vec<f64>,
    /// Parameters that are uncertain: place in the plant's list, and spread.
    pub(crate) uncertain: Arc<[(usize, Spread)]>,
    /// What they and the gauges' errors have in common.
    pub(crate) common: Arc<Common>,
    /// Whether to walk from a solved state where Newton's method fails: a tenth of a second and more for the few
    /// states in a thousand that need it. Weighing hundreds of causes does without them.
    pub patient: bool,
    pub(crate) solver: Solver,
    pub(crate) anchor: Option<State>,
    /// States that trouble led to by a long way: other ways of the same part to fail often end beside them.
    pub(crate) far_states: Vec<State>,
}

/// A solved state.
#[derive(Clone, Debug)]
pub struct State {
    /// Pressures, temperatures, flows and inner unknowns, in the layout's order [SI].
    pub x: Vec<f64>,
    /// At this operating point [SI].
    pub point: Point<f64>,
    /// Newton steps it took.
    pub iterations: usize,
    /// Heat still on its way, if it has not settled.
    pub held: Option<Arc<Held>>,
}

/// Why there is no state.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Unsolved {
    /// The search ended without an answer; no number is given.
    #[error("not solved: {0}")]
    NotSolved(String),
}

/// Voltage of batteries at work, over their nominal voltage [1]: where a search begins.
const CHARGED: f64 = 1.1;

/// From a state nearby the way is short, or else another one is shorter.
pub(crate) const NEARBY: Options = Options { max_iterations: 25, steps: Steps::Brisk, ..Options::USUAL };

impl Model {
    /// Readies a plant.
    ///
    /// # Errors
    /// A structure that no numbers could solve: equations too many and unknowns that nothing fixes.
    pub fn new(plant: &Plant) -> Result<Model, Structure> {
        let layout = Layout::of(plant);
        let figures: Vec<f64> = plant.parts.iter().flat_map(|part| part.figures.iter().map(|f| f.value)).collect();
        let point = crate::point::from_array([0.0, 0.0, 288.15, 288.15, 101_325.0, 1.0]);
        let solver = Solver::new(&Balance { plant, layout: &layout, parameters: &figures, point, march: None })?;
        let spreads = plant.parts.iter().flat_map(|part| part.figures.iter().map(|f| f.spread));
        let uncertain = spreads.enumerate().filter(|(_, spread)| spread.sigma() > 0.0).collect();
        let (plant, common) = (plant.clone(), Arc::default());
        let mut model = Model {
            plant,
            layout,
            figures,
            uncertain,
            common,
            patient: true,
            solver,
            anchor: None,
            far_states: Vec::new(),
        };
        model.common = Arc::new(Common::of(&model, &model.uncertain));
        Ok(model)
    }

    /// The equations at given figures and operating point.
    pub fn balance<'a>(&'a self, parameters: &'a [f64], point: Point<f64>) -> Balance<'a> {
        Balance { plant: &self.plant, layout: &self.layout, parameters, point, march: None }
    }

    /// Solves from a state nearby if one is given, else from a guess; walks from a solved state if Newton fails.
    ///
    /// Thin oil cools a hot engine less and thick oil a cold one more, so that oil that has run away may be a state beside
    /// the one the engine comes to; such a one is told only where no other is found.
    ///
    /// # Errors
    /// [`Unsolved`] when neither finds an answer.
    pub fn solve(&mut self, parameters: &[f64], point: &Point<f64>, near: Option<&State>) -> Result<State, Unsolved> {
        if let Some(state) = near.and_then(|near| self.solve_near(parameters, point, near)) {
            return Ok(state);
        }
        let guess = self.start(parameters, point);
        let first = match self.newton(parameters, point, guess, &Options::USUAL) {
            Ok(state) if self.is_sane(&state) => return Ok(state),
            first => first,
        };
        if first.is_ok() || self.patient {
            let mut cool = self.start(parameters, point);
            self.cool_oil(&mut cool, point);
            if let Ok(state) = self.newton(parameters, point, cool, &Options::USUAL)
                && self.is_sane(&state)
            {
                return Ok(state);
            }
        }
        if self.patient
            && let Ok(state) = self.walk(parameters, point)
            && (first.is_err() || self.is_sane(&state))
        {
            return Ok(state);
        }
        first.or_else(|stuck| self.run_up(parameters, point).ok_or_else(|| self.unsolved(&stuck)))
    }

    /// From a state nearby, if the way is short.
    pub(crate) fn solve_near(&mut self, parameters: &[f64], point: &Point<f64>, near: &State) -> Option<State> {
        if let Some(state) = self.chord(parameters, point, near).filter(|state| self.is_as_sane(state, near)) {
            return Some(state);
        }
        self.newton(parameters, point, near.x.clone(), &NEARBY).ok().filter(|state| self.is_as_sane(state, near))
    }

    /// With the factors at hand, if they belong close by.
    fn chord(&mut self, parameters: &[f64], point: &Point<f64>, near: &State) -> Option<State> {
        let balance = Balance { plant: &self.plant, layout: &self.layout, parameters, point: *point, march: None };
        let mut x = near.x.clone();
        let report = self.solver.follow(&balance, &mut x, &Options::default())?;
        Some(State { x, point: *point, iterations: report.iterations, held: None })
    }

    pub(crate) fn newton(
        &mut self,
        parameters: &[f64],
        point: &Point<f64>,
        mut x: Vec<f64>,
        options: &Options,
    ) -> Result<State, Stuck> {
        let balance = Balance { plant: &self.plant, layout: &self.layout, parameters, point: *point, march: None };
        let report = self.solver.solve(&balance, &mut x, options)?;
        Ok(State { x, point: *point, iterations: report.iterations, held: None })
    }

    /// A first guess whose inner unknowns already obey their laws as far as these give them outright.
    pub(crate) fn start(&self, parameters: &[f64], point: &Point<f64>) -> Vec<f64> {
        let balance = self.balance(parameters, *point);
        let mut x = self.guess(point);
        // Each law states its unknown by what came before it; a few rounds let speeds, powers and fuel settle.
        for _ in 0..4 {
            for part in 0..self.plant.parts.len() {
                let say = balance.say(part, &x);
                let first = self.layout.seats[part].first_unknown;
                for u in 0..self.plant.parts[part].kind.unknowns.len() {
                    let (low, high) = self.layout.bounds[first + u];
                    let next = x[first + u] - say.unknown[u];
                    if next.is_finite() {
                        x[first + u] = next.clamp(low, high);
                    }
                }
            }
        }
        x
    }

    /// A first guess at this operating point.
    fn guess(&self, point: &Point<f64>) -> Vec<f64> {
        let mut x: Vec<f64> = vec![0.0; self.layout.len()];
        let running = point.speed > 1.0;
        let share = (point.speed / self.plant.rated_speed).max(0.0);
        for (n, node) in self.plant.nodes.iter().enumerate() {
            let id = NodeId(n);
            x[pressure(id)] = match node.circuit {
                Circuit::Charging => self.plant.nominal_voltage * CHARGED,
                Circuit::Oil if running => point.atmosphere + 2.5e5,
                Circuit::FreshWater => point.atmosphere + 3e4,
                _ => point.atmosphere + 2e3,
            };
            x[temperature(id)] = match node.circuit {
                _ if !running => point.air + 5.0,
                Circuit::FreshWater => 353.0,
                Circuit::Oil | Circuit::GearOil => 358.0,
                Circuit::Exhaust => 350.0 + 250.0 * share,
                _ => point.sea + 6.0,
            };
        }
        for k in 0..self.plant.flows.len() {
            let u = self.layout.flow(k);
            x[u] = self.layout.sizes[u] * 3.0 * share;
        }
        for (id, part) in self.plant.parts.iter().enumerate() {
            for (u, unknown) in part.kind.unknowns.iter().enumerate() {
                x[self.layout.seats[id].first_unknown + u] = unknown.start;
            }
        }
        x
    }

    /// What an equation or unknown is about, in the owner's words.
    pub fn name_of(&self, equation: usize) -> String {
        let (nodes, flows) = (self.layout.nodes, self.layout.flows);
        if equation < 2 * nodes {
            let node = &self.plant.nodes[equation / 2];
            let what = match (equation.is_multiple_of(2), node.circuit.is_electric()) {
                (true, true) => "current",
                (true, false) => "flow",
                (false, _) => "heat",
            };
            format!("the balance of {what} at {}", node.name)
        } else if equation < 2 * nodes + flows {
            let flow = &self.plant.flows[equation - 2 * nodes];
            let what = if flow.circuit.is_electric() { "voltage" } else { "pressure" };
            format!("the {what} along {}", self.plant[flow.part].name)
        } else {
            let seats = &self.layout.seats;
            let id = seats.iter().rposition(|seat| seat.first_unknown <= equation).unwrap_or(0);
            let part = &self.plant.parts[id];
            let unknown = part.kind.unknowns.get(equation - seats[id].first_unknown).map_or("", |u| u.name);
            format!("{unknown} of {}", part.name)
        }
    }

    /// Why nothing was found, in the owner's words.
    pub(crate) fn unsolved(&self, stuck: &Stuck) -> Unsolved {
        let equation = match stuck {
            Stuck::Singular { worst } => worst.first().copied(),
            Stuck::NotConverged { worst, .. } => worst.first().map(|(equation, _)| *equation),
            Stuck::NotFinite { equation } => Some(*equation),
        };
        Unsolved::NotSolved(equation.map_or_else(
            || "no equation stands out".into(),
            |e| format!("no balance was found for {}", self.name_of(e)),
        ))
    }

    /// What a question finds at a part in a state with these figures; the site's pressures are absolute.
    pub fn ask<R>(&self, figures: &[f64], state: &State, part: PartId, question: impl Fn(&Site<f64>) -> R) -> R {
        self.balance(figures, state.point).at_part(part, &state.x, question)
    }

    /// What a gauge's tap reads in a state [SI; pressures over the atmosphere, voltages over ground].
    pub fn read(&self, state: &State, tap: Tap) -> f64 {
        match tap {
            Tap::Pressure(n) => state.x[pressure(n)] - state.point.atmosphere,
            Tap::Voltage(n) => state.x[pressure(n)],
            Tap::Temperature(n) => state.x[temperature(n)],
            Tap::Flow(f) => state.x[self.layout.flow(f.0)],
            Tap::Meter(f) => state.x[self.layout.flow(f.0)] / metered(&self.plant, f),
            Tap::Drop(f) => {
                let flow = &self.plant.flows[f.0];
                self.pressure_at(state, flow.from) - self.pressure_at(state, flow.to)
            }
            Tap::Unknown(part, u) => state.x[self.layout.seats[part.0].first_unknown + u],
            Tap::Sea => state.point.sea,
            Tap::Air => state.point.air,
        }
    }

    /// What a probe of a part sees in a state [SI; pressures absolute]; `None` if its passage is not connected.
    pub fn probe(&self, state: &State, part: PartId, probe: Probe) -> Option<f64> {
        let flow = |k: usize| self.plant[part].flows.get(k).copied().flatten();
        let ends = |k: usize| {
            flow(k).map(|f| (self.plant.flows[f.0].from, self.plant.flows[f.0].to)).or_else(|| {
                let pool = self.plant.pools.iter().find(|p| p.part == part && p.passage == k)?;
                Some((Terminal::Node(pool.node), Terminal::Node(pool.node)))
            })
        };
        Some(match probe {
            Probe::Flow(k) => state.x[self.layout.flow(flow(k)?.0)],
            Probe::InletTemperature(k) => Self::temperature_at(state, ends(k)?.0),
            Probe::OutletTemperature(k) => Self::temperature_at(state, ends(k)?.1),
            Probe::Rise(k) => Self::temperature_at(state, ends(k)?.1) - Self::temperature_at(state, ends(k)?.0),
            Probe::InletPressure(k) => self.pressure_at(state, ends(k)?.0),
            Probe::OutletPressure(k) => self.pressure_at(state, ends(k)?.1),
            Probe::Drop(k) => self.pressure_at(state, ends(k)?.0) - self.pressure_at(state, ends(k)?.1),
            // What boils anywhere in a circuit bubbles up in its tank.
            Probe::BoilingMargin(k) => {
                let at = |f: &Flow| {
                    let boils = f.contents.saturation_temperature(self.pressure_at(state, f.to))?;
                    Some(boils - Self::temperature_at(state, f.to))
                };
                if let Some(f) = flow(k) {
                    at(&self.plant.flows[f.0])?
                } else {
                    let Terminal::Node(pool) = ends(k)?.1 else { return None };
                    let circuit = self.plant.nodes[pool.0].circuit;
                    let flows = self.plant.flows.iter().filter(|f| f.circuit == circuit);
                    flows.filter_map(at).min_by(f64::total_cmp)?
                }
            }
            Probe::Unknown(u) => state.x[self.layout.seats[part.0].first_unknown + u],
        })
    }

    fn temperature_at(state: &State, end: Terminal) -> f64 {
        match end {
            Terminal::Node(n) | Terminal::Into(n) => state.x[temperature(n)],
            Terminal::Sea => state.point.sea,
            Terminal::Air | Terminal::Ground => state.point.air,
        }
    }

    /// Absolute pressure at an end of a flow [Pa]; where current flows its voltage against ground [V].
    pub fn pressure_at(&self, state: &State, end: Terminal) -> f64 {
        match end {
            Terminal::Node(n) | Terminal::Into(n) => state.x[pressure(n)],
            Terminal::Sea => crate::balance::sea_pressure(state.point.atmosphere),
            Terminal::Air => state.point.atmosphere,
            Terminal::Ground => 0.0,
        }
    }
}

/// Density at which a flow is metered [kg/m³]; 1 of what is told by mass, and of current.
pub(crate) fn metered(plant: &Plant, flow: FlowId) -> f64 {
    metered_density(&plant.flows[flow.0].contents).unwrap_or(1.0)
}
