//! Relief valve: lets oil back to the sump above its set pressure.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::softplus;

crate::parameters! {
    /// Pressure at which it starts to lift [Pa].
    cracks: PressureDifference, 50_000.0..=1.5e6, 340_000.0, within 1.2, "[Trade] 2.3 pressures";
    /// Further pressure until it passes its full flow [Pa].
    rise: PressureDifference, 5_000.0..=500_000.0, 60_000.0, within 1.8, "from memory";
    /// Flow at full lift [kg/s].
    full_flow: MassFlow, 0.01..=20.0, 0.6 * power ^ 1.0, within 1.5, "from memory";
    /// Lift that it cannot close, as a share of full: 0 when sound [1].
    stuck: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Share of its lift it can still make: 1 when sound [1].
    free: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// Rounding of the start of lift [Pa].
const CRACK_WIDTH: f64 = 4_000.0;
/// Pressure below which the flow through the seat turns linear [Pa].
const REST: f64 = 2_000.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "relief-valve",
    title: "Oil relief valve",
    called: &["pressure-relief-valve"],
    places: &[Place::Beside {
        circuit: Circuit::Oil,
        passage: "oil",
        after: Some(Station::Pump),
        before: Some(Station::Source),
        usual: true,
    }],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: Symbol {
        size: (36.0, 40.0),
        strokes: &[Stroke::Outline("M0 9V31L36 9V31Z"), Stroke::Line("M18 20V12L12 9L24 5L12 1L18 0")],
        ways: &[way((0.0, 20.0), (36.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("oil", &[Circuit::Oil], "in", "out")
        .that("goes back by itself, when the pressure is too high, through")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<ReliefValve>(),
    causes: &[
        Cause {
            name: "stuck_open",
            title: "oil relief valve stuck open or held by dirt",
            // A piston held right back uncovers about twice what it needs for the whole flow (from memory).
            moves: &[Move { on: Whose::Own, parameter: "stuck", by: By::Towards(2.0) }],
            severity: Severity::Even,
            says: &[says_of("alarm", "flickers", 0.15)],
            misreads: None,
            rate: "oil-relief-valve-stuck-open",
            remedy: "clean or renew the relief valve",
        },
        Cause {
            name: "stuck_shut",
            title: "oil relief valve stuck shut or set too high",
            moves: &[Move { on: Whose::Own, parameter: "free", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says_of("oil-filter", "swollen", 0.25)],
            misreads: None,
            rate: "oil-pressure-high",
            remedy: "clean or renew the relief valve",
        },
        Cause {
            name: "absent",
            title: "no relief path in the oil circuit",
            moves: &[Move { on: Whose::Own, parameter: "free", by: By::Lost }],
            severity: Severity::Whole,
            says: &[says_of("oil-filter", "swollen", 0.4), says_of("oil-filter", "leaks at the gasket", 0.4)],
            misreads: None,
            rate: "oil-relief-valve-absent",
            remedy: "fit the relief valve",
        },
    ],
    words: &[],
    checks: &[Check {
        name: "valve_out",
        title: "Take the valve out, look at seat, plunger and spring",
        minutes: 30.0,
        state: State::Stopped,
        tool: Some("spanner, rag, new washer"),
        caution: "Spring behind the plug: unscrew the last thread with a hand on it. Note the shims.",
        finds: &[
            Find { cause: "stuck_open", power: "relief-valve-out" },
            Find { cause: "stuck_shut", power: "relief-valve-out" },
            Find { cause: "absent", power: "relief-valve-out" },
        ],
    }],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct ReliefValve;

impl Law for ReliefValve {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let pressure = at.inlet_pressure[0] - at.outlet_pressure[0];
        // Spring lift, then curtain flow with the root of pressure.
        let lift = softplus(pressure - p.cracks, CRACK_WIDTH) / p.rise * p.free + p.stuck + 1e-6;
        let root = pressure / (pressure * pressure + REST * REST).sqrt().sqrt() / (p.cracks + p.rise).sqrt();
        let scale = p.cracks / p.full_flow;
        say.gap[0] = (p.full_flow * lift * root - at.flow[0]) * scale;
    }
}
