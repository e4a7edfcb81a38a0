//! What if these valves are turned? What stops, starves, runs dry, dead-heads, overheats.

use model::march::Unsteady;
use model::steady::{Model, State};
use parts::kind::{Circuit, Limit, Link, Probe, When};
use parts::laws::Point;
use plant::follow::depth;
use plant::plant::{FlowId, PartId, Plant};

/// One thing that comes of turning valves.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// This much of its flow is left.
    Starves {
        /// The ways, in the order of the flow, that lose the same share.
        flows: Vec<FlowId>,
        /// What is left of the flow [share of before].
        left: f64,
    },
    /// A pump turns and gets nothing.
    RunsDry {
        /// The pump.
        pump: PartId,
    },
    /// A pump turns against a shut pipe.
    DeadHeads {
        /// The pump.
        pump: PartId,
        /// What it presses [Pa over the atmosphere].
        pressure: f64,
    },
    /// A fixed limit is passed that was kept before.
    PastLimit {
        /// Whose.
        part: PartId,
        /// Which.
        limit: &'static Limit,
        /// What it comes to [SI; pressures over the atmosphere].
        value: f64,
    },
    /// The coolant boils.
    Boils {
        /// In this part.
        part: PartId,
        /// So long after the turn [min]; `None` if that could not be told.
        minutes: Option<f64>,
    },
    /// No state was found; no number is given.
    Unknown {
        /// Why, in the owner's words.
        why: String,
    },
}

impl Effect {
    /// Does it do harm, so that the engine must not be run like this?
    pub fn harms(&self) -> bool {
        !matches!(self, Effect::Starves { .. })
    }
}

/// Flow that counts as stopped [share of before].
pub const STOPPED: f64 = 0.03;
/// Flow that counts as starved [share of before]: below it people notice, common practice, no source.
const STARVED: f64 = 0.8;
/// A flow under this share of the most in its circuit was none before [1].
const NONE: f64 = 5e-3;
/// Shares of flow that differ by less are told together [1].
const TOGETHER: f64 = 0.05;
/// Speeds that are tried for how fast she may run [share of rated], fastest first; the last is idling.
const SPEEDS: [f64; 14] = [1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6, 0.55, 0.5, 0.45, 0.4, 0.35];
/// How far over what it pressed before a pump is driving against a shut pipe [1].
const HARDER: f64 = 1.1;

/// A plant at an operating point, and the same with some valves turned.
pub struct Turning<'a> {
    /// The model of the plant as it stands.
    pub model: &'a mut Model,
    /// Where she runs [SI].
    pub point: Point<f64>,
}

impl Turning<'_> {
    /// What comes of turning these valves.
    pub fn effects(&mut self, turned: &[(PartId, f64)]) -> Vec<Effect> {
        self.worked_out(turned, true)
    }

    /// Would turning these valves do harm?
    pub fn harms(&mut self, turned: &[(PartId, f64)]) -> bool {
        self.worked_out(turned, false).iter().any(Effect::harms)
    }

    /// How long it takes to boil is marched out, which costs ten times the rest, only if `timed`.
    fn worked_out(&mut self, turned: &[(PartId, f64)], timed: bool) -> Vec<Effect> {
        let was = self.model.figures.clone();
        let before = match self.model.solve(&was, &self.point, None) {
            Ok(state) => state,
            Err(why) => return vec![Effect::Unknown { why: why.to_string() }],
        };
        let figures = self.figures(turned);
        let after = match self.model.solve(&figures, &self.point, None) {
            Ok(state) => state,
            Err(why) => return vec![Effect::Unknown { why: why.to_string() }],
        };
        let mut effects = self.pumps(&before, &after);
        if self.model.unsteady(&before).is_none()
            && let Some(Unsteady::Boils { part }) = self.model.unsteady(&after)
        {
            let marched = timed.then(|| self.model.minutes_to_boil(&before, &was, &figures, &self.point));
            let minutes = marched.and_then(Result::ok).flatten();
            effects.push(Effect::Boils { part, minutes });
        }
        effects.extend(self.limits(&before, &after));
        effects.extend(self.starved(&before, &after, turned));
        effects
    }

    /// The highest speed [rad/s] that does no harm with these valves turned; `None` if none does.
    ///
    /// Of the speeds tried the first below which all are harmless too.
    pub fn fastest(&mut self, turned: &[(PartId, f64)]) -> Option<f64> {
        let rated = self.model.plant.rated_speed;
        let kept = self.point;
        let mut fastest = None;
        for share in SPEEDS.iter().rev() {
            self.point = Point { speed: share * rated, load: 1.0, ..kept };
            if self.harms(turned) {
                break;
            }
            fastest = Some(share * rated);
        }
        self.point = kept;
        fastest
    }

    /// Every figure of the plant with these valves turned.
    fn figures(&self, turned: &[(PartId, f64)]) -> Vec<f64> {
        let mut figures = self.model.figures.clone();
        for (part, opening) in turned {
            if let Some(figure) = self.model.plant.opening_of(*part) {
                figures[self.model.layout.first_parameter(*part) + figure] = *opening;
            }
        }
        figures
    }

    fn pumps(&self, before: &State, after: &State) -> Vec<Effect> {
        let mut found = Vec::new();
        for (part, passage) in pumps(&self.model.plant) {
            let probe = |state: &State, probe| self.model.probe(state, part, probe).unwrap_or(0.0);
            let flow = |state: &State| probe(state, Probe::Flow(passage));
            if flow(before) <= 0.0 || flow(after) > STOPPED * flow(before) {
                continue;
            }
            let pressure = |state: &State| probe(state, Probe::OutletPressure(passage)) - self.point.atmosphere;
            let lift = |state: &State| -probe(state, Probe::Drop(passage));
            // Against a shut pipe it presses harder than it did; with nothing to press its suction falls away.
            if pressure(after) > HARDER * pressure(before) && lift(after) > lift(before) {
                found.push(Effect::DeadHeads { pump: part, pressure: pressure(after) });
            } else {
                found.push(Effect::RunsDry { pump: part });
            }
        }
        found
    }

    fn limits(&self, before: &State, after: &State) -> Vec<Effect> {
        let plant = &self.model.plant;
        let stopped = self.point.speed < 1.0;
        let mut found = Vec::new();
        for part in (0..plant.parts.len()).map(PartId) {
            for limit in plant[part].kind.limits.iter().filter(|limit| !(limit.running_only && stopped)) {
                let value = |state| {
                    let absolute = self.model.probe(state, part, limit.probe)?;
                    let pressure = limit.probe.is_over_atmosphere(plant[part].kind);
                    Some(if pressure { absolute - self.point.atmosphere } else { absolute })
                };
                let (Some(was), Some(value)) = (value(before), value(after)) else { continue };
                let past = |value: f64| match limit.when {
                    When::High => value > limit.value,
                    When::Low => value < limit.value,
                };
                if past(value) && !past(was) {
                    found.push(Effect::PastLimit { part, limit, value });
                }
            }
        }
        found
    }

    /// Ways in the circuits of these valves that lose flow; what follows elsewhere is told by what it heats.
    fn starved(&self, before: &State, after: &State, turned: &[(PartId, f64)]) -> Vec<Effect> {
        let plant = &self.model.plant;
        let own = |part: &PartId| plant[*part].flows.iter().flatten().map(|flow| plant.flows[flow.0].circuit);
        let circuits: Vec<Circuit> = turned.iter().flat_map(|(part, _)| own(part)).collect();
        let mut order: Vec<usize> = (0..plant.flows.len()).collect();
        order.retain(|index| circuits.contains(&plant.flows[*index].circuit));
        order.sort_by_key(|index| depth(plant, plant.flows[*index].part));
        let flow = |state: &State, id: FlowId| state.x[self.model.layout.first_flow() + id.0];
        let mut found: Vec<Effect> = Vec::new();
        for index in order {
            let (id, told) = (FlowId(index), &plant.flows[index]);
            let same = (0..plant.flows.len()).map(FlowId).filter(|other| plant.flows[other.0].circuit == told.circuit);
            let most = same.map(|other| flow(before, other).abs()).fold(0.0, f64::max);
            // What stood still before misses nothing.
            if most <= 0.0 || flow(before, id).abs() < NONE * most {
                continue;
            }
            let left = (flow(after, id) / flow(before, id)).max(0.0);
            if left > STARVED {
                continue;
            }
            let alike = found.iter_mut().find_map(|effect| match effect {
                Effect::Starves { flows, left: other }
                    if (*other - left).abs() < TOGETHER && plant.flows[flows[0].0].circuit == told.circuit =>
                {
                    Some(flows)
                }
                _ => None,
            });
            match alike {
                Some(flows) => flows.push(id),
                None => found.push(Effect::Starves { flows: vec![id], left }),
            }
        }
        found
    }
}

/// Everything that turns and moves a liquid, with the passage it moves it through.
fn pumps(plant: &Plant) -> Vec<(PartId, usize)> {
    let turns = |part: PartId| plant[part].kind.links.contains(&Link::DriverSpeed);
    let liquid = |flow: &Option<FlowId>| flow.is_some_and(|flow| !plant.flows[flow.0].circuit.is_electric());
    let first = |part: PartId| plant[part].flows.iter().position(liquid).map(|passage| (part, passage));
    (0..plant.parts.len()).map(PartId).filter(|part| turns(*part)).filter_map(first).collect()
}
