//! What to do this minute, before any odds: a fixed limit is passed, or something said is a danger by itself.

use crate::hypothesis::{kind_of, name_of};
use crate::stands::Engine;
use measure::reading::{Mark, ReadingText};
use parts::kind::{Limit, Of, Probe, When};
use plant::evidence::{Evidence, Moment};
use plant::plant::{GaugeId, PartId, Plant, Tap, Terminal};

/// What a line asks for first, the most urgent last: where several are given at once, the most urgent is done.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// Look, or leave something alone.
    Look,
    /// Take load off.
    Ease,
    /// Idle, in gear or not.
    Idle,
    /// Idle, and out of gear.
    OutOfGear,
    /// Stop the engine, or do not start it.
    Stop,
    /// People first.
    People,
}

/// Words by which the first sentence of a line asks for it, the most urgent first.
const ASKS: [(Urgency, &[&str]); 5] = [
    (Urgency::People, &["kills", "cannot be smelt", "Everybody", "No flame"]),
    (
        Urgency::Stop,
        &[
            "Stop now",
            "Stop within",
            "Stop the engine",
            "Do not crank",
            "Do not restart",
            "Shut off its air",
            "Fuel cock shut",
            "All pumps on",
            "Shut its seacock",
        ],
    ),
    (Urgency::OutOfGear, &["out of gear"]),
    (Urgency::Idle, &["idle", "Idle"]),
    (Urgency::Ease, &["Ease", "ease", "Slow", "load off", "off load", "no load"]),
];

/// What a line asks for first.
pub fn urgency(line: &str) -> Urgency {
    let first = line.split(['.', ';']).next().unwrap_or(line);
    let asks = |words: &[&str]| words.iter().any(|word| first.contains(word));
    ASKS.iter().find(|(_, words)| asks(words)).map_or(Urgency::Look, |(urgency, _)| *urgency)
}

/// One thing to do, and because of what.
#[derive(Clone, Debug, PartialEq)]
pub struct Act {
    /// What to do.
    pub line: String,
    /// Because of this.
    pub because: String,
}

/// What to do this minute, the most urgent first; of what is as urgent, fixed limits before what was said.
pub fn act(plant: &Plant, evidence: &Evidence) -> Vec<Act> {
    let mut list: Vec<Act> = Vec::new();
    let now = || evidence.occasions.iter().filter(|o| o.when == Moment::Now);
    for occasion in now() {
        let reads =
            |gauge: GaugeId| occasion.readings.iter().find(|(of, _)| *of == gauge).and_then(|(_, text)| shows(text));
        for (gauge, text) in &occasion.readings {
            let Some(shows) = shows(text) else { continue };
            for (part, limit) in limits_by_part(plant, *gauge) {
                let means_nothing =
                    || limit.running_only && Engine::of(plant, plant[part].engine).stands(occasion.at.speed, &reads);
                if passed(limit, shows) && !means_nothing() {
                    push(plant, &mut list, limit.act, format!("{} is past its limit", plant[*gauge].name));
                }
            }
        }
    }
    for occasion in now() {
        for said in &occasion.said {
            let Some(word) = kind_of(plant, said.of).words.get(said.word) else { continue };
            let because = format!("{}: {}", name_of(plant, said.of), word.name);
            if let Some(danger) = word.danger {
                push(plant, &mut list, danger, because);
            } else if word.of == Of::Trip
                && let plant::evidence::Named::Gauge(gauge) = said.of
                && let Some(limit) = limits_at(plant, gauge).next()
            {
                push(plant, &mut list, limit.act, because);
            }
        }
    }
    list.sort_by_key(|act| std::cmp::Reverse(urgency(&act.line)));
    list
}

fn push(plant: &Plant, list: &mut Vec<Act>, line: &'static str, because: String) {
    let line = plant.worded(line);
    if !list.iter().any(|act| act.line == line) {
        list.push(Act { line: line.into(), because });
    }
}

/// Limits that a gauge watches over: those of parts whose quantity it looks at.
pub fn limits_at(plant: &Plant, gauge: GaugeId) -> impl Iterator<Item = &'static Limit> + '_ {
    limits_by_part(plant, gauge).map(|(_, limit)| limit)
}

/// The same, each with the part whose limit it is.
pub fn limits_by_part(plant: &Plant, gauge: GaugeId) -> impl Iterator<Item = (PartId, &'static Limit)> + '_ {
    let tap = plant[gauge].tap;
    (0..plant.parts.len()).map(PartId).flat_map(move |part| {
        let own = plant[part].kind.limits.iter().filter(move |limit| tap_of(plant, part, limit.probe) == Some(tap));
        own.map(move |limit| (part, limit))
    })
}

/// What a reading shows [SI]; beyond any limit on that side where the needle is at its stop, for nobody knows how far.
fn shows(text: &ReadingText) -> Option<f64> {
    match text {
        ReadingText::Value { mark: Mark::OffScaleHigh, .. } | ReadingText::OffScale { mark: Mark::OffScaleHigh } => {
            Some(f64::INFINITY)
        }
        ReadingText::Value { mark: Mark::OffScaleLow, .. } | ReadingText::OffScale { mark: Mark::OffScaleLow } => {
            Some(f64::NEG_INFINITY)
        }
        ReadingText::Value { value, .. } => Some(*value),
        _ => None,
    }
}

/// Whether a value [SI] is past a limit.
pub(crate) fn passed(limit: &Limit, value: f64) -> bool {
    match limit.when {
        When::High => value > limit.value,
        When::Low => value < limit.value,
    }
}

/// The tap that sees what a probe of a part sees.
pub fn tap_of(plant: &Plant, part: PartId, probe: Probe) -> Option<Tap> {
    let flow = |k: usize| plant[part].flows.get(k).copied().flatten();
    let node = |terminal| match terminal {
        Terminal::Node(n) | Terminal::Into(n) => Some(n),
        Terminal::Sea | Terminal::Air | Terminal::Ground => None,
    };
    Some(match probe {
        Probe::Flow(k) => Tap::Flow(flow(k)?),
        Probe::Drop(k) => Tap::Drop(flow(k)?),
        Probe::InletTemperature(k) => Tap::Temperature(node(plant.flows[flow(k)?.0].from)?),
        Probe::OutletTemperature(k) => Tap::Temperature(node(plant.flows[flow(k)?.0].to)?),
        Probe::InletPressure(k) => plant.level_at(node(plant.flows[flow(k)?.0].from)?),
        Probe::OutletPressure(k) => plant.level_at(node(plant.flows[flow(k)?.0].to)?),
        Probe::Unknown(u) => Tap::Unknown(part, u),
        Probe::Rise(_) | Probe::BoilingMargin(_) => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::Urgency::{Ease, Idle, Look, OutOfGear, People, Stop};
    use super::*;

    #[test]
    fn stopping_goes_before_idling_and_people_before_both() {
        let asked = [
            "Exhaust gas kills unnoticed: everybody out of closed cabins. Stop the engine when the ship is safe.",
            "Stop within seconds if the vessel is not standing into danger. Then dipstick.",
            "Slow to idle, out of gear, and see what it drove: if a water pump, stop before she is hot.",
            "Ease to idle in gear if there is sea room and let it circulate; look at the water. Still rising, stop.",
            "Ease off at once: a clutch that slips burns.",
            "Bilge pump off unless she is sinking; find the drip before the next hot start.",
        ];
        let ranks: Vec<Urgency> = asked.iter().map(|line| urgency(line)).collect();
        assert_eq!(ranks, [People, Stop, OutOfGear, Idle, Ease, Look]);
    }

    #[test]
    fn every_limit_of_the_catalogue_asks_for_more_than_a_look() {
        let limits = parts::catalogue::KINDS.iter().flat_map(|kind| kind.limits);
        for limit in limits.filter(|limit| !limit.act.starts_with("Fill")) {
            assert!(urgency(limit.act) > Urgency::Look, "{}", limit.act);
        }
    }
}
