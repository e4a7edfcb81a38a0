//! Sump: the oil at rest under the engine.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::oil_pump::as_fuel;
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::step;

crate::parameters! {
    /// Oil it holds at the full mark [m³].
    volume: Volume, 5e-4..=0.5, 0.012 * power ^ 1.0, within 1.4, "from memory";
    /// Level as a share of the full mark [1].
    level: Ratio, 0.0..=2.0, 0.95, plus 0.08 each, "common practice, no source";
    /// Fuel in the oil, by mass [1].
    dilution: Ratio, 0.0..=0.5, 0.005, within 3.0 each, "from memory";
    /// Conductance from the oil through the pan to the engine space [W/K].
    pan_conductance: ThermalConductance, 1.0..=500.0, 18.0 * power ^ 0.67, within 1.6, "from memory";
    /// Viscosity of what was filled in over that of the oil named [1].
    thickness: Ratio, 0.2..=5.0, 1.0, exact, "common practice, no source";
}

/// Level at which the pickup begins to draw air, and how fast [1].
const AIR_FROM: f64 = 0.35;
const AIR_WIDTH: f64 = 0.08;

/// The kind.
pub const KIND: Kind = Kind {
    name: "sump",
    title: "Sump",
    called: &["oil-pan"],
    places: &[along(Circuit::Oil, Station::Source, Role::Needed)],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: Symbol {
        size: (60.0, 32.0),
        strokes: &[Stroke::Outline("M0 0V32H60V0"), Stroke::Line("M0 9H60M24 13H36M27 17H33")],
        ways: &[way((0.0, 16.0), (60.0, 16.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("pool", &[Circuit::Oil], "pool", "pool").that("collects in")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.01) },
        Unknown { name: "dilution", quantity: Quantity::Ratio, start: 0.0, size: 0.01, bounds: (-0.4, 1.2) },
        Unknown { name: "level", quantity: Quantity::Ratio, start: 1.0, size: 0.05, bounds: (-0.5, 3.0) },
        Unknown { name: "fuel", quantity: Quantity::Ratio, start: 0.0, size: 0.01, bounds: (-0.01, 1.0) },
    ],
    links: &[Link::All("space_temperature")],
    laws: both::<Sump>(),
    causes: &[
        Cause {
            name: "level_low",
            title: "oil level low",
            moves: &[Move { on: Whose::Own, parameter: "level", by: By::Towards(0.15) }],
            severity: Severity::MostlySlight,
            says: &[says_of("diesel", "oil pressure swings", 0.4)],
            misreads: None,
            rate: "oil-level-low",
            remedy: "top up and watch the level",
        },
        Cause {
            name: "external_leak",
            title: "oil leaks outside the engine",
            moves: &[Move { on: Whose::Own, parameter: "level", by: By::Towards(0.2) }],
            severity: Severity::MostlySlight,
            says: &[says("oil in the bilge", 0.7)],
            misreads: None,
            rate: "oil-external-leak",
            remedy: "close the leak and top up",
        },
        Cause {
            name: "wrong_grade",
            title: "oil too thin for this engine",
            moves: &[Move { on: Whose::Own, parameter: "thickness", by: By::Factor(0.5) }],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "oil-wrong-grade",
            remedy: "change to the right oil",
        },
        Cause {
            name: "coolant_in",
            title: "coolant in the oil",
            moves: &[
                Move { on: Whose::Own, parameter: "level", by: By::Add(0.5) },
                Move { on: Whose::Kind("header-tank"), parameter: "fill", by: By::Add(-0.15) },
            ],
            severity: Severity::MostlySlight,
            says: &[says("milky", 0.7), says_of("diesel", "smoke white", 0.1)],
            misreads: None,
            rate: "coolant-in-oil",
            remedy: "find the way through, then change the oil",
        },
    ],
    words: &[
        Word {
            name: "level rising",
            of: Of::Change { probe: Probe::Unknown(2), midpoint: 0.12, spread: 0.06, when: When::High },
            false_said: 0.04,
            miss: 0.25,
            group: "oil level",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "level falling",
            of: Of::Change { probe: Probe::Unknown(2), midpoint: -0.15, spread: 0.07, when: When::Low },
            false_said: 0.06,
            miss: 0.25,
            group: "oil level",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "milky",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.2,
            group: "oil looks",
            danger: Some(
                "Water in the oil: bearings do not last on it. Stop as soon as the vessel is safe, and change the \
                 oil before she runs again; if she must run, slowest speed.",
            ),
            source: "from memory",
        },
        Word {
            name: "smells of fuel",
            of: Of::Value { probe: Probe::Unknown(3), midpoint: 0.04, spread: 0.015, when: When::High },
            false_said: 0.04,
            miss: 0.3,
            group: "oil looks",
            danger: Some("Fuel thins the oil and feeds a fire: no load, no smoking, stop when the vessel is safe."),
            source: "from memory",
        },
        Word {
            name: "black soon",
            of: Of::Cause,
            false_said: 0.1,
            miss: 0.5,
            group: "oil looks",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "glitters",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.5,
            group: "oil looks",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "oil in the bilge",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.25,
            group: "leak",
            danger: Some(
                "Look where it comes from and read the pressure now: a sump can empty in a minute. Keep it off hot \
                 parts.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "dipstick",
            title: "Stop, wait five minutes, read the dipstick",
            minutes: 7.0,
            state: State::Stopped,
            tool: Some("rag"),
            caution: "Trim and roll move the mark: read twice. Rag clear of the coupling.",
            finds: &[
                Find { cause: "level_low", power: "dipstick" },
                Find { cause: "external_leak", power: "dipstick" },
                Find { cause: "raw-pump/seals_pass_to_oil", power: "dipstick" },
                Find { cause: "coolant_in", power: "dipstick" },
                Find { cause: "diesel/fuel_in_oil", power: "dipstick" },
                Find { cause: "oil-cooler/perforated", power: "dipstick" },
                Find { cause: "oil-filter/double_gasket", power: "dipstick" },
                Find { cause: "oil-filter/misfitted", power: "dipstick" },
            ],
        },
        Check {
            name: "smell_and_blot",
            title: "Smell the oil, put a drop on paper, another on a hot plate",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("paper, spoon, heat"),
            caution: "One drop on the plate, face back: water spits burning oil.",
            finds: &[
                Find { cause: "raw-pump/seals_pass_to_oil", power: "oil-smell-blotter" },
                Find { cause: "coolant_in", power: "oil-smell-blotter" },
                Find { cause: "diesel/fuel_in_oil", power: "oil-smell-blotter" },
            ],
        },
        Check {
            name: "under_the_engine",
            title: "Wipe the engine, run it, look where fresh oil shows",
            minutes: 15.0,
            state: State::Idling,
            tool: Some("rag, torch"),
            caution: "Look with the torch, hands behind your back: belts and coupling turn.",
            finds: &[
                Find { cause: "external_leak", power: "round-walk" },
                Find { cause: "oil-filter/double_gasket", power: "round-walk" },
                Find { cause: "oil-filter/misfitted", power: "round-walk" },
            ],
        },
        Check {
            name: "what_went_in",
            title: "Read the can and the log: which oil, how much, when",
            minutes: 5.0,
            state: State::Running,
            tool: None,
            caution: "Compare with the engine book, not with the last can.",
            finds: &[Find { cause: "wrong_grade", power: "work-checked-by-other" }],
        },
        Check {
            name: "oil_sample",
            title: "Draw a warm sample for the laboratory; the answer takes days",
            minutes: 4320.0,
            state: State::Stopped,
            tool: Some("hand pump, clean bottle"),
            caution: "The oil is at 90 °C: gloves, and a tube that cannot jump out.",
            finds: &[
                Find { cause: "raw-pump/seals_pass_to_oil", power: "oil-lab-salt" },
                Find { cause: "coolant_in", power: "oil-lab-coolant" },
                Find { cause: "diesel/fuel_in_oil", power: "oil-lab-fuel" },
                Find { cause: "diesel/bearings_worn", power: "oil-lab-wear" },
                Find { cause: "oil-pump/worn", power: "oil-lab-wear" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "hot oil",
        asks: "Does the oil stay cool enough?",
        of: |at| Some(at.inlet_temperature[0]),
        quantity: Quantity::Temperature,
        least: f64::NEG_INFINITY,
        most: 383.15,
        remedy: "an oil cooler, a larger one, or more water through it",
        source: "[Trade] 2.3 oil temperature",
    }],
};

/// Its laws.
struct Sump;

impl Law for Sump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let t = at.inlet_temperature[0];
        say.gap[0] = at.inlet_pressure[0] - at.point.atmosphere;
        say.heat[0] = p.pan_conductance * (at.room(0) - t);
        say.unknown[0] = at.unknowns[0] - step(-p.level + AIR_FROM, AIR_WIDTH);
        // A thinner grade acts on every part as so much more fuel would.
        say.unknown[1] = at.unknowns[1] - (p.dilution + as_fuel(p.thickness));
        say.unknown[2] = at.unknowns[2] - p.level;
        say.unknown[3] = at.unknowns[3] - p.dilution;
        // The pan and the metal that oil runs over store about as much as the oil itself (from memory).
        say.storage[0] = p.volume * p.level * at.contents[0].density(t) * at.contents[0].heat_capacity(t) * 2.0;
    }
}
