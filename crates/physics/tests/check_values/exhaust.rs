use crate::{Check, kelvin};
use physics::{flow, gas, wet_exhaust as wet};

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    let fahrenheit = |kelvins: f64| (kelvins - kelvin(0.0)) * 1.8 + 32.0;
    // The published limits are whole degrees Fahrenheit, ours a thousandth of a kelvin.
    let whole = |kelvins: f64| fahrenheit(kelvins).round();
    let density = || gas::density(0.0, kelvin(get("T_degC")), get("p_abs_Pa"));
    let gas_side = || (get("gas_kg_per_s"), get("cp_gas_J_per_kgK"), kelvin(get("T_gas_degC")));
    let water_side = || (get("water_kg_per_s"), get("cp_water_J_per_kgK"), kelvin(get("T_water_degC")));
    Some(vec![match check.id.as_str() {
        id if id.starts_with("exh.rho.") => density(),
        "exh.velocity" => flow::velocity(get("gas_kg_per_s"), get("bore_m"), density()),
        "exh.backpressure" => wet::back_pressure(
            get("gas_kg_per_s"),
            (kelvin(get("T_degC")), get("p_abs_Pa"), 0.0),
            (get("length_m"), get("bore_m"), get("roughness_m"), get("sum_K")),
        ),
        "exh.mix.dry" | "exh.mix.low.dry" => wet::mixed_temperature_dry(gas_side(), water_side()) - kelvin(0.0),
        id if id.starts_with("exh.mix.sat.") => {
            wet::mixed_temperature_saturated(gas_side(), water_side(), get("p_abs_Pa")) - kelvin(0.0)
        }
        "exh.guard" => whole(wet::GUARD_TEMPERATURE),
        "exh.hose.rubber" => whole(wet::HOSE_LIMIT),
        "exh.wet.normal" => return Some(vec![whole(wet::USUAL_BAND.0), whole(wet::USUAL_BAND.1)]),
        "exh.alarm" => whole(wet::ALARM_TEMPERATURE),
        _ => return None,
    }])
}
