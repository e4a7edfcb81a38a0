//! Raw-water pump: flexible impeller, driven by the engine or a belt.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::step;

crate::parameters! {
    /// Pump turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Water moved a radian of pump turn with a sound impeller and no pressure [m³/rad].
    displacement: Volume, 1e-8..=1e-2, 6.0e-6 * power ^ 1.0 * speed ^ -1.0, within 1.35, "[Trade] 2.1 flow for each kW";
    /// Pressure at which a sound impeller slips all it moves, at rated speed [Pa].
    shutoff: PressureDifference, 20_000.0..=1e6, 250_000.0, within 1.4, "from memory";
    /// Rated speed of the pump [rad/s].
    rated_speed: RotationalSpeed, 5.0..=700.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
    /// Share of the vanes' sweep that still moves water [1].
    impeller: Ratio, 0.0..=1.2, 1.0, within 1.08 each, "from memory";
    /// How far the vanes and plates still seal [1].
    sealing: Ratio, 0.0..=1.5, 1.0, within 1.2 each, "from memory";
    /// Share of full prime [1].
    prime: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Share of the drive's turns that reach the impeller [1].
    coupling: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// Within this of vapour pressure the suction fills the pump less and less [Pa].
const CAVITATION_WIDTH: f64 = 4_000.0;
/// Suction below this draws no water whatever: the deepest vacuum a flexible impeller holds [Pa over vapour].
const LIFT_FLOOR: f64 = 15_000.0;
/// A pump that stands still seals so many times better than one that turns, whose vanes lift at the cam (from memory).
const SHUT: f64 = 40.0;
/// Speed at which it counts as turning [rad/s].
const TURNING: f64 = 8.0;
/// Least sealing, so that a wrecked pump still has a finite slope [1].
const LEAST_SEALING: f64 = 0.02;

/// What to do when the pump moves nothing.
const NO_WATER: &str = "Slow to idle, out of gear, and look for water at the outlet. None within half a \
    minute: stop, if stopping does not put her in danger.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "raw-pump",
    title: "Raw-water pump",
    called: &[
        "raw-water-pump",
        "sea-water-pump",
        "seawater-pump",
        "impeller-pump",
        "water-pump",
        "cooling-pump",
        "pump",
    ],
    places: &[along(Circuit::RawWater, Station::Pump, Role::Needed)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"), Stroke::Solid("M36 18L9 33.6V2.4Z")],
        ways: &[way((0.0, 18.0), (36.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::RawWater], "in", "out").that("is drawn in and pressed on by")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::DriverSpeed, Link::Upstream("air")],
    laws: both::<RawPump>(),
    causes: &[
        // The pieces go downstream and lie on the next tube face.
        Cause {
            name: "vanes_lost",
            title: "raw-water impeller has lost vanes",
            moves: &[
                Move { on: Whose::Own, parameter: "impeller", by: By::Lost },
                Move { on: Whose::Own, parameter: "sealing", by: By::Factor(0.3) },
                Move {
                    on: Whose::Downstream(&["gear-cooler", "oil-cooler", "exchanger", "plate-exchanger"]),
                    parameter: "rated_cold_drop",
                    by: By::Factor(1.6),
                },
            ],
            severity: Severity::Even,
            says: &[
                says("rubber bits in the water", 0.15),
                says("hot to the touch", 0.15),
                says_of("diesel", "smell of hot rubber", 0.25),
                says_of("outlet", "flow pulsing", 0.2),
            ],
            misreads: None,
            rate: "impeller-vanes-lost",
            remedy: "renew the impeller and find every piece",
        },
        Cause {
            name: "worn",
            title: "raw-water impeller worn or its vanes set",
            moves: &[
                Move { on: Whose::Own, parameter: "sealing", by: By::Factor(0.12) },
                Move { on: Whose::Own, parameter: "impeller", by: By::Factor(0.5) },
            ],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "impeller-worn",
            remedy: "renew the impeller",
        },
        Cause {
            name: "wear_plate_failed",
            title: "wear plate or cam of the raw-water pump broken or scored",
            moves: &[
                Move { on: Whose::Own, parameter: "sealing", by: By::Factor(0.03) },
                Move { on: Whose::Own, parameter: "prime", by: By::Factor(0.015) },
            ],
            severity: Severity::MostlyBad,
            says: &[says("grinds", 0.3), says("hot to the touch", 0.3), says_of("diesel", "smell of hot rubber", 0.3)],
            misreads: None,
            rate: "raw-pump-wear-plate-failed",
            remedy: "renew the wear plate",
        },
        Cause {
            name: "drive_broken",
            title: "drive of the raw-water pump broken",
            moves: &[Move { on: Whose::Own, parameter: "coupling", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("not turning", 0.4), says_of("diesel", "smell of hot rubber", 0.4)],
            misreads: None,
            rate: "raw-pump-drive-broken",
            remedy: "renew the drive of the pump",
        },
        Cause {
            name: "not_primed",
            title: "raw-water pump not primed: air-locked",
            moves: &[Move { on: Whose::Own, parameter: "prime", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[
                says("hot to the touch", 0.45),
                says("squeals", 0.25),
                says_of("strainer", "bowl empty", 0.35),
                says_of("diesel", "smell of hot rubber", 0.4),
                says_of("outlet", "flow pulsing", 0.25),
            ],
            misreads: None,
            rate: "raw-pump-not-primed",
            remedy: "fill the suction and prime the pump",
        },
        Cause {
            name: "seal_weeps",
            title: "shaft seal of the raw-water pump weeps",
            moves: &[],
            severity: Severity::MostlySlight,
            says: &[says("drips at the weep hole", 0.85), says("salt crust", 0.55)],
            misreads: None,
            rate: "raw-pump-seal-weeps",
            remedy: "renew the seal of the pump",
        },
        // A dry weep hole does not clear it: the hole may be crusted shut.
        Cause {
            name: "seals_pass_to_oil",
            title: "both seals of the raw-water pump pass sea water into the engine oil",
            moves: &[Move { on: Whose::Kind("sump"), parameter: "level", by: By::Add(0.4) }],
            severity: Severity::Even,
            says: &[
                says_of("sump", "milky", 0.8),
                says_of("sump", "level rising", 0.6),
                says("drips at the weep hole", 0.4),
                says("salt crust", 0.3),
            ],
            misreads: None,
            rate: "sea-water-in-oil-raw-pump-seal",
            remedy: "renew both seals, then flush and change the oil",
        },
    ],
    words: &[
        Word {
            name: "drips at the weep hole",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.25,
            group: "pump-leak",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "salt crust",
            of: Of::Cause,
            false_said: 0.1,
            miss: 0.3,
            group: "pump-leak",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "not turning",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.3,
            group: "pump-drive",
            danger: Some(NO_WATER),
            source: "from memory",
        },
        Word {
            name: "hot to the touch",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.3,
            group: "dry",
            danger: Some(NO_WATER),
            source: "from memory",
        },
        Word {
            name: "squeals",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.3,
            group: "pump-noise",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "grinds",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.4,
            group: "pump-noise",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "rubber bits in the water",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.4,
            group: "pump-pieces",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "suction_and_delivery",
            title: "Read the vacuum before the pump and the pressure after it, at a known speed",
            minutes: 3.0,
            state: State::Running,
            tool: Some("vacuum and pressure gauge at taps"),
            caution: "Shut the taps again: an open suction tap draws air.",
            finds: &[
                Find { cause: "vanes_lost", power: "vacuum-and-pressure" },
                Find { cause: "worn", power: "vacuum-and-pressure" },
                Find { cause: "wear_plate_failed", power: "vacuum-and-pressure" },
                Find { cause: "drive_broken", power: "vacuum-and-pressure" },
                Find { cause: "not_primed", power: "vacuum-and-pressure" },
            ],
        },
        Check {
            name: "look_below",
            title: "Look and feel under the pump for drips, salt and rubber",
            minutes: 2.0,
            state: State::Running,
            tool: Some("torch, mirror"),
            caution: "Hair, cuffs and cloth away from belt and pulley.",
            finds: &[
                Find { cause: "seal_weeps", power: "round-walk" },
                Find { cause: "seals_pass_to_oil", power: "visual-engine-parts" },
            ],
        },
        Check {
            name: "cover_off",
            title: "Cover off: look at the face of the impeller and at the plates",
            minutes: 20.0,
            state: State::StoppedAndShut,
            tool: Some("screwdriver, gasket"),
            caution: "Seacock shut and start isolated before the cover comes off; a good face hides a \
                      cracked root.",
            finds: &[
                Find { cause: "vanes_lost", power: "impeller-cover" },
                Find { cause: "worn", power: "visual-engine-parts" },
                Find { cause: "wear_plate_failed", power: "visual-general" },
            ],
        },
        Check {
            name: "impeller_out",
            title: "Impeller out: bend and count every vane, look at shaft, key, cam and both plates",
            minutes: 30.0,
            state: State::StoppedAndShut,
            tool: Some("puller, screwdriver, gasket, spare impeller"),
            caution: "Seacock shut; count the pieces, and what is missing lies in the next cooler.",
            finds: &[
                Find { cause: "vanes_lost", power: "impeller-out" },
                Find { cause: "worn", power: "visual-engine-parts" },
                Find { cause: "wear_plate_failed", power: "visual-general" },
                Find { cause: "drive_broken", power: "visual-general" },
            ],
        },
        Check {
            name: "does_it_turn",
            title: "Cover off, have the engine turned by hand or a short touch of the starter: does the \
                      impeller turn?",
            minutes: 15.0,
            state: State::StoppedAndShut,
            tool: Some("screwdriver, helper"),
            caution: "Seacock shut, stop control pulled so that it cannot fire, fingers out of the pump; \
                      cranking only for a second or two.",
            finds: &[
                Find { cause: "drive_broken", power: "valve-status-seen" },
                Find { cause: "belt/lost", power: "valve-status-seen" },
                Find { cause: "belt/stripped", power: "valve-status-seen" },
            ],
        },
        Check {
            name: "suction_from_bucket",
            title: "Lead the pump's suction hose into a bucket of clean water and run at idle: does it \
                      draw well?",
            minutes: 15.0,
            state: State::StoppedAndShut,
            tool: Some("bucket, spare hose"),
            caution: "Seacock shut first; keep the bucket filled, the pump must not run dry for half a \
                      minute.",
            finds: &[
                Find { cause: "intake/blocked", power: "bucket" },
                Find { cause: "sea-chest/grating_clogged", power: "bucket" },
                Find { cause: "sea-chest/vent_shut", power: "bucket" },
                Find { cause: "duplex-strainer/blocked", power: "bucket" },
                Find { cause: "duplex-strainer/lid_draws_air", power: "bucket" },
                Find { cause: "valve/left_shut", power: "bucket" },
                Find { cause: "valve/part_shut", power: "bucket" },
                Find { cause: "strainer/blocked", power: "bucket" },
                Find { cause: "strainer/lid_draws_air", power: "bucket" },
                Find { cause: "hose/fitting_restricted", power: "bucket" },
            ],
        },
        Check {
            name: "prime",
            title: "Fill strainer and suction with water, close up, start, and see whether the pump \
                      takes it",
            minutes: 10.0,
            state: State::StoppedAndShut,
            tool: Some("bucket, funnel"),
            caution: "Stop after half a minute without water: the impeller burns on its plates.",
            finds: &[Find { cause: "not_primed", power: "bucket" }],
        },
        Check {
            name: "oil_for_salt",
            title: "Have the engine oil looked at for sodium and water",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("sample bottle"),
            caution: "Do not run an engine with milky oil to fetch the sample.",
            finds: &[Find { cause: "seals_pass_to_oil", power: "oil-lab-coolant" }],
        },
    ],
    walls: &[
        wall("the shaft seal", "water", Beyond::Space, &["seal_weeps"]),
        wall("both shaft seals, where the engine drives it", "water", Beyond::Crankcase, &["seals_pass_to_oil"]),
    ],
    limits: &[],
    margins: &[LIFT],
};

/// Its laws.
struct RawPump;

impl Law for RawPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let speed = at.links[0] * p.drive_ratio * p.coupling;
        let water = at.contents[0].density(at.inlet_temperature[0]);
        let vapour = at.vapour_pressure(0);
        let fill = step(at.inlet_pressure[0] - vapour - LIFT_FLOOR, CAVITATION_WIDTH);
        let sealing = p.sealing + LEAST_SEALING;
        let swept = water * p.displacement * speed * p.impeller * p.prime * fill * (-at.links[1] + 1.0);
        // Finite shut-off: what slips back grows with pressure and falls with sealing.
        let slip = p.shutoff * sealing / (water * p.displacement * p.rated_speed);
        let still = (-(speed / TURNING * speed / TURNING)).exp() * p.impeller;
        at.drop(say, 0, (at.flow[0] - swept) * slip * (still * SHUT + 1.0));
    }
}
