use crate::{Check, kelvin, rpm, solve};
use physics::diesel_fuel::LOWER_HEATING_VALUE;
use physics::engine::{self, Ambient, Cycle, Exponents};
use physics::gas;
use std::f64::consts::TAU;

const BTU: f64 = 1055.056;
const HORSEPOWER: f64 = 745.7;
const POUND: f64 = 0.453_592_37;

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name: &str| check.get(name);
    let swept = || engine::swept_volume(get("bore_m"), get("stroke_m"), get("cylinders") as u32);
    let speed = || rpm(if check.has("rpm") { get("rpm") } else { get("speed_rpm") });
    Some(vec![match check.id.as_str() {
        "eng.swept" => swept() * 1000.0,
        "eng.piston_speed" => engine::piston_speed(get("stroke_m"), speed()),
        "eng.torque" => engine::torque(get("power_W"), speed()),
        "eng.bmep" => engine::mean_effective_pressure(get("power_W"), swept(), speed(), Cycle::FourStroke) / 1e5,
        "eng.bte" => engine::efficiency(1.0, get("bsfc_g_per_kWh") / 3.6e9, get("LHV_J_per_kg")),
        "eng.fuel" => engine::fuel_flow(get("power_W"), get("bsfc_g_per_kWh") / 3.6e9) / get("rho15_kg_per_m3") * 3.6e6,
        "eng.air" => {
            let density = gas::density(0.0, kelvin(get("T_air_degC")), get("p_Pa"));
            engine::air_flow(swept(), speed(), get("volumetric_efficiency"), density, Cycle::FourStroke)
        }
        "eng.afr" => get("air_kg_per_s") / get("fuel_kg_per_s"),
        "eng.egt" => exhaust(check, get("share_coolant_and_oil") + get("share_radiated")),
        "eng.egt.cp" => {
            let left = get("fuel_kg_per_s")
                * get("LHV_J_per_kg")
                * (1.0 - get("share_coolant_and_oil") - get("share_radiated"))
                - get("power_W");
            let heat = left / (get("air_kg_per_s") + get("fuel_kg_per_s"));
            engine::exhaust_temperature(get("T_air_degC"), heat, get("cp_J_per_kgK"))
        }
        id if id.starts_with("eng.iso3046.") => adjusted(check, id),
        id if id.starts_with("eng.piston.") => {
            let angle = get("crank_deg").to_radians();
            engine::piston_travel(get("crank_radius_m"), get("rod_length_m"), angle) * 1000.0
        }
        "eng.pto" => get("fuel_kg_per_s") * get("LHV_J_per_kg") * get("share_coolant_and_oil"),
        id if id.starts_with("eng.rajput17.38.") => heat_balance(check, id),
        id if id.starts_with("eng.rajput17.40.") => {
            // The brake's own constant: power in kW is load times speed over it.
            let power = get("brake_load_N") * get("rpm") / get("dynamometer_constant") * 1e3;
            match id.rsplit('.').next() {
                Some("bmep") => engine::mean_effective_pressure(power, swept(), speed(), Cycle::FourStroke) / 1e5,
                Some("torque") => engine::torque(power, speed()),
                _ => get("fuel_kg_per_min") * 60.0 / (power / 1e3),
            }
        }
        "eng.kates19.heat" => {
            let fuel = engine::fuel_flow(HORSEPOWER, get("bsfc_lb_per_bhp_h") * POUND / (HORSEPOWER * 3600.0));
            let heat = fuel * get("heat_value_Btu_per_lb") * BTU / POUND * get("share");
            heat * 3600.0 / BTU
        }
        "eng.kates19.gpm15" | "eng.kates19.gpm45" => {
            // A Btu warms a pound of water by a degree Fahrenheit; the book's gallon weighs 8.33 pounds.
            get("bhp") * get("heat_Btu_per_bhp_h") / 60.0 / get("rise_degF") / 8.33
        }
        "eng.kates7.bte" => {
            let power = 2544.0 * BTU / 3600.0;
            let fuel = get("bsfc_lb_per_bhp_h") * POUND / 3600.0;
            100.0 * engine::efficiency(power, fuel, get("heat_value_Btu_per_lb") * BTU / POUND)
        }
        "eng.kates5.afr" => gas::stoichiometric_air(get("carbon"), get("hydrogen")),
        "eng.share.shaft" => 100.0 * plain_engine().0,
        "eng.share.room" => 100.0 * engine::USUAL_ROOM_SHARE,
        "eng.bsfc.na" => 3.6e9 / (plain_engine().0 * LOWER_HEATING_VALUE),
        "eng.egt.na" => plain_engine().1,
        _ => return None,
    }])
}

/// Exhaust temperature [°C] that closes the balance with the gas taken as air, as the check has it.
fn exhaust(check: &Check, lost: f64) -> f64 {
    let (air, fuel) = (check.get("air_kg_per_s"), check.get("fuel_kg_per_s"));
    let heat = fuel * check.get("LHV_J_per_kg");
    let inlet = kelvin(check.get("T_air_degC"));
    let enthalpy = engine::exhaust_enthalpy(heat, check.get("power_W"), heat * lost, air, fuel, inlet);
    solve(300.0, 1500.0, |t| gas::enthalpy(0.0, t) - enthalpy) - kelvin(0.0)
}

/// Efficiency [1] and exhaust [°C] of an engine no one has measured: 10.5 l, 1000 rpm, 6.9 bar, no turbocharger.
fn plain_engine() -> (f64, f64) {
    let (swept, speed, stroke) = (10.5e-3, rpm(1000.0), 0.155);
    let power = engine::power_of_pressure(6.9e5, swept, speed, Cycle::FourStroke);
    let rubbing = engine::motored_friction(75e3, speed, stroke);
    let lost = engine::power_of_pressure(rubbing, swept, speed, Cycle::FourStroke);
    // An indicated efficiency of 0.43 is common for direct injection.
    let fuel = engine::willans_fuel(power, lost, 0.43, LOWER_HEATING_VALUE);
    let air = engine::air_flow(swept, speed, 0.85, gas::density(0.0, 308.15, 101_325.0), Cycle::FourStroke);
    let heat = fuel * LOWER_HEATING_VALUE;
    // A third to the jacket and the oil of a water-cooled manifold, and what the room gets.
    let enthalpy = engine::exhaust_enthalpy(heat, power, heat * (0.33 + engine::USUAL_ROOM_SHARE), air, fuel, 308.15);
    let exhaust = solve(300.0, 1500.0, |t| gas::enthalpy(fuel / air, t) - enthalpy);
    (engine::efficiency(power, fuel, LOWER_HEATING_VALUE), exhaust - kelvin(0.0))
}

fn adjusted(check: &Check, id: &str) -> f64 {
    let get = |name: &str| check.get(name);
    let or = |name, other: f64| if check.has(name) { check.get(name) } else { other };
    let substitute = check.has("p_ref_substitute_kPa");
    let reference = |name: &str, other: &str| if substitute { get(other) } else { get(name) };
    let site = Ambient {
        pressure: get("p_site_kPa"),
        temperature: get("T_site_K"),
        vapour_pressure: or("rel_humidity", 0.0) * or("p_sat_site_kPa", 0.0),
        coolant_temperature: or("T_coolant_site_K", 300.0),
    };
    let norm = Ambient {
        pressure: reference("p_ref_kPa", "p_ref_substitute_kPa"),
        temperature: reference("T_ref_K", "T_ref_substitute_K"),
        vapour_pressure: or("rel_humidity_ref", 0.0) * or("p_sat_ref_kPa", 0.0),
        coolant_temperature: or("T_coolant_ref_K", 300.0),
    };
    let exponents = if check.has("s") { Exponents::TURBOCHARGED } else { Exponents::NATURAL };
    let (alpha, beta) = engine::site_adjustment(&site, &norm, exponents, get("eta_mech"));
    match id {
        "eng.iso3046.alpha" => alpha,
        "eng.iso3046.beta" => beta,
        "eng.iso3046.book1.sfc" => get("bsfc_ref_g_per_kWh") * beta,
        _ => get("P_ref_kW") * alpha,
    }
}

/// Shares of the fuel's heat [%], or the power [kW].
fn heat_balance(check: &Check, id: &str) -> f64 {
    let get = |name: &str| check.get(name);
    let heat = get("fuel_kg_per_h") / 3600.0 * get("CV_kJ_per_kg") * 1e3;
    let power = engine::power(get("torque_Nm"), get("rpm") * TAU / 60.0);
    let shaft = 100.0 * engine::efficiency(power, heat, 1.0);
    let water = 100.0 * get("water_kg_per_min") / 60.0 * get("cp_water") * 1e3 * get("water_rise_K") / heat;
    let flow = get("fuel_kg_per_h") / 3600.0 + get("air_kg_per_min") / 60.0;
    let gas = 100.0 * flow * get("cp_gas") * 1e3 * (get("T_exhaust_degC") - get("T_room_degC")) / heat;
    match id.rsplit('.').next() {
        Some("bp") => power / 1e3,
        Some("bte") => shaft,
        Some("water") => water,
        Some("exhaust") => gas,
        _ => 100.0 - shaft - water - gas,
    }
}
