//! Engine space: the air in it, what comes in and goes out by openings and fan, what the engines draw and radiate.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::gas;
use physics::number::Number;
use physics::smooth::{positive_part, signed_root};
use physics::ventilation::{HEAT_CAPACITY, draught, opening_drop};

crate::parameters! {
    /// Free area of the openings that let air in [m²].
    inlet_area: Area, 0.0002..=5.0, 0.02 * power ^ 1.0, within 2.0, "[Trade] 2.6 between a rule that gives 99 cm² and 5 m/s in the opening";
    /// Free area of the openings that let air out [m²].
    outlet_area: Area, 0.0002..=5.0, 0.02 * power ^ 1.0, within 2.0, "[Trade] 2.6 between a rule that gives 99 cm² and 5 m/s in the opening";
    /// Area of the gaps round hatch, door and plates, which nobody shuts: shared by both ways [m²].
    gaps: Area, 0.0002..=0.5, 0.002 * power ^ 0.67, within 2.0, "from memory";
    /// How far the air leaves above where it comes in [m].
    height: Length, 0.0..=15.0, 1.5, within 1.6, "common practice, no source";
    /// Resistance of the openings that let air in over clear [1].
    inlet_obstruction: Ratio, 1.0..=1e7, 1.0, exact, "common practice, no source";
    /// Resistance of the openings that let air out over clear [1].
    outlet_obstruction: Ratio, 1.0..=1e7, 1.0, exact, "common practice, no source";
    /// Flow at which the fan's pressure is given [m³/s].
    fan_flow: VolumeFlow, 0.001..=20.0, 0.1 * power ^ 1.0, within 1.6, "[Trade] 2.6 between two rules that are fivefold apart";
    /// Pressure the fan gives at that flow; 0 for a space without a fan [Pa].
    fan_pressure: PressureDifference, 0.0..=2_000.0, 100.0, within 1.4, "[Trade] 2.6 fan at 100 Pa";
    /// Share of the fan's air that it blows in, the rest being drawn out [1].
    fan_blows_in: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Speed of the fan over rated; below 0 it turns the wrong way [1].
    fan_turns: Ratio, -1.0..=1.5, 1.0, exact, "common practice, no source";
    /// Conductance from the space through hull and bulkheads [W/K].
    hull_conductance: ThermalConductance, 1.0..=20_000.0, 200.0 * power ^ 0.67, within 2.0, "from memory";
    /// Heat from gearbox, alternator, stack and pipes, as a share of what the engines radiate [1].
    other_heat: Ratio, 0.0..=3.0, 0.25, within 1.8, "from memory";
}

/// Pressure of a fan at no flow over that at its rated flow [1]; from memory.
const SHUT_OFF: f64 = 1.6;
/// Flow below which openings turn linear [kg/s], and the same where its square is told [kg²/s²].
const REST: f64 = 1e-3;
const REST_SQUARED: f64 = 1e-4;
/// A change of flow and of pressure that matter alike [kg/s], [Pa].
const FLOW_SIZE: f64 = 0.02;
const PRESSURE_SIZE: f64 = 20.0;

/// Quantities that words and limits look at.
const AIR: Probe = Probe::Unknown(0);
const DEPRESSION: Probe = Probe::Unknown(1);

/// The kind.
pub const KIND: Kind = Kind {
    name: "engine-space",
    title: "Engine space and its ventilation",
    called: &["engine-room", "ventilation"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Air,
    symbol: Symbol {
        size: (56.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 0H56V40H0Z"),
            Stroke::Line("M14 30V10M10 15L14 10L18 15M42 10V30M38 25L42 30L46 25"),
        ],
        ways: &[],
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown {
            name: "space_temperature",
            quantity: Quantity::Temperature,
            start: 305.0,
            size: 10.0,
            bounds: (200.0, 500.0),
        },
        Unknown {
            name: "space_depression",
            quantity: Quantity::PressureDifference,
            start: 20.0,
            size: PRESSURE_SIZE,
            bounds: (-1e4, 2e4),
        },
    ],
    links: &[Link::EveryGas, Link::All("fuel_flow"), Link::All("surface_heat")],
    laws: both::<EngineSpace>(),
    causes: &[
        Cause {
            name: "vents_small",
            title: "openings of the engine space too small for the engine",
            moves: &[
                Move { on: Whose::Own, parameter: "inlet_area", by: By::Factor(0.25) },
                Move { on: Whose::Own, parameter: "outlet_area", by: By::Factor(0.25) },
            ],
            severity: Severity::Even,
            says: &[says_of("diesel", "space hot", 0.4), says_of("diesel", "door sucks shut", 0.3)],
            misreads: None,
            rate: "engine-room-vent-inadequate",
            remedy: "enlarge the openings, the outlet as much as the inlet",
        },
        Cause {
            name: "inlet_shut",
            title: "air inlet of the engine space shut, covered or clogged",
            moves: &[Move { on: Whose::Own, parameter: "inlet_obstruction", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[
                says("inlet covered", 0.6),
                says_of("diesel", "space hot", 0.4),
                says_of("diesel", "door sucks shut", 0.5),
            ],
            misreads: None,
            rate: "engine-space-inlet-shut",
            remedy: "open or clear the air inlet",
        },
        Cause {
            name: "outlet_shut",
            title: "air outlet of the engine space shut, covered or clogged",
            moves: &[Move { on: Whose::Own, parameter: "outlet_obstruction", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[says("outlet covered", 0.6), says_of("diesel", "space hot", 0.6)],
            misreads: None,
            rate: "engine-space-outlet-shut",
            remedy: "open or clear the air outlet",
        },
        Cause {
            name: "fan_dead",
            title: "ventilation fan dead",
            moves: &[Move { on: Whose::Own, parameter: "fan_turns", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("fan silent", 0.7), says_of("diesel", "space hot", 0.6)],
            misreads: None,
            rate: "vent-fan-failed",
            remedy: "mend the fan or its supply",
        },
        Cause {
            name: "fan_reversed",
            title: "ventilation fan turns the wrong way",
            moves: &[Move { on: Whose::Own, parameter: "fan_turns", by: By::Towards(-0.6) }],
            severity: Severity::Whole,
            says: &[says("fan blows the wrong way", 0.6), says_of("diesel", "space hot", 0.4)],
            misreads: None,
            rate: "vent-fan-reversed",
            remedy: "change the fan's leads over",
        },
    ],
    words: &[
        Word {
            name: "hotter than usual",
            of: Of::Change { probe: AIR, midpoint: 6.0, spread: 3.0, when: When::High },
            false_said: 0.05,
            miss: 0.3,
            group: "space-heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hatch sucks shut",
            of: Of::Value { probe: DEPRESSION, midpoint: 150.0, spread: 50.0, when: When::High },
            false_said: 0.02,
            miss: 0.3,
            group: "space-draught",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "fumes in the cabin",
            of: Of::Value { probe: DEPRESSION, midpoint: -30.0, spread: 15.0, when: When::Low },
            false_said: 0.02,
            miss: 0.4,
            group: "space-draught",
            danger: Some(
                "Carbon monoxide cannot be smelt: people out and hatches open first, then stop the fan that blows in \
                 and look for the leak. A headache aboard means everybody on deck.",
            ),
            source: "from memory",
        },
        said("inlet covered", 0.02, 0.2, "space-vents"),
        said("outlet covered", 0.02, 0.2, "space-vents"),
        said("fan silent", 0.02, 0.25, "space-fan"),
        said("fan blows the wrong way", 0.01, 0.3, "space-fan"),
    ],
    checks: &[
        Check {
            name: "look_at_the_vents",
            title: "Look at every opening of the space, inside and on deck: flaps, covers, mats, lockers stowed full",
            minutes: 5.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Loose clothing and hair clear of fan and belts. A damper belongs to the fire system: leave it able to shut.",
            finds: &[
                Find { cause: "inlet_shut", power: "visual-general" },
                Find { cause: "outlet_shut", power: "visual-general" },
            ],
        },
        Check {
            name: "feel_the_fan",
            title: "Hold a strip of paper to the fan's grille: does it blow, and which way?",
            minutes: 2.0,
            state: State::Running,
            tool: Some("strip of paper"),
            caution: "Paper, not fingers: a still fan may start by itself.",
            finds: &[
                Find { cause: "fan_dead", power: "valve-status-seen" },
                Find { cause: "fan_reversed", power: "valve-status-seen" },
            ],
        },
        Check {
            name: "door_open_and_shut",
            title: "Full load with the door of the space shut, then open: depression, exhaust temperature, smoke",
            minutes: 10.0,
            state: State::Running,
            tool: Some("U-tube"),
            caution: "Door hooked open: it slams when the suction ends. Never with the fire system released or in doubt.",
            finds: &[
                Find { cause: "vents_small", power: "door-open-shut" },
                Find { cause: "inlet_shut", power: "door-open-shut" },
                Find { cause: "outlet_shut", power: "door-open-shut" },
            ],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: AIR,
        value: 325.15,
        when: When::High,
        running_only: true,
        act: "Ease down, and open hatch or door if there is neither fire nor fumes. Then look at fan, inlet and outlet: hot air \
            costs power, and rubber and alternator suffer first.",
        source: "[Trade] 2.14 air at the intake",
    }],
    margins: &[
        Margin {
            name: "space over outside",
            asks: "Is the engine space kept cool enough?",
            of: |at| (at.links[0] > FLOW_SIZE).then(|| at.unknowns[0] - at.point.air),
            quantity: Quantity::TemperatureDifference,
            least: f64::NEG_INFINITY,
            most: 17.0,
            remedy: "a larger outlet first, then a larger inlet, then a fan",
            source: "[Trade] 2.14 engine space over outside",
        },
        Margin {
            name: "depression",
            asks: "Does the engine get its air without pulling a vacuum on the space?",
            of: |at| (at.links[0] > FLOW_SIZE).then(|| at.unknowns[1]),
            quantity: Quantity::PressureDifference,
            least: f64::NEG_INFINITY,
            most: 250.0,
            remedy: "a larger air inlet",
            source: "common practice, no source",
        },
    ],
};

/// Its laws.
struct EngineSpace;

impl Law for EngineSpace {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let (space, depression) = (at.unknowns[0], at.unknowns[1]);
        let outside_air = gas::density(0.0, at.point.air, at.point.atmosphere);
        let inside_air = gas::density(0.0, space, at.point.atmosphere);
        let drawn = at.links[0] - at.links[1];

        // A fan's pressure falls with the square of what it moves, as an opening's drop rises; at rest it is in the way.
        let turned = p.fan_turns * p.fan_turns.abs() * SHUT_OFF;
        let rated = p.fan_flow * outside_air;
        let passes = |push: N, open: N, obstruction: N, density: N, share: N| {
            let area = open / obstruction.sqrt() + p.gaps * 0.5;
            let resists = opening_drop(N::constant(1.0), area, density, REST)
                + share * p.fan_pressure * (SHUT_OFF - 1.0) / (rated * rated);
            signed_root((push + share * p.fan_pressure * turned) / resists, REST_SQUARED)
        };
        let inward = passes(depression, p.inlet_area, p.inlet_obstruction, outside_air, p.fan_blows_in);
        let push = draught(outside_air, inside_air, p.height) - depression;
        let outward = passes(push, p.outlet_area, p.outlet_obstruction, inside_air, -p.fan_blows_in + 1.0);
        say.unknown[1] = (inward - outward - drawn) * (PRESSURE_SIZE / FLOW_SIZE);

        // Air from outside comes in by either opening, whichever way it blows.
        let fresh = positive_part(inward, REST) + positive_part(-outward, REST);
        let carried = fresh * HEAT_CAPACITY + p.hull_conductance;
        let heat = at.links[2] * (p.other_heat + 1.0);
        say.unknown[0] = space - at.point.air - heat / carried;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    /// The space where its laws want it, with so much air drawn [kg/s] and heat [W].
    fn settled(bench: &Bench, drawn: f64, heat: f64) -> Bench {
        let mut bench = bench.clone();
        bench.site.links[..3].copy_from_slice(&[drawn, 0.0, heat]);
        bench.site.unknowns[0] = bench.site.point.air;
        for _ in 0..40 {
            let (mut low, mut high) = (-5_000.0, 5_000.0);
            for _ in 0..60 {
                bench.site.unknowns[1] = 0.5 * (low + high);
                if bench.say().unknown[1] < 0.0 { low = bench.site.unknowns[1] } else { high = bench.site.unknowns[1] }
            }
            bench.site.unknowns[0] = bench.inner("space_temperature");
        }
        bench
    }

    fn bare() -> Bench {
        Bench::of(&KIND).with("fan_pressure", 0.0).with("gaps", 2e-4).with("height", 0.0).with("hull_conductance", 1.0)
    }

    #[test]
    fn an_opening_passes_what_a_library_computes() {
        // Check value air.opening: 0.4 m³/s at 100 Pa through 0.0501 m²; here all of it is drawn by the engine.
        let density = gas::density(0.0, crate::bench::MILD, physics::constants::ATMOSPHERE);
        let area = 0.0500895947 * (1.129035374 / density).sqrt();
        let bench = bare().with("inlet_area", area - 1e-4).with("outlet_area", 2e-4).with("outlet_obstruction", 1e7);
        let here = settled(&bench, 0.4 * 1.129035374, 0.0);
        near(here.site.unknowns[1], 100.0, 0.02, "air.opening");
    }

    #[test]
    fn halved_air_takes_the_space_to_the_temperature_that_is_computed() {
        // Check values air.heat and air.room: 8.2 kW in 2071 m³/h at 1.129 kg/m³ are 12.5 K, in half of it 25 K.
        for (flow, rise) in [(2070.987213, 12.5), (1035.493606, 25.0)] {
            let bench = bare().with("outlet_area", 2e-4).with("outlet_obstruction", 1e7).with("other_heat", 0.0);
            let here = settled(&bench, flow / 3600.0 * 1.129035374, 8200.0);
            near(here.site.unknowns[0] - here.site.point.air, rise, 0.02, "air.room");
        }
    }

    #[test]
    fn the_usual_space_stays_within_what_is_allowed_and_not_with_its_fan_dead() {
        // [Trade] 2.14: 17 K over outside; a 60 kW engine draws 0.085 kg/s (check value eng.air) and radiates some 5 kW.
        let usual = settled(&Bench::of(&KIND), 0.085, 5_000.0);
        let rise = |here: &Bench| here.site.unknowns[0] - here.site.point.air;
        assert!((8.0..=20.0).contains(&rise(&usual)), "{} K", rise(&usual));
        let dead = settled(&Bench::of(&KIND).with("fan_turns", 0.0), 0.085, 5_000.0);
        assert!(rise(&dead) > rise(&usual) + 3.0, "{} K with the fan dead", rise(&dead));
        // With the inlet shut the engine draws against the fan through the outlet; with both, through the gaps.
        let shut = settled(&Bench::of(&KIND).with("inlet_obstruction", 1e6), 0.085, 5_000.0);
        assert!(shut.site.unknowns[1] > usual.site.unknowns[1] + 100.0, "{} Pa", shut.site.unknowns[1]);
        let both = Bench::of(&KIND).with("inlet_obstruction", 1e6).with("outlet_obstruction", 1e6);
        assert!(settled(&both, 0.085, 5_000.0).site.unknowns[1] > 800.0, "{} Pa", both.site.unknowns[1]);
        let over = settled(&Bench::of(&KIND).with("outlet_obstruction", 1e6), 0.085, 5_000.0);
        assert!(rise(&over) > rise(&usual) + 3.0, "air that cannot leave cannot enter: {} K", rise(&over));
    }
}
