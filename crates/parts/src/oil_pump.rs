//! Oil pump: gears, driven by the engine.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both};
use physics::number::Number;
use physics::smooth::{positive_part, step};

crate::parameters! {
    /// Pump turns for each turn of what drives it [1].
    drive_ratio: Ratio, 0.1..=10.0, 1.0, exact, "common practice, no source";
    /// Oil moved a radian without pressure [m³/rad].
    displacement: Volume, 1e-8..=1e-3, 3.6e-6 * power ^ 1.0 * speed ^ -1.0, within 1.35, "from memory";
    /// Oil slipping back at 3 bar with oil of 12 mPa s, as a share of rated delivery [1].
    slip: Ratio, 0.0..=0.95, 0.08, within 1.8 each, "from memory";
    /// Rated speed of the pump [rad/s].
    rated_speed: RotationalSpeed, 5.0..=700.0, 188.5 * speed ^ 1.0, exact, "common practice, no source";
    /// Share of full prime [1].
    prime: Ratio, 0.0..=1.0, 1.0, exact, "common practice, no source";
}

/// Pressure and viscosity the slip is given at [Pa], [Pa s].
const RATED_PRESSURE: f64 = 3e5;
const RATED_VISCOSITY: f64 = 0.012;
/// Least slip, so that the pump has a finite shut-off when cold oil is thick [share].
const LEAST_SLIP: f64 = 1e-3;
/// Suction under this much absolute pressure no longer fills the gears, and how fast [Pa].
const FILL_FROM: f64 = 30_000.0;
const FILL_WIDTH: f64 = 6_000.0;

/// How fast fuel in the oil thins it: logarithm of viscosity lost per mass share of fuel, at first [1], and how that
/// fades the more fuel there is [1].
const THINNING: f64 = 5.8;
const FADING: f64 = 1.8;

/// Viscosity of oil with fuel in it [Pa s].
///
/// * `dilution`: fuel in the oil by mass [1], 0 to 0.3
///
/// # Source
/// After ASTM D7152 blending of a 14.5 mm²/s oil with 1.2 mm²/s fuel at 100 °C: 5 % fuel takes off a quarter, 28 % two
/// thirds.
pub(crate) fn thinned<N: Number>(oil: &physics::contents::Contents, temperature: N, dilution: N) -> N {
    oil.viscosity(temperature) * (dilution * -THINNING / (dilution * FADING + 1.0)).exp()
}

/// Fuel by mass [1] that would thin an oil as much as a grade of so much less viscosity does [1].
pub(crate) fn as_fuel<N: Number>(thickness: N) -> N {
    let lost = -thickness.ln();
    lost / (lost * -FADING + THINNING)
}

/// The kind.
pub const KIND: Kind = Kind {
    name: "oil-pump",
    title: "Oil pump",
    called: &["pump", "lube-oil-pump"],
    places: &[along(Circuit::Oil, Station::Pump, Role::Needed)],
    variant_of: None,
    circuit: Circuit::Oil,
    symbol: Symbol {
        size: (36.0, 36.0),
        strokes: &[Stroke::Outline("M0 18A18 18 0 1 1 36 18A18 18 0 1 1 0 18Z"), Stroke::Solid("M36 18L9 33.6V2.4Z")],
        ways: &[way((0.0, 18.0), (36.0, 18.0))],
        ..Symbol::BLANK
    },
    passages: &[passage("oil", &[Circuit::Oil], "in", "out").that("is pressed on by")],
    parameters: PARAMETERS,
    unknowns: &[],
    links: &[Link::DriverSpeed, Link::Upstream("air"), Link::Upstream("dilution")],
    laws: both::<OilPump>(),
    causes: &[
        Cause {
            name: "worn",
            title: "oil pump worn",
            moves: &[Move { on: Whose::Own, parameter: "slip", by: By::Factor(40.0) }],
            severity: Severity::Even,
            says: &[],
            misreads: None,
            rate: "oil-pump-worn",
            remedy: "renew the oil pump",
        },
        Cause {
            name: "lost_prime",
            title: "oil pump drained and not primed again",
            moves: &[Move { on: Whose::Own, parameter: "prime", by: By::Lost }],
            severity: Severity::MostlyBad,
            says: &[says_of("alarm", "on", 0.3), says_of("diesel", "knocks", 0.1)],
            misreads: None,
            rate: "oil-pump-lost-prime",
            remedy: "prime the oil pump",
        },
    ],
    words: &[],
    checks: &[
        Check {
            name: "crank_and_watch",
            title: "Stop lever pulled, crank ten seconds and watch a gauge on the gallery",
            minutes: 10.0,
            state: State::StoppedAndShut,
            tool: Some("mechanical gauge"),
            caution: "Seacock shut while cranking, or the exhaust fills the cylinders; open it before the start.",
            finds: &[Find { cause: "lost_prime", power: "mechanical-oil-gauge" }],
        },
        Check {
            name: "gauge_hot_and_cold",
            title: "Log gallery pressure at three speeds, cold and then hot",
            minutes: 40.0,
            state: State::Running,
            tool: Some("mechanical gauge"),
            caution: "Route the gauge line clear of the manifold: oil on it burns.",
            finds: &[
                Find { cause: "worn", power: "compare-log" },
                Find { cause: "relief-valve/stuck_open", power: "compare-log" },
                Find { cause: "relief-valve/stuck_shut", power: "mechanical-oil-gauge" },
                Find { cause: "diesel/bearings_worn", power: "compare-log" },
                Find { cause: "oil-pickup/screen_blocked", power: "compare-log" },
            ],
        },
        Check {
            name: "measure_clearances",
            title: "Take the pump out, measure gears and cover",
            minutes: 240.0,
            state: State::StoppedCold,
            tool: Some("feelers, straight edge, spanners"),
            caution: "Fill it with oil before it goes back, or it will not prime.",
            finds: &[
                Find { cause: "worn", power: "visual-engine-parts" },
                Find { cause: "lost_prime", power: "visual-engine-parts" },
            ],
        },
    ],
    walls: &[],
    limits: &[],
    margins: &[],
};

/// Its laws.
struct OilPump;

impl Law for OilPump {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let t = at.inlet_temperature[0];
        let oil = at.contents[0].density(t);
        let viscosity = thinned(&at.contents[0], t, at.links[2]);
        let fill = step(at.inlet_pressure[0] - FILL_FROM, FILL_WIDTH);
        let swept = oil * p.displacement * at.links[0] * p.drive_ratio * p.prime * fill * (-at.links[1] + 1.0);
        // Laminar slip through the gear's clearances: with pressure, against viscosity.
        let rated = oil * p.displacement * p.rated_speed;
        let slip = rated * (p.slip * RATED_VISCOSITY / viscosity + LEAST_SLIP) / RATED_PRESSURE;
        at.drop(say, 0, (at.flow[0] - swept) / slip);
        say.heat[0] = positive_part(at.flow[0], 1e-3) / oil
            * positive_part(at.outlet_pressure[0] - at.inlet_pressure[0], 1e3)
            * 0.33;
    }
}
