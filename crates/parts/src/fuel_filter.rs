//! Fuel filter: the fine one, mostly between feed pump and injection pump.

use crate::fuel_element::housing;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Flow at which the clean drop is given [kg/s].
    rated_flow: MassFlow, 1e-4..=10.0, 0.012 * power ^ 1.0, exact, "[Trade] 2.4 return flow";
    /// Drop of the new element at that flow with fuel at 20 °C [Pa].
    rated_drop: PressureDifference, 50.0..=50_000.0, 3_000.0, within 1.8, "from memory";
    /// Element's resistance over new [1].
    clogging: Ratio, 0.5..=1e6, 1.2, within 1.3 each, "from memory";
    /// Air drawn in at 10 kPa of vacuum past the gasket, as a share of the flow; under pressure fuel weeps out [1].
    seal_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "fuel-filter",
    title: "Fuel filter",
    called: &["filter", "secondary-fuel-filter", "fine-filter", "fine-fuel-filter"],
    places: &[along(Circuit::Fuel, Station::Filter, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (40.0, 40.0),
        strokes: &[Stroke::Outline("M0 20L20 0L40 20L20 40Z"), Stroke::Dashed("M20 0V40"), Stroke::Dashed("M26 6V34")],
        ways: &[way((0.0, 20.0), (40.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("fuel", &[Circuit::Fuel], "in", "out").that("is filtered in")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.5) }],
    links: &[],
    laws: both::<FuelFilter>(),
    causes: &[
        Cause {
            name: "clogged",
            title: "fine fuel filter clogged",
            moves: &[Move { on: Whose::Own, parameter: "clogging", by: By::Factor(300.0) }],
            severity: Severity::Even,
            says: &[
                says_of("diesel", "stops by itself", 0.3),
                says_of("diesel", "hunts", 0.3),
                says("element black or slimy", 0.6),
            ],
            misreads: None,
            rate: "fuel-fine-filter-clogged",
            remedy: "renew the element and bleed",
        },
        Cause {
            name: "housing_fouled",
            title: "passages of the filter housing fouled",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Factor(60.0) }],
            severity: Severity::Even,
            says: &[says_of("diesel", "stops by itself", 0.3)],
            misreads: None,
            rate: "fuel-filter-housing-fouled",
            remedy: "clean or renew the housing",
        },
        Cause {
            name: "wrong_element",
            title: "wrong element fitted, finer than this line can take",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Factor(6.0) }],
            severity: Severity::Even,
            says: &[says("number does not agree", 0.7)],
            misreads: None,
            rate: "fuel-filter-wrong",
            remedy: "fit the element the engine's book names",
        },
        Cause {
            name: "gasket_leaks",
            title: "gasket of the fuel filter leaks",
            moves: &[Move { on: Whose::Own, parameter: "seal_leak", by: By::Towards(0.9) }],
            severity: Severity::Even,
            says: &[
                says("wet below the filter", 0.7),
                says_of("diesel", "smell of fuel", 0.4),
                says_of("diesel", "starts badly", 0.3),
            ],
            misreads: None,
            rate: "fuel-filter-gasket",
            remedy: "renew the gasket",
        },
        Cause {
            name: "air_trapped",
            title: "air left in the fuel line after work",
            moves: &[],
            severity: Severity::Whole,
            says: &[
                says_of("feed-pump", "air at the bleed screw", 0.75),
                says_of("diesel", "starts badly", 0.7),
                says_of("diesel", "stops by itself", 0.6),
            ],
            misreads: None,
            rate: "fuel-air-trapped",
            remedy: "bleed the fuel line",
        },
    ],
    words: &[
        said("element black or slimy", 0.1, 0.15, "fuel-looks"),
        said("number does not agree", 0.01, 0.1, "fuel-looks"),
        Word {
            name: "wet below the filter",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.25,
            group: "fuel-leak",
            danger: Some(
                "Fuel on hot metal burns: slow down, keep it off manifold and turbine, no flame; stop as soon as the vessel is \
                 safe, and have an extinguisher at hand.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "pressure_either_side",
            title: "Read the feed pressure before and after it, at cruising speed",
            minutes: 10.0,
            state: State::Running,
            tool: Some("gauge to 1.6 bar, banjo bolt"),
            caution: "Stop to fit it. Keep the line off hot metal: fuel on it burns.",
            finds: &[
                Find { cause: "clogged", power: "fuel-vacuum-cruise" },
                Find { cause: "housing_fouled", power: "fuel-vacuum-cruise" },
                Find { cause: "wrong_element", power: "fuel-vacuum-cruise" },
                Find { cause: "feed-pump/weak", power: "fuel-vacuum-cruise" },
                Find { cause: "injection-pump/overflow_stuck_open", power: "fuel-vacuum-cruise" },
                Find { cause: "injection-pump/overflow_stuck_shut", power: "fuel-vacuum-cruise" },
                Find { cause: "injection-pump/return_restricted", power: "fuel-vacuum-cruise" },
            ],
        },
        Check {
            name: "element_out",
            title: "Take the element out, read its number, cut it open, probe the passages of the housing",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("spanner, element, torch, tray"),
            caution: "Tank valve shut, engine cool: no fuel on hot metal, no flame. Bleed before starting.",
            finds: &[
                Find { cause: "clogged", power: "visual-general" },
                Find { cause: "housing_fouled", power: "visual-general" },
                Find { cause: "wrong_element", power: "work-checked-by-other" },
                Find { cause: "gasket_leaks", power: "visual-general" },
            ],
        },
        Check {
            name: "wipe_and_watch",
            title: "Wipe it dry, lay paper under it and watch while she idles",
            minutes: 5.0,
            state: State::Idling,
            tool: Some("rag, paper, torch"),
            caution: "Never feel for a leak on a pressure pipe with the hand: the jet goes through skin. No flame.",
            finds: &[Find { cause: "gasket_leaks", power: "round-walk" }],
        },
        Check {
            name: "bleed",
            title: "Open the bleed screw on the filter and work the pump: fuel, air or nothing?",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("spanner, rag, tray"),
            caution: "Catch the fuel, keep it off hot parts and belts; no flame.",
            finds: &[
                Find { cause: "air_trapped", power: "visual-general" },
                Find { cause: "feed-pump/weak", power: "visual-general" },
                Find { cause: "feed-pump/suction_draws_air", power: "visual-general" },
            ],
        },
    ],
    walls: &[wall("the gasket", "fuel", Beyond::Space, &["gasket_leaks"])],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct FuelFilter;

impl Law for FuelFilter {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        housing(at, say, p.rated_flow, p.rated_drop * p.clogging, p.seal_leak);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn a_new_element_leaves_nearly_all_of_the_feed_pressure() {
        let bench = Bench::of(&KIND);
        let rated = bench.figure("rated_flow");
        let drop = bench.figure("rated_drop") * bench.figure("clogging");
        near(bench.flow_at(0, drop), rated, 0.25, "its own figure, a little thicker at 15 °C");
        // [Trade] 2.4: 0.3 to 0.6 bar of feed pressure.
        assert!(drop < 0.15 * 30_000.0);
        // Darcy's law: a bed eighty times as dense passes an eightieth at the same drop.
        let clogged = bench.clone().with("clogging", 80.0 * bench.figure("clogging")).flow_at(0, drop);
        near(clogged, bench.flow_at(0, drop) / 80.0, 0.25, "Darcy");
    }
}
