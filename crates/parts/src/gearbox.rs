//! Gearbox: reverse-reduction gear with its own oil.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use crate::shaft::SHAFT_POWER;
use measure::quantity::Quantity;
use physics::number::Number;
use physics::smooth::{positive_part, step};

crate::parameters! {
    /// Engine turns for each turn of the shaft [1].
    reduction: Ratio, 0.5..=8.0, 2.5, exact, "common practice, no source";
    /// Share of power lost to heat in it at rated load [1].
    loss: Ratio, 0.005..=0.12, 0.03, within 1.5, "from memory";
    /// Oil its pump moves at 100 rad/s of engine speed [kg/s].
    pump_flow: MassFlow, 0.005..=5.0, 0.1 * power ^ 1.0, within 1.5, "from memory";
    /// Clutch pressure at which its pump slips all it moves [Pa].
    shutoff: PressureDifference, 50_000.0..=4e6, 1.5e6, within 1.4, "[Trade] 2.8 working oil pressure";
    /// Conductance of its case to the engine space [W/K].
    case_conductance: ThermalConductance, 1.0..=500.0, 20.0 * power ^ 0.67, within 1.6, "from memory";
    /// Share of turns lost in a slipping clutch [1].
    clutch_slip: Ratio, 0.0..=1.0, 0.0, exact, "common practice, no source";
    /// Oil as a share of the full mark [1].
    oil_level: Ratio, 0.0..=2.0, 0.98, plus 0.05 each, "common practice, no source";
}

/// Speed the pump's flow is given at [rad/s].
const RATED_SPEED: f64 = 100.0;
/// Oil level at which the pump draws air and the clutch begins to let go, and how fast [1] (from memory).
const AIR_FROM: f64 = 0.45;
const AIR_WIDTH: f64 = 0.08;
/// Share of turns lost when the pump draws only air [1] (from memory).
const SLIP_ON_AIR: f64 = 0.5;
/// Share of the power lost in slip that ends in the oil [1] (from memory).
const SLIP_TO_HEAT: f64 = 0.25;
/// Excess temperature that doubles what the case loses for each kelvin [K]; from memory.
const WARM: f64 = 120.0;

/// The kind.
pub const KIND: Kind = Kind {
    name: "gearbox",
    title: "Gearbox",
    called: &["transmission", "reverse-gear", "reduction-gear", "gear"],
    places: &[along(Circuit::GearOil, Station::Source, Role::IfTold)],
    variant_of: None,
    circuit: Circuit::Drive,
    symbol: Symbol {
        size: (60.0, 44.0),
        strokes: &[
            Stroke::Outline("M0 0H60V44H0Z"),
            Stroke::Line(
                "M10 22A8 8 0 1 1 26 22A8 8 0 1 1 10 22ZM26 22A12 12 0 1 1 50 22A12 12 0 1 1 26 22ZM0 22H10M50 22H60",
            ),
        ],
        ways: &[inward((20.0, 0.0)), outward((40.0, 0.0))],
        link: way((0.0, 22.0), (60.0, 22.0)),
        ..Symbol::BLANK
    },
    passages: &[
        passage("pool", &[Circuit::GearOil], "sump", "sump").that("collects in the sump of"),
        passage("pump", &[Circuit::GearOil], "sump", "oil_out").that("is pumped out of"),
    ],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown {
            name: "shaft_speed",
            quantity: Quantity::RotationalSpeed,
            start: 60.0,
            size: 5.0,
            bounds: (-1.0, 700.0),
        },
        Unknown { name: "level", quantity: Quantity::Ratio, start: 1.0, size: 0.05, bounds: (-0.5, 3.0) },
        SHAFT_POWER,
        // Turns of the shaft as a share of those that engine and reduction would give it.
        Unknown { name: "holds", quantity: Quantity::Ratio, start: 1.0, size: 0.05, bounds: (-0.1, 1.5) },
    ],
    links: &[Link::Engine("speed"), Link::Engine("brake_power"), Link::All("space_temperature"), Link::Drawn("taken")],
    laws: both::<Gearbox>(),
    causes: &[
        Cause {
            name: "clutch_slips",
            title: "clutch of the gearbox slips",
            moves: &[Move { on: Whose::Own, parameter: "clutch_slip", by: By::Towards(0.7) }],
            severity: Severity::Even,
            says: &[
                says("burnt smell", 0.45),
                says("late to take up", 0.4),
                says("drags in neutral", 0.15),
                says_of("propeller", "slower than usual", 0.6),
                says_of("propeller", "no drive", 0.2),
            ],
            misreads: None,
            rate: "gearbox-clutch-slips",
            remedy: "have the clutch repaired",
        },
        Cause {
            name: "internal",
            title: "bearing, gear or pump of the gearbox worn or broken",
            moves: &[
                Move { on: Whose::Own, parameter: "loss", by: By::Factor(2.5) },
                Move { on: Whose::Own, parameter: "pump_flow", by: By::Factor(0.4) },
            ],
            severity: Severity::Even,
            says: &[
                says("noisy", 0.65),
                says("metal in the oil", 0.5),
                says("late to take up", 0.3),
                says("leaks oil", 0.2),
            ],
            misreads: None,
            rate: "gearbox-internal",
            remedy: "have the gearbox repaired",
        },
        Cause {
            name: "oil_low",
            title: "gearbox oil low",
            moves: &[Move { on: Whose::Own, parameter: "oil_level", by: By::Lost }],
            severity: Severity::MostlySlight,
            says: &[says("leaks oil", 0.5), says("late to take up", 0.35), says("noisy", 0.15)],
            misreads: None,
            rate: "gearbox-oil-low",
            remedy: "find the leak and fill to the mark",
        },
        Cause {
            name: "drive_plate_broken",
            title: "springs or hub of the drive plate broken",
            moves: &[],
            severity: Severity::Even,
            says: &[
                says("rattles at idle", 0.75),
                says("noisy", 0.3),
                says_of("propeller", "no drive", 0.3),
                says_of("propeller", "vibrates", 0.15),
            ],
            misreads: None,
            rate: "drive-plate-broken",
            remedy: "renew the drive plate",
        },
        Cause {
            name: "cable_failed",
            title: "control cable broken, stiff or off its lever",
            moves: &[],
            severity: Severity::Whole,
            says: &[
                says("will not shift", 0.75),
                says("drags in neutral", 0.2),
                says_of("propeller", "no drive", 0.4),
                says("slips", 0.1),
            ],
            misreads: None,
            rate: "control-cable-failed",
            remedy: "free, set or renew the cable",
        },
    ],
    words: &[
        Word {
            name: "slips",
            of: Of::Share { probe: Probe::Unknown(3), midpoint: 0.92, spread: 0.04, when: When::Low },
            false_said: 0.02,
            miss: 0.2,
            group: "gear-slip",
            danger: Some(
                "Ease off at once: a clutch that slips burns. Go on only as fast as it holds, and \
                      watch the gear oil.",
            ),
            source: "from memory",
        },
        Word {
            name: "late to take up",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.25,
            group: "gear-slip",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "drags in neutral",
            of: Of::Cause,
            false_said: 0.03,
            miss: 0.2,
            group: "gear-shift",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "will not shift",
            of: Of::Cause,
            false_said: 0.01,
            miss: 0.05,
            group: "gear-shift",
            danger: Some(
                "Engine to idle. Work the lever at the gearbox by hand, someone at the helm; anchor \
                      or fenders ready before you do.",
            ),
            source: "from memory",
        },
        Word {
            name: "milky oil",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.15,
            group: "gear-oil",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "level low",
            of: Of::Value { probe: Probe::Unknown(1), midpoint: 0.8, spread: 0.08, when: When::Low },
            false_said: 0.05,
            miss: 0.2,
            group: "gear-level",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "level high",
            of: Of::Value { probe: Probe::Unknown(1), midpoint: 1.2, spread: 0.08, when: When::High },
            false_said: 0.04,
            miss: 0.25,
            group: "gear-level",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "hot",
            of: Of::Change { probe: Probe::InletTemperature(0), midpoint: 15.0, spread: 6.0, when: When::High },
            false_said: 0.04,
            miss: 0.25,
            group: "gear-heat",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "burnt smell",
            of: Of::Cause,
            false_said: 0.02,
            miss: 0.2,
            group: "gear-oil",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "metal in the oil",
            of: Of::Cause,
            false_said: 0.05,
            miss: 0.2,
            group: "gear-oil",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "leaks oil",
            of: Of::Cause,
            false_said: 0.07,
            miss: 0.25,
            group: "gear-leak",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "noisy",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.3,
            group: "gear-noise",
            danger: None,
            source: "from memory",
        },
        Word {
            name: "rattles at idle",
            of: Of::Cause,
            false_said: 0.06,
            miss: 0.2,
            group: "gear-noise",
            danger: None,
            source: "from memory",
        },
    ],
    checks: &[
        Check {
            name: "dipstick",
            title: "Stop, wait as the maker says, read the level; look at the oil, smell it, rub it",
            minutes: 5.0,
            state: State::Stopped,
            tool: Some("cloth, torch"),
            caution: "Some boxes are read running, some stopped, some with the stick not screwed in: as \
                      the maker says.",
            finds: &[
                Find { cause: "oil_low", power: "dipstick" },
                Find { cause: "clutch_slips", power: "gear-oil-look" },
                Find { cause: "internal", power: "gear-oil-look" },
                Find { cause: "gear-cooler/perforated", power: "gear-oil-look" },
            ],
        },
        Check {
            name: "oil_pressure",
            title: "Read the clutch oil pressure, idle and under way, ahead and astern",
            minutes: 10.0,
            state: State::Running,
            tool: Some("gauge at the tap"),
            caution: "Fit the gauge stopped; keep clear of the shaft.",
            finds: &[
                Find { cause: "clutch_slips", power: "mechanical-oil-gauge" },
                Find { cause: "internal", power: "mechanical-oil-gauge" },
                Find { cause: "oil_low", power: "mechanical-oil-gauge" },
            ],
        },
        Check {
            name: "shaft_speed",
            title: "Measure the shaft speed and compare with engine speed over the reduction",
            minutes: 5.0,
            state: State::Running,
            tool: Some("optical speed meter, reflective tape"),
            caution: "Stick the tape on with the engine stopped; nothing loose near the shaft.",
            finds: &[Find { cause: "clutch_slips", power: "second-gauge" }],
        },
        Check {
            name: "infrared",
            title: "Measure the oil pipes before and after the cooler, on paint or tape",
            minutes: 3.0,
            state: State::Running,
            tool: Some("infrared thermometer"),
            caution: "Bare metal reads far too low; keep clear of the coupling.",
            finds: &[Find { cause: "gear-cooler/clogged", power: "ir-painted" }],
        },
        Check {
            name: "watch_the_lever",
            title: "Have the helm worked and watch the lever at the box: does it reach both stops?",
            minutes: 5.0,
            state: State::Stopped,
            tool: None,
            caution: "Engine stopped for the first try; then idle, well made fast.",
            finds: &[Find { cause: "cable_failed", power: "valve-status-seen" }],
        },
        Check {
            name: "listen",
            title: "Listen at bell housing and box with a rod, idle in and out of gear",
            minutes: 5.0,
            state: State::Idling,
            tool: Some("rod or stethoscope"),
            caution: "Made fast; rod well clear of coupling and shaft.",
            finds: &[
                Find { cause: "drive_plate_broken", power: "stethoscope" },
                Find { cause: "internal", power: "stethoscope" },
            ],
        },
        kept(
            "gear_oil_sample",
            "From the laboratory: what the gear oil holds",
            &[find("gear-cooler/perforated", "oil-lab-salt"), find("internal", "oil-lab-wear")],
        ),
    ],
    walls: &[],
    limits: &[Limit {
        probe: Probe::InletTemperature(0),
        value: 380.15,
        when: When::High,
        running_only: true,
        act: "Ease to idle. If the oil does not cool, out of gear; stop the engine when she can \
                      lie without it.",
        source: "[Trade] 2.8 oil limit of a hydraulic gear",
    }],
    margins: &[Margin {
        name: "hot oil",
        asks: "Does the gear oil stay cool enough?",
        of: |at| Some(at.inlet_temperature[0]),
        quantity: Quantity::Temperature,
        least: f64::NEG_INFINITY,
        most: 368.15,
        remedy: "a gear-oil cooler, a larger one, or more water through it",
        source: "[Trade] 2.14 gear temperature",
    }],
};

/// Its laws.
struct Gearbox;

impl Law for Gearbox {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        // Air in the suction starves pump and clutch alike.
        let air = step(-p.oil_level + AIR_FROM, AIR_WIDTH);
        let holds = (-p.clutch_slip + 1.0) * (-air * SLIP_ON_AIR + 1.0);
        say.unknown[0] = at.unknowns[0] - at.links[0] / p.reduction * holds;
        say.unknown[1] = at.unknowns[1] - p.oil_level;
        say.unknown[3] = at.unknowns[3] - holds;
        // A hotter case loses more for each kelvin: natural draught and radiation.
        let warmer = at.inlet_temperature[0] - at.room(2);
        say.gap[0] = at.inlet_pressure[0] - at.point.atmosphere;
        // What is taken off the engine does not come this way.
        let through = at.links[1] - at.links[3];
        say.unknown[2] = at.unknowns[2] - through * (holds - p.loss);
        say.heat[0] = through * (p.loss + (-holds + 1.0) * SLIP_TO_HEAT)
            - p.case_conductance * warmer * (positive_part(warmer, 5.0) / WARM + 1.0);
        let swept = p.pump_flow * at.links[0] / RATED_SPEED * (-air + 1.0);
        at.drop(say, 1, (at.flow[1] - swept) / p.pump_flow * p.shutoff);
        say.storage[0] = p.pump_flow * 250_000.0;
    }
}
