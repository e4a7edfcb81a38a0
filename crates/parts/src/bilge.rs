//! Bilge of the engine space: where what leaks gathers, and the suction that lifts it out.
//!
//! Pressures of the bilge are reckoned at the waterline: how far water is lifted to there is told here, and what it is
//! lifted above it where it leaves.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::constants::GRAVITY;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, step};

crate::parameters! {
    /// Water that comes in on an ordinary day: gland, condensation, wash [kg/s].
    inflow: MassFlow, 0.0..=100.0, 2e-5, within 4.0, "from memory";
    /// How far its deepest place lies below the waterline [m].
    depth: Length, 0.0..=5.0, 0.6, within 1.5, "common practice, no source";
    /// Flow at which the drop of strum box and suction hose is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 1.0, exact, "common practice, no source";
    /// That drop, clean [Pa].
    rated_drop: PressureDifference, 50.0..=100_000.0, 1_500.0, within 2.0, "from memory";
    /// Level at which the float switches the pump on, as a share of the way to the floor plates [1].
    switches_at: Level, 0.0..=0.9, 0.15, plus 0.1, "from memory";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Water by which the pumps must be ahead to keep it down, and the rounding of that [kg/s].
const AHEAD: f64 = 0.01;
const AHEAD_WIDTH: f64 = 0.005;
/// Flow taken for none [kg/s].
const STILL: f64 = 0.01;

/// Where the water ends.
const LEVEL: Probe = Probe::Unknown(0);
/// Share of the time that pumps run.
const RUNS: Probe = Probe::Unknown(1);

/// What to do when it rises.
const FLOODS: &str = "All pumps on, then find where it comes in: taste it, a hand on every hose, gland and seacock. Shut seacocks \
                      one by one if you cannot see it, and stop the engine before its belts throw water. Call early: the radio \
                      may flood first.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "bilge",
    title: "Bilge and its suction",
    called: &["bilge-well", "bilge-sump", "strum-box"],
    places: &[along(Circuit::Bilge, Station::Source, Role::Begins)],
    variant_of: None,
    circuit: Circuit::Bilge,
    symbol: Symbol {
        size: (44.0, 32.0),
        strokes: &[
            Stroke::Line("M0 0L10 30H44M4 12H30"),
            Stroke::Dashed("M30 12V30"),
            Stroke::Line("M8 18H24M12 24H20"),
        ],
        ways: &[outward((44.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("water", &[Circuit::Bilge], End::Air, End::Port("out")).that("gathers in")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "level", quantity: Quantity::Level, start: 0.15, size: 0.1, bounds: (-1.0, 2.0) },
        Unknown { name: "pump_runs", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-1.0, 2.0) },
        Unknown { name: "rising", quantity: Quantity::MassFlow, start: 0.0, size: 0.1, bounds: (-200.0, 200.0) },
    ],
    links: &[],
    laws: both::<Bilge>(),
    causes: &[
        Cause {
            name: "sea_comes_in",
            title: "the sea comes in by something below the waterline that is not described",
            moves: &[Move { on: Whose::Own, parameter: "inflow", by: By::Add(2.0) }],
            severity: Severity::MostlySlight,
            says: &[says("tastes of salt", 0.8)],
            misreads: None,
            rate: "bilge-sea-comes-in",
            remedy: "find it and stop it: seacock, bung, wedge, clamp",
        },
        Cause {
            name: "fresh_comes_in",
            title: "rain, deck wash or a fresh-water tank runs to the bilge",
            moves: &[Move { on: Whose::Own, parameter: "inflow", by: By::Add(0.05) }],
            severity: Severity::Even,
            says: &[says("tastes fresh", 0.8)],
            misreads: None,
            rate: "bilge-fresh-water-comes-in",
            remedy: "find the leak above, or the tank that falls",
        },
        Cause {
            name: "strum_clogged",
            title: "strum box or suction of the bilge clogged",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[says("rags and wool round the suction", 0.7)],
            misreads: None,
            rate: "bilge-strum-clogged",
            remedy: "clear the strum box, and the bilge",
        },
    ],
    words: &[
        Word {
            name: "rises",
            of: Of::Value { probe: LEVEL, midpoint: 0.5, spread: 0.15, when: When::High },
            false_said: 0.01,
            miss: 0.1,
            group: "bilge-level",
            danger: Some(FLOODS),
            source: "from memory",
        },
        Word {
            name: "pump runs often",
            of: Of::Share { probe: RUNS, midpoint: 2.0, spread: 0.5, when: When::High },
            false_said: 0.03,
            miss: 0.3,
            group: "bilge-pump",
            danger: None,
            source: "[Trade] 2.14 twice the usual",
        },
        said("tastes of salt", 0.05, 0.2, "bilge-taste"),
        said("tastes fresh", 0.03, 0.2, "bilge-taste"),
        said("rags and wool round the suction", 0.04, 0.2, "bilge-dirt"),
    ],
    checks: &[
        Check {
            name: "taste_and_look_round",
            title: "Taste the water, then go round every gland, hose and seacock with a torch",
            minutes: 10.0,
            state: State::Running,
            tool: Some("torch, bungs"),
            caution: "A finger's end of it, and none that smells of fuel. Hands clear of shaft and belts; a way out behind you if \
                      it rises.",
            finds: &[
                Find { cause: "sea_comes_in", power: "round-walk" },
                Find { cause: "fresh_comes_in", power: "round-walk" },
            ],
        },
        Check {
            name: "lift_the_strum",
            title: "Lift the strum box out and look at it",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("torch, glove"),
            caution: "Pump switched off; broken glass and screws gather where the water does.",
            finds: &[Find { cause: "strum_clogged", power: "visual-general" }],
        },
    ],
    walls: &[wall("the hull and its fittings", "water", Beyond::Sea, &["sea_comes_in"])],
    limits: &[Limit {
        probe: LEVEL,
        value: 0.5,
        when: When::High,
        running_only: false,
        act: FLOODS,
        source: "[Trade] 2.14 high float",
    }],
    margins: &[Margin {
        name: "bilge pumping",
        asks: "Do the power bilge pumps lift what is asked of them as they are fitted?",
        of: |at| Some(at.flow[0]),
        quantity: Quantity::MassFlow,
        least: 0.7,
        most: f64::INFINITY,
        remedy: "A larger pump, a wider and straighter hose, a lower outlet",
        source: "[Trade] 2.11 5 m³/h, halved by lift and hose",
    }],
};

/// Its laws.
struct Bilge;

impl Law for Bilge {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let lift = at.contents[0].density(at.inlet_temperature[0]) * GRAVITY * p.depth;
        at.drop(say, 0, lift + p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST));
        let rising = p.inflow - at.flow[0];
        say.unknown[2] = at.unknowns[2] - rising;
        // Where it ends: held down at the float while the pumps lift more than comes, else over the plates.
        let up = step(rising + AHEAD, AHEAD_WIDTH);
        say.unknown[0] = at.unknowns[0] - p.switches_at - (-p.switches_at + 1.0) * up;
        let share = p.inflow / positive_part(at.flow[0], STILL);
        say.unknown[1] = at.unknowns[1] - share / (share * share + 1.0).sqrt();
        say.storage[0] = p.rated_flow * 100_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_is_held_down_by_pumps_that_are_ahead_and_fills_without() {
        let mut bench = Bench::of(&KIND);
        bench.site.contents[0] = physics::contents::Contents::OCEAN;
        bench.site.flow[0] = 0.7;
        near(bench.inner("level"), bench.figure("switches_at"), 0.01, "at the float");
        near(bench.clone().with("inflow", 0.007).inner("pump_runs"), 0.01, 0.01, "a hundredth of the time");
        assert!(bench.clone().with("inflow", 1.0).inner("level") > 0.95, "more comes than is lifted");
        bench.site.flow[0] = 0.0;
        assert!(bench.inner("level") > 0.9, "nothing lifts it");
        // 0.6 m of sea water: 6.0 kPa to lift it to the waterline.
        near(bench.say().gap[0], -1025.9 * 9.80665 * 0.6, 0.002, "hydrostatics");
    }
}
