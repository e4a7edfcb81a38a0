//! Stern-tube feed: a small branch of raw water that cools and wets shaft seal and bearing, and leaves by the stern tube.

use crate::check_valve::one_way;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{magnitude, signed_square, smooth_min};

crate::parameters! {
    /// Flow at which the drop is given [kg/s].
    rated_flow: MassFlow, 0.002..=2.0, 0.06 * power ^ 0.5, within 1.5, "from memory";
    /// Drop of hose, fitting and stern tube at that flow [Pa].
    rated_drop: PressureDifference, 100.0..=300_000.0, 12_000.0, within 2.0, "from memory";
    /// Heat of seal and bearing at rated engine speed, in gear [W].
    friction: Power, 1.0..=20_000.0, 180.0 * power ^ 0.5, within 2.0, "from memory";
    /// Conductance from the seal to shaft, tube and sea without any water fed [W/K].
    standing: ThermalConductance, 0.1..=500.0, 5.0 * power ^ 0.3, within 1.6, "from memory";
    /// Engine speed these are given at [rad/s].
    rated_speed: RotationalSpeed, 20.0..=700.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
}

/// Flow below which the drop turns linear, and below which it counts as still [share of rated flow].
const REST: f64 = 0.02;
const STILL: f64 = 1e-4;

/// The kind.
pub const KIND: Kind = Kind {
    name: "stern-tube-feed",
    title: "Water feed of the stern tube",
    called: &["shaft-seal-feed", "seal-feed", "shaft-bearing-feed"],
    places: &[Place::Beside {
        circuit: Circuit::RawWater,
        passage: "water",
        after: Some(Station::Pump),
        before: None,
        usual: false,
    }],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (44.0, 24.0),
        strokes: &[
            Stroke::Outline("M0 4H28V20H0Z"),
            Stroke::Solid("M10 4H16V20H10Z"),
            Stroke::Line("M28 12H44M38 8L44 12L38 16"),
        ],
        ways: &[inward((0.0, 12.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("water", &[Circuit::RawWater], End::Port("in"), End::Sea)
        .that("cools the shaft seal and leaves by the stern tube through")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "seal", quantity: Quantity::Temperature, start: 293.0, size: 3.0, bounds: (200.0, 3_000.0) },
        Unknown {
            name: "rise",
            quantity: Quantity::TemperatureDifference,
            start: 3.0,
            size: 2.0,
            bounds: (-300.0, 3_000.0),
        },
    ],
    links: &[Link::Engine("speed")],
    laws: both::<SternTubeFeed>(),
    causes: &[
        Cause {
            name: "blocked",
            title: "water feed of the stern tube blocked, kinked or shut: the seal runs hot",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[
                says("squeals", 0.3),
                says("nothing runs with its hose off", 0.6),
                says_of("propeller", "squeals at the stern", 0.25),
            ],
            misreads: None,
            rate: "shaft-seal-water-feed-blocked",
            remedy: "clear the feed from the raw-water pump to the stern tube",
        },
        Cause {
            name: "hose_leaks",
            title: "hose of the stern tube's water feed leaks or is off",
            moves: &[],
            severity: Severity::Even,
            says: &[says("sprays under way", 0.8), says("wet round the stern tube", 0.6)],
            misreads: None,
            rate: "raw-delivery-tube-split",
            remedy: "renew the hose, two clamps at each end",
        },
    ],
    words: &[
        Word {
            name: "seal hot",
            of: Of::Found { probe: Probe::Unknown(1), midpoint: 20.0, spread: 6.0, when: When::High },
            false_said: 0.03,
            miss: 0.3,
            group: "heat",
            danger: Some(HOT),
            source: "from memory",
        },
        said("squeals", 0.03, 0.3, "noise"),
        said("nothing runs with its hose off", 0.01, 0.1, "feed"),
        said("wet round the stern tube", 0.06, 0.25, "wet"),
        Word {
            name: "sprays under way",
            of: Of::Cause,
            false_said: 0.005,
            miss: 0.15,
            group: "wet",
            danger: Some(
                "Slow down, pumps ready; shut or pinch the feed, then keep her slow: the seal has no water now.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "feel_the_seal",
            title: "Take the temperature of seal and feed hose and set it against the sea",
            minutes: 2.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "No hand, sleeve or cloth near the turning shaft.",
            finds: &[Find { cause: "blocked", power: "gland-ir" }, Find { cause: "hose_leaks", power: "round-walk" }],
        },
        Check {
            name: "hose_off",
            title: "Take the feed hose off at the stern tube and let the engine idle: does water run?",
            minutes: 10.0,
            state: State::Idling,
            tool: Some("screwdriver, bung, bucket"),
            caution: "Out of gear, and a bung at hand for the stern tube: the sea comes in there.",
            finds: &[Find { cause: "blocked", power: "bucket" }],
        },
    ],
    walls: &[wall("the feed hose", "water", Beyond::Space, &["hose_leaks"])],
    limits: &[Limit {
        probe: Probe::Unknown(1),
        value: 17.0,
        when: When::High,
        running_only: true,
        act: HOT,
        source: "[Trade] 2.8 gland over the sea",
    }],
    margins: &[],
};

/// What to do with a seal that runs hot.
const HOT: &str = "Ease back to the slowest that steers until it cools, and look whether water is fed to it. A trickle over \
    it helps; do not run it on dry.";

/// Its laws.
struct SternTubeFeed;

impl Law for SternTubeFeed {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let share = at.flow[0] / p.rated_flow;
        // Where the branch begins lies over the sea: nothing stands there that could run back in.
        let drop = at.inlet_pressure[0] - at.outlet_pressure[0];
        let spare = (p.rated_drop * signed_square(share, REST) - drop) / p.rated_drop;
        say.gap[0] = one_way(share, spare) * p.rated_drop;
        // The shaft turns in gear; torque falls with speed and grows with load, so power in step with speed squared.
        let turns = at.links[0] / p.rated_speed;
        let friction = p.friction * turns * turns * smooth_min(at.point.load * 4.0, N::constant(1.0), 0.05);
        let inlet = at.inlet_temperature[0];
        let fed = magnitude(share, STILL) * p.rated_flow * at.contents[0].heat_capacity(inlet);
        let seal = (friction + fed * inlet + p.standing * at.point.sea) / (fed + p.standing);
        say.unknown[0] = at.unknowns[0] - seal;
        say.unknown[1] = at.unknowns[1] - (at.unknowns[0] - at.point.sea);
        say.heat[0] = friction - p.standing * (at.unknowns[0] - at.point.sea);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD, near};

    /// How far the seal is over the sea at rated speed, with a share of its water [K].
    fn rise(share: f64) -> f64 {
        let mut bench = Bench::of(&KIND);
        bench.site.links[0] = REFERENCE_SPEED;
        bench.site.flow[0] = share * bench.figure("rated_flow");
        bench.inner("seal") - MILD
    }

    #[test]
    fn fed_it_stays_within_the_printed_rise_and_blocked_it_does_not() {
        // [Trade] 2.8: a gland no more than 17 K (30 °F) over the sea.
        assert!(rise(1.0) > 0.3 && rise(1.0) < 17.0, "{} K", rise(1.0));
        assert!(rise(0.0) > 17.0, "{} K", rise(0.0));
        // All of the friction into the water, [Incropera6] eq. 1.11e: q = m cp ΔT, less what the tube takes.
        let bench = Bench::of(&KIND);
        let carried =
            bench.figure("rated_flow") * bench.site.contents[0].heat_capacity(MILD) + bench.figure("standing");
        near(rise(1.0), bench.figure("friction") / carried, 0.02, "q = m cp ΔT");
    }

    #[test]
    fn nothing_runs_back_in_through_it() {
        let bench = Bench::of(&KIND);
        let rated = bench.figure("rated_flow");
        near(bench.flow_at(0, bench.figure("rated_drop")), rated, 0.005, "its own figure");
        assert!(bench.flow_at(0, -6e3).abs() < 1e-3 * rated);
    }
}
