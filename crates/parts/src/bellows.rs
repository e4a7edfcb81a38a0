//! Bellows: the flexible piece between an engine on its mounts and a dry exhaust that stands still.

use crate::dry_stack::GAS_ABOARD;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::flow::pipe_drop;
use physics::gas;
use physics::number::Number;

crate::parameters! {
    /// Length [m].
    length: Length, 0.03..=2.0, 0.25, within 1.5, "common practice, no source";
    /// Bore [m].
    bore: Length, 0.02..=1.0, 0.085 * power ^ 0.5, within 1.12, "[Trade] 2.5 a wet exhaust has 1.4 times the bore";
}

/// Height of the folds, as wall roughness [m]: about a twentieth of the bore, from memory.
const FOLDS: f64 = 0.05;

/// The kind.
pub const KIND: Kind = Kind {
    name: "bellows",
    title: "Exhaust bellows",
    called: &["exhaust-bellows", "expansion-bellows", "compensator"],
    places: &[along(Circuit::Exhaust, Station::Flexible, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (36.0, 24.0),
        strokes: &[
            Stroke::Line("M0 4V20M36 4V20"),
            Stroke::Line("M0 12C4 0 8 0 9 12C10 24 14 24 18 12C22 0 26 0 27 12C28 24 32 24 36 12"),
        ],
        ways: &[way((0.0, 12.0), (36.0, 12.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("gas", &[Circuit::Exhaust], "in", "out").that("passes")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Bellows>(),
    causes: &[Cause {
        name: "cracked",
        title: "exhaust bellows cracked: gas in the engine space is breathed in again",
        moves: &[Move { on: Whose::Kind("diesel"), parameter: "volumetric_efficiency", by: By::Factor(0.8) }],
        severity: Severity::MostlySlight,
        says: &[
            says("leaks", 0.6),
            says("ticks", 0.5),
            says_of("diesel", "smell of exhaust", 0.5),
            says_of("diesel", "space hot", 0.2),
        ],
        misreads: None,
        rate: "dry-exhaust-bellows-cracked",
        remedy: "renew the bellows",
    }],
    words: &[
        Word {
            name: "leaks",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "exhaust-leak",
            danger: Some(GAS_ABOARD),
            source: "from memory",
        },
        said("ticks", 0.04, 0.3, "exhaust-sound"),
    ],
    checks: &[
        Check {
            name: "look_for_soot",
            title: "Look at the folds and both flanges for soot, a helper holding some load",
            minutes: 3.0,
            state: State::Running,
            tool: Some("torch, mirror"),
            caution: "Hatches open; headache or dizziness means out, at once. It is at 400 °C.",
            finds: &[Find { cause: "cracked", power: "round-walk" }],
        },
        Check {
            name: "bend_it",
            title: "Lagging off, pull and push at the bellows and look between the folds",
            minutes: 20.0,
            state: State::StoppedCold,
            tool: Some("light, mirror"),
            caution: "Let it cool; cracked folds cut.",
            finds: &[Find { cause: "cracked", power: "visual-engine-parts" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Bellows;

impl Law for Bellows {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let density = gas::density(at.fuel_air_ratio(0), at.inlet_temperature[0], at.inlet_pressure[0]);
        let viscosity = at.contents[0].viscosity(at.inlet_temperature[0]);
        let drop = pipe_drop(at.flow[0], p.length, p.bore, p.bore * FOLDS, N::constant(0.0), density, viscosity);
        at.drop(say, 0, drop);
        say.storage[0] = p.length * p.bore * 8_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};
    use physics::contents::Contents;

    #[test]
    fn it_loses_what_a_rough_pipe_does() {
        // A twentieth of the bore is as rough as the chart goes: friction 0.0716 ([White7] fig. 6.13, eq. 6.48 by hand),
        // so 0.25 m of 0.1 m lose 0.179 velocity heads.
        let mut bench = Bench::of(&KIND).with("length", 0.25).with("bore", 0.1);
        bench.site.contents[0] = Contents::Gas { fuel_air_ratio: 0.0 };
        bench.site.flow[0] = 0.1;
        bench.site.inlet_temperature[0] = 693.15;
        let density = 101_325.0 * 28.9655e-3 / (8.314_462 * 693.15);
        let velocity = 0.1 * 4.0 / (std::f64::consts::PI * 0.01 * density);
        near(-bench.say().gap[0], 0.179 * 0.5 * density * velocity * velocity, 0.03, "[White7] fig. 6.13");
    }
}
