//! One cylinder of an engine with its injector and valves: what it does less than the others, and how hot its port is.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both, is_charged};
use measure::quantity::Quantity;
use physics::number::Number;

crate::parameters! {
    /// Number of cylinders of its engine; the engine's own where that is told [1].
    cylinders: Ratio, 1.0..=24.0, 4.0, count 1.15, "common practice, no source";
    /// Fuel its injector passes over a sound one at the same rack [1].
    passes: Ratio, 0.02..=2.0, 1.0, exact, "common practice, no source";
    /// Share of that fuel that burns [1].
    burns: Ratio, 0.02..=1.0, 1.0, exact, "common practice, no source";
    /// Work it makes of what burns, over a sound one [1].
    works: Ratio, 0.02..=1.1, 1.0, exact, "common practice, no source";
    /// Air it keeps over a sound one [1].
    breathes: Ratio, 0.1..=1.2, 1.0, exact, "common practice, no source";
    /// Rise of its gas over the mean by its place and make [1].
    port_rise: Ratio, 0.7..=1.4, 1.0, within 1.08, "from memory";
    /// Share of fuel heat that a sound cylinder turns into work on its piston [1].
    indicated_efficiency: Ratio, 0.3..=0.55, 0.475, within 1.05, "[Heywood1988] ch. 15";
    /// Share of fuel heat that its walls take before the port [1].
    walls: Ratio, 0.05..=0.4, 0.21, within 1.2, "[Heywood1988] ch. 12";
}

/// Gas at its port.
const PORT: Probe = Probe::Unknown(0);
const HOT_JET: &str =
    "The jet goes through skin and a pierced finger is lost: rag over the union, goggles, never a hand.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "cylinder",
    title: "Cylinder with its injector",
    called: &["injector", "exhaust-port"],
    places: &[],
    variant_of: None,
    circuit: Circuit::Exhaust,
    symbol: Symbol {
        size: (28.0, 40.0),
        strokes: &[
            Stroke::Outline("M0 10H28V40H0Z"),
            Stroke::Line("M0 26H28"),
            Stroke::Solid("M11 0H17V10L14 16L11 10Z"),
        ],
        ways: &[],
        ..Symbol::BLANK
    },
    passages: &[],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown {
            name: "port_temperature",
            quantity: Quantity::Temperature,
            start: 650.0,
            size: 20.0,
            bounds: (200.0, 2_500.0),
        },
        // Each as its part in the mean of the engine: what it is short of over the number of cylinders.
        Unknown { name: "short_of_fuel", quantity: Quantity::Ratio, start: 0.0, size: 0.1, bounds: (-5.0, 5.0) },
        Unknown { name: "short_of_burning", quantity: Quantity::Ratio, start: 0.0, size: 0.1, bounds: (-5.0, 5.0) },
        Unknown { name: "short_of_work", quantity: Quantity::Ratio, start: 0.0, size: 0.1, bounds: (-5.0, 5.0) },
        Unknown { name: "short_of_air", quantity: Quantity::Ratio, start: 0.0, size: 0.1, bounds: (-5.0, 5.0) },
    ],
    links: &[
        Link::GasTemperature,
        Link::Charge("charge_temperature"),
        Link::All("space_temperature"),
        Link::Own("short_of_burning"),
        Link::Own("short_of_work"),
        Link::Own("short_of_air"),
    ],
    laws: both::<Cylinder>(),
    causes: &[
        Cause {
            name: "nozzle_dribbles",
            title: "nozzle worn or dripping: it burns late",
            moves: &[
                Move { on: Whose::Own, parameter: "passes", by: By::Factor(1.1) },
                Move { on: Whose::Own, parameter: "works", by: By::Factor(0.75) },
            ],
            severity: Severity::MostlySlight,
            says: &[
                says("knocks here", 0.35),
                says_of("diesel", "smoke black", 0.3),
                says_of("diesel", "knocks", 0.2),
                says_of("diesel", "starts badly", 0.15),
            ],
            misreads: None,
            rate: "cylinder-nozzle-worn",
            remedy: "service this injector",
        },
        Cause {
            name: "nozzle_blocked",
            title: "nozzle blocked or needle stuck shut",
            moves: &[Move { on: Whose::Own, parameter: "passes", by: By::Towards(0.05) }],
            severity: Severity::MostlyBad,
            says: &[says("no change when cut out", 0.7), says("misses", 0.5), says_of("diesel", "shakes", 0.6)],
            misreads: None,
            rate: "cylinder-nozzle-blocked",
            remedy: "service this injector",
        },
        Cause {
            name: "opens_early",
            title: "opening pressure of the injector low: it gives more and earlier",
            moves: &[
                Move { on: Whose::Own, parameter: "passes", by: By::Factor(1.25) },
                Move { on: Whose::Own, parameter: "works", by: By::Factor(0.93) },
            ],
            severity: Severity::Even,
            says: &[says("knocks here", 0.5), says_of("diesel", "knocks", 0.3), says_of("diesel", "smoke black", 0.2)],
            misreads: None,
            rate: "cylinder-injector-opens-low",
            remedy: "set this injector's opening pressure",
        },
        Cause {
            name: "pipe_cracked",
            title: "high-pressure pipe of this cylinder cracked or its union loose",
            moves: &[Move { on: Whose::Own, parameter: "passes", by: By::Towards(0.2) }],
            severity: Severity::Even,
            says: &[
                says("misses", 0.4),
                says_of("diesel", "smell of fuel", 0.6),
                says_of("diesel", "fuel in the bilge", 0.4),
                says_of("diesel", "shakes", 0.5),
            ],
            misreads: None,
            rate: "cylinder-pressure-pipe-cracked",
            remedy: "renew the pipe",
        },
        Cause {
            name: "compression_lost",
            title: "compression of this cylinder lost: rings, bore or gasket",
            moves: &[
                Move { on: Whose::Own, parameter: "burns", by: By::Towards(0.15) },
                Move { on: Whose::Own, parameter: "breathes", by: By::Factor(0.85) },
            ],
            severity: Severity::Even,
            says: &[
                says("no change when cut out", 0.5),
                says("misses", 0.4),
                says_of("diesel", "smoke white", 0.5),
                says_of("diesel", "starts badly", 0.4),
                says_of("diesel", "breathes hard", 0.4),
                says_of("diesel", "shakes", 0.4),
            ],
            misreads: None,
            rate: "cylinder-compression-lost",
            remedy: "overhaul this cylinder",
        },
        Cause {
            name: "exhaust_valve_burnt",
            title: "exhaust valve burnt or held off its seat",
            moves: &[
                Move { on: Whose::Own, parameter: "works", by: By::Factor(0.55) },
                Move { on: Whose::Own, parameter: "breathes", by: By::Factor(0.85) },
            ],
            severity: Severity::Even,
            says: &[
                says("puffs in the exhaust", 0.6),
                says("hisses when barred over", 0.4),
                says_of("diesel", "shakes", 0.3),
                says_of("diesel", "starts badly", 0.2),
            ],
            misreads: None,
            rate: "cylinder-exhaust-valve-burnt",
            remedy: "set its clearance; if it still blows, head off and valve ground in",
        },
        Cause {
            name: "valve_slack",
            title: "valve clearance of this cylinder too wide: it breathes less",
            moves: &[Move { on: Whose::Own, parameter: "breathes", by: By::Factor(0.75) }],
            severity: Severity::Even,
            says: &[says("taps here", 0.6), says_of("diesel", "valve gear clatters", 0.5)],
            misreads: None,
            rate: "cylinder-valve-slack",
            remedy: "set the valve clearance",
        },
    ],
    words: &[
        Word {
            name: "port hotter than usual",
            of: Of::Change { probe: PORT, midpoint: 35.0, spread: 15.0, when: When::High },
            false_said: 0.03,
            miss: 0.3,
            group: "port-heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "port cooler than usual",
            of: Of::Change { probe: PORT, midpoint: -35.0, spread: 15.0, when: When::Low },
            false_said: 0.03,
            miss: 0.3,
            group: "port-heat",
            danger: None,
            source: "from memory",
        },
        said("knocks here", 0.03, 0.35, "cylinder-sound"),
        said("taps here", 0.04, 0.35, "cylinder-sound"),
        said("misses", 0.02, 0.3, "cylinder-sound"),
        said("puffs in the exhaust", 0.02, 0.35, "cylinder-sound"),
        said("hisses when barred over", 0.02, 0.4, "cylinder-sound"),
        said("no change when cut out", 0.04, 0.1, "cut-out"),
    ],
    checks: &[
        Check {
            name: "cut_out",
            title: "At idle loosen the union of this injector and listen: does the engine slow down?",
            minutes: 4.0,
            state: State::Idling,
            tool: Some("spanner, goggles, rag"),
            caution: HOT_JET,
            finds: &[
                Find { cause: "nozzle_blocked", power: "line-off-one-by-one" },
                Find { cause: "compression_lost", power: "line-off-one-by-one" },
                Find { cause: "pipe_cracked", power: "line-off-one-by-one" },
                Find { cause: "nozzle_dribbles", power: "line-off-one-by-one" },
                Find { cause: "opens_early", power: "line-off-one-by-one" },
            ],
        },
        Check {
            name: "injector_out",
            title: "Take this injector out and test opening pressure, spray and drip on a pump",
            minutes: 60.0,
            state: State::StoppedCold,
            tool: Some("puller, test pump, new washer"),
            caution: "Never a hand before the nozzle on the test pump: the jet goes through skin.",
            finds: &[
                Find { cause: "nozzle_dribbles", power: "injector-tester" },
                Find { cause: "nozzle_blocked", power: "injector-tester" },
                Find { cause: "opens_early", power: "injector-tester" },
            ],
        },
        Check {
            name: "swap_injectors",
            title: "Change this injector with a neighbour's: does the odd port move with it?",
            minutes: 120.0,
            state: State::StoppedCold,
            tool: Some("puller, new washers, pipe spanner"),
            caution: "Clean before a pipe is opened, caps on every end; card, not fingers, for the leaks afterwards.",
            finds: &[
                Find { cause: "nozzle_dribbles", power: "injector-tester" },
                Find { cause: "opens_early", power: "injector-tester" },
            ],
        },
        Check {
            name: "compression_test",
            title: "Measure this cylinder's compression, warm, and its neighbours' beside it",
            minutes: 45.0,
            state: State::Stopped,
            tool: Some("compression tester, new washer"),
            caution: "Stop pulled, and no face over an open injector hole: it spits oil and flame.",
            finds: &[
                Find { cause: "compression_lost", power: "compression" },
                Find { cause: "exhaust_valve_burnt", power: "compression" },
            ],
        },
        Check {
            name: "clearances",
            title: "Cover off, bar it to this cylinder's firing stroke and feel both valves' clearances",
            minutes: 30.0,
            state: State::StoppedCold,
            tool: Some("feelers, spanner, gasket"),
            caution: "Bar it over by hand with the stop pulled and the battery off.",
            finds: &[
                Find { cause: "valve_slack", power: "valve-lash" },
                Find { cause: "exhaust_valve_burnt", power: "valve-lash" },
            ],
        },
        Check {
            name: "card_along_the_pipe",
            title: "Pass a card along the pressure pipe and round its unions",
            minutes: 3.0,
            state: State::Idling,
            tool: Some("card, torch"),
            caution: "Card, not fingers: spray you cannot see goes through skin, and it burns on hot metal.",
            finds: &[Find { cause: "pipe_cracked", power: "round-walk" }],
        },
    ],
    walls: &[],
    limits: &[Limit {
        probe: PORT,
        value: 873.15,
        when: When::High,
        running_only: true,
        act: "Ease back until the port is under 600 °C: valves burn. One port alone is its injector or valve, all of them are \
            load or air.",
        source: "from memory",
    }],
    margins: &[],
};

/// Its laws.
struct Cylinder;

impl Law for Cylinder {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let burnt = p.passes * p.burns;
        let work = burnt * p.works;
        for (k, over_sound) in [p.passes, burnt, work, p.breathes].into_iter().enumerate() {
            say.unknown[k + 1] = at.unknowns[k + 1] - (-over_sound + 1.0) / p.cylinders;
        }
        // First law, cylinder by cylinder: what burns and is neither work nor taken by the walls leaves with the gas. All
        // ports together give the manifold its temperature.
        let left = |burnt: N, work: N, air: N| ((-p.walls + 1.0) * burnt - p.indicated_efficiency * work) / air;
        let [all_burnt, all_work, all_air] = [3, 4, 5].map(|k| -at.links[k] + 1.0);
        let charge = if is_charged(at.links[1]) { at.links[1] } else { at.drawn_in(2) };
        let share = left(burnt, work, p.breathes) / left(all_burnt, all_work, all_air);
        say.unknown[0] = at.unknowns[0] - charge - (at.links[0] - charge) * share * p.port_rise;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, near};

    /// Port temperatures [K] of a cylinder with figures changed and of its sound fellows, four in all, gas at 700 K.
    fn ports(changes: &[(&str, f64)]) -> (f64, f64) {
        let mut odd = Bench::of(&KIND);
        for (name, value) in changes {
            odd = odd.with(name, *value);
        }
        let short = ["short_of_burning", "short_of_work", "short_of_air"].map(|name| odd.inner(name));
        let at = |mut bench: Bench| {
            bench.site.links[0] = 700.0;
            bench.site.links[3..6].copy_from_slice(&short);
            bench.inner("port_temperature")
        };
        (at(odd), at(Bench::of(&KIND)))
    }

    #[test]
    fn all_ports_together_carry_the_heat_of_the_manifold() {
        let inlet = Bench::of(&KIND).site.point.drawn_in();
        for changes in [vec![("passes", 0.3)], vec![("works", 0.6), ("breathes", 0.8)], vec![("burns", 0.2)]] {
            let (odd, sound) = ports(&changes);
            let of = |name: &str| changes.iter().find(|(n, _)| *n == name).map_or(1.0, |(_, value)| *value);
            let air = [of("breathes"), 1.0, 1.0, 1.0];
            let rise = [odd, sound, sound, sound].map(|port| port - inlet);
            let heat: f64 = rise.iter().zip(air).map(|(rise, air)| rise * air).sum();
            near(heat, (700.0 - inlet) * air.iter().sum::<f64>(), 1e-9, "first law");
        }
    }

    #[test]
    fn a_starved_cylinder_is_cold_and_a_late_one_hot() {
        let sound = ports(&[]).0;
        near(sound, 700.0, 1e-12, "sound ports have the manifold's temperature");
        // From memory: a dead port reads a third of the others and less, a dripping nozzle 30 to 100 K more than they do.
        let (dead, others) = ports(&[("passes", 0.05)]);
        assert!(dead < 350.0 && others > 720.0, "{dead} K, the others {others} K");
        let (late, _) = ports(&[("passes", 1.1), ("works", 0.85)]);
        assert!((730.0..=850.0).contains(&late), "{late} K");
        let (leaking, _) = ports(&[("works", 0.75), ("breathes", 0.92)]);
        assert!(leaking > 740.0, "{leaking} K with the valve blowing");
    }
}
