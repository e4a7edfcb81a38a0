//! Exhaust outlet: where gas, and water in a wet exhaust, leave the hull.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::signed_square;

crate::parameters! {
    /// Gas flow at which the drop is given [kg/s].
    rated_gas_flow: MassFlow, 1e-3..=20.0, 0.09 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the outlet at that flow and 350 K [Pa].
    rated_drop: PressureDifference, 20.0..=20_000.0, 300.0, within 2.0, "from memory";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Temperature the drop is given at [K].
const RATED_TEMPERATURE: f64 = 350.0;

/// The water that leaves here.
const WATER: Probe = Probe::Unknown(0);
/// How hot the gas leaves.
const GAS_TEMPERATURE: Probe = Probe::Unknown(1);

/// What too little water at the outlet can come from, each found with this power.
const fn short_of_water(power: &'static str) -> [Find; SHORT.len()] {
    let mut finds = [Find { cause: "", power }; SHORT.len()];
    let mut k = 0;
    while k < SHORT.len() {
        finds[k].cause = SHORT[k];
        k += 1;
    }
    finds
}

/// Causes that let less water through to the outlet.
const SHORT: [&str; 39] = [
    "intake/blocked",
    "sea-chest/grating_clogged",
    "sea-chest/vent_shut",
    "sea-chest/grown_in",
    "valve/left_shut",
    "valve/part_shut",
    "strainer/blocked",
    "strainer/lid_draws_air",
    "duplex-strainer/blocked",
    "duplex-strainer/lever_between",
    "duplex-strainer/lid_draws_air",
    "check-valve/stuck_shut",
    "hose/crimped",
    "hose/liner_collapsed",
    "hose/split",
    "hose/fitting_restricted",
    "raw-pump/vanes_lost",
    "raw-pump/worn",
    "raw-pump/wear_plate_failed",
    "raw-pump/drive_broken",
    "raw-pump/not_primed",
    "centrifugal-pump/air_bound",
    "centrifugal-pump/worn",
    "centrifugal-pump/drive_broken",
    "electric-pump/motor_dead",
    "electric-pump/supply_open",
    "plunger-pump/valves_leak",
    "plunger-pump/packing_worn",
    "plunger-pump/drive_broken",
    "exchanger/scaled",
    "exchanger/pieces_lodged",
    "exchanger/inlet_scaled",
    "plate-exchanger/clogged",
    "oil-cooler/pieces_lodged",
    "gear-cooler/clogged",
    "gear-cooler/pieces_lodged",
    "belt/lost",
    "belt/stripped",
    "elbow/water_ports_blocked",
];
pub(crate) const LOOK: &[Find] = &short_of_water("look-at-outlet");
pub(crate) const BUCKET: &[Find] = &short_of_water("bucket");

/// The kind.
pub const KIND: Kind = Kind {
    name: "outlet",
    title: "Exhaust outlet",
    called: &["exhaust-outlet"],
    places: &[along(Circuit::Exhaust, Station::End, Role::Ends)],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (16.0, 40.0),
        strokes: &[Stroke::Line("M0 20L14 12V0M0 20L14 28V40")],
        ways: &[inward((0.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("gas", &[Circuit::Exhaust], End::Port("in"), End::Air).that("goes overboard at")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "water", quantity: Quantity::MassFlow, start: 0.5, size: 0.1, bounds: (-1.0, 100.0) },
        Unknown {
            name: "gas_temperature",
            quantity: Quantity::Temperature,
            start: 320.0,
            size: 10.0,
            bounds: (200.0, 1400.0),
        },
    ],
    links: &[Link::Injected],
    laws: both::<Outlet>(),
    causes: &[Cause {
        name: "blocked",
        title: "exhaust outlet blocked: flap stuck, growth, outlet pressed under water",
        moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Choked(0.75) }],
        severity: Severity::NearlyShut,
        says: &[says("soot on the water", 0.3)],
        misreads: None,
        // No rate of its own is known: a pipe that scales shut is the nearest, and rare too.
        rate: "exhaust-pipe-scaled",
        remedy: "clear the outlet",
    }],
    words: &[
        Word {
            name: "flow weak",
            of: Of::Share { probe: WATER, midpoint: 0.65, spread: 0.15, when: When::Low },
            false_said: 0.03,
            miss: 0.15,
            group: "outlet-water",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "no water",
            of: Of::Share { probe: WATER, midpoint: 0.08, spread: 0.05, when: When::Low },
            false_said: 0.01,
            miss: 0.1,
            group: "outlet-water",
            danger: Some(
                "Idle at once, out of gear. No water within half a minute: stop, if stopping does not put the ship in danger. \
                 If it would, lowest speed, and watch the exhaust hose and the coolant.",
            ),
            source: "from memory",
        },
        Word {
            name: "steam",
            of: Of::Value { probe: GAS_TEMPERATURE, midpoint: 343.0, spread: 8.0, when: When::High },
            false_said: 0.03,
            miss: 0.2,
            group: "outlet-steam",
            danger: Some(
                "Ease back to idle and look at the water from the outlet and at the coolant. Still steaming after a minute: \
                 stop when the ship is safe, or go on at the lowest speed that holds her off.",
            ),
            source: "from memory",
        },
        Word {
            name: "note hollow",
            of: Of::Share { probe: WATER, midpoint: 0.5, spread: 0.15, when: When::Low },
            false_said: 0.02,
            miss: 0.25,
            group: "outlet-sound",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "louder than usual",
            of: Of::Share { probe: WATER, midpoint: 0.4, spread: 0.15, when: When::Low },
            false_said: 0.04,
            miss: 0.25,
            group: "outlet-sound",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "flow pulsing",
            of: Of::Cause,
            // A lift silencer spits by nature.
            false_said: 0.1,
            miss: 0.3,
            group: "outlet-pulse",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "soot on the water",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.3,
            group: "smoke",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look",
            title: "Look at the water that comes out with the exhaust",
            minutes: 1.0,
            state: State::Running,
            tool: None,
            caution: "Do not lean over the stern under way; splash from a half-sunk outlet passes for flow.",
            finds: LOOK,
        },
        Check {
            name: "bucket",
            title: "Made fast alongside: catch the outlet water in a bucket at a set speed and time it",
            minutes: 10.0,
            state: State::Idling,
            tool: Some("bucket, watch, helper"),
            caution: "Never under way, never leaning over the stern; propeller out of gear.",
            finds: BUCKET,
        },
        Check {
            name: "look_into",
            title: "Look into the outlet and move its flap",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("torch, dinghy"),
            caution: "Engine stopped, key in your pocket.",
            finds: &[Find { cause: "blocked", power: "visual-general" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Outlet;

impl Law for Outlet {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        at.drop(
            say,
            0,
            p.rated_drop * signed_square(at.flow[0] / p.rated_gas_flow, REST) * at.inlet_temperature[0]
                / RATED_TEMPERATURE,
        );
        say.unknown[0] = at.unknowns[0] - at.links[0];
        say.unknown[1] = at.unknowns[1] - at.inlet_temperature[0];
    }
}
