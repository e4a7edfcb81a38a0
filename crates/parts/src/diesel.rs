//! Diesel engine: drives everything, heats everything; jacket, gallery and gas path in one part.

use crate::kind::*;
use crate::laws::{Law, Say, Site, both, is_charged, is_told};
use crate::oil_pump::thinned;
use measure::quantity::Quantity;
use physics::diesel_fuel::LOWER_HEATING_VALUE as DIESEL_HEAT;
use physics::gas;
use physics::number::Number;
use physics::smooth::{positive_part, signed_square, smooth_min, softplus, within};
use physics::turbocharger::AIR_HEAT;

crate::parameters! {
    /// Rated power at the flywheel [W].
    rated_power: Power, 500.0..=5e6, 60e3 * power ^ 1.0, within 1.05, "common practice, no source";
    /// Rated speed [rad/s].
    rated_speed: RotationalSpeed, 20.0..=700.0, 188.5 * speed ^ 1.0, plate 1.2, "common practice, no source";
    /// Number of cylinders [1].
    cylinders: Ratio, 1.0..=24.0, 4.0 of swept ^ 1.0, count 1.15, "common practice, no source";
    /// Bore [m].
    bore: Length, 0.04..=0.6, 0.118 * power ^ 0.333 * speed ^ -0.333 of swept ^ 2.0, plate 1.06, "from memory";
    /// Stroke [m].
    stroke: Length, 0.04..=0.9, 0.147 * power ^ 0.333 * speed ^ -0.333 of swept ^ 1.0, plate 1.1, "from memory";
    /// Share of rated power that the load takes at rated speed with clean hull in calm sea [1].
    absorbed: Ratio, 0.05..=1.3, 0.9, within 1.12, "[Trade] 1.3 the engine just reaches rated speed";
    /// Exponent of the load's power over speed [1].
    load_exponent: Ratio, 0.0..=4.0, 3.0, within 1.05, "[Carlton4] cubic propeller law";
    /// Indicated efficiency of a healthy engine [1].
    indicated_efficiency: Ratio, 0.3..=0.55, 0.475, within 1.05, "[Heywood1988] ch. 15";
    /// Air taken in as a share of the swept volume [1].
    volumetric_efficiency: Ratio, 0.5..=2.5, 0.87, within 1.06, "[Heywood1988] ch. 6";
    /// Friction pressure at no piston speed [Pa].
    friction_pressure: PressureDifference, 20_000.0..=300_000.0, 90_000.0, within 1.25, "[Heywood1988] ch. 13";
    /// Gas-side heat to the jacket at rated load, as a share of fuel heat [1].
    jacket_share: Ratio, 0.03..=0.5, 0.185, within 1.18, "[Trade] 2.2 heat to coolant";
    /// Share of that gas-side heat that goes to the oil through the pistons [1].
    piston_share: Ratio, 0.0..=0.5, 0.08, within 1.6, "from memory";
    /// Conductance between coolant and oil through the block [W/K].
    block_conductance: ThermalConductance, 1.0..=5_000.0, 180.0 * power ^ 0.67, within 1.6, "from memory";
    /// Conductance from the hot block to the engine space [W/K].
    surface_conductance: ThermalConductance, 1.0..=5_000.0, 50.0 * power ^ 0.67, within 1.6, "[Trade] 2.2 radiated share";
    /// Share of fuel heat that the exhaust manifold radiates at rated load [1].
    manifold_share: Ratio, 0.0..=0.15, 0.022, within 1.7, "from memory";
    /// Coolant flow at which the jacket's drop is given [kg/s].
    rated_coolant_flow: MassFlow, 0.02..=50.0, 2.0 * power ^ 1.0, exact, "common practice, no source";
    /// Drop of the jacket at that flow [Pa].
    rated_coolant_drop: PressureDifference, 500.0..=100_000.0, 14_000.0, within 1.7, "from memory";
    /// Oil the sound bearings pass at 3.5 bar with oil of 12 mPa s [kg/s].
    gallery_flow: MassFlow, 0.01..=20.0, 0.4 * power ^ 1.0, within 1.35, "from memory";
    /// Bearing clearance over new [1].
    clearance: Ratio, 0.5..=5.0, 1.0, within 1.06 each, "from memory";
    /// Passages of the jacket left free, as a resistance: 1 when clear [1].
    jacket_obstruction: Ratio, 1.0..=1e6, 1.0, exact, "common practice, no source";
    /// Heat of combustion gas blown into the coolant at rated load, for an engine of 60 kW [W].
    gas_leak_heat: Power, 0.0..=1e6, 0.0, exact, "common practice, no source";
    /// Heat stored per kelvin by block and jacket water [J/K].
    block_heat_capacity: HeatCapacity, 1_000.0..=1e8, 210_000.0 * power ^ 1.0, within 1.4, "from memory";
    /// Indicated efficiency left over sound [1].
    combustion: Ratio, 0.2..=1.1, 1.0, exact, "common practice, no source";
    /// Fuel of a full rack over what rated power needs [1].
    fuel_limit: Ratio, 0.2..=2.0, 1.08, within 1.04, "[Trade] 1.3 the engine just reaches rated speed";
    /// Speed it is held at whatever the helm asks, as of a generator; 0 follows the helm [rad/s].
    fixed_speed: RotationalSpeed, 0.0..=400.0, 0.0, exact, "common practice, no source";
    /// Share of rated power that is taken from it while it is held there [1].
    fixed_load: Ratio, 0.0..=1.2, 0.5, exact, "common practice, no source";
}

/// Flow below which the jacket's drop turns linear [share of rated flow].
const REST: f64 = 0.02;
/// Pressure and viscosity the gallery flow is given at [Pa], [Pa s].
const GALLERY_PRESSURE: f64 = 3.5e5;
const GALLERY_VISCOSITY: f64 = 0.012;
/// Friction pressure per mean piston speed [Pa s/m].
const FRICTION_SLOPE: f64 = 12_500.0;
/// Share of friction that ends in the oil: bearings, valve gear and part of what the skirts rub; rings and the rest of
/// the skirts warm the liners, and so the jacket (from memory, after [Heywood1988] ch. 13).
const FRICTION_TO_OIL: f64 = 0.36;
/// Mean gas temperature over inlet per fuel-air ratio [K], after the chart in [Taylor1985] ch. 8.
const GAS_TEMPERATURE_SLOPE: f64 = 14_000.0;
/// Air-fuel ratio under which smoke and loss of efficiency set in, and how fast, as a share [1].
const SMOKE_RATIO: f64 = 19.0;
const SMOKE_WIDTH: f64 = 0.08;
/// Greatest air-fuel ratio shown: an idling engine's has no meaning beyond [1].
const MOST_RATIO: f64 = 400.0;
/// How hard want of power drags the speed down, and the rounding where it begins [share of rated power].
const DROOP: f64 = 4.0;
const HAND_WIDTH: f64 = 0.02;
/// Share of a full rack that an engine needs to turn itself; with less it slows to a stop [1]; from memory.
const STALLS: f64 = 0.2;
/// Feed below which less makes no odds, so that no law divides by nothing [share of a full rack].
const LEAST_FEED: f64 = 0.01;
/// Least air-fuel ratio an engine pulls at: what limits its power [1].
const LEAST_RATIO: f64 = 17.5;
/// The same of a charged engine, whose fuel is held back until there is boost to burn it in; from memory.
const LEAST_CHARGED: f64 = 20.0;
/// Compression ratio less one, times the ratio of specific heats: what back pressure costs in air, [Heywood1988] eq. 6.2.
const RESIDUAL_DIVISOR: f64 = 22.0;
/// Turns the gap of the gas flow into a pressure [Pa s/kg].
const GAS_GAP: f64 = 1e5;
/// Conductance with which boiling coolant carries heat away as steam, for an engine of 60 kW [W/K].
const BOILING: f64 = 30_000.0;
/// Coolant that flows less than this counts as standing [share of rated flow].
const STANDS: f64 = 2e-3;
/// Rounding of the start of boiling [K].
const BOILING_WIDTH: f64 = 0.5;

/// Its link to the temperature of the engine space.
const SPACE: usize = 7;

/// The kind.
pub const KIND: Kind = Kind {
    name: "diesel",
    title: "Diesel engine",
    called: &["engine", "main-engine", "motor"],
    places: &[
        along(Circuit::FreshWater, Station::Engine, Role::Needed),
        along(Circuit::Oil, Station::Engine, Role::Needed),
        along(Circuit::Exhaust, Station::Engine, Role::Needed),
    ],
    variant_of: None,
    circuit: Circuit::FreshWater,
    symbol: Symbol {
        size: (130.0, 80.0),
        strokes: &[Stroke::Outline("M0 0H130V80H0Z")],
        ways: &[way((0.0, 20.0), (130.0, 20.0)), way((0.0, 40.0), (0.0, 60.0)), outward((130.0, 40.0))],
        link: way((0.0, 70.0), (130.0, 70.0)),
        block: true,
        ..Symbol::BLANK
    },
    passages: &[
        passage("jacket", &[Circuit::FreshWater, Circuit::RawWater], "coolant_in", "coolant_out")
            .that("takes the heat of the block in"),
        passage("gallery", &[Circuit::Oil], "oil_in", "oil_out").that("runs through the bearings of"),
        way_through("gas", &[Circuit::Exhaust], End::Air, End::Port("gas_out"))
            .that("is drawn in as air and burnt with fuel in"),
    ],
    parameters: PARAMETERS,
    unknowns: &[
        Unknown {
            name: "speed",
            quantity: Quantity::RotationalSpeed,
            start: 150.0,
            size: 10.0,
            bounds: (-1.0, 1000.0),
        },
        Unknown { name: "brake_power", quantity: Quantity::Power, start: 30e3, size: 5e3, bounds: (-1e6, 1e8) },
        Unknown { name: "fuel_flow", quantity: Quantity::MassFlow, start: 2e-3, size: 5e-4, bounds: (-1.0, 10.0) },
        Unknown { name: "air_fuel_ratio", quantity: Quantity::Ratio, start: 30.0, size: 20.0, bounds: (0.0, 2000.0) },
        Unknown { name: "power_in_hand", quantity: Quantity::Ratio, start: 0.3, size: 0.1, bounds: (-50.0, 50.0) },
        Unknown { name: "full_speed_hand", quantity: Quantity::Ratio, start: 0.1, size: 0.1, bounds: (-50.0, 50.0) },
        Unknown { name: "full_rack_ratio", quantity: Quantity::Ratio, start: 22.0, size: 5.0, bounds: (0.0, 2000.0) },
        Unknown { name: "surface_heat", quantity: Quantity::Power, start: 5e3, size: 2e3, bounds: (-1e6, 1e8) },
    ],
    links: &[
        Link::Demand,
        Link::Upstream("dilution"),
        Link::Charge("boost"),
        Link::Charge("charge_temperature"),
        Link::Charge("full_boost"),
        Link::Charge("full_temperature"),
        Link::Delivery,
        Link::All("space_temperature"),
        Link::All("space_depression"),
        Link::Own("intake_drop"),
        Link::Own("short_of_fuel"),
        Link::Own("short_of_burning"),
        Link::Own("short_of_work"),
        Link::Own("short_of_air"),
        Link::Drawn("taken"),
        Link::Drawn("drag"),
    ],
    laws: both::<Diesel>(),
    causes: crate::diesel_knowledge::CAUSES,
    words: crate::diesel_words::WORDS,
    checks: crate::diesel_checks::CHECKS,
    walls: &[
        wall("the head gasket", "jacket", Beyond::Cylinder, &["head_gasket", "head_cracked"]),
        wall("the liner seals and the head", "jacket", Beyond::Crankcase, &["head_cracked"]),
    ],
    limits: crate::diesel_knowledge::LIMITS,
    margins: crate::diesel_margins::MARGINS,
};

/// A pressure [Pa] that a solver on its way does not take to nothing; as it is wherever an engine could run.
fn held_up<N: Number>(pressure: N) -> N {
    const LEAST: f64 = 20_000.0;
    if pressure.re() > LEAST { pressure } else { ((pressure - LEAST) / LEAST).exp() * LEAST }
}

/// Its laws.
struct Diesel;

impl Law for Diesel {
    fn state<N: Number>(at: &Site<N>, say: &mut Say<N>) {
        let p = P::of(at.parameters);
        let unknown = |k: usize| at.unknowns[k];
        let (speed, brake, fuel, ratio) = (unknown(0), unknown(1), unknown(2), unknown(3));
        let turning = physics::smooth::step(speed - 10.0, 3.0);
        let swept = p.bore * p.bore * p.stroke * p.cylinders * std::f64::consts::FRAC_PI_4;
        let cycles = speed / (4.0 * std::f64::consts::PI);
        let share = speed / p.rated_speed;

        // A governor holds the speed asked for while there is power in hand; past that the engine is dragged down.
        let held = p.fixed_speed.re() > 1.0;
        let asked =
            if held { p.fixed_speed * physics::smooth::ramp(at.point.speed, 1.0, 20.0) } else { at.point.speed };
        // One whose feed fails altogether has nothing to turn itself with.
        let delivery = within(at.links[6], LEAST_FEED, 2.0, LEAST_FEED);
        let fed = physics::smooth::ramp(delivery, 0.0, STALLS);
        say.unknown[0] = speed - asked * fed / (softplus(-unknown(4), HAND_WIDTH) * DROOP + 1.0);
        let demand = at.point.load * at.links[0];
        let load = if held {
            // Dragged below its speed the alternator gives less: its voltage falls, and what hangs on it takes less.
            let slow = speed / p.fixed_speed;
            p.rated_power * p.fixed_load * slow * slow * slow
        } else {
            p.rated_power * p.absorbed * ((share * share + 1e-6).ln() * p.load_exponent * 0.5).exp() * demand
        };
        // What is taken off it and rubbed away along its shaft comes on top of what the propeller asks for.
        let besides = at.links[14] + at.links[15];
        say.unknown[1] = brake - load - besides;

        // What its cylinders do over sound ones at the same rack, in the mean; and the air of those that burn, over the mean.
        let [fuelled, burns, works, breathes] = [10, 11, 12, 13].map(|k| -at.links[k] + 1.0);
        let richness = fuelled / breathes;

        // Air by volumetric efficiency; what stays behind under back pressure displaces fresh air.
        let drawn_in = at.drawn_in(SPACE);
        let suction = at.links[8] + at.links[9];
        let full_suction = suction / (share * share + 0.02);
        let charge_of = |boost: N, temperature: N, suction: N| {
            if is_charged(temperature) {
                (temperature, held_up(boost + at.point.atmosphere))
            } else {
                (drawn_in, held_up(at.point.atmosphere - suction))
            }
        };
        let charge = charge_of(at.links[2], at.links[3], suction);
        let density = gas::density(0.0, charge.0, charge.1);
        let back = (at.outlet_pressure[2] - charge.1) / charge.1;
        let breathing = positive_part(-back / RESIDUAL_DIVISOR + 1.0, 0.05);
        let air = swept * positive_part(cycles, 0.05) * density * p.volumetric_efficiency * breathing * breathes;

        // Friction and pumping make up the indicated work; the fuel follows from its efficiency.
        let piston_speed = p.stroke * speed / std::f64::consts::PI;
        let friction = (p.friction_pressure + piston_speed * FRICTION_SLOPE) * swept * cycles;
        let pumping = (at.outlet_pressure[2] - charge.1) * swept * cycles;
        let fuel_air = positive_part(fuel, 1e-7) / (air + 1e-5);
        let lean = (fuel_air + 1.0 / MOST_RATIO).recip();
        let rich = softplus(-ratio * richness / SMOKE_RATIO + 1.0, SMOKE_WIDTH);
        let sound = p.indicated_efficiency * p.combustion * works / fuelled;
        let efficiency = sound / (rich * rich * 0.8 + rich * 0.5 + 1.0);
        let indicated = positive_part(brake + friction + pumping, 50.0);
        say.unknown[2] = fuel - turning * indicated / efficiency / DIESEL_HEAT;
        say.unknown[3] = ratio - lean;
        let rated_friction = (p.friction_pressure + p.stroke * p.rated_speed * (FRICTION_SLOPE / std::f64::consts::PI))
            * swept
            * p.rated_speed
            / (4.0 * std::f64::consts::PI);
        let rack =
            (p.rated_power + rated_friction) / p.indicated_efficiency / DIESEL_HEAT * p.fuel_limit * delivery * fuelled;
        let full_rack = rack * share;
        let least = if is_charged(at.links[5]) { LEAST_CHARGED } else { LEAST_RATIO };
        let burnt = smooth_min(air * richness / least, full_rack, 2e-5);
        let most = (burnt * DIESEL_HEAT * efficiency - friction - pumping) / p.rated_power;
        say.unknown[4] = unknown(4) - (most - brake / p.rated_power);

        // What full throttle would do, whatever the speed now: the same restriction at rated speed, the rack full.
        let full_cycles = p.rated_speed / (4.0 * std::f64::consts::PI);
        let full_back = smooth_min(back / (share * share + 0.02), N::constant(20.0), 1.0);
        let full_breathing = positive_part(-full_back / RESIDUAL_DIVISOR + 1.0, 0.05);
        let full_charge = charge_of(at.links[4], at.links[5], full_suction);
        let full_density = gas::density(0.0, full_charge.0, full_charge.1);
        let full_air = swept * full_cycles * full_density * p.volumetric_efficiency * full_breathing * breathes;
        let full_pumping = full_back * full_charge.1 * swept * full_cycles;
        let full_burnt = smooth_min(full_air * richness / least, rack, 2e-5);
        let full_power = full_burnt * DIESEL_HEAT * sound - rated_friction - full_pumping;
        say.unknown[5] = unknown(5) - (full_power - besides) / p.rated_power + p.absorbed * demand;
        say.unknown[6] = unknown(6) - smooth_min(full_air / (rack + 1e-6), ratio, 0.5) * richness;

        // Jacket heat by the gas-side film: flow to the power 3/4, and the mean gas temperature over the coolant.
        let coolant = at.inlet_temperature[0];
        let rated_fuel = p.rated_power / (p.indicated_efficiency * 0.8) / DIESEL_HEAT;
        let rated_air = swept * p.rated_speed / (4.0 * std::f64::consts::PI) * p.volumetric_efficiency * 1.13;
        // What is charged burns more in the same cylinders.
        let rated_air = if is_charged(at.links[5]) {
            rated_air * (full_density / gas::density(0.0, drawn_in, at.point.atmosphere))
        } else {
            rated_air
        };
        let entering = if is_told(at.links[SPACE]) { drawn_in } else { at.point.air };
        let released = fuel * DIESEL_HEAT * (burns / fuelled);
        let gas = |fuel_air: N| entering + fuel_air * GAS_TEMPERATURE_SLOPE;
        let film = (air / rated_air + 1e-4).powf(0.75) * p.jacket_share * rated_fuel * DIESEL_HEAT
            / (gas(rated_fuel / rated_air) - 360.0);
        let gas_side = film * (gas(fuel_air * burns / fuelled) - coolant) * turning;
        let leaked = p.gas_leak_heat * (p.rated_power / crate::kind::REFERENCE_POWER) * demand * share;
        let to_block = (at.inlet_temperature[1] - coolant) * p.block_conductance;
        let surface = p.surface_conductance * (coolant - at.room(SPACE));
        let manifold = released * p.manifold_share;
        say.unknown[7] = unknown(7) - surface - manifold;
        let boils_at = at.boils_at(0);
        // Heat goes to where the coolant flows; where that stands still, to both ends of the jacket, and it boils there.
        let forward = physics::smooth::step(at.flow[0] / p.rated_coolant_flow, STANDS);
        let heated = at.outlet_temperature[0] * forward + at.inlet_temperature[0] * (-forward + 1.0);
        let boiling =
            softplus(heated - boils_at, BOILING_WIDTH) * BOILING * (p.rated_power / crate::kind::REFERENCE_POWER);

        at.drop(
            say,
            0,
            p.rated_coolant_drop * p.jacket_obstruction * signed_square(at.flow[0] / p.rated_coolant_flow, REST),
        );
        say.heat[0] = gas_side * (-p.piston_share + 1.0) + friction * (1.0 - FRICTION_TO_OIL) + leaked + to_block
            - surface
            - boiling;

        // A bearing's film is as thin as oil midway between where it enters and leaves: [RaimondiBoyd1958].
        let film = (at.inlet_temperature[1] + at.outlet_temperature[1]) * 0.5;
        let oil = thinned(&at.contents[1], film, at.links[1]);
        let rated_gallery = p.gallery_flow * p.clearance * p.clearance * p.clearance;
        at.drop(say, 1, at.flow[1] / rated_gallery * oil * (GALLERY_PRESSURE / GALLERY_VISCOSITY));
        say.heat[1] = gas_side * p.piston_share + friction * FRICTION_TO_OIL - to_block;

        say.gap[2] = (air + fuel - at.flow[2]) * GAS_GAP;
        // The first law: what the fuel brought and did not go elsewhere leaves with the gas.
        let compressed = air * (charge.0 - drawn_in + entering - at.point.air) * AIR_HEAT;
        say.heat[2] = released + compressed - brake - gas_side - friction - leaked - manifold;
        say.storage[0] = p.block_heat_capacity;
        say.storage[1] = p.block_heat_capacity * 0.05;
        say.storage[2] = p.block_heat_capacity * 0.01;
    }
}
