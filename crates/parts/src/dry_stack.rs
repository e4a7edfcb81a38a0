//! Dry stack: a lagged pipe that leads hot gas, with no water in it, up and out.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::dry_exhaust::SOOTY;
use physics::flow::{friction_factor, pipe_drop, reynolds};
use physics::gas;
use physics::heat_transfer::tube_nusselt;
use physics::number::Number;
use physics::smooth::magnitude;
use std::f64::consts::PI;

crate::parameters! {
    /// Length [m].
    length: Length, 0.1..=60.0, 5.0, within 2.0, "common practice, no source";
    /// Bore [m].
    bore: Length, 0.02..=1.0, 0.085 * power ^ 0.5, within 1.12, "[Trade] 2.5 a wet exhaust has 1.4 times the bore";
    /// Loss of bends and cap in velocity heads [1].
    bends: Ratio, 0.0..=100.0, 1.5, within 1.8, "[Trade] 2.5 a bend is as 15 diameters of pipe";
    /// Loss of bends and cap over clear: 1 when clear [1].
    restriction: Ratio, 1.0..=1e6, 1.0, exact, "common practice, no source";
    /// Thickness of the lagging [m]; 0 when bare.
    lagging: Length, 0.0..=0.3, 0.05, within 1.5, "common practice, no source";
}

/// Conductivity of mineral wool at the mean of gas and skin [W/(m K)], after [Incropera6] table A.3.
const WOOL: f64 = 0.07;
/// Air that moves along the skin by itself, at the differences met here [W/(m² K)], after [Incropera6] ch. 9.
const STILL_AIR: f64 = 6.0;
/// What the skin radiates of a black one [1]: oxidised steel or painted cloth, [Incropera6] table A.11.
const EMISSIVITY: f64 = 0.85;
/// Stefan-Boltzmann constant [W/(m² K⁴)]. Source: [CODATA2018].
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
/// Least flow that heat is reckoned with [kg/s].
const STILL: f64 = 1e-5;

/// Skin where the gas comes in.
const SKIN: Probe = Probe::Unknown(0);

/// What to do when gas comes into the vessel.
pub(crate) const GAS_ABOARD: &str = "Exhaust gas kills unnoticed: everybody out of closed cabins, open up, fans on. \
    Stop the engine when the ship is safe.";
/// What to do when something at the stack is about to burn.
const ABOUT_TO_BURN: &str = "Idle at once and clear away what touches the stack; extinguisher in hand, stop when the ship is safe. \
    No water on hot pipe; watch it for half an hour after.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "dry-stack",
    title: "Dry exhaust stack",
    called: &["dry-exhaust", "dry-pipe", "exhaust-stack", "stack"],
    places: &[along(Circuit::Exhaust, Station::Pipe, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (60.0, 28.0),
        strokes: &[
            Stroke::Outline("M0 8H60V20H0Z"),
            Stroke::Line("M6 8L10 0L14 8L18 0L22 8L26 0L30 8L34 0L38 8L42 0L46 8L50 0L54 8"),
            Stroke::Line("M6 20L10 28L14 20L18 28L22 20L26 28L30 20L34 28L38 20L42 28L46 20L50 28L54 20"),
        ],
        ways: &[way((0.0, 14.0), (60.0, 14.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("gas", &[Circuit::Exhaust], "in", "out").that("rises through")],
    parameters: PARAMETERS,
    unknowns: &[Unknown {
        name: "skin_temperature",
        quantity: Quantity::Temperature,
        start: 330.0,
        size: 10.0,
        bounds: (200.0, 1_600.0),
    }],
    links: &[Link::All("space_temperature")],
    laws: both::<DryStack>(),
    causes: &[
        Cause {
            name: "lagging_lost",
            title: "lagging of the exhaust stack fallen off, torn or soaked with oil",
            moves: &[Move { on: Whose::Own, parameter: "lagging", by: By::Towards(0.0) }],
            severity: Severity::MostlySlight,
            says: &[says("lagging loose", 0.6), says("lagging smokes", 0.3), says_of("diesel", "space hot", 0.3)],
            misreads: None,
            rate: "dry-exhaust-lagging-lost",
            remedy: "renew the lagging",
        },
        Cause {
            name: "scaled",
            title: "exhaust stack closed by soot and rust scale",
            moves: &[Move { on: Whose::Own, parameter: "restriction", by: By::Choked(0.75) }],
            severity: Severity::NearlyShut,
            says: &[says("rust flakes", 0.4)],
            misreads: None,
            rate: "exhaust-pipe-scaled",
            remedy: "sweep or renew the stack",
        },
        Cause {
            name: "rusted_through",
            title: "exhaust stack rusted through: gas in the engine space is breathed in again",
            moves: &[Move { on: Whose::Kind("diesel"), parameter: "volumetric_efficiency", by: By::Factor(0.8) }],
            severity: Severity::MostlySlight,
            says: &[says("leaks", 0.6), says("rust flakes", 0.3), says_of("diesel", "smell of exhaust", 0.5)],
            misreads: None,
            rate: "dry-exhaust-rusted-through",
            remedy: "renew the pipe",
        },
        Cause {
            name: "cap_stuck",
            title: "rain cap or flap of the stack stuck",
            moves: &[Move { on: Whose::Own, parameter: "restriction", by: By::Choked(0.8) }],
            severity: Severity::NearlyShut,
            says: &[says("cap does not lift", 0.6)],
            misreads: None,
            rate: "dry-exhaust-cap-stuck",
            remedy: "free the cap",
        },
        Cause {
            name: "water_in_it",
            title: "rain or spray stands in the low bend of the stack",
            moves: &[Move { on: Whose::Own, parameter: "restriction", by: By::Choked(0.6) }],
            severity: Severity::MostlySlight,
            says: &[
                says("water at the drain", 0.6),
                says_of("diesel", "smoke white", 0.3),
                says_of("diesel", "starts badly", 0.2),
            ],
            misreads: None,
            rate: "dry-exhaust-water-in-stack",
            remedy: "drain it and mend the cap; bar the engine over by hand before it is started",
        },
    ],
    words: &[
        Word {
            name: "lagging smokes",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "lagging",
            danger: Some(ABOUT_TO_BURN),
            source: "from memory",
        },
        said("lagging loose", 0.03, 0.3, "lagging"),
        Word {
            name: "paint scorched",
            of: Of::Found { probe: SKIN, midpoint: 473.15, spread: 40.0, when: When::High },
            false_said: 0.02,
            miss: 0.3,
            group: "stack-heat",
            danger: Some(ABOUT_TO_BURN),
            source: "from memory",
        },
        Word {
            name: "leaks",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "exhaust-leak",
            danger: Some(GAS_ABOARD),
            source: "from memory",
        },
        said("rust flakes", 0.05, 0.3, "rust"),
        said("cap does not lift", 0.02, 0.3, "cap"),
        Word {
            name: "water at the drain",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.2,
            group: "stack-water",
            danger: Some(
                "Stopped: bar the engine over by hand with the stop pulled before the starter is touched; water on a \
                 piston bends the rod.",
            ),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "look_along",
            title: "Look along the stack for loose lagging, soot, rust and a cap that lifts, a helper holding some load",
            minutes: 5.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Hatches open; headache or dizziness means out, at once. The pipe is at 400 °C.",
            finds: &[
                Find { cause: "lagging_lost", power: "visual-general" },
                Find { cause: "rusted_through", power: "round-walk" },
                Find { cause: "cap_stuck", power: "visual-general" },
                Find { cause: "bellows/cracked", power: "round-walk" },
                Find { cause: "silencer/leaks", power: "round-walk" },
            ],
        },
        Check {
            name: "skin_temperature",
            title: "Take the temperature of the lagging every half metre",
            minutes: 5.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Aim at cloth or paint, not at bright metal; do not lean on it.",
            finds: &[Find { cause: "lagging_lost", power: "ir-painted" }],
        },
        Check {
            name: "pressure_before",
            title: "Read the gas pressure before the stack at full load",
            minutes: 20.0,
            state: State::Running,
            tool: Some("tap, gauge or water column"),
            caution: "Gas from the tap burns and poisons: glove on, hatch open.",
            finds: &[
                Find { cause: "scaled", power: "back-pressure" },
                Find { cause: "cap_stuck", power: "back-pressure" },
                Find { cause: "water_in_it", power: "back-pressure" },
            ],
        },
        Check {
            name: "drain",
            title: "Open the drain at the low point of the stack",
            minutes: 5.0,
            state: State::StoppedCold,
            tool: Some("spanner, cup"),
            caution: "Let it cool; what runs out is sour and black.",
            finds: &[Find { cause: "water_in_it", power: "visual-general" }],
        },
        // A pipe off and looked through: the power of an opened end cap comes nearest.
        Check {
            name: "look_through",
            title: "Take the stack off at a flange and look through it",
            minutes: 90.0,
            state: State::StoppedCold,
            tool: Some("spanners, gasket, light"),
            caution: "Support the pipe before the last bolt; old lagging may hold asbestos: leave that to those who may.",
            finds: &[
                Find { cause: "scaled", power: "exchanger-end-cap" },
                Find { cause: "rusted_through", power: "exchanger-end-cap" },
            ],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: SKIN,
        value: 493.15,
        when: When::High,
        running_only: true,
        act: ABOUT_TO_BURN,
        source: "[Trade] 2.5 surfaces over 220 °C are lagged or cooled",
    }],
    margins: &[Margin {
        name: "skin",
        asks: "Is no surface hot enough to light oil?",
        of: |at| Some(at.unknowns[0]),
        quantity: Quantity::Temperature,
        least: f64::NEG_INFINITY,
        most: 493.15,
        remedy: "thicker lagging, whole and sheathed",
        source: "[Trade] 2.5 hot surface",
    }],
};

/// Its laws.
struct DryStack;

impl Law for DryStack {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let (hot, room) = (at.inlet_temperature[0], at.room(0));
        let density = gas::density(at.fuel_air_ratio(0), hot, at.inlet_pressure[0]);
        let viscosity = at.contents[0].viscosity(hot);
        let loss = p.bends * p.restriction;
        at.drop(say, 0, pipe_drop(at.flow[0], p.length, p.bore, N::constant(SOOTY), loss, density, viscosity));

        // Resistances of a metre of pipe [K m/W]: film inside, lagging, and what its skin gives to the room.
        let flow = magnitude(at.flow[0], STILL);
        let turns = reynolds(flow, p.bore, viscosity);
        let conductivity = at.contents[0].conductivity(hot);
        let capacity = at.contents[0].heat_capacity(hot);
        let prandtl = capacity * viscosity / conductivity;
        let friction = friction_factor(turns, N::constant(SOOTY) / p.bore);
        let inside = (tube_nusselt(turns, prandtl, friction) * conductivity * PI).recip();
        let outer = p.bore + p.lagging * 2.0;
        let wool = (outer / p.bore).ln() / (2.0 * PI * WOOL);
        let (skin, walls) = (magnitude(at.unknowns[0], 1.0), magnitude(room, 1.0));
        let radiated = (skin * skin + walls * walls) * (skin + walls) * (EMISSIVITY * STEFAN_BOLTZMANN);
        let outside = ((radiated + STILL_AIR) * outer * PI).recip();
        let whole = inside + wool + outside;
        say.unknown[0] = at.unknowns[0] - room - (hot - room) * outside / whole;
        let rate = flow * capacity;
        let units = p.length / (whole * rate);
        say.heat[0] = rate * (-(-units).exp() + 1.0) * (room - hot);
        say.storage[0] = p.length * p.bore * 30_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};
    use physics::contents::Contents;

    /// Gas of 420 °C on its way through.
    fn running(flow: f64) -> Bench {
        let mut bench = Bench::of(&KIND);
        bench.site.contents[0] = Contents::Gas { fuel_air_ratio: 0.03 };
        bench.site.flow[0] = flow;
        bench.site.inlet_temperature[0] = 693.15;
        bench.site.point.speed = 180.0;
        settled(bench)
    }

    /// The same once the skin has the temperature that its law asks for.
    fn settled(mut bench: Bench) -> Bench {
        bench.site.unknowns[0] = 350.0;
        for _ in 0..200 {
            bench.site.unknowns[0] = 0.5 * (bench.site.unknowns[0] + bench.inner("skin_temperature"));
        }
        bench
    }

    #[test]
    fn its_back_pressure_is_what_makers_reckon() {
        // Makers' rule: 6.32 L Q²/(D⁵ (T + 273)) [Pa; m, m³/s of gas at T °C, m] for a rough pipe, 4.56 for a clean one
        // ([Trade] 2.5); 0.09 kg/s of gas at 420 °C in 4.5 m of 102 mm.
        let flow = 0.09;
        let bench = running(flow).with("length", 4.5).with("bore", 0.102).with("bends", 0.0);
        let second = flow * 693.15 / 352.0;
        let rule = |factor: f64| factor * 4.5 * second * second / (0.102_f64.powi(5) * 693.15);
        let ours = -bench.say().gap[0];
        let (clean, rough) = (rule(4.56), rule(6.32));
        assert!(clean * 0.85 < ours && ours < rough * 1.15, "{clean} to {rough} by rule, we compute {ours}");
    }

    #[test]
    fn lagged_it_can_be_touched_and_bare_it_must_be_guarded() {
        let lagged = running(0.09);
        let skin = lagged.site.unknowns[0] - 273.15;
        // Under 60 °C in the open, more in a warm space; bare over the 220 °C at which surfaces are lagged ([Trade] 2.5).
        assert!((45.0..100.0).contains(&skin), "lagged {skin} °C");
        let bare = settled(running(0.09).with("lagging", 0.0));
        let hot = bare.site.unknowns[0] - 273.15;
        assert!((220.0..420.0).contains(&hot), "bare {hot} °C");
        assert!(bare.say().heat[0] < 3.0 * lagged.say().heat[0], "bare it heats the space far more");
    }

    #[test]
    fn bare_pipe_loses_what_a_balance_by_hand_says() {
        // A metre of 100 mm pipe with skin at 350 °C in a room of 30 °C: 0.85 σ (623⁴ − 303⁴) + 6 · 320 = 8.8 kW/m², by hand.
        let bare = settled(running(0.3).with("lagging", 0.0).with("bore", 0.1).with("length", 1.0));
        let skin = bare.site.unknowns[0];
        let room = bare.site.point.room();
        let flux = 0.85 * 5.670_374e-8 * (skin.powi(4) - room.powi(4)) + 6.0 * (skin - room);
        near(-bare.say().heat[0], flux * std::f64::consts::PI * 0.1, 0.05, "the skin's own balance");
    }
}
