//! Feed pump: a diaphragm or plunger that a cam draws back and a spring pushes, so that it gives what is taken and no more.

use crate::check_valve::one_way;
use crate::fuel_element::air_drawn;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, step};

crate::parameters! {
    /// Strokes for each turn of the engine [1].
    drive_ratio: Ratio, 0.1..=4.0, 0.5, exact, "common practice, no source";
    /// Fuel moved a radian of the cam with nothing to push against [m³/rad].
    displacement: Volume, 1e-9..=1e-4, 2.4e-7 * power ^ 1.0 * speed ^ -1.0, within 1.4, "[Trade] 2.4 return flow";
    /// Rated speed of its cam [rad/s].
    rated_speed: RotationalSpeed, 5.0..=400.0, 94.2 * speed ^ 1.0, exact, "common practice, no source";
    /// Pressure over the air at which its spring pushes no more [Pa].
    shut_off: PressureDifference, 5_000.0..=300_000.0, 50_000.0, within 1.25, "[Trade] 2.4 feed pressure";
    /// Vacuum at which only half of each stroke fills [Pa].
    suction: PressureDifference, 5_000.0..=90_000.0, 50_000.0, within 1.2, "from memory";
    /// Share of its stroke it still makes [1].
    stroke: Ratio, 0.0..=1.2, 1.0, within 1.05 each, "from memory";
    /// Fuel that runs back through its valves at shut-off, as a share of rated delivery [1].
    valve_leak: Ratio, 0.001..=2.0, 0.01, within 2.0 each, "from memory";
    /// Air drawn in at 10 kPa of vacuum at its unions, as a share of the flow [1].
    air_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// Rounding of the vacuum at which strokes stop filling [Pa].
const SUCTION_WIDTH: f64 = 8_000.0;
/// Pressure that lifts both its valves [Pa]; from memory.
const LIFTING: f64 = 1_000.0;
/// Flow below which the drop of its valves turns linear [share of rated delivery].
const REST: f64 = 0.02;

/// What to do when it gives too little.
const STARVES: &str = "Slow down to what she holds: the feed is failing. Look at the vacuum before the pump: high, the tank side is \
    shut or clogged; low, it is the pump. No fuel on hot metal when a line is opened.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "feed-pump",
    title: "Fuel feed pump",
    called: &["fuel-feed-pump"],
    places: &[along(Circuit::Fuel, Station::Pump, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"),
            Stroke::Solid("M36 18L28 23V13Z"),
            Stroke::Line("M14 1C20 10 20 26 14 35"),
        ],
        ways: &[way((0.0, 18.0), (36.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("fuel", &[Circuit::Fuel], "in", "out").that("is drawn in and pressed on by")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.5) }],
    links: &[Link::DriverSpeed, Link::Upstream("air")],
    laws: both::<FeedPump>(),
    causes: &[
        Cause {
            name: "weak",
            title: "feed pump weak: diaphragm, spring or valves tired",
            moves: &[
                Move { on: Whose::Own, parameter: "stroke", by: By::Towards(0.1) },
                Move { on: Whose::Own, parameter: "shut_off", by: By::Factor(0.5) },
            ],
            severity: Severity::Even,
            says: &[
                says_of("diesel", "stops by itself", 0.4),
                says("no fuel at the bleed screw", 0.4),
                says_of("diesel", "starts badly", 0.25),
            ],
            misreads: None,
            rate: "fuel-lift-pump-weak",
            remedy: "renew the feed pump",
        },
        Cause {
            name: "diaphragm_leaks",
            title: "diaphragm of the feed pump leaks fuel into the sump",
            moves: &[
                Move { on: Whose::Own, parameter: "stroke", by: By::Towards(0.5) },
                Move { on: Whose::Kind("sump"), parameter: "dilution", by: By::Towards(0.28) },
                Move { on: Whose::Kind("sump"), parameter: "level", by: By::Add(0.4) },
            ],
            severity: Severity::Even,
            says: &[says_of("sump", "smells of fuel", 0.65), says("weeps fuel", 0.2)],
            misreads: None,
            rate: "fuel-dilution-lift-pump",
            remedy: "renew the feed pump, then the oil and its filter",
        },
        Cause {
            name: "suction_draws_air",
            title: "a union of the suction line draws air",
            moves: &[Move { on: Whose::Own, parameter: "air_leak", by: By::Towards(0.9) }],
            severity: Severity::Even,
            says: &[
                says("bubbles in a clear hose", 0.65),
                says("air at the bleed screw", 0.6),
                says_of("fuel-separator", "bowl stays empty", 0.2),
                says_of("diesel", "stops by itself", 0.45),
                says_of("diesel", "hunts", 0.45),
                says_of("diesel", "starts badly", 0.5),
            ],
            misreads: None,
            rate: "fuel-suction-air-leak",
            remedy: "make the unions of the suction tight",
        },
    ],
    words: &[
        said("weeps fuel", 0.03, 0.25, "fuel-leak"),
        said("bubbles in a clear hose", 0.04, 0.25, "fuel-air"),
        said("air at the bleed screw", 0.03, 0.1, "fuel-air"),
        said("no fuel at the bleed screw", 0.02, 0.1, "fuel-air"),
    ],
    checks: &[
        Check {
            name: "clear_hose",
            title: "Fit a clear hose before the pump and watch for bubbles",
            minutes: 15.0,
            state: State::Running,
            tool: Some("clear fuel hose, clamps"),
            caution: "Stop to fit it; it is no fire-proof hose: take it out again.",
            finds: &[
                Find { cause: "suction_draws_air", power: "fuel-clear-hose" },
                Find { cause: "fuel-pickup/draws_air", power: "fuel-clear-hose" },
                Find { cause: "fuel-separator/seal_draws_air", power: "fuel-clear-hose" },
                Find { cause: "duplex-fuel-filter/seal_draws_air", power: "fuel-clear-hose" },
            ],
        },
        Check {
            name: "shut_off_pressure",
            title: "Lead its delivery to a gauge and turn the engine: what does it hold?",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("gauge to 1.6 bar, hose, rag"),
            caution: "Stop lever pulled and seacock shut while she is cranked; fuel off hot metal, no flame.",
            finds: &[
                Find { cause: "weak", power: "bucket" },
                Find { cause: "diaphragm_leaks", power: "visual-general" },
            ],
        },
        Check {
            name: "smell_the_oil",
            title: "Smell the engine oil, drop it on blotting paper, and watch the level from day to day",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("blotting paper"),
            caution: "Thin oil may have hurt the bearings: do not run hard until it is changed.",
            finds: &[Find { cause: "diaphragm_leaks", power: "oil-smell-blotter" }],
        },
    ],
    walls: &[wall("the diaphragm", "fuel", Beyond::Crankcase, &["diaphragm_leaks"])],
    limits: &[Limit {
        probe: Probe::OutletPressure(0),
        value: 2_000.0,
        when: When::Low,
        running_only: true,
        act: STARVES,
        source: "[Trade] 2.4 feed pressure",
    }],
    margins: &[Margin {
        name: "suction",
        asks: "Does the pump draw easily?",
        of: |at| Some(-over(at, 0)),
        quantity: Quantity::PressureDifference,
        least: f64::NEG_INFINITY,
        most: 17000.0,
        remedy: "a wider suction, larger elements, the pump lower down",
        source: "[Trade] 2.4 suction limit",
    }],
};

/// A pump that a spring or a magnet makes deliver: strokes, what fills them, and what its push lets out.
#[derive(Copy, Clone)]
pub(crate) struct Push<N> {
    /// Delivery with nothing to push against and full strokes [kg/s].
    pub free: N,
    /// Delivery at rated speed, free, that shares are of [kg/s].
    pub rated: N,
    /// Pressure over the air that it cannot pass [Pa].
    pub shut_off: N,
    /// Vacuum at which half fills [Pa].
    pub suction: N,
    /// Share that runs back at shut-off [1].
    pub valve_leak: N,
    /// Air in what it draws [1].
    pub air: N,
}

/// What passage 0 gives with this push.
///
/// Nearer to shut-off the strokes grow short, by the square of the pressure, and stop (common practice, no source); a head
/// from the tank runs through both valves.
pub(crate) fn push<N: Number>(at: &Site<N>, say: &mut Say<N>, by: Push<N>) {
    let atmosphere = at.point.atmosphere;
    let rise = at.outlet_pressure[0] - at.inlet_pressure[0];
    let fill = step(at.inlet_pressure[0] - atmosphere + by.suction, SUCTION_WIDTH);
    let against = positive_part(at.outlet_pressure[0] - atmosphere, 200.0) / by.shut_off;
    let left = positive_part(-against * against + 1.0, 0.02);
    let liquid = positive_part(-by.air + 1.0, 0.02);
    let given = by.free / by.rated * fill * left * liquid;
    let past = at.flow[0] / by.rated - given + by.valve_leak * rise / by.shut_off;
    let spare = signed_square(past, REST) + rise / LIFTING + 1.0;
    say.gap[0] = one_way(past, spare) * LIFTING;
    say.storage[0] = by.rated * 50_000.0;
}

/// Its laws.
struct FeedPump;

impl Law for FeedPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let stroke = at.contents[0].density(at.inlet_temperature[0]) * p.displacement;
        let rated = stroke * p.rated_speed;
        say.unknown[0] = at.unknowns[0] - air_drawn(at, at.inlet_pressure[0], p.air_leak);
        push(
            at,
            say,
            Push {
                free: stroke * at.links[0] * p.drive_ratio * p.stroke,
                rated,
                shut_off: p.shut_off,
                suction: p.suction,
                valve_leak: p.valve_leak,
                air: at.links[1] + at.unknowns[0],
            },
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};
    use physics::constants::ATMOSPHERE;

    /// At rated speed against this pressure over the air [kg/s].
    fn at(bench: &Bench, over: f64) -> f64 {
        let mut bench = bench.clone();
        bench.site.links[0] = REFERENCE_SPEED;
        bench.flow_at(0, -over)
    }

    #[test]
    fn it_gives_what_is_printed_and_stops_at_the_pressure_that_is_printed() {
        let bench = Bench::of(&KIND);
        // [Trade] 2.4: common pumps return 1 to 3 times the burn, so two to four times 60 kW at 0.274 L/kWh pass; and 227 L/h
        // pass a pump of 185 to 335 kW.
        let litres = at(&bench, 35_000.0) / bench.site.contents[0].density(crate::bench::MILD) * 3.6e6;
        let burn = 60.0 * 0.274;
        assert!((2.0 * burn..=4.0 * burn).contains(&litres), "{litres} L/h");
        // [Trade] 2.4: 0.3 to 0.6 bar static.
        let still = (0..700).map(|k| f64::from(k) * 100.0).find(|over| at(&bench, *over) < 0.02 * at(&bench, 0.0));
        assert!(still.is_some_and(|over| (30_000.0..=60_000.0).contains(&over)), "{still:?}");
        // Positive displacement: half the strokes, half the delivery.
        let mut half = bench.clone();
        half.site.links[0] = REFERENCE_SPEED / 2.0;
        near(half.flow_at(0, 0.0), at(&bench, 0.0) / 2.0, 0.01, "half the strokes");
    }

    #[test]
    fn a_vacuum_past_its_suction_and_air_starve_it_and_a_head_runs_through() {
        let mut bench = Bench::of(&KIND);
        let full = at(&bench, 30_000.0);
        // [Trade] 2.4: at the 17 kPa a line may take it still gives all; far past the 34 kPa it does not.
        bench.site.inlet_pressure[0] = ATMOSPHERE - 17_000.0;
        near(at(&bench, 47_000.0), full, 0.02, "within the suction limit");
        bench.site.inlet_pressure[0] = ATMOSPHERE - 60_000.0;
        assert!(at(&bench, 90_000.0) < 0.15 * full);
        let mut bench = Bench::of(&KIND);
        bench.site.links[1] = 0.5;
        near(at(&bench, 30_000.0), full / 2.0, 0.03, "half of it air");
        let standing = Bench::of(&KIND);
        assert!(standing.flow_at(0, -30_000.0).abs() < 0.02 * full, "its valves hold");
        assert!(standing.flow_at(0, 3_000.0) > 0.1 * full, "a head lifts them");
    }
}
