//! Electric feed pump: a plunger that a magnet draws back and a spring pushes, whether the engine turns fast or slowly.

use crate::feed_pump::{Push, push};
use crate::fuel_element::air_drawn;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::ramp;

crate::parameters! {
    /// Fuel it gives with nothing to push against [kg/s].
    free_flow: MassFlow, 1e-4..=5.0, 0.019 * power ^ 1.0, within 1.4, "[Trade] 2.4 return flow";
    /// Pressure over the air at which its spring pushes no more [Pa].
    shut_off: PressureDifference, 5_000.0..=300_000.0, 45_000.0, within 1.25, "[Trade] 2.4 feed pressure";
    /// Vacuum at which only half of each stroke fills [Pa].
    suction: PressureDifference, 5_000.0..=90_000.0, 40_000.0, within 1.2, "from memory";
    /// Share of its stroke it still makes [1].
    stroke: Ratio, 0.0..=1.2, 1.0, within 1.05 each, "from memory";
    /// Voltage that reaches it over what it is made for [1].
    supply: Ratio, 0.0..=1.3, 1.0, within 1.05, "common practice, no source";
    /// Fuel that runs back through its valves at shut-off, as a share of free delivery [1].
    valve_leak: Ratio, 0.001..=2.0, 0.01, within 2.0 each, "from memory";
    /// Air drawn in at 10 kPa of vacuum at its unions, as a share of the flow [1].
    air_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// Speeds of the engine between which it is switched on [rad/s].
const OFF: f64 = 1.0;
const ON: f64 = 20.0;
/// Share of its voltage under which the magnet no longer draws the plunger, and from which it does fully [1]; from memory.
const LEAST_VOLTAGE: f64 = 0.5;
const FULL_VOLTAGE: f64 = 0.95;

/// The kind.
pub const KIND: Kind = Kind {
    name: "electric-feed-pump",
    title: "Electric fuel feed pump",
    called: &["electric-fuel-pump"],
    places: &[along(Circuit::Fuel, Station::Pump, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (36.0, 48.0),
        strokes: &[
            Stroke::Outline("M0 30A18 18 0 1 1 36 30A18 18 0 1 1 0 30Z"),
            Stroke::Solid("M36 30L28 35V25Z"),
            Stroke::Line("M14 13C20 22 20 38 14 47M12 12V0H24V12"),
        ],
        ways: &[way((0.0, 30.0), (36.0, 30.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("fuel", &[Circuit::Fuel], "in", "out").that("is drawn in and pressed on by")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.5) }],
    links: &[Link::Upstream("air")],
    laws: both::<ElectricFeedPump>(),
    causes: &[
        Cause {
            name: "low_voltage",
            title: "electric feed pump starved of voltage",
            moves: &[Move { on: Whose::Own, parameter: "supply", by: By::Towards(0.3) }],
            severity: Severity::MostlyBad,
            says: &[
                says("ticks slowly or not at all", 0.6),
                says("ticks otherwise than usual", 0.5),
                says_of("diesel", "stops by itself", 0.4),
                says_of("diesel", "hunts", 0.3),
                says_of("diesel", "starts badly", 0.4),
            ],
            misreads: None,
            rate: "fuel-pump-low-voltage",
            remedy: "clean and tighten its supply",
        },
        Cause {
            name: "weak",
            title: "electric feed pump weak: plunger or valves worn",
            moves: &[
                Move { on: Whose::Own, parameter: "stroke", by: By::Towards(0.1) },
                Move { on: Whose::Own, parameter: "shut_off", by: By::Factor(0.5) },
            ],
            severity: Severity::Even,
            says: &[
                says_of("diesel", "stops by itself", 0.4),
                says("ticks fast and light", 0.4),
                says("ticks otherwise than usual", 0.4),
            ],
            misreads: None,
            rate: "fuel-lift-pump-weak",
            remedy: "renew the feed pump",
        },
        Cause {
            name: "suction_draws_air",
            title: "a union of the suction line draws air",
            moves: &[Move { on: Whose::Own, parameter: "air_leak", by: By::Towards(0.9) }],
            severity: Severity::Even,
            says: &[
                says("ticks fast and light", 0.5),
                says("ticks otherwise than usual", 0.4),
                says("air at the bleed screw", 0.6),
                says_of("diesel", "stops by itself", 0.45),
                says_of("diesel", "hunts", 0.45),
                says_of("diesel", "starts badly", 0.5),
            ],
            misreads: None,
            rate: "fuel-suction-air-leak",
            remedy: "make the unions of the suction tight",
        },
    ],
    words: &[
        said("ticks slowly or not at all", 0.02, 0.2, "pump-noise"),
        said("ticks otherwise than usual", 0.03, 0.3, "pump-noise"),
        said("ticks fast and light", 0.03, 0.4, "pump-noise"),
        said("air at the bleed screw", 0.03, 0.1, "fuel-air"),
    ],
    checks: &[
        Check {
            name: "voltage_at_pump",
            title: "Measure the voltage at the pump while it works",
            minutes: 5.0,
            state: State::Idling,
            tool: Some("voltmeter"),
            caution: "Wipe up fuel first; no spark near it.",
            finds: &[Find { cause: "low_voltage", power: "volt-drop" }],
        },
        Check {
            name: "measure_delivery",
            title: "Lead the pump's delivery into a jar and time it against the maker's figure",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("hose, jar, watch"),
            caution: "Engine stopped and cool, fuel off hot metal; no flame, no spark.",
            finds: &[Find { cause: "weak", power: "bucket" }, Find { cause: "low_voltage", power: "bucket" }],
        },
        Check {
            name: "clear_hose",
            title: "Fit a clear hose before the pump and watch for bubbles",
            minutes: 15.0,
            state: State::Running,
            tool: Some("clear fuel hose, clamps"),
            caution: "Stop to fit it; it is no fire-proof hose: take it out again.",
            finds: &[
                Find { cause: "suction_draws_air", power: "fuel-clear-hose" },
                Find { cause: "fuel-pickup/draws_air", power: "fuel-clear-hose" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "suction",
        asks: "Does the pump draw easily?",
        of: |at| Some(-over(at, 0)),
        quantity: Quantity::PressureDifference,
        least: f64::NEG_INFINITY,
        most: 17000.0,
        remedy: "a wider suction, larger elements, the pump lower down",
        source: "[Trade] 2.4 suction limit",
    }],
};

/// Its laws.
struct ElectricFeedPump;

impl Law for ElectricFeedPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let works = ramp(at.point.speed, OFF, ON) * ramp(p.supply, LEAST_VOLTAGE, FULL_VOLTAGE);
        say.unknown[0] = at.unknowns[0] - air_drawn(at, at.inlet_pressure[0], p.air_leak);
        push(
            at,
            say,
            Push {
                free: p.free_flow * p.stroke * works,
                rated: p.free_flow,
                shut_off: p.shut_off,
                suction: p.suction,
                valve_leak: p.valve_leak,
                air: at.links[0] + at.unknowns[0],
            },
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::Bench;

    #[test]
    fn it_gives_as_much_at_idle_as_at_speed_and_less_on_low_voltage() {
        let mut bench = Bench::of(&KIND);
        bench.site.point.speed = 63.0;
        // [Trade] 2.4: two to four times the burn of 60 kW at 0.274 L/kWh, at 0.3 bar.
        let litres = bench.flow_at(0, -30_000.0) / bench.site.contents[0].density(crate::bench::MILD) * 3.6e6;
        assert!((2.0 * 16.4..=4.0 * 16.4).contains(&litres), "{litres} L/h");
        // 0.3 to 0.6 bar static.
        assert!(bench.flow_at(0, -60_000.0) < 0.03 * bench.figure("free_flow"));
        let low = bench.clone().with("supply", 0.7).flow_at(0, -20_000.0);
        assert!(low < 0.6 * bench.flow_at(0, -20_000.0) && low > 0.0);
        bench.site.point.speed = 0.0;
        assert!(bench.flow_at(0, -20_000.0).abs() < 0.02 * bench.figure("free_flow"), "switched off with the engine");
    }
}
