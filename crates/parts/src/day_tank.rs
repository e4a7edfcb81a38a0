//! Day tank: the fuel the engine draws on.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// What it holds [m³].
    volume: Volume, 0.005..=10.0, 0.2 * power ^ 1.0, within 1.5, "[Trade] 2.4 a day's fuel";
    /// How full it is [1].
    level: Ratio, 0.0..=1.0, 0.6, plus 0.4 each, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "day-tank",
    title: "Day tank",
    called: &[],
    places: &[],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (48.0, 44.0),
        strokes: &[Stroke::Outline("M0 0H48V44H0Z"), Stroke::Line("M0 14H48M18 18H30M21 22H27")],
        ways: &[],
        link: outward((48.0, 22.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "level", quantity: Quantity::Ratio, start: 0.5, size: 0.1, bounds: (-0.5, 1.5) }],
    links: &[],
    laws: both::<DayTank>(),
    causes: &[
        Cause {
            name: "empty",
            title: "day tank empty, or its pickup bares as she rolls",
            moves: &[Move { on: Whose::Own, parameter: "level", by: By::Towards(0.0) }],
            severity: Severity::MostlyBad,
            says: &[
                says_of("diesel", "stops by itself", 0.8),
                says_of("diesel", "starts badly", 0.5),
                says_of("diesel", "hunts", 0.4),
                says("worse in a seaway", 0.4),
            ],
            misreads: None,
            rate: "fuel-empty",
            remedy: "fill the day tank and bleed",
        },
        starves(&Spoken {
            name: "pickup_blocked",
            title: "pickup gauze or dip pipe of the tank blocked",
            says: &[
                says_of("diesel", "stops by itself", 0.6),
                says_of("diesel", "hunts", 0.3),
                says_of("diesel", "starts badly", 0.25),
                says("worse in a seaway", 0.35),
                says_of("lift-pump", "no fuel at the bleed screw", 0.35),
                says("slime in the fuel", 0.35),
            ],
            rate: "fuel-pickup-screen-blocked",
            remedy: "clear the pickup",
        }),
        spoken(&Spoken {
            name: "pickup_draws_air",
            title: "dip pipe of the tank leaks air above the fuel",
            says: &[
                says_of("diesel", "stops by itself", 0.45),
                says_of("diesel", "hunts", 0.4),
                says_of("diesel", "starts badly", 0.4),
                says_of("lift-pump", "bubbles in the clear bowl", 0.6),
                says("better with a full tank", 0.5),
            ],
            rate: "fuel-pickup-tube-leaks-air",
            remedy: "renew the dip pipe",
        }),
        starves(&Spoken {
            name: "vent_blocked",
            title: "vent of the tank blocked",
            says: &[says_of("diesel", "stops by itself", 0.5), says("air rushes in at the cap", 0.5)],
            rate: "fuel-tank-vent-blocked",
            remedy: "clear the vent",
        }),
        spoken(&Spoken {
            name: "cock_shut",
            title: "fuel cock shut",
            says: &[
                says_of("diesel", "stops by itself", 0.75),
                says_of("diesel", "starts badly", 0.3),
                says("cock across the pipe", 0.8),
                says_of("lift-pump", "no fuel at the bleed screw", 0.4),
            ],
            rate: "fuel-valve-closed",
            remedy: "open the cock and bleed",
        }),
        spoken(&Spoken {
            name: "water",
            title: "water in the fuel",
            says: &[
                says("water in the bowl or sample", 0.8),
                says_of("diesel", "stops by itself", 0.5),
                says_of("diesel", "hunts", 0.3),
                says_of("diesel", "starts badly", 0.3),
                says_of("diesel", "smoke white", 0.25),
                says_of("diesel", "knocks", 0.1),
            ],
            rate: "fuel-water-contaminated",
            remedy: "drain the water, then find where it came in",
        }),
        spoken(&Spoken {
            name: "growth",
            title: "growth in the tank",
            says: &[
                says("slime in the fuel", 0.75),
                says("water in the bowl or sample", 0.4),
                says_of("diesel", "weak", 0.3),
                says_of("diesel", "stops by itself", 0.35),
                says_of("lift-pump", "filter black or slimy", 0.6),
                says("worse in a seaway", 0.4),
            ],
            rate: "fuel-microbial-growth",
            remedy: "clean the tank and dose it",
        }),
    ],
    words: &[
        Word {
            name: "nearly empty",
            of: Of::Value { probe: Probe::Unknown(0), midpoint: 0.06, spread: 0.03, when: When::Low },
            false_said: 0.03,
            miss: 0.15,
            group: "level",
            danger: None,
            source: "from memory",
        },
        said("worse in a seaway", 0.04, 0.3, "pattern"),
        said("better with a full tank", 0.02, 0.5, "pattern"),
        said("air rushes in at the cap", 0.02, 0.2, "vent"),
        said("cock across the pipe", 0.01, 0.1, "cock"),
        said("water in the bowl or sample", 0.05, 0.15, "fuel-looks"),
        said("slime in the fuel", 0.04, 0.2, "fuel-looks"),
    ],
    checks: &[
        Check {
            name: "dip",
            title: "Dip the tank, or read the sight glass",
            minutes: 3.0,
            state: State::Running,
            tool: Some("dipstick"),
            caution: "No flame; a gauge may not fit the shape of the tank.",
            finds: &[Find { cause: "empty", power: "valve-status-seen" }],
        },
        Check {
            name: "look_at_the_cocks",
            title: "Follow the line from tank to engine and look at every cock",
            minutes: 3.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Look only while she runs: a cock shut for a moment lets air in.",
            finds: &[Find { cause: "cock_shut", power: "valve-status-seen" }],
        },
        Check {
            name: "open_the_cap",
            title: "Open the filler cap and listen, then see whether she runs better",
            minutes: 2.0,
            state: State::Running,
            tool: None,
            caution: "Keep spray and rain out of it.",
            finds: &[Find { cause: "vent_blocked", power: "visual-general" }],
        },
        Check {
            name: "drain_a_sample",
            title: "Drain a jar from the lowest point and let it stand",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("clear jar"),
            caution: "Catch it all; shut the drain before she runs, it may draw air.",
            finds: &[
                Find { cause: "water", power: "visual-general" },
                Find { cause: "growth", power: "visual-general" },
            ],
        },
        Check {
            name: "run_from_a_can",
            title: "Feed the engine from a can of clean fuel and load it",
            minutes: 30.0,
            state: State::Running,
            tool: Some("can, hose"),
            caution: "Fuel on hot parts burns: hold the can low, tied, with the return led into it.",
            finds: &[
                Find { cause: "pickup_blocked", power: "fuel-from-can" },
                Find { cause: "pickup_draws_air", power: "fuel-from-can" },
                Find { cause: "vent_blocked", power: "fuel-from-can" },
                Find { cause: "cock_shut", power: "fuel-from-can" },
                Find { cause: "empty", power: "fuel-from-can" },
                Find { cause: "water", power: "fuel-from-can" },
                Find { cause: "growth", power: "fuel-from-can" },
            ],
        },
        kept(
            "fuel_balance",
            "From the ledger: fuel taken and burnt, held against the soundings",
            &[
                find("diesel/fuel_in_oil", "fuel-balance"),
                find("diesel/injector_leaks", "fuel-balance"),
                find("diesel/pressure_pipe_cracked", "fuel-balance"),
                find("lift-pump/diaphragm_leaks", "fuel-balance"),
                find("injection-pump/return_leaks", "fuel-balance"),
            ],
        ),
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::Unknown(0),
        value: 0.04,
        when: When::Low,
        running_only: true,
        act: "Fill the day tank now, or change over. If there is nothing to fill it from, slow \
                      down and get sea room or an anchorage.",
        source: "[Trade] 2.14 one hour left of a day's fuel",
    }],
    margins: &[],
};

/// Its laws.
struct DayTank;

impl Law for DayTank {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - p.level;
    }
}
