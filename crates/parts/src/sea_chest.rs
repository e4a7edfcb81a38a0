//! Sea chest: a box in the hull behind a grating, with a vent on top, that several suctions draw from.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, smooth_min};

crate::parameters! {
    /// Flow of all it feeds at which its drops are given [kg/s].
    rated_flow: MassFlow, 0.02..=200.0, 1.4 * power ^ 1.0, exact, "common practice, no source";
    /// Pressure drop of the clear grating at that flow [Pa].
    grating_drop: PressureDifference, 50.0..=50_000.0, 1_200.0, within 2.0, "[Trade] 2.1 area of a shared inlet";
    /// Pressure drop of the clean box at that flow [Pa].
    box_drop: PressureDifference, 10.0..=50_000.0, 300.0, within 2.0, "common practice, no source";
    /// Air that collects under its top and is drawn in, as a share of the flow; 0 while the vent is open [1].
    trapped_air: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;

/// The kind.
pub const KIND: Kind = Kind {
    name: "sea-chest",
    title: "Sea chest",
    called: &["sea-box", "sea-suction-chest"],
    places: &[along(Circuit::RawWater, Station::Source, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 48.0),
        strokes: &[
            Stroke::Line("M2 0V14M2 42V48"),
            Stroke::Outline("M2 14H36V42H2Z"),
            Stroke::Dashed("M2 14V42"),
            Stroke::Line("M20 14V6H28V2"),
        ],
        ways: &[outward((36.0, 28.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("water", &[Circuit::RawWater], End::Sea, End::Port("out")).that("comes in through")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.01) }],
    links: &[],
    laws: both::<SeaChest>(),
    causes: &[
        Cause {
            name: "grating_clogged",
            title: "grating of the sea chest clogged by weed, a bag or ice",
            moves: &[Move { on: Whose::Own, parameter: "grating_drop", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[
                says("level falls when drawn on", 0.5),
                says("other suctions weak too", 0.5),
                says_of("strainer", "weed in the bowl", 0.4),
                says_of("duplex-strainer", "weed in the bowl", 0.4),
                says_of("raw-pump", "hot to the touch", 0.2),
            ],
            misreads: None,
            rate: "intake-blocked",
            remedy: "blow the sea chest out from inside, or a diver clears the grating",
        },
        Cause {
            name: "vent_shut",
            title: "vent of the sea chest shut or blocked: air collects and is drawn in",
            moves: &[Move { on: Whose::Own, parameter: "trapped_air", by: By::Towards(0.5) }],
            severity: Severity::Even,
            says: &[
                says("air rushes out of the vent", 0.7),
                says("vent handle shut", 0.5),
                says("other suctions weak too", 0.3),
                says_of("strainer", "bubbles in the bowl", 0.5),
                says_of("duplex-strainer", "bubbles in the bowl", 0.5),
                says_of("outlet", "flow pulsing", 0.45),
                says_of("raw-pump", "squeals", 0.15),
            ],
            misreads: None,
            rate: "sea-chest-vent-shut",
            remedy: "open or clear the vent and leave it open",
        },
        Cause {
            name: "grown_in",
            title: "mussels and weed have grown inside the sea chest",
            moves: &[
                Move { on: Whose::Own, parameter: "box_drop", by: By::Blocked },
                Move { on: Whose::Own, parameter: "grating_drop", by: By::Factor(3.0) },
            ],
            severity: Severity::MostlySlight,
            says: &[
                says("shells in the strainer", 0.5),
                says("growth inside", 0.6),
                says("other suctions weak too", 0.3),
            ],
            misreads: None,
            rate: "sea-chest-grown-in",
            remedy: "open the sea chest and scrape it out, at the latest when hauled out",
        },
    ],
    words: &[
        said("level falls when drawn on", 0.03, 0.4, "level"),
        said("other suctions weak too", 0.04, 0.3, "others"),
        said("air rushes out of the vent", 0.03, 0.15, "vent"),
        said("vent handle shut", 0.02, 0.2, "vent"),
        said("shells in the strainer", 0.06, 0.3, "growth"),
        said("growth inside", 0.1, 0.2, "growth"),
    ],
    checks: &[
        Check {
            name: "open_the_vent",
            title: "Open the vent on top and let it run until water comes: did air rush out?",
            minutes: 2.0,
            state: State::Running,
            tool: Some("bucket"),
            caution: "It is open to the sea: a bucket under it, a hand on the handle, and shut it again only if it cannot \
                      be led overboard.",
            finds: &[Find { cause: "vent_shut", power: "valve-status-seen" }],
        },
        Check {
            name: "blow_out",
            title: "Blow it out with air or water from inside, all suctions shut, and see whether suction eases",
            minutes: 15.0,
            state: State::StoppedAndShut,
            tool: Some("air hose or hand pump"),
            caution: "Gentle pressure, less than the depth plus a metre of water; vent shut meanwhile and opened again after.",
            finds: &[Find { cause: "grating_clogged", power: "bucket" }, Find { cause: "grown_in", power: "bucket" }],
        },
        Check {
            name: "draw_with_another",
            title: "Draw from the same chest with another pump, and then from another chest: which one is weak?",
            minutes: 5.0,
            state: State::Running,
            tool: None,
            caution: "Open the other suction before the first is shut; the engine's pump must not run dry.",
            finds: &[
                Find { cause: "grating_clogged", power: "compare-twin" },
                Find { cause: "grown_in", power: "compare-twin" },
                Find { cause: "vent_shut", power: "compare-twin" },
            ],
        },
        Check {
            name: "lid_off",
            title: "Lid off above the waterline, or a mirror through the vent: look for growth and at the grating",
            minutes: 30.0,
            state: State::StoppedAndShut,
            tool: Some("spanners, gasket, torch"),
            caution: "Only if the lid lies above the water with her trim as it is now; otherwise wait until she is hauled out.",
            finds: &[Find { cause: "grown_in", power: "visual-general" }],
        },
        Check {
            name: "dive",
            title: "Dive and look at the grating",
            minutes: 30.0,
            state: State::UnderWater,
            tool: Some("mask, knife, scraper"),
            caution: "No one in the water until the engine and every pump on that chest cannot be started.",
            finds: &[Find { cause: "grating_clogged", power: "dive" }, Find { cause: "grown_in", power: "dive" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct SeaChest;

impl Law for SeaChest {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let pull = at.flow[0] / p.rated_flow;
        at.drop(say, 0, (p.grating_drop + p.box_drop) * signed_square(pull, REST));
        // What has collected reaches the suctions the sooner the more they draw.
        say.unknown[0] = at.unknowns[0] - p.trapped_air * smooth_min(positive_part(pull, 0.05), N::constant(1.2), 0.05);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD, near};

    #[test]
    fn a_grating_as_large_as_is_printed_loses_about_its_typical_drop() {
        // [Trade] 2.1: suctions of 1.5 to 2 m/s behind an inlet of 1.1 times their area; a sharp entrance and bars lose one
        // to one and a half velocity heads ([Crane410] p. A-30 for the entrance, the bars from memory).
        let bench = Bench::of(&KIND);
        let density = bench.site.contents[0].density(MILD);
        let head = |speed: f64| density * (speed / 1.1).powi(2) / 2.0;
        let (low, high) = (head(1.5), head(2.0) * (physics::flow::ENTRANCE + physics::flow::EXIT));
        let ours = bench.figure("grating_drop") + bench.figure("box_drop");
        assert!((low..=high).contains(&ours), "{ours} Pa, {low} to {high} by the printed area");
        near(bench.flow_at(0, ours), bench.figure("rated_flow"), 0.005, "the flow its figures are given at");
    }

    #[test]
    fn with_its_vent_open_it_draws_no_air_and_shut_the_more_the_more_it_feeds() {
        let mut bench = Bench::of(&KIND);
        bench.site.flow[0] = bench.figure("rated_flow");
        assert_eq!(bench.inner("air"), 0.0);
        let mut shut = bench.with("trapped_air", 0.4);
        near(shut.inner("air"), 0.4, 0.01, "its figure at rated flow");
        shut.site.flow[0] *= 0.25;
        assert!(shut.inner("air") < 0.15);
    }
}
