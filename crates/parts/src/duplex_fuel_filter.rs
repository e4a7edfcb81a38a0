//! Duplex fuel filter: two elements side by side and one lever, so that one can be renewed while the other is in use.

use crate::fuel_element::housing;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Flow at which the clean drop is given [kg/s].
    rated_flow: MassFlow, 1e-4..=10.0, 0.012 * power ^ 1.0, exact, "[Trade] 2.4 return flow";
    /// Drop of one new element at that flow with fuel at 20 °C [Pa].
    rated_drop: PressureDifference, 50.0..=30_000.0, 2_000.0, within 1.8, "from memory";
    /// Where the lever stands: 0 on the element in use, 1 on the one that stands by [1].
    lever: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Resistance of the element in use over new [1].
    clogging: Ratio, 0.5..=1e6, 1.3, within 1.4 each, "from memory";
    /// Resistance of the element that stands by over new [1].
    standing_by: Ratio, 0.5..=1e6, 1.0, within 1.2 each, "from memory";
    /// Resistance of a plug that the lever has not turned home, over one at its stop [1].
    plug: Ratio, 1.0..=1e8, 1.0, exact, "common practice, no source";
    /// Air drawn in at 10 kPa of vacuum past a lid, as a share of the flow [1].
    seal_leak: Ratio, 0.0..=0.9, 0.0, exact, "common practice, no source";
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "duplex-fuel-filter",
    title: "Duplex fuel filter",
    called: &["filter", "twin-fuel-filter"],
    places: &[along(Circuit::Fuel, Station::SuctionFilter, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Fuel,
    symbol: Symbol {
        size: (40.0, 56.0),
        strokes: &[
            Stroke::Outline("M0 28L20 0L40 28L20 56Z"),
            Stroke::Line("M0 28H40"),
            Stroke::Dashed("M20 0V28"),
            Stroke::Dashed("M20 56V28"),
        ],
        ways: &[way((0.0, 28.0), (40.0, 28.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("fuel", &[Circuit::Fuel], "in", "out").that("is filtered in")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "air", quantity: Quantity::Ratio, start: 0.0, size: 0.05, bounds: (-0.01, 1.5) }],
    links: &[],
    laws: both::<DuplexFuelFilter>(),
    causes: &[
        Cause {
            name: "clogged",
            title: "fuel element in use clogged",
            moves: &[Move { on: Whose::Own, parameter: "clogging", by: By::Factor(300.0) }],
            severity: Severity::Even,
            says: &[
                says_of("diesel", "stops by itself", 0.3),
                says_of("diesel", "hunts", 0.3),
                says("element black or slimy", 0.6),
            ],
            misreads: None,
            rate: "fuel-filter-clogged",
            remedy: "change over, then renew the element and bleed it",
        },
        Cause {
            name: "lever_between",
            title: "lever of the duplex fuel filter not at its stop",
            moves: &[Move { on: Whose::Own, parameter: "plug", by: By::Blocked }],
            severity: Severity::MostlySlight,
            says: &[says("lever off its stop", 0.9)],
            misreads: None,
            rate: "duplex-lever-between",
            remedy: "turn the lever to its stop",
        },
        Cause {
            name: "seal_draws_air",
            title: "a lid of the duplex fuel filter draws air, or the new element was not bled",
            moves: &[Move { on: Whose::Own, parameter: "seal_leak", by: By::Towards(0.9) }],
            severity: Severity::Even,
            says: &[
                says_of("feed-pump", "bubbles in a clear hose", 0.65),
                says_of("diesel", "hunts", 0.45),
                says_of("diesel", "starts badly", 0.5),
            ],
            misreads: None,
            rate: "fuel-separator-seal",
            remedy: "renew the lid seal and bleed",
        },
    ],
    words: &[said("element black or slimy", 0.1, 0.15, "fuel-looks"), said("lever off its stop", 0.01, 0.1, "lever")],
    checks: &[
        Check {
            name: "change_over",
            title: "Turn the lever to the other element, to its stop: does the vacuum fall and the speed come back?",
            minutes: 2.0,
            state: State::Running,
            tool: None,
            caution: "Only to an element that was filled and bled, or she stops. Turn in one sweep, and back if she falters.",
            finds: &[
                Find { cause: "clogged", power: "change-over" },
                Find { cause: "lever_between", power: "change-over" },
            ],
        },
        Check {
            name: "look_at_the_lever",
            title: "Look whether the lever lies against its stop",
            minutes: 1.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Look only: turned the wrong way it may shut both elements.",
            finds: &[Find { cause: "lever_between", power: "valve-status-seen" }],
        },
        Check {
            name: "element_out",
            title: "Take the element out that is shut off; look at it and at the lid's seal",
            minutes: 15.0,
            state: State::Stopped,
            tool: Some("spanner, element, tray"),
            caution: "Only the side the lever has shut off; no fuel on hot metal, no flame. Fill and bleed before it is used.",
            finds: &[
                Find { cause: "clogged", power: "visual-general" },
                Find { cause: "seal_draws_air", power: "visual-general" },
            ],
        },
    ],
    walls: &[wall("the lids' seals", "fuel", Beyond::Space, &["seal_draws_air"])],
    limits: &[Limit {
        probe: Probe::Drop(0),
        value: 14_000.0,
        when: When::High,
        running_only: true,
        act: "Slow down, and turn the lever over to the other element, all the way to its stop, if that one was filled and bled; renew this one.",
        source: "[Trade] 2.4 filter vacuum",
    }],
    margins: &[],
};

/// Its laws.
struct DuplexFuelFilter;

impl Law for DuplexFuelFilter {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Two beds of paper side by side: flows go with pressure over resistance, and add.
        let open = (-p.lever + 1.0) / p.clogging + p.lever / p.standing_by;
        housing(at, say, p.rated_flow, p.rated_drop * p.plug / open, p.seal_leak);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn changing_over_brings_the_vacuum_back_to_that_of_a_new_element() {
        let bench = Bench::of(&KIND).with("clogging", 20.0);
        let new = bench.clone().with("clogging", 1.0);
        let drop = bench.figure("rated_drop");
        near(
            bench.clone().with("lever", 1.0).flow_at(0, drop),
            new.flow_at(0, drop),
            1e-6,
            "the new one after changing over",
        );
        // Darcy's law for two beds side by side: 1/R = 1/R1 + 1/R2, each half open.
        let half = new.clone().with("clogging", 2.0 / (1.0 / 20.0 + 1.0)).flow_at(0, drop);
        near(bench.clone().with("lever", 0.5).flow_at(0, drop), half, 1e-6, "half of each");
        // [Trade] 2.4: change at 10 to 14 kPa over the value with a new element.
        let mut foul = bench.with("clogging", 8.0);
        foul.site.flow[0] = foul.figure("rated_flow");
        let over = -foul.say().gap[0] - drop;
        assert!(
            (10_000.0..=18_000.0).contains(&over),
            "an element of eight times the resistance stands {over} Pa over new"
        );
    }
}
