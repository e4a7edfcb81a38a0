//! Fuel lift pump, with the filters and lines it serves: a diaphragm on the engine between fuel and sump.

use crate::kind::*;
use crate::laws::{Silent, both};

/// The kind.
pub const KIND: Kind = Kind {
    name: "lift-pump",
    title: "Fuel lift pump, filters and lines",
    circuit: Circuit::Fuel,
    passages: &[],
    parameters: &[],
    unknowns: &[],
    links: &[],
    laws: both::<Silent>(),
    causes: &[
        Cause {
            name: "diaphragm_leaks",
            title: "diaphragm of the lift pump leaks fuel into the sump",
            moves: &[
                Move { on: Whose::Kind("sump"), parameter: "dilution", by: By::Towards(0.12) },
                Move { on: Whose::Kind("sump"), parameter: "level", by: By::Add(0.4) },
            ],
            severity: Severity::Even,
            says: &[says_of("sump", "smells of fuel", 0.65), says("weeps fuel", 0.2)],
            misreads: None,
            rate: "fuel-dilution-lift-pump",
            remedy: "renew the lift pump, then the oil and its filter",
        },
        spoken(&Spoken {
            name: "weak",
            title: "lift pump delivers enough only for low demand",
            says: &[
                says_of("diesel", "weak", 0.55),
                says_of("diesel", "stops by itself", 0.4),
                says("no fuel at the bleed screw", 0.4),
                says_of("diesel", "starts badly", 0.25),
            ],
            rate: "fuel-lift-pump-weak",
            remedy: "renew the lift pump",
        }),
        spoken(&Spoken {
            name: "low_voltage",
            title: "electric fuel pump starved of voltage",
            says: &[
                says("ticks slowly or not at all", 0.6),
                says_of("diesel", "weak", 0.4),
                says_of("diesel", "stops by itself", 0.4),
                says_of("diesel", "hunts", 0.3),
                says_of("diesel", "starts badly", 0.4),
            ],
            rate: "fuel-pump-low-voltage",
            remedy: "clean and tighten its supply",
        }),
        spoken(&Spoken {
            name: "filter_clogged",
            title: "fuel filter clogged",
            says: &[
                says_of("diesel", "weak", 0.65),
                says_of("diesel", "stops by itself", 0.35),
                says_of("diesel", "hunts", 0.3),
                says("filter black or slimy", 0.6),
                says("vacuum gauge high", 0.3),
            ],
            rate: "fuel-filter-clogged",
            remedy: "renew the element and bleed",
        }),
        spoken(&Spoken {
            name: "housing_fouled",
            title: "passages of the filter housing fouled",
            says: &[
                says_of("diesel", "weak", 0.6),
                says_of("diesel", "stops by itself", 0.3),
                says("vacuum gauge high", 0.5),
            ],
            rate: "fuel-filter-housing-fouled",
            remedy: "clean or renew the housing",
        }),
        spoken(&Spoken {
            name: "check_ball_jammed",
            title: "check ball in the filter housing jammed",
            says: &[
                says_of("diesel", "weak", 0.5),
                says_of("diesel", "stops by itself", 0.4),
                says("vacuum gauge high", 0.4),
                says("no fuel at the bleed screw", 0.4),
            ],
            rate: "fuel-check-ball-jammed",
            remedy: "free or renew the check ball",
        }),
        spoken(&Spoken {
            name: "suction_draws_air",
            title: "suction side of the fuel line draws air",
            says: &[
                says("bubbles in the clear bowl", 0.65),
                says("air at the bleed screw", 0.6),
                says_of("diesel", "stops by itself", 0.45),
                says_of("diesel", "hunts", 0.45),
                says_of("diesel", "starts badly", 0.5),
            ],
            rate: "fuel-suction-air-leak",
            remedy: "make the joints of the suction tight",
        }),
        spoken(&Spoken {
            name: "air_trapped",
            title: "air left in the fuel line after work",
            says: &[
                says("air at the bleed screw", 0.75),
                says_of("diesel", "starts badly", 0.7),
                says_of("diesel", "stops by itself", 0.6),
            ],
            rate: "fuel-air-trapped",
            remedy: "bleed the fuel line",
        }),
        spoken(&Spoken {
            name: "return_restricted",
            title: "fuel return restricted or shut",
            says: &[
                says_of("diesel", "weak", 0.3),
                says_of("diesel", "hunts", 0.4),
                says_of("diesel", "shakes", 0.2),
                says_of("diesel", "stops by itself", 0.2),
            ],
            rate: "fuel-return-restricted",
            remedy: "clear the return",
        }),
        spoken(&Spoken {
            name: "return_leaks",
            title: "fuel return leaks",
            says: &[
                says_of("diesel", "fuel in the bilge", 0.6),
                says_of("diesel", "smell of fuel", 0.65),
                says_of("diesel", "starts badly", 0.2),
            ],
            rate: "fuel-return-leak",
            remedy: "renew the return line",
        }),
    ],
    words: &[
        said("weeps fuel", 0.03, 0.25, "fuel-leak"),
        said("ticks slowly or not at all", 0.02, 0.2, "pump-noise"),
        said("bubbles in the clear bowl", 0.04, 0.25, "fuel-air"),
        said("air at the bleed screw", 0.03, 0.1, "fuel-air"),
        said("no fuel at the bleed screw", 0.02, 0.1, "fuel-air"),
        said("filter black or slimy", 0.1, 0.15, "fuel-looks"),
        said("vacuum gauge high", 0.03, 0.1, "fuel-suction"),
    ],
    checks: &[
        Check {
            name: "vacuum_at_cruise",
            title: "Read the vacuum gauge at the filter at cruising speed, against its value with a new \
                      element",
            minutes: 2.0,
            state: State::Running,
            tool: Some("vacuum gauge with drag needle"),
            caution: "At idle it tells nothing.",
            finds: &[
                Find { cause: "filter_clogged", power: "fuel-vacuum-cruise" },
                Find { cause: "housing_fouled", power: "fuel-vacuum-cruise" },
                Find { cause: "check_ball_jammed", power: "fuel-vacuum-cruise" },
                Find { cause: "day-tank/pickup_blocked", power: "fuel-vacuum-cruise" },
                Find { cause: "day-tank/vent_blocked", power: "fuel-vacuum-cruise" },
            ],
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
                Find { cause: "day-tank/pickup_draws_air", power: "fuel-clear-hose" },
                Find { cause: "air_trapped", power: "fuel-clear-hose" },
            ],
        },
        Check {
            name: "bleed",
            title: "Open the bleed screw and work the pump: fuel, air or nothing?",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("spanner, rag, tray"),
            caution: "Catch the fuel, keep it off hot parts and belts.",
            finds: &[
                Find { cause: "air_trapped", power: "visual-general" },
                Find { cause: "weak", power: "visual-general" },
                Find { cause: "suction_draws_air", power: "visual-general" },
            ],
        },
        Check {
            name: "measure_delivery",
            title: "Lead the pump's delivery into a jar and time it against the maker's figure",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("hose, jar, watch"),
            caution: "Engine stopped and cool; no flame.",
            finds: &[
                Find { cause: "weak", power: "bucket" },
                Find { cause: "return_restricted", power: "visual-general" },
            ],
        },
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
            name: "element_out",
            title: "Take the element out, cut it open, probe the passages and the ball of the housing",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("spanner, element, torch"),
            caution: "Shut the fuel cock; bleed before starting.",
            finds: &[
                Find { cause: "filter_clogged", power: "visual-general" },
                Find { cause: "housing_fouled", power: "visual-general" },
                Find { cause: "check_ball_jammed", power: "visual-general" },
                Find { cause: "day-tank/growth", power: "visual-general" },
            ],
        },
        Check {
            name: "smell_the_oil",
            title: "Smell the engine oil, drop it on blotting paper, and watch the level from day to day",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("blotting paper"),
            caution: "Thin oil may have hurt the bearings: do not run hard until it is changed.",
            finds: &[Find { cause: "diaphragm_leaks", power: "oil-smell-blotter" }],
        },
        Check {
            name: "oil_sample",
            title: "Send an oil sample and ask for fuel",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("sample bottle"),
            caution: "Take it warm, after a run, from mid-depth.",
            finds: &[Find { cause: "diaphragm_leaks", power: "oil-lab-fuel" }],
        },
        Check {
            name: "pump_off",
            title: "Take the pump off and work its lever with the outlet shut: does fuel weep from the \
                      body?",
            minutes: 45.0,
            state: State::Stopped,
            tool: Some("spanner, gasket"),
            caution: "Shut the fuel cock; count the gaskets and put as many back.",
            finds: &[
                Find { cause: "diaphragm_leaks", power: "visual-general" },
                Find { cause: "weak", power: "visual-general" },
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
    limits: &[],
};

/// A word that only causes explain.
const fn said(name: &'static str, false_said: f64, miss: f64, group: &'static str) -> Word {
    Word { name, of: Of::Cause, false_said, miss, group, danger: None, source: "from memory" }
}

/// A cause that moves nothing in the model.
struct Spoken {
    name: &'static str,
    title: &'static str,
    says: &'static [Says],
    rate: &'static str,
    remedy: &'static str,
}

/// That cause in full.
const fn spoken(it: &Spoken) -> Cause {
    Cause {
        name: it.name,
        title: it.title,
        moves: &[],
        severity: Severity::Whole,
        says: it.says,
        misreads: None,
        rate: it.rate,
        remedy: it.remedy,
    }
}
