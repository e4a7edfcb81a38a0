//! Battery: a bank of lead-acid batteries that takes current and gives it.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use measure::quantity::Quantity;
use physics::electrical::{CELL_NOMINAL, cell_current, discharging_resistance};
use physics::number::Number;
use physics::smooth::positive_part;

crate::parameters! {
    /// Its nominal voltage [V]: 12 V are six cells.
    nominal: Voltage, 6.0..=48.0, 12.0 * volts ^ 1.0, exact, "common practice, no source";
    /// Charge it holds when sound and full, by the twenty-hour rate [A s].
    capacity: Charge, 36e3..=18e6, 720e3 * power ^ 0.3 * volts ^ -0.5, within 1.5, "common practice, no source";
    /// State of charge: 1 is full [1].
    charge: Ratio, 0.0..=1.0, 0.9, plus 0.08, "from memory";
    /// Share of its plates that still takes charge and gives it [1].
    sound: Ratio, 0.02..=1.0, 0.9, within 1.15, "from memory";
    /// Cells that are shorted inside [1].
    dead_cells: Ratio, 0.0..=3.0, 0.0, exact, "common practice, no source";
    /// How much faster it is empty the harder it is drawn on: Peukert's exponent [1].
    peukert: Ratio, 1.0..=1.6, 1.2, exact, "from memory";
    /// Resistance of its posts and lugs [Ω].
    contact: Resistance, 1e-5..=1.0, 0.5e-3, within 2.0, "from memory";
}

/// An hour [s].
const HOUR: f64 = 3600.0;
/// Least of a cell that is left when cells are dead, so that laws stay finite [1].
const LEAST_CELLS: f64 = 0.2;
/// Least share of sound plates, for the same reason [1].
const LEAST_SOUND: f64 = 0.01;

/// What to do before anything else near a bank that gasses.
const GAS: &str = "No flame or spark near the batteries; air in. Slow down, and switch off the field if there is a \
    switch for it; never the battery switch while it charges.";

/// The kind.
pub const KIND: Kind = Kind {
    name: "battery",
    title: "Battery",
    called: &["accumulator", "bank", "battery-bank", "starter-battery", "house-battery", "start-battery"],
    places: &[along(Circuit::Charging, Station::Bank, Role::Needed)],
    variant_of: None,
    circuit: Circuit::Charging,
    symbol: Symbol {
        size: (32.0, 30.0),
        strokes: &[
            Stroke::Line("M0 15H7M7 3V27"),
            Stroke::Line("M12 9V21"),
            Stroke::Line("M17 3V27"),
            Stroke::Line("M22 9V21M22 15H32M32 9V21"),
        ],
        ways: &[inward((0.0, 15.0))],
        ..Symbol::BLANK
    },
    passages: &[way_through("current", &[Circuit::Charging], End::Port("plus"), End::Store).that("is stored by")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::All("space_temperature")],
    laws: both::<Battery>(),
    causes: &[
        Cause {
            name: "flat",
            title: "battery run down",
            moves: &[Move { on: Whose::Own, parameter: "charge", by: By::Towards(0.05) }],
            severity: Severity::Even,
            says: &[
                says("cranks slowly", 0.75),
                says("lamps dim", 0.5),
                says_of("alternator", "batteries flat by morning", 0.6),
            ],
            misreads: None,
            rate: "battery-run-down",
            remedy: "charge it, and find what drew it down",
        },
        Cause {
            name: "worn",
            title: "battery worn out: plates sulphated or shed",
            moves: &[Move { on: Whose::Own, parameter: "sound", by: By::Factor(0.1) }],
            severity: Severity::Even,
            says: &[
                says("cranks slowly", 0.75),
                says("lamps dim", 0.3),
                says("plates dry", 0.2),
                says_of("alternator", "batteries flat by morning", 0.75),
                says_of("alternator", "does not charge", 0.3),
            ],
            misreads: None,
            rate: "battery-worn-out",
            remedy: "renew the battery",
        },
        Cause {
            name: "cell_shorted",
            title: "a cell of the battery shorted",
            moves: &[Move { on: Whose::Own, parameter: "dead_cells", by: By::Towards(1.0) }],
            severity: Severity::Whole,
            says: &[
                says("hot", 0.6),
                says("cranks slowly", 0.6),
                says_of("alternator", "batteries gas or smell", 0.6),
                says_of("alternator", "batteries flat by morning", 0.6),
            ],
            misreads: None,
            rate: "battery-cell-shorted",
            remedy: "take the battery out of its bank and renew it",
        },
        Cause {
            name: "post_corroded",
            title: "post or lug of the battery loose or corroded",
            moves: &[Move { on: Whose::Own, parameter: "contact", by: By::Factor(200.0) }],
            severity: Severity::Even,
            says: &[
                says("posts green or white", 0.6),
                says("posts hot", 0.3),
                says("cranks slowly", 0.5),
                says_of("alternator", "does not charge", 0.25),
            ],
            misreads: None,
            rate: "battery-terminal-loose",
            remedy: "clean and tighten the posts",
        },
    ],
    words: &[
        said("cranks slowly", 0.05, 0.2, "cranking"),
        said("lamps dim", 0.04, 0.3, "batteries"),
        said("plates dry", 0.02, 0.4, "plates"),
        Word { danger: Some(GAS), ..said("hot", 0.01, 0.4, "battery-heat") },
        said("posts green or white", 0.06, 0.2, "posts"),
        said("posts hot", 0.01, 0.5, "posts"),
    ],
    checks: &[
        Check {
            name: "rest_voltage",
            title: "Measure its voltage after some hours without charge or load",
            minutes: 5.0,
            state: State::StoppedCold,
            tool: Some("voltmeter"),
            caution: "Probe post to post, nothing metal across them; no flame, it may still gas.",
            finds: &[
                Find { cause: "flat", power: "battery-rest-voltage" },
                Find { cause: "cell_shorted", power: "battery-rest-voltage" },
                Find { cause: "worn", power: "battery-rest-voltage" },
            ],
        },
        Check {
            name: "load_test",
            title: "Load it with a tester, or crank with the stop held, and watch its voltage",
            minutes: 10.0,
            state: State::StoppedCold,
            tool: Some("load tester or voltmeter"),
            caution: "Gear in neutral, nobody near belts and shaft; seacock shut if you crank for long. Clamps on before \
                      the load, off after it.",
            finds: &[
                Find { cause: "worn", power: "battery-load-test" },
                Find { cause: "cell_shorted", power: "battery-load-test" },
                Find { cause: "flat", power: "battery-load-test" },
            ],
        },
        Check {
            name: "look_at_posts",
            title: "Look at posts and lugs, feel them after a while under load, turn them by hand",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("torch, spanner with a taped handle"),
            caution: "Negative off first and on last; a spanner between post and hull welds itself fast. Rings off, eyes covered.",
            finds: &[Find { cause: "post_corroded", power: "visual-general" }],
        },
        Check {
            name: "acid",
            title: "Measure the acid of every cell with a hydrometer, where it can be opened",
            minutes: 20.0,
            state: State::StoppedCold,
            tool: Some("hydrometer, gloves, goggles"),
            caution: "Acid burns eyes and skin: goggles, gloves, water at hand; no flame.",
            finds: &[
                Find { cause: "cell_shorted", power: "second-gauge" },
                Find { cause: "worn", power: "second-gauge" },
                Find { cause: "flat", power: "second-gauge" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[Margin {
        name: "charging current",
        asks: "Is it charged no harder than a bank bears: share of its capacity an hour?",
        of: |at| (at.flow[0] > 0.0).then(|| at.flow[0] * HOUR / P::of(at.parameters).capacity),
        quantity: Quantity::Ratio,
        least: f64::NEG_INFINITY,
        most: 0.2,
        remedy: "a larger bank, or a regulator that holds the alternator back",
        source: "[Trade] 2.7 charge rate",
    }],
};

/// Its laws.
struct Battery;

impl Law for Battery {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let cells = positive_part(p.nominal / CELL_NOMINAL - p.dead_cells, LEAST_CELLS);
        let holds = p.capacity * positive_part(p.sound, LEAST_SOUND);
        let inside = at.inlet_pressure[0] - at.outlet_pressure[0] - at.flow[0] * p.contact;
        let taken = cell_current(inside / cells, p.charge, at.room(0)) * holds;
        // In volts along what resists it when it gives.
        say.gap[0] = (taken - at.flow[0]) * (discharging_resistance(p.charge) * cells / holds + p.contact);
    }
}

#[cfg(test)]
mod tests {
    use crate::bench::{Bench, near};
    use crate::kind::Kind;

    const KIND: &Kind = &super::KIND;

    /// Current into it at a voltage [A].
    fn takes(bench: &Bench, voltage: f64) -> f64 {
        let mut bench = bench.clone();
        bench.site.inlet_pressure[0] = voltage;
        bench.flow_at(0, voltage)
    }

    #[test]
    fn it_takes_above_its_rest_and_gives_below() {
        let bench = Bench::of(KIND).with("charge", 0.75).with("sound", 1.0);
        assert!(takes(&bench, 14.2) > 10.0 && takes(&bench, 11.8) < -10.0);
        // A quarter under full it rests at 12.45 V: a vehicle-maintenance table, among the check values.
        assert!(takes(&bench, 12.45).abs() < 3.0, "{}", takes(&bench, 12.45));
    }

    #[test]
    fn a_shorted_cell_takes_far_more_at_the_same_voltage() {
        // Five cells at 14.2 V are at 2.84 V each: far over the 2.4 V where gassing is violent. From memory.
        let bench = Bench::of(KIND).with("charge", 1.0);
        let (sound, shorted) = (takes(&bench, 14.2), takes(&bench.clone().with("dead_cells", 1.0), 14.2));
        assert!(sound < 2.0 && shorted > 10.0, "{sound}, {shorted}");
    }

    #[test]
    fn a_worn_bank_takes_and_gives_less() {
        let (new, worn) = (Bench::of(KIND).with("sound", 1.0), Bench::of(KIND).with("sound", 0.1));
        near(takes(&worn, 14.2) / takes(&new, 14.2), 0.1, 0.1, "current goes with what is left of the plates");
    }
}
