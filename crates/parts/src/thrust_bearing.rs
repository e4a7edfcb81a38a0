//! Thrust bearing: takes the push of the propeller where the gearbox does not.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::shaft::{DRAG, HOT, SHAFT_POWER, SHAFT_SPEED, passes_on};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::magnitude;

crate::parameters! {
    /// Share of the power passing it that it rubs away when it is sound [1].
    loss: Ratio, 0.0005..=0.05, 0.004, within 1.8, "from memory";
    /// What it rubs over sound [1].
    roughness: Ratio, 0.2..=100.0, 1.0, within 1.1, "from memory";
    /// Conductance from its housing to the engine space and its seat [W/K].
    housing_conductance: ThermalConductance, 0.1..=500.0, 14.0 * power ^ 0.67, within 1.6, "from memory";
}

/// Power under which it counts as running light [W].
const LIGHT: f64 = 50.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "thrust-bearing",
    title: "Thrust bearing",
    called: &["thrust-block"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (40.0, 36.0),
        strokes: &[
            Stroke::Line("M0 18H40"),
            Stroke::Outline("M6 6H34V30H6Z"),
            Stroke::Line("M20 10V26M12 14L18 18L12 22M28 14L22 18L28 22M2 30H38V36H2V30"),
        ],
        ways: &[],
        link: way((0.0, 18.0), (40.0, 18.0)),
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
            start: 315.0,
            size: 5.0,
            bounds: (200.0, 5_000.0),
        },
    ],
    links: &[Link::Shaft("shaft_speed"), Link::Shaft("shaft_power"), Link::All("space_temperature")],
    laws: both::<ThrustBearing>(),
    causes: &[
        Cause {
            name: "dry",
            title: "thrust bearing short of oil or grease",
            moves: &[Move { on: Whose::Own, parameter: "roughness", by: By::Factor(6.0) }],
            severity: Severity::MostlySlight,
            says: &[says("smells hot", 0.5), says("oil low", 0.7)],
            misreads: None,
            rate: "thrust-bearing-dry",
            remedy: "fill it to its mark and find where the oil went",
        },
        Cause {
            name: "worn",
            title: "thrust bearing worn: the shaft moves fore and aft",
            moves: &[Move { on: Whose::Own, parameter: "roughness", by: By::Factor(3.0) }],
            severity: Severity::Even,
            says: &[
                says("shaft moves fore and aft", 0.75),
                says("rumbles", 0.5),
                says_of("propeller", "thumps when shifting", 0.5),
            ],
            misreads: None,
            rate: "thrust-bearing-worn",
            remedy: "renew the thrust bearing before the gear takes the thrust",
        },
    ],
    words: &[
        Word {
            name: "hot to the touch",
            of: Of::Found { probe: Probe::Unknown(3), midpoint: 333.0, spread: 6.0, when: When::High },
            false_said: 0.03,
            miss: 0.2,
            group: "bearings",
            danger: Some(HOT),
            source: "from memory",
        },
        said("smells hot", 0.03, 0.35, "bearings"),
        said("oil low", 0.05, 0.3, "bearings"),
        said("rumbles", 0.04, 0.35, "shaft-noise"),
        said("shaft moves fore and aft", 0.02, 0.3, "bearings"),
    ],
    checks: &[
        Check {
            name: "infrared",
            title: "Measure the housing, on paint or tape, under way at cruise",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer, tape"),
            caution: "Tape on with the shaft stopped; no sleeve, hair or cord near it.",
            finds: &[Find { cause: "dry", power: "ir-painted" }, Find { cause: "worn", power: "ir-painted" }],
        },
        Check {
            name: "oil",
            title: "Look at its oil: level, colour, metal",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("dipstick, cloth"),
            caution: "Key out: the shaft may turn with the stream.",
            finds: &[Find { cause: "dry", power: "dipstick" }, Find { cause: "worn", power: "gear-oil-look" }],
        },
        Check {
            name: "end_play",
            title: "Made fast: a mark on the shaft against the housing, ahead and then astern at idle",
            minutes: 10.0,
            state: State::Idling,
            tool: Some("chalk, rule, helper at the helm"),
            caution: "Read it from a rule fixed beforehand; nobody within reach of the coupling while she is in gear.",
            finds: &[Find { cause: "worn", power: "shaft-lift" }],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::Unknown(3),
        value: 363.15,
        when: When::High,
        running_only: true,
        act: HOT,
        source: "from memory: 90 °C of an oil-lubricated thrust bearing",
    }],
    margins: &[],
};

/// Its laws.
struct ThrustBearing;

impl Law for ThrustBearing {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let drag = magnitude(at.links[1], LIGHT) * p.loss * p.roughness;
        passes_on(at, say, drag);
        say.unknown[3] = at.unknowns[3] - at.room(2) - drag / p.housing_conductance;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD, near};

    #[test]
    fn it_takes_its_share_of_the_power_and_is_warm_of_it() {
        let mut bench = Bench::of(&KIND);
        (bench.site.links[0], bench.site.links[1]) = (70.0, 54e3);
        near(bench.inner("shaft_power"), 54e3 - bench.inner("drag"), 1e-12, "first law");
        near(bench.inner("drag"), 54e3 * bench.figure("loss"), 1e-3, "its own figure");
        let rise = bench.inner("temperature") - MILD;
        near(rise, bench.inner("drag") / bench.figure("housing_conductance"), 1e-9, "q = UA ΔT, [Incropera6] eq. 1.8");
        assert!(bench.with("roughness", 6.0).inner("temperature") > 353.0, "dry it is past what a hand bears");
    }
}
