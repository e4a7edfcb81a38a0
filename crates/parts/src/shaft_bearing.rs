//! Shaft bearing: carries the shaft between engine and stern in its own grease or oil.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::shaft::{DRAG, HOT, SHAFT_POWER, SHAFT_SPEED, passes_on, rubbed};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Power it rubs away at rated speed when it is sound [W].
    friction: Power, 1.0..=20_000.0, 60.0 * power ^ 0.5, within 2.0, "from memory";
    /// Shaft speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 5.0..=700.0, 75.4 * speed ^ 1.0, exact, "common practice, no source";
    /// What it rubs over sound [1].
    roughness: Ratio, 0.2..=100.0, 1.0, within 1.1, "from memory";
    /// Conductance from its housing to the engine space and its seat [W/K].
    housing_conductance: ThermalConductance, 0.1..=500.0, 5.0 * power ^ 0.33, within 1.6, "from memory";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "shaft-bearing",
    title: "Shaft bearing",
    called: &["plummer-block", "intermediate-bearing", "intermediate-shaft-bearing", "pillow-block"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (36.0, 32.0),
        strokes: &[
            Stroke::Line("M0 16H36"),
            Stroke::Outline("M6 6H30V26H6Z"),
            Stroke::Line("M6 11H30M6 21H30M2 26H34V32H2V26"),
        ],
        ways: &[],
        link: way((0.0, 16.0), (36.0, 16.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        SHAFT_SPEED,
        SHAFT_POWER,
        DRAG,
        Unknown {
            name: "temperature",
            quantity: Quantity::Temperature,
            start: 310.0,
            size: 5.0,
            bounds: (200.0, 5_000.0),
        },
    ],
    links: &[Link::Shaft("shaft_speed"), Link::Shaft("shaft_power"), Link::All("space_temperature")],
    laws: both::<ShaftBearing>(),
    causes: &[
        Cause {
            name: "dry",
            title: "shaft bearing short of grease or oil",
            moves: &[Move { on: Whose::Own, parameter: "roughness", by: By::Factor(9.0) }],
            severity: Severity::MostlySlight,
            says: &[says("squeals", 0.35), says("smells hot", 0.4), says("dry of grease", 0.7)],
            misreads: None,
            rate: "shaft-line-bearing-dry",
            remedy: "grease or fill it as its maker says",
        },
        Cause {
            name: "worn",
            title: "shaft bearing worn or its race pitted",
            moves: &[Move { on: Whose::Own, parameter: "roughness", by: By::Factor(3.0) }],
            severity: Severity::Even,
            says: &[says("rumbles", 0.7), says("shaft moves in it", 0.6), says_of("propeller", "vibrates", 0.4)],
            misreads: None,
            rate: "shaft-line-bearing-worn",
            remedy: "renew the bearing, then align",
        },
        Cause {
            name: "out_of_line",
            title: "shaft bearing carries a shaft that is out of line",
            moves: &[Move { on: Whose::Own, parameter: "roughness", by: By::Factor(5.0) }],
            severity: Severity::Even,
            says: &[says("smells hot", 0.2), says_of("propeller", "vibrates", 0.5)],
            misreads: None,
            rate: "shaft-misaligned",
            remedy: "align engine and bearings, afloat",
        },
    ],
    words: &[
        Word {
            name: "hot to the touch",
            of: Of::Found { probe: Probe::Unknown(3), midpoint: 328.0, spread: 5.0, when: When::High },
            false_said: 0.03,
            miss: 0.2,
            group: "bearings",
            danger: Some(HOT),
            source: "from memory",
        },
        said("squeals", 0.02, 0.25, "shaft-noise"),
        said("rumbles", 0.04, 0.35, "shaft-noise"),
        said("smells hot", 0.03, 0.35, "bearings"),
        said("dry of grease", 0.04, 0.3, "bearings"),
        said("shaft moves in it", 0.03, 0.4, "bearings"),
    ],
    checks: &[
        Check {
            name: "infrared",
            title: "Measure the housing, on paint or tape, and set it against the engine space",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer, tape"),
            caution: "The shaft turns beside your hand: tape on with it stopped, no sleeve, hair or cord near it.",
            finds: &[
                Find { cause: "dry", power: "ir-painted" },
                Find { cause: "worn", power: "ir-painted" },
                Find { cause: "out_of_line", power: "ir-painted" },
            ],
        },
        Check {
            name: "listen",
            title: "Listen at the housing with a rod, at three speeds",
            minutes: 5.0,
            state: State::Running,
            tool: Some("rod or stethoscope"),
            caution: "Rod against the fixed housing only, held so that it cannot be drawn in; hair and sleeves tied back.",
            finds: &[Find { cause: "worn", power: "stethoscope" }],
        },
        Check {
            name: "lift",
            title: "Lift the shaft by a lever beside the bearing, and look at its grease",
            minutes: 15.0,
            state: State::StoppedCold,
            tool: Some("lever, dial gauge, cloth"),
            caution: "Key out and the shaft blocked: it may turn with the stream.",
            finds: &[Find { cause: "worn", power: "shaft-lift" }, Find { cause: "dry", power: "visual-general" }],
        },
        Check {
            name: "gaps",
            title: "Slack the coupling, afloat, and measure its gap at four points",
            minutes: 45.0,
            state: State::StoppedCold,
            tool: Some("feelers, spanner"),
            caution: "Afloat and in trim; make sure that the shaft cannot slide aft out of the gland.",
            finds: &[Find { cause: "out_of_line", power: "coupling-gaps" }],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::Unknown(3),
        value: 353.15,
        when: When::High,
        running_only: true,
        act: HOT,
        source: "from memory: 80 °C, where grease runs out",
    }],
    margins: &[],
};

/// Its laws.
struct ShaftBearing;

impl Law for ShaftBearing {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let drag = p.friction * p.roughness * rubbed(at.links[0], p.rated_speed);
        passes_on(at, say, drag);
        say.unknown[3] = at.unknowns[3] - at.room(2) - drag / p.housing_conductance;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD, near};

    #[test]
    fn what_it_rubs_away_is_missing_behind_it_and_warms_it() {
        let mut bench = Bench::of(&KIND);
        (bench.site.links[0], bench.site.links[1]) = (bench.figure("rated_speed"), 40e3);
        let drag = bench.inner("drag");
        near(bench.inner("shaft_power"), 40e3 - drag, 1e-12, "first law");
        near(drag, bench.figure("friction"), 1e-9, "its own figure");
        // [Incropera6] eq. 1.8: q = UA ΔT, to a space as warm as outside while the engine stands.
        near(bench.inner("temperature") - MILD, drag / bench.figure("housing_conductance"), 1e-9, "q = UA ΔT");
        let mut half = bench.clone();
        half.site.links[0] *= 0.5;
        near(half.inner("drag"), drag / 4.0, 1e-9, "a film's torque with its speed, power with the square");
    }
}
