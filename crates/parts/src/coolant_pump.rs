//! Circulating pump: centrifugal, driven by the engine or a belt.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::signed_square;

crate::parameters! {
    /// Pump turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Rated speed of the pump [rad/s].
    rated_speed: RotationalSpeed, 5.0..=1000.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
    /// Pressure it makes against a shut valve at rated speed [Pa].
    shutoff: PressureDifference, 5_000.0..=500_000.0, 70_000.0, within 1.4, "from memory";
    /// Flow at which half of that is left [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 2.0 * power ^ 1.0, within 1.25, "[Trade] 2.2 coolant flow for each kW";
    /// Share of its head a sound impeller still makes [1].
    impeller: Ratio, 0.0..=1.2, 1.0, within 1.08 each, "from memory";
    /// Passage left free by rags, scale or casting sand, as a resistance: 1 when clear [1].
    obstruction: Ratio, 1.0..=1e6, 1.0, exact, "common practice, no source";
}

/// Flow below which the loss turns linear [share of rated flow].
const REST: f64 = 0.02;

/// The kind.
pub const KIND: Kind = Kind {
    name: "coolant-pump",
    title: "Circulating pump",
    called: &["water-pump", "cooling-pump", "pump", "circulating-pump", "fresh-water-pump"],
    places: &[along(Circuit::FreshWater, Station::Pump, Role::Needed)],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"), Stroke::Solid("M36 18L9 33.6V2.4Z")],
        ways: &[way((0.0, 18.0), (36.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("coolant", &[Circuit::FreshWater], "in", "out").that("is driven round by")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::DriverSpeed, Link::Upstream("air")],
    laws: both::<CoolantPump>(),
    causes: &[
        Cause {
            name: "slips",
            title: "circulating pump moves too little: impeller eroded, loose on its shaft, or its belt slips",
            moves: &[Move { on: Whose::Own, parameter: "impeller", by: By::Lost }],
            severity: Severity::Even,
            says: &[says_of("diesel", "overheats quickly", 0.15)],
            misreads: None,
            rate: "coolant-pump-slip",
            remedy: "rebuild or renew the circulating pump",
        },
        Cause {
            name: "seal_leaks",
            title: "circulating pump leaks at its seal",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Towards(0.78) }],
            severity: Severity::MostlySlight,
            says: &[
                says("weeps at the weep hole", 0.7),
                says("rumbles", 0.25),
                says_of("diesel", "coolant in the bilge", 0.3),
            ],
            misreads: None,
            rate: "coolant-pump-seal-leaks",
            remedy: "rebuild or renew the circulating pump",
        },
        Cause {
            name: "obstructed",
            title: "something left in the pump or a coolant passage",
            moves: &[Move { on: Whose::Own, parameter: "obstruction", by: By::Blocked }],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "coolant-passage-foreign-object",
            remedy: "take it out",
        },
    ],
    words: &[
        Word {
            name: "weeps at the weep hole",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.3,
            group: "leak",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "rumbles",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.4,
            group: "noise",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_at_weep_hole",
            title: "Look at the weep hole, the belt and the pulley",
            minutes: 3.0,
            state: State::Stopped,
            tool: Some("torch"),
            caution: "Key in your pocket before a hand goes near the belt.",
            finds: &[Find { cause: "seal_leaks", power: "round-walk" }],
        },
        Check {
            name: "rock_the_pulley",
            title: "Belt slack, rock and spin the pump pulley by hand",
            minutes: 10.0,
            state: State::StoppedCold,
            tool: Some("spanner"),
            caution: "Key in your pocket and battery switch off: a cranked engine takes fingers.",
            finds: &[
                Find { cause: "seal_leaks", power: "visual-general" },
                Find { cause: "slips", power: "visual-engine-parts" },
            ],
        },
        Check {
            name: "rise_across_engine",
            title: "Take the coolant temperature into and out of the engine at a steady load",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Stand clear of the belts; aim at paint, rubber or tape.",
            finds: &[Find { cause: "slips", power: "ir-painted" }, Find { cause: "obstructed", power: "ir-painted" }],
        },
        Check {
            name: "pump_off",
            title: "Drain down, take the pump off, look at its impeller and into the passage behind it",
            minutes: 120.0,
            state: State::StoppedCold,
            tool: Some("spanners, gasket, bucket"),
            caution: "Cold, cap off first; coolant is poisonous, keep it out of the bilge.",
            finds: &[
                Find { cause: "slips", power: "visual-general" },
                Find { cause: "obstructed", power: "visual-general" },
                Find { cause: "seal_leaks", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "inlet",
        asks: "Is the pump clear of cavitation?",
        of: |at| Some(at.inlet_pressure[0] - at.vapour_pressure(0)),
        quantity: Quantity::PressureDifference,
        least: 15000.0,
        most: f64::INFINITY,
        remedy: "a wider return, the header tank higher, a cap of higher pressure",
        source: "from memory",
    }],
};

/// Its laws.
struct CoolantPump;

impl Law for CoolantPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Affinity laws: head goes with speed squared.
        let share = at.links[0] * p.drive_ratio / p.rated_speed;
        let air = -at.links[1] + 1.0;
        let head = p.shutoff * share * share * p.impeller * air * air;
        at.drop(say, 0, p.shutoff * p.obstruction * 0.5 * signed_square(at.flow[0] / p.rated_flow, REST) - head);
        say.storage[0] = p.rated_flow * 4_000.0;
    }
}
