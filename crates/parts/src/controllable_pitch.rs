//! Controllable-pitch propeller, shaft and hull: speed and pitch together say how hard the engine works.
//!
//! With the hull's resistance as the square of her speed, the ratio at which a propeller advances depends on its pitch
//! alone. So each pitch has one share of the power that design pitch takes at the same speed, and one share of the way.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::propeller::{checks, line};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::propeller::BSeries;
use physics::smooth::{signed_square, smooth_min};

crate::parameters! {
    /// Speed through the water at rated engine speed and design pitch, clean and calm [m/s].
    rated_boat_speed: Velocity, 0.5..=25.0, 4.1, within 1.1, "common practice, no source";
    /// Engine speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 20.0..=700.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
    /// Power at a given shaft speed and pitch over clean hull [1].
    hull_growth: Ratio, 0.8..=5.0, 1.03, within 1.05, "from memory";
    /// Power at a given shaft speed and pitch over clean propeller [1].
    propeller_growth: Ratio, 0.8..=5.0, 1.01, within 1.03, "from memory";
    /// Power at a given shaft speed and pitch over what these blades should take [1].
    bite: Ratio, 0.0005..=3.0, 1.0, within 1.03, "from memory";
    /// Pitch over diameter at design pitch [1].
    design_pitch_ratio: Ratio, 0.5..=1.3, 0.75, within 1.12, "from memory";
    /// Real slip at design pitch in calm water [1].
    design_slip: Ratio, 0.1..=0.75, 0.4, within 1.15, "from memory";
    /// Pitch that the blades lack of what the lever asks for [share of design pitch].
    shortfall: Ratio, -1.5..=1.5, 0.0, exact, "common practice, no source";
    /// What the indicator shows over what the blades have [share of design pitch].
    shows_over: Ratio, -1.0..=1.0, 0.0, exact, "common practice, no source";
}

/// Blades and their area, as small ones of this sort have; from memory. What a pitch takes of what another takes hangs
/// little on either.
const SERIES: BSeries = BSeries { pitch_ratio: 0.7, area_ratio: 0.5, blades: 3 };
/// Boat speed over power at the same shaft speed, in calm water at displacement speed: the cube root.
const BITE_TO_SPEED: f64 = 1.0 / 3.0;
/// Advance about which it counts as standing still [1].
const STILL: f64 = 0.01;

/// What goes wrong with turning the blades.
const OF_PITCH: [Cause; 8] = [
    Cause {
        name: "set_too_steep",
        title: "pitch set steeper than hull, load and weather allow",
        moves: &[Move { on: Whose::Own, parameter: "shortfall", by: By::Add(-0.35) }],
        severity: Severity::MostlySlight,
        says: &[],
        misreads: None,
        rate: "cpp-overload",
        remedy: "reduce the pitch until exhaust and speed are within the table",
    },
    Cause {
        name: "stuck_fine",
        title: "blades stuck at less pitch than the lever asks for",
        moves: &[Move { on: Whose::Own, parameter: "shortfall", by: By::Add(0.9) }],
        severity: Severity::Even,
        says: &[says("pitch does not follow the lever", 0.85), says("pitch slow to follow", 0.3)],
        misreads: None,
        rate: "cpp-stuck",
        remedy: "free the pitch gear",
    },
    Cause {
        name: "stuck_steep",
        title: "blades stuck at more pitch than the lever asks for",
        moves: &[Move { on: Whose::Own, parameter: "shortfall", by: By::Add(-0.7) }],
        severity: Severity::Even,
        says: &[says("pitch does not follow the lever", 0.85), says("pitch slow to follow", 0.3)],
        misreads: None,
        rate: "cpp-stuck",
        remedy: "free the pitch gear",
    },
    Cause {
        name: "falls_back",
        title: "pitch falls back by itself: oil passes its piston, or the rod slips",
        moves: &[Move { on: Whose::Own, parameter: "shortfall", by: By::Add(0.5) }],
        severity: Severity::MostlySlight,
        says: &[says("pitch creeps", 0.7)],
        misreads: None,
        rate: "cpp-pitch-falls-back",
        remedy: "renew the seals of the pitch piston, or clamp the rod",
    },
    Cause {
        name: "oil_lost",
        title: "oil of the pitch gear low or leaking",
        moves: &[Move { on: Whose::Own, parameter: "shortfall", by: By::Add(0.6) }],
        severity: Severity::MostlySlight,
        says: &[
            says("pitch oil low", 0.7),
            says("pitch slow to follow", 0.5),
            says("pitch creeps", 0.35),
            says("oil sheen astern", 0.25),
        ],
        misreads: None,
        rate: "cpp-hydraulic-leak",
        remedy: "find the leak and fill the pitch gear",
    },
    Cause {
        name: "shows_steep",
        title: "slack in the linkage: the indicator shows more pitch than the blades have",
        moves: &[
            Move { on: Whose::Own, parameter: "shortfall", by: By::Add(0.35) },
            Move { on: Whose::Own, parameter: "shows_over", by: By::Add(0.35) },
        ],
        severity: Severity::Even,
        says: &[says("pitch slow to follow", 0.15)],
        misreads: None,
        rate: "cpp-linkage-slack",
        remedy: "take up the linkage and set the indicator to the marks on the hub",
    },
    Cause {
        name: "shows_fine",
        title: "stop or scale shifted: the indicator shows less pitch than the blades have",
        moves: &[
            Move { on: Whose::Own, parameter: "shortfall", by: By::Add(-0.3) },
            Move { on: Whose::Own, parameter: "shows_over", by: By::Add(-0.3) },
        ],
        severity: Severity::Even,
        says: &[],
        misreads: None,
        rate: "cpp-stop-shifted",
        remedy: "take up the linkage and set the indicator to the marks on the hub",
    },
    spoken(&Spoken {
        name: "hub_seal",
        title: "seal of a blade or of the hub lets oil out and water in",
        says: &[says("oil sheen astern", 0.6), says("water in the hub oil", 0.7), says("pitch oil low", 0.3)],
        rate: "cpp-hub-seal-leaks",
        remedy: "haul out and renew the seals of the hub",
    }),
];

/// Ways it fails.
const CAUSES: [Cause; 21] = joined(LOADED, joined::<_, 1, 8, 9>([LOST], line::CAUSES));

/// What makes it harder to turn, or easier.
const LOADED: [Cause; 12] = joined(OF_PITCH, line::LOADS);

/// There is no propeller any more.
const LOST: Cause =
    Cause { moves: &[Move { on: Whose::Own, parameter: "bite", by: By::Towards(0.001) }], ..line::LOST };

/// What to do when the pitch cannot be trusted.
const NOT_OBEYED: &str = "Engine to idle and, where there is a clutch, out of gear: she may go ahead or astern against the lever. \
    Set and lock the pitch ahead by hand as its maker says, and steer with engine speed alone; fenders and anchor ready.";

/// What people say of it: all that is said of any propeller, and of its pitch.
const WORDS: [Word; 19] = joined(
    line::WORDS,
    [
        Word { danger: Some(NOT_OBEYED), ..said("pitch does not follow the lever", 0.01, 0.1, "pitch") },
        Word { danger: Some(NOT_OBEYED), ..said("pitch creeps", 0.02, 0.25, "pitch") },
        said("pitch slow to follow", 0.05, 0.3, "pitch"),
        said("oil sheen astern", 0.04, 0.4, "pitch-oil"),
        said("pitch oil low", 0.04, 0.3, "pitch-oil"),
        said("water in the hub oil", 0.02, 0.3, "pitch-oil"),
    ],
);

/// Checks that can be made on it.
const CHECKS: [Check; 11] = joined(
    [
        checks::DIVE,
        Check {
            finds: &[
                Find { cause: "set_too_steep", power: "compare-log" },
                Find { cause: "hull_fouled", power: "compare-log" },
                Find { cause: "propeller_fouled", power: "compare-log" },
            ],
            ..checks::FULL_SPEED
        },
        Check {
            name: "compare_the_marks",
            title: "Compare lever, indicator and the marks where the rod leaves the shaft, at three pitches",
            minutes: 10.0,
            state: State::Idling,
            tool: Some("torch, rule"),
            caution: "Shaft out of gear or stopped before you bend over it; a rod under oil pressure takes a finger.",
            finds: &[
                Find { cause: "shows_steep", power: "visual-general" },
                Find { cause: "shows_fine", power: "visual-general" },
                Find { cause: "stuck_fine", power: "valve-status-seen" },
                Find { cause: "stuck_steep", power: "valve-status-seen" },
                Find { cause: "falls_back", power: "visual-general" },
            ],
        },
        Check {
            name: "ease_the_pitch",
            title: "Take a tenth of the pitch off at the same speed: does the exhaust cool as its table says?",
            minutes: 10.0,
            state: State::Running,
            tool: Some("exhaust thermometer, table for speed and pitch"),
            caution: "Never add pitch to hold her speed into a head sea past the rated exhaust temperature: reduce.",
            finds: &[
                Find { cause: "set_too_steep", power: "compare-log" },
                Find { cause: "shows_fine", power: "compare-log" },
            ],
        },
        Check {
            name: "work_by_hand",
            title: "Turn the pitch through its travel by hand pump or emergency gear",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("hand pump or lever"),
            caution: "Engine locked out and shaft blocked; blades that come free may kick the lever.",
            finds: &[
                Find { cause: "stuck_fine", power: "valve-status-seen" },
                Find { cause: "stuck_steep", power: "valve-status-seen" },
            ],
        },
        Check {
            name: "pitch_oil",
            title: "Look at level and colour of the pitch oil; heat a drop: does it crackle?",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("dipstick, spoon, lighter"),
            caution: "Let the pressure off before anything is opened: oil under pressure goes through skin.",
            finds: &[Find { cause: "oil_lost", power: "dipstick" }, Find { cause: "hub_seal", power: "gear-oil-look" }],
        },
    ],
    checks::LINE,
);

/// The kind.
pub const KIND: Kind = Kind {
    name: "controllable-pitch-propeller",
    title: "Propeller of controllable pitch, shaft and hull",
    called: &["variable-pitch-propeller", "cp-propeller", "cpp"],
    places: &[],
    variant_of: Some("propeller"),
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (40.0, 44.0),
        strokes: &[
            Stroke::Line("M0 22H30"),
            Stroke::Outline("M30 22C20 14 22 0 30 0C38 0 40 14 30 22C20 30 22 44 30 44C38 44 40 30 30 22Z"),
            Stroke::Solid("M26 22A4 4 0 1 1 34 22A4 4 0 1 1 26 22Z"),
            Stroke::Line("M4 8L18 36M18 29V36L11.5 33.5"),
        ],
        ways: &[],
        link: inward((0.0, 22.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "demand", quantity: Quantity::Ratio, start: 1.0, size: 0.1, bounds: (-0.5, 20.0) },
        Unknown { name: "boat_speed", quantity: Quantity::Velocity, start: 3.5, size: 0.5, bounds: (-20.0, 40.0) },
        Unknown { name: "pitch", quantity: Quantity::Ratio, start: 1.0, size: 0.1, bounds: (-4.0, 4.0) },
        Unknown { name: "advance", quantity: Quantity::Ratio, start: 0.4, size: 0.05, bounds: (-1.5, 1.5) },
    ],
    links: &[Link::Engine("speed")],
    laws: both::<ControllablePitch>(),
    causes: &CAUSES,
    words: &WORDS,
    checks: &CHECKS,
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct ControllablePitch;

impl Law for ControllablePitch {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let blades = at.point.pitch - p.shortfall;
        say.unknown[2] = at.unknowns[2] - blades - p.shows_over;
        // Thrust that the hull takes: as the square of the advance, and at design pitch what the propeller gives there.
        let design = p.design_pitch_ratio * (-p.design_slip + 1.0);
        let (design_thrust, design_torque) = SERIES.at_pitch(design, p.design_pitch_ratio);
        let advance = at.unknowns[3];
        let (thrust, torque) = SERIES.at_pitch(advance, blades * p.design_pitch_ratio);
        let taken = signed_square(advance, STILL) / signed_square(design, STILL);
        say.unknown[3] = (taken - thrust / design_thrust) * design;
        let growth = p.hull_growth * p.propeller_growth * p.bite;
        say.unknown[0] = at.unknowns[0] - growth * torque / design_torque;
        // Growth costs more speed than it takes power at the same turns; in neutral she does not move.
        let drag = p.hull_growth * p.hull_growth * p.propeller_growth;
        say.unknown[1] = at.unknowns[1]
            - p.rated_boat_speed * at.links[0] / p.rated_speed
                * drag.powf(-0.5)
                * p.bite.powf(BITE_TO_SPEED)
                * (advance / design)
                * smooth_min(at.point.load * 4.0, N::constant(1.0), 0.05);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    /// Settled at a share of design pitch: (demand, boat speed as a share, advance).
    fn at_pitch(pitch: f64) -> (f64, f64, f64) {
        let mut bench = Bench::of(&KIND).with("hull_growth", 1.0).with("propeller_growth", 1.0);
        bench.site.point.pitch = pitch;
        bench.site.links[0] = bench.figure("rated_speed");
        let (mut low, mut high) = (-1.2, 1.2);
        for _ in 0..80 {
            bench.site.unknowns[3] = 0.5 * (low + high);
            if bench.say().unknown[3] < 0.0 {
                low = bench.site.unknowns[3];
            } else {
                high = bench.site.unknowns[3];
            }
        }
        let advance = bench.site.unknowns[3];
        (bench.inner("demand"), bench.inner("boat_speed") / bench.figure("rated_boat_speed"), advance)
    }

    #[test]
    fn at_design_pitch_it_is_a_propeller_of_fixed_pitch() {
        let (demand, way, advance) = at_pitch(1.0);
        near(demand, 1.0, 1e-6, "its own design");
        near(way, 1.0, 1e-3, "its own design");
        // [Carlton4] ch. 3: real slip is 1 - J / (P/D).
        near(1.0 - advance / 0.75, 0.4, 1e-6, "real slip");
    }

    #[test]
    fn power_rises_with_pitch_and_way_with_it_but_less() {
        let mut before = at_pitch(0.0);
        // From memory: with the blades at no pitch a propeller takes an eighth to a quarter of its power at the same turns.
        assert!((0.1..0.27).contains(&before.0) && before.1.abs() < 0.02, "{before:?}");
        for tenths in 1..=13 {
            let now = at_pitch(f64::from(tenths) / 10.0);
            assert!(now.0 > before.0 && now.1 > before.1, "{tenths}: {before:?} then {now:?}");
            before = now;
        }
        // [Carlton4] ch. 17, cubic: a propeller that is alike at each pitch would take v³; a finer one is worse, not better.
        let half = at_pitch(0.5);
        assert!(half.0 > half.1.powi(3), "{half:?}");
    }

    #[test]
    fn astern_it_is_the_same_turned_round() {
        let (ahead, astern) = (at_pitch(0.6), at_pitch(-0.6));
        near(astern.0, ahead.0, 1e-3, "mirrored");
        near(astern.1, -ahead.1, 1e-3, "mirrored");
    }
}
