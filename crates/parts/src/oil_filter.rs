//! Oil filter: full flow, with a by-pass valve that opens when it clogs.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::oil_pump::thinned;
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{signed_root, softplus};

crate::parameters! {
    /// Flow at which the clean drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=10.0, 0.5 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the clean element at that flow with oil of 12 mPa s [Pa].
    rated_drop: PressureDifference, 500.0..=100_000.0, 15_000.0, within 1.8, "from memory";
    /// Element's resistance over clean: 1 when new [1].
    clogging: Ratio, 0.5..=1e5, 1.15, within 1.15 each, "from memory";
    /// Drop at which the by-pass opens [Pa].
    bypass: PressureDifference, 20_000.0..=400_000.0, 110_000.0, within 1.3, "from memory";
    /// Oil let out past the gasket at 3 bar [kg/s].
    gasket_leak: MassFlow, 0.0..=5.0, 0.0, exact, "common practice, no source";
}

/// Viscosity the drop is given at [Pa s].
const RATED_VISCOSITY: f64 = 0.012;
/// Rounding of the by-pass valve [Pa].
const BYPASS_WIDTH: f64 = 3_000.0;
/// Pressure the gasket leak is given at, and below which it turns linear [Pa].
const LEAK_PRESSURE: f64 = 3e5;
const LEAK_WIDTH: f64 = 2_000.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "oil-filter",
    title: "Oil filter",
    called: &["filter"],
    places: &[along(Circuit::Oil, Station::Filter, Role::Usual)],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: Symbol {
        size: (40.0, 40.0),
        strokes: &[Stroke::Outline("M0 20L20 0L40 20L20 40Z"), Stroke::Dashed("M20 0V40")],
        ways: &[way((0.0, 20.0), (40.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("oil", &[Circuit::Oil], "in", "out").that("is filtered in")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Upstream("dilution")],
    laws: both::<OilFilter>(),
    causes: &[
        Cause {
            name: "double_gasket",
            title: "old filter ring left on under the new one",
            moves: &[
                Move { on: Whose::Own, parameter: "gasket_leak", by: By::Add(0.15) },
                Move { on: Whose::Kind("sump"), parameter: "level", by: By::Add(-0.85) },
            ],
            severity: Severity::MostlyBad,
            says: &[
                says("leaks at the gasket", 0.8),
                says_of("sump", "oil in the bilge", 0.85),
                says_of("diesel", "shut itself down", 0.1),
            ],
            misreads: None,
            rate: "oil-filter-double-gasket",
            remedy: "refit the filter on one ring",
        },
        Cause {
            name: "misfitted",
            title: "oil filter wrong, loose or cross-threaded",
            moves: &[
                Move { on: Whose::Own, parameter: "gasket_leak", by: By::Add(0.1) },
                Move { on: Whose::Kind("sump"), parameter: "level", by: By::Add(-0.6) },
            ],
            severity: Severity::Even,
            says: &[says("leaks at the gasket", 0.8), says_of("sump", "oil in the bilge", 0.75)],
            misreads: None,
            rate: "oil-filter-misfitted",
            remedy: "fit the right filter",
        },
        Cause {
            name: "clogged",
            title: "oil filter clogged, its by-pass open",
            moves: &[Move { on: Whose::Own, parameter: "clogging", by: By::Factor(30.0) }],
            severity: Severity::Even,
            says: &[says_of("sump", "black soon", 0.3)],
            misreads: None,
            rate: "oil-filter-clogged",
            remedy: "renew the oil filter",
        },
    ],
    words: &[
        Word {
            name: "leaks at the gasket",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "leak",
            danger: Some(
                "Stop now if the vessel is not standing into danger: the sump empties in minutes. If she must run, \
                 slowest speed, and watch pressure and dipstick.",
            ),
            source: "from memory",
        },
        Word {
            name: "swollen",
            of: Of::Cause,
            false_said: 0.005,
            miss: 0.4,
            group: "oil pressure",
            danger: Some("Slowest speed: the can may burst and spray hot oil over the exhaust."),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_under_it",
            title: "Look under the filter while the engine idles",
            minutes: 2.0,
            state: State::Idling,
            tool: Some("torch"),
            caution: "Face out of line with the can, sleeves clear of the belts.",
            finds: &[
                Find { cause: "double_gasket", power: "round-walk" },
                Find { cause: "misfitted", power: "round-walk" },
            ],
        },
        Check {
            name: "take_it_off",
            title: "Unscrew the filter; count the rings, compare it with the old one",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("filter wrench, rag"),
            caution: "Hot oil runs down your wrist: let it cool or wear gloves.",
            finds: &[
                Find { cause: "double_gasket", power: "visual-general" },
                Find { cause: "misfitted", power: "visual-general" },
            ],
        },
        Check {
            name: "cut_open",
            title: "Cut the old filter open and spread the paper",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("filter cutter"),
            caution: "A hacksaw makes the metal you look for: use a cutter, and mind the edge.",
            finds: &[
                Find { cause: "clogged", power: "filter-cut-open" },
                Find { cause: "diesel/bearings_worn", power: "filter-cut-open" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "bypass",
        asks: "Does all oil go through the element?",
        of: |at| Some((at.inlet_pressure[0] - at.outlet_pressure[0]) / P::of(at.parameters).bypass),
        quantity: Quantity::Ratio,
        least: f64::NEG_INFINITY,
        most: 0.6,
        remedy: "a larger element, or oil of the grade for this climate",
        source: "common practice, no source",
    }],
};

/// Its laws.
struct OilFilter;

impl Law for OilFilter {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let viscosity = thinned(&at.contents[0], at.inlet_temperature[0], at.links[0]);
        let drop = at.inlet_pressure[0] - at.outlet_pressure[0];
        let resistance = p.rated_drop / p.rated_flow * p.clogging * viscosity / RATED_VISCOSITY;
        let bypassed = p.rated_flow * softplus(drop - p.bypass, BYPASS_WIDTH) / 40_000.0;
        say.gap[0] = drop - (at.flow[0] - bypassed) * resistance;
        let over = at.outlet_pressure[0] - at.point.atmosphere;
        say.leak[0] = p.gasket_leak * signed_root(over, LEAK_WIDTH) / LEAK_PRESSURE.sqrt();
    }
}
