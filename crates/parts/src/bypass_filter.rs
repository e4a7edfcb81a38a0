//! By-pass filter: a fine element that a small share of the oil seeps through, from the gallery back to the sump.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::oil_pump::thinned;
use physics::number::Number;
use physics::smooth::{signed_root, signed_square};

crate::parameters! {
    /// Flow at which its drops are given [kg/s].
    rated_flow: MassFlow, 0.001..=2.0, 0.033 * power ^ 1.0, within 1.6, "[BypassShare]";
    /// Drop of its orifice at that flow [Pa].
    orifice_drop: PressureDifference, 100.0..=2e6, 220_000.0, within 1.3, "from memory";
    /// Drop of the clean element at that flow with oil of 12 mPa s [Pa].
    element_drop: PressureDifference, 500.0..=1e6, 60_000.0, within 1.8, "from memory";
    /// Element's resistance over clean: 1 when new [1].
    clogging: Ratio, 0.5..=1e6, 1.5, within 1.6 each, "from memory";
    /// Oil let out past lid or hose at 3 bar [kg/s].
    leak: MassFlow, 0.0..=5.0, 0.0, exact, "common practice, no source";
}

/// Viscosity the element's drop is given at [Pa s].
const RATED_VISCOSITY: f64 = 0.012;
/// Flow below which the orifice turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Pressure the leak is given at, and below which it turns linear [Pa].
const LEAK_PRESSURE: f64 = 3e5;
const LEAK_WIDTH: f64 = 2_000.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "bypass-filter",
    title: "By-pass oil filter",
    called: &["filter", "by-pass-filter", "bypass-oil-filter"],
    places: &[Place::Beside {
        circuit: Circuit::Oil,
        passage: "oil",
        after: Some(Station::Pump),
        before: Some(Station::Source),
        usual: false,
    }],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: Symbol {
        size: (40.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 20L20 0L40 20L20 40Z"),
            Stroke::Dashed("M20 0V40"),
            Stroke::Dashed("M24 4V36"),
            Stroke::Line("M4 16A6 6 0 0 1 4 24M8 12A10 10 0 0 1 8 28"),
        ],
        ways: &[way((0.0, 20.0), (40.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("oil", &[Circuit::Oil], "in", "out").that("seeps back to the sump, a little at a time, through")
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Upstream("dilution")],
    laws: both::<BypassFilter>(),
    causes: &[
        Cause {
            name: "clogged",
            title: "by-pass oil filter full: nothing seeps through it",
            moves: &[Move { on: Whose::Own, parameter: "clogging", by: By::Factor(400.0) }],
            severity: Severity::Even,
            says: &[says("stays cold", 0.75), says_of("sump", "black soon", 0.3)],
            misreads: None,
            rate: "bypass-filter-clogged",
            remedy: "renew the element and blow the orifice through",
        },
        Cause {
            name: "orifice_missing",
            title: "orifice of the by-pass filter left out or drilled: it robs the bearings",
            moves: &[
                Move { on: Whose::Own, parameter: "orifice_drop", by: By::Factor(0.01) },
                Move { on: Whose::Own, parameter: "element_drop", by: By::Factor(0.3) },
            ],
            severity: Severity::Even,
            says: &[says("no orifice in its union", 0.7)],
            misreads: None,
            rate: "bypass-filter-orifice-missing",
            remedy: "fit the right orifice",
        },
        Cause {
            name: "leaks",
            title: "hose or lid of the by-pass filter leaks oil",
            moves: &[
                Move { on: Whose::Own, parameter: "leak", by: By::Add(0.08) },
                Move { on: Whose::Kind("sump"), parameter: "level", by: By::Add(-0.6) },
            ],
            severity: Severity::Even,
            says: &[says("drips", 0.75), says_of("sump", "oil in the bilge", 0.75)],
            misreads: None,
            rate: "bypass-filter-leaks",
            remedy: "renew hose or seal; the filter can be shut off at the gallery meanwhile",
        },
    ],
    words: &[
        said("stays cold", 0.06, 0.25, "heat"),
        said("no orifice in its union", 0.01, 0.1, "orifice"),
        Word {
            name: "drips",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "leak",
            danger: Some(
                "Watch pressure and dipstick, and keep clear of the hot exhaust: a hose at gallery pressure empties the sump in \
                 minutes once it lets go.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "feel_it",
            title: "Feel the can after an hour's run: as hot as the oil, or cold?",
            minutes: 1.0,
            state: State::Running,
            tool: None,
            caution: "Back of the hand: it may be as hot as the sump. Sleeves clear of the belts.",
            finds: &[Find { cause: "clogged", power: "feel-hoses" }, Find { cause: "leaks", power: "round-walk" }],
        },
        Check {
            name: "pinch_it_off",
            title: "Shut its feed, or blank it, and see whether the oil pressure rises by more than a tenth",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner, blank"),
            caution: "Hot oil at pressure: stop first, blank it, then run and look.",
            finds: &[Find { cause: "orifice_missing", power: "mechanical-oil-gauge" }],
        },
        Check {
            name: "union_off",
            title: "Take its union off and look for the orifice; blow it through",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanners, fine wire"),
            caution: "Let the oil cool; catch what runs.",
            finds: &[
                Find { cause: "orifice_missing", power: "valve-status-seen" },
                Find { cause: "clogged", power: "visual-general" },
            ],
        },
    ],
    walls: &[wall("hose and lid", "oil", Beyond::Space, &["leaks"])],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct BypassFilter;

impl Law for BypassFilter {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let share = at.flow[0] / p.rated_flow;
        let viscosity = thinned(&at.contents[0], at.inlet_temperature[0], at.links[0]);
        let seeping = p.element_drop * p.clogging * viscosity / RATED_VISCOSITY * share;
        at.drop(say, 0, p.orifice_drop * signed_square(share, REST) + seeping);
        let over = at.inlet_pressure[0] - at.point.atmosphere;
        say.leak[0] = p.leak * signed_root(over, LEAK_WIDTH) / LEAK_PRESSURE.sqrt();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_takes_the_share_of_the_oil_that_is_printed() {
        // [BypassShare]: 5 to 10 % of the oil's whole flow. Hot oil at 3.5 bar; the whole flow as of the typical full-flow filter.
        let mut bench = Bench::of(&KIND);
        bench.site.inlet_pressure[0] = 4.5e5;
        bench.site.inlet_temperature[0] = 363.15;
        let whole = Bench::of(&crate::oil_filter::KIND).figure("rated_flow");
        let share = bench.flow_at(0, 3.5e5) / whole;
        assert!((0.05..=0.1).contains(&share), "it takes {share} of the oil");
        assert!(bench.flow_at(0, 3.5e5) > 2.0 * bench.clone().with("clogging", 30.0).flow_at(0, 3.5e5));
    }

    #[test]
    fn a_thick_element_seeps_in_step_with_pressure() {
        // Laminar through the element, [White7] eq. 4.143: half the pressure, half the flow, when the orifice costs nothing.
        let bench = Bench::of(&KIND).with("orifice_drop", 100.0).with("element_drop", 1e6);
        near(bench.flow_at(0, 2e5), 0.5 * bench.flow_at(0, 4e5), 0.01, "[White7] eq. 4.143");
    }
}
