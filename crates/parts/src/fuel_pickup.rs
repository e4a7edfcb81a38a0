//! Fuel pickup: the dip pipe and its screen in the tank, and the pipe to the first filter.

use crate::fuel_element::{air_drawn, drag};
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Flow at which the clean drop is given [kg/s].
    rated_flow: MassFlow, 1e-4..=10.0, 0.012 * power ^ 1.0, exact, "[Trade] 2.4 return flow";
    /// Drop of screen and pipe at that flow with fuel at 20 °C [Pa].
    rated_drop: PressureDifference, 20.0..=50_000.0, 800.0, within 2.0, "from memory";
    /// Air drawn in at 10 kPa of vacuum through the pipe or its union, as a share of the flow [1].
    air_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "fuel-pickup",
    title: "Fuel pickup",
    called: &["dip-pipe"],
    places: &[along(Circuit::Fuel, Station::Pickup, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (24.0, 28.0),
        strokes: &[Stroke::Outline("M0 0H24V28H0"), Stroke::Dashed("M0 0V28"), Stroke::Line("M8 14H24")],
        ways: &[way((0.0, 14.0), (24.0, 14.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("fuel", &[Circuit::Fuel], "in", "out").that("is drawn up through the screen of")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.5) }],
    links: &[],
    laws: both::<FuelPickup>(),
    causes: &[
        Cause {
            name: "screen_blocked",
            title: "pickup screen or dip pipe of the tank blocked",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[
                says_of("diesel", "stops by itself", 0.5),
                says_of("diesel", "hunts", 0.3),
                says_of("fuel-tank", "worse in a seaway", 0.35),
                says_of("fuel-tank", "slime in the fuel", 0.35),
                says_of("fuel-separator", "bowl stays empty", 0.5),
                says_of("electric-feed-pump", "ticks otherwise than usual", 0.5),
            ],
            misreads: None,
            rate: "fuel-pickup-screen-blocked",
            remedy: "clear the pickup",
        },
        Cause {
            name: "draws_air",
            title: "dip pipe of the tank or its union draws air",
            moves: &[Move { on: Whose::Own, parameter: "air_leak", by: By::Towards(0.9) }],
            severity: Severity::Even,
            says: &[
                says_of("diesel", "stops by itself", 0.45),
                says_of("diesel", "hunts", 0.4),
                says_of("diesel", "starts badly", 0.4),
                says_of("feed-pump", "bubbles in a clear hose", 0.6),
                says_of("fuel-separator", "bowl stays empty", 0.3),
                says_of("electric-feed-pump", "ticks otherwise than usual", 0.4),
                says("better with a full tank", 0.5),
            ],
            misreads: None,
            rate: "fuel-pickup-tube-leaks-air",
            remedy: "renew the dip pipe or its union",
        },
    ],
    words: &[said("better with a full tank", 0.02, 0.5, "pattern")],
    checks: &[
        Check {
            name: "blow_back",
            title: "Take the line off at the first filter and blow gently back into the tank",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner, hand pump, rag"),
            caution: "Filler cap open, face away from it; catch what runs out, off hot metal and far from flame.",
            finds: &[Find { cause: "screen_blocked", power: "fuel-blow-back" }],
        },
        Check {
            name: "draw_the_pipe",
            title: "Draw the dip pipe: look at the screen, and for a crack above the fuel",
            minutes: 40.0,
            state: State::StoppedCold,
            tool: Some("spanner, gasket, torch"),
            caution: "An open tank gives off vapour: no flame, no spark, air the space first.",
            finds: &[
                Find { cause: "screen_blocked", power: "visual-general" },
                Find { cause: "draws_air", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct FuelPickup;

impl Law for FuelPickup {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        at.drop(say, 0, p.rated_drop * drag(at, at.flow[0] / p.rated_flow));
        say.unknown[0] = at.unknowns[0] - air_drawn(at, at.outlet_pressure[0], p.air_leak);
        say.storage[0] = p.rated_flow * 50_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn pipe_and_screen_are_a_small_share_of_the_suction_that_is_allowed() {
        let bench = Bench::of(&KIND);
        let rated = bench.figure("rated_flow");
        // [Trade] 2.4: 17 kPa at the pump in all, 227 L/h through a pump of 185 to 335 kW: 44 to 74 L/h at 60 kW.
        let clean = bench.figure("rated_drop");
        assert!((44.0..=74.0).contains(&(rated / 840.0 * 3.6e6)), "{} L/h", rated / 840.0 * 3.6e6);
        assert!(clean < 0.1 * 17_000.0);
        near(bench.flow_at(0, clean), rated, 0.25, "its own clean figure, a little thicker at 15 °C");
        // Through gauze and paper the flow goes with the pressure, so a screen a hundred times as dense passes a hundredth.
        let blocked = bench.clone().with("rated_drop", 100.0 * clean).flow_at(0, clean);
        near(blocked, bench.flow_at(0, clean) / 100.0, 0.25, "laminar");
    }
}
