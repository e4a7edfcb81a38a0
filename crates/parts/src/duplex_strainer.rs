//! Duplex strainer: two baskets side by side and one lever, so that one can be cleaned while the other is in use.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, smooth_min};

crate::parameters! {
    /// Flow at which the clean drop is given [kg/s].
    rated_flow: MassFlow, 0.02..=50.0, 0.95 * power ^ 1.0, exact, "common practice, no source";
    /// Pressure drop through one clean basket at that flow [Pa].
    rated_drop: PressureDifference, 100.0..=50_000.0, 3_000.0, within 2.0, "common practice, no source";
    /// Where the lever stands: 0 on the basket in use, 1 on the one that stands by [1].
    lever: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Resistance of the basket in use over clean: 1 when clean [1].
    in_use: Ratio, 1.0..=1e8, 1.0, exact, "common practice, no source";
    /// Resistance of the basket that stands by over clean: 1 when clean [1].
    standing_by: Ratio, 1.0..=1e8, 1.0, exact, "common practice, no source";
    /// Resistance of a plug that the lever has not turned home, over one at its stop [1].
    plug: Ratio, 1.0..=1e8, 1.0, exact, "common practice, no source";
    /// Air drawn in through a lid at full suction, as a share of the flow [1].
    air_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// Flow below which the drop turns linear, so that slopes stay finite at rest [share of rated flow].
const REST: f64 = 0.02;

/// What to do when water through the strainer fails.
const CHANGE_OVER: &str = "Turn the lever over to the other basket, all the way to its stop, and look for water at the \
    outlet. No lid off under way but that of the basket shut off.";

/// Flow from which the margins ask [share of rated].
const IN_USE: f64 = 0.1;

/// The kind.
pub const KIND: Kind = Kind {
    name: "duplex-strainer",
    title: "Duplex strainer",
    called: &["twin-strainer", "double-strainer", "change-over-strainer", "filter"],
    places: &[along(Circuit::RawWater, Station::Strainer, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (44.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 0H44V40H0Z"),
            Stroke::Line("M0 20H44"),
            Stroke::Dashed("M0 20L44 0"),
            Stroke::Dashed("M0 40L44 20"),
        ],
        ways: &[way((0.0, 20.0), (44.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::RawWater], "in", "out").that("is strained in")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.01) }],
    links: &[],
    laws: both::<DuplexStrainer>(),
    causes: &[
        Cause {
            name: "blocked",
            title: "basket in use clogged",
            moves: &[Move { on: Whose::Own, parameter: "in_use", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[
                says("weed in the bowl", 0.85),
                says_of("raw-pump", "hot to the touch", 0.15),
                says_of("diesel", "smell of hot rubber", 0.12),
            ],
            misreads: None,
            rate: "strainer-blocked",
            remedy: "change over to the clean basket, then clean the other",
        },
        Cause {
            name: "lever_between",
            title: "lever of the duplex strainer left between the baskets",
            moves: &[Move { on: Whose::Own, parameter: "plug", by: By::Blocked }],
            severity: Severity::Even,
            says: &[says("lever between its stops", 0.9), says_of("raw-pump", "hot to the touch", 0.15)],
            misreads: None,
            rate: "duplex-lever-between",
            remedy: "turn the lever all the way to a stop",
        },
        // Nothing shows before the lever is turned: told by looking at what stands by.
        Cause {
            name: "standby_foul",
            title: "basket standing by left foul: changing over cures nothing",
            moves: &[Move { on: Whose::Own, parameter: "standing_by", by: By::Blocked }],
            severity: Severity::Even,
            says: &[says("no better changed over", 0.6), says("standing basket foul", 0.6)],
            misreads: None,
            rate: "duplex-standby-foul",
            remedy: "clean the basket that stands by",
        },
        Cause {
            name: "lid_draws_air",
            title: "lid or lever packing of the duplex strainer draws air",
            moves: &[Move { on: Whose::Own, parameter: "air_leak", by: By::Towards(0.6) }],
            severity: Severity::Even,
            says: &[
                says("bubbles in the bowl", 0.6),
                says("weeps when stopped", 0.35),
                says_of("outlet", "flow pulsing", 0.45),
            ],
            misreads: None,
            rate: "strainer-air-leak",
            remedy: "renew lid seal and packing, and make the suction joints tight",
        },
        Cause {
            name: "bypassed",
            title: "dirt passes round a basket of the duplex strainer",
            moves: &[
                Move { on: Whose::Downstream(COOLERS), parameter: "rated_cold_drop", by: By::Blocked },
                Move { on: Whose::Downstream(COOLERS), parameter: "clean_conductance", by: By::Factor(0.5) },
            ],
            severity: Severity::Even,
            says: &[says("weed in the bowl", 0.4), says("basket loose or torn", 0.5)],
            misreads: None,
            rate: "strainer-bypass",
            remedy: "seat the basket on its gasket, or renew it, and clear the cooler face",
        },
    ],
    words: &[
        // Some is there a quarter of the time in any case.
        said("weed in the bowl", 0.25, 0.1, "bowl"),
        said("bubbles in the bowl", 0.03, 0.3, "air"),
        said("weeps when stopped", 0.05, 0.3, "air"),
        said("basket loose or torn", 0.02, 0.3, "bowl"),
        said("standing basket foul", 0.1, 0.15, "standing"),
        said("no better changed over", 0.1, 0.2, "standing"),
        Word {
            name: "lever between its stops",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.1,
            group: "lever",
            danger: Some(CHANGE_OVER),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "change_over",
            title: "Turn the lever over to the other basket, to its stop: does suction ease and water come back?",
            minutes: 2.0,
            state: State::Running,
            tool: None,
            caution: "Slow down first, turn in one sweep, and look for water at the outlet; turn it back if none comes.",
            finds: &[
                Find { cause: "blocked", power: "change-over" },
                Find { cause: "lever_between", power: "change-over" },
                Find { cause: "standby_foul", power: "change-over" },
            ],
        },
        Check {
            name: "look_at_the_lever",
            title: "Look which basket the lever points at, and whether it lies against its stop",
            minutes: 1.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Look only: turned the wrong way it may shut both baskets.",
            finds: &[Find { cause: "lever_between", power: "valve-status-seen" }],
        },
        Check {
            name: "open_the_standing_one",
            title: "Bleed and lift the lid of the basket that stands by; look at basket, seat and seal",
            minutes: 10.0,
            state: State::Running,
            tool: Some("spanner, bucket"),
            caution: "Only the basket the lever has shut off. Slacken the bleed first: if it keeps running the plug \
                      leaks, so shut it again and wait until stopped.",
            finds: &[
                Find { cause: "standby_foul", power: "strainer-lid" },
                Find { cause: "bypassed", power: "visual-general" },
            ],
        },
        Check {
            name: "open_both",
            title: "Shut the seacock, lift both lids and look at baskets, seats and seals",
            minutes: 15.0,
            state: State::StoppedAndShut,
            tool: Some("spanner"),
            caution: "Seacock shut before a lid comes off; fill both bowls, grease the seals and open the seacock before \
                      starting.",
            finds: &[
                Find { cause: "blocked", power: "strainer-lid" },
                Find { cause: "standby_foul", power: "strainer-lid" },
                Find { cause: "lid_draws_air", power: "visual-general" },
                Find { cause: "bypassed", power: "visual-general" },
            ],
        },
        Check {
            name: "grease_the_lids",
            title: "Smear grease round lids, packing and suction joints: do the bubbles stop?",
            minutes: 5.0,
            state: State::Running,
            tool: Some("waterproof grease"),
            caution: "Keep sleeves and cloth clear of belts and shaft; slacken no lid under way.",
            finds: &[Find { cause: "lid_draws_air", power: "fuel-clear-hose" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "clean drop",
        asks: "Is it large enough, even a little dirty?",
        of: |at| {
            let in_use = at.flow[0] > IN_USE * P::of(at.parameters).rated_flow;
            in_use.then(|| at.inlet_pressure[0] - at.outlet_pressure[0])
        },
        quantity: Quantity::PressureDifference,
        least: f64::NEG_INFINITY,
        most: 6000.0,
        remedy: "a larger strainer: free area of three to four times the pipe",
        source: "common practice, no source",
    }],
};

/// Where dirt that passes ends up.
const COOLERS: &[&str] = &["gear-cooler", "oil-cooler", "exchanger", "plate-exchanger"];

/// Its laws.
struct DuplexStrainer;

impl Law for DuplexStrainer {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Two ways side by side, each as wide as the plug leaves it: flows add, so areas over root of resistance add.
        let open = (-p.lever + 1.0) / p.in_use.sqrt() + p.lever / p.standing_by.sqrt();
        let drop = at.inlet_pressure[0] - at.outlet_pressure[0];
        let through = open * open / p.plug;
        say.gap[0] = through * drop - p.rated_drop * signed_square(at.flow[0] / p.rated_flow, REST);
        // The deeper the suction, the more air: in step with the flow.
        let pull = at.flow[0] / p.rated_flow;
        say.unknown[0] = at.unknowns[0] - p.air_leak * smooth_min(positive_part(pull, 0.05), N::constant(1.2), 0.05);
        say.storage[0] = p.rated_flow * 8_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn changing_over_brings_back_the_flow_that_two_ways_side_by_side_share() {
        let bench = Bench::of(&KIND);
        let (rated, drop) = (bench.figure("rated_flow"), bench.figure("rated_drop"));
        near(bench.flow_at(0, drop), rated, 0.005, "its own clean figure");
        // [Crane410] p. 2-8: flows that a pressure drives side by side go with the roots of the resistances, so a basket of
        // sixteen times the resistance passes a quarter, and half way over clean baskets share it evenly.
        let foul = bench.clone().with("in_use", 16.0);
        near(foul.flow_at(0, drop), rated / 4.0, 0.005, "a basket of sixteen times the resistance");
        near(foul.clone().with("lever", 1.0).flow_at(0, drop), rated, 0.005, "the clean one after changing over");
        near(foul.with("lever", 0.5).flow_at(0, drop), rated * 5.0 / 8.0, 0.005, "half of each");
        near(bench.with("plug", 16.0).flow_at(0, drop), rated / 4.0, 0.005, "a plug a quarter open");
    }
}
