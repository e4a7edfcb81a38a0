//! Heat exchanger: coolant gives its heat to raw water.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::tubular::{MOST_SHUT, Tubular, tubular};
use physics::number::Number;

crate::parameters! {
    /// Conductance of the clean wall at rated flows [W/K].
    clean_conductance: ThermalConductance, 5.0..=100_000.0, 1_050.0 * power ^ 1.0, within 1.35, "[Trade] 2.1 and 2.2 heat and rises";
    /// Resistance of what has grown on the wall [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 7.5e-5 * power ^ -1.0, within 2.5 each, "from memory";
    /// Flow of the raw side at which its drop is given [kg/s].
    rated_cold_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the raw side at that flow [Pa].
    rated_cold_drop: PressureDifference, 50.0..=200_000.0, 12000.0, within 1.8, "common practice, no source";
    /// Flow of the coolant side at which its drop is given [kg/s].
    rated_hot_flow: MassFlow, 0.005..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the coolant side at that flow [Pa].
    rated_hot_drop: PressureDifference, 50.0..=200_000.0, 8000.0, within 1.8, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "exchanger",
    title: "Heat exchanger",
    called: &["cooler", "heat-exchanger", "fresh-water-cooler"],
    places: &[
        along(Circuit::RawWater, Station::Cooler, Role::IfTold),
        along(Circuit::FreshWater, Station::Cooler, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (40.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 20A20 20 0 1 1 40 20A20 20 0 1 1 0 20Z"),
            Stroke::Line("M0 20H8L14 9L26 31L32 20H40M10 40V37.3M30 40V37.3"),
        ],
        ways: &[way((0.0, 20.0), (40.0, 20.0)), way((30.0, 40.0), (10.0, 40.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("raw", &[Circuit::RawWater], "raw_in", "raw_out").that("takes the heat of the coolant in"),
        passage("coolant", &[Circuit::FreshWater], "coolant_in", "coolant_out")
            .that("gives its heat to the raw water in"),
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Exchanger>(),
    causes: &[
        Cause {
            name: "scaled",
            title: "raw side of the heat exchanger scaled or overgrown",
            moves: &[
                Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(40.0) },
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Factor(15.0) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "heat-exchanger-scaled",
            remedy: "descale the raw side",
        },
        Cause {
            name: "pieces_lodged",
            title: "old vane pieces or shells on the tube plate of the heat exchanger",
            moves: &[
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Choked(MOST_SHUT) },
                Move { on: Whose::Own, parameter: "clean_conductance", by: By::Factor(0.3) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "impeller-vanes-lodged",
            remedy: "clear the tube plate",
        },
        Cause {
            name: "inlet_scaled",
            title: "raw-water inlet of the heat exchanger limed over",
            moves: &[Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Choked(MOST_SHUT) }],
            severity: Severity::MostlyBad,
            says: &[],
            misreads: None,
            rate: "raw-manifold-inlet-scaled",
            remedy: "clear the inlet",
        },
        Cause {
            name: "tube_leaks",
            title: "a tube of the heat exchanger leaks",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.12) }],
            severity: Severity::MostlySlight,
            says: &[
                says_of("header-tank", "salty", 0.45),
                says_of("header-tank", "brown", 0.2),
                says_of("header-tank", "froth or jelly", 0.25),
                says_of("header-tank", "level rising", 0.15),
                says_of("header-tank", "overflowing", 0.15),
            ],
            misreads: None,
            rate: "heat-exchanger-tube-leak",
            remedy: "plug the tube or renew the core",
        },
        Cause {
            name: "boot_loose",
            title: "end boot, cap or seal of the heat exchanger loose",
            moves: &[Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.08) }],
            severity: Severity::MostlySlight,
            says: &[says("weeps", 0.4), says_of("header-tank", "salty", 0.4)],
            misreads: None,
            rate: "heat-exchanger-boot-clamp-loose",
            remedy: "renew seal and clamp",
        },
    ],
    words: &[
        Word {
            name: "hoses equally hot",
            of: Of::About { probe: Probe::Rise(1), midpoint: 0.0, spread: HAND },
            false_said: 0.04,
            miss: 0.35,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "one end cold",
            of: Of::Change { probe: Probe::OutletTemperature(1), midpoint: -15.0, spread: 6.0, when: When::Low },
            false_said: 0.04,
            miss: 0.4,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "raw side scalding",
            of: Of::Value { probe: Probe::OutletTemperature(0), midpoint: 333.0, spread: 6.0, when: When::High },
            false_said: 0.02,
            miss: 0.4,
            group: "raw rise",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "weeps",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.35,
            group: "leak",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_for_weeps",
            title: "Look for drips and salt crust at the ends and boots",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("torch"),
            caution: "The shell is as hot as the engine: look, do not lean.",
            finds: &[Find { cause: "boot_loose", power: "round-walk" }],
        },
        Check {
            name: "raw_rise",
            title: "Take the raw water in and out at a known speed and compare the rise with the log",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer, two taped spots"),
            caution: "Tape the spots first: bare bronze reads tens of degrees low. Mind the belts.",
            finds: &[
                Find { cause: "pieces_lodged", power: "raw-rise" },
                Find { cause: "inlet_scaled", power: "raw-rise" },
                Find { cause: "scaled", power: "raw-rise" },
            ],
        },
        Check {
            name: "coolant_in_and_out",
            title: "Take the coolant in and out at full load and set it against the sea",
            minutes: 10.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Stand clear of belts and exhaust; the engine is at its hottest now.",
            finds: &[
                Find { cause: "scaled", power: "ir-painted" },
                Find { cause: "pieces_lodged", power: "ir-painted" },
            ],
        },
        Check {
            name: "end_cap_off",
            title: "Take the inlet end cap off and look at the tube plate",
            minutes: 45.0,
            state: State::StoppedAndShut,
            tool: Some("spanners, gasket, bucket"),
            caution: "Seacock shut and tagged before the first bolt: the cap may lie below the waterline.",
            finds: &[
                Find { cause: "pieces_lodged", power: "exchanger-end-cap" },
                Find { cause: "inlet_scaled", power: "exchanger-end-cap" },
                Find { cause: "scaled", power: "exchanger-end-cap" },
            ],
        },
        Check {
            name: "pressure_test",
            title: "Blank off both sides and pressurise each to 1 bar",
            minutes: 120.0,
            state: State::StoppedCold,
            tool: Some("plugs, hand pump, gauge"),
            caution: "Fill with water, not air, before pumping: a plug let go by air flies.",
            finds: &[
                Find { cause: "tube_leaks", power: "cooler-pressure-test" },
                Find { cause: "boot_loose", power: "cooler-pressure-test" },
            ],
        },
    ],
    walls: &[
        wall("the tubes", "coolant", Beyond::Way("raw"), &["tube_leaks"]),
        wall("the boots and end caps", "coolant", Beyond::Space, &["boot_loose"]),
    ],
    limits: &[],
    margins: &[RAW_RISE, NO_SCALE],
};

/// Its laws.
struct Exchanger;

impl Law for Exchanger {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        tubular(
            at,
            say,
            &Tubular {
                clean_conductance: p.clean_conductance,
                fouling_resistance: p.fouling_resistance,
                rated_flow: [p.rated_cold_flow, p.rated_hot_flow],
                rated_drop: [p.rated_cold_drop, p.rated_hot_drop],
            },
        );
    }
}
