//! Hydraulic pump: takes power for winch, thruster, stabiliser or get-home drive, and warms oil of its own.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, step};

crate::parameters! {
    /// Pump turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Oil moved a radian of pump turn [m³/rad].
    displacement: Volume, 1e-8..=1e-3, 3.2e-6 * power ^ 0.7, within 1.4, "from memory";
    /// Pressure at which it works [Pa].
    working_pressure: PressureDifference, 5e5..=4e7, 1.2e7, within 1.3, "[Trade] 2.9 70 to 210 bar";
    /// Pressure it works against with nothing asked of it [Pa].
    idle_pressure: PressureDifference, 1e4..=4e7, 8e5, within 1.6, "from memory";
    /// Share of the time that it works and does not just go round [1].
    duty: Ratio, 0.0..=1.0, 0.1, within 2.0, "common practice, no source";
    /// Share of its power that reaches the oil as pressure [1].
    efficiency: Ratio, 0.2..=0.98, 0.85, within 1.06, "from memory";
    /// Share of the oil's power that ends as heat in its tank, the rest being work done [1].
    heat_share: Ratio, 0.0..=1.0, 0.45, within 1.4, "from memory";
    /// Conductance from tank and pipes to the engine space, with a cooler if it has one [W/K].
    tank_conductance: ThermalConductance, 0.5..=5_000.0, 35.0 * power ^ 0.7, within 1.6, "from memory";
    /// Oil as a share of the full mark [1].
    oil_level: Ratio, 0.0..=2.0, 0.98, plus 0.05, "common practice, no source";
}

/// Level at which it draws air, and how fast [1]; from memory.
const AIR_FROM: f64 = 0.4;
const AIR_WIDTH: f64 = 0.08;

/// What to do with oil that is hot or gone.
const SPARE_IT: &str = "Take the load off it: its lever or take-off out at idle. Do not touch a leak: a jet of oil that cannot be \
    seen goes through skin, and is a surgeon's case at once.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "hydraulic-pump",
    title: "Hydraulic pump and its oil",
    called: &["hydraulics", "hydraulic-power-pump"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"),
            Stroke::Solid("M18 0L25 12H11Z"),
            Stroke::Line("M11 36H25"),
        ],
        ways: &[],
        link: inward((0.0, 18.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "taken", quantity: Quantity::Power, start: 800.0, size: 500.0, bounds: (-1e6, 1e7) },
        Unknown { name: "oil", quantity: Quantity::Temperature, start: 315.0, size: 5.0, bounds: (200.0, 5_000.0) },
        Unknown { name: "level", quantity: Quantity::Ratio, start: 1.0, size: 0.05, bounds: (-0.5, 3.0) },
    ],
    links: &[Link::DriverSpeed, Link::All("space_temperature")],
    laws: both::<HydraulicPump>(),
    causes: &[
        Cause {
            name: "oil_low",
            title: "oil of the hydraulics low: it foams",
            moves: &[Move { on: Whose::Own, parameter: "oil_level", by: By::Lost }],
            severity: Severity::MostlySlight,
            says: &[says("oil foams", 0.5), says("howls", 0.4), says("leaks oil", 0.5)],
            misreads: None,
            rate: "hydraulic-oil-low",
            remedy: "find the leak and fill to the mark",
        },
        Cause {
            name: "air_drawn",
            title: "suction of the hydraulic pump draws air, or is choked",
            moves: &[Move { on: Whose::Own, parameter: "efficiency", by: By::Factor(0.7) }],
            severity: Severity::Even,
            says: &[says("howls", 0.75), says("jerks", 0.6), says("oil foams", 0.6)],
            misreads: None,
            rate: "hydraulic-suction",
            remedy: "tighten or clear the suction and its strainer",
        },
        Cause {
            name: "worn",
            title: "hydraulic pump worn: it leaks inside, and heats its oil",
            moves: &[
                Move { on: Whose::Own, parameter: "efficiency", by: By::Factor(0.6) },
                Move { on: Whose::Own, parameter: "heat_share", by: By::Towards(1.0) },
            ],
            severity: Severity::Even,
            says: &[says("weak when hot", 0.7)],
            misreads: None,
            rate: "hydraulic-pump-worn",
            remedy: "renew the pump and filter its oil",
        },
        Cause {
            name: "relief_passes",
            title: "oil goes round over the relief valve, or a valve does not idle",
            moves: &[
                Move { on: Whose::Own, parameter: "idle_pressure", by: By::Factor(10.0) },
                Move { on: Whose::Own, parameter: "heat_share", by: By::Towards(0.9) },
            ],
            severity: Severity::Even,
            says: &[says("hisses at the valve", 0.5), says("weak when hot", 0.3)],
            misreads: None,
            rate: "hydraulic-relief-passes",
            remedy: "set or renew the relief valve; see that its levers come to the middle",
        },
    ],
    words: &[
        Word {
            name: "oil hot",
            of: Of::Found { probe: Probe::Unknown(1), midpoint: 340.0, spread: 6.0, when: When::High },
            false_said: 0.03,
            miss: 0.3,
            group: "hydraulic-heat",
            danger: Some(SPARE_IT),
            source: "[Trade] 2.9 alarm at 70 °C; spread from memory",
        },
        Word {
            name: "level low",
            of: Of::Value { probe: Probe::Unknown(2), midpoint: 0.75, spread: 0.08, when: When::Low },
            false_said: 0.04,
            miss: 0.2,
            group: "hydraulic-level",
            danger: Some(SPARE_IT),
            source: "from memory",
        },
        said("oil foams", 0.03, 0.3, "hydraulic-oil"),
        said("howls", 0.03, 0.2, "hydraulic-noise"),
        said("jerks", 0.04, 0.25, "hydraulic-feel"),
        said("weak when hot", 0.03, 0.3, "hydraulic-feel"),
        said("hisses at the valve", 0.03, 0.4, "hydraulic-noise"),
        Word { danger: Some(SPARE_IT), ..said("leaks oil", 0.06, 0.25, "hydraulic-leak") },
    ],
    checks: &[
        Check {
            name: "look_at_the_tank",
            title: "Look into its sight glass: level, foam, colour; take the tank's temperature",
            minutes: 3.0,
            state: State::Running,
            tool: Some("torch, infrared thermometer"),
            caution: "Look, do not feel for leaks: card or wood, never a hand.",
            finds: &[
                Find { cause: "oil_low", power: "dipstick" },
                Find { cause: "air_drawn", power: "visual-general" },
                Find { cause: "relief_passes", power: "ir-painted" },
                Find { cause: "worn", power: "ir-painted" },
            ],
        },
        Check {
            name: "idle_pressure",
            title: "Read its pressure with every lever in the middle, and at its work",
            minutes: 10.0,
            state: State::Running,
            tool: Some("gauge at the tap"),
            caution: "Fit the gauge stopped and without pressure; its hose rated for 350 bar; stand clear at the first load.",
            finds: &[
                Find { cause: "relief_passes", power: "mechanical-oil-gauge" },
                Find { cause: "worn", power: "mechanical-oil-gauge" },
            ],
        },
        Check {
            name: "suction",
            title: "Look over the suction: hose, clamps, shaft seal, strainer in the tank",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("torch, spanner, cloth"),
            caution: "Let the pressure off and lower every load before anything is slacked.",
            finds: &[Find { cause: "air_drawn", power: "visual-general" }],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::Unknown(1),
        value: 353.15,
        when: When::High,
        running_only: true,
        act: SPARE_IT,
        source: "[Trade] 2.9 stop at 80 °C",
    }],
    margins: &[],
};

/// Its laws.
struct HydraulicPump;

impl Law for HydraulicPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Air in the suction: it moves less, and works less.
        let fills = -step(-p.oil_level + AIR_FROM, AIR_WIDTH) + 1.0;
        let moved = p.displacement * positive_part(at.links[0] * p.drive_ratio, 0.05) * fills;
        let pressure = p.working_pressure * p.duty + p.idle_pressure * (-p.duty + 1.0);
        // [Trade] 2.15: power is pressure times flow.
        let given = moved * pressure;
        let taken = given / p.efficiency;
        say.unknown[0] = at.unknowns[0] - taken;
        let heat = taken - given * (-p.heat_share + 1.0);
        say.unknown[1] = at.unknowns[1] - at.room(1) - heat / p.tank_conductance;
        say.unknown[2] = at.unknowns[2] - p.oil_level;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};
    use std::f64::consts::TAU;

    #[test]
    fn its_power_is_pressure_times_flow_and_its_oil_works_warm() {
        let mut bench = Bench::of(&KIND).with("duty", 1.0).with("efficiency", 0.98);
        // [Trade] 2.15: P = p Q / 600 in bar and L/min for kW: 120 bar and 30 L/min are 6 kW.
        let turns = 30e-3 / 60.0 / bench.figure("displacement");
        bench.site.links[0] = turns;
        near(bench.inner("taken") * 0.98, 6_000.0, 0.002, "p Q / 600");
        let mut usual = Bench::of(&KIND);
        usual.site.links[0] = 1_500.0 / 60.0 * TAU;
        usual.site.point.speed = usual.site.links[0];
        let oil = usual.inner("oil") - 273.15;
        // [Trade] 2.9: oil works at 30 to 60 °C.
        assert!((30.0..=60.0).contains(&oil), "{oil} °C");
        assert!(
            usual.clone().with("idle_pressure", 8e6).inner("oil") > usual.inner("oil") + 15.0,
            "going round heats it"
        );
    }
}
