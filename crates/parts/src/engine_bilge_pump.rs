//! Engine-driven bilge pump: vanes or a plunger on a belt or clutch of the engine, which lift as much a turn whatever the height.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::{positive_part, signed_root};

crate::parameters! {
    /// Flow at its rated speed [kg/s].
    rated_flow: MassFlow, 0.05..=50.0, 1.6 * power ^ 0.33, within 1.3, "[Trade] 2.11 5 m³/h";
    /// Speed of what turns it there [rad/s].
    rated_speed: RotationalSpeed, 20.0..=700.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
    /// Is it clutched in: 1, or out: 0 [1].
    clutch: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Share of its flow that vanes and cover still lift [1].
    health: Ratio, 0.0..=1.1, 1.0, within 1.06, "from memory";
    /// Flow that it lets back at half a metre of water when it stands [kg/s].
    back: MassFlow, 1e-6..=5.0, 1e-3, within 3.0, "from memory";
}

/// Half a metre of water [Pa].
const HALF_METRE: f64 = 4_900.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "engine-bilge-pump",
    title: "Engine-driven bilge pump",
    called: &["belt-bilge-pump", "clutch-bilge-pump"],
    places: &[along(Circuit::Bilge, Station::Pump, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Bilge,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[
            Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"),
            Stroke::Line("M9 2.4L36 18L9 33.6M6 18H18"),
        ],
        ways: &[way((0.0, 18.0), (36.0, 18.0))],
        link: inward((18.0, 0.0)),
        ..Symbol::BLANK
    },
    passages: &[passage("water", &[Circuit::Bilge], "in", "out").that("is lifted by the engine with")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::DriverSpeed],
    laws: both::<EngineBilgePump>(),
    causes: &[
        Cause {
            name: "drive_broken",
            title: "belt, clutch or shaft of the engine's bilge pump broken or slipping",
            moves: &[Move { on: Whose::Own, parameter: "clutch", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("stands though the engine turns", 0.8)],
            misreads: None,
            rate: "engine-bilge-pump-drive-broken",
            remedy: "renew belt or clutch",
        },
        Cause {
            name: "worn",
            title: "vanes of the engine's bilge pump worn or broken by running dry",
            moves: &[Move { on: Whose::Own, parameter: "health", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("hot to the touch", 0.3)],
            misreads: None,
            rate: "engine-bilge-pump-worn",
            remedy: "renew vanes and cover",
        },
        Cause {
            name: "lets_back",
            title: "the engine's bilge pump lets water back when it stands",
            moves: &[Move { on: Whose::Own, parameter: "back", by: By::Towards(0.4) }],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "check-valve-passes-back",
            remedy: "renew vanes, and fit a check valve or a vented loop",
        },
    ],
    words: &[
        Word {
            name: "little comes overboard",
            of: Of::Share { probe: Probe::Flow(0), midpoint: 0.6, spread: 0.15, when: When::Low },
            false_said: 0.03,
            miss: 0.3,
            group: "bilge-outlet",
            danger: None,
            source: "from memory",
        },
        said("stands though the engine turns", 0.01, 0.1, "bilge-drive"),
        said("hot to the touch", 0.03, 0.4, "bilge-drive"),
    ],
    checks: &[
        Check {
            name: "look_at_its_pulley",
            title: "Clutch it in at idle and look whether it turns",
            minutes: 2.0,
            state: State::Idling,
            tool: Some("torch"),
            caution: "Hair, sleeves and lamp clear of belt and pulley.",
            finds: &[Find { cause: "drive_broken", power: "valve-status-seen" }],
        },
        Check {
            name: "bucket_in_the_bilge",
            title: "Pour in two buckets, clutch it in and time how long it takes; then stop and see whether it runs back",
            minutes: 8.0,
            state: State::Idling,
            tool: Some("bucket, watch"),
            caution: "Clutch out before it draws air for long: it has no other water to cool it.",
            finds: &[Find { cause: "worn", power: "bucket" }, Find { cause: "lets_back", power: "bucket" }],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct EngineBilgePump;

impl Law for EngineBilgePump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let turned = positive_part(at.links[0] / p.rated_speed, 1e-3) * p.clutch;
        let along = at.inlet_pressure[0] - at.outlet_pressure[0];
        let back = p.back * signed_root(along, 100.0) / HALF_METRE.sqrt();
        // A flow that is what it is, told as a pressure.
        say.gap[0] = (turned * p.rated_flow * p.health + back - at.flow[0]) / p.rated_flow * 1e4;
        say.storage[0] = p.rated_flow * 20_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_lifts_as_much_a_turn_whatever_the_height_and_nothing_clutched_out() {
        let mut bench = Bench::of(&KIND);
        bench.site.links[0] = bench.figure("rated_speed");
        let rated = bench.figure("rated_flow");
        for lift in [0.0, -5_000.0, -30_000.0] {
            near(bench.flow_at(0, lift), rated, 0.01, "its plate");
        }
        // [Trade] 2.11: 5 m³/h.
        assert!(rated * 3.6 / 1.025 >= 5.0);
        let out = bench.with("clutch", 0.0);
        near(out.flow_at(0, -HALF_METRE), -out.figure("back"), 0.05, "it lets a little back");
    }
}
