//! Cable: copper out and back, with its lugs.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::electrical::cable_resistance;
use physics::number::Number;

crate::parameters! {
    /// Length one way; as much comes back [m].
    length: Length, 0.1..=100.0, 3.0, within 1.6, "common practice, no source";
    /// Section of its copper [m²].
    section: Area, 0.5e-6..=500e-6, 35e-6, within 1.5, "common practice, no source";
    /// Resistance of its lugs together [Ω].
    contact: Resistance, 0.0..=1.0, 0.5e-3, within 2.0, "from memory";
    /// Current that strays from it to the hull at 12 V [A].
    stray: Current, 0.0..=500.0, 0.0, exact, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "cable",
    title: "Cable",
    called: &["wire", "charging-cable", "charge-cable"],
    places: &[along(Circuit::Charging, Station::Pipe, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (28.0, 12.0),
        strokes: &[Stroke::Line("M0 6H28"), Stroke::Line("M4 0V12M24 0V12")],
        ways: &[way((0.0, 6.0), (28.0, 6.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("current", &[Circuit::Charging], "in", "out").that("runs through")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::All("space_temperature")],
    laws: both::<Cable>(),
    causes: &[
        Cause {
            name: "lug_corroded",
            title: "lug of the cable loose or corroded",
            moves: &[Move { on: Whose::Own, parameter: "contact", by: By::Factor(200.0) }],
            severity: Severity::Even,
            says: &[says("lug hot", 0.5), says("lug green", 0.5)],
            misreads: None,
            rate: "charge-cable-lug-corroded",
            remedy: "renew or tighten the lug",
        },
        Cause {
            name: "chafed",
            title: "cable chafed through to the hull",
            moves: &[Move { on: Whose::Own, parameter: "stray", by: By::Towards(60.0) }],
            severity: Severity::MostlySlight,
            says: &[says("smell of hot insulation", 0.6), says("sparks", 0.3)],
            misreads: None,
            rate: "charge-cable-chafed",
            remedy: "renew the cable and protect it where it chafed",
        },
    ],
    words: &[
        said("lug hot", 0.02, 0.4, "lugs"),
        said("lug green", 0.05, 0.3, "lugs"),
        Word {
            danger: Some(
                "Fire may follow. Stop the engine as soon as stopping does not put her in danger, battery switches off, \
                 extinguisher to hand.",
            ),
            ..said("smell of hot insulation", 0.01, 0.2, "cable-fire")
        },
        Word {
            danger: Some(
                "Fire may follow. Stop the engine as soon as stopping does not put her in danger, battery switches off, \
                 extinguisher to hand.",
            ),
            ..said("sparks", 0.003, 0.1, "cable-fire")
        },
    ],
    checks: &[
        Check {
            name: "volt_drop",
            title: "Measure the voltage lost along it while it carries current, and over each lug",
            minutes: 5.0,
            state: State::Running,
            tool: Some("voltmeter"),
            caution: "Clear of belts; a probe that slips to the hull burns.",
            finds: &[Find { cause: "lug_corroded", power: "volt-drop" }],
        },
        Check {
            name: "follow_it",
            title: "Follow it from end to end: lugs, clips, edges it passes",
            minutes: 20.0,
            state: State::Stopped,
            tool: Some("torch"),
            caution: "Battery negative off first: it is live with the engine stopped.",
            finds: &[
                Find { cause: "chafed", power: "visual-general" },
                Find { cause: "lug_corroded", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "voltage lost",
        asks: "Does it lose little enough of its voltage?",
        of: |at| {
            let lost = at.inlet_pressure[0] - at.outlet_pressure[0];
            (at.flow[0].abs() > LEAST_CURRENT).then(|| (lost / at.inlet_pressure[0]).abs())
        },
        quantity: Quantity::Ratio,
        least: f64::NEG_INFINITY,
        most: 0.03,
        remedy: "a thicker or a shorter cable, and clean lugs",
        source: "[Trade] 2.7 cable",
    }],
};

/// Current under which a cable is not asked what it loses [A].
const LEAST_CURRENT: f64 = 1.0;
/// Voltage at which what strays is stated [V].
const STRAY_AT: f64 = 12.0;

/// Its laws.
struct Cable;

impl Law for Cable {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        at.drop(say, 0, at.flow[0] * (cable_resistance(p.length, p.section, at.room(0)) + p.contact));
        say.leak[0] = at.outlet_pressure[0] * p.stray / STRAY_AT;
    }
}

#[cfg(test)]
mod tests {
    use crate::bench::{Bench, near};

    #[test]
    fn it_loses_what_copper_loses() {
        // The check value `el.drop`: 75 A through 3 m of 35 mm², out and back, lose 0.2217 V.
        let mut bench = Bench::of(&super::KIND).with("contact", 0.0);
        bench.site.point.air = 293.15;
        bench.site.inlet_pressure[0] = 14.0;
        near(bench.flow_at(0, 0.221_67), 75.0, 1e-4, "IEC 60028 copper");
    }
}
