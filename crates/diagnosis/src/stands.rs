//! Whether an engine stands still, by what is read of it: what means nothing then is judged unless that is sure.

use crate::act::{limits_by_part, passed};
use measure::quantity::Quantity;
use parts::kind::When;
use plant::plant::{GaugeId, PartId, Plant, Tap};

/// A speed below this is none [rad/s].
const NONE: f64 = 1.0;

/// Whether an engine stands: every gauge of its speed that is read says so (or what was told does, where none is read), and
/// nothing that only a turning engine holds up is up. A speed gauge that hangs on the alternator shows nothing once the belt is
/// gone, and what is not known is not taken for a stop.
pub fn stands(
    plant: &Plant,
    engine: Option<PartId>,
    told: Option<f64>,
    reads: &dyn Fn(GaugeId) -> Option<f64>,
) -> bool {
    let dials = || plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_none());
    let of_speed = dials().filter(|gauge| match plant[*gauge].tap {
        Tap::Unknown(part, _) => plant[part].engine == engine && plant[*gauge].quantity == Quantity::RotationalSpeed,
        _ => false,
    });
    let speeds: Vec<f64> = of_speed.filter_map(reads).collect();
    let says_so =
        if speeds.is_empty() { told.is_some_and(|speed| speed < NONE) } else { speeds.iter().all(|s| *s < NONE) };
    let held_up = || {
        dials().any(|gauge| {
            let mut own = limits_by_part(plant, gauge)
                .filter(|(part, limit)| limit.running_only && limit.when == When::Low && plant[*part].engine == engine);
            reads(gauge).is_some_and(|value| own.any(|(_, limit)| !passed(limit, value)))
        })
    };
    says_so && !held_up()
}

/// Every engine of a plant, and none where a part serves none.
pub fn engines(plant: &Plant) -> Vec<Option<PartId>> {
    let mut all: Vec<Option<PartId>> = plant.parts.iter().map(|part| part.engine).collect();
    all.sort_unstable();
    all.dedup();
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    const ORACHE: &str = include_str!("../../../vessels/orache/vessel.toml");

    #[test]
    fn each_engine_stands_or_turns_by_itself() {
        let plant = plant::reader::read(ORACHE).0.expect("a plant");
        let named = |name: &str| plant.gauge(name).expect("a gauge");
        let engine = |side: &str| match plant[named(&format!("speed-{side}"))].tap {
            Tap::Unknown(part, _) => plant[part].engine,
            _ => None,
        };
        let (port, starboard) = (engine("port"), engine("starboard"));
        assert!(port.is_some() && starboard.is_some() && port != starboard && engines(&plant).contains(&starboard));
        let shown = |list: &[(&str, f64)], engine| {
            let read: Vec<(GaugeId, f64)> = list.iter().map(|(name, value)| (named(name), *value)).collect();
            stands(&plant, engine, None, &|gauge| read.iter().find(|(of, _)| *of == gauge).map(|(_, value)| *value))
        };
        // Port is stopped and starboard pulls her along, with her oil gone.
        let one = [
            ("speed-port", 0.0),
            ("oil-pressure-port", 0.0),
            ("speed-starboard", 180.0),
            ("oil-pressure-starboard", 0.0),
        ];
        assert!(shown(&one, port) && !shown(&one, starboard));
        // A speed gauge of nothing over oil that is pumped; and one that is not heard.
        assert!(!shown(&[("speed-port", 0.0), ("oil-pressure-port", 4e5)], port));
        assert!(!shown(&[("oil-pressure-port", 0.0)], port));
    }
}
