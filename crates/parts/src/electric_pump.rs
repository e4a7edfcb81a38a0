//! Electric pump: an impeller on a motor of its own, whose speed follows the voltage it gets and not the engine.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::rotodynamic::{Curve, gap};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{magnitude, positive_part};

crate::parameters! {
    /// Speed at rated voltage and rated flow [rad/s].
    rated_speed: RotationalSpeed, 20.0..=1500.0, 350.0, within 1.3, "from memory";
    /// Voltage at its terminals when all is well [V].
    voltage: Voltage, 5.0..=60.0, 13.2, within 1.06, "[Trade] 2.7 resting and regulated voltage";
    /// Voltage its curve is given at [V].
    rated_voltage: Voltage, 5.0..=60.0, 13.6, exact, "common practice, no source";
    /// Pressure it makes against a shut valve at rated speed [Pa].
    shutoff: PressureDifference, 2_000.0..=400_000.0, 45_000.0, within 1.5, "from memory";
    /// Flow at which half of that is left [kg/s].
    rated_flow: MassFlow, 0.01..=20.0, 0.8 * power ^ 0.7, within 1.4, "from memory";
    /// Current it takes there [A].
    rated_current: Current, 0.2..=200.0, 9.0 * power ^ 0.7, within 1.4, "from memory";
    /// Share of its speed that full torque costs it [1].
    droop: Ratio, 0.01..=0.9, 0.2, within 1.5, "from memory";
    /// Share of the voltage that reaches the motor; 0 is an open fuse or a pump switched off [1].
    supply: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// How well brushes or windings still carry current, over sound [1].
    contact: Ratio, 0.001..=1.5, 1.0, within 1.1 each, "from memory";
    /// Torque of its bearings and seal over the full torque of the impeller; far above 1 it is seized [1].
    drag: Ratio, 0.0..=100.0, 0.05, within 1.8, "from memory";
    /// Share of its head a sound impeller still makes [1].
    impeller: Ratio, 0.0..=1.2, 1.0, within 1.06 each, "from memory";
    /// Passage left free, as a resistance: 1 when clear [1].
    obstruction: Ratio, 1.0..=1e8, 1.0, exact, "common practice, no source";
    /// Share of full prime [1].
    prime: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Height from the sea's opening to where its water ends; 0 in a coolant circuit [m].
    lift: Length, 0.0..=20.0, 0.8 * coolant 0.0, exact, "[Trade] 2.5 height of the injection";
}

/// Share of full torque that the impeller asks for with its delivery shut [1]; the rest goes with the flow (from memory).
const CHURNING: f64 = 0.5;
/// Speed below which friction no longer holds against turning [share of rated].
const BREAKAWAY: f64 = 0.02;

/// The kind.
pub const KIND: Kind = Kind {
    name: "electric-pump",
    title: "Electric pump",
    called: &["electric-circulating-pump", "motor-pump", "pump"],
    places: &[
        along(Circuit::RawWater, Station::Pump, Role::IfTold),
        along(Circuit::FreshWater, Station::Pump, Role::IfTold),
    ],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 48.0),
        strokes: &[
            Stroke::Outline("M0 30A18 18 0 1 1 36 30A18 18 0 1 1 0 30Z"),
            Stroke::Line("M9 14.4L36 30L9 45.6"),
            Stroke::Outline("M12 6A6 6 0 1 1 24 6A6 6 0 1 1 12 6Z"),
        ],
        ways: &[way((0.0, 30.0), (36.0, 30.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::RawWater, Circuit::FreshWater], "in", "out")
        .that("is driven on, whether the engine runs or not, by")],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown {
            name: "speed",
            quantity: Quantity::RotationalSpeed,
            start: 300.0,
            size: 20.0,
            bounds: (-50.0, 3_000.0),
        },
        Unknown { name: "current", quantity: Quantity::Current, start: 8.0, size: 1.0, bounds: (-50.0, 1_000.0) },
    ],
    links: &[Link::Upstream("air")],
    laws: both::<ElectricPump>(),
    causes: &[
        Cause {
            name: "motor_dead",
            title: "motor of the electric pump burnt out or seized",
            moves: &[Move { on: Whose::Own, parameter: "drag", by: By::Towards(60.0) }],
            severity: Severity::Whole,
            says: &[says("silent", 0.7), says("hums but does not turn", 0.25), says("smell of burnt varnish", 0.3)],
            misreads: None,
            rate: "electric-pump-motor-dead",
            remedy: "renew the pump",
        },
        Cause {
            name: "supply_open",
            title: "fuse, breaker or switch of the electric pump open",
            moves: &[Move { on: Whose::Own, parameter: "supply", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("silent", 0.85), says("fuse blown or breaker out", 0.7)],
            misreads: None,
            rate: "electric-pump-supply-open",
            remedy: "find why it opened, then renew the fuse or set the breaker",
        },
        Cause {
            name: "supply_poor",
            title: "electric pump gets too little voltage: corroded joint or thin wire",
            moves: &[Move { on: Whose::Own, parameter: "supply", by: By::Factor(0.45) }],
            severity: Severity::Even,
            says: &[says("runs slowly", 0.45), says("green or warm terminal", 0.45)],
            misreads: None,
            rate: "electric-pump-supply-poor",
            remedy: "clean and remake the joint, or lay thicker wire",
        },
        Cause {
            name: "brushes_worn",
            title: "brushes of the electric pump worn down",
            moves: &[Move { on: Whose::Own, parameter: "contact", by: By::Factor(0.08) }],
            severity: Severity::Even,
            says: &[says("runs slowly", 0.35), says("starts when tapped", 0.35)],
            misreads: None,
            rate: "electric-pump-brushes-worn",
            remedy: "renew the brushes or the pump",
        },
        Cause {
            name: "air_bound",
            title: "electric pump air-bound: it has lost its prime",
            moves: &[Move { on: Whose::Own, parameter: "prime", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("races and whines", 0.5), says("air at the bleed", 0.6)],
            misreads: None,
            rate: "centrifugal-pump-air-bound",
            remedy: "bleed it, and find where the air came from",
        },
        Cause {
            name: "obstructed",
            title: "weed, shell or scale in the impeller of the electric pump",
            moves: &[
                Move { on: Whose::Own, parameter: "obstruction", by: By::Blocked },
                Move { on: Whose::Own, parameter: "drag", by: By::Add(0.3) },
            ],
            severity: Severity::Even,
            says: &[says("shakes", 0.3)],
            misreads: None,
            rate: "centrifugal-pump-obstructed",
            remedy: "clear the impeller",
        },
    ],
    words: &[
        said("silent", 0.02, 0.15, "pump-noise"),
        said("hums but does not turn", 0.01, 0.3, "pump-noise"),
        said("runs slowly", 0.04, 0.4, "pump-noise"),
        said("races and whines", 0.03, 0.35, "pump-noise"),
        said("shakes", 0.03, 0.35, "pump-noise"),
        said("air at the bleed", 0.05, 0.2, "air"),
        said("fuse blown or breaker out", 0.01, 0.1, "supply"),
        said("green or warm terminal", 0.08, 0.3, "supply"),
        said("starts when tapped", 0.01, 0.3, "motor"),
        Word {
            name: "smell of burnt varnish",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.25,
            group: "motor",
            danger: Some("Switch it off at the breaker now, and keep an extinguisher at hand until it is cold."),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "listen_and_feel",
            title: "Hand on it: does it run, hum or keep still, and is it hot?",
            minutes: 1.0,
            state: State::Running,
            tool: None,
            caution: "The casing may be scalding on a coolant circuit: touch with the back of a finger.",
            finds: &[
                Find { cause: "motor_dead", power: "visual-general" },
                Find { cause: "supply_open", power: "visual-general" },
                Find { cause: "air_bound", power: "round-walk" },
            ],
        },
        Check {
            name: "fuse_and_switch",
            title: "Look at fuse, breaker and switch, and try the fuse with a lamp or meter",
            minutes: 3.0,
            state: State::Running,
            tool: Some("multimeter or test lamp"),
            caution: "The same size of fuse, never a larger one: a second one that blows means a short.",
            finds: &[Find { cause: "supply_open", power: "valve-status-seen" }],
        },
        Check {
            name: "voltage_at_the_motor",
            title: "Measure voltage and current at its terminals while it is switched on",
            minutes: 5.0,
            state: State::Running,
            tool: Some("multimeter, clamp meter"),
            caution: "Probe with one hand, clear of wet metal; a slip between terminals burns.",
            finds: &[
                Find { cause: "supply_open", power: "volt-drop" },
                Find { cause: "supply_poor", power: "volt-drop" },
                Find { cause: "motor_dead", power: "second-gauge" },
                Find { cause: "brushes_worn", power: "second-gauge" },
                Find { cause: "air_bound", power: "second-gauge" },
            ],
        },
        Check {
            name: "bleed",
            title: "Open the bleed or loosen the delivery hose until water runs without air",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("screwdriver, rag"),
            caution: "On a coolant circuit only from cold; on raw water with a hand on the seacock.",
            finds: &[Find { cause: "air_bound", power: "bucket" }],
        },
        Check {
            name: "head_off",
            title: "Pump head off: look into the impeller and turn the shaft; brushes out if it has any",
            minutes: 30.0,
            state: State::StoppedAndShut,
            tool: Some("screwdrivers, seal"),
            caution: "Breaker off and valves on both sides shut first.",
            finds: &[
                Find { cause: "obstructed", power: "visual-general" },
                Find { cause: "motor_dead", power: "visual-general" },
                Find { cause: "brushes_worn", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[LIFT],
};

/// Its laws.
struct ElectricPump;

impl Law for ElectricPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let share = at.unknowns[0] / p.rated_speed;
        let pump = Curve {
            shutoff: p.shutoff,
            rated_flow: p.rated_flow,
            impeller: p.impeller,
            obstruction: p.obstruction,
            prime: p.prime,
            lift: p.lift,
        };
        say.gap[0] = gap(at, &pump, share, at.links[0]);
        // A motor on direct current slows in step with its torque; the impeller's grows with speed squared and with flow,
        // and in air there is next to none.
        let delivered = positive_part(at.flow[0] / p.rated_flow, 0.01);
        let wet = share * share * CHURNING + share * delivered * (1.0 - CHURNING);
        let rubbing = p.drag * share / magnitude(share, BREAKAWAY);
        let torque = wet * p.prime + rubbing;
        let volts = p.voltage / p.rated_voltage * p.supply;
        let turns = volts * (p.droop + 1.0) - torque * p.droop / p.contact;
        say.unknown[0] = at.unknowns[0] - p.rated_speed * turns;
        say.unknown[1] = at.unknowns[1] - p.rated_current * torque;
        say.storage[0] = p.rated_flow * 4_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    /// The bench with the speed that its own law asks for, at no pressure from outside.
    fn running(mut bench: Bench, rise: f64) -> Bench {
        bench.site.inlet_pressure[0] = 2e5;
        for _ in 0..400 {
            bench.site.flow[0] = bench.flow_at(0, -rise);
            let wanted = bench.inner("speed");
            bench.site.unknowns[0] += 0.2 * (wanted - bench.site.unknowns[0]);
        }
        bench
    }

    #[test]
    fn at_another_voltage_it_keeps_to_the_affinity_laws() {
        // [White7] eq. 11.28: half the head that goes with speed squared at the speed it then has.
        let sound = Bench::of(&KIND).with("lift", 0.0).with("voltage", 13.6).with("drag", 0.0);
        let half = sound.figure("shutoff") / 2.0;
        let at_rated = running(sound.clone(), half);
        near(at_rated.site.unknowns[0], sound.figure("rated_speed"), 0.02, "its rated point");
        near(at_rated.site.flow[0], sound.figure("rated_flow"), 0.02, "its rated point");
        let low = running(sound.clone().with("voltage", 10.2), half * 0.6);
        let share = low.site.unknowns[0] / sound.figure("rated_speed");
        let head = (sound.figure("shutoff") * share * share - half * 0.6) / half;
        near(low.site.flow[0], sound.figure("rated_flow") * head.sqrt(), 0.01, "[White7] eq. 11.28");
        assert!((0.7..0.9).contains(&share), "three quarters of the voltage turn it at {share} of its speed");
    }

    #[test]
    fn it_needs_no_engine_and_stands_still_seized_or_without_its_fuse() {
        let bench = Bench::of(&KIND);
        assert!(running(bench.clone(), 2e4).site.unknowns[0] > 300.0, "with the engine stopped");
        let unfused = running(bench.clone().with("supply", 0.0), 0.0);
        assert!(unfused.site.unknowns[0].abs() < 1.0 && unfused.inner("current").abs() < 0.5);
        // Drawn far past full torque without turning: what blows the fuse.
        let mut seized = bench.with("drag", 60.0);
        seized.site.unknowns[0] = 0.002 * seized.figure("rated_speed");
        assert!(seized.inner("current") > 2.0 * seized.figure("rated_current"));
    }
}
