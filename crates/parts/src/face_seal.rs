//! Face seal: two faces pressed together round the shaft by a bellows; it does not drip, and must never run dry.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::shaft::UNKNOWNS_IN_WATER;
use crate::stern_gland::{DRIP, FLOODS, Gland, LIMIT, LINKS, PLACE, SAID_HOT, SAID_STREAMS, WAY};
use physics::number::Number;

crate::parameters! {
    /// Power its faces rub away at rated speed when they are wet [W].
    friction: Power, 1.0..=20_000.0, 60.0 * power ^ 0.5, within 2.0, "from memory";
    /// Shaft speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 5.0..=700.0, 75.4 * speed ^ 1.0, exact, "common practice, no source";
    /// Water that comes through under six decimetres of sea [kg/s].
    leak: MassFlow, 1e-10..=5.0, 1e-8, within 5.0, "[Trade] 2.8 a dripless seal";
    /// What the faces rub over wet [1].
    dryness: Ratio, 0.2..=100.0, 1.0, within 1.1, "from memory";
    /// Conductance to shaft, tube and sea without any water fed [W/K].
    standing: ThermalConductance, 0.1..=500.0, 9.0 * power ^ 0.3, within 1.6, "from memory";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "face-seal",
    title: "Face seal of the shaft",
    called: &["shaft-seal", "dripless-seal", "mechanical-seal", "bellows-seal"],
    places: &[PLACE],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (44.0, 32.0),
        strokes: &[
            Stroke::Line("M0 16H44"),
            Stroke::Outline("M30 4H38V28H30Z"),
            Stroke::Line("M4 6L8 10L12 6L16 10L20 6L24 10L30 6M4 26L8 22L12 26L16 22L20 26L24 22L30 26"),
            Stroke::Solid("M26 4H30V28H26Z"),
        ],
        ways: &[NO_WAY],
        link: way((0.0, 16.0), (44.0, 16.0)),
        ..Symbol::BLANK
    },
    passages: &[WAY],
    parameters: PARAMETERS,
    unknowns: &UNKNOWNS_IN_WATER,
    links: &LINKS,
    laws: both::<FaceSeal>(),
    causes: &[
        Cause {
            name: "dry",
            title: "face seal runs dry: air in the tube, or no water fed",
            moves: &[
                Move { on: Whose::Own, parameter: "dryness", by: By::Factor(4.0) },
                Move { on: Whose::Own, parameter: "standing", by: By::Factor(0.4) },
            ],
            severity: Severity::MostlyBad,
            says: &[says("squeals", 0.65), says_of("diesel", "smell of hot rubber", 0.5)],
            misreads: None,
            rate: "shaft-seal-water-feed-blocked",
            remedy: "burp the air out of it and clear its water",
        },
        Cause {
            name: "faces_worn",
            title: "faces of the seal worn, nicked or set too lightly: it weeps",
            moves: &[Move { on: Whose::Own, parameter: "leak", by: By::Factor(1e6) }],
            severity: Severity::MostlySlight,
            says: &[says("spray ring on the bilge side", 0.6), says("weeps at rest", 0.6)],
            misreads: None,
            rate: "stern-gland-leaks",
            remedy: "clean, reset or renew the faces",
        },
        Cause {
            name: "bellows_torn",
            title: "bellows of the face seal torn or its clamp off: the sea comes in",
            moves: &[Move { on: Whose::Own, parameter: "leak", by: By::Towards(1.5) }],
            severity: Severity::MostlyBad,
            says: &[says("bellows cracked or sticky", 0.6)],
            misreads: None,
            rate: "face-seal-bellows-torn",
            remedy: "wrap it, get lifted, renew the seal",
        },
    ],
    words: &[
        SAID_HOT,
        SAID_STREAMS,
        said("squeals", 0.03, 0.25, "shaft-noise"),
        said("spray ring on the bilge side", 0.04, 0.3, "gland"),
        said("weeps at rest", 0.05, 0.25, "gland"),
        Word { danger: Some(FLOODS), ..said("bellows cracked or sticky", 0.03, 0.4, "gland-history") },
    ],
    checks: &[
        Check {
            name: "feel_the_seal",
            title: "Take the temperature of its faces over the sea's, and look for spray",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer, torch"),
            caution: "Its faces turn with the shaft: no hand, sleeve or cloth near them.",
            finds: &[Find { cause: "dry", power: "gland-ir" }, Find { cause: "faces_worn", power: "round-walk" }],
        },
        Check {
            name: "burp",
            title: "Shaft stopped: press the bellows back a moment; does water come with the air?",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("cloth"),
            caution: "A mouthful of sea comes in each time: pump tried first, and never pulled where a clamp is loose.",
            finds: &[Find { cause: "dry", power: "valve-status-seen" }],
        },
        Check {
            name: "look_at_the_bellows",
            title: "Look all round the bellows and its clamps with a mirror",
            minutes: 10.0,
            state: State::Stopped,
            tool: Some("mirror, torch"),
            caution: "Touch it, do not bend it: one that is cracked may let go. Wrapping tape and a bung within reach.",
            finds: &[
                Find { cause: "bellows_torn", power: "visual-general" },
                Find { cause: "faces_worn", power: "visual-general" },
            ],
        },
    ],
    walls: &[wall("the bellows and its faces", "drip", Beyond::Space, &["faces_worn", "bellows_torn"])],
    limits: &[
        LIMIT,
        Limit {
            probe: DRIP,
            value: 0.02,
            when: When::High,
            running_only: false,
            act: FLOODS,
            source: "from memory: more than a litre a minute",
        },
    ],
    margins: &[],
};

/// Its laws.
struct FaceSeal;

impl Law for FaceSeal {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let friction = p.friction * p.dryness;
        Gland { friction, rated_speed: p.rated_speed, leak: p.leak, standing: p.standing }.say(at, say);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::Bench;

    #[test]
    fn wet_it_is_cool_and_tight_and_dry_it_is_past_the_printed_rise() {
        let mut bench = Bench::of(&KIND);
        bench.site.links[0] = bench.figure("rated_speed");
        // [Trade] 2.8: no more than 17 K over the sea.
        assert!(bench.inner("rise") < 17.0, "{} K", bench.inner("rise"));
        assert!(bench.flow_at(0, 6_000.0) < 1e-7, "it does not drip");
        let dry = bench.with("dryness", 4.0).with("standing", 3.6);
        assert!(dry.inner("rise") > 30.0, "{} K", dry.inner("rise"));
    }
}
