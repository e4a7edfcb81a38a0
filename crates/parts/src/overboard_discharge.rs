//! Overboard discharge: raw water that has done its work leaves through the topsides, without meeting the exhaust.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::outlet::{BUCKET, LOOK};
use physics::constants::GRAVITY;
use physics::number::Number;
use physics::smooth::{signed_square, step};

crate::parameters! {
    /// Flow at which its drop is given [kg/s].
    rated_flow: MassFlow, 0.01..=50.0, 0.92 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of pipe, flap and fitting at that flow [Pa].
    rated_drop: PressureDifference, 50.0..=200_000.0, 4_000.0, within 2.0, "common practice, no source";
    /// Height that water is lifted to it from the intake [m].
    lift: Length, -2.0..=5.0, 0.9, plus 0.3, "[Trade] 2.1: no more than 300 mm over the waterline needs a seacock";
}

/// Flow below which the drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Flow that a full column takes to spill over [share of rated flow]: standing water rises as far as the sea lifts it.
const SPILLS: f64 = 0.1;
/// What leaves.
const WATER: Probe = Probe::Flow(0);

/// The kind.
pub const KIND: Kind = Kind {
    name: "overboard-discharge",
    title: "Overboard discharge",
    called: &["raw-water-outlet", "discharge", "overboard-outlet"],
    places: &[along(Circuit::RawWater, Station::End, Role::Ends)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (20.0, 40.0),
        strokes: &[Stroke::Line(
            "M0 20H14M14 0V14M14 26V40M8 14L14 20L8 26M18 26C20 30 20 34 18 36C16 34 16 30 18 26Z",
        )],
        ways: &[inward((0.0, 20.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("water", &[Circuit::RawWater], End::Port("in"), End::Air).that("runs overboard, seen, at")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[],
    laws: both::<OverboardDischarge>(),
    causes: &[
        Cause {
            name: "blocked",
            title: "overboard discharge blocked: flap stuck, scale or growth",
            moves: &[Move { on: Whose::Own, parameter: "rated_drop", by: By::Blocked }],
            severity: Severity::MostlyBad,
            says: &[says("flap stuck", 0.5)],
            misreads: None,
            rate: "overboard-discharge-blocked",
            remedy: "clear the discharge and free its flap",
        },
        spoken(&Spoken {
            name: "leaks",
            title: "pipe or hose of the overboard discharge leaks inboard",
            says: &[says("wet below it", 0.8)],
            rate: "raw-delivery-tube-split",
            remedy: "renew the hose of the discharge, two clamps at each end",
        }),
    ],
    words: &[
        Word {
            name: "flow weak",
            of: Of::Share { probe: WATER, midpoint: 0.65, spread: 0.15, when: When::Low },
            false_said: 0.03,
            miss: 0.15,
            group: "outlet-water",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "no water",
            of: Of::Share { probe: WATER, midpoint: 0.08, spread: 0.05, when: When::Low },
            false_said: 0.01,
            miss: 0.1,
            group: "outlet-water",
            danger: Some(
                "Idle at once, out of gear, and look whether the pump turns. The exhaust is dry and does not suffer, the \
                 coolant does: stop before it passes its limit, if stopping does not put the ship in danger.",
            ),
            source: "from memory",
        },
        Word {
            name: "steams",
            of: Of::Found { probe: Probe::InletTemperature(0), midpoint: 335.0, spread: 6.0, when: When::High },
            false_said: 0.03,
            miss: 0.25,
            group: "outlet-steam",
            danger: Some("Ease back to idle; look at the coolant, the strainer and the pump before going on."),
            source: "from memory",
        },
        said("flap stuck", 0.03, 0.4, "outlet-flap"),
        said("wet below it", 0.05, 0.2, "wet"),
    ],
    checks: &[
        Check {
            name: "look",
            title: "Look at the water that runs overboard",
            minutes: 1.0,
            state: State::Running,
            tool: None,
            caution: "From the deck, one hand for yourself; not leaning out under way.",
            finds: LOOK,
        },
        Check {
            name: "bucket",
            title: "Made fast alongside: catch the water in a bucket at a set speed and time it",
            minutes: 10.0,
            state: State::Idling,
            tool: Some("bucket, watch, helper"),
            caution: "Never under way; propeller out of gear or at no pitch, and the water may be hot.",
            finds: BUCKET,
        },
        Check {
            name: "look_into",
            title: "Move the flap and look into the discharge from outside; feel its hose inside",
            minutes: 10.0,
            state: State::StoppedAndShut,
            tool: Some("torch, dinghy"),
            caution: "Engine stopped, key in your pocket; a fender between dinghy and hull.",
            finds: &[Find { cause: "blocked", power: "visual-general" }, Find { cause: "leaks", power: "round-walk" }],
        },
    ],
    walls: &[wall("its hose", "water", Beyond::Space, &["leaks"])],
    limits: &[Limit {
        probe: Probe::InletTemperature(0),
        value: 328.15,
        when: When::High,
        running_only: true,
        act: "Ease back: salt and lime fall out of sea water this hot. Look at strainer, pump and coolers before going on.",
        source: "[Trade] 2.1 discharge against scale",
    }],
    margins: &[],
};

/// Its laws.
struct OverboardDischarge;

impl Law for OverboardDischarge {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let share = at.flow[0] / p.rated_flow;
        let column = p.lift * step(share, SPILLS);
        let weight = column * (at.contents[0].density(at.inlet_temperature[0]) * GRAVITY);
        at.drop(say, 0, p.rated_drop * signed_square(share, REST) + weight);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, MILD, near};

    #[test]
    fn it_takes_the_drop_of_its_pipe_and_the_weight_of_the_lift() {
        let bench = Bench::of(&KIND);
        let rated = bench.figure("rated_flow");
        // Hydrostatics, [White7] eq. 2.14: ρ g h.
        let weight = bench.site.contents[0].density(MILD) * GRAVITY * bench.figure("lift");
        near(bench.flow_at(0, bench.figure("rated_drop") + weight), rated, 0.005, "ρ g h and its own drop");
        assert!(bench.flow_at(0, 0.5 * weight) < 0.1 * rated, "half the lift does not make it run");
    }
}
