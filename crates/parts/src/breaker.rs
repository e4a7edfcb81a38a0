//! Breaker, fuse or battery switch: on, or off.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;

crate::parameters! {
    /// Whether it is on: 1 lets current through, 0 is off, tripped or blown [1].
    closed: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Resistance of its contacts and lugs when on [Ω].
    contact: Resistance, 1e-5..=1.0, 0.5e-3, within 2.0, "from memory";
}

/// Share that an open contact lets through [1]: keeps a branch that is off solvable.
const LEAK: f64 = 1e-9;

/// The kind.
pub const KIND: Kind = Kind {
    name: "breaker",
    title: "Breaker, fuse or battery switch",
    called: &["fuse", "battery-switch", "circuit-breaker", "main-switch"],
    places: &[along(Circuit::Charging, Station::Valve, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (36.0, 22.0),
        strokes: &[Stroke::Line("M0 11H6M30 11H36"), Stroke::Outline("M6 4H30V18H6Z"), Stroke::Line("M6 11H30")],
        ways: &[way((0.0, 11.0), (36.0, 11.0))],
        position: Some("closed"),
        ..Symbol::BLANK
    },
    passages: &[passage("current", &[Circuit::Charging], "in", "out").that("goes through")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Breaker>(),
    causes: &[
        Cause {
            name: "off",
            title: "breaker tripped, fuse blown or switch left off",
            moves: &[Move { on: Whose::Own, parameter: "closed", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("found off", 0.9)],
            misreads: None,
            rate: "breaker-off",
            remedy: "find why it opened, then close it",
        },
        Cause {
            name: "contact_burnt",
            title: "contacts burnt or lugs loose",
            moves: &[Move { on: Whose::Own, parameter: "contact", by: By::Factor(200.0) }],
            severity: Severity::Even,
            says: &[says("hot", 0.5), says("clicks or flickers when touched", 0.3)],
            misreads: None,
            rate: "breaker-contact-burnt",
            remedy: "renew the switch",
        },
    ],
    words: &[
        said("found off", 0.01, 0.1, "switch"),
        said("hot", 0.02, 0.4, "switch-heat"),
        said("clicks or flickers when touched", 0.02, 0.3, "switch-heat"),
    ],
    checks: &[
        Check {
            name: "look",
            title: "Look how it stands, and measure the voltage on both sides of it",
            minutes: 3.0,
            state: State::Running,
            tool: Some("voltmeter"),
            caution: "Do not switch it while the alternator charges: the voltage jumps and kills diodes and electronics.",
            finds: &[
                Find { cause: "off", power: "valve-status-seen" },
                Find { cause: "contact_burnt", power: "volt-drop" },
            ],
        },
        Check {
            name: "feel",
            title: "Feel it and its lugs after an hour of charging",
            minutes: 2.0,
            state: State::Stopped,
            tool: None,
            caution: "It may be hot enough to burn, and its lugs are live.",
            finds: &[Find { cause: "contact_burnt", power: "visual-general" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Breaker;

impl Law for Breaker {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Multiplied through by what is closed: no pole when it is off.
        let through = p.closed * p.closed + LEAK;
        say.gap[0] = through * (at.inlet_pressure[0] - at.outlet_pressure[0]) - at.flow[0] * p.contact;
    }
}

#[cfg(test)]
mod tests {
    use crate::bench::{Bench, near};

    #[test]
    fn on_it_passes_and_off_it_holds() {
        near(Bench::of(&super::KIND).flow_at(0, 0.02), 40.0, 1e-6, "Ohm: 20 mV over half a milliohm");
        assert!(Bench::of(&super::KIND).with("closed", 0.0).flow_at(0, 14.0).abs() < 1e-3);
    }
}
