//! Strainer: a basket that keeps debris out of the raw-water pump.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, smooth_min};

crate::parameters! {
    /// Flow at which the clean drop is given [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 0.95 * power ^ 1.0, exact, "common practice, no source";
    /// Pressure drop of the clean basket at that flow [Pa].
    rated_drop: PressureDifference, 100.0..=50_000.0, 2_000.0, within 2.0, "common practice, no source";
    /// Air drawn in through the lid at full suction, as a share of the flow [1].
    air_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// Flow below which the drop turns linear, so that slopes stay finite at rest [share of rated flow].
const REST: f64 = 0.02;

/// Flow from which the margins ask [share of rated].
const IN_USE: f64 = 0.1;

/// The kind.
pub const KIND: Kind = Kind {
    name: "strainer",
    title: "Strainer",
    called: &["sea-strainer", "raw-water-strainer", "weed-trap", "filter"],
    places: &[along(Circuit::RawWater, Station::Strainer, Role::Usual)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (40.0, 32.0),
        strokes: &[Stroke::Outline("M0 0H40V32H0Z"), Stroke::Dashed("M0 32L40 0")],
        ways: &[way((0.0, 16.0), (40.0, 16.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::RawWater], "in", "out").that("is strained in")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.01) }],
    links: &[],
    laws: both::<Strainer>(),
    causes: &[
        Cause {
            name: "blocked",
            title: "strainer blocked",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[
                says("weed in the bowl", 0.85),
                says_of("raw-pump", "hot to the touch", 0.15),
                says_of("diesel", "smell of hot rubber", 0.12),
            ],
            misreads: None,
            rate: "strainer-blocked",
            remedy: "clean the strainer",
        },
        Cause {
            name: "lid_draws_air",
            title: "strainer lid or a joint of the suction draws air",
            moves: &[Move { on: Whose::Own, parameter: "air_leak", by: By::Towards(0.6) }],
            severity: Severity::Even,
            says: &[
                says("bubbles in the bowl", 0.7),
                says("bowl empty", 0.25),
                says("weeps when stopped", 0.35),
                says_of("outlet", "flow pulsing", 0.45),
            ],
            misreads: None,
            rate: "strainer-air-leak",
            remedy: "renew the lid seal and make the suction joints tight",
        },
        // What passes lands on the first tube face after the pump and shuts tubes: drop up, wall lost.
        Cause {
            name: "bypassed",
            title: "dirt passes round the strainer basket",
            moves: &[
                Move {
                    on: Whose::Downstream(&["gear-cooler", "oil-cooler", "exchanger", "plate-exchanger"]),
                    parameter: "rated_cold_drop",
                    by: By::Blocked,
                },
                Move {
                    on: Whose::Downstream(&["gear-cooler", "oil-cooler", "exchanger", "plate-exchanger"]),
                    parameter: "clean_conductance",
                    by: By::Factor(0.5),
                },
            ],
            severity: Severity::Even,
            says: &[says("weed in the bowl", 0.4), says("basket loose or torn", 0.5)],
            misreads: None,
            rate: "strainer-bypass",
            remedy: "seat the basket on its gasket, or renew it, and clear the cooler face",
        },
    ],
    words: &[
        // Some is there a quarter of the time in any case.
        Word {
            name: "weed in the bowl",
            of: Of::Cause,
            false_said: 0.25,
            miss: 0.1,
            group: "bowl",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "bubbles in the bowl",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.3,
            group: "air",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "bowl empty",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.15,
            group: "bowl",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "weeps when stopped",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.3,
            group: "air",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "basket loose or torn",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.3,
            group: "bowl",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "open_and_look",
            title: "Shut the seacock, lift the strainer lid and look at basket, seat and seal",
            minutes: 10.0,
            state: State::StoppedAndShut,
            tool: None,
            caution: "Seacock shut before the lid comes off; fill the bowl, grease the seal and open the \
                      seacock before starting.",
            finds: &[
                Find { cause: "blocked", power: "strainer-lid" },
                Find { cause: "lid_draws_air", power: "visual-general" },
                Find { cause: "bypassed", power: "visual-general" },
            ],
        },
        Check {
            name: "watch_the_bowl",
            title: "Watch the bowl with a torch while the speed is raised: do bubbles pass?",
            minutes: 3.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Do not slacken the lid under way: the pump loses its water at once.",
            finds: &[Find { cause: "lid_draws_air", power: "fuel-clear-hose" }],
        },
        Check {
            name: "grease_the_lid",
            title: "Smear grease round the lid seal and the suction joints: do the bubbles stop?",
            minutes: 5.0,
            state: State::Running,
            tool: Some("waterproof grease"),
            caution: "Keep sleeves and cloth clear of belts and shaft.",
            finds: &[Find { cause: "lid_draws_air", power: "fuel-clear-hose" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "clean drop",
        asks: "Is it large enough, even a little dirty?",
        of: |at| {
            let in_use = at.flow[0] > IN_USE * P::of(at.parameters).rated_flow;
            in_use.then(|| at.inlet_pressure[0] - at.outlet_pressure[0])
        },
        quantity: Quantity::PressureDifference,
        least: f64::NEG_INFINITY,
        most: 6000.0,
        remedy: "a larger strainer: free area of three to four times the pipe",
        source: "common practice, no source",
    }],
};

/// Its law.
struct Strainer;

impl Law for Strainer {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        at.drop(say, 0, p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST));
        // The deeper the suction, the more air: in step with the flow.
        let pull = at.flow[0] / p.rated_flow;
        say.unknown[0] = at.unknowns[0] - p.air_leak * smooth_min(positive_part(pull, 0.05), N::constant(1.2), 0.05);
        say.storage[0] = p.rated_flow * 4000.0;
    }
}
