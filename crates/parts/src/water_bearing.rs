//! Water-lubricated bearing: ribbed rubber round the shaft in tube or strut, wetted by the sea or by a feed.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::shaft::{UNKNOWNS_IN_WATER, cooled_by_sea, rubbed};
use physics::number::Number;

crate::parameters! {
    /// Power it rubs away at rated speed when it is sound and wet [W].
    friction: Power, 1.0..=20_000.0, 120.0 * power ^ 0.5, within 2.0, "from memory";
    /// Shaft speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 5.0..=700.0, 75.4 * speed ^ 1.0, exact, "common practice, no source";
    /// What it rubs over sound [1].
    roughness: Ratio, 0.2..=100.0, 1.0, within 1.1, "from memory";
    /// Conductance to the sea without any water fed [W/K].
    standing: ThermalConductance, 0.1..=2_000.0, 25.0 * power ^ 0.3, within 1.8, "from memory";
}

/// What to do with it when it runs dry or hot.
const DRY: &str = "Ease back to the slowest that steers, and see that water is fed to it. Rubber that has run dry grips: \
    stop the shaft when the ship is safe.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "water-bearing",
    title: "Water-lubricated shaft bearing",
    called: &["stern-bearing", "stern-tube-bearing", "strut-bearing", "rubber-bearing"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (44.0, 28.0),
        strokes: &[
            Stroke::Line("M0 14H44"),
            Stroke::Outline("M6 4H38V24H6Z"),
            Stroke::Line("M6 9H38M6 19H38"),
            Stroke::Dashed("M6 14H38"),
        ],
        ways: &[],
        link: way((0.0, 14.0), (44.0, 14.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &UNKNOWNS_IN_WATER,
    links: &[Link::Shaft("shaft_speed"), Link::Shaft("shaft_power"), Link::Fed],
    laws: both::<WaterBearing>(),
    causes: &[
        Cause {
            name: "worn",
            title: "water-lubricated bearing worn: too much play",
            moves: &[Move { on: Whose::Own, parameter: "roughness", by: By::Factor(0.8) }],
            severity: Severity::Even,
            says: &[
                says("knocks", 0.5),
                says("shaft drops in it", 0.7),
                says_of("propeller", "vibrates", 0.6),
                says_of("propeller", "stern gland leaks fast", 0.3),
            ],
            misreads: None,
            rate: "shaft-bearing-worn",
            remedy: "renew the bearing",
        },
        Cause {
            name: "bound",
            title: "water-lubricated bearing swollen, grown up or pinched: it binds",
            moves: &[Move { on: Whose::Own, parameter: "roughness", by: By::Factor(12.0) }],
            severity: Severity::Even,
            says: &[says("squeals", 0.5), says("stiff by hand", 0.7)],
            misreads: None,
            rate: "water-bearing-binds",
            remedy: "clear its grooves, or renew and align it",
        },
        Cause {
            name: "dry",
            title: "no water gets through the shaft bearing",
            moves: &[
                Move { on: Whose::Own, parameter: "standing", by: By::Factor(0.1) },
                Move { on: Whose::Own, parameter: "roughness", by: By::Factor(4.0) },
            ],
            severity: Severity::MostlyBad,
            says: &[says("squeals", 0.7), says_of("diesel", "smell of hot rubber", 0.5)],
            misreads: None,
            rate: "shaft-seal-water-feed-blocked",
            remedy: "clear the water to the bearing",
        },
    ],
    words: &[
        Word {
            name: "tube hot",
            of: Of::Found { probe: Probe::Unknown(4), midpoint: 18.0, spread: 6.0, when: When::High },
            false_said: 0.03,
            miss: 0.35,
            group: "bearings",
            danger: Some(DRY),
            source: "from memory",
        },
        Word { danger: Some(DRY), ..said("squeals", 0.03, 0.25, "shaft-noise") },
        said("knocks", 0.04, 0.35, "shaft-noise"),
        said("shaft drops in it", 0.05, 0.3, "bearings"),
        said("stiff by hand", 0.04, 0.3, "bearings"),
    ],
    checks: &[
        Check {
            name: "feel_the_tube",
            title: "Take the temperature of the tube over the bearing and set it against the sea",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "No hand, sleeve or cord near the turning shaft.",
            finds: &[Find { cause: "dry", power: "gland-ir" }, Find { cause: "bound", power: "gland-ir" }],
        },
        Check {
            name: "turn_by_hand",
            title: "Out of gear, turn the shaft by hand: free all the way round?",
            minutes: 10.0,
            state: State::Stopped,
            tool: None,
            caution: "Key in your pocket, and nobody at the helm; a bound, silent bearing can be worse than a loose one.",
            finds: &[Find { cause: "bound", power: "shaft-lift" }],
        },
        Check {
            name: "lift",
            title: "Lift the shaft at the bearing by a lever and measure the play",
            minutes: 15.0,
            state: State::UnderWater,
            tool: Some("lever, dial gauge"),
            caution: "Ashore, and chocks checked.",
            finds: &[Find { cause: "worn", power: "shaft-lift" }],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::Unknown(4),
        value: 30.0,
        when: When::High,
        running_only: true,
        act: DRY,
        source: "[Trade] 2.14 gland over the sea",
    }],
    margins: &[],
};

/// Its laws.
struct WaterBearing;

impl Law for WaterBearing {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let drag = p.friction * p.roughness * rubbed(at.links[0], p.rated_speed);
        cooled_by_sea(at, say, drag, p.standing, &[at.links[2]]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn wet_it_stays_near_the_sea_and_dry_and_bound_it_does_not() {
        let mut bench = Bench::of(&KIND);
        bench.site.links[0] = bench.figure("rated_speed");
        // [Trade] 2.8: no more than 17 K over the sea.
        assert!(bench.inner("rise") < 17.0, "{} K", bench.inner("rise"));
        near(bench.inner("rise"), bench.figure("friction") / bench.figure("standing"), 0.05, "q = UA ΔT");
        let bound = bench.clone().with("roughness", 12.0);
        assert!(bound.inner("rise") > 30.0, "{} K", bound.inner("rise"));
        let mut fed = bound;
        fed.site.links[2] = 0.06;
        assert!(fed.inner("rise") < 10.0, "{} K with water fed", fed.inner("rise"));
    }
}
