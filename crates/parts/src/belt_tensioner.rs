//! Belt tensioner: a spring arm that keeps the slack side of a V or ribbed belt tight; what it lacks, the belt slips.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::drive::{tension_ratio, wedged_friction};
use physics::number::Number;
use physics::smooth::{positive_part, step};

crate::parameters! {
    /// Stiffness of its spring at the pulley [N/m].
    spring: SpringRate, 10.0..=1e6, 4_000.0 * power ^ 0.3, within 1.25, "from memory";
    /// How far the arm is drawn back by the belt [m].
    drawn_back: Length, 0.0005..=0.5, 0.04, within 1.2, "from memory";
    /// Power that the belt carries at rated engine speed [W].
    carried: Power, 1.0..=200_000.0, 1_500.0 * power ^ 0.7, within 1.6, "from memory";
    /// Engine speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 20.0..=700.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
    /// Pitch diameter of the driving pulley [m].
    pulley: Length, 0.03..=1.5, 0.16 * speed ^ -0.5, within 1.15, "from memory";
    /// Turns of the driving pulley for each engine turn [1].
    ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Angle of the belt on its smaller pulley [rad].
    wrap: Ratio, 0.5..=6.0, 2.6, within 1.12, "from memory";
    /// Friction of the belt on metal [1].
    friction: Ratio, 0.02..=1.0, 0.3, within 1.2, "[Khurmi14] sec. 11.14 rubber on iron";
    /// Section of the belt or belts [m²].
    section: Area, 1e-5..=2e-3, 1e-4, within 1.3, "from memory";
}

/// Whole angle of the grooves of V and ribbed pulleys [rad]: 40 degrees, from memory.
const GROOVE: f64 = 0.698;
/// Density of rubber and cord [kg/m³]; from memory.
const RUBBER: f64 = 1_200.0;
/// Least margin that is reckoned with, and how sharply a belt lets go where it has none [1].
const LETS_GO: f64 = 0.06;
/// Share of turns lost by a belt that lets go altogether [1]; from memory.
const ALL: f64 = 0.9;
/// Pull below which a spring side counts as loose [N].
const LOOSE: f64 = 1.0;

/// What to do when a belt slips or is about to leave.
const SLIPS: &str = "Take load off what it drives: lights, charging, hydraulics. If it turns a water pump, ease to idle and watch the \
    coolant. Stop and isolate the start before a hand goes near it.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "belt-tensioner",
    title: "Belt tensioner",
    called: &["tensioner", "spring-tensioner", "idler", "jockey-pulley"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (40.0, 36.0),
        strokes: &[
            Stroke::Outline("M22 10A9 9 0 1 1 40 10A9 9 0 1 1 22 10Z"),
            Stroke::Line("M6 30L31 10M6 30L2 24L12 22L4 16L14 14L10 8"),
            Stroke::Solid("M3 30A3 3 0 1 1 9 30A3 3 0 1 1 3 30Z"),
        ],
        ways: &[],
        link: inward((0.0, 18.0)),
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown { name: "belt_slip", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.5, 1.5) },
        Unknown { name: "margin", quantity: Quantity::Ratio, start: 2.0, size: 0.3, bounds: (-1.0, 1e6) },
    ],
    links: &[Link::DriverSpeed, Link::Engine("speed")],
    laws: both::<BeltTensioner>(),
    causes: &[
        Cause {
            name: "spring_tired",
            title: "spring of the belt tensioner tired or broken",
            moves: &[Move { on: Whose::Own, parameter: "spring", by: By::Factor(0.06) }],
            severity: Severity::Even,
            says: &[
                says("arm flutters", 0.5),
                says("weak by hand", 0.8),
                says_of("belt", "squeals", 0.5),
                says_of("belt", "dust", 0.4),
            ],
            misreads: None,
            rate: "belt-tensioner-weak",
            remedy: "renew the tensioner",
        },
        Cause {
            name: "arm_at_stop",
            title: "arm of the tensioner at its stop or seized: belt too long, or pivot rusted",
            moves: &[Move { on: Whose::Own, parameter: "drawn_back", by: By::Factor(0.08) }],
            severity: Severity::Even,
            says: &[says("arm at its stop", 0.8), says_of("belt", "slack", 0.6), says_of("belt", "squeals", 0.4)],
            misreads: None,
            rate: "belt-tensioner-seized",
            remedy: "fit a belt of the right length; free or renew the tensioner",
        },
        Cause {
            name: "oiled",
            title: "oil or coolant on belt and pulleys",
            moves: &[Move { on: Whose::Own, parameter: "friction", by: By::Factor(0.25) }],
            severity: Severity::Even,
            says: &[says("wet with oil or coolant", 0.85), says_of("belt", "squeals", 0.6)],
            misreads: None,
            rate: "belt-oiled",
            remedy: "find the drip, clean the pulleys, renew the belt",
        },
        spoken(&Spoken {
            name: "bearing_failed",
            title: "bearing of the tensioner pulley failing",
            says: &[says("rumbles", 0.7), says("pulley wobbles", 0.5), says_of("belt", "dust", 0.3)],
            rate: "belt-tensioner-bearing",
            remedy: "renew the pulley before it takes the belt with it",
        }),
    ],
    words: &[
        Word { danger: Some(SLIPS), ..said("arm flutters", 0.04, 0.3, "tensioner") },
        said("weak by hand", 0.03, 0.2, "tensioner"),
        said("arm at its stop", 0.03, 0.25, "tensioner"),
        said("wet with oil or coolant", 0.03, 0.2, "tensioner"),
        said("rumbles", 0.04, 0.3, "tensioner-noise"),
        Word { danger: Some(SLIPS), ..said("pulley wobbles", 0.02, 0.3, "tensioner") },
    ],
    checks: &[
        Check {
            name: "watch_the_arm",
            title: "Watch the arm by torch at idle and as a load comes on",
            minutes: 3.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "From outside the guard; sleeves, hair and lanyards away.",
            finds: &[
                Find { cause: "spring_tired", power: "visual-general" },
                Find { cause: "arm_at_stop", power: "visual-general" },
                Find { cause: "bearing_failed", power: "visual-general" },
            ],
        },
        Check {
            name: "lever_it",
            title: "Lever the arm back and let it come: force, travel, marks; spin its pulley; look for oil",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("bar, torch"),
            caution: "Key out and start isolated; a spring arm that slips off the bar breaks fingers: keep them out of its way.",
            finds: &[
                Find { cause: "spring_tired", power: "belt-deflection" },
                Find { cause: "arm_at_stop", power: "belt-deflection" },
                Find { cause: "oiled", power: "visual-general" },
                Find { cause: "bearing_failed", power: "visual-general" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "slip margin",
        asks: "Does the spring hold the belt against slipping at what it carries?",
        of: |at| (at.links[1] > 10.0).then_some(at.unknowns[1]),
        quantity: Quantity::Ratio,
        least: 1.3,
        most: f64::INFINITY,
        remedy: "a stronger spring, a belt more, or more wrap",
        source: "common practice, no source: a third over what slips",
    }],
};

/// Its laws.
struct BeltTensioner;

impl Law for BeltTensioner {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let radius = p.pulley * p.ratio * 0.5;
        let speed = at.links[1] * radius;
        // What it carries asks for the same pull at every speed; what turns faster than the spring can hold flies off.
        let asked = p.carried / (p.rated_speed * radius);
        let slack = positive_part(p.spring * p.drawn_back - p.section * RUBBER * speed * speed, LOOSE);
        let ratio = tension_ratio(wedged_friction(p.friction, GROOVE), p.wrap);
        // The slack side has the spring's pull, the tight side at most so many times that ([Khurmi14] sec. 11.14).
        let margin = slack * (ratio - 1.0) / asked;
        say.unknown[1] = at.unknowns[1] - margin;
        say.unknown[0] = at.unknowns[0] - step(-margin + 1.0 - LETS_GO, LETS_GO) * ALL;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn its_margin_is_that_of_the_capstan_and_a_tired_spring_lets_the_belt_slip() {
        let mut bench = Bench::of(&KIND);
        bench.site.links[1] = bench.figure("rated_speed");
        let speed = bench.figure("rated_speed") * bench.figure("pulley") / 2.0;
        // [Khurmi14] sec. 11.14, 11.17 and 11.20: T1 / T2 = e^(μ θ / sin β), and m v² carries nothing.
        let ratio = (bench.figure("friction") * bench.figure("wrap") / (GROOVE / 2.0).sin()).exp();
        let pull = bench.figure("spring") * bench.figure("drawn_back");
        let slack = pull - bench.figure("section") * RUBBER * speed * speed;
        near(bench.inner("margin"), slack * (ratio - 1.0) * speed / bench.figure("carried"), 0.001, "capstan");
        assert!(bench.inner("margin") > 1.3 && bench.inner("belt_slip") < 1e-6, "{}", bench.inner("margin"));
        let tired = bench.with("spring", 350.0);
        assert!(tired.inner("margin") < 0.8 && tired.inner("belt_slip") > 0.5, "{}", tired.inner("margin"));
    }
}
