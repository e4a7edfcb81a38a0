//! Oil pickup: the screen and pipe between sump and pump.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::oil_pump::thinned;
use physics::number::Number;
use physics::smooth::signed_square;

crate::parameters! {
    /// Flow at which the clean drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=10.0, 0.5 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the clean screen at that flow with oil of 12 mPa s [Pa].
    rated_drop: PressureDifference, 100.0..=50_000.0, 2_500.0, within 2.0, "from memory";
}

/// Viscosity the drop is given at [Pa s].
const RATED_VISCOSITY: f64 = 0.012;
/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.05;

/// The kind.
pub const KIND: Kind = Kind {
    name: "oil-pickup",
    title: "Oil pickup screen",
    called: &["pickup", "oil-screen"],
    places: &[along(Circuit::Oil, Station::Pickup, Role::Needed)],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: Symbol {
        size: (22.0, 28.0),
        strokes: &[Stroke::Outline("M0 0H22V28H0"), Stroke::Dashed("M0 0V28")],
        ways: &[way((0.0, 14.0), (22.0, 14.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("oil", &[Circuit::Oil], "in", "out").that("is drawn up through the screen of")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::Upstream("dilution")],
    laws: both::<OilPickup>(),
    causes: &[Cause {
        name: "screen_blocked",
        title: "oil pickup screen blocked by sludge",
        moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
        severity: Severity::MostlyBad,
        says: &[says_of("diesel", "oil pressure swings", 0.3), says_of("alarm", "flickers", 0.2)],
        misreads: None,
        rate: "oil-pickup-screen-blocked",
        remedy: "clean the sump and the screen",
    }],
    words: &[],
    checks: &[
        Check {
            name: "through_the_drain",
            title: "Drain the oil, feel and look for sludge through the drain hole",
            minutes: 30.0,
            state: State::Stopped,
            tool: Some("spanner, can, torch"),
            caution: "Warm, not hot: a full sump at 90 °C comes out with a rush.",
            finds: &[Find { cause: "screen_blocked", power: "visual-engine-parts" }],
        },
        Check {
            name: "sump_off",
            title: "Take the sump off and look at the screen",
            minutes: 240.0,
            state: State::StoppedCold,
            tool: Some("spanners, gasket, lifting gear"),
            caution: "Block the engine up before its mounts are touched: never a hand between pan and bearers.",
            finds: &[
                Find { cause: "screen_blocked", power: "visual-general" },
                Find { cause: "oil-pump/worn", power: "visual-engine-parts" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct OilPickup;

impl Law for OilPickup {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let thick = thinned(&at.contents[0], at.inlet_temperature[0], at.links[0]) / RATED_VISCOSITY;
        let share = at.flow[0] / p.rated_flow;
        at.drop(say, 0, p.rated_drop * (signed_square(share, REST) * 0.8 + share * thick * 0.2));
    }
}
