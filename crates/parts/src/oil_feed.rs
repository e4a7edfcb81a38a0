//! Oil feed: the thin pipe that brings oil to a turbocharger, an injection pump or the rockers, and lets it run back.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::oil_pump::thinned;
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::positive_part;

crate::parameters! {
    /// Oil it passes with the drop below, hot [kg/s].
    rated_flow: MassFlow, 1e-4..=1.0, 0.03 * power ^ 0.67, within 1.6, "from memory";
    /// Pressure at which that is given [Pa].
    rated_drop: PressureDifference, 20_000.0..=1e6, 350_000.0, exact, "[Trade] 2.3 pressure";
    /// Oil that what it feeds asks for [kg/s].
    needed: MassFlow, 1e-4..=1.0, 0.015 * power ^ 0.67, within 1.6, "from memory";
    /// How many times harder than a clean one it lets oil through [1].
    clogging: Ratio, 1.0..=1e6, 1.0, exact, "common practice, no source";
}

/// Viscosity the flow is given at [Pa s].
const RATED_VISCOSITY: f64 = 0.012;
/// Flow that counts as none [kg/s].
const NONE: f64 = 1e-5;

/// The kind.
pub const KIND: Kind = Kind {
    name: "oil-feed",
    title: "Oil feed pipe",
    called: &["turbo-oil-feed", "injection-pump-oil-feed", "rocker-feed"],
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
        size: (30.0, 16.0),
        strokes: &[Stroke::Line("M0 8H10M20 8H30M12 2L18 8L12 14")],
        ways: &[way((0.0, 8.0), (30.0, 8.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("oil", &[Circuit::Oil], "in", "out").that("is led to bearings and back by")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "fed", quantity: Quantity::Ratio, start: 1.5, size: 0.1, bounds: (-1.0, 500.0) }],
    links: &[Link::Upstream("dilution")],
    laws: both::<OilFeed>(),
    causes: &[
        Cause {
            name: "blocked",
            title: "oil feed pipe blocked by coke or sealing compound, or crushed",
            moves: &[Move { on: Whose::Own, parameter: "clogging", by: By::Factor(2_000.0) }],
            severity: Severity::MostlyBad,
            says: &[],
            misreads: None,
            rate: "oil-gallery-blocked-locally",
            remedy: "renew the feed pipe and clean its unions",
        },
        spoken(&Spoken {
            name: "leaks",
            title: "oil feed pipe leaks at a union or is chafed through",
            says: &[says("wet", 0.8), says_of("diesel", "smokes", 0.1)],
            rate: "oil-external-leak",
            remedy: "renew the feed pipe; lead it clear of hot gas",
        }),
    ],
    words: &[
        Word {
            name: "cold while the engine is hot",
            of: Of::Value { probe: Probe::Unknown(0), midpoint: 0.3, spread: 0.15, when: When::Low },
            false_said: 0.02,
            miss: 0.3,
            group: "dry",
            danger: Some("Ease to idle and stop soon: bearings that get no oil seize within minutes at speed."),
            source: "from memory",
        },
        said("wet", 0.04, 0.2, "oil-leak"),
    ],
    checks: &[
        Check {
            name: "union_off",
            title: "Slacken the union at its end, crank with the stop pulled, and see whether oil comes",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("spanners, cup"),
            caution: "Stop control pulled so that it cannot fire; hot oil burns, and none of it may reach a hot exhaust.",
            finds: &[Find { cause: "blocked", power: "visual-engine-parts" }],
        },
        Check {
            name: "look_along_it",
            title: "Look and feel along the pipe and under its unions",
            minutes: 3.0,
            state: State::Stopped,
            tool: Some("torch, rag"),
            caution: "It runs beside hot gas: let it cool before a hand goes there.",
            finds: &[Find { cause: "leaks", power: "visual-general" }],
        },
    ],
    walls: &[wall("the pipe and its unions", "oil", Beyond::Space, &["leaks"])],
    limits: &[],
    margins: &[Margin {
        name: "oil to the bearings",
        asks: "Does it bring oil enough?",
        of: |at| (at.point.speed > 0.0).then_some(at.unknowns[0]),
        quantity: Quantity::Ratio,
        least: 1.0,
        most: f64::INFINITY,
        remedy: "a wider feed pipe, or more oil pressure",
        source: "common practice, no source",
    }],
};

/// Its laws.
struct OilFeed;

impl Law for OilFeed {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // A thin pipe is laminar: [White7] eq. 6.12.
        let thick = thinned(&at.contents[0], at.inlet_temperature[0], at.links[0]) / RATED_VISCOSITY;
        at.drop(say, 0, at.flow[0] / p.rated_flow * p.rated_drop * thick * p.clogging);
        say.unknown[0] = at.unknowns[0] - positive_part(at.flow[0], NONE) / p.needed;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn a_thin_pipe_passes_oil_in_step_with_pressure_and_against_viscosity() {
        // Hagen and Poiseuille, [White7] eq. 6.12: flow as pressure over viscosity.
        let hot = |temperature: f64| {
            let mut bench = Bench::of(&KIND);
            bench.site.inlet_temperature[0] = temperature;
            bench
        };
        near(hot(360.0).flow_at(0, 2e5), 0.5 * hot(360.0).flow_at(0, 4e5), 1e-6, "in step with pressure");
        let thick = |bench: &Bench| bench.site.contents[0].viscosity(bench.site.inlet_temperature[0]);
        let ratio = thick(&hot(330.0)) / thick(&hot(360.0));
        near(hot(360.0).flow_at(0, 2e5), ratio * hot(330.0).flow_at(0, 2e5), 1e-6, "against viscosity");
        let clogged = hot(360.0).with("clogging", 2_000.0);
        assert!(clogged.flow_at(0, 3.5e5) < 1e-3 * hot(360.0).flow_at(0, 3.5e5));
    }
}
