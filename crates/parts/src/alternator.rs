//! Alternator with its regulator: charges, and on many engines gives the speed gauge its signal.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::step;

crate::parameters! {
    /// Alternator turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.5..=6.0, 2.4, exact, "common practice, no source";
    /// Voltage the regulator holds [V].
    regulated: Voltage, 5.0..=60.0, 14.2, plus 0.25, "[Trade] 2.7 charging voltage";
    /// Voltage of the batteries without charge [V].
    resting: Voltage, 5.0..=56.0, 12.5, plus 0.3, "[Trade] 2.7 rest voltage";
    /// Alternator speed at which it starts to charge [rad/s].
    cut_in: RotationalSpeed, 20.0..=400.0, 110.0, within 1.3, "from memory";
    /// Share of its output that reaches the batteries [1].
    output: Ratio, 0.0..=1.5, 1.0, exact, "common practice, no source";
    /// Share of its field that is there: without it no charge, and no signal for a speed gauge [1].
    excitation: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Turns of what drives it for each engine turn, that a speed gauge fed from it is set for [1].
    tach_ratio: Ratio, 0.2..=10.0, 1.0, exact, "common practice, no source";
}

/// Width of the cut-in [rad/s].
const CUT_IN_WIDTH: f64 = 25.0;
/// Field below which a speed gauge loses its signal, and how fast [1] (from memory).
const SIGNAL: (f64, f64) = (0.15, 0.05);

/// The kind.
pub const KIND: Kind = Kind {
    name: "alternator",
    title: "Alternator",
    called: &["generator"],
    places: &[],
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z")],
        ways: &[],
        link: inward((0.0, 18.0)),
        letters: "G",
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "voltage", quantity: Quantity::Voltage, start: 14.0, size: 0.5, bounds: (0.0, 60.0) },
        Unknown {
            name: "signal",
            quantity: Quantity::RotationalSpeed,
            start: 150.0,
            size: 10.0,
            bounds: (-5.0, 1500.0),
        },
    ],
    links: &[Link::DriverSpeed],
    laws: both::<Alternator>(),
    causes: &[
        Cause {
            name: "failed",
            title: "alternator does not charge",
            moves: &[Move { on: Whose::Own, parameter: "excitation", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("burnt smell", 0.15), says("growls", 0.15)],
            misreads: None,
            rate: "alternator-failed",
            remedy: "repair or renew the alternator",
        },
        Cause {
            name: "diode_failed",
            title: "diode of the alternator open, leaking or shorted",
            moves: &[Move { on: Whose::Own, parameter: "output", by: By::Factor(0.4) }],
            severity: Severity::Even,
            says: &[
                says("whines", 0.35),
                says("charge lamp glows", 0.45),
                says("warm at rest", 0.35),
                says("batteries flat by morning", 0.4),
            ],
            misreads: None,
            rate: "alternator-diode-failed",
            remedy: "repair or renew the alternator",
        },
        Cause {
            name: "rectifier_shorted",
            title: "rectifier of the alternator dead short",
            moves: &[Move { on: Whose::Own, parameter: "excitation", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[
                says("burnt smell", 0.5),
                says("hot", 0.5),
                says("warm at rest", 0.5),
                says("batteries flat by morning", 0.5),
                says_of("belt", "squeals", 0.3),
            ],
            misreads: None,
            rate: "alternator-rectifier-shorted",
            remedy: "repair or renew the alternator",
        },
        Cause {
            name: "regulator_high",
            title: "regulator no longer limits the voltage",
            moves: &[Move { on: Whose::Own, parameter: "regulated", by: By::Factor(1.3) }],
            severity: Severity::MostlyBad,
            says: &[
                says("batteries gas or smell", 0.5),
                says("lamps bright or blowing", 0.4),
                says("cables hot", 0.3),
                says("hot", 0.4),
            ],
            misreads: None,
            rate: "alternator-regulator-failed-high",
            remedy: "renew the regulator",
        },
        Cause {
            name: "exciter_contact_poor",
            title: "exciter contact poor: charges late or now and then",
            moves: &[Move { on: Whose::Own, parameter: "cut_in", by: By::Factor(3.0) }],
            severity: Severity::Even,
            says: &[says("charges only when revved", 0.75)],
            misreads: None,
            rate: "alternator-exciter-connection-poor",
            remedy: "clean and tighten the exciter contact",
        },
        Cause {
            name: "output_breaker_open",
            title: "breaker or fuse in the output line open",
            moves: &[Move { on: Whose::Own, parameter: "output", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[],
            misreads: None,
            rate: "alternator-output-breaker-open",
            remedy: "find why it opened, then close it",
        },
        Cause {
            name: "output_wire_corroded",
            title: "output cable or lug corroded",
            moves: &[Move { on: Whose::Own, parameter: "output", by: By::Lost }],
            severity: Severity::Even,
            says: &[says("cables hot", 0.4), says("batteries flat by morning", 0.2)],
            misreads: None,
            rate: "alternator-output-wire-corroded",
            remedy: "renew the output cable",
        },
        // The belt is lost with it, and what else that belt turns.
        Cause {
            name: "mount_broken",
            title: "mount or arm of the alternator broken, belt lost",
            moves: &[
                Move { on: Whose::Kind("belt"), parameter: "slip", by: By::Towards(1.0) },
                Move { on: Whose::Own, parameter: "output", by: By::Towards(0.0) },
            ],
            severity: Severity::Whole,
            says: &[
                says("sits askew", 0.8),
                says_of("belt", "missing", 0.7),
                says_of("belt", "slack", 0.3),
                says_of("belt", "squeals", 0.3),
                says_of("belt", "dust", 0.3),
            ],
            misreads: None,
            rate: "alternator-mount-broken",
            remedy: "repair the mount and fit a belt",
        },
        Cause {
            name: "seized",
            title: "alternator seized: the belt burns on its pulley",
            moves: &[
                Move { on: Whose::Kind("belt"), parameter: "slip", by: By::Towards(1.0) },
                Move { on: Whose::Own, parameter: "output", by: By::Lost },
            ],
            severity: Severity::MostlyBad,
            says: &[
                says("growls", 0.5),
                says("hot", 0.4),
                says_of("belt", "squeals", 0.7),
                says_of("belt", "hot", 0.6),
                says_of("belt", "dust", 0.5),
                says_of("diesel", "smell of hot rubber", 0.6),
            ],
            misreads: None,
            rate: "alternator-seized",
            remedy: "renew the alternator, or run a shorter belt past it",
        },
    ],
    words: &[
        Word {
            name: "charge lamp on",
            of: Of::Share { probe: Probe::Unknown(0), midpoint: 0.93, spread: 0.02, when: When::Low },
            false_said: 0.02,
            miss: 0.1,
            group: "charge",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "charge lamp glows",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.3,
            group: "charge",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "charges only when revved",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.2,
            group: "charge",
            danger: None,
            source: "from memory",
        },
        // Old batteries and a light left on do it too.
        Word {
            name: "batteries flat by morning",
            of: Of::Cause,
            false_said: 0.08,
            miss: 0.3,
            group: "batteries",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "batteries gas or smell",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.3,
            group: "over-charge",
            danger: Some(
                "No flame or spark near the batteries; air in. Slow down, and switch off the field if \
                      there is a switch for it; never the battery switch while it charges.",
            ),
            source: "from memory",
        },
        Word {
            name: "lamps bright or blowing",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.3,
            group: "over-charge",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "cables hot",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.4,
            group: "heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hot",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.3,
            group: "heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "warm at rest",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.4,
            group: "heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "burnt smell",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "whines",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.4,
            group: "noise",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "growls",
            of: Of::Cause,
            false_said: 0.04,
            miss: 0.4,
            group: "noise",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "sits askew",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.2,
            group: "mount",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "voltage_at_output",
            title: "Measure the voltage at the output stud and at the batteries, running",
            minutes: 5.0,
            state: State::Running,
            tool: Some("voltmeter"),
            caution: "Probe with one hand, clear of the belt; a slip between stud and case burns.",
            finds: &[
                Find { cause: "output_breaker_open", power: "volt-drop" },
                Find { cause: "output_wire_corroded", power: "volt-drop" },
                Find { cause: "regulator_high", power: "second-gauge" },
                Find { cause: "failed", power: "second-gauge" },
                Find { cause: "rectifier_shorted", power: "second-gauge" },
            ],
        },
        Check {
            name: "wiggle_exciter",
            title: "Move the small plug and its wire with the voltmeter in view",
            minutes: 3.0,
            state: State::Idling,
            tool: Some("voltmeter"),
            caution: "Never pull the output lead while it charges: the voltage jumps.",
            finds: &[Find { cause: "exciter_contact_poor", power: "wiggle" }],
        },
        Check {
            name: "ripple",
            title: "Measure the alternating voltage at the output: above half a volt a diode is gone",
            minutes: 5.0,
            state: State::Running,
            tool: Some("multimeter"),
            caution: "Clear of the belt.",
            finds: &[Find { cause: "diode_failed", power: "second-gauge" }],
        },
        Check {
            name: "follow_the_cable",
            title: "Follow the output cable to the batteries: every fuse, breaker, lug, and feel under \
                      the insulation",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("torch, spanner"),
            caution: "Battery negative off first: the cable is live with the engine stopped.",
            finds: &[
                Find { cause: "output_breaker_open", power: "valve-status-seen" },
                Find { cause: "output_wire_corroded", power: "visual-general" },
            ],
        },
        Check {
            name: "spin_by_hand",
            title: "Belt off: spin the rotor by hand, rock it, look at lugs and arm",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("spanner"),
            caution: "Battery negative off, key out; let it cool.",
            finds: &[
                Find { cause: "seized", power: "visual-general" },
                Find { cause: "mount_broken", power: "visual-general" },
            ],
        },
        Check {
            name: "bench_test",
            title: "Have it tested on a bench",
            minutes: 240.0,
            state: State::Stopped,
            tool: Some("spanner"),
            caution: "Battery negative off first; mark the wires.",
            finds: &[
                Find { cause: "failed", power: "second-gauge" },
                Find { cause: "diode_failed", power: "second-gauge" },
                Find { cause: "rectifier_shorted", power: "second-gauge" },
                Find { cause: "regulator_high", power: "second-gauge" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Alternator;

impl Law for Alternator {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let speed = at.links[0] * p.drive_ratio;
        let charging = step(speed - p.cut_in, CUT_IN_WIDTH) * p.output * p.excitation;
        say.unknown[0] = at.unknowns[0] - p.resting - (p.regulated - p.resting) * charging;
        // A speed gauge fed from it shows the engine's speed by the ratio it is set for, and nothing without a field.
        let heard = step(speed - p.cut_in * 0.7, CUT_IN_WIDTH) * step(p.excitation - SIGNAL.0, SIGNAL.1);
        say.unknown[1] = at.unknowns[1] - at.links[0] / p.tach_ratio * heard;
    }
}
