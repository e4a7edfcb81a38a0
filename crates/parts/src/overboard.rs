//! Overboard discharge: where water leaves the hull by a fitting near the waterline, and by which the sea may come in.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::constants::GRAVITY;
use physics::number::Number;
use physics::smooth::{positive_part, signed_root, step};

crate::parameters! {
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 1.0, exact, "common practice, no source";
    /// Drop of hose and fitting at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=200_000.0, 6_000.0, within 1.8, "from memory";
    /// Height of its mouth over the sea outside; below 0 it is under water [m].
    height: Length, -5.0..=5.0, 0.2, plus 0.1, "common practice, no source";
    /// Height of the highest point of its pipe over the waterline [m].
    loop_height: Length, 0.0..=6.0, 0.6, plus 0.2, "common practice, no source";
    /// How well a vent at that highest point lets air in; 0 without one, or clogged [1].
    vent: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Free area as a share of open; 0 is shut or blocked [1].
    opening: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// Rounding of the surface [m], and of the turn of the flow [Pa].
const SURFACE: f64 = 0.03;
const TURN: f64 = 100.0;
/// Share of its area by which air, and no sea, comes back where it cannot [1]: keeps a dry pipe solvable.
const DRY: f64 = 1e-4;
/// Least area [1].
const SHUT: f64 = 1e-5;

/// What comes back in.
const COMES_IN: Probe = Probe::Unknown(0);

/// What to do when the sea comes in by an outlet.
const SIPHONS: &str = "Shut its seacock, or bung it; stop the pump only when that is done, or lift the hose above the waterline. \
                       Watch the bilge: a pump that starts the siphon sinks her after it stops.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "overboard",
    title: "Outlet through the hull",
    called: &["sea-outlet", "discharge", "hull-outlet"],
    places: &[along(Circuit::Bilge, Station::End, Role::Ends)],
    variant_of: None,
    circuit: Circuit::Bilge,
    symbol: Symbol {
        size: (16.0, 40.0),
        strokes: &[Stroke::Line("M14 0V12M14 28V40M0 20L14 12M0 20L14 28")],
        ways: &[inward((0.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("water", &[Circuit::Bilge, Circuit::RawWater], End::Port("in"), End::Sea)
        .that("leaves the hull by")],
    parameters: PARAMETERS,
    unknowns: &[Unknown {
        name: "comes_in",
        quantity: Quantity::MassFlow,
        start: 0.0,
        size: 0.05,
        bounds: (-100.0, 100.0),
    }],
    links: &[],
    laws: both::<Overboard>(),
    causes: &[
        Cause {
            name: "pressed_under",
            title: "outlet pressed under water: she heels, trims by the stern or is loaded deep",
            moves: &[Move { on: Whose::Own, parameter: "height", by: By::Add(-0.8) }],
            severity: Severity::Even,
            says: &[says("only on one tack or loaded", 0.5)],
            misreads: None,
            rate: "overboard-pressed-under",
            remedy: "shut its seacock when it is not in use; fit a loop with a vent, well above any heel",
        },
        Cause {
            name: "vent_clogged",
            title: "vent of the loop clogged: what is pumped out may siphon back",
            moves: &[Move { on: Whose::Own, parameter: "vent", by: By::Lost }],
            severity: Severity::Whole,
            says: &[says("salt crust on the vent", 0.4)],
            misreads: None,
            rate: "siphon-break-failed",
            remedy: "clean the vent",
        },
        Cause {
            name: "blocked",
            title: "overboard discharge blocked or its hose kinked",
            moves: &[Move { on: Whose::Own, parameter: "opening", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("hose hard and kinked", 0.3)],
            misreads: None,
            rate: "overboard-blocked",
            remedy: "clear the outlet",
        },
        Cause {
            name: "hose_off",
            title: "hose off its outlet, or the fitting broken: a hole at the waterline",
            moves: &[Move { on: Whose::Flooded("bilge"), parameter: "inflow", by: By::Add(1.5) }],
            severity: Severity::Even,
            says: &[says("water at the fitting", 0.7), says_of("bilge", "tastes of salt", 0.6)],
            misreads: None,
            rate: "overboard-hose-off",
            remedy: "bung it now, then renew hose and fitting",
        },
    ],
    words: &[
        Word {
            name: "sea runs back in",
            of: Of::Value { probe: COMES_IN, midpoint: 0.05, spread: 0.02, when: When::High },
            false_said: 0.005,
            miss: 0.3,
            group: "bilge-back",
            danger: Some(SIPHONS),
            source: "from memory",
        },
        said("only on one tack or loaded", 0.03, 0.4, "bilge-pattern"),
        said("salt crust on the vent", 0.05, 0.4, "bilge-vent"),
        said("hose hard and kinked", 0.03, 0.3, "bilge-outlet"),
        Word {
            name: "water at the fitting",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.2,
            group: "bilge-fitting",
            danger: Some(
                "Seacock shut or bung in, all pumps on: a hole of 38 mm half a metre down lets in some two litres a second.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "stop_and_watch",
            title: "Stop the pump and watch the bilge and the hose for five minutes, loaded and heeled as she was",
            minutes: 7.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Hand on the seacock meanwhile: what runs back runs faster as she settles.",
            finds: &[
                Find { cause: "pressed_under", power: "valve-status-seen" },
                Find { cause: "vent_clogged", power: "visual-general" },
            ],
        },
        Check {
            name: "follow_the_hose",
            title: "Follow the hose from pump to hull: clamps, kinks, the fitting, the vent",
            minutes: 5.0,
            state: State::Running,
            tool: Some("torch, bung"),
            caution: "A bung in the pocket: an old fitting breaks when it is touched. Keep clear of shaft and belts.",
            finds: &[
                Find { cause: "hose_off", power: "round-walk" },
                Find { cause: "blocked", power: "round-walk" },
                Find { cause: "vent_clogged", power: "round-walk" },
            ],
        },
    ],
    walls: &[wall("fitting and hose at the hull", "water", Beyond::Space, &["hose_off"])],
    limits: &[Limit {
        probe: COMES_IN,
        value: 0.05,
        when: When::High,
        running_only: false,
        act: SIPHONS,
        source: "common practice, no source",
    }],
    margins: &[Margin {
        name: "siphon",
        asks: "Can the sea not siphon in by this outlet?",
        of: |at| {
            let p = P::of(at.parameters);
            // A vented loop counts by its top, a bare pipe by its mouth.
            Some(p.height + p.vent * (p.loop_height - p.height))
        },
        quantity: Quantity::Length,
        least: 0.1,
        most: f64::INFINITY,
        remedy: "Lead the pipe over a vented loop high above any heel, or carry the mouth higher",
        source: "[Trade] 2.5 outlets over the loaded waterline",
    }],
};

/// Its laws.
struct Overboard;

impl Law for Overboard {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let density = at.contents[0].density(at.inlet_temperature[0]);
        // Water must be lifted to the mouth, or to the top of a loop that lets air in.
        let mouth = positive_part(p.height, SURFACE);
        let over = mouth + p.vent * positive_part(p.loop_height - mouth, SURFACE);
        let push = at.inlet_pressure[0] - at.point.atmosphere - density * GRAVITY * over;
        // The sea comes back by a mouth under water, unless air does by the vent.
        let under = step(-p.height, SURFACE) * (-p.vent + 1.0) + DRY;
        let lets = under + (-under + 1.0) * step(push, TURN);
        let area = p.opening + SHUT;
        let flow = p.rated_flow * area * lets * signed_root(push, TURN) / p.rated_drop.sqrt();
        say.gap[0] = (flow - at.flow[0]) / p.rated_flow * p.rated_drop;
        say.unknown[0] = at.unknowns[0] - positive_part(-at.flow[0], 1e-3);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};
    use physics::constants::ATMOSPHERE;

    fn at(bench: Bench, pressure: f64) -> f64 {
        let mut bench = bench;
        bench.site.contents[0] = physics::contents::Contents::OCEAN;
        bench.site.inlet_pressure[0] = ATMOSPHERE + pressure;
        bench.flow_at(0, 0.0)
    }

    #[test]
    fn a_mouth_above_water_passes_one_way_and_one_under_water_both() {
        let bench = || Bench::of(&KIND).with("height", 0.3);
        let head = 1025.9 * 9.80665 * 0.3;
        near(at(bench(), head + 6_000.0), 1.0, 0.03, "its own drop over 0.3 m of sea");
        assert!(at(bench(), -5_000.0).abs() < 0.01, "air comes back, no sea");
        let back = at(bench().with("height", -0.3), -6_000.0);
        near(back, -1.0, 0.03, "the bilge 0.6 m under the sea outside pulls it in");
        let vented = bench().with("height", -0.3).with("vent", 1.0);
        assert!(at(vented.clone(), -6_000.0).abs() < 0.01, "a vent breaks the siphon");
        near(at(vented, 1025.9 * 9.80665 * 0.6 + 6_000.0), 1.0, 0.03, "and the pump must lift over the loop");
    }
}
