//! Which gauges a fault falsifies, which way, and how far: a gauge by itself, or all that share a sender, ground, plug or
//! supply, each the way that its own sender and instrument give.

use crate::hypothesis::{What, cause_of};
use model::under::{Lie, Lying};
use parts::kind::{Misreads, Sends};
use plant::evidence::{Evidence, Named};
use plant::plant::{GaugeId, Plant};

/// What a fault comes to on this gauge or alarm; nothing where it does not reach it.
pub fn comes_to(plant: &Plant, gauge: GaugeId, misreads: Misreads) -> Option<Misreads> {
    let own = &plant[gauge];
    if own.trips.is_some() { misreads.on_alarm() } else { misreads.on_gauge(own.chain.sends, own.chain.head) }
}

/// How a hypothesis falsifies this gauge or alarm, if it does.
pub fn misreads(plant: &Plant, what: What, gauge: GaugeId) -> Option<Misreads> {
    let What::Cause(named, _) = what else { return None };
    let reached = match named {
        Named::Gauge(own) => own == gauge,
        Named::Part(part) => plant[gauge].chain.members().any(|member| member == part),
    };
    let misreads = cause_of(plant, what)?.misreads?;
    if reached { comes_to(plant, gauge, misreads) } else { None }
}

/// The gauges and alarms that a hypothesis falsifies.
pub fn falsified(plant: &Plant, what: What) -> Vec<GaugeId> {
    plant.gauge_ids().filter(|gauge| misreads(plant, what, *gauge).is_some()).collect()
}

/// Whether a fault that falsifies gauges may be what is told of: one of them was read, an alarm is among them, which speaks by
/// keeping silent too, or something was said of it, or looked at, worked on or renewed there. A gauge that nobody looked at
/// troubles nobody.
pub(crate) fn is_told_of(plant: &Plant, evidence: &Evidence, what: What) -> bool {
    let What::Cause(own, _) = what else { return true };
    let gauges = falsified(plant, what);
    let all = || gauges.iter().map(|gauge| Named::Gauge(*gauge)).chain([own]);
    let read = |of: Named| evidence.occasions.iter().any(|o| o.readings.iter().any(|(g, _)| Named::Gauge(*g) == of));
    let said = |of: Named| evidence.occasions.iter().any(|o| o.said.iter().chain(&o.not).any(|said| said.of == of));
    let touched = |of: Named| {
        evidence.checks.iter().any(|made| made.of == of)
            || evidence.renewed.iter().any(|made| made.of == of)
            || evidence.work.iter().any(|work| work.of == of)
    };
    let alarm = gauges.iter().any(|gauge| plant[*gauge].trips.is_some());
    gauges.is_empty() || alarm || all().any(|of| read(of) || said(of) || touched(of))
}

/// Which way "either way" goes on this gauge: gauges on one bad contact go together, each as its sender's sort gives.
pub fn way(plant: &Plant, gauge: GaugeId) -> f64 {
    if plant[gauge].chain.sends == Sends::Rising { 1.0 } else { -1.0 }
}

/// How gauges lie under a hypothesis: all that it falsifies, by one error, each as a share of its own scale.
///
/// From memory: a third of the scale is as far as a sender drifts before it counts as dead.
pub fn lie(plant: &Plant, what: What) -> Option<Lie> {
    let lying = |gauge: GaugeId| {
        let (low, high) = plant[gauge].scale;
        let span = high - low;
        let (mean, sigma, stands_at) = match misreads(plant, what, gauge)? {
            Misreads::High => (0.12 * span, 0.1 * span, None),
            Misreads::Low => (-0.12 * span, -0.1 * span, None),
            Misreads::Either => (0.0, 0.17 * span * way(plant, gauge), None),
            Misreads::LowStop => (0.0, 0.02 * span, Some(low)),
            Misreads::HighStop => (0.0, 0.02 * span, Some(high)),
            _ => return None,
        };
        Some(Lying { gauge, mean, sigma, stands_at })
    };
    let gauges: Vec<Lying> = plant.gauge_ids().filter_map(lying).collect();
    (!gauges.is_empty()).then_some(Lie { gauges })
}
