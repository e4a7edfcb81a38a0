//! Who plays which part aboard: the parts that starting, stopping and the cards name.

use crate::facts::Facts;
use crate::kinds::{Role, role};
use crate::valves;
use crate::words::found;
use measure::quantity::Quantity;
use parts::kind::{Circuit, Handled};
use plant::plant::{GaugeId, PartId};
use watch::place::circuit_of;

impl Facts<'_> {
    /// The parts of a role, in walking order.
    pub(crate) fn cast(&self, wanted: Role) -> Vec<PartId> {
        self.walk.iter().copied().filter(|part| role(self.plant[*part].kind) == wanted).collect()
    }

    /// Is there one?
    pub(crate) fn has(&self, wanted: Role) -> bool {
        self.walk.iter().any(|part| role(self.plant[*part].kind) == wanted)
    }

    /// Does anything of this circuit flow aboard?
    pub(crate) fn carries(&self, circuit: Circuit) -> bool {
        self.plant.flows.iter().any(|flow| flow.circuit == circuit)
    }

    /// Does sea water come in to cool her?
    pub(crate) fn has_raw_water(&self) -> bool {
        self.carries(Circuit::RawWater) && (self.has(Role::RawPump) || self.has(Role::Injection))
    }

    /// Is there more than one engine?
    pub(crate) fn several(&self) -> bool {
        self.engines.len() > 1
    }

    /// "the engine", or "each engine".
    pub(crate) fn engine(&self) -> &'static str {
        if self.several() { "each engine" } else { "the engine" }
    }

    /// Valves that the sea stands at.
    pub(crate) fn seacocks(&self) -> Vec<PartId> {
        valves::all(self).filter(|valve| valves::is_seacock(self.plant, *valve)).collect()
    }

    /// Those of them that let raw water to the engine, and usually stand open.
    pub(crate) fn inlets_in_use(&self) -> Vec<PartId> {
        let raw = |valve: &PartId| {
            let flows = self.plant[*valve].flows.iter().flatten();
            flows.into_iter().any(|flow| self.plant.flows[flow.0].circuit == Circuit::RawWater)
        };
        self.seacocks().into_iter().filter(|valve| raw(valve) && !self.plant.is_shut(*valve)).collect()
    }

    /// Switches of the current.
    pub(crate) fn switches(&self) -> Vec<PartId> {
        valves::all(self).filter(|valve| self.plant[*valve].kind.handled_as() == Handled::Switch).collect()
    }

    /// Valves on the fuel.
    pub(crate) fn fuel_valves(&self) -> Vec<PartId> {
        let fuel = |valve: &PartId| {
            let flows = self.plant[*valve].flows.iter().flatten();
            flows.into_iter().any(|flow| self.plant.flows[flow.0].circuit == Circuit::Fuel)
        };
        valves::all(self).filter(fuel).collect()
    }

    /// The first gauge that reads this in this circuit.
    pub(crate) fn gauge(&self, circuit: Circuit, quantity: Quantity) -> Option<GaugeId> {
        self.gauges(circuit, quantity).next()
    }

    /// All that do.
    pub(crate) fn gauges(&self, circuit: Circuit, quantity: Quantity) -> impl Iterator<Item = GaugeId> + '_ {
        crate::words::read_gauges(self.plant)
            .filter(move |gauge| self.plant[*gauge].quantity == quantity && circuit_of(self.plant, *gauge) == circuit)
    }

    /// What a gauge should read at a load, in words.
    pub(crate) fn should_read(&self, gauge: GaugeId, load: &str) -> Option<String> {
        Some(crate::words::band(self.plant, self.normal(load)?.band(gauge)?))
    }

    /// Parts with tag and place, joined: "port seacock (port bilge) and starboard seacock (starboard bilge)".
    pub(crate) fn found_all(&self, parts: &[PartId]) -> String {
        let each: Vec<String> = parts.iter().map(|part| format!("the {}", found(self.plant, *part))).collect();
        crate::words::list(&each)
    }
}
