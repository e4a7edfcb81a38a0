//! Gear-oil cooler: gearbox oil gives its heat to raw water or coolant.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::tubular::{COOLER, MOST_SHUT, Tubular, tubular};
use physics::number::Number;

crate::parameters! {
    /// Conductance of the clean wall at rated flows [W/K].
    clean_conductance: ThermalConductance, 5.0..=100_000.0, 90.0 * power ^ 1.0, within 1.4,
        "[Trade] 2.1 and 2.2 heat and rises";
    /// Resistance of what has grown on the wall [K/W].
    fouling_resistance: FoulingResistance, 0.0..=1.0, 8.889e-04 * power ^ -1.0, within 2.5 each, "from memory";
    /// Flow of the water side at which its drop is given [kg/s].
    rated_cold_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the water side at that flow [Pa].
    rated_cold_drop: PressureDifference, 50.0..=200_000.0, 3000.0, within 1.8, "common practice, no source";
    /// Flow of the oil side at which its drop is given [kg/s].
    rated_hot_flow: MassFlow, 0.005..=50.0, 0.12 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the oil side at that flow [Pa].
    rated_hot_drop: PressureDifference, 50.0..=200_000.0, 15000.0, within 1.8, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "gear-cooler",
    title: "Gear-oil cooler",
    called: &["cooler", "gearbox-cooler", "gear-oil-cooler", "gearbox-oil-cooler"],
    places: &[
        along(Circuit::RawWater, Station::GearCooler, Role::IfTold),
        along(Circuit::FreshWater, Station::GearCooler, Role::IfTold),
        along(Circuit::GearOil, Station::GearCooler, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: COOLER,
    passages: &[
        passage("water", &[Circuit::RawWater, Circuit::FreshWater], "water_in", "water_out")
            .that("cools the gear oil in"),
        passage("oil", &[Circuit::GearOil], "oil_in", "oil_out").that("gives its heat to the water in"),
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Upstream("dilution")],
    laws: both::<GearCooler>(),
    causes: &[
        // Tubes shut take their wall with them.
        Cause {
            name: "clogged",
            title: "water side of the gear-oil cooler clogged",
            moves: &[
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Blocked },
                Move { on: Whose::Own, parameter: "clean_conductance", by: By::Factor(0.4) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "gear-cooler-clogged",
            remedy: "clean the water side",
        },
        Cause {
            name: "pieces_lodged",
            title: "impeller pieces lie on the tube face of the gear-oil cooler",
            moves: &[
                Move { on: Whose::Own, parameter: "rated_cold_drop", by: By::Choked(MOST_SHUT) },
                Move { on: Whose::Own, parameter: "clean_conductance", by: By::Factor(0.6) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "impeller-vanes-lodged",
            remedy: "take the pieces out",
        },
        // Running, the oil has the higher pressure and leaves; stopped, water comes in.
        Cause {
            name: "perforated",
            title: "gear-oil cooler perforated: oil out, or water in",
            moves: &[Move { on: Whose::Downstream(&["gearbox"]), parameter: "oil_level", by: By::Factor(0.4) }],
            severity: Severity::Even,
            says: &[
                says_of("gearbox", "milky oil", 0.6),
                says("oil sheen at the outlet", 0.4),
                says_of("gearbox", "level high", 0.2),
                says_of("gearbox", "late to take up", 0.25),
                says("weeps", 0.15),
                says("salt crust", 0.15),
            ],
            misreads: None,
            rate: "gear-cooler-perforated",
            remedy: "renew the cooler, flush and change the gear oil",
        },
        // Only where the cooler is on the coolant; the oil has the higher pressure.
        Cause {
            name: "oil_into_coolant",
            title: "seals of the gear-oil cooler pass oil into the coolant",
            moves: &[Move { on: Whose::Downstream(&["gearbox"]), parameter: "oil_level", by: By::Factor(0.6) }],
            severity: Severity::MostlySlight,
            says: &[
                says_of("header-tank", "oil film", 0.85),
                says_of("header-tank", "level rising", 0.25),
                says_of("header-tank", "overflowing", 0.25),
            ],
            misreads: None,
            rate: "gear-cooler-seal-oil-in-coolant",
            remedy: "renew the seals or the cooler, and clean the coolant circuit",
        },
    ],
    words: &[
        Word {
            name: "oil sheen at the outlet",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.3,
            group: "oil-out",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "weeps",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.3,
            group: "cooler-leak",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "salt crust",
            of: Of::Cause,
            false_said: 0.1,
            miss: 0.3,
            group: "cooler-leak",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "open_the_face",
            title: "Take off the water-side end where the water enters, and look at the tubes",
            minutes: 40.0,
            state: State::StoppedAndShut,
            tool: Some("spanner, gasket, torch"),
            caution: "Seacock shut; count what comes out against what the impeller lost.",
            finds: &[
                Find { cause: "clogged", power: "exchanger-end-cap" },
                Find { cause: "pieces_lodged", power: "exchanger-end-cap" },
                Find { cause: "strainer/bypassed", power: "exchanger-end-cap" },
            ],
        },
        Check {
            name: "infrared_across",
            title: "Measure oil in and out and water in and out, on paint or tape",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Bare metal reads far too low; keep clear of coupling and shaft.",
            finds: &[Find { cause: "clogged", power: "ir-painted" }],
        },
        Check {
            name: "pressure_test",
            title: "Pressure-test the cooler at 1 bar with both sides plugged",
            minutes: 120.0,
            state: State::StoppedAndShut,
            tool: Some("plugs, pump, gauge"),
            caution: "Water, not air, for the test, and no more pressure than the maker allows.",
            finds: &[
                Find { cause: "perforated", power: "cooler-pressure-test" },
                Find { cause: "oil_into_coolant", power: "cooler-pressure-test" },
            ],
        },
        Check {
            name: "by_pass_it",
            title: "Loop the water past the cooler with one hose and run at idle: does the flow come \
                      back?",
            minutes: 20.0,
            state: State::StoppedAndShut,
            tool: Some("hose, clamps"),
            caution: "Seacock shut while the hoses are off; idle only, and watch the gear oil.",
            finds: &[Find { cause: "clogged", power: "bucket" }, Find { cause: "pieces_lodged", power: "bucket" }],
        },
    ],
    walls: &[wall("the tubes", "oil", Beyond::Way("water"), &["perforated", "oil_into_coolant"])],
    limits: &[],
    margins: &[NO_SCALE],
};

/// Its laws.
struct GearCooler;

impl Law for GearCooler {
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
