//! Hydraulic steering: helm pump, hoses and cylinder, from the turn of the wheel to the torque on the rudder stock.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{magnitude, positive_part};

crate::parameters! {
    /// Area of the rudder, or of both of twins [m²].
    rudder_area: Area, 0.01..=20.0, 0.35 * power ^ 0.67, within 1.4, "from memory";
    /// How far the water's force on it stands off its stock at the helm it is worked with [m].
    arm: Length, -0.2..=1.0, 0.07, plus 0.04, "from memory";
    /// Force on the rudder at that helm over dynamic pressure and area [1].
    lift: Ratio, 0.1..=1.5, 0.6, within 1.4, "from memory";
    /// Water that meets it over what she makes, in the propeller's race [1].
    race: Ratio, 0.7..=2.0, 1.25, within 1.2, "from memory";
    /// Torque by which bearings and gland hold the stock, for a rudder of 0.35 m² [N m].
    friction: Torque, 0.0..=50_000.0, 25.0, within 2.0, "from memory";
    /// Length of the tiller that the cylinder works on [m].
    tiller: Length, 0.03..=2.0, 0.18, within 1.25, "from memory";
    /// Area of the cylinder's piston less its rod [m²].
    piston: Area, 5e-5..=0.05, 9e-4 * power ^ 0.5, within 1.4, "from memory";
    /// Travel of the cylinder from lock to lock [m].
    stroke: Length, 0.03..=2.0, 0.22, within 1.2, "from memory";
    /// Oil that one turn of the wheel moves [m³].
    helm_displacement: Volume, 2e-6..=5e-4, 3.5e-5, within 1.4, "from memory";
    /// Pressure at which the relief of the helm pump lifts [Pa].
    relief: PressureDifference, 5e5..=3e7, 7e6, within 1.2, "[Trade] 2.9 pressure 70 bar and more";
    /// Oil that lock valves and seals let back at 10 bar [m³/s].
    leak: VolumeFlow, 1e-12..=1e-4, 4e-10, within 2.5, "from memory";
    /// Air caught in hoses and cylinder, as it is at the pressure of the air [m³].
    air: Volume, 0.0..=0.01, 1e-6, within 3.0, "from memory";
    /// How far its oil stands in the reservoir [1].
    oil: Level, 0.0..=1.0, 0.9, plus 0.1, "common practice, no source";
}

/// Pressure that the leak is given at [Pa].
const LEAK_PRESSURE: f64 = 1e6;
/// Rudder that the friction is given for [m²].
const FRICTION_AREA: f64 = 0.35;
/// Rounding of a pressure about nothing [Pa].
const REST: f64 = 2e4;
/// Sea water [kg/m³]; its salt makes no odds here.
const SEA: f64 = 1_025.0;

/// Oil pressure with the helm over.
const PRESSURE: Probe = Probe::Unknown(0);
/// Turns from lock to lock, creep of the wheel, and play.
const TURNS: Probe = Probe::Unknown(1);
const CREEP: Probe = Probe::Unknown(2);
const PLAY: Probe = Probe::Unknown(3);
const OIL: Probe = Probe::Unknown(4);

const NO_STEERING: &str = "Slow down at once: twin engines or a drogue steer her, or the emergency tiller on the stock. Sea room \
                           first, anchor ready, then oil and hoses. Fingers out of the quadrant: it kicks.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "steering",
    title: "Hydraulic steering",
    called: &["hydraulic-steering", "helm-pump", "steering-gear"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (60.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 20A12 12 0 1 1 24 20A12 12 0 1 1 0 20Z"),
            Stroke::Line("M12 8V32M0 20H24"),
            Stroke::Outline("M32 13H54V27H32Z"),
            Stroke::Line("M42 13V27M42 20H60M24 17H32M24 23H32"),
        ],
        ways: &[],
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown {
            name: "steering_pressure",
            quantity: Quantity::GaugePressure,
            start: 1e6,
            size: 2e5,
            bounds: (-1e8, 1e9),
        },
        Unknown { name: "turns", quantity: Quantity::Ratio, start: 5.0, size: 0.5, bounds: (-100.0, 1e4) },
        Unknown { name: "creep", quantity: Quantity::RotationalSpeed, start: 1e-4, size: 1e-3, bounds: (-1e3, 1e3) },
        Unknown { name: "play", quantity: Quantity::Ratio, start: 0.02, size: 0.05, bounds: (-100.0, 1e4) },
        Unknown { name: "oil", quantity: Quantity::Level, start: 0.9, size: 0.1, bounds: (-1.0, 2.0) },
    ],
    links: &[Link::BoatSpeed],
    laws: both::<Steering>(),
    causes: &[
        Cause {
            name: "air_in_oil",
            title: "air in the steering's oil",
            moves: &[Move { on: Whose::Own, parameter: "air", by: By::Add(6e-5) }],
            severity: Severity::Even,
            says: &[says("jerks", 0.5)],
            misreads: None,
            rate: "steering-air-in-oil",
            remedy: "fill, bleed from lock to lock at the highest points, and find where air came in",
        },
        Cause {
            name: "oil_lost",
            title: "steering's oil low: hose, gland or helm shaft leaks",
            moves: &[
                Move { on: Whose::Own, parameter: "oil", by: By::Towards(0.05) },
                Move { on: Whose::Own, parameter: "air", by: By::Add(1.2e-4) },
            ],
            severity: Severity::MostlyBad,
            says: &[says("oil under hoses or helm", 0.6), says("jerks", 0.3)],
            misreads: None,
            rate: "steering-oil-leaks",
            remedy: "renew hose or seal, fill and bleed",
        },
        Cause {
            name: "lock_valve_leaks",
            title: "lock valve of the helm pump passes back: the rudder works on the wheel",
            moves: &[Move { on: Whose::Own, parameter: "leak", by: By::Factor(400.0) }],
            severity: Severity::Even,
            says: &[says("wheel kicks", 0.4)],
            misreads: None,
            rate: "steering-lock-valve-leaks",
            remedy: "flush the lock valve clean, or renew it",
        },
        Cause {
            name: "piston_passes",
            title: "piston seal of the steering cylinder passes",
            moves: &[Move { on: Whose::Own, parameter: "leak", by: By::Factor(600.0) }],
            severity: Severity::Even,
            says: &[says("no hard stop at the end", 0.6)],
            misreads: None,
            rate: "steering-piston-seal-passes",
            remedy: "renew the seals of the cylinder",
        },
        Cause {
            name: "stock_tight",
            title: "rudder stock tight in its bearings or gland",
            moves: &[Move { on: Whose::Own, parameter: "friction", by: By::Factor(15.0) }],
            severity: Severity::Even,
            says: &[says("tight at the quay too", 0.7)],
            misreads: None,
            rate: "steering-stock-tight",
            remedy: "slacken or repack the gland, grease the bearings, look for a bent stock",
        },
    ],
    words: &[
        Word {
            name: "heavy",
            of: Of::Change { probe: PRESSURE, midpoint: 8e5, spread: 3e5, when: When::High },
            false_said: 0.03,
            miss: 0.3,
            group: "steering-weight",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "wheel creeps",
            of: Of::Value { probe: CREEP, midpoint: 0.02, spread: 0.01, when: When::High },
            false_said: 0.03,
            miss: 0.25,
            group: "steering-creep",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "spongy",
            of: Of::Value { probe: PLAY, midpoint: 0.4, spread: 0.15, when: When::High },
            false_said: 0.03,
            miss: 0.2,
            group: "steering-play",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "turns without end",
            of: Of::Share { probe: TURNS, midpoint: 2.0, spread: 0.4, when: When::High },
            false_said: 0.005,
            miss: 0.1,
            group: "steering-play",
            danger: Some(NO_STEERING),
            source: "from memory",
        },
        said("jerks", 0.03, 0.3, "steering-feel"),
        said("wheel kicks", 0.02, 0.3, "steering-feel"),
        said("no hard stop at the end", 0.03, 0.3, "steering-feel"),
        said("tight at the quay too", 0.03, 0.2, "steering-weight"),
        Word {
            name: "oil under hoses or helm",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.25,
            group: "steering-oil",
            danger: Some(
                "Top it up before it draws air, and look with a card: a fine jet under pressure goes through skin.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_at_the_oil",
            title: "Look at the oil in the reservoir: level, froth, milk",
            minutes: 3.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Let the pressure of a pressurised reservoir off first; no water, no other oil into it.",
            finds: &[
                Find { cause: "oil_lost", power: "gauge-read" },
                Find { cause: "air_in_oil", power: "visual-general" },
            ],
        },
        Check {
            name: "hard_over",
            title: "Wheel hard over and lean on it: does it come to a stop, or creep on and on?",
            minutes: 3.0,
            state: State::Stopped,
            tool: None,
            caution: "Nobody near quadrant, tiller or ram: they crush fingers.",
            finds: &[
                Find { cause: "lock_valve_leaks", power: "valve-status-seen" },
                Find { cause: "piston_passes", power: "valve-status-seen" },
                Find { cause: "air_in_oil", power: "visual-general" },
            ],
        },
        Check {
            name: "shut_off_the_cylinder",
            title: "Shut the cocks at the cylinder, or unhook it, and turn the wheel again: what held now is the helm, what creeps still is not the cylinder",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner, drip tray"),
            caution: "At a berth or at anchor only. Lash the tiller first; the oil is under pressure: card, not fingers.",
            finds: &[
                Find { cause: "piston_passes", power: "valve-status-seen" },
                Find { cause: "lock_valve_leaks", power: "valve-status-seen" },
            ],
        },
        Check {
            name: "move_the_tiller_by_hand",
            title: "Cylinder unhooked, move the rudder by hand from lock to lock",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner"),
            caution: "At a berth or at anchor only, with nobody in the water: a rudder in a stream swings by itself.",
            finds: &[Find { cause: "stock_tight", power: "valve-status-seen" }],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: OIL,
        value: 0.25,
        when: When::Low,
        running_only: false,
        act: "Slow down, top the steering's oil up and see where it went: below this it draws air, and she does not answer. Know where the \
            emergency tiller is.",
        source: "common practice, no source",
    }],
    margins: &[
        Margin {
            name: "steering pressure",
            asks: "Does the steering hold the rudder well inside its relief valve?",
            of: |at| Some(at.unknowns[0] / P::of(at.parameters).relief),
            quantity: Quantity::Ratio,
            least: f64::NEG_INFINITY,
            most: 0.9,
            remedy: "a longer tiller, a larger cylinder, or more balance on the rudder",
            source: "[Trade] 2.9 relief at 1.1 times working pressure",
        },
        Margin {
            name: "turns of the wheel",
            asks: "Is the wheel turned from lock to lock in few enough turns?",
            of: |at| Some(at.unknowns[1]),
            quantity: Quantity::Ratio,
            least: 2.0,
            most: 8.0,
            remedy: "a helm pump of other displacement",
            source: "common practice, no source",
        },
    ],
};

/// Its laws.
struct Steering;

impl Law for Steering {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let meets = at.links[0] * p.race;
        let force = p.rudder_area * p.lift * meets * meets * (0.5 * SEA);
        let friction = p.friction * (p.rudder_area / FRICTION_AREA);
        let torque = magnitude(force * p.arm, 1.0) + friction;
        let pressure = torque / (p.tiller * p.piston);
        say.unknown[0] = at.unknowns[0] - pressure;

        // Air is squeezed as the pressure comes on, and the wheel turns that much for nothing.
        let pushed = positive_part(at.unknowns[0], REST);
        let lost = p.air * (pushed / (pushed + at.point.atmosphere));
        let play = lost / p.helm_displacement;
        say.unknown[3] = at.unknowns[3] - play;
        // What leaks back while the wheel goes over at a turn in two seconds is turned again.
        let leaks = p.leak * (pushed / LEAK_PRESSURE);
        let creep = leaks / p.helm_displacement;
        say.unknown[2] = at.unknowns[2] - creep * std::f64::consts::TAU;
        let swept = p.piston * p.stroke / p.helm_displacement;
        say.unknown[1] = at.unknowns[1] - (swept + play * 2.0) * (creep * 2.0 + 1.0);
        say.unknown[4] = at.unknowns[4] - p.oil;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    /// What it reads at a speed [m/s], each once the pressure is there.
    fn at(bench: &Bench, speed: f64, unknown: &str) -> f64 {
        let mut bench = bench.clone();
        bench.site.links[0] = speed;
        bench.site.unknowns[0] = bench.inner("steering_pressure");
        bench.inner(unknown)
    }

    #[test]
    fn pressure_follows_the_square_of_the_way_and_stays_within_the_trade() {
        let bench = Bench::of(&KIND).with("friction", 0.0);
        let (slow, fast) = (at(&bench, 2.0, "steering_pressure"), at(&bench, 4.0, "steering_pressure"));
        near(fast, 4.0 * slow, 0.02, "square law");
        // From memory: wheels of small vessels take 3 to 6 turns and work at some 5 to 40 bar; [Trade] 2.9: relief at 70.
        let usual = Bench::of(&KIND);
        let pressure = at(&usual, 4.0, "steering_pressure");
        assert!((5e5..=4e6).contains(&pressure), "{pressure} Pa");
        assert!((3.0..=7.0).contains(&at(&usual, 4.0, "turns")), "{} turns", at(&usual, 4.0, "turns"));
        assert!(at(&usual, 4.0, "play") < 0.1 && at(&usual, 4.0, "creep") < 0.01);
    }

    #[test]
    fn air_is_felt_as_play_and_a_leak_as_creep() {
        let airy = Bench::of(&KIND).with("air", 6e-5);
        assert!(at(&airy, 4.0, "play") > 0.5, "{} turns", at(&airy, 4.0, "play"));
        let leaky = Bench::of(&KIND).with("leak", 4e-10 * 100.0);
        near(at(&leaky, 4.0, "creep"), 100.0 * at(&Bench::of(&KIND), 4.0, "creep"), 1e-6, "in proportion");
        let gone = Bench::of(&KIND).with("leak", 4e-10 * 600.0 * 100.0);
        assert!(at(&gone, 4.0, "turns") > 2.0 * at(&Bench::of(&KIND), 4.0, "turns"), "turns without end");
    }
}
