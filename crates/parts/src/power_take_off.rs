//! Power take-off: a clutch on the engine from which pumps, alternators and hydraulics are turned; in or out by its lever.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Its turns for each turn of what drives it [1].
    ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// How far its lever is in: 0 out, 1 in [1].
    engaged: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Share of turns lost in a clutch that slips [1].
    slip: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Share of the power passing through that it rubs away [1].
    loss: Ratio, 0.002..=0.3, 0.03, within 1.6, "from memory";
    /// Conductance from its case to the engine space [W/K].
    case_conductance: ThermalConductance, 0.5..=200.0, 4.0 * power ^ 0.5, within 1.6, "from memory";
}

/// What to do with a clutch that slips.
const SLIPS: &str = "Take the load off what it drives, or its lever out at idle: a clutch that slips burns. Do not engage it again \
    above idle.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "power-take-off",
    title: "Power take-off",
    called: &["pto", "take-off", "power-takeoff", "clutch-pulley"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (44.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 4H18V32H0Z"),
            Stroke::Outline("M26 4H44V32H26Z"),
            Stroke::Line("M18 18H20M24 18H26M20 8V28M24 8V28"),
        ],
        ways: &[],
        link: way((0.0, 18.0), (44.0, 18.0)),
        position: Some("engaged"),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown {
            name: "speed",
            quantity: Quantity::RotationalSpeed,
            start: 150.0,
            size: 10.0,
            bounds: (-1.0, 3_000.0),
        },
        Unknown { name: "taken", quantity: Quantity::Power, start: 50.0, size: 100.0, bounds: (-1e6, 1e7) },
        Unknown {
            name: "temperature",
            quantity: Quantity::Temperature,
            start: 310.0,
            size: 5.0,
            bounds: (200.0, 5_000.0),
        },
    ],
    links: &[Link::DriverSpeed, Link::Turned("taken"), Link::All("space_temperature")],
    laws: both::<PowerTakeOff>(),
    causes: &[
        Cause {
            name: "slips",
            title: "clutch of the power take-off slips",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Towards(0.7) }],
            severity: Severity::Even,
            says: &[says("smells burnt", 0.6), says("slow to take up", 0.4)],
            misreads: None,
            rate: "power-take-off-slips",
            remedy: "set or renew its clutch",
        },
        Cause {
            name: "bearing_worn",
            title: "bearing of the power take-off worn",
            moves: &[Move { on: Whose::Own, parameter: "loss", by: By::Factor(4.0) }],
            severity: Severity::Even,
            says: &[says("rumbles", 0.7), says("turns when out", 0.3)],
            misreads: None,
            rate: "power-take-off-bearing-worn",
            remedy: "renew the bearing",
        },
        Cause {
            name: "does_not_engage",
            title: "lever or linkage of the power take-off: it does not engage",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Towards(1.0) }],
            severity: Severity::Whole,
            says: &[says("stands with its lever in", 0.85)],
            misreads: None,
            rate: "power-take-off-linkage",
            remedy: "free and set its linkage",
        },
    ],
    words: &[
        Word {
            name: "turns too slowly",
            of: Of::Share { probe: Probe::Unknown(0), midpoint: 0.9, spread: 0.05, when: When::Low },
            false_said: 0.02,
            miss: 0.3,
            group: "take-off",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hot to the touch",
            of: Of::Found { probe: Probe::Unknown(2), midpoint: 335.0, spread: 6.0, when: When::High },
            false_said: 0.03,
            miss: 0.25,
            group: "bearings",
            danger: Some(SLIPS),
            source: "from memory",
        },
        Word { danger: Some(SLIPS), ..said("smells burnt", 0.02, 0.25, "take-off") },
        said("slow to take up", 0.05, 0.3, "take-off"),
        said("rumbles", 0.04, 0.3, "take-off-noise"),
        said("turns when out", 0.03, 0.3, "take-off"),
        said("stands with its lever in", 0.005, 0.1, "take-off"),
    ],
    checks: &[
        Check {
            name: "speed",
            title: "Measure its speed and compare with engine speed over its ratio",
            minutes: 5.0,
            state: State::Running,
            tool: Some("optical speed meter, reflective tape"),
            caution: "Tape on with the engine stopped; stand out of the plane of belt and pulley.",
            finds: &[
                Find { cause: "slips", power: "second-gauge" },
                Find { cause: "does_not_engage", power: "valve-status-seen" },
            ],
        },
        Check {
            name: "work_the_lever",
            title: "Engine stopped: work its lever through both stops and feel where the clutch bites",
            minutes: 5.0,
            state: State::Stopped,
            tool: None,
            caution: "Key out, start isolated: what it drives may move as it bites.",
            finds: &[
                Find { cause: "does_not_engage", power: "valve-status-seen" },
                Find { cause: "slips", power: "visual-general" },
            ],
        },
        Check {
            name: "listen",
            title: "Listen at its bearing with a rod, lever in and out",
            minutes: 5.0,
            state: State::Idling,
            tool: Some("rod or stethoscope"),
            caution: "Rod on the fixed case only, well clear of belt, pulley and shaft.",
            finds: &[Find { cause: "bearing_worn", power: "stethoscope" }],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::Unknown(2),
        value: 373.15,
        when: When::High,
        running_only: true,
        act: SLIPS,
        source: "from memory: 100 °C at the case of a clutch",
    }],
    margins: &[],
};

/// Its laws.
struct PowerTakeOff;

impl Law for PowerTakeOff {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let holds = p.engaged * (-p.slip + 1.0);
        say.unknown[0] = at.unknowns[0] - at.links[0] * p.ratio * holds;
        // Torque is the same on both sides of a clutch that slips: what turns are lost is heat, and the engine gives it.
        let slipping = (p.engaged - holds) / (holds + LEAST);
        let lost = at.links[1] * (p.loss + slipping * p.engaged);
        say.unknown[1] = at.unknowns[1] - lost;
        say.unknown[2] = at.unknowns[2] - at.room(2) - lost / p.case_conductance;
    }
}

/// Least share of turns that heat is reckoned over [1].
const LEAST: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn in_it_passes_turns_on_and_out_it_takes_nothing() {
        let mut bench = Bench::of(&KIND).with("ratio", 1.5);
        (bench.site.links[0], bench.site.links[1]) = (150.0, 5e3);
        near(bench.inner("speed"), 225.0, 1e-12, "its ratio");
        near(bench.inner("taken"), 5e3 * bench.figure("loss"), 1e-9, "its own loss, and what it drives counts itself");
        let mut out = bench.clone().with("engaged", 0.0);
        out.site.links[1] = 0.0;
        assert!(out.inner("speed") == 0.0 && out.inner("taken") == 0.0);
        // First law with half the turns lost: as much again as is passed on is heat.
        let slips = bench.with("slip", 0.5);
        near(slips.inner("taken"), 5e3 * (0.5 / 0.55 + slips.figure("loss")), 1e-9, "torque times the turns lost");
    }
}
