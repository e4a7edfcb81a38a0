//! Whether an engine stands still, by what is read of it: what means nothing then is judged unless that is sure.

use crate::act::{limits_by_part, passed};
use measure::quantity::Quantity;
use parts::kind::{Limit, When};
use plant::plant::{GaugeId, PartId, Plant, Tap};

/// A speed below this is none [rad/s].
const NONE: f64 = 1.0;

/// An engine, or what serves none, with what tells of its standing still.
pub struct Engine {
    /// Which.
    pub which: Option<PartId>,
    /// Gauges of its speed.
    speeds: Vec<GaugeId>,
    /// Gauges of what only a turning engine holds up, and down to where.
    held_up: Vec<(GaugeId, &'static Limit)>,
}

impl Engine {
    /// One of them.
    pub fn of(plant: &Plant, which: Option<PartId>) -> Engine {
        let dials = || plant.gauge_ids().filter(|gauge| plant[*gauge].trips.is_none());
        let is_its_speed = |gauge: &GaugeId| match plant[*gauge].tap {
            Tap::Unknown(part, _) => plant[part].engine == which && plant[*gauge].quantity == Quantity::RotationalSpeed,
            _ => false,
        };
        let holds_up = |gauge: GaugeId| {
            let own = limits_by_part(plant, gauge).filter(move |(part, limit)| {
                limit.running_only && limit.when == When::Low && plant[*part].engine == which
            });
            own.map(move |(_, limit)| (gauge, limit))
        };
        Engine { which, speeds: dials().filter(is_its_speed).collect(), held_up: dials().flat_map(holds_up).collect() }
    }

    /// Every engine of a plant, and none where a part serves none.
    pub fn all(plant: &Plant) -> Vec<Engine> {
        let mut all: Vec<Option<PartId>> = plant.parts.iter().map(|part| part.engine).collect();
        all.sort_unstable();
        all.dedup();
        all.into_iter().map(|which| Engine::of(plant, which)).collect()
    }

    /// Whether it stands: every gauge of its speed that is read says so (or what was told does, where none is read), and
    /// nothing that only a turning engine holds up is up. A speed gauge that hangs on the alternator shows nothing once the belt
    /// is gone, and what is not known is not taken for a stop.
    pub fn stands(&self, told: Option<f64>, reads: &dyn Fn(GaugeId) -> Option<f64>) -> bool {
        let speeds: Vec<f64> = self.speeds.iter().filter_map(|gauge| reads(*gauge)).collect();
        let says_so = if speeds.is_empty() { told.is_some_and(is_none) } else { speeds.into_iter().all(is_none) };
        let is_up = |&(gauge, limit): &(GaugeId, &Limit)| reads(gauge).is_some_and(|value| !passed(limit, value));
        says_so && !self.held_up.iter().any(is_up)
    }
}

fn is_none(speed: f64) -> bool {
    speed < NONE
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
        assert!(
            port.is_some()
                && starboard.is_some()
                && port != starboard
                && Engine::all(&plant).iter().any(|engine| engine.which == starboard)
        );
        let shown = |list: &[(&str, f64)], engine| {
            let read: Vec<(GaugeId, f64)> = list.iter().map(|(name, value)| (named(name), *value)).collect();
            Engine::of(&plant, engine)
                .stands(None, &|gauge| read.iter().find(|(of, _)| *of == gauge).map(|(_, value)| *value))
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
