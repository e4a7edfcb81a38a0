//! Charge relay: joins a second bank to the first while that is being charged.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::step;

crate::parameters! {
    /// Voltage of what it is fed from at which it closes [V].
    closes: Voltage, 5.0..=60.0, 13.3 * volts ^ 1.0, plus 0.15, "from memory";
    /// Resistance of its contacts and lugs when closed [Ω].
    contact: Resistance, 1e-5..=0.1, 1e-3, within 2.0, "from memory";
    /// Whether its coil pulls at all [1].
    pulls: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Whether its contacts are welded [1].
    welded: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
}

/// Width of its closing [V]: a real one snaps, but nothing here may jump.
const WIDTH: f64 = 0.1;
/// Share that an open contact lets through [1].
const LEAK: f64 = 1e-9;

/// The kind.
pub const KIND: Kind = Kind {
    name: "charge-relay",
    title: "Charge relay",
    called: &["split-charge-relay", "combiner", "voltage-sensing-relay"],
    places: &[along(Circuit::Charging, Station::NonReturn, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (40.0, 34.0),
        strokes: &[
            Stroke::Line("M0 22H12M28 22H40M12 22L29 11"),
            Stroke::Outline("M13 0H27V8H13Z"),
            Stroke::Dashed("M20 8V16"),
        ],
        ways: &[way((0.0, 22.0), (40.0, 22.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("current", &[Circuit::Charging], "in", "out").that("goes through")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Relay>(),
    causes: &[
        Cause {
            name: "stays_open",
            title: "relay does not close: the second bank gets no charge",
            moves: &[Move { on: Whose::Own, parameter: "pulls", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("no click at starting", 0.6)],
            misreads: None,
            rate: "charge-relay-stays-open",
            remedy: "renew the relay, or mend the wire to its coil",
        },
        Cause {
            name: "welded",
            title: "contacts welded: the banks are never apart",
            moves: &[Move { on: Whose::Own, parameter: "welded", by: By::Towards(1.0) }],
            severity: Severity::Whole,
            says: &[says("no click at starting", 0.6), says_of("battery", "cranks slowly", 0.3)],
            misreads: None,
            rate: "charge-relay-welded",
            remedy: "renew the relay",
        },
    ],
    words: &[said("no click at starting", 0.06, 0.3, "relay")],
    checks: &[Check {
        name: "voltages",
        title: "Measure the voltage on both sides, charging and an hour after stopping",
        minutes: 5.0,
        state: State::Running,
        tool: Some("voltmeter"),
        caution: "Both studs are live with the engine stopped.",
        finds: &[Find { cause: "stays_open", power: "second-gauge" }, Find { cause: "welded", power: "second-gauge" }],
    }],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Relay;

impl Law for Relay {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let pulled = step(at.inlet_pressure[0] - p.closes, WIDTH) * p.pulls;
        // Pulled or welded, or both.
        let closed = pulled + p.welded - pulled * p.welded;
        let over = at.inlet_pressure[0] - at.outlet_pressure[0];
        say.gap[0] = (closed + LEAK) * over - at.flow[0] * p.contact;
    }
}

#[cfg(test)]
mod tests {
    use crate::bench::Bench;

    fn passes(voltage: f64, welded: f64) -> f64 {
        let mut bench = Bench::of(&super::KIND).with("welded", welded);
        bench.site.inlet_pressure[0] = voltage;
        bench.flow_at(0, 0.02)
    }

    #[test]
    fn it_joins_only_while_it_is_charged() {
        // Relays of this sort close at 13.3 V and let go under 12.8 V, suppliers say; from memory.
        assert!(passes(14.0, 0.0) > 15.0 && passes(12.6, 0.0) < 0.1 && passes(12.6, 1.0) > 15.0);
    }
}
