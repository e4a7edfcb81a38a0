//! Air receiver: the bottle that starting air waits in.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Pressure it is kept at, over the air [Pa].
    charged: GaugePressure, 1e5..=6e6, 2.5e6, within 1.15, "from memory: 25 to 30 bar for starting";
    /// Share of that which is left [1].
    left: Ratio, 0.0..=1.3, 1.0, within 1.1, "common practice, no source";
}

/// Said of every valve and fitting under air.
const UNDER_AIR: &str = "Stand aside of valve and fitting, open slowly: air at this pressure throws what is loose, and oil in its pipes \
    can burn with it.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "air-receiver",
    title: "Air receiver",
    called: &["air-bottle", "starting-air-bottle", "starting-air-receiver"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Air,
    symbol: Symbol {
        size: (52.0, 28.0),
        strokes: &[
            Stroke::Outline("M10 2H42A12 12 0 0 1 42 26H10A12 12 0 0 1 10 2Z"),
            Stroke::Line("M26 26V28M20 28H32"),
        ],
        ways: &[],
        link: outward((52.0, 14.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[Unknown {
        name: "pressure",
        quantity: Quantity::GaugePressure,
        start: 2.5e6,
        size: 1e5,
        bounds: (-1e5, 2e7),
    }],
    links: &[],
    laws: both::<AirReceiver>(),
    causes: &[
        Cause {
            name: "leaks",
            title: "starting air leaks away: valve, drain or pipe",
            moves: &[Move { on: Whose::Own, parameter: "left", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("hisses", 0.5), says("empty by morning", 0.7)],
            misreads: None,
            rate: "air-receiver-leaks",
            remedy: "soap the joints and mend the leak, with the air let off",
        },
        Cause {
            name: "not_filled",
            title: "receiver was not filled after the last start",
            moves: &[Move { on: Whose::Own, parameter: "left", by: By::Towards(0.35) }],
            severity: Severity::Even,
            says: &[says("too little for a start", 0.8)],
            misreads: None,
            rate: "air-receiver-not-filled",
            remedy: "fill it, by hand compressor if need be, and shut its valve",
        },
        spoken(&Spoken {
            name: "water_inside",
            title: "water and oil in the receiver",
            says: &[says("water at the drain", 0.85)],
            rate: "air-receiver-water",
            remedy: "drain it after every filling; have it looked into and tested",
        }),
    ],
    words: &[
        Word { danger: Some(UNDER_AIR), ..said("hisses", 0.03, 0.3, "air") },
        said("empty by morning", 0.03, 0.1, "air"),
        said("too little for a start", 0.03, 0.15, "air"),
        said("water at the drain", 0.1, 0.2, "air"),
    ],
    checks: &[
        Check {
            name: "soap",
            title: "Brush soapy water over valve, drain and joints",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("brush, soap"),
            caution: UNDER_AIR,
            finds: &[Find { cause: "leaks", power: "round-walk" }],
        },
        Check {
            name: "gauge_and_valve",
            title: "Read its gauge and feel its valve: shut, and full?",
            minutes: 1.0,
            state: State::Running,
            tool: None,
            caution: UNDER_AIR,
            finds: &[Find { cause: "not_filled", power: "gauge-read" }, Find { cause: "leaks", power: "gauge-read" }],
        },
        Check {
            name: "drain",
            title: "Open the drain a moment: air, or water first?",
            minutes: 2.0,
            state: State::Stopped,
            tool: Some("cup"),
            caution: UNDER_AIR,
            finds: &[Find { cause: "water_inside", power: "valve-status-seen" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct AirReceiver;

impl Law for AirReceiver {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        say.unknown[0] = at.unknowns[0] - p.charged * p.left;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn its_gauge_shows_what_is_left_of_its_charge() {
        let bench = Bench::of(&KIND).with("charged", 3e6);
        near(bench.inner("pressure"), 3e6, 1e-12, "its own figure");
        // Boyle: half of the air at the same warmth is half the absolute pressure; here the gauge's, by as good as that.
        near(bench.with("left", 0.5).inner("pressure"), 1.5e6, 0.04, "half of it");
    }
}
