use crate::{Check, kelvin, solve};
use physics::fresh_water as fw;
use physics::heat_transfer::{self as ht, Arrangement};
use std::f64::consts::PI;

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    let effectiveness = |arrangement| ht::effectiveness(arrangement, get("NTU"), get("C_ratio"));
    Some(vec![match check.id.as_str() {
        "hx.eff.counter" | "hx.eff.counter.balanced" | "hx.eff.cr0" => effectiveness(Arrangement::Counterflow),
        "hx.eff.parallel" => effectiveness(Arrangement::Parallel),
        "hx.eff.shell1" => effectiveness(Arrangement::Shell),
        "hx.eff.cross.unmixed" => effectiveness(Arrangement::CrossUnmixed),
        "hx.eff.cross.cminmixed" => effectiveness(Arrangement::CrossSmallMixed),
        id if id.starts_with("hx.lmtd.") => {
            ht::log_mean_difference(get("Th_in_degC") - get("Tc_out_degC"), get("Th_out_degC") - get("Tc_in_degC"))
        }
        "hx.ft.1shell" => {
            ht::one_shell_correction(get("Th_in_degC"), get("Th_out_degC"), get("Tc_in_degC"), get("Tc_out_degC"))
        }
        "hx.dittus" => ht::dittus_boelter(get("Re"), get("Pr"), true),
        "hx.gnielinski" => ht::gnielinski(get("Re"), get("Pr"), get("darcy_f")),
        "hx.fouling" => ht::fouled(get("U_clean_W_per_m2K"), get("Rf_m2K_per_W")),
        "hx.cooler.duty" => cooler(check),
        "hx.cooler.th_out" => get("Th_in_degC") - cooler(check) / get("C_hot_W_per_K"),
        "hx.tespy.duty" => water_to_water(check),
        "hx.inc11.1.length" => concentric_tube(check),
        "hx.inc11.3.area" => {
            let water = get("m_water_kg_per_s") * get("cp_water");
            let duty = water * (get("T_water_out_degC") - get("T_water_in_degC"));
            let gas = duty / (get("T_gas_in_degC") - get("T_gas_out_degC"));
            let wanted = duty / gas / (get("T_gas_in_degC") - get("T_water_in_degC"));
            let units = solve(0.0, 10.0, |n| ht::effectiveness(Arrangement::CrossUnmixed, n, gas / water) - wanted);
            units * gas / get("U_W_per_m2K")
        }
        "hx.inc11.4.duty" => ht::exchanged_heat(
            Arrangement::CrossUnmixed,
            get("U_W_per_m2K") * get("area_m2"),
            get("m_water_kg_per_s") * get("cp_water"),
            get("m_gas_kg_per_s") * get("cp_gas"),
            get("T_gas_in_degC") - get("T_water_in_degC"),
        ),
        "hx.inc8.3.h" => {
            let (wall, inlet, outlet) = (get("T_wall_degC"), get("T_in_degC"), get("T_out_degC"));
            let duty = get("m_kg_per_s") * get("cp") * (outlet - inlet);
            duty / (PI * get("D_m") * get("L_m") * ht::log_mean_difference(wall - inlet, wall - outlet))
        }
        "hx.kreith8.1.parallel" | "hx.kreith8.1.counter" => {
            let (hot_in, hot_out, cold_in) = (get("T_hot_in_degC"), get("T_hot_out_degC"), get("T_cold_in_degC"));
            let duty = get("m_hot_kg_per_s") * get("cp_hot") * (hot_in - hot_out);
            let cold_out = cold_in + duty / (get("m_cold_kg_per_s") * get("cp_cold"));
            let mean = if check.id.ends_with("parallel") {
                ht::log_mean_difference(hot_in - cold_in, hot_out - cold_out)
            } else {
                ht::log_mean_difference(hot_in - cold_out, hot_out - cold_in)
            };
            duty / (get("U_W_per_m2K") * mean)
        }
        _ => return None,
    }])
}

fn cooler(check: &Check) -> f64 {
    ht::counterflow_heat(
        check.get("UA_W_per_K"),
        check.get("C_hot_W_per_K"),
        check.get("C_cold_W_per_K"),
        check.get("Th_in_degC") - check.get("Tc_in_degC"),
    )
}

/// The duty at which the outlets that the enthalpies give carry the conductance's own heat.
fn water_to_water(check: &Check) -> f64 {
    let (hot, cold) = (kelvin(check.get("Th_in_degC")), kelvin(check.get("Tc_in_degC")));
    let outlet = |inlet: f64, gained: f64| solve(274.0, 372.0, |t| fw::enthalpy(t) - fw::enthalpy(inlet) - gained);
    solve(1e3, 5e5, |duty| {
        let hot_out = outlet(hot, -duty / check.get("m_hot_kg_per_s"));
        let cold_out = outlet(cold, duty / check.get("m_cold_kg_per_s"));
        duty - check.get("kA_W_per_K") * ht::log_mean_difference(hot - cold_out, hot_out - cold)
    })
}

fn concentric_tube(check: &Check) -> f64 {
    let get = |name| check.get(name);
    let duty = get("m_oil_kg_per_s") * get("cp_oil") * (get("T_oil_in_degC") - get("T_oil_out_degC"));
    let water_out = get("T_water_in_degC") + duty / (get("m_water_kg_per_s") * get("cp_water"));
    let bore = get("inner_d_m");
    let re = physics::flow::reynolds(get("m_water_kg_per_s"), bore, get("mu_water"));
    let inside = ht::dittus_boelter(re, get("Pr_water"), true) * get("k_water") / bore;
    let outside = get("Nu_annulus") * get("k_oil") / (get("outer_d_m") - bore);
    let mean =
        ht::log_mean_difference(get("T_oil_in_degC") - water_out, get("T_oil_out_degC") - get("T_water_in_degC"));
    duty / (ht::in_series(inside, outside) * PI * bore * mean)
}
