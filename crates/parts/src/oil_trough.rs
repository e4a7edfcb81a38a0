//! Oil trough: what the relief valve lets back fills it, and from its holes oil runs by gravity over gears and rockers.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::constants::GRAVITY;
use physics::flow::orifice_flow;
use physics::number::Number;
use physics::smooth::{positive_part, smooth_min};

crate::parameters! {
    /// Area of its holes together [m²].
    hole_area: Area, 1e-6..=1e-2, 1.2e-4 * power ^ 0.67, within 2.0, "from memory";
    /// Depth of oil at which it runs over its rim [m].
    rim: Length, 0.003..=0.5, 0.03, within 1.6, "from memory";
    /// Oil that what lies below it asks for [kg/s].
    needed: MassFlow, 0.001..=2.0, 0.03 * power ^ 0.67, within 2.0, "from memory";
    /// Share of its holes that is free [1].
    holes_free: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// Coefficient of discharge of a hole in a thin plate, [White7] fig. 6.41 for the low turns of Reynolds of oil, rounded.
const DISCHARGE: f64 = 0.62;
/// Pressure lost by what falls through it, which is all but nothing [Pa s/kg].
const FALL: f64 = 100.0;
/// Rounding between what comes in and what the holes pass [share of what is needed].
const EDGE: f64 = 0.02;
/// Flow that counts as none [kg/s].
const NONE: f64 = 1e-4;

/// The kind.
pub const KIND: Kind = Kind {
    name: "oil-trough",
    title: "Oil trough under the relief return",
    called: &["drip-trough", "gravity-oil-feed"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: Symbol {
        size: (44.0, 24.0),
        strokes: &[
            Stroke::Outline("M0 0V16H44V0"),
            Stroke::Dashed("M4 8H40"),
            Stroke::Line("M12 16V24M22 16V24M32 16V24"),
        ],
        ways: &[way((0.0, 12.0), (44.0, 12.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("oil", &[Circuit::Oil], "in", "out").that("runs by gravity over gears and rockers from")],
    parameters: PARAMETERS,
    unknowns: &[Unknown { name: "fed", quantity: Quantity::Ratio, start: 1.0, size: 0.05, bounds: (-0.5, 200.0) }],
    links: &[],
    laws: both::<OilTrough>(),
    causes: &[Cause {
        name: "holes_blocked",
        title: "holes of the oil trough blocked by sludge",
        moves: &[Move { on: Whose::Own, parameter: "holes_free", by: By::Lost }],
        severity: Severity::MostlyBad,
        says: &[],
        misreads: None,
        rate: "oil-gallery-blocked-locally",
        remedy: "clear the holes of the trough",
    }],
    words: &[
        Word {
            name: "rockers dry",
            of: Of::Value { probe: Probe::Unknown(0), midpoint: 0.4, spread: 0.15, when: When::Low },
            false_said: 0.02,
            miss: 0.2,
            group: "dry",
            danger: Some(
                "Ease to idle and oil the rockers by hand; dry gears and rockers do not last an hour at speed.",
            ),
            source: "from memory",
        },
        Word {
            name: "gears or rockers clatter",
            of: Of::Value { probe: Probe::Unknown(0), midpoint: 0.3, spread: 0.15, when: When::Low },
            false_said: 0.06,
            miss: 0.35,
            group: "clatter",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[Check {
        name: "look_under_the_cover",
        title: "Cover off, look whether oil stands in the trough and runs from every hole",
        minutes: 20.0,
        state: State::Idling,
        tool: Some("spanner, torch, rag"),
        caution: "Oil is flung about and is hot; hair and sleeves out of the gears, engine at idle only.",
        finds: &[
            Find { cause: "holes_blocked", power: "visual-engine-parts" },
            Find { cause: "relief-valve/stuck_shut", power: "visual-engine-parts" },
            Find { cause: "oil-pump/worn", power: "visual-engine-parts" },
        ],
    }],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "oil by gravity",
        asks: "Does enough oil run back to feed what lies below?",
        of: |at| Some(at.unknowns[0]),
        quantity: Quantity::Ratio,
        least: 1.0,
        most: f64::INFINITY,
        remedy: "relief valve set lower, a larger pump, larger holes",
        source: "common practice, no source",
    }],
};

/// Its laws.
struct OilTrough;

impl Law for OilTrough {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        at.drop(say, 0, at.flow[0] * FALL);
        // Holes under a full trough; what comes beyond it runs over the rim.
        let density = at.contents[0].density(at.inlet_temperature[0]);
        let full = orifice_flow(p.hole_area * p.holes_free, DISCHARGE, density * p.rim * GRAVITY, density) * density;
        let comes = positive_part(at.flow[0], NONE);
        say.unknown[0] = at.unknowns[0] - smooth_min(comes / p.needed, full / p.needed, EDGE);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn a_full_trough_feeds_what_an_orifice_under_its_head_lets_through() {
        // [White7] eq. 6.104: 0.62 · A · √(2 g h) · ρ; 1.2e-4 m² under 30 mm of oil of 888 kg/m³ (mild, SAE 30) is 0.0507 kg/s.
        let mut bench = Bench::of(&KIND).with("hole_area", 1.2e-4).with("rim", 0.03).with("needed", 0.05);
        bench.site.flow[0] = 5.0;
        let density = bench.site.contents[0].density(bench.site.inlet_temperature[0]);
        near(bench.inner("fed") * 0.05, 0.62 * 1.2e-4 * (2.0 * 9.806_65 * 0.03_f64).sqrt() * density, 0.01, "[White7]");
    }

    #[test]
    fn little_oil_all_runs_through_and_none_feeds_nothing() {
        let mut bench = Bench::of(&KIND).with("needed", 0.05);
        bench.site.flow[0] = 0.02;
        near(bench.inner("fed"), 0.4, 0.02, "all that comes");
        bench.site.flow[0] = 0.0;
        assert!(bench.inner("fed").abs() < 0.02);
    }
}
