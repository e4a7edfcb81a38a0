//! Check valve: lets its liquid through one way and holds it the other.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::{positive_part, signed_root, signed_square, smooth_min};

crate::parameters! {
    /// Flow at which the open drop is given [kg/s].
    rated_flow: MassFlow, 0.005..=50.0, 0.95 * power ^ 1.0, exact, "common practice, no source";
    /// Pressure drop fully lifted at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=100_000.0, 2_000.0, within 1.8, "common practice, no source";
    /// Pressure that lifts flap, ball or plate off its seat [Pa].
    cracking: PressureDifference, 10.0..=50_000.0, 1_500.0, within 2.0, "from memory";
    /// Free area when lifted as a share of the sound valve's; 0 is stuck shut [1].
    opening: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Area that stays open on the seat as a share of wide open [1].
    leak: Ratio, 0.0..=1.0, 0.0005, within 3.0 each, "from memory";
}

/// Flow below which a drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Leak area squared of a valve stuck shut [1]: keeps a shut branch solvable.
const SHUT: f64 = 1e-9;
/// Drop below which a leak turns linear [Pa].
const LEAK_WIDTH: f64 = 50.0;
/// Rounding of "no flow, or no pressure to spare" [1].
const CORNER: f64 = 2e-4;

/// What to do when water may run back into an engine that stands.
const RUNS_BACK: &str = "Shut the seacock. Do not crank an engine that water may have run into: turn it by hand first.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "check-valve",
    title: "Check valve",
    called: &["non-return-valve", "non-return", "foot-valve"],
    places: &[along(Circuit::RawWater, Station::NonReturn, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 24.0),
        strokes: &[Stroke::Outline("M0 0V24L36 12Z"), Stroke::Line("M36 0V24")],
        ways: &[way((0.0, 12.0), (36.0, 12.0))],
        ..Symbol::BLANK
    },
    passages: &[passage(
        "liquid",
        &[Circuit::RawWater, Circuit::FreshWater, Circuit::Oil, Circuit::GearOil, Circuit::Bilge],
        "in",
        "out",
    )
    .that("goes one way only through")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<CheckValve>(),
    causes: &[
        Cause {
            name: "stuck_shut",
            title: "check valve sticks shut or nearly, or is fitted the wrong way round",
            moves: &[Move { on: Whose::Own, parameter: "opening", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("arrow against the flow", 0.15), says_of("raw-pump", "hot to the touch", 0.2)],
            misreads: None,
            rate: "check-valve-stuck-shut",
            remedy: "free the check valve, turn it round or renew it",
        },
        // Running shows little: it is told by what comes back when nothing drives it forward.
        Cause {
            name: "passes_back",
            title: "check valve does not seat: dirt under it, its flap or spring broken",
            moves: &[Move { on: Whose::Own, parameter: "leak", by: By::Towards(0.9) }],
            severity: Severity::Even,
            says: &[says("runs back when stopped", 0.6), says("rattles", 0.15)],
            misreads: None,
            rate: "check-valve-passes-back",
            remedy: "clean the seat or renew the check valve",
        },
    ],
    words: &[
        Word {
            name: "arrow against the flow",
            of: Of::Cause,
            false_said: 0.005,
            miss: 0.2,
            group: "valve",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "runs back when stopped",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.3,
            group: "back",
            danger: Some(RUNS_BACK),
            source: "from memory",
        },
        Word {
            name: "rattles",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.4,
            group: "noise",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "listen_and_look",
            title: "Look at the arrow on the body, and listen at it while the engine is stopped: does it seat?",
            minutes: 3.0,
            state: State::Stopped,
            tool: Some("torch"),
            caution: "Watch the bilge and the hose after it: what runs back may be the sea.",
            finds: &[
                Find { cause: "passes_back", power: "round-walk" },
                Find { cause: "stuck_shut", power: "round-walk" },
            ],
        },
        Check {
            name: "open_it",
            title: "Open it: move the flap with a finger, look at seat, hinge and spring",
            minutes: 20.0,
            state: State::StoppedAndShut,
            tool: Some("spanners, gasket, rag"),
            caution: "Shut the valves on both sides first; it holds back whatever is above or outside it.",
            finds: &[
                Find { cause: "stuck_shut", power: "visual-general" },
                Find { cause: "passes_back", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// What a valve that opens one way asks for: no flow past its seat, or no pressure to spare over what lifts it.
///
/// * `past`: flow past the seat, over what counts as much [1]
/// * `spare`: pressure wanted at that flow less the pressure there is, over what counts as much [1]
///
/// # Source
/// Complementarity, rounded so that the product of the two is a quarter of the corner's square.
pub(crate) fn one_way<N: Number>(past: N, spare: N) -> N {
    -smooth_min(past, spare, CORNER)
}

/// Its laws.
struct CheckValve;

impl Law for CheckValve {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let drop = at.inlet_pressure[0] - at.outlet_pressure[0];
        // What the seat lets back; forward it is part of what lifts through.
        let back = p.leak * signed_root(positive_part(-drop, LEAK_WIDTH), LEAK_WIDTH) / p.rated_drop.sqrt();
        let past = at.flow[0] / p.rated_flow + back;
        let through = p.opening * p.opening + SHUT;
        let spare = through * (p.cracking - drop) + p.rated_drop * signed_square(past, REST);
        say.gap[0] = one_way(past, spare / p.rated_drop) * p.rated_drop;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_loses_what_a_lift_check_valve_is_printed_to_lose_and_holds_the_other_way() {
        // [Crane410] p. A-28 by way of `physics::flow`, whose own check is a printed example: a full-seat lift check valve
        // of 3 in loses 600 f_T velocity heads.
        let (bore, flow): (f64, f64) = (0.0779, 5.0);
        let bench = Bench::of(&KIND).with("rated_flow", flow);
        let density = bench.site.contents[0].density(crate::bench::MILD);
        let speed = flow / density / (std::f64::consts::FRAC_PI_4 * bore * bore);
        let drop = physics::flow::lift_check_valve(bore, bore) * density * speed * speed / 2.0;
        let bench = bench.with("rated_drop", drop).with("cracking", 100.0);
        for share in [0.4, 1.0, 1.5] {
            near(bench.flow_at(0, drop * share * share + 100.0), flow * share, 0.005, "square law of [Crane410]");
        }
        let held = bench.flow_at(0, -1e5);
        assert!(held < 0.0 && held > -0.005 * flow, "{held} kg/s run back past a sound seat");
        assert!(bench.flow_at(0, 50.0).abs() < 1e-3 * flow, "below its cracking pressure it stays shut");
    }

    #[test]
    fn a_broken_one_passes_back_and_a_stuck_one_passes_nothing() {
        let bench = Bench::of(&KIND);
        let rated = bench.figure("rated_flow");
        near(bench.clone().with("leak", 0.9).flow_at(0, -2_000.0), -0.9 * rated, 0.01, "wide open by nine tenths");
        assert!(bench.with("opening", 0.0).flow_at(0, 1e4) < 1e-3 * rated);
    }
}
