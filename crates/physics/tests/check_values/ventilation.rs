use crate::{Check, kelvin};
use physics::{fresh_water, ventilation as air};

const HORSEPOWER: f64 = 745.699_872;
const FOOT: f64 = 0.3048;

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    let moist = |pressure: f64| {
        let t = kelvin(get("T_degC"));
        air::moist_density(t, pressure, get("rel_humidity") * fresh_water::saturation_pressure(t))
    };
    let watts = || 1e3 * get("power_kW");
    Some(vec![match check.id.as_str() {
        "air.iso8861.rho" => moist(101_325.0),
        id if id.starts_with("air.rho.") => moist(get("p_Pa")),
        "air.combustion" => 3600.0 * get("air_kg_per_s") / get("rho_kg_per_m3"),
        "air.heat" => 3600.0 * air::air_for_heat(get("heat_W"), get("dT_K"), get("rho_kg_per_m3")),
        "air.room" => {
            let flow = get("flow_m3_per_h") / 3600.0;
            get("T_out_degC") + air::rise(get("heat_W"), flow, get("rho_kg_per_m3"))
        }
        "air.opening" => air::opening_area(get("flow_m3_per_s"), get("dp_Pa"), get("rho_kg_per_m3")),
        "air.rule.fan" => 60.0 * air::FAN_RULE * watts(),
        "air.rule.area" => 1e4 * air::AREA_RULE * watts(),
        "air.rule.cfm" => 60.0 / FOOT.powi(3) * air::GENEROUS_RULE * get("power_hp") * HORSEPOWER,
        "air.iso8861.dt" => air::RECKONED_RISE,
        "air.iso8861.comb" => air::COMBUSTION_AIR * watts() / air::RECKONED_DENSITY,
        _ => return None,
    }])
}
