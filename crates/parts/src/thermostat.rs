//! Thermostat: shares coolant between the by-pass and the cooler.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{signed_square, smooth_min, step};

crate::parameters! {
    /// Temperature at which it starts to open [K].
    opens: Temperature, 303.15..=373.15, 349.65, plus 6.0, "[Trade] 2.2 thermostat";
    /// Further rise to wide open [K].
    range: TemperatureDifference, 2.0..=30.0, 10.0, within 1.3, "[Trade] 2.2 thermostat";
    /// Least opening: 0 when sound, more when stuck open or missing [1].
    least: Ratio, 0.0..=1.0, 0.003, within 2.0, "from memory";
    /// Greatest opening: 1 when sound, less when stuck shut [1].
    greatest: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Flow at which the drop is given, either way wide open [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop to the cooler wide open at that flow [Pa].
    rated_drop: PressureDifference, 100.0..=100_000.0, 8_000.0, within 1.6, "from memory";
    /// Drop of the by-pass, open, at that flow [Pa].
    bypass_drop: PressureDifference, 100.0..=200_000.0, 20_000.0, within 1.8, "from memory";
    /// Share of the by-pass that it closes when wide open; 0 when it is missing [1].
    bypass_closing: Ratio, 0.0..=1.0, 0.75, exact, "from memory";
}

/// Flow below which a drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Leak area squared of a shut seat [1].
const LEAK: f64 = 1e-7;

/// The kind.
pub const KIND: Kind = Kind {
    name: "thermostat",
    title: "Thermostat",
    called: &[],
    places: &[
        along(Circuit::FreshWater, Station::Thermostat, Role::Needed),
        Place::Beside {
            circuit: Circuit::FreshWater,
            passage: "bypass",
            after: None,
            before: Some(Station::Pump),
            usual: true,
        },
    ],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (40.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 9V31L40 9V31Z"),
            Stroke::Outline("M9 0H31L20 20Z"),
            Stroke::Solid("M16 20A4 4 0 1 1 24 20A4 4 0 1 1 16 20Z"),
        ],
        ways: &[way((0.0, 20.0), (40.0, 20.0)), way((0.0, 20.0), (20.0, 0.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("main", &[Circuit::FreshWater, Circuit::RawWater], "in", "out").that("is let through, once warm, by"),
        passage("bypass", &[Circuit::FreshWater, Circuit::RawWater], "in", "bypass").that("goes round, while cold, by"),
    ],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "opening", quantity: Quantity::Ratio, start: 0.3, size: 0.1, bounds: (-0.01, 1.01) }],
    links: &[],
    laws: both::<Thermostat>(),
    causes: &[
        Cause {
            name: "stuck_open",
            title: "thermostat stuck open or broken apart",
            moves: &[Move { on: Whose::Own, parameter: "least", by: By::Towards(1.0) }],
            severity: Severity::MostlyBad,
            says: &[
                says_of("diesel", "slow to warm up", 0.7),
                says_of("diesel", "smoke white", 0.1),
                says("hoses warm together", 0.4),
            ],
            misreads: None,
            rate: "thermostat-stuck-open",
            remedy: "renew the thermostat",
        },
        Cause {
            name: "stuck_shut",
            title: "thermostat stuck shut or opening late",
            moves: &[Move { on: Whose::Own, parameter: "greatest", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says_of("diesel", "overheats quickly", 0.3)],
            misreads: None,
            rate: "thermostat-stuck-shut",
            remedy: "renew the thermostat",
        },
        Cause {
            name: "missing",
            title: "thermostat left out",
            moves: &[
                Move { on: Whose::Own, parameter: "least", by: By::Towards(1.0) },
                Move { on: Whose::Own, parameter: "bypass_closing", by: By::Lost },
            ],
            severity: Severity::Whole,
            says: &[says_of("diesel", "slow to warm up", 0.7), says("hoses warm together", 0.4)],
            misreads: None,
            rate: "thermostat-missing",
            remedy: "renew the thermostat",
        },
    ],
    words: &[
        Word {
            name: "one end cold",
            of: Of::Share { probe: Probe::Flow(0), midpoint: 0.08, spread: 0.05, when: When::Low },
            false_said: 0.03,
            miss: 0.35,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hoses warm together",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.4,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "feel_hoses",
            title: "Feel the hose to the cooler and the by-pass hose as the engine warms",
            minutes: 5.0,
            state: State::Idling,
            tool: None,
            caution: "Back of the hand, a second at a time: at 80 °C skin burns in one second; sleeves clear of the \
                belts.",
            finds: &[
                Find { cause: "stuck_shut", power: "feel-hoses" },
                Find { cause: "stuck_open", power: "feel-hoses" },
                Find { cause: "missing", power: "feel-hoses" },
                Find { cause: "coolant-pump/slips", power: "feel-hoses" },
                Find { cause: "header-tank/air_lock", power: "feel-hoses" },
            ],
        },
        Check {
            name: "both_sides",
            title: "Take the temperature either side of the thermostat housing with the engine warm",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Aim at paint or tape, not bare metal, and keep the hand that holds it out of the belts.",
            finds: &[
                Find { cause: "stuck_shut", power: "ir-painted" },
                Find { cause: "stuck_open", power: "ir-painted" },
            ],
        },
        Check {
            name: "time_the_warm_up",
            title: "Time the warm-up from cold and compare it with the log",
            minutes: 20.0,
            state: State::Running,
            tool: None,
            caution: "Do it at the berth or in open water: an engine that stays cold should not be loaded.",
            finds: &[
                Find { cause: "stuck_open", power: "compare-log" },
                Find { cause: "missing", power: "compare-log" },
            ],
        },
        Check {
            name: "in_a_pan",
            title: "Take the thermostat out and heat it in a pan with a thermometer",
            minutes: 60.0,
            state: State::StoppedCold,
            tool: Some("spanners, gasket, pan, thermometer"),
            caution: "Cold engine only: opened hot, the housing throws scalding coolant.",
            finds: &[
                Find { cause: "stuck_shut", power: "thermostat-pan" },
                Find { cause: "stuck_open", power: "thermostat-pan" },
                Find { cause: "missing", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "reserve",
        asks: "Has the cooler something in hand?",
        of: |at| Some(at.unknowns[0]),
        quantity: Quantity::Ratio,
        least: f64::NEG_INFINITY,
        most: 0.92,
        remedy: "a larger cooler, or more water through it: a thermostat wide open can hold nothing back",
        source: "common practice, no source",
    }],
};

/// Its laws.
struct Thermostat;

impl Law for Thermostat {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Smooth between its two temperatures: half open in the middle, 96 % of the way at the ends.
        let middle = (at.inlet_temperature[0] - p.opens - p.range * 0.5) / (p.range * 0.5);
        let wax = step(middle, 1.0);
        let opening = smooth_min(p.least + (-p.least + 1.0) * wax, p.greatest, 0.01);
        say.unknown[0] = at.unknowns[0] - opening;
        let main = at.unknowns[0] * at.unknowns[0] + LEAK;
        let bypass = -at.unknowns[0] * p.bypass_closing + 1.0;
        let drops = [at.inlet_pressure[0] - at.outlet_pressure[0], at.inlet_pressure[1] - at.outlet_pressure[1]];
        say.gap[0] = main * drops[0] - p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST);
        say.gap[1] = bypass * bypass * drops[1] - p.bypass_drop * signed_square(at.flow[1] / p.rated_flow, REST);
    }
}
