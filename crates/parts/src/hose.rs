//! Hose or pipe: length, bore, bends, lift; for any liquid.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::constants::GRAVITY;
use physics::flow::pipe_drop;
use physics::number::Number;
use physics::smooth::signed_root;

crate::parameters! {
    /// Length [m].
    length: Length, 0.01..=100.0, 1.5, within 2.0, "common practice, no source";
    /// Bore [m].
    bore: Length, 0.003..=0.5, 0.032 * power ^ 0.5, within 1.15, "[Trade] 2.1 velocities";
    /// Loss of bends, tails and joints in velocity heads [1].
    bends: Ratio, 0.0..=100.0, 2.0, within 2.0, "common practice, no source";
    /// Wall roughness [m].
    roughness: Length, 0.0..=0.005, 3e-5, within 3.0, "common practice, no source";
    /// Height of its end over its start [m].
    rise: Length, -10.0..=10.0, 0.0, exact, "common practice, no source";
    /// Area squeezed shut at the worst place as a resistance: 1 when round [1].
    squeeze: Ratio, 1.0..=1e6, 1.0, exact, "common practice, no source";
    /// Share of the flow let out through a split at full pressure [1].
    split: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Velocity heads that a loose liner adds at 2 m/s; it lifts with the square of the speed [1].
    liner: Ratio, 0.0..=1000.0, 0.0, exact, "common practice, no source";
}

/// Pressure over the air at which a split passes its stated share [Pa].
const SPLIT_PRESSURE: f64 = 30_000.0;
/// Below this a split lets nothing out [Pa].
const SPLIT_WIDTH: f64 = 500.0;
/// Speed that a loose liner's loss is given at [m/s].
const LINER_SPEED: f64 = 2.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "hose",
    title: "Hose or pipe",
    called: &["pipe"],
    places: &[],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 14.0),
        strokes: &[Stroke::Outline("M0 0H36V14H0Z"), Stroke::Line("M6 14L12 0M15 14L21 0M24 14L30 0")],
        ways: &[way((0.0, 7.0), (36.0, 7.0))],
        ..Symbol::BLANK
    },
    passages: &[passage(
        "water",
        &[Circuit::RawWater, Circuit::FreshWater, Circuit::Oil, Circuit::GearOil],
        "in",
        "out",
    )
    .that("runs along")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Hose>(),
    causes: &[
        Cause {
            name: "crimped",
            title: "hose kinked or crushed",
            moves: &[Move { on: Whose::Own, parameter: "squeeze", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[says("kinked or flattened", 0.6)],
            misreads: None,
            rate: "raw-hose-crimped",
            remedy: "lead the hose without a kink",
        },
        // A flap lifts with the flow: hardly seen at idle, shut at full speed.
        Cause {
            name: "liner_collapsed",
            title: "liner of the hose peels into the bore",
            moves: &[
                Move { on: Whose::Own, parameter: "liner", by: By::Add(150.0) },
                Move { on: Whose::Own, parameter: "squeeze", by: By::Factor(6.0) },
            ],
            severity: Severity::Even,
            says: &[says("soft or blistered", 0.4), says("rubber bits come out", 0.15)],
            misreads: None,
            rate: "raw-hose-delaminated",
            remedy: "renew the hose",
        },
        Cause {
            name: "split",
            title: "hose split or loose at its end",
            moves: &[
                Move { on: Whose::Own, parameter: "split", by: By::Towards(1.0) },
                Move { on: Whose::Flooded("bilge"), parameter: "inflow", by: By::Add(1.0) },
            ],
            severity: Severity::Even,
            says: &[says("drips", 0.5), says("sprays", 0.45)],
            misreads: None,
            rate: "raw-delivery-tube-split",
            remedy: "renew the hose and double its clamps",
        },
        Cause {
            name: "fitting_restricted",
            title: "tail or fitting of the hose crushed or too small",
            moves: &[Move { on: Whose::Own, parameter: "bends", by: By::Add(80.0) }],
            severity: Severity::Even,
            says: &[says("fitting smaller than the hose", 0.3)],
            misreads: None,
            rate: "suction-fitting-restricted",
            remedy: "fit a tail of full bore",
        },
    ],
    words: &[
        // A plain hose goes flat at some 40 kPa of suction.
        Word {
            name: "sucked flat",
            of: Of::Value { probe: Probe::OutletPressure(0), midpoint: 60_000.0, spread: 12_000.0, when: When::Low },
            false_said: 0.01,
            miss: 0.25,
            group: "hose-shape",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "kinked or flattened",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.3,
            group: "hose-shape",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "soft or blistered",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.4,
            group: "hose-wall",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "drips",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.25,
            group: "hose-leak",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "sprays",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.1,
            group: "hose-leak",
            danger: Some(
                "Stop the engine and shut the seacock. If she cannot be stopped here: idle, and keep \
                      the spray off belts, wires and air intake; pumps on.",
            ),
            source: "from memory",
        },
        Word {
            name: "rubber bits come out",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.3,
            group: "hose-wall",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "fitting smaller than the hose",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.4,
            group: "hose-shape",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_along",
            title: "Follow the hose with a torch from end to end, behind the engine too, under load",
            minutes: 5.0,
            state: State::Running,
            tool: Some("torch, mirror"),
            caution: "Hot exhaust and turning belts: look, do not reach across.",
            finds: &[Find { cause: "crimped", power: "visual-general" }, Find { cause: "split", power: "round-walk" }],
        },
        Check {
            name: "squeeze",
            title: "Squeeze it along its length: soft, crackling, loose inside?",
            minutes: 5.0,
            state: State::Stopped,
            tool: None,
            caution: "Let it cool and lose its pressure first.",
            finds: &[
                Find { cause: "liner_collapsed", power: "hose-squeeze" },
                Find { cause: "split", power: "hose-squeeze" },
                Find { cause: "crimped", power: "visual-general" },
            ],
        },
        Check {
            name: "look_through",
            title: "Take it off, look through it, pass a plug of its bore, measure the tails",
            minutes: 30.0,
            state: State::StoppedAndShut,
            tool: Some("screwdriver, torch, caliper, bung"),
            caution: "Shut the valves either side; an opening below the water gets a bung before the hose \
                      is laid down.",
            finds: &[
                Find { cause: "liner_collapsed", power: "visual-general" },
                Find { cause: "crimped", power: "visual-general" },
                Find { cause: "fitting_restricted", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[
        Margin {
            name: "suction velocity",
            asks: "Is the water slow enough where it is drawn?",
            of: |at| water_velocity(at, P::of(at.parameters).bore, true),
            quantity: Quantity::Velocity,
            least: f64::NEG_INFINITY,
            most: 2.0,
            remedy: "a wider bore: noise, air and collapse come with speed",
            source: "[Trade] 2.1 suction velocity",
        },
        Margin {
            name: "velocity",
            asks: "Is the water slow enough?",
            of: |at| water_velocity(at, P::of(at.parameters).bore, false),
            quantity: Quantity::Velocity,
            least: f64::NEG_INFINITY,
            most: 3.0,
            remedy: "a wider bore: fast water wears hoses and bends",
            source: "[Trade] 2.1 discharge velocity",
        },
    ],
};

/// Its laws.
struct Hose;

impl Law for Hose {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let t = at.inlet_temperature[0];
        let (density, viscosity) = (at.contents[0].density(t), at.contents[0].viscosity(t));
        let area = p.bore * p.bore * std::f64::consts::FRAC_PI_4;
        let speed = at.flow[0] / (area * density) / LINER_SPEED;
        let heads = p.bends + (p.squeeze - 1.0) + p.liner * speed * speed;
        let loss = pipe_drop(at.flow[0], p.length, p.bore, p.roughness, heads, density, viscosity);
        at.drop(say, 0, loss + density * p.rise * GRAVITY);
        let over = at.outlet_pressure[0] - at.point.atmosphere;
        // A split passes its share of a flow of 1.5 m/s at the stated pressure; under suction it draws.
        say.leak[0] = p.split * area * density * 1.5 * signed_root(over, SPLIT_WIDTH) / SPLIT_PRESSURE.sqrt();
        say.storage[0] = area * p.length * density * at.contents[0].heat_capacity(t);
    }
}
