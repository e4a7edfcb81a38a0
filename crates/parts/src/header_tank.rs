//! Header tank with its pressure cap: holds the coolant pressure and its expansion.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, smooth_min, step};

crate::parameters! {
    /// Pressure over the air at which the cap lifts [Pa].
    cap: GaugePressure, 5_000.0..=250_000.0, 60_000.0, within 1.5, "[Trade] 2.2 pressure cap";
    /// Share of that pressure the cap still holds [1].
    holds: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Coolant in the circuit as a share of full: 1 at the mark, 0.8 and the tank is empty [1].
    fill: Ratio, 0.0..=1.1, 1.0, within 1.01 each, "common practice, no source";
    /// Air space cold, as a share of the circuit's volume [1].
    air_space: Ratio, 0.01..=1.0, 0.08, within 1.5, "[Trade] 2.2 expansion";
    /// Air, froth or combustion gas carried round with the coolant, as a share of the flow [1].
    trapped_air: Ratio, 0.0..=0.95, 0.0, exact, "common practice, no source";
}

/// Volume expansion of coolant between cold and hot [1/K]: 4.5 % over 70 K.
const EXPANSION: f64 = 6.4e-4;
/// Temperature it is filled at [K].
const FILLED_AT: f64 = 293.15;
/// Rounding of the cap's lift [Pa].
const CAP_WIDTH: f64 = 1_500.0;
/// Fill at which the suction begins to draw air, and how fast [1].
const AIR_FROM: f64 = 0.84;
const AIR_WIDTH: f64 = 0.03;

/// The kind.
pub const KIND: Kind = Kind {
    name: "header-tank",
    title: "Header tank and cap",
    called: &["expansion-tank"],
    places: &[Place::Beside {
        circuit: Circuit::FreshWater,
        passage: "pool",
        after: None,
        before: Some(Station::Pump),
        usual: true,
    }],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (48.0, 36.0),
        strokes: &[Stroke::Outline("M0 6H48V36H0Z"), Stroke::Line("M18 6V0H30V6M0 16H48M18 20H30M21 24H27")],
        ways: &[inward((24.0, 36.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("pool", &[Circuit::FreshWater], "pool", "pool").that("is topped up and kept under pressure by")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.01) },
        Unknown { name: "level", quantity: Quantity::Ratio, start: 1.0, size: 0.05, bounds: (-0.5, 2.0) },
    ],
    links: &[],
    laws: both::<HeaderTank>(),
    causes: &[
        Cause {
            name: "low",
            title: "coolant low, nobody knows why",
            moves: &[Move { on: Whose::Own, parameter: "fill", by: By::Towards(0.7) }],
            severity: Severity::Even,
            says: &[says_of("diesel", "temperature swings", 0.3)],
            misreads: None,
            rate: "coolant-low",
            remedy: "top up and watch the level",
        },
        Cause {
            name: "air_lock",
            title: "air trapped in the coolant",
            moves: &[Move { on: Whose::Own, parameter: "trapped_air", by: By::Towards(0.8) }],
            severity: Severity::Even,
            says: &[
                says("bubbles", 0.25),
                says_of("diesel", "temperature swings", 0.5),
                says("heater stays cold", 0.5),
            ],
            misreads: None,
            rate: "coolant-air-lock",
            remedy: "bleed the high points",
        },
        Cause {
            name: "hose_leaks",
            title: "a coolant hose leaks",
            moves: &[
                Move { on: Whose::Own, parameter: "fill", by: By::Towards(0.75) },
                Move { on: Whose::Own, parameter: "holds", by: By::Lost },
            ],
            severity: Severity::MostlySlight,
            says: &[says_of("diesel", "coolant in the bilge", 0.5), says_of("diesel", "steam in the space", 0.1)],
            misreads: None,
            rate: "coolant-hose-leak",
            remedy: "renew the hose or its clamp",
        },
        Cause {
            name: "hose_off",
            title: "a coolant hose has burst or come off",
            moves: &[
                Move { on: Whose::Own, parameter: "fill", by: By::Towards(0.4) },
                Move { on: Whose::Own, parameter: "holds", by: By::Lost },
            ],
            severity: Severity::Whole,
            says: &[
                says_of("diesel", "coolant in the bilge", 0.7),
                says_of("diesel", "steam in the space", 0.6),
                says_of("diesel", "overheats quickly", 0.5),
            ],
            misreads: None,
            rate: "coolant-hose-off",
            remedy: "refit or renew the hose",
        },
        Cause {
            name: "cap_not_sealing",
            title: "pressure cap does not hold",
            moves: &[
                Move { on: Whose::Own, parameter: "holds", by: By::Lost },
                Move { on: Whose::Own, parameter: "fill", by: By::Add(-0.1) },
            ],
            severity: Severity::Even,
            says: &[says("cap hisses", 0.35), says("overflowing", 0.5)],
            misreads: None,
            rate: "pressure-cap-not-sealing",
            remedy: "renew the cap",
        },
        Cause {
            name: "perforated",
            title: "header tank corroded through",
            moves: &[
                Move { on: Whose::Own, parameter: "fill", by: By::Towards(0.75) },
                Move { on: Whose::Own, parameter: "holds", by: By::Lost },
            ],
            severity: Severity::Even,
            says: &[says("brown", 0.3), says_of("diesel", "coolant in the bilge", 0.3)],
            misreads: None,
            rate: "header-tank-perforated",
            remedy: "repair or renew the header tank",
        },
        Cause {
            name: "incompatible",
            title: "coolant of the wrong sort or mixture",
            moves: &[
                Move { on: Whose::Own, parameter: "trapped_air", by: By::Add(0.25) },
                Move { on: Whose::Kind("exchanger"), parameter: "fouling_resistance", by: By::Factor(8.0) },
                Move { on: Whose::Kind("plate-exchanger"), parameter: "fouling_resistance", by: By::Factor(8.0) },
                Move { on: Whose::Kind("keel-cooler"), parameter: "fouling_resistance", by: By::Factor(8.0) },
                Move { on: Whose::Kind("skin-tank"), parameter: "fouling_resistance", by: By::Factor(8.0) },
                Move { on: Whose::Kind("box-cooler"), parameter: "fouling_resistance", by: By::Factor(8.0) },
            ],
            severity: Severity::Even,
            says: &[says("froth or jelly", 0.6), says("overflowing", 0.25)],
            misreads: None,
            rate: "coolant-incompatible",
            remedy: "flush and fill with the right coolant",
        },
    ],
    words: &[
        Word {
            name: "level falling",
            of: Of::Change { probe: Probe::Unknown(1), midpoint: -0.05, spread: 0.025, when: When::Low },
            false_said: 0.05,
            miss: 0.25,
            group: "coolant level",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "level rising",
            of: Of::Change { probe: Probe::Unknown(1), midpoint: 0.03, spread: 0.015, when: When::High },
            false_said: 0.02,
            miss: 0.25,
            group: "coolant level",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "overflowing",
            of: Of::Value { probe: Probe::BoilingMargin(0), midpoint: 3.0, spread: 3.0, when: When::Low },
            false_said: 0.03,
            miss: 0.3,
            group: "boiling",
            danger: Some("Leave the cap shut: what is under it can jump out as steam. Ease down and let it circulate."),
            source: "from memory",
        },
        Word {
            name: "boils audibly",
            // It boils at the hot walls, and sings like a kettle, well before the stream does.
            of: Of::Value { probe: Probe::BoilingMargin(0), midpoint: 6.0, spread: 5.0, when: When::Low },
            false_said: 0.01,
            miss: 0.4,
            group: "boiling",
            danger: Some(
                "Ease to idle now and keep it turning; stop if you can anchor or drift clear. Leave the cap shut \
                 until it is hand-warm.",
            ),
            source: "from memory",
        },
        Word {
            name: "cap hisses",
            of: Of::Value { probe: Probe::BoilingMargin(0), midpoint: 3.0, spread: 4.0, when: When::Low },
            false_said: 0.03,
            miss: 0.5,
            group: "boiling",
            danger: Some("Keep hands and face off the cap; ease down."),
            source: "from memory",
        },
        Word {
            name: "oil film",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.3,
            group: "coolant looks",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "bubbles",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.35,
            group: "coolant looks",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "salty",
            of: Of::Cause,
            false_said: 0.003,
            miss: 0.35,
            group: "coolant looks",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "brown",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.35,
            group: "coolant looks",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "froth or jelly",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.3,
            group: "coolant looks",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "heater stays cold",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.5,
            group: "coolant level",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_at_level",
            title: "Look at the level and the colour with the engine cold",
            minutes: 5.0,
            state: State::StoppedCold,
            tool: None,
            caution: "Hand-warm or colder: a quarter turn, wait for the hiss to end, then off. Hot, it scalds.",
            finds: &[
                Find { cause: "low", power: "visual-general" },
                Find { cause: "hose_leaks", power: "visual-general" },
                Find { cause: "hose_off", power: "visual-general" },
                Find { cause: "incompatible", power: "visual-general" },
                Find { cause: "exchanger/tube_leaks", power: "visual-general" },
                Find { cause: "cap_not_sealing", power: "visual-engine-parts" },
            ],
        },
        Check {
            name: "walk_round",
            title: "Follow every coolant hose and joint with torch and hand",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("torch, paper towel"),
            caution: "Hot coolant sprays from a split under pressure: look first, feel only when it has cooled.",
            finds: &[
                Find { cause: "hose_leaks", power: "round-walk" },
                Find { cause: "hose_off", power: "visual-general" },
                Find { cause: "perforated", power: "round-walk" },
                Find { cause: "coolant-pump/seal_leaks", power: "round-walk" },
                Find { cause: "exchanger/boot_loose", power: "round-walk" },
            ],
        },
        Check {
            name: "cap_test",
            title: "Pump cap and circuit up to the figure on the cap, cold, and watch the needle",
            minutes: 15.0,
            state: State::StoppedCold,
            tool: Some("pressure tester"),
            caution: "Not above the figure on the cap: more lifts hoses off and opens tubes.",
            finds: &[
                Find { cause: "cap_not_sealing", power: "header-cap-test" },
                Find { cause: "hose_leaks", power: "header-cap-test" },
                Find { cause: "perforated", power: "header-cap-test" },
                Find { cause: "exchanger/tube_leaks", power: "header-cap-test" },
                Find { cause: "diesel/head_gasket", power: "header-cap-test" },
            ],
        },
        Check {
            name: "bleed",
            title: "Open the bleeds at the high points until coolant runs without air",
            minutes: 20.0,
            state: State::StoppedCold,
            tool: Some("spanner, jug"),
            caution: "Engine cold: a bleed opened hot spits boiling coolant at the face above it.",
            finds: &[
                Find { cause: "air_lock", power: "visual-general" },
                Find { cause: "low", power: "visual-general" },
            ],
        },
        Check {
            name: "watch_for_bubbles",
            title: "Start cold, cap off, watch the filler while it warms",
            minutes: 10.0,
            state: State::Idling,
            tool: None,
            caution: "Cap off only from cold, face aside, and stop before it is hand-hot: then it throws coolant.",
            finds: &[
                Find { cause: "diesel/head_gasket", power: "visual-general" },
                Find { cause: "diesel/head_cracked", power: "visual-general" },
                Find { cause: "air_lock", power: "visual-general" },
            ],
        },
        kept(
            "coolant_added",
            "From the ledger: coolant topped up in a hundred hours",
            &[
                find("hose_leaks", "coolant-added"),
                find("perforated", "coolant-added"),
                find("cap_not_sealing", "coolant-added"),
                find("coolant-pump/seal_leaks", "coolant-added"),
                find("exchanger/tube_leaks", "coolant-added"),
                find("diesel/head_gasket", "coolant-added"),
                find("diesel/head_cracked", "coolant-added"),
            ],
        ),
        kept(
            "coolant_sample",
            "From the laboratory: what the coolant holds",
            &[find("exchanger/tube_leaks", "oil-lab-salt")],
        ),
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "room to expand",
        asks: "Is there room for the coolant to expand?",
        of: |at| {
            let p = P::of(at.parameters);
            Some(p.air_space + 1.0 - p.fill - (at.inlet_temperature[0] - FILLED_AT) * EXPANSION)
        },
        quantity: Quantity::Ratio,
        least: 0.01,
        most: f64::INFINITY,
        remedy: "a larger header tank, or less in it cold",
        source: "[Trade] 2.2 expansion",
    }],
};

/// Its laws.
struct HeaderTank;

impl Law for HeaderTank {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let warm = at.inlet_temperature[0] - FILLED_AT;
        let space = p.air_space + (-p.fill + 1.0);
        let left = positive_part(space - warm * EXPANSION, 0.01);
        // The cushion: air squeezed by the expansion, warmed, and the vapour over the coolant.
        let cushion = at.point.atmosphere * (space / left * (warm / FILLED_AT + 1.0) - 1.0) + at.vapour_pressure(0);
        let over = smooth_min(positive_part(cushion, CAP_WIDTH), p.cap * p.holds + 500.0, CAP_WIDTH);
        say.gap[0] = at.inlet_pressure[0] - at.point.atmosphere - over;
        let drawn = step(-p.fill + AIR_FROM, AIR_WIDTH);
        say.unknown[0] = at.unknowns[0] - (drawn + p.trapped_air * (-drawn + 1.0));
        say.unknown[1] = at.unknowns[1] - p.fill;
    }
}
