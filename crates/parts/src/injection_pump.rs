//! Injection pump: takes what the engine burns from its gallery; what the feed brings beyond that goes back over a valve.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::diesel_fuel::LOWER_HEATING_VALUE;
use physics::number::Number;
use physics::smooth::{positive_part, signed_root, signed_square, softplus, step};

crate::parameters! {
    /// Pressure at which the overflow valve begins to lift [Pa].
    overflow_cracks: PressureDifference, 0.0..=300_000.0, 20_000.0, within 1.3, "[Trade] 2.4 feed pressure";
    /// Further pressure until it passes its full flow [Pa].
    overflow_rise: PressureDifference, 500.0..=100_000.0, 10_000.0, within 1.6, "from memory";
    /// Flow over it at full lift [kg/s].
    full_flow: MassFlow, 1e-4..=5.0, 0.012 * power ^ 1.0, within 1.4, "[Trade] 2.4 return flow";
    /// Lift that it cannot close, as a share of full [1].
    stuck: Ratio, 0.0..=3.0, 0.0, exact, "common practice, no source";
    /// Share of its lift that it can still make [1].
    free: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Drop of the return and leak-off line to the tank at that flow [Pa].
    return_drop: PressureDifference, 20.0..=100_000.0, 1_500.0, within 2.0, "from memory";
    /// Share of what returns that is lost through pipes and leak-off hoses [1].
    return_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
    /// Share of what is injected that leaks past the needles, back by a way of its own where that is told [1].
    leak_off: Ratio, 0.0..=0.5, 0.02, within 2.0, "from memory";
    /// How far fuel that leaks past the needles is warmed, with what stays in its pipe [K].
    leak_off_rise: TemperatureDifference, 0.0..=80.0, 25.0, within 1.6, "from memory";
    /// Pressure over the air in the gallery at which its barrels only half fill [Pa].
    half_fills: PressureDifference, -80_000.0..=50_000.0, -15_000.0, plus 5_000.0, "from memory";
    /// Heat that pump, spill and nozzles leave in the fuel that returns, as a share of what is burnt [1].
    warming: Ratio, 0.0..=0.02, 0.001, within 2.0, "from memory";
}

/// Rounding of the pressure at which barrels no longer fill [Pa].
const FILL_WIDTH: f64 = 5_000.0;
/// Rounding of the start of lift [Pa].
const CRACK_WIDTH: f64 = 500.0;
/// Pressure below which the flow over the valve turns linear [Pa].
const REST_PRESSURE: f64 = 300.0;
/// Lift of a shut overflow valve: its bleed bore [share of full]; from memory.
const BLEED: f64 = 2e-3;
/// Flow below which the return's drop turns linear [share of full flow].
const REST: f64 = 0.02;

/// The kind.
pub const KIND: Kind = Kind {
    name: "injection-pump",
    title: "Injection pump and return",
    called: &["injector-pump"],
    places: &[
        along(Circuit::Fuel, Station::Engine, Role::Needed),
        Place::Beside { circuit: Circuit::Fuel, passage: "injected", after: None, before: None, usual: false },
    ],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (64.0, 44.0),
        strokes: &[
            Stroke::Outline("M0 16H64V44H0Z"),
            Stroke::Line("M8 16V6M24 16V6M40 16V6M56 16V6M2 6H14M18 6H30M34 6H46M50 6H62M8 6V0M24 6V0M40 6V0M56 6V0"),
        ],
        ways: &[way((0.0, 34.0), (64.0, 34.0)), NO_WAY, way((0.0, 34.0), (64.0, 22.0))],
        // To the cylinders.
        link: outward((32.0, 0.0)),
        ..Symbol::BLANK
    },
    passages: &[
        passage("gallery", &[Circuit::Fuel], "in", "out").that("is shared out, and what is not burnt goes back, by"),
        way_through("injected", &[Circuit::Fuel], End::Port("in"), End::Air).that("is pressed into the cylinders by"),
        passage("leak_off", &[Circuit::Fuel], "in", "leak_off").that("leaks past the needles of"),
    ],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "delivery", quantity: Quantity::Ratio, start: 1.0, size: 0.1, bounds: (-0.1, 1.2) }],
    links: &[Link::Engine("fuel_flow"), Link::Upstream("air")],
    laws: both::<InjectionPump>(),
    causes: &[
        Cause {
            name: "overflow_stuck_open",
            title: "overflow valve stuck open or its spring broken",
            moves: &[Move { on: Whose::Own, parameter: "stuck", by: By::Towards(2.5) }],
            severity: Severity::Even,
            says: &[
                says_of("diesel", "weak", 0.3),
                says_of("diesel", "starts badly", 0.4),
                says_of("diesel", "hunts", 0.2),
            ],
            misreads: None,
            rate: "fuel-overflow-valve-stuck-open",
            remedy: "clean or renew the overflow valve",
        },
        Cause {
            name: "overflow_stuck_shut",
            title: "overflow valve stuck shut",
            moves: &[Move { on: Whose::Own, parameter: "free", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says_of("diesel", "hunts", 0.3), says("return pipe cold and dry", 0.5)],
            misreads: None,
            rate: "fuel-overflow-valve-stuck-shut",
            remedy: "clean or renew the overflow valve",
        },
        Cause {
            name: "return_restricted",
            title: "fuel return restricted or shut",
            moves: &[Move { on: Whose::Own, parameter: "return_drop", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[
                says_of("diesel", "weak", 0.2),
                says_of("diesel", "hunts", 0.4),
                says_of("diesel", "shakes", 0.2),
                says("return pipe cold and dry", 0.4),
            ],
            misreads: None,
            rate: "fuel-return-restricted",
            remedy: "clear the return",
        },
        Cause {
            name: "return_leaks",
            title: "fuel return or leak-off pipes leak",
            moves: &[Move { on: Whose::Own, parameter: "return_leak", by: By::Towards(0.3) }],
            severity: Severity::MostlySlight,
            says: &[
                says_of("diesel", "fuel in the bilge", 0.6),
                says_of("diesel", "smell of fuel", 0.65),
                says_of("diesel", "starts badly", 0.2),
            ],
            misreads: None,
            rate: "fuel-return-leak",
            remedy: "renew the return line",
        },
        Cause {
            name: "needles_worn",
            title: "needles of the injectors worn: much leaks off",
            moves: &[Move { on: Whose::Own, parameter: "leak_off", by: By::Factor(8.0) }],
            severity: Severity::Even,
            says: &[
                says("much leak-off", 0.7),
                says_of("diesel", "starts badly", 0.3),
                says_of("diesel", "weak", 0.15),
            ],
            misreads: None,
            rate: "injector-needles-worn",
            remedy: "service the injectors",
        },
        Cause {
            name: "leak_off_blocked",
            title: "leak-off pipe blocked or squeezed: pressure builds up behind the needles",
            moves: &[Move { on: Whose::Kind("diesel"), parameter: "combustion", by: By::Factor(0.9) }],
            severity: Severity::MostlyBad,
            says: &[
                says_of("diesel", "shakes", 0.4),
                says_of("diesel", "starts badly", 0.3),
                says_of("diesel", "smell of fuel", 0.4),
            ],
            misreads: None,
            rate: "fuel-leak-off-blocked",
            remedy: "clear the leak-off pipe",
        },
    ],
    words: &[said("much leak-off", 0.04, 0.3, "leak-off"), said("return pipe cold and dry", 0.03, 0.4, "fuel-return")],
    checks: &[
        Check {
            name: "return_into_a_jar",
            title: "Lead the return into a jar and time what comes at idle and at speed",
            minutes: 15.0,
            state: State::Idling,
            tool: Some("hose, jar, watch"),
            caution: "Warm fuel gives off vapour: no flame, off hot metal, hose tied into the jar.",
            finds: &[
                Find { cause: "overflow_stuck_open", power: "bucket" },
                Find { cause: "overflow_stuck_shut", power: "bucket" },
                Find { cause: "return_restricted", power: "bucket" },
            ],
        },
        Check {
            name: "leak_off_into_a_glass",
            title: "Lead each injector's leak-off into a glass of its own and compare after ten minutes",
            minutes: 25.0,
            state: State::Idling,
            tool: Some("glasses, thin hose"),
            caution: "Glasses tied and off hot metal: fuel on the manifold burns. The pressure pipes beside it pierce skin.",
            finds: &[
                Find { cause: "needles_worn", power: "bucket" },
                Find { cause: "leak_off_blocked", power: "bucket" },
            ],
        },
        Check {
            name: "valve_out",
            title: "Take the overflow valve out, look at ball, seat and spring",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("spanner, new washers, rag"),
            caution: "Engine cool, tank valve shut: no fuel on hot metal, no flame. Bleed before starting.",
            finds: &[
                Find { cause: "overflow_stuck_open", power: "relief-valve-out" },
                Find { cause: "overflow_stuck_shut", power: "relief-valve-out" },
            ],
        },
        Check {
            name: "look_along_the_return",
            title: "Look along return and leak-off pipes with a dry cloth",
            minutes: 5.0,
            state: State::Running,
            tool: Some("cloth, torch"),
            caution: "Never feel for a leak on a pressure pipe with the hand: the jet goes through skin.",
            finds: &[Find { cause: "return_leaks", power: "round-walk" }],
        },
    ],
    walls: &[wall("return and leak-off pipes", "gallery", Beyond::Space, &["return_leaks"])],
    limits: &[Limit {
        probe: Probe::InletTemperature(0),
        value: 338.15,
        when: When::High,
        running_only: true,
        act: "Slow down: hot fuel gives less power and is near its flash point. Look whether return and tank are hot, top up the \
              tank, and keep flame and spark away.",
        source: "[Trade] 2.4 fuel temperature at inlet",
    }],
    margins: &[Margin {
        name: "fuel temperature",
        asks: "Does the fuel arrive cool enough?",
        of: |at| Some(at.inlet_temperature[0]),
        quantity: Quantity::Temperature,
        least: f64::NEG_INFINITY,
        most: 338.15,
        remedy: "the return to a larger tank or through a cooler: power falls with warm fuel",
        source: "[Trade] 2.4 fuel temperature",
    }],
};

/// Its laws.
struct InjectionPump;

impl Law for InjectionPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let (burnt, air) = (at.links[0], at.links[1]);
        // Spring lift, then the root of what is left of the pressure after the return line.
        let back = p.return_drop * signed_square(at.flow[0] / p.full_flow, REST);
        let across = at.inlet_pressure[0] - at.outlet_pressure[0] - back;
        let lift = softplus(across - p.overflow_cracks, CRACK_WIDTH) / p.overflow_rise * p.free + p.stuck + BLEED;
        let full = p.overflow_cracks + p.overflow_rise;
        let over = lift * signed_root(across, REST_PRESSURE) / full.sqrt();
        say.gap[0] = (over - at.flow[0] / p.full_flow) * full;
        say.heat[0] = p.warming * burnt * LOWER_HEATING_VALUE;
        say.leak[0] = positive_part(at.flow[0], 1e-5) * p.return_leak;
        say.storage[0] = p.full_flow * 200_000.0;
        // What passes the needles is a share of what is pressed through them, whatever waits for it in the pipe.
        let passes = positive_part(burnt, 1e-6) * p.leak_off;
        say.gap[2] = (passes - at.flow[2]) / p.full_flow * full * 20.0;
        say.heat[2] = at.flow[2] * at.contents[2].heat_capacity(at.inlet_temperature[2]) * p.leak_off_rise;
        say.storage[2] = p.full_flow * 20_000.0;
        // The plungers take what the governor lets them, whatever the pressure, as long as their barrels fill.
        say.gap[1] = (burnt - at.flow[1]) / p.full_flow * full;
        let fills = step(at.inlet_pressure[0] - at.point.atmosphere - p.half_fills, FILL_WIDTH);
        say.unknown[0] = at.unknowns[0] - fills * positive_part(-air + 1.0, 0.01);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};
    use physics::constants::ATMOSPHERE;

    #[test]
    fn within_the_feed_pressure_that_is_printed_it_returns_what_is_printed() {
        let mut bench = Bench::of(&KIND);
        // [Trade] 2.4: 60 kW at 0.274 L/kWh burn 16.4 L/h; pumps return 1 to 3 times that, at 0.3 bar and more.
        let burn = 60.0 * 0.274 / 3.6e6 * bench.site.contents[0].density(crate::bench::MILD);
        bench.site.inlet_pressure[0] = ATMOSPHERE + 30_000.0;
        let back = bench.flow_at(0, 30_000.0);
        assert!((burn..=3.0 * burn).contains(&back), "{} of the burn", back / burn);
        assert!(bench.flow_at(0, 10_000.0) < 0.05 * burn, "below its spring it holds");
        assert!(bench.clone().with("free", 0.0).flow_at(0, 30_000.0) < 0.1 * burn, "stuck shut");
        assert!(bench.with("stuck", 2.5).flow_at(0, 10_000.0) > burn, "stuck open");
        // What is injected is what the engine burns.
        let mut bench = Bench::of(&KIND);
        bench.site.links[0] = burn;
        near(bench.flow_at(1, 0.0), burn, 1e-6, "what the engine burns");
    }

    #[test]
    fn it_fills_at_feed_pressure_and_starves_under_vacuum_or_on_air() {
        let over = |pressure: f64, air: f64| {
            let mut bench = Bench::of(&KIND);
            bench.site.inlet_pressure[0] = ATMOSPHERE + pressure;
            bench.site.links[1] = air;
            bench.inner("delivery")
        };
        // [Trade] 2.4: 0.3 to 0.6 bar of feed pressure.
        assert!(over(30_000.0, 0.0) > 0.999);
        assert!(over(-30_000.0, 0.0) < 0.01);
        assert!(over(30_000.0, 0.6) < 0.45);
    }
}
