//! A part on the bench: its figures as typical of the reference engine, everything about it at rest until it is set.

use crate::kind::{Circuit, Kind, REFERENCE_POWER, REFERENCE_SPEED};
use crate::laws::{LINKS, PASSAGES, Point, Say, Site, UNKNOWNS};
use physics::constants::ATMOSPHERE;
use physics::contents::Contents;
use physics::coolant::Glycol;

/// Temperature of everything until it is set [K].
pub(crate) const MILD: f64 = 288.15;
/// Flows between which a balance is looked for [kg/s].
const WIDEST: f64 = 1e3;

/// A part and the state around it.
#[derive(Clone, Debug)]
pub(crate) struct Bench {
    kind: &'static Kind,
    parameters: Vec<f64>,
    /// What surrounds it; its parameters are those above.
    pub site: Site<'static, f64>,
}

impl Bench {
    pub fn of(kind: &'static Kind) -> Self {
        let mut contents = [Contents::FreshWater; PASSAGES];
        for (to, passage) in contents.iter_mut().zip(kind.passages) {
            *to = match passage.carries[0] {
                Circuit::RawWater => Contents::OCEAN,
                Circuit::Oil => Contents::Oil { nu40_m2s: 1.05e-4, nu100_m2s: 1.15e-5, dilution: 0.0 },
                Circuit::Fuel => Contents::Fuel,
                Circuit::Charging => Contents::Current,
                _ => Contents::Coolant { glycol: Glycol::Ethylene, volume_fraction: 0.5 },
            };
        }
        Bench {
            kind,
            parameters: kind.parameters.iter().map(|p| p.typical.of(REFERENCE_POWER, REFERENCE_SPEED)).collect(),
            site: Site {
                parameters: &[],
                flow: [0.0; PASSAGES],
                inlet_pressure: [ATMOSPHERE; PASSAGES],
                outlet_pressure: [ATMOSPHERE; PASSAGES],
                inlet_temperature: [MILD; PASSAGES],
                outlet_temperature: [MILD; PASSAGES],
                unknowns: [0.0; UNKNOWNS],
                links: [0.0; LINKS],
                point: Point { speed: 0.0, load: 1.0, sea: MILD, air: MILD, atmosphere: ATMOSPHERE, pitch: 1.0 },
                contents,
            },
        }
    }

    fn place(&self, parameter: &str) -> usize {
        let place = self.kind.parameters.iter().position(|p| p.name == parameter);
        place.unwrap_or_else(|| panic!("{} has no {parameter}", self.kind.name))
    }

    /// A figure [SI].
    pub fn figure(&self, parameter: &str) -> f64 {
        self.parameters[self.place(parameter)]
    }

    /// The same bench with a figure changed [SI].
    pub fn with(mut self, parameter: &str, value: f64) -> Self {
        let place = self.place(parameter);
        self.parameters[place] = value;
        self
    }

    /// What its laws say.
    pub fn say(&self) -> Say<f64> {
        let mut say = Say::nothing();
        self.kind.laws.plain(&Site { parameters: &self.parameters, ..self.site.clone() }, &mut say);
        say
    }

    /// An inner quantity whose law states it outright [SI].
    pub fn inner(&self, name: &str) -> f64 {
        let place = self.kind.unknowns.iter().position(|u| u.name == name).expect("an unknown of that name");
        self.site.unknowns[place] - self.say().unknown[place]
    }

    /// Flow through a passage that loses `drop` [Pa] from inlet to outlet [kg/s]; its inlet stands as it is set.
    pub fn flow_at(&self, passage: usize, drop: f64) -> f64 {
        let mut bench = self.clone();
        bench.site.outlet_pressure[passage] = bench.site.inlet_pressure[passage] - drop;
        // The gap falls as the flow grows.
        let (mut low, mut high) = (-WIDEST, WIDEST);
        for _ in 0..200 {
            bench.site.flow[passage] = 0.5 * (low + high);
            if bench.say().gap[passage] > 0.0 {
                low = bench.site.flow[passage];
            } else {
                high = bench.site.flow[passage];
            }
        }
        bench.site.flow[passage]
    }
}

/// Two numbers within a share of the second.
#[track_caller]
pub(crate) fn near(ours: f64, theirs: f64, share: f64, source: &str) {
    assert!((ours - theirs).abs() <= share * theirs.abs(), "{source}: {theirs} stated, we compute {ours}");
}
