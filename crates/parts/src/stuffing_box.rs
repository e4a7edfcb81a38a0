//! Stuffing box: rings of packing pressed round the shaft where it leaves the hull; it has to drip to live.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::shaft::UNKNOWNS_IN_WATER;
use crate::stern_gland::{DRIP, FLOODS, Gland, LIMIT, LINKS, PLACE, SAID_HOT, SAID_STREAMS, WAY};
use physics::number::Number;

crate::parameters! {
    /// Power it rubs away at rated speed when it drips as it should [W].
    friction: Power, 1.0..=20_000.0, 90.0 * power ^ 0.5, within 2.0, "from memory";
    /// Shaft speed at which that is given [rad/s].
    rated_speed: RotationalSpeed, 5.0..=700.0, 75.4 * speed ^ 1.0, exact, "common practice, no source";
    /// Water that comes through under six decimetres of sea [kg/s]: three drips a minute are some 3 mg/s.
    leak: MassFlow, 1e-9..=1.0, 3e-6, within 3.0, "[Trade] 2.8 stuffing box";
    /// How hard it is screwed up over right [1].
    tightness: Ratio, 0.1..=50.0, 1.0, within 1.2, "from memory";
    /// Conductance to shaft, tube and sea without any water [W/K].
    standing: ThermalConductance, 0.1..=500.0, 12.0 * power ^ 0.3, within 1.6, "from memory";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "stuffing-box",
    title: "Stuffing box",
    called: &["stern-gland", "packing-gland", "gland", "packed-gland"],
    places: &[PLACE],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (44.0, 32.0),
        strokes: &[
            Stroke::Line("M0 16H44"),
            Stroke::Outline("M4 6H30V26H4Z"),
            Stroke::Outline("M30 2H36V30H30Z"),
            Stroke::Solid("M9 6H13V14H9ZM17 6H21V14H17ZM9 18H13V26H9ZM17 18H21V26H17Z"),
        ],
        ways: &[NO_WAY],
        link: way((0.0, 16.0), (44.0, 16.0)),
        ..Symbol::BLANK
    },
    passages: &[WAY],
    parameters: PARAMETERS,
    unknowns: &UNKNOWNS_IN_WATER,
    links: &LINKS,
    laws: both::<StuffingBox>(),
    causes: &[
        Cause {
            name: "too_tight",
            title: "stuffing box screwed up too tight: no drip, and hot",
            moves: &[Move { on: Whose::Own, parameter: "tightness", by: By::Factor(8.0) }],
            severity: Severity::Even,
            says: &[says("no drip under way", 0.8), says("smells hot", 0.4)],
            misreads: None,
            rate: "stern-gland-too-tight",
            remedy: "slack the gland a flat at a time until it drips",
        },
        Cause {
            name: "leaks",
            title: "packing worn or gland slack: the stuffing box runs",
            moves: &[Move { on: Whose::Own, parameter: "leak", by: By::Factor(2e4) }],
            severity: Severity::MostlySlight,
            says: &[says("drips at rest", 0.8)],
            misreads: None,
            rate: "stern-gland-leaks",
            remedy: "adjust or repack the gland",
        },
        spoken(&Spoken {
            name: "shaft_scored",
            title: "shaft scored under the packing: it eats new rings",
            says: &[says("needs repacking again and again", 0.7), says("drips at rest", 0.6)],
            rate: "shaft-scored-at-gland",
            remedy: "sleeve or turn the shaft so that rings bear on sound metal",
        }),
    ],
    words: &[
        SAID_HOT,
        SAID_STREAMS,
        said("no drip under way", 0.06, 0.3, "gland"),
        said("smells hot", 0.03, 0.35, "gland"),
        Word { danger: Some(FLOODS), ..said("drips at rest", 0.08, 0.2, "gland") },
        said("needs repacking again and again", 0.02, 0.2, "gland-history"),
    ],
    checks: &[
        Check {
            name: "count_drips",
            title: "Count its drips under way and at rest, and take its temperature over the sea's",
            minutes: 3.0,
            state: State::Running,
            tool: Some("watch, torch, infrared thermometer"),
            caution: "Hair, sleeves and lamp cord away from shaft and coupling.",
            finds: &[Find { cause: "too_tight", power: "gland-ir" }, Find { cause: "leaks", power: "gland-ir" }],
        },
        Check {
            name: "look_under_the_rings",
            title: "Draw a ring and feel the shaft under it with a finger nail",
            minutes: 45.0,
            state: State::UnderWater,
            tool: Some("packing hook, spanners"),
            caution: "Ashore; afloat the sea comes in as each ring goes: then only one at a time, pumps tried, shaft locked.",
            finds: &[
                Find { cause: "shaft_scored", power: "visual-general" },
                Find { cause: "leaks", power: "visual-general" },
            ],
        },
    ],
    walls: &[wall("the packing", "drip", Beyond::Space, &["leaks", "shaft_scored"])],
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
struct StuffingBox;

impl Law for StuffingBox {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Rings pressed harder rub as much harder, and leave as much less room for water, by its cube in a gap.
        let gap = p.tightness.recip();
        let leak = p.leak * gap * gap * gap;
        let friction = p.friction * p.tightness;
        Gland { friction, rated_speed: p.rated_speed, leak, standing: p.standing }.say(at, say);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    fn running() -> Bench {
        let mut bench = Bench::of(&KIND);
        bench.site.links[0] = bench.figure("rated_speed");
        bench.site.inlet_pressure[0] += 6_000.0;
        bench
    }

    #[test]
    fn it_drips_as_printed_and_stays_within_the_printed_rise_until_it_is_screwed_up() {
        // [Trade] 2.8: two to three drips a minute; a drip is a twentieth of a millilitre.
        let drips = running().flow_at(0, 6_000.0) / 1.025 * 1e3 * 20.0 * 60.0;
        assert!((2.0..=5.0).contains(&drips), "{drips} drips a minute");
        assert!(running().inner("rise") < 17.0, "{} K", running().inner("rise"));
        let tight = running().with("tightness", 8.0);
        // [Trade] 2.8: 50 to 65 °C reported of one too tight, in seas of 10 to 25 °C.
        assert!((25.0..=80.0).contains(&tight.inner("rise")), "{} K", tight.inner("rise"));
        assert!(tight.flow_at(0, 6_000.0) < 1e-7);
    }

    #[test]
    fn it_leaks_in_step_with_the_head() {
        let bench = running().with("leak", 0.03);
        near(bench.flow_at(0, 6_000.0), 0.03, 1e-6, "its own figure");
        near(bench.flow_at(0, 3_000.0), 0.015, 1e-6, "a narrow gap, [White7] eq. 6.12: laminar");
    }
}
