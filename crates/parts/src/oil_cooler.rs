//! Engine-oil cooler: oil gives its heat to raw water or coolant.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::tubular::{COOLER, MOST_SHUT, Tubular, tubular};
use physics::number::Number;

crate::parameters! {
    /// Conductance of the clean wall at rated flows [W/K].
    clean_conductance: ThermalConductance, 5.0..=100_000.0, 70.0 * power ^ 1.0 * coolant 3.0, within 1.4, "[Trade] 2.3 oil at 80 to 110 °C, cooled by either";
    /// Resistance of what has grown on the wall [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 5.7e-04 * power ^ -1.0 * coolant 0.333, within 2.5 each, "from memory";
    /// Flow of the water side at which its drop is given [kg/s].
    rated_cold_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0 * coolant 2.6, exact, "common practice, no source";
    /// Drop of the water side at that flow [Pa].
    rated_cold_drop: PressureDifference, 50.0..=200_000.0, 6000.0, within 1.8, "common practice, no source";
    /// Flow of the oil side at which its drop is given [kg/s].
    rated_hot_flow: MassFlow, 0.005..=50.0, 0.45 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the oil side at that flow [Pa].
    rated_hot_drop: PressureDifference, 50.0..=200_000.0, 20000.0, within 1.8, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "oil-cooler",
    title: "Engine-oil cooler",
    called: &["cooler", "lube-oil-cooler", "engine-oil-cooler"],
    places: &[
        along(Circuit::RawWater, Station::OilCooler, Role::IfTold),
        along(Circuit::FreshWater, Station::OilCooler, Role::IfTold),
        along(Circuit::Oil, Station::OilCooler, Role::Usual),
    ],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: COOLER,
    passages: &[
        passage("water", &[Circuit::RawWater, Circuit::FreshWater], "water_in", "water_out")
            .that("cools the engine oil in"),
        passage("oil", &[Circuit::Oil], "oil_in", "oil_out").that("gives its heat to the water in"),
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Upstream("dilution")],
    laws: both::<OilCooler>(),
    causes: &[
        Cause {
            name: "perforated",
            title: "oil cooler corroded through",
            moves: &[Move { on: Whose::Kind("sump"), parameter: "level", by: By::Add(-0.5) }],
            severity: Severity::MostlySlight,
            says: &[
                says("sheen overboard", 0.35),
                says_of("header-tank", "oil film", 0.3),
                says_of("sump", "milky", 0.3),
                says("weeps", 0.2),
            ],
            misreads: None,
            rate: "oil-cooler-perforated",
            remedy: "renew the oil cooler",
        },
        Cause {
            name: "fouled",
            title: "oil cooler fouled",
            moves: &[
                Move { on: Whose::Own, parameter: "fouling_resistance", by: By::Factor(20.0) },
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Factor(6.0) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "oil-cooler-fouled",
            remedy: "clean the oil cooler",
        },
        Cause {
            name: "pieces_lodged",
            title: "old vane pieces or shells on the tube plate of the oil cooler",
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
    ],
    words: &[
        Word {
            name: "hoses equally hot",
            of: Of::About { probe: Probe::Rise(1), midpoint: 0.0, spread: HAND },
            false_said: 0.05,
            miss: 0.4,
            group: "hoses",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "sheen overboard",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.5,
            group: "leak",
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
            name: "oil_in_and_out",
            title: "Take the oil into and out of the cooler, engine warm",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Oil lines run at 100 °C; point, do not touch.",
            finds: &[
                Find { cause: "fouled", power: "ir-painted" },
                Find { cause: "pieces_lodged", power: "ir-painted" },
            ],
        },
        Check {
            name: "look_round_it",
            title: "Look for oil, salt crust and drips on the cooler and its hoses",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("torch, paper towel"),
            caution: "Let it cool: hot oil on a hand keeps burning.",
            finds: &[Find { cause: "perforated", power: "round-walk" }],
        },
        Check {
            name: "end_cap_off",
            title: "Take the water-side end cap off and look at the tube plate",
            minutes: 40.0,
            state: State::StoppedAndShut,
            tool: Some("spanners, gasket, bucket"),
            caution: "Seacock shut and tagged before the first bolt.",
            finds: &[
                Find { cause: "pieces_lodged", power: "exchanger-end-cap" },
                Find { cause: "fouled", power: "exchanger-end-cap" },
            ],
        },
        Check {
            name: "pressure_test",
            title: "Take the cooler off and pressurise it to 1 bar under water",
            minutes: 120.0,
            state: State::StoppedCold,
            tool: Some("plugs, hand pump, bucket"),
            caution: "Drain the oil into a can, not the bilge; plugs tied so that none can fly.",
            finds: &[Find { cause: "perforated", power: "cooler-pressure-test" }],
        },
    ],
    walls: &[wall("the tubes", "oil", Beyond::Way("water"), &["perforated"])],
    limits: &[],
    margins: &[NO_SCALE],
};

/// Its laws.
struct OilCooler;

impl Law for OilCooler {
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
