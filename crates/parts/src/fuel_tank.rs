//! Fuel tank: the fuel at rest, above or below the engine's pump, under the pressure of the air in its vent.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::constants::GRAVITY;
use physics::number::Number;
use physics::smooth::step;

crate::parameters! {
    /// What it holds [m³].
    volume: Volume, 0.002..=50.0, 0.2 * power ^ 1.0, within 1.5, "[Trade] 2.4 a day's fuel";
    /// How full it is [1].
    level: Ratio, 0.0..=1.0, 0.6, plus 0.4 each, "common practice, no source";
    /// Depth of the fuel when it is full [m].
    depth: Length, 0.05..=10.0, 0.6, within 1.4, "common practice, no source";
    /// Height of its bottom over the feed pump, below it negative [m]; a pump lifts 1.8 m at most.
    bottom: Length, -3.0..=20.0, -0.5, plus 0.4, "[Trade] 2.4 suction limit";
    /// Vacuum over the fuel, left by what was drawn while no air came in [Pa].
    vacuum: PressureDifference, 0.0..=60_000.0, 0.0, exact, "common practice, no source";
    /// Water that comes along with the fuel, over what the bowls hold back [1].
    water: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Conductance from the fuel through its sides to the engine space [W/K].
    wall_conductance: ThermalConductance, 0.5..=2_000.0, 20.0 * power ^ 0.67, within 2.0, "from memory";
}

/// Level at which the pickup begins to bare as she rolls, and how fast [1].
const AIR_FROM: f64 = 0.04;
const AIR_WIDTH: f64 = 0.012;

/// What to do when it runs dry.
const FILL: &str = "Fill the tank now, or change over. If there is nothing to fill it from, slow down and get sea room or an \
    anchorage. No flame near the filler, and no fuel on hot metal.";
/// Kinds whose element water and growth shut.
const ELEMENTS: [&str; 3] = ["fuel-separator", "fuel-filter", "duplex-fuel-filter"];

/// The kind.
pub const KIND: Kind = Kind {
    name: "fuel-tank",
    title: "Fuel tank",
    called: &[],
    places: &[along(Circuit::Fuel, Station::Source, Role::Needed)],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (56.0, 40.0),
        strokes: &[Stroke::Outline("M0 0V40H56V0Z"), Stroke::Line("M0 12H56M22 16H34M25 20H31")],
        ways: &[way((0.0, 20.0), (56.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("pool", &[Circuit::Fuel], "pool", "pool").that("stands in")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.01) },
        Unknown { name: "level", quantity: Quantity::Ratio, start: 0.5, size: 0.1, bounds: (-0.5, 1.5) },
        Unknown { name: "water", quantity: Quantity::Ratio, start: 0.0, size: 0.1, bounds: (-0.1, 1.5) },
    ],
    links: &[Link::All("space_temperature")],
    laws: both::<FuelTank>(),
    causes: &[
        Cause {
            name: "empty",
            title: "fuel tank empty, or its pickup bares as she rolls",
            moves: &[Move { on: Whose::Own, parameter: "level", by: By::Towards(0.0) }],
            severity: Severity::MostlyBad,
            says: &[
                says_of("diesel", "stops by itself", 0.8),
                says_of("diesel", "starts badly", 0.5),
                says_of("diesel", "hunts", 0.4),
                says("worse in a seaway", 0.4),
                says_of("fuel-separator", "bowl stays empty", 0.5),
                says_of("electric-feed-pump", "ticks otherwise than usual", 0.4),
            ],
            misreads: None,
            rate: "fuel-empty",
            remedy: "fill the tank and bleed",
        },
        Cause {
            name: "vent_blocked",
            title: "vent of the tank blocked",
            moves: &[Move { on: Whose::Own, parameter: "vacuum", by: By::Towards(60_000.0) }],
            severity: Severity::Even,
            says: &[
                says_of("diesel", "stops by itself", 0.5),
                says("air rushes in at the cap", 0.5),
                says("sides drawn in", 0.3),
                says_of("fuel-separator", "bowl stays empty", 0.3),
            ],
            misreads: None,
            rate: "fuel-tank-vent-blocked",
            remedy: "clear the vent",
        },
        Cause {
            name: "water",
            title: "water in the fuel",
            moves: &[
                Move { on: Whose::Own, parameter: "water", by: By::Towards(1.0) },
                Move { on: Whose::Downstream(&ELEMENTS), parameter: "clogging", by: By::Factor(6.0) },
                Move { on: Whose::Kind("diesel"), parameter: "combustion", by: By::Factor(0.8) },
            ],
            severity: Severity::MostlySlight,
            says: &[
                says("water in the bowl or sample", 0.8),
                says_of("fuel-separator", "water in the bowl", 0.8),
                says_of("diesel", "stops by itself", 0.5),
                says_of("diesel", "hunts", 0.3),
                says_of("diesel", "starts badly", 0.3),
                says_of("diesel", "smoke white", 0.25),
                says_of("diesel", "knocks", 0.1),
            ],
            misreads: None,
            rate: "fuel-water-contaminated",
            remedy: "drain the water, then find where it came in",
        },
        Cause {
            name: "growth",
            title: "growth in the tank, or its dirt stirred up",
            moves: &[Move { on: Whose::Downstream(&ELEMENTS), parameter: "clogging", by: By::Factor(200.0) }],
            severity: Severity::Even,
            says: &[
                says("slime in the fuel", 0.75),
                says("water in the bowl or sample", 0.4),
                says_of("fuel-separator", "water in the bowl", 0.4),
                says_of("diesel", "stops by itself", 0.35),
                says("worse in a seaway", 0.5),
            ],
            misreads: None,
            rate: "fuel-microbial-growth",
            remedy: "clean the tank and dose it, and renew the elements",
        },
    ],
    words: &[
        Word {
            name: "nearly empty",
            of: Of::Value { probe: Probe::Unknown(1), midpoint: 0.06, spread: 0.03, when: When::Low },
            false_said: 0.03,
            miss: 0.15,
            group: "level",
            danger: None,
            source: "from memory",
        },
        said("worse in a seaway", 0.04, 0.3, "pattern"),
        said("air rushes in at the cap", 0.02, 0.2, "vent"),
        said("sides drawn in", 0.01, 0.4, "vent"),
        said("water in the bowl or sample", 0.05, 0.15, "fuel-looks"),
        said("slime in the fuel", 0.04, 0.2, "fuel-looks"),
    ],
    checks: &[
        Check {
            name: "dip",
            title: "Dip the tank, or read the sight glass",
            minutes: 3.0,
            state: State::Running,
            tool: Some("dipstick"),
            caution: "No flame; a gauge may not fit the shape of the tank.",
            finds: &[Find { cause: "empty", power: "valve-status-seen" }],
        },
        Check {
            name: "open_the_cap",
            title: "Open the filler cap and listen, then see whether the vacuum falls",
            minutes: 2.0,
            state: State::Running,
            tool: None,
            caution: "Keep spray and rain out of it, and flame away.",
            finds: &[Find { cause: "vent_blocked", power: "visual-general" }],
        },
        Check {
            name: "drain_a_sample",
            title: "Drain a jar from the lowest point and let it stand",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("clear jar"),
            caution: "Catch it all, off hot metal; shut the drain before she runs, it may draw air.",
            finds: &[
                Find { cause: "water", power: "visual-general" },
                Find { cause: "growth", power: "visual-general" },
            ],
        },
        Check {
            name: "run_from_a_can",
            title: "Feed the engine from a can of clean fuel and load it",
            minutes: 30.0,
            state: State::Running,
            tool: Some("can, hose"),
            caution: "Fuel on hot parts burns: hold the can low, tied, with the return led into it.",
            finds: &[
                Find { cause: "empty", power: "fuel-from-can" },
                Find { cause: "vent_blocked", power: "fuel-from-can" },
                Find { cause: "water", power: "fuel-from-can" },
                Find { cause: "fuel-pickup/screen_blocked", power: "fuel-from-can" },
                Find { cause: "fuel-pickup/draws_air", power: "fuel-from-can" },
            ],
        },
        kept(
            "fuel_balance",
            "From the ledger: fuel taken and burnt, held against the soundings",
            &[
                find("diesel/fuel_in_oil", "fuel-balance"),
                find("diesel/injector_leaks", "fuel-balance"),
                find("diesel/pressure_pipe_cracked", "fuel-balance"),
                find("lift-pump/diaphragm_leaks", "fuel-balance"),
                find("injection-pump/return_leaks", "fuel-balance"),
            ],
        ),
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::Unknown(1),
        value: 0.04,
        when: When::Low,
        running_only: true,
        act: FILL,
        source: "[Trade] 2.14 one hour left of a day's fuel",
    }],
    margins: &[],
};

/// Its laws.
struct FuelTank;

impl Law for FuelTank {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let t = at.inlet_temperature[0];
        // Heads of the whole circuit are told here: every other height is that of the pump.
        let surface = p.bottom + p.depth * p.level;
        let head = at.contents[0].density(t) * GRAVITY * surface;
        say.gap[0] = at.inlet_pressure[0] - at.point.atmosphere - head + p.vacuum;
        say.heat[0] = p.wall_conductance * (at.room(0) - t);
        say.unknown[0] = at.unknowns[0] - step(-p.level + AIR_FROM, AIR_WIDTH);
        say.unknown[1] = at.unknowns[1] - p.level;
        say.unknown[2] = at.unknowns[2] - p.water;
        say.storage[0] = p.volume * p.level * at.contents[0].density(t) * at.contents[0].heat_capacity(t) + 5_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn a_tank_at_the_limit_of_lift_leaves_the_suction_that_is_printed() {
        // [Trade] 2.4: at most 1.8 m from the bottom of the pickup, and 17 kPa at the lift pump with what the line takes.
        let bench = Bench::of(&KIND).with("bottom", -1.8).with("level", 0.0);
        // Held at the pressure of the air, what is wanting is the head.
        near(bench.say().gap[0], 14_900.0, 0.02, "1.8 m of gas oil at 845 kg/m³");
        assert!(bench.say().gap[0] < 17_000.0, "there is something left for pipe and filter");
        assert!(bench.inner("air") > 0.9, "an empty tank gives air");
        assert!(Bench::of(&KIND).inner("air") < 1e-3, "a tank more than half full gives none");
    }
}
