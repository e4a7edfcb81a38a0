//! Hand bilge pump: a diaphragm with two flaps; it lifts what an arm moves, and its flaps hold the sea back.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, signed_root};

crate::parameters! {
    /// What a stroke moves [m³].
    stroke_volume: Volume, 1e-4..=0.01, 7e-4, within 1.4, "from memory";
    /// Strokes made a second; 0 when nobody pumps [1/s as a plain number].
    strokes: Ratio, 0.0..=2.0, 0.0, exact, "common practice, no source";
    /// Share of a stroke that diaphragm and flaps still move [1].
    health: Ratio, 0.0..=1.0, 1.0, within 1.06, "from memory";
    /// Flow that flaps let back at half a metre of water [kg/s].
    flaps_leak: MassFlow, 1e-6..=2.0, 1e-4, within 3.0, "from memory";
}

/// Half a metre of water [Pa].
const HALF_METRE: f64 = 4_900.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "hand-bilge-pump",
    title: "Hand bilge pump",
    called: &["manual-bilge-pump", "diaphragm-bilge-pump"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Bilge,
    symbol: Symbol {
        size: (36.0, 44.0),
        strokes: &[
            Stroke::Outline("M0 26A18 18 0 1 1 36 26A18 18 0 1 1 0 26Z"),
            Stroke::Line("M4 18L18 30L32 18M18 26L30 0"),
        ],
        ways: &[way((0.0, 26.0), (36.0, 26.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::Bilge], "in", "out").that("is lifted by hand with")],
    parameters: PARAMETERS,
    unknowns: &[Unknown {
        name: "runs_back",
        quantity: Quantity::MassFlow,
        start: 0.0,
        size: 0.05,
        bounds: (-100.0, 100.0),
    }],
    links: &[],
    laws: both::<HandBilgePump>(),
    causes: &[
        Cause {
            name: "diaphragm_split",
            title: "diaphragm of the hand pump split",
            moves: &[Move { on: Whose::Own, parameter: "health", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("lifts nothing", 0.8)],
            misreads: None,
            rate: "hand-bilge-pump-diaphragm-split",
            remedy: "renew the diaphragm",
        },
        Cause {
            name: "flap_held_open",
            title: "flap of the hand pump held open by dirt: it lifts nothing, and water runs back",
            moves: &[
                Move { on: Whose::Own, parameter: "health", by: By::Towards(0.1) },
                Move { on: Whose::Own, parameter: "flaps_leak", by: By::Towards(0.3) },
            ],
            severity: Severity::Even,
            says: &[says("lifts nothing", 0.6)],
            misreads: None,
            rate: "hand-bilge-pump-flap-open",
            remedy: "clean or renew the flaps",
        },
    ],
    words: &[
        Word {
            name: "runs back",
            of: Of::Value { probe: Probe::Unknown(0), midpoint: 0.05, spread: 0.02, when: When::High },
            false_said: 0.01,
            miss: 0.3,
            group: "bilge-back",
            danger: Some("Shut its seacock, or bung the outlet: the sea siphons in by a pump that does not hold."),
            source: "from memory",
        },
        said("lifts nothing", 0.02, 0.1, "bilge-hand"),
    ],
    checks: &[Check {
        name: "pump_a_bucket",
        title: "Pump a bucketful: count the strokes until it runs overboard, then open the cover and look at the flaps",
        minutes: 10.0,
        state: State::Running,
        tool: Some("bucket, screwdriver"),
        caution: "Seacock shut before the cover comes off, if its outlet can be under water.",
        finds: &[
            Find { cause: "diaphragm_split", power: "valve-status-seen" },
            Find { cause: "flap_held_open", power: "valve-status-seen" },
        ],
    }],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct HandBilgePump;

impl Law for HandBilgePump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let density = at.contents[0].density(at.inlet_temperature[0]);
        let moved = p.strokes * p.stroke_volume * p.health * density;
        let along = at.inlet_pressure[0] - at.outlet_pressure[0];
        let leaks = p.flaps_leak * signed_root(along, 100.0) / HALF_METRE.sqrt();
        // A flow that is what it is, told as a pressure.
        say.gap[0] = (moved + leaks - at.flow[0]) * 1e4;
        say.unknown[0] = at.unknowns[0] - positive_part(-at.flow[0], 1e-3);
        say.storage[0] = p.stroke_volume * 3e6;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn an_arm_moves_what_is_asked_of_a_hand_pump() {
        // [Trade] 2.11: 1 m³/h by hand.
        let mut bench = Bench::of(&KIND).with("strokes", 0.5);
        bench.site.contents[0] = physics::contents::Contents::OCEAN;
        let moved = bench.flow_at(0, -10_000.0);
        assert!(moved > 1025.0 / 3600.0, "{moved} kg/s");
        near(bench.clone().with("health", 0.5).flow_at(0, 0.0), 0.5 * bench.flow_at(0, 0.0), 0.001, "half a stroke");
        let idle = Bench::of(&KIND);
        near(idle.flow_at(0, -HALF_METRE), -idle.figure("flaps_leak"), 0.05, "its flaps hold");
    }
}
