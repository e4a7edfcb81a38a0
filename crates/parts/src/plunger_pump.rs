//! Plunger pump: a piston between two check valves, driven slowly by an eccentric; it slips little and must not be shut off.

use crate::check_valve::one_way;
use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::constants::GRAVITY;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, step};

crate::parameters! {
    /// Pump strokes for each turn of what drives it [1].
    drive_ratio: Ratio, 0.02..=10.0, 0.5, exact, "common practice, no source";
    /// Water moved a radian of pump turn with sound valves and no pressure [m³/rad].
    displacement: Volume, 1e-8..=1e-1, 1.0e-5 * power ^ 1.0 * speed ^ -1.0, within 1.35, "[Trade] 2.1 flow for each kW";
    /// Rated speed of the pump [rad/s].
    rated_speed: RotationalSpeed, 0.5..=300.0, 94.2 * speed ^ 1.0, exact, "common practice, no source";
    /// Share that slips back at rated speed against one atmosphere [1].
    slip: Ratio, 0.0..=0.95, 0.04, within 1.6 each, "[PumpHandbook] slip of a reciprocating pump";
    /// Share of the stroke that its cup or packing still seals [1].
    sealing: Ratio, 0.0..=1.2, 1.0, within 1.04 each, "from memory";
    /// Share of full prime [1].
    prime: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Share of the drive's turns that reach the plunger [1].
    coupling: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
    /// Height from the sea's opening to where its water ends [m].
    lift: Length, 0.0..=20.0, 0.8, exact, "[Trade] 2.5 height of the injection";
    /// Pressure that lifts both its valves [Pa].
    lifting: PressureDifference, 100.0..=50_000.0, 4_000.0, within 1.6, "from memory";
}

/// Pressure the slip is given at [Pa].
const SLIP_PRESSURE: f64 = 101_325.0;
/// Within this of vapour pressure the suction fills the barrel less and less [Pa], and below this draws nothing [Pa over vapour].
const CAVITATION_WIDTH: f64 = 4_000.0;
const LIFT_FLOOR: f64 = 12_000.0;
/// Flow below which what is pushed through both valves turns linear [share of rated flow].
const REST: f64 = 0.02;

/// What to do when it moves nothing.
const NO_WATER: &str = "Slow to idle, out of gear, and look for water at the outlet. None within half a minute: stop, if \
    stopping does not put her in danger.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "plunger-pump",
    title: "Plunger pump",
    called: &["piston-pump", "reciprocating-pump", "pump"],
    places: &[along(Circuit::RawWater, Station::Pump, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::RawWater,
    symbol: Symbol {
        size: (36.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 10H36V40H0Z"),
            Stroke::Line("M0 22H36M18 22V0"),
            Stroke::Solid("M36 31L28 36V26Z"),
        ],
        ways: &[way((0.0, 30.0), (36.0, 30.0))],
        ..Symbol::BLANK
    },
    passages: &[
        passage("water", &[Circuit::RawWater], "in", "out").that("is drawn in and pressed on, stroke by stroke, by")
    ],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::DriverSpeed, Link::Upstream("air")],
    laws: both::<PlungerPump>(),
    causes: &[
        Cause {
            name: "valves_leak",
            title: "valves of the plunger pump do not seat: dirt, worn seat or broken spring",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Towards(0.9) }],
            severity: Severity::Even,
            says: &[says("flow only on some strokes", 0.4), says("knocks", 0.25)],
            misreads: None,
            rate: "plunger-pump-valves-leak",
            remedy: "clean or renew the valves and grind the seats",
        },
        Cause {
            name: "packing_worn",
            title: "cup leather or packing of the plunger worn",
            moves: &[Move { on: Whose::Own, parameter: "sealing", by: By::Factor(0.3) }],
            severity: Severity::Even,
            says: &[says("drips at the plunger", 0.75)],
            misreads: None,
            rate: "plunger-pump-packing-worn",
            remedy: "take up or renew the packing",
        },
        Cause {
            name: "drive_broken",
            title: "eccentric, rod or key of the plunger pump broken",
            moves: &[Move { on: Whose::Own, parameter: "coupling", by: By::Towards(0.0) }],
            severity: Severity::Whole,
            says: &[says("plunger stands still", 0.7)],
            misreads: None,
            rate: "raw-pump-drive-broken",
            remedy: "renew the drive of the pump",
        },
        Cause {
            name: "not_primed",
            title: "plunger pump not primed: its valves are dry or its suction full of air",
            moves: &[Move { on: Whose::Own, parameter: "prime", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says("strokes without resistance", 0.4), says_of("strainer", "bowl empty", 0.35)],
            misreads: None,
            rate: "raw-pump-not-primed",
            remedy: "wet the valves, fill the suction and open the snifting cock until it takes",
        },
    ],
    words: &[
        said("flow only on some strokes", 0.03, 0.3, "stroke"),
        said("knocks", 0.05, 0.35, "pump-noise"),
        said("drips at the plunger", 0.1, 0.2, "pump-leak"),
        said("strokes without resistance", 0.02, 0.4, "stroke"),
        Word {
            name: "plunger stands still",
            of: Of::Cause,
            false_said: 0.005,
            miss: 0.15,
            group: "pump-drive",
            danger: Some(NO_WATER),
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "watch_the_plunger",
            title: "Watch the plunger for a minute: does it move, does it drip, is there a stroke without water?",
            minutes: 2.0,
            state: State::Running,
            tool: Some("torch"),
            caution: "Hands off the rod and eccentric: they pinch without a sound.",
            finds: &[
                Find { cause: "drive_broken", power: "valve-status-seen" },
                Find { cause: "packing_worn", power: "round-walk" },
                Find { cause: "valves_leak", power: "round-walk" },
            ],
        },
        Check {
            name: "suction_and_delivery",
            title: "Catch the flow in a bucket at a known speed and count strokes",
            minutes: 5.0,
            state: State::Running,
            tool: Some("bucket, watch"),
            caution: "Never shut its delivery to see what it makes: it bursts what is weakest.",
            finds: &[
                Find { cause: "valves_leak", power: "bucket" },
                Find { cause: "packing_worn", power: "bucket" },
                Find { cause: "not_primed", power: "bucket" },
            ],
        },
        Check {
            name: "valve_covers_off",
            title: "Valve covers off: look at discs, seats and springs",
            minutes: 25.0,
            state: State::StoppedAndShut,
            tool: Some("spanners, gaskets"),
            caution: "Seacock shut first: with a valve out the sea runs straight through.",
            finds: &[
                Find { cause: "valves_leak", power: "visual-general" },
                Find { cause: "not_primed", power: "visual-general" },
            ],
        },
    ],
    walls: &[wall("the packing", "water", Beyond::Space, &["packing_worn"])],
    // Its pump knows no shut-off of its own: what stops the flow bursts a hose or breaks the rod.
    limits: &[Limit {
        probe: Probe::OutletPressure(0),
        value: 400_000.0,
        when: When::High,
        running_only: true,
        act: "Slow down at once and open whatever is shut after the pump: it bursts a hose before it stops.",
        source: "common practice, no source",
    }],
    margins: &[LIFT],
};

/// Its laws.
struct PlungerPump;

impl Law for PlungerPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let water = at.contents[0].density(at.inlet_temperature[0]);
        let rated = water * p.displacement * p.rated_speed;
        let share = at.links[0] * p.drive_ratio * p.coupling / p.rated_speed;
        let fill = step(at.inlet_pressure[0] - at.vapour_pressure(0) - LIFT_FLOOR, CAVITATION_WIDTH);
        let swept = share * p.sealing * p.prime * fill * (-at.links[1] + 1.0);
        let rise = at.outlet_pressure[0] - at.inlet_pressure[0] + water * p.lift * GRAVITY;
        // Slip goes with the pressure, turning or not: valves that hold badly hold as badly at rest.
        let back = p.slip * positive_part(rise, 500.0) / SLIP_PRESSURE;
        // What is pushed through both valves beyond the plunger's own: they open one way, whoever pushes.
        let past = at.flow[0] / rated - swept + back;
        let spare = (p.lifting * (signed_square(past, REST) + 1.0) + rise) / p.lifting;
        say.gap[0] = one_way(past, spare) * p.lifting;
        say.storage[0] = rated * 4_000.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    #[test]
    fn it_delivers_its_displacement_less_the_slip_that_is_printed() {
        // [PumpHandbook]: a properly packed reciprocating pump slips 3 to 5 %.
        let mut bench = Bench::of(&KIND).with("lift", 0.0);
        bench.site.links[0] = REFERENCE_SPEED;
        let density = bench.site.contents[0].density(crate::bench::MILD);
        let swept = density * bench.figure("displacement") * bench.figure("rated_speed");
        let slip = 1.0 - bench.flow_at(0, -101_325.0) / swept;
        assert!((0.03..=0.05).contains(&slip), "it slips {slip}");
        // Positive displacement: half the speed, half of what is swept.
        bench.site.links[0] = REFERENCE_SPEED / 2.0;
        near(bench.flow_at(0, -101_325.0) + slip * swept, swept / 2.0, 0.002, "half the strokes");
    }

    #[test]
    fn standing_still_it_lets_nothing_back_but_a_head_lifts_its_valves() {
        let bench = Bench::of(&KIND).with("lift", 0.0);
        let rated = 1025.0 * bench.figure("displacement") * bench.figure("rated_speed");
        assert!(bench.flow_at(0, -3e4).abs() < 0.02 * rated, "its valves hold");
        assert!(bench.flow_at(0, 2e4) > 0.5 * rated, "twenty kilopascal of head run through it");
    }
}
