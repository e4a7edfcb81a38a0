use crate::{Check, litres_per_minute, solve};
use physics::constants::GRAVITY;
use physics::{flow, pumps};

const INCH: f64 = 0.0254;
const FOOT: f64 = 0.3048;
const GALLON: f64 = 3.785_411_784e-3;
const PSI: f64 = 6894.757;
const POUND_PER_CUBIC_FOOT: f64 = 16.018_463;
/// Roughness of commercial steel, as the examples take it [m].
const STEEL: f64 = 0.0018 * INCH;

pub fn ours(check: &Check) -> Option<Vec<f64>> {
    let get = |name| check.get(name);
    let volume_flow = || litres_per_minute(get("flow_L_per_min"));
    let suction = || {
        let (density, viscosity) = (get("rho_kg_per_m3"), get("mu_Pa_s"));
        let mass = volume_flow() * density;
        flow::pipe_drop(mass, get("length_m"), get("bore_m"), get("roughness_m"), get("sum_K"), density, viscosity)
    };
    Some(vec![match check.id.as_str() {
        id if id.starts_with("pipe.f.") || id == "pipe.crane7.1" => {
            flow::friction_factor(get("Re"), get("rel_roughness"))
        }
        "pipe.rw.velocity" => flow::velocity(volume_flow() * get("rho_kg_per_m3"), get("bore_m"), get("rho_kg_per_m3")),
        "pipe.rw.re" => flow::reynolds(volume_flow() * get("rho_kg_per_m3"), get("bore_m"), get("mu_Pa_s")),
        "pipe.rw.dp" => suction(),
        "pipe.rw.npsha" => flow::suction_head(
            get("p_atm_Pa"),
            get("p_vapour_Pa"),
            suction(),
            get("static_head_m"),
            get("rho_kg_per_m3"),
        ),
        "pipe.k.entrance" => flow::ENTRANCE,
        "pipe.k.exit" => flow::EXIT,
        "pipe.k.gate2in" => flow::gate_valve(get("bore_m")),
        "pipe.k.bend2in" => flow::elbow(get("bore_m")),
        "pipe.k.contraction" => flow::sharp_contraction(get("D1_m"), get("D2_m")),
        "pipe.oil.laminar" => {
            let density = get("rho_kg_per_m3");
            let mass = volume_flow() * density;
            flow::pipe_drop(mass, get("length_m"), get("bore_m"), 0.0, 0.0, density, get("mu_Pa_s"))
        }
        "pipe.pump.hydraulic" => {
            let rise = get("head_m") * get("rho_kg_per_m3") * GRAVITY;
            pumps::shaft_power(volume_flow(), rise, get("efficiency"))
        }
        "pipe.crane7.8.oilbarrel" => oil_line(check, get("bore_m")),
        // 202.7 mm is the bore of 200 mm schedule 40 pipe.
        "pipe.crane7.8" => oil_line(check, 0.2027),
        "pipe.crane7.13" => {
            let density = get("SG") * 999.1;
            let mass = get("flow_US_gal_per_s") * GALLON * density;
            let viscosity = get("nu_mm2_per_s") * 1e-6 * density;
            let (length, bore) = (get("length_ft") * FOOT, get("bore_in") * INCH);
            flow::pipe_drop(mass, length, bore, STEEL, 0.0, density, viscosity) / PSI
        }
        "pipe.crane7.15.head" => {
            let (bore, density) = (get("bore_in") * INCH, get("rho_lb_per_ft3") * POUND_PER_CUBIC_FOOT);
            let fittings = 4.0 * flow::elbow(bore) + flow::gate_valve(bore) + flow::EXIT;
            let sum_k = fittings + flow::lift_check_valve(2.469 * INCH, bore);
            let mass = get("flow_US_gpm") * GALLON / 60.0 * density;
            let (length, viscosity) = (get("length_ft") * FOOT, get("mu_cP") * 1e-3);
            let drop = flow::pipe_drop(mass, length, bore, STEEL, sum_k, density, viscosity);
            get("static_ft") + flow::head(drop, density) / FOOT
        }
        "pipe.crane7.15.bhp" => {
            let rise = get("head_ft") * FOOT * get("rho_lb_per_ft3") * POUND_PER_CUBIC_FOOT * GRAVITY;
            pumps::shaft_power(get("flow_US_gpm") * GALLON / 60.0, rise, get("efficiency")) / 745.7
        }
        "pipe.crane7.19" => gravity_flow(check),
        id if id.starts_with("pipe.crane7.33") => {
            let share = get("rpm2") / get("rpm1");
            let (flow, head, power) = pumps::affinity(get("flow_US_gpm"), get("head_ft"), get("power_hp"), share);
            match id.rsplit('.').next() {
                Some("flow") => flow,
                Some("head") => head,
                _ => power,
            }
        }
        _ => return None,
    }])
}

fn oil_line(check: &Check, bore: f64) -> f64 {
    let density = check.get("rho_kg_per_m3");
    let mass = check.get("flow_oil_barrel_per_h") * 0.158_987 / 3600.0 * density;
    let valve = flow::globe_valve(bore);
    flow::pipe_drop(mass, check.get("length_m"), bore, 0.0, valve, density, check.get("mu_Pa_s"))
}

fn gravity_flow(check: &Check) -> f64 {
    let (wide, narrow) = (check.get("bore_3in_in") * INCH, check.get("bore_2in_in") * INCH);
    let (density, viscosity) = (check.get("rho_lb_per_ft3") * POUND_PER_CUBIC_FOOT, check.get("mu_cP") * 1e-3);
    let before = flow::ENTRANCE + flow::mitre_bend(wide) + flow::gate_valve(wide);
    let after = flow::EXIT + flow::sharp_contraction(wide, narrow);
    let drop = |gpm: f64| {
        let mass = gpm * GALLON / 60.0 * density;
        flow::pipe_drop(mass, check.get("pipe_3in_ft") * FOOT, wide, STEEL, before, density, viscosity)
            + flow::pipe_drop(mass, check.get("pipe_2in_ft") * FOOT, narrow, STEEL, after, density, viscosity)
    };
    solve(1.0, 1000.0, |gpm| flow::head(drop(gpm), density) - check.get("head_ft") * FOOT)
}
