//! Centrifugal pump: a free-running impeller driven by the engine, a belt or a motor shaft; raw or fresh water.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::rotodynamic::{Curve, gap};
use physics::number::Number;

crate::parameters! {
    /// Pump turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.1..=10.0, 1.5, exact, "common practice, no source";
    /// Rated speed of the pump [rad/s].
    rated_speed: RotationalSpeed, 5.0..=1000.0, 282.7 * speed ^ 1.0, exact, "common practice, no source";
    /// Pressure it makes against a shut valve at rated speed [Pa].
    shutoff: PressureDifference, 5_000.0..=1e6, 120_000.0, within 1.5, "from memory";
    /// Flow at which half of that is left [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 1.2 * power ^ 1.0 * coolant 1.7, within 1.35, "[Trade] 2.1 flow for each kW, 2.2 coolant flow";
    /// Share of its head a sound impeller still makes [1].
    impeller: Ratio, 0.0..=1.2, 1.0, within 1.08 each, "from memory";
    /// Passage left free by weed, shell or rag, as a resistance: 1 when clear [1].
    obstruction: Ratio, 1.0..=1e8, 1.0, exact, "common practice, no source";
    /// Share of full prime [1].
    prime: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Height from the sea's opening to where its water ends; 0 in a coolant circuit [m].
    lift: Length, 0.0..=20.0, 0.8 * coolant 0.0, exact, "[Trade] 2.5 height of the injection";
    /// Share of the drive's turns that reach the impeller [1].
    coupling: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// What to do when it moves nothing.
const NO_WATER: &str = "Slow to idle, out of gear, and look for water at the outlet. None within half a minute: stop, if \
    stopping does not put her in danger.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "centrifugal-pump",
    title: "Centrifugal pump",
    called: &["pump"],
    places: &[
        along(Circuit::RawWater, Station::Pump, Role::IfTold),
        along(Circuit::FreshWater, Station::Pump, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"),
            Stroke::Line("M9 2.4L36 18L9 33.6"),
            Stroke::Solid("M15 18A3 3 0 1 1 21 18A3 3 0 1 1 15 18Z"),
        ],
        ways: &[way((0.0, 18.0), (36.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::RawWater, Circuit::FreshWater], "in", "out").that("is driven on by")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::DriverSpeed, Link::Upstream("air")],
    laws: both::<CentrifugalPump>(),
    causes: &[
        Cause {
            name: "air_bound",
            title: "centrifugal pump air-bound: it has lost its prime",
            moves: &[Move { on: Whose::Own, parameter: "prime", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("air at the bleed", 0.7), says("runs light", 0.4), says("casing hot", 0.35)],
            misreads: None,
            rate: "centrifugal-pump-air-bound",
            remedy: "bleed the pump until water runs without air, and find where the air came from",
        },
        Cause {
            name: "worn",
            title: "impeller or wear rings of the centrifugal pump worn or eaten away",
            moves: &[Move { on: Whose::Own, parameter: "impeller", by: By::Factor(0.2) }],
            severity: Severity::Even,
            says: &[says("rattles like gravel", 0.15)],
            misreads: None,
            rate: "centrifugal-pump-worn",
            remedy: "renew impeller and wear rings",
        },
        Cause {
            name: "obstructed",
            title: "weed, shell or rag in the impeller of the centrifugal pump",
            moves: &[
                Move { on: Whose::Own, parameter: "obstruction", by: By::Blocked },
                Move { on: Whose::Own, parameter: "impeller", by: By::Factor(0.5) },
            ],
            severity: Severity::Even,
            says: &[says("shakes", 0.4)],
            misreads: None,
            rate: "centrifugal-pump-obstructed",
            remedy: "clear the impeller",
        },
        Cause {
            name: "drive_broken",
            title: "drive of the centrifugal pump broken",
            moves: &[Move { on: Whose::Own, parameter: "coupling", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("not turning", 0.5)],
            misreads: None,
            rate: "raw-pump-drive-broken",
            remedy: "renew the drive of the pump",
        },
        Cause {
            name: "seal_weeps",
            title: "shaft seal of the centrifugal pump weeps, or draws air under suction",
            moves: &[],
            severity: Severity::MostlySlight,
            says: &[says("drips at the seal", 0.85), says("air at the bleed", 0.2)],
            misreads: None,
            rate: "raw-pump-seal-weeps",
            remedy: "renew the seal of the pump",
        },
    ],
    words: &[
        said("air at the bleed", 0.05, 0.2, "air"),
        said("runs light", 0.03, 0.4, "pump-noise"),
        said("rattles like gravel", 0.03, 0.4, "pump-noise"),
        said("shakes", 0.03, 0.35, "pump-noise"),
        said("drips at the seal", 0.05, 0.25, "pump-leak"),
        Word {
            name: "casing hot",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.3,
            group: "dry",
            danger: Some(NO_WATER),
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
    ],
    checks: &[
        Check {
            name: "bleed",
            title: "Open the bleed on top of the casing until water runs without air: does the flow come back?",
            minutes: 3.0,
            state: State::Idling,
            tool: Some("spanner, rag"),
            caution: "On a coolant pump only from cold: it spits hot. Clear of belt and coupling.",
            finds: &[Find { cause: "air_bound", power: "bucket" }],
        },
        Check {
            name: "suction_and_delivery",
            title: "Read the pressure before and after it at a known speed, and once against a nearly shut valve",
            minutes: 5.0,
            state: State::Running,
            tool: Some("pressure gauge at taps"),
            caution: "Never more than a minute against a shut valve: the casing boils.",
            finds: &[
                Find { cause: "worn", power: "vacuum-and-pressure" },
                Find { cause: "obstructed", power: "vacuum-and-pressure" },
                Find { cause: "air_bound", power: "vacuum-and-pressure" },
                Find { cause: "drive_broken", power: "vacuum-and-pressure" },
            ],
        },
        Check {
            name: "look_at_drive_and_seal",
            title: "Look at belt, coupling and seal: does the shaft turn, does it drip?",
            minutes: 2.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Hair, cuffs and cloth away from belt and coupling.",
            finds: &[
                Find { cause: "drive_broken", power: "visual-general" },
                Find { cause: "seal_weeps", power: "round-walk" },
            ],
        },
        Check {
            name: "casing_off",
            title: "Casing off: look at impeller, eye and wear rings",
            minutes: 60.0,
            state: State::StoppedAndShut,
            tool: Some("spanners, gasket"),
            caution: "Valves on both sides shut and start isolated first; the casing may lie below the waterline.",
            finds: &[
                Find { cause: "worn", power: "visual-engine-parts" },
                Find { cause: "obstructed", power: "visual-general" },
                Find { cause: "drive_broken", power: "visual-general" },
            ],
        },
    ],
    walls: &[wall("the shaft seal", "water", Beyond::Space, &["seal_weeps"])],
    limits: &[],
    margins: &[LIFT],
};

/// Its laws.
struct CentrifugalPump;

impl Law for CentrifugalPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let pump = Curve {
            shutoff: p.shutoff,
            rated_flow: p.rated_flow,
            impeller: p.impeller,
            obstruction: p.obstruction,
            prime: p.prime,
            lift: p.lift,
        };
        let share = at.links[0] * p.drive_ratio * p.coupling / p.rated_speed;
        say.gap[0] = gap(at, &pump, share, at.links[1]);
        say.storage[0] = p.rated_flow * 4_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn slowed_down_it_delivers_what_the_affinity_laws_print() {
        // [Crane410] example 7.33: 400 gal/min at 126 ft and 3500 rpm become 194.3 gal/min at 29.7 ft and 1700 rpm.
        let (gallons, foot) = (6.309e-5 * 1_000.0, 2_989.07);
        let mut bench = Bench::of(&KIND)
            .with("lift", 0.0)
            .with("rated_flow", 400.0 * gallons)
            .with("shutoff", 2.0 * 126.0 * foot)
            .with("drive_ratio", 1.0)
            .with("rated_speed", 3500.0);
        bench.site.inlet_pressure[0] = 2e5;
        bench.site.links[0] = 3500.0;
        near(bench.flow_at(0, -126.0 * foot), 400.0 * gallons, 0.001, "its own point");
        bench.site.links[0] = 1700.0;
        near(bench.flow_at(0, -29.7 * foot), 194.3 * gallons, 0.004, "[Crane410] example 7.33");
    }

    #[test]
    fn in_air_it_makes_no_head() {
        let mut bench = Bench::of(&KIND);
        bench.site.links[0] = REFERENCE_SPEED;
        let sound = bench.flow_at(0, -5e4);
        bench.site.links[1] = 0.3;
        assert!(sound > 0.1 && bench.flow_at(0, -5e4) < 0.01, "with air it cannot lift what it delivered against");
    }
}
