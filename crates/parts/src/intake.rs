//! Intake: the through-hull fitting that raw water comes in by.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::signed_square;

crate::parameters! {
    /// Flow at which the clear drop is given [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 0.95 * power ^ 1.0, exact, "common practice, no source";
    /// Pressure drop of the clear opening and its grating at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=50_000.0, 1_500.0, within 2.0, "common practice, no source";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;

/// The kind.
pub const KIND: Kind = Kind {
    name: "intake",
    title: "Sea intake",
    called: &["through-hull", "thru-hull", "skin-fitting", "scoop"],
    places: &[along(Circuit::RawWater, Station::Source, Role::Begins)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (16.0, 40.0),
        strokes: &[Stroke::Line("M2 0V12M2 28V40M2 12L16 20L2 28"), Stroke::Dashed("M2 12V28")],
        ways: &[outward((16.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("water", &[Circuit::RawWater], End::Sea, End::Port("out")).that("comes in through")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<Intake>(),
    causes: &[Cause {
        name: "blocked",
        title: "sea intake blocked by weed, a bag or growth",
        moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
        severity: Severity::MostlyBad,
        says: &[
            says("free flow low when opened", 0.8),
            says_of("strainer", "bowl empty", 0.25),
            says_of("strainer", "weed in the bowl", 0.4),
            says_of("raw-pump", "hot to the touch", 0.25),
            says_of("diesel", "smell of hot rubber", 0.2),
        ],
        misreads: None,
        rate: "intake-blocked",
        remedy: "clear the intake: back-flush it, or a diver",
    }],
    words: &[Word {
        name: "free flow low when opened",
        of: Of::Cause,
        false_said: 0.06,
        miss: 0.3,
        group: "suction",
        danger: None,
        source: "from memory",
    }],
    checks: &[
        Check {
            name: "watch_free_flow",
            title: "Hose off inboard of the seacock: open the seacock a moment and see how hard it runs",
            minutes: 15.0,
            state: State::StoppedAndShut,
            tool: Some("screwdriver, bung, bucket"),
            caution: "Bung in the other hand and the bilge pump tried before the hose comes off; the hole \
                      is below the water.",
            finds: &[
                Find { cause: "blocked", power: "bucket" },
                Find { cause: "valve/part_shut", power: "bucket" },
                Find { cause: "valve/left_shut", power: "bucket" },
            ],
        },
        Check {
            name: "back_flush",
            title: "Blow or flush the intake clear from inside, and see whether the flow comes back",
            minutes: 15.0,
            state: State::StoppedAndShut,
            tool: Some("hose, hand pump or dinghy pump"),
            caution: "Open the seacock only while pushing water out; gentle pressure, or the hose tail \
                      comes off.",
            finds: &[Find { cause: "blocked", power: "bucket" }],
        },
        Check {
            name: "dive",
            title: "Dive and look at the intake and its grating",
            minutes: 30.0,
            state: State::UnderWater,
            tool: Some("mask, knife, scraper"),
            caution: "No one in the water until the engine cannot be started and the propeller shaft \
                      stands still.",
            finds: &[Find { cause: "blocked", power: "dive" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct Intake;

impl Law for Intake {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        at.drop(say, 0, p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST));
    }
}
