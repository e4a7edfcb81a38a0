//! A plan to take a part out: what to open first, what to shut, in which order, and what comes of it.

use crate::turning::{Effect, Turning};
use plant::follow::depth;
use plant::isolate::{Closing, Fence, Shutting, isolate};
use plant::plant::PartId;

/// How a part is taken out.
#[derive(Clone, Debug, PartialEq)]
pub struct TakeOut {
    /// The part.
    pub part: PartId,
    /// Circuits that no valve can shut off.
    pub open: Vec<Closing>,
    /// With the engine stopped: as few valves as will do.
    pub stopped: Plan,
    /// With the engine running, if she can do without the part.
    pub running: Running,
}

/// Whether she can run meanwhile.
#[derive(Clone, Debug, PartialEq)]
pub enum Running {
    /// She can, with this plan, up to this speed [rad/s].
    Can {
        /// What to open and shut.
        plan: Plan,
        /// Highest speed [rad/s].
        fastest: f64,
        /// What gets less meanwhile at the speed asked for.
        effects: Vec<Effect>,
    },
    /// She cannot: this would come of it.
    Cannot {
        /// What comes of shutting the valves around the part.
        effects: Vec<Effect>,
    },
    /// It carries current, and nothing of that is switched while an alternator charges.
    Live,
    /// No liquid can be shut off from it, or it has none: that is no question of valves.
    NoValves,
}

/// What to open and shut, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Steps, first things first.
    pub steps: Vec<Step>,
    /// Shut already, and to be left so.
    pub stay: Vec<PartId>,
    /// What else is shut off with it.
    pub with: Vec<PartId>,
}

/// One step of a plan.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Step {
    /// Which valve.
    pub valve: PartId,
    /// Where it goes: share of wide open [1].
    pub to: f64,
}

/// Most valves that are opened to keep the rest running.
const MOST_OPENED: usize = 3;
/// Most shut valves that are tried for that.
const MOST_TRIED: usize = 10;

impl Turning<'_> {
    /// How `part` is taken out here.
    pub fn take_out(&mut self, part: PartId) -> TakeOut {
        let closings = isolate(&self.model.plant, part);
        let live = closings.iter().any(|closing| closing.circuit.is_electric());
        let mut open = Vec::new();
        let (mut fewest, mut nearest) = (Vec::new(), Vec::new());
        for closing in closings {
            match closing.by.clone() {
                Shutting::Open { .. } => open.push(closing),
                Shutting::Valves { fewest: few, nearest: near } => {
                    fewest.push(few);
                    nearest.push(near);
                }
            }
        }
        let stopped = self.plan(&[], &fewest, Order::SeaFirst);
        let running = if live {
            Running::Live
        } else if nearest.is_empty() || !open.is_empty() {
            Running::NoValves
        } else {
            self.running(&nearest)
        };
        TakeOut { part, open, stopped, running }
    }

    fn running(&mut self, fences: &[Fence]) -> Running {
        let shut: Vec<(PartId, f64)> = fences.iter().flat_map(|f| &f.shut).map(|valve| (*valve, 0.0)).collect();
        let alone = self.effects(&shut);
        let opened = if alone.is_empty() { Some(Vec::new()) } else { self.instead(fences, &shut, &alone) };
        let Some(opened) = opened else { return Running::Cannot { effects: alone } };
        let all: Vec<(PartId, f64)> = opened.iter().map(|valve| (*valve, 1.0)).chain(shut.iter().copied()).collect();
        let effects = self.effects(&all);
        let Some(fastest) = self.fastest(&all) else { return Running::Cannot { effects } };
        for order in [Order::PumpFirst, Order::SeaFirst] {
            let plan = self.plan(&opened, fences, order);
            if self.harmless(&plan) {
                return Running::Can { plan, fastest, effects };
            }
        }
        Running::Cannot { effects: alone }
    }

    /// The fewest shut valves that, opened, spare her what shutting these alone would do.
    fn instead(&mut self, fences: &[Fence], shut: &[(PartId, f64)], alone: &[Effect]) -> Option<Vec<PartId>> {
        let plant = &self.model.plant;
        let kept = |valve: &PartId| fences.iter().any(|fence| fence.stay.contains(valve));
        let on_a_pipe = |valve: &PartId| plant[*valve].flows.iter().any(Option::is_some);
        let spare = |valve: &PartId| plant.is_shut(*valve) && on_a_pipe(valve) && !kept(valve);
        let tried: Vec<PartId> = plant.valves().filter(spare).take(MOST_TRIED).collect();
        let mut best: Option<(f64, Vec<PartId>)> = None;
        let mut sets: Vec<u32> =
            (1..1_u32 << tried.len()).filter(|set| set.count_ones() as usize <= MOST_OPENED).collect();
        sets.sort_by_key(|set| set.count_ones());
        for set in sets {
            let opened: Vec<PartId> =
                tried.iter().enumerate().filter(|(k, _)| set >> k & 1 == 1).map(|(_, valve)| *valve).collect();
            // More valves only for a clear gain.
            if best.as_ref().is_some_and(|(loss, found)| *loss < SPARED || found.len() < opened.len()) {
                break;
            }
            let all: Vec<(PartId, f64)> =
                opened.iter().map(|valve| (*valve, 1.0)).chain(shut.iter().copied()).collect();
            let effects = self.effects(&all);
            if effects.iter().any(Effect::harms) {
                continue;
            }
            let loss = loss(&effects);
            if best.as_ref().is_none_or(|(least, _)| loss < *least) {
                best = Some((loss, opened));
            }
        }
        // She does no harm without the part, and nothing shut would give back what is missed.
        let bearable = !alone.iter().any(Effect::harms);
        match best {
            Some((least, opened)) if !bearable || least < loss(alone) * 0.5 => Some(opened),
            _ => bearable.then(Vec::new),
        }
    }

    /// The steps: what is opened first, along the flow; then what is shut.
    fn plan(&self, opened: &[PartId], fences: &[Fence], order: Order) -> Plan {
        let plant = &self.model.plant;
        let mut opened = opened.to_vec();
        opened.sort_by_key(|valve| depth(plant, *valve));
        let mut shut: Vec<PartId> = fences.iter().flat_map(|fence| fence.shut.iter().copied()).collect();
        shut.sort_by_key(|valve| depth(plant, *valve));
        if order == Order::PumpFirst {
            shut.reverse();
        }
        let step = |to: f64| move |valve: PartId| Step { valve, to };
        let steps = opened.into_iter().map(step(1.0)).chain(shut.into_iter().map(step(0.0))).collect();
        let all = |of: fn(&Fence) -> &Vec<PartId>| {
            let mut all: Vec<PartId> = fences.iter().flat_map(|fence| of(fence).iter().copied()).collect();
            all.sort_unstable();
            all.dedup();
            all
        };
        Plan { steps, stay: all(|fence| &fence.stay), with: all(|fence| &fence.with) }
    }

    /// Does no step of it do harm on the way?
    fn harmless(&mut self, plan: &Plan) -> bool {
        let mut so_far: Vec<(PartId, f64)> = Vec::new();
        for step in &plan.steps {
            so_far.push((step.valve, step.to));
            if self.harms(&so_far) {
                return false;
            }
        }
        true
    }
}

/// With less than this lost in all, nothing better need be looked for [sum of shares].
const SPARED: f64 = 0.3;

/// What is lost in all [sum of shares of flow].
fn loss(effects: &[Effect]) -> f64 {
    effects
        .iter()
        .map(
            |effect| if let Effect::Starves { flows, left } = effect { flows.len() as f64 * (1.0 - left) } else { 0.0 },
        )
        .sum()
}

/// Which valves are shut first.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
enum Order {
    /// The one nearest the sea or tank: of a stopped engine.
    SeaFirst,
    /// The one farthest from it: of a running one, which else draws the part empty.
    PumpFirst,
}
